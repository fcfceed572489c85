"""The local page in a browser: every way of moving a limit, clashes and ways out, undo, saving, two windows, nothing hostile."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import browsing
import pages
import pytest

from optimiser.web.routes import STATIC

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

HARDNESS = "goals.hardness.at_least"


@pytest.fixture
def tab(workshop: pages.Standing, browser: Browser) -> Iterator[browsing.Tab]:
    """A fresh window on the shared page; nothing may call elsewhere or complain."""
    with pages.page_of(browser, workshop.way_in()) as found:
        yield found
        assert found.refused == []
        assert found.complaints == []


def stop(page: Page, wish: str = HARDNESS) -> Locator:
    """The stop of a limit."""
    return page.locator(f'input[type=range][data-wish="{wish}"]')


def thumb(page: Page, wish: str = HARDNESS) -> tuple[float, float, float]:
    """Where the stop of a limit is, and by how many pixels a point moves it."""
    found = stop(page, wish)
    found.scroll_into_view_if_needed()
    box = found.bounding_box()
    assert box is not None
    low, high, value = (float(found.get_attribute(name) or "0") for name in ("min", "max", "value"))
    value = float(found.input_value())
    track = box["width"] - 26
    return box["x"] + 13 + track * (value - low) / (high - low), box["y"] + box["height"] / 2, track / (high - low)


def test_a_stop_is_dragged_by_the_mouse(tab: browsing.Tab) -> None:
    """While it is dragged the blend follows, the room of the others too; on letting go the line is written, comments kept."""
    page = tab.page
    x, y, point = thumb(page)
    before, cost = pages.mark_of(page), page.locator("#blend .cost strong").inner_text()
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 3 * point, y, steps=4)
    pages.comes(
        page, "() => document.body.dataset.drawn && document.body.dataset.roomed === document.body.dataset.drawn"
    )
    assert page.locator("#blend .cost strong").inner_text() != cost
    assert "{at_least: 60}" in pages.text_of(page)
    page.mouse.up()
    pages.settle(page, before)
    text = pages.text_of(page)
    assert "hardness: {at_least: 63}" in text
    assert "# A hard bar without palm" in text
    assert page.locator("#blend .cost strong").inner_text() != cost


def test_what_is_shown_while_dragging_is_what_is_answered(tab: browsing.Tab) -> None:
    """The last picture of a drag and the answer after it have the same grams and the same cost."""
    page = tab.page
    x, y, point = thumb(page)
    before = pages.mark_of(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 2 * point, y, steps=3)
    pages.comes(page, "wanted => document.body.dataset.drawn === wanted", f"{HARDNESS} 62")
    dragged = page.locator("#pot .fats").inner_text(), page.locator("#alkali .weigh").inner_text()
    page.mouse.up()
    pages.settle(page, before)
    assert (page.locator("#pot .fats").inner_text(), page.locator("#alkali .weigh").inner_text()) == dragged


def test_a_stop_is_moved_by_the_arrows(tab: browsing.Tab) -> None:
    """Arrows move a stop by its step, and the line is written once the hand rests; the focus stays on the stop."""
    page = tab.page
    before = pages.mark_of(page)
    stop(page).focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowLeft")
    pages.settle(page, before)
    pages.shows(page, "hardness: {at_least: 61}")  # on a slow machine the hand may have rested before it was done
    assert page.evaluate("document.activeElement.dataset.wish") == HARDNESS
    assert stop(page).get_attribute("aria-valuetext") == "at least 61"


def test_a_limit_is_typed_and_undone(tab: browsing.Tab) -> None:
    """The box beside a ruler takes a figure; undo and redo go back and forth, by button and by keys."""
    page = tab.page
    start = pages.text_of(page)
    before = pages.mark_of(page)
    box = page.get_by_label("hardness at least, as a number")
    box.fill("62.5")
    box.press("Enter")
    before = pages.settle(page, before)
    assert "hardness: {at_least: 62.5}" in pages.text_of(page)
    page.get_by_role("button", name="Undo").click()
    before = pages.settle(page, before)
    assert pages.text_of(page) == start
    page.locator("#wall-h").click()
    page.keyboard.press("Control+y")
    before = pages.settle(page, before)
    assert "62.5" in pages.text_of(page)
    page.keyboard.press("Control+z")
    pages.settle(page, before)
    assert pages.text_of(page) == start


def test_a_clash_and_a_way_out(tab: browsing.Tab) -> None:
    """Where no blend is left the clash is told in the maker's words, the old blend is marked, and a way out is a button."""
    page = tab.page
    before = pages.mark_of(page)
    box = page.get_by_label("hardness at least, as a number")
    box.fill("90")
    box.press("Enter")
    before = pages.settle(page, before)
    clash = page.locator("#clash")
    assert "hardness at least 90" in clash.inner_text()
    assert "free from palm" in clash.inner_text()
    assert page.locator("body.old").count() == 1
    assert "hardness at least 90, brought to 69.5" in clash.inner_text()
    clash.locator("button.way").first.click()
    pages.settle(page, before)
    assert clash.is_hidden()
    assert page.locator("body.old").count() == 0
    assert "hardness: {at_least: 69.5}" in pages.text_of(page)


