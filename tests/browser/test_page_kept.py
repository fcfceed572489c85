"""The local page in a browser: nothing that was typed is lost, nothing old stands unmarked, no stop is taken out of the hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import browsing
import pages

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Page, Route

STALE = ("#stale-lye", "#stale-pot")


def place(page: Page, wish: str) -> tuple[float, float, float]:
    """Where the stop of a limit is, and by how many pixels a point moves it."""
    stop = page.locator(f'input[type=range][data-wish="{wish}"]')
    stop.scroll_into_view_if_needed()
    box = stop.bounding_box()
    assert box is not None
    low, high = (float(stop.get_attribute(name) or "0") for name in ("min", "max"))
    point = (box["width"] - 26) / (high - low)
    return box["x"] + 13 + point * (float(stop.input_value()) - low), box["y"] + box["height"] / 2, point


def typed(page: Page, words: str) -> None:
    """Type at the end of the goal file's text, and stay in it."""
    page.locator("#text").focus()
    page.keyboard.press("Control+End")
    page.keyboard.type(words)


def held_back(waiting: list[Route]) -> Callable[[Route], None]:
    """What keeps requests until they are let go on."""

    def keep(route: Route) -> None:
        waiting.append(route)

    return keep


def test_a_second_drag_stays_in_the_hand(browser: Browser, workshop: pages.Standing) -> None:
    """The answer to one stop comes while another is dragged: that one goes on under the hand, and is written where it was let go."""
    with pages.page_of(browser, workshop.way_in()) as tab:
        page = tab.page
        place(page, "goals.hardness.at_least")
        x, y, point = place(page, "goals.mildness.at_least")
        before = pages.mark_of(page)
        page.get_by_label("hardness at least, as a number").fill("61")
        page.get_by_label("hardness at least, as a number").press("Enter")
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x - 2 * point, y, steps=3)
        before = pages.settle(page, before)  # the answer came while the stop is held
        stop = page.locator('input[type=range][data-wish="goals.mildness.at_least"]')
        held = float(stop.input_value())
        page.mouse.move(x - 5 * point, y, steps=3)
        now = round(float(stop.input_value()))
        assert now < held - 1
        page.mouse.up()
        pages.settle(page, before)
        assert "hardness: {at_least: 61}" in pages.text_of(page)
        assert f"mildness: {{at_least: {now}}}" in pages.text_of(page)


def test_old_figures_say_so_in_words(browser: Browser, workshop: pages.Standing) -> None:
    """Where a stop is dragged beyond all blends, and where the text has a fault, alkali and pot say so, on a small screen too."""
    with pages.page_of(browser, workshop.way_in()) as tab:
        page = tab.page
        assert [page.locator(one).is_visible() for one in STALE] == [False, False]
        x, y, point = place(page, "goals.hardness.at_least")
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 30 * point, y, steps=3)
        page.wait_for_selector("body.none")
        assert ["No blend there" in page.locator(one).inner_text() for one in STALE] == [True, True]
        page.mouse.move(x, y, steps=3)
        page.wait_for_selector("body:not(.none)")
        page.mouse.up()
        page.set_viewport_size({"width": 360, "height": 740})
        good = pages.text_of(page)
        page.locator("#text").fill(good.replace("at_least: 60", "at_lest: 60"))
        page.locator("#text").blur()
        page.locator("#notice-faults").wait_for()
        assert ["not the answer" in page.locator(one).inner_text() for one in STALE] == [True, True]
        box = page.locator("#stale-lye").bounding_box()
        assert box is not None
        assert 0 <= box["y"] <= 740 - box["height"]
        assert page.locator("#scales").get_attribute("inert") is not None


def test_room_is_never_that_of_another_text(browser: Browser, workshop: pages.Standing) -> None:
    """Beside a new blend no room is drawn until that of its own text is known, and meanwhile the scale says so."""
    waiting: list[Route] = []
    with pages.page_of(browser, workshop.way_in()) as tab:
        page = tab.page
        room = page.locator("#scale-mildness .room")
        room.wait_for()
        before = pages.mark_of(page)
        page.route("**/api/rooms", held_back(waiting))
        page.get_by_label("hardness at least, as a number").fill("66")
        page.get_by_label("hardness at least, as a number").press("Enter")
        pages.comes(page, "() => document.querySelector('#scale-hardness output').textContent.startsWith('66')")
        assert room.is_hidden()
        assert "being worked out" in page.locator("#scale-mildness .room-words").inner_text()
        pages.until(page, lambda: waiting)
        (route,) = waiting
        route.continue_()
        pages.settle(page, before)
        assert room.is_visible()


