"""The local page for everybody: cautions on small screens, wishes and additives by buttons, reasons of fats and cost, focus, paper."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import browsing
import pages
import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

OIL = "שמן הבית"  # "oil of the house", written from the right
TITLE = "סבון הבית"
SMALL = ((360, 740), (740, 360), (600, 900))
MOST_OF_A_SCREEN = 0.25


@pytest.fixture(scope="module")
def shared(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[browsing.Tab]:
    """One window for all of these, on a shelf with a fat whose name is written from the right; each test leaves it saved or undone."""
    goals = pages.workshop(tmp_path_factory.mktemp("more"))
    text = goals.read_text(encoding="utf-8")
    goals.write_text(text.replace("title: Hard bar, palm-free and animal-free", f"title: {TITLE}"), encoding="utf-8")
    shelf = goals.parents[1] / "inventory" / "kittiwake.yaml"
    own = f"fats:\n  - {{fat: {OIL}, like: rice bran oil, price: 1.00 / kg}}\n"
    shelf.write_text(shelf.read_text(encoding="utf-8").replace("fats:\n", own, 1), encoding="utf-8")
    with (
        pages.served(goals.parent, goals.name) as server,
        pages.page_of(browser, server.address) as tab,
    ):
        yield tab
        assert tab.refused == []
        assert tab.complaints == []


@pytest.fixture
def page(shared: browsing.Tab) -> Iterator[Page]:
    """The page as it was begun: a wide window, at its top, its text undone."""
    page = shared.page
    page.set_viewport_size({"width": 1280, "height": 900})
    page.evaluate("scrollTo(0, 0)")
    before = pages.text_of(page)
    yield page
    if page.locator("#why").is_visible():
        page.keyboard.press("Escape")
    if pages.text_of(page) != before:
        mark = pages.mark_of(page)
        page.locator("#text").fill(before)
        page.locator("#text").blur()
        pages.settle(page, mark)


def deed(page: Page, act: str) -> None:
    """Press a button by its name, and wait for the answer."""
    mark = pages.mark_of(page)
    page.get_by_role("button", name=act, exact=True).click()
    pages.settle(page, mark)


def test_cautions_stand_in_few_words_on_a_small_screen(page: Page) -> None:
    """However small the window, what alkali does, what to wear and whom to ask stand in a quarter of it; the rest is one click away."""
    for width, height in SMALL:
        page.set_viewport_size({"width": width, "height": height})
        box = page.locator("#lye").bounding_box()
        assert box is not None
        assert box["height"] <= max(MOST_OF_A_SCREEN * height, 130), (width, height, box)
        assert box["y"] + box["height"] <= height + 1
        told = page.locator("#alkali").inner_text()
        for words in ("Sodium hydroxide", "Water", "H314", "goggles", "never water onto alkali", "Safety data sheet"):
            assert words in told, (width, words)
    page.set_viewport_size({"width": 360, "height": 740})
    page.get_by_text("All cautions, and first aid").click()
    told = page.locator("#alkali .cautions").inner_text()
    assert "children and animals out of the room" in told
    assert "First aid, eyes" in told
    page.get_by_text("All cautions, and first aid").click()


def test_cautions_stay_in_sight_beside_a_fault(page: Page) -> None:
    """A fault of the file, told at length at the top of a small window, pushes neither weights nor cautions out of it."""
    page.set_viewport_size({"width": 360, "height": 740})
    page.locator("#text").fill(pages.text_of(page).replace("mildness:", "mildnes:").replace("rancidity:", "rancid:"))
    page.locator("#text").blur()
    page.locator("#notice-faults").wait_for()
    page.evaluate("scrollTo(0, 0)")
    for one in (".weigh", ".burns", ".defers"):
        box = page.locator("#alkali " + one).bounding_box()
        assert box is not None
        assert 0 <= box["y"] <= 740 - box["height"] + 1, (one, box)


def test_what_has_the_focus_is_not_covered(page: Page) -> None:
    """By the keyboard alone, on a small screen, no part in focus lies under what stands at the edges of the window."""
    page.set_viewport_size({"width": 360, "height": 740})
    page.locator("#title").focus()
    for _ in range(60):
        page.keyboard.press("Tab")
        covered = page.evaluate(
            """() => { const one = document.activeElement, box = one.getBoundingClientRect();
            const edges = [document.getElementById('lye'), document.getElementById('ways-to')];
            if (one === document.body || edges.some((edge) => edge.contains(one))) return '';
            const over = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
            return edges.some((edge) => edge.contains(over)) ? one.outerHTML.slice(0, 120) : ''; }"""
        )
        assert covered == ""


def test_fats_and_cost_tell_why(page: Page) -> None:
    """Each fat tells its lines, its figures and their sources; the cost its parts, what each line costs, and how sure it is."""
    rows = page.locator("#blend .fats li")
    assert page.get_by_role("button", name="Why so much").count() == rows.count() > 3
    page.get_by_role("button", name="Why so much coconut oil").click()
    told = page.locator("#why").inner_text()
    assert "coconut oil at most 30 %" in told
    assert "256.4 mg KOH/g; within its tolerance 254.9 to 257.9, by the certificate of lot KW-CO-117" in told
    assert "Codex" in told
    assert "read in the source" in told
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Why it costs so much").click()
    told = page.locator("#why").inner_text()
    assert page.locator("#blend .cost strong").inner_text().removesuffix(" / kg") in told
    assert "free from palm: without it" in told
    assert "proved" in told
    assert browsing.violations(page) == []
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "Why it costs so much"


def test_wishes_are_made_by_buttons(page: Page) -> None:
    """A wish is added, made the first, given another figure and dropped; the file keeps its comments and has the wishes in order."""
    mark = pages.mark_of(page)
    page.locator("#wish-name").fill("quick lather")
    page.locator("#wish-much").fill("44")
    page.locator("#wish-much").press("Enter")
    mark = pages.settle(page, mark)
    text = pages.text_of(page)
    assert "  - lasting_lather: {at_least: 58}\n  - quick_lather: {at_least: 44}\n" in text
    assert "# A hard bar without palm" in text
    deed(page, "Wish sooner for quick lather at least 44")
    assert "  - quick_lather: {at_least: 44}\n  - lasting_lather: {at_least: 58}\n" in pages.text_of(page)
    assert "met" in page.locator(".wishes li").first.inner_text()
    mark = pages.mark_of(page)
    page.get_by_label("quick lather at least 44, as a number").fill("99")
    page.get_by_label("quick lather at least 44, as a number").press("Enter")
    pages.settle(page, mark)
    assert "  - quick_lather: {at_least: 99}\n" in pages.text_of(page)
    assert "not reached" in page.locator(".wishes li").first.inner_text()
    deed(page, "Wish no more for quick lather at least 99")
    assert "quick_lather" not in pages.text_of(page)


def test_additives_and_liquids_are_put_in_by_buttons(page: Page) -> None:
    """What the shelf has is put in by an amount and taken out again, liquids too, and additives may be let in where they help."""
    mark = pages.mark_of(page)
    page.locator("#extra").select_option(label="lavender scent")
    assert "usually at most 3.0 %" in page.locator("#extra-hint").inner_text()
    page.locator("#extra-much").fill("1.5 %")
    page.locator("#extra-much").press("Enter")
    mark = pages.settle(page, mark)
    assert "additives:\n  lavender scent: 1.5 %\n" in pages.text_of(page)
    assert "lavender scent" in page.locator("#blend .fats").inner_text()
    page.locator("#may_use-sodium_lactate").check()
    mark = pages.settle(page, mark)
    assert "may_use: [sodium lactate]" in pages.text_of(page)
    page.get_by_role("checkbox", name="animal", exact=True).uncheck()
    mark = pages.settle(page, mark)
    page.locator("#extra").select_option(label="goat milk")
    page.locator("#extra-much").fill("50 %")
    page.get_by_role("button", name="Put in", exact=True).click()
    pages.settle(page, mark)
    assert "liquids:\n  goat milk: 50 %\n" in pages.text_of(page)
    assert "goat milk" in page.locator("#blend .fats").inner_text()
    deed(page, "Put no goat milk in")
    assert "goat milk" not in pages.text_of(page)


def test_names_from_the_right_stand_by_themselves(page: Page) -> None:
    """In sentences that the page joins, a name written from the right is set apart, so that it moves no figure beside it."""
    assert page.locator("#state bdi").first.inner_text() == TITLE
    page.get_by_role("button", name=f"What else in place of {OIL}").click()
    page.locator("#why h3").first.wait_for()
    for part in ("#why h2", "#why-body h3", "#why-body button"):
        assert OIL in page.locator(part).first.inner_text()
        apart = page.locator(part).first.locator("bdi")
        assert OIL in apart.all_inner_texts()
        bare = page.locator(part).first.evaluate(
            "one => [...one.childNodes].filter(part => part.nodeName !== 'BDI').map(part => part.textContent).join('')"
        )
        assert not any("\u0590" <= sign <= "\u05ff" for sign in bare), (part, bare)
    page.keyboard.press("Escape")
    assert TITLE in page.locator("#state").inner_text()


def test_what_is_unfolded_and_in_focus_stays(page: Page) -> None:
    """An answer leaves unfolded what was, and the focus where it was; where its button is gone it goes to the card around it."""
    page.get_by_text("Left on the shelf, and when each would come in").click()
    page.get_by_role("button", name="Set a limit on castor oil").focus()
    mark = pages.mark_of(page)
    page.keyboard.press("Enter")
    pages.settle(page, mark)
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "Set a limit on castor oil"
    assert page.locator("#blend details[open] summary").all_inner_texts() == [
        "Left on the shelf, and when each would come in"
    ]
    mark = pages.mark_of(page)
    page.get_by_role("button", name="Leave shea butter out").focus()
    page.keyboard.press("Enter")
    pages.settle(page, mark)
    assert page.evaluate("document.activeElement.id") == "pot"


def test_ways_out_are_a_step_away(page: Page) -> None:
    """On a small screen, far down the page, no blend is told beside the alkali, with a way to its ways out, which come first."""
    page.set_viewport_size({"width": 360, "height": 740})
    mark = pages.mark_of(page)
    page.get_by_label("hardness at least, as a number").fill("90")
    page.get_by_label("hardness at least, as a number").press("Enter")
    pages.settle(page, mark)
    page.locator("#stale-lye a").click()
    way = page.locator("#clash .way").first
    way.wait_for()
    page.wait_for_function("() => document.querySelector('#clash .way').getBoundingClientRect().bottom < 600")
    box, list_ = way.bounding_box(), page.locator("#clash .groups").bounding_box()
    assert box is not None
    assert list_ is not None
    assert 30 < box["y"] < list_["y"]


def test_paper_tells_every_caution(page: Page) -> None:
    """On paper nothing is folded away: first aid and vessels stand beside the alkali, and no sentence in few words."""
    told = " ".join(browsing.pages_of(browsing.printed(page)))
    for words in ("First aid, eyes", "Never aluminium", "children and animals out of the room"):
        assert words in told
    assert "Alkali burns skin" not in told
    assert "Scales" not in told