def test_faults_are_told_with_line_and_caret(tab: browsing.Tab) -> None:
    """A slip in the text is told with its line and a caret; the last good answer stays, marked old, until it is mended."""
    page = tab.page
    good = pages.text_of(page)
    grams = page.locator("#alkali .weigh").inner_text()
    page.locator("#text").fill(good.replace("at_least: 60", "at_lest: 60"))
    page.locator("#text").blur()
    fault = page.locator("#notice-faults")
    fault.wait_for()
    assert "line 7, column 14" in fault.inner_text()
    assert "^^^^^^^" in fault.locator("pre").inner_text()
    assert "did you mean 'at_least'" in fault.inner_text()
    assert page.locator("body.old").count() == 1
    assert page.locator("#alkali .weigh").inner_text() == grams
    fault.get_by_role("button", name="Go to line 7").click()
    assert (
        page.evaluate("getSelection().toString()") == "at_lest"
        or page.evaluate(
            "document.activeElement.value.slice(document.activeElement.selectionStart, document.activeElement.selectionEnd)"
        )
        == "at_lest"
    )
    fault.get_by_role("button", name="Back to before this").click()
    page.wait_for_selector("body:not(.old)")
    assert page.locator("#notice-faults").count() == 0
    assert pages.text_of(page) == good


def test_why_stands_on_every_scale_and_every_line(tab: browsing.Tab) -> None:
    """Each scale tells what it is, how sure, its status and its source; each line that binds tells its reason."""
    page = tab.page
    page.get_by_role("button", name="Why, and how sure: hardness").click()
    told = page.locator("#why").inner_text()
    assert "+/- 7" in told
    assert "prior" in told
    assert "Brinell" in told
    page.keyboard.press("Escape")
    assert page.get_by_role("button", name="Why, and how sure:").count() == page.locator(".slat").count() > 15
    binding = page.locator("#binding li")
    assert binding.count() == binding.get_by_role("button", name="Why:").count() > 2
    page.get_by_text("Why so much").click()
    alkali = page.locator("#alkali").inner_text()
    assert "sodium hydroxide: 285 g pure, of 98.0 % purity (taken by its grade)" in alkali
    assert "saponification values" in alkali


def test_cautions_are_always_in_sight(tab: browsing.Tab) -> None:
    """Wherever the page stands, at every width, alkali, its caution and whom to ask first are on the screen."""
    page = tab.page
    for width, height in ((360, 740), (1280, 900), (2560, 1300)):
        page.set_viewport_size({"width": width, "height": height})
        for part in (0, 0.5, 0.97):
            page.evaluate("part => scrollTo(0, part * document.documentElement.scrollHeight)", part)
            for found in (
                page.locator("#alkali .burns"),
                page.locator("#alkali .defers"),
                page.locator("#alkali .weigh"),
            ):
                box = found.bounding_box()
                assert box is not None
                assert box["y"] >= -1, (width, part, box)
                assert box["y"] + box["height"] <= height + 1, (width, part, box)
        assert not browsing.runs_over(page)


def test_nothing_is_wrong_for_axe(tab: browsing.Tab) -> None:
    """axe-core finds nothing, in light and dark, wide and narrow, with a clash shown and with the reasons of a scale open."""
    page = tab.page
    assert browsing.violations(page) == []
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": 360, "height": 740})
    assert browsing.violations(page) == []
    before = pages.mark_of(page)
    box = page.get_by_label("hardness at least, as a number")
    box.fill("90")
    box.press("Enter")
    pages.settle(page, before)
    page.emulate_media(color_scheme="light")
    assert browsing.violations(page) == []
    page.get_by_role("button", name="Why, and how sure: hardness").click()
    assert browsing.violations(page) == []