def test_a_lye_heavy_bar_keeps_what_alkali_does(browser: Browser, workshop: pages.Standing) -> None:
    """A bar that is likely lye-heavy says so in its state and in the red box, beside what alkali does to skin and eyes."""
    goals = workshop.goals
    text = goals.read_text(encoding="utf-8")
    lines = ["  superfat: {exactly: 0.5 %}" if line.startswith("  superfat:") else line for line in text.splitlines()]
    goals.write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pages.page_of(browser, workshop.way_in()) as tab:
        burns = tab.page.locator("#alkali .burns").inner_text()
        assert "LYE-HEAVY" in burns
        assert "burns skin and blinds (H314)" in burns
        assert "LYE-HEAVY" in tab.page.locator("#state").inner_text()


def test_a_blend_that_nobody_would_pour_says_so_first(browser: Browser, empty: pages.Standing) -> None:
    """Where too many rules of the house gave way the state says so, and alkali and pot say so before any figure."""
    with pages.page_of(browser, empty.way_in()) as tab:
        page = tab.page
        before = pages.mark_of(page)
        page.get_by_label("hardness at least, as a number").fill("90")
        page.get_by_label("hardness at least, as a number").press("Enter")
        pages.settle(page, before)
        assert "nobody would pour" in page.locator("#state").inner_text()
        for card in ("#alkali", "#blend"):
            assert "nobody would pour" in page.locator(f"{card} > :first-child").inner_text()