def test_a_finger_drags_a_stop(workshop: pages.Standing, browser: Browser) -> None:
    """On a touch screen a finger moves a stop, and the page does not scroll away under it."""
    context = browser.new_context(viewport={"width": 390, "height": 800}, has_touch=True)
    context.set_default_timeout(browsing.PATIENCE)
    try:
        page = context.new_page()
        page.goto(workshop.way_in())
        before: str | None = pages.settle(page)
        x, y, point = thumb(page)
        touch = context.new_cdp_session(page)
        touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
        for part in (2, 4, 6, 8):
            touch.send(
                "Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x + part * point, "y": y}]}
            )
        touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        pages.settle(page, before)
        assert "hardness: {at_least: 68}" in pages.text_of(page)
        assert abs(thumb(page)[1] - y) < 3
    finally:
        context.close()


def test_saving_reloading_and_two_windows(browser: Browser, workshop: pages.Standing) -> None:
    """What is saved keeps comments and order; a second window never overwrites, but says so and asks; a reload keeps the text."""
    goals = workshop.goals
    written = goals.read_text(encoding="utf-8")
    with pages.page_of(browser, workshop.way_in(), clock=True) as first:
        page = first.page
        with page.context.expect_page() as opening:
            page.get_by_role("button", name="Another window").click()
        second = opening.value
        pages.settle(second)
        before = pages.mark_of(page)
        page.get_by_label("hardness at least, as a number").fill("61")
        page.get_by_label("hardness at least, as a number").press("Enter")
        pages.settle(page, before)
        page.get_by_role("button", name="Save").click()
        page.get_by_role("button", name="Saved").wait_for()
        assert goals.read_text(encoding="utf-8") == written.replace("at_least: 60}", "at_least: 61}", 1)
        page.reload()
        pages.settle(page)
        assert "hardness: {at_least: 61}" in pages.text_of(page)

        pages.look(second)
        notice = second.locator("#notice-changed")
        notice.wait_for()
        assert "was changed elsewhere" in notice.inner_text()
        assert "{at_least: 60}" in pages.text_of(second)
        before = pages.mark_of(second)
        notice.get_by_role("button", name="Take what lies there").click()
        pages.settle(second, before)
        assert "{at_least: 61}" in pages.text_of(second)
        assert first.refused == []


def test_a_program_that_is_gone_is_told_and_picked_up(browser: Browser, tmp_path: Path) -> None:
    """Where the program stops, the page says so, keeps the text and marks its answer old; started anew at that port it is told."""
    goals = pages.workshop(tmp_path)
    with pages.served(goals.parent, goals.name) as server, pages.page_of(browser, server.address, clock=True) as tab:
        page = tab.page
        port = server.base.rstrip("/").rsplit(":", maxsplit=1)[1]
        page.context.set_offline(True)
        pages.look(page)
        page.locator("#notice-gone").wait_for()
        assert page.locator("body.old").count() == 1
        page.context.set_offline(False)
        pages.look(page)
        page.wait_for_selector("#notice-gone", state="detached")
        page.wait_for_selector("body:not(.old)")
        server.process.terminate()
        server.process.wait()
        pages.look(page)
        page.locator("#notice-gone").wait_for()
        text = pages.text_of(page)
        with pages.served(goals.parent, goals.name, "--port", port) as again:
            pages.look(page)
            page.locator("#notice-locked").wait_for()
            assert "started anew" in page.locator("#notice-locked").inner_text()
            assert pages.text_of(page) == text
            before = pages.mark_of(page)
            page.goto(again.address)
            pages.settle(page, before)  # let in: a window that is left before it was told so could not come back
            assert page.locator("#notice-locked").count() == 0
            page.reload()
            pages.settle(page)


HOSTILE = "<img src=x onerror=document.title='owned'> </script><script>document.title='owned'</script>"


def test_hostile_names_are_inert(browser: Browser, workshop: pages.Standing) -> None:
    """A title and a fat that would be markup are shown as they are written, and nothing of them runs."""
    goals = workshop.goals
    shelf = workshop.folder / "inventory" / "kittiwake.yaml"
    own = f'  - {{fat: "{HOSTILE}", like: olive oil, price: 0.10 / kg}}\n'
    text = shelf.read_text(encoding="utf-8")
    shelf.write_text(text.replace("fats:\n", f"fats:\n{own}", 1), encoding="utf-8")
    lines = goals.read_text(encoding="utf-8").splitlines()
    lines = [f'title: "{HOSTILE}"' if line.startswith("title:") else line for line in lines]
    goals.write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pages.page_of(browser, workshop.way_in()) as tab:
        page = tab.page
        assert page.locator("#title").input_value() == HOSTILE
        assert HOSTILE in page.locator("#blend").inner_text()
        assert page.title() == f"{HOSTILE} – barwright"
        assert page.locator("main img").count() == 0
        assert tab.refused == []
        assert tab.complaints == []


def test_from_an_empty_page_to_a_palm_free_hard_bar_on_a_sheet(browser: Browser, empty: pages.Standing) -> None:
    """The walk of somebody who never saw YAML: no file at all, palm left out, hardness pulled up, saved, its sheet printed."""
    with pages.page_of(browser, empty.way_in()) as tab:
        page = tab.page
        before: str | None = pages.mark_of(page)
        assert "palm oil" in page.locator("#blend").inner_text()
        page.locator("#title").fill("Gull Rock bar")
        page.locator("#title").press("Enter")
        before = pages.settle(page, before)
        page.get_by_role("checkbox", name="palm", exact=True).check()
        before = pages.settle(page, before)
        assert "palm" not in page.locator("#blend .fats").inner_text()
        x, y, point = thumb(page)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 62 * point - 50 * point, y, steps=6)
        page.mouse.up()
        before = pages.settle(page, before)
        hardness = page.locator("#scale-hardness output").inner_text()
        assert float(hardness.split()[0]) >= 60
        page.locator("#file").fill("gull-rock.yaml")
        page.get_by_role("button", name="Save").click()
        page.get_by_role("button", name="Saved").wait_for()
        saved = (empty.folder / "gull-rock.yaml").read_text(encoding="utf-8")
        assert "title: Gull Rock bar" in saved
        assert "free_from: [palm]" in saved
        assert (empty.folder / "kittiwake.yaml").exists()
        with page.context.expect_page() as opening:
            page.get_by_role("button", name="Making sheet").click()
        sheet = opening.value
        sheet.wait_for_url("**/sheet/*")
        told = " ".join(browsing.pages_of(browsing.printed(sheet)))
        assert "Gull Rock bar" in told
        assert "palm oil" not in told
        assert "palm kernel" not in told
        weigh = page.locator("#alkali .weigh li").first.locator("strong").inner_text()
        assert weigh.removesuffix(" g") in told
        assert tab.refused == []


def test_a_price_list_is_dropped_on_the_page(browser: Browser, empty: pages.Standing, tmp_path: Path) -> None:
    """A price list of three fats becomes the shelf, the blend is of those alone, and saving writes it beside the goal file."""
    prices = tmp_path / "our prices.csv"
    prices.write_text(
        "fat,price\nolive oil,7.40 / kg\ncoconut oil,3.10 / kg\ncocoa butter,11.00 / kg\n", encoding="utf-8"
    )
    with pages.page_of(browser, empty.way_in()) as tab:
        page = tab.page
        before = pages.mark_of(page)
        page.locator("#list").set_input_files(prices)
        pages.settle(page, before)
        shown = set(page.locator("#blend .fats .fat").all_inner_texts())
        assert shown <= {"olive oil liquid oil", "coconut oil hard oil", "cocoa butter butter"}
        assert shown
        page.get_by_role("button", name="Save").click()
        page.get_by_role("button", name="Saved").wait_for()
        assert (empty.folder / "our prices.csv").read_text(encoding="utf-8") == prices.read_text(encoding="utf-8")
        assert not (empty.folder / "kittiwake.yaml").exists()


def test_two_blends_stand_side_by_side(tab: browsing.Tab) -> None:
    """A blend that is kept stands beside the one of now, with what of the difference is felt."""
    page = tab.page
    before = pages.mark_of(page)
    page.get_by_role("button", name="Keep to compare").click()
    before = pages.settle(page, before)
    page.get_by_label("hardness at least, as a number").fill("68")
    page.get_by_label("hardness at least, as a number").press("Enter")
    pages.settle(page, before)
    row = page.locator("#beside tr", has=page.get_by_role("rowheader", name="hardness"))
    row.get_by_text("68.0 (felt)").wait_for()
    assert "60.0" in row.inner_text()
    assert "harder" in page.locator("#beside").inner_text()


def test_what_stands_in_for_a_fat(tab: browsing.Tab) -> None:
    """A fat of the blend is swapped: what could stand in is told with what differs, and taking it rewrites the file."""
    page = tab.page
    before = pages.mark_of(page)
    page.get_by_role("button", name="What else in place of castor oil").click()
    page.locator("#why[open] section").first.wait_for()
    deed = page.locator("#why").get_by_role("button", name="Leave castor oil out").first
    assert deed.is_visible()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Leave shea butter out").click()
    pages.settle(page, before)
    assert "shea butter: {at_most: 0 %}" in pages.text_of(page)
    assert "shea butter" not in page.locator("#blend .fats").inner_text()