def test_leaving_with_what_is_not_saved_asks(browser: Browser, workshop: pages.Standing, empty: pages.Standing) -> None:
    """A window whose text is not on the disk asks before it is closed; one that is saved, or new and untouched, does not."""
    asked: list[str] = []

    def told(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.accept()

    for server in (workshop, empty):
        with pages.page_of(browser, server.way_in()) as tab:
            page = tab.page
            page.on("dialog", told)
            page.locator("#wall-h").click()
            page.reload()
            pages.settle(page)
            assert asked == []
            typed(page, "# not saved\n")
            page.reload()
            pages.settle(page)
            assert asked == ["beforeunload"]
            asked.clear()
            assert "# not saved" in pages.text_of(page)


def test_what_is_typed_outlives_a_change_elsewhere(browser: Browser, workshop: pages.Standing) -> None:
    """While somebody types the shelf is changed elsewhere: the answer comes anew, and what was typed stays and is taken up."""
    shelf = workshop.folder / "inventory" / "kittiwake.yaml"
    with pages.page_of(browser, workshop.way_in(), clock=True) as tab:
        page = tab.page
        with page.expect_response("**/api/look"):
            pages.look(page)
        before = pages.mark_of(page)
        typed(page, "# a long note\n")
        shelf.write_text(shelf.read_text(encoding="utf-8") + "\n# elsewhere\n", encoding="utf-8")
        pages.look(page)
        before = pages.settle(page, before)
        assert pages.text_of(page).endswith("# a long note\n")
        assert page.locator("#save").inner_text() == "Save"
        page.locator("#wall-h").click()
        page.get_by_role("button", name="Undo").click()
        pages.settle(page, before)
        assert "# a long note" not in pages.text_of(page)


def test_a_server_begun_anew_takes_the_text_up(browser: Browser, tmp_path: Path) -> None:
    """Its new address opened in the same tab lets it in with the text as it was; from elsewhere the kept text is offered."""
    goals = pages.workshop(tmp_path)
    with pages.served(goals.parent, goals.name) as server, pages.page_of(browser, server.address, clock=True) as tab:
        page = tab.page
        port = server.base.rstrip("/").rsplit(":", maxsplit=1)[1]
        before = pages.mark_of(page)
        page.locator("#title").fill("Kept bar")
        page.locator("#title").press("Enter")
        before = pages.settle(page, before)
        server.process.terminate()
        server.process.wait()
        with pages.standing(tmp_path, goals.parent, goals.name, "--port", port) as again:
            pages.look(page)
            page.locator("#notice-locked").wait_for()
            page.goto(again.way_in())
            pages.settle(page, before)
            assert "title: Kept bar" in pages.text_of(page)
            assert page.locator(".notice").count() == 0
            page.goto("about:blank")
            page.goto(again.way_in())
            pages.settle(page)
            offered = page.locator("#notice-before")
            assert "not saved" in offered.inner_text()
            offered.get_by_role("button", name="Bring it back").click()
            pages.shows(page, "title: Kept bar")


def test_undo_waits_for_the_edit_on_its_way(browser: Browser, workshop: pages.Standing) -> None:
    """Undo pressed while an edit is on its way undoes that edit; what is changed while saving is not told to be saved."""
    goals = workshop.goals
    written = goals.read_text(encoding="utf-8")
    with pages.page_of(browser, workshop.way_in()) as tab:
        page = tab.page
        before = pages.mark_of(page)
        waiting: list[Route] = []
        page.route("**/api/edit", held_back(waiting))
        page.get_by_label("hardness at least, as a number").fill("62")
        page.get_by_label("hardness at least, as a number").press("Enter")
        pages.until(page, lambda: waiting)
        page.evaluate("document.getElementById('undo').disabled = false")
        page.get_by_role("button", name="Undo").click()
        assert len(waiting) == 1
        waiting.pop().continue_()
        pages.comes(page, "() => !document.getElementById('redo').disabled")
        before = pages.settle(page, before)
        assert pages.text_of(page) == written
        page.unroute("**/api/edit")
        page.route("**/api/save", held_back(waiting))
        page.locator("#save").click()
        typed(page, "# later\n")
        page.locator("#wall-h").click()
        pages.settle(page, before)  # later than its answer nothing else is told in the place where saving is
        pages.until(page, lambda: waiting)
        assert len(waiting) == 1
        waiting.pop().continue_()
        pages.comes(page, "() => document.getElementById('state').textContent.startsWith('Written')")
        assert page.locator("#save").inner_text() == "Save"


LIST = "fat,price\nolive oil,7.40 / kg\ncoconut oil,3.10 / kg\ncocoa butter,11.00 / kg\n"


def test_price_lists_of_any_name(browser: Browser, empty: pages.Standing) -> None:
    """A list may go by any name; the kept blend keeps its own prices beside it; faults of a list are told as its own."""
    with pages.page_of(browser, empty.way_in()) as tab:
        page = tab.page
        before = pages.mark_of(page)
        page.get_by_role("button", name="Keep to compare").click()
        before = pages.settle(page, before)
        for name, made in (("Öle.csv", "Ole.csv"), ("ценник.csv", "price-list.csv")):
            page.locator("#list").set_input_files({"name": name, "mimeType": "text/csv", "buffer": LIST.encode()})
            before = pages.settle(page, before)
            assert f"shelf: {made}" in pages.text_of(page)
        page.locator("#beside table").wait_for()
        bad = LIST.replace("3.10 / kg", "cheap")
        page.locator("#list").set_input_files({"name": "bad.csv", "mimeType": "text/csv", "buffer": bad.encode()})
        fault = page.locator("#notice-faults")
        fault.wait_for()
        assert "bad.csv has faults" in fault.inner_text()
        assert "bad.csv, line 3" in fault.inner_text()
        assert fault.get_by_role("button", name="Go to").count() == 0
        assert "bad.csv has a fault" in page.locator("#state").inner_text()


def test_no_name_turns_figures_round(browser: Browser, workshop: pages.Standing) -> None:
    """Signs in a title that turn the order of a line are spelt out, and a title stands by itself."""
    goals = workshop.goals
    lines = goals.read_text(encoding="utf-8").splitlines()
    lines = ['title: "\\u202E12 rab"' if line.startswith("title:") else line for line in lines]
    goals.write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pages.page_of(browser, workshop.way_in()) as tab:
        assert tab.page.locator("#state bdi").inner_text() == "<U+202E>12 rab"
        assert "\u202e" not in tab.page.title()
        assert browsing.violations(tab.page) == []