def test_a_counted_choice_is_held_while_dragging(browser: Browser, workshop: pages.Standing) -> None:
    """Where fats are counted the same fats are kept while a stop is dragged, drawn dashed; on letting go they are chosen anew."""
    shutil.copy(pages.ROOT / "goals" / "everyday.yaml", workshop.goals)
    with pages.page_of(browser, workshop.way_in()) as tab:
        page = tab.page
        names = page.locator("#blend .fats .fat").all_inner_texts()
        wish = "goals.wear_life.at_least"
        x, y, point = thumb(page, wish)
        before = pages.mark_of(page)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 4 * point, y, steps=3)
        page.wait_for_selector("#blend .fats.held")
        assert set(page.locator("#blend .fats .fat").all_inner_texts()) <= set(names)
        page.mouse.up()
        pages.settle(page, before)
        assert page.locator("#blend .fats.held").count() == 0
        assert "wear_life: {at_least: 30}" in pages.text_of(page)


def test_the_recipe_comes_as_a_file(tab: browsing.Tab, tmp_path: Path) -> None:
    """The blend is had as a recipe file that `weigh` judges to the same alkali."""
    from optimiser.answers.weigh import weigh

    page = tab.page
    with page.expect_download() as loading:
        page.get_by_role("button", name="The recipe as a file").click()
    loading.value.save_as(tmp_path / "recipe.yaml")
    assert loading.value.suggested_filename == "palm-free-vegetable-recipe.yaml"
    text = (tmp_path / "recipe.yaml").read_text(encoding="utf-8").replace("../inventory", str(pages.ROOT / "inventory"))
    (tmp_path / "recipe.yaml").write_text(text, encoding="utf-8")
    told = page.locator("#alkali .weigh li").first.locator("strong").inner_text()
    assert f"{weigh(tmp_path / 'recipe.yaml').recipe.sodium_hydroxide:g} g" == told


def test_a_file_that_is_broken_from_the_start_can_be_mended(browser: Browser, workshop: pages.Standing) -> None:
    """Begun on a file with a fault the page tells it, cautions in sight, and answers once the text is mended on it."""
    goals = workshop.goals
    good = goals.read_text(encoding="utf-8")
    goals.write_text(good.replace("at_least: 60}", "at_least: 60"), encoding="utf-8")
    with browsing.opened(browser, workshop.way_in(), own=workshop.server.base) as tab:
        page = tab.page
        page.locator("#notice-faults").wait_for()
        assert "line 7" in page.locator("#notice-faults").inner_text()
        assert "burn" in page.locator("#alkali .burns").inner_text()
        page.locator("#text").fill(good)
        page.locator("#text").blur()
        pages.settle(page)
        assert page.locator("#notice-faults").count() == 0
        assert page.locator("#blend .fats li").count() > 2
        assert tab.complaints == []


def test_the_page_prints_what_is_weighed(tab: browsing.Tab) -> None:
    """On paper stand the weights, the alkali with its cautions and the limits; buttons and the text do not."""
    sheets = browsing.pages_of(browsing.printed(tab.page))
    told = " ".join(sheets)
    assert "Sodium hydroxide 291.1 g" in sheets[0]
    assert "castor oil" in sheets[0]
    assert "burns skin and blinds" in told
    assert "safety data sheet" in told
    assert "coconut oil" in told
    assert "Another window" not in told
    assert "leave out" not in told


def test_the_html_is_valid(tab: browsing.Tab, tmp_path: Path) -> None:
    """The Nu Html Checker of the W3C (npm's `vnu-jar`, run offline) finds nothing, as the page is sent and as it stands drawn."""
    jar, java = os.environ.get("BARWRIGHT_VNU_JAR", ""), shutil.which("java")
    if not jar or java is None:
        needs = "java and the Nu Html Checker: npm pack vnu-jar, and BARWRIGHT_VNU_JAR names its vnu.jar"
        if browsing.is_required():
            pytest.fail(needs)
        pytest.skip(needs)
    tab.page.get_by_role("button", name="Why, and how sure: hardness").click()
    (tmp_path / "drawn.html").write_text(tab.page.content(), encoding="utf-8")
    (tmp_path / "sent.html").write_text((STATIC / "page.html").read_text(encoding="utf-8"), encoding="utf-8")
    files = *(str(tmp_path / name) for name in ("drawn.html", "sent.html")), str(STATIC / "page.css")
    command = [java, *browsing.BRIEF, "-jar", jar, "--format", "gnu", "--also-check-css", *files]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
