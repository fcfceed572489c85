"""The making sheet in a real browser: read on a telephone and on a desk, printed on A4 and Letter, by whoever reads it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING

import browsing
import pytest
from benches import ROOT, answer_as_data

from optimiser.answers.results import NoBlend
from optimiser.answers.sheet import making_sheet
from optimiser.problem.units import Units
from optimiser.report.page.html import sheet_html

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SHELF = f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\n"
HOSTILE = (
    "<script>alert(1)</script> \"'> {{ 7*7 }} \u202e\u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627 &amp;"
    + "W" * 60
)
FIFTEEN = (
    *(
        "coconut oil",
        "babassu oil",
        "palm oil",
        "palm stearin",
        "palm kernel oil",
        "beef tallow",
        "lard",
        "shea butter",
    ),
    *("cocoa butter", "mango butter", "kokum butter", "olive oil", "rice bran oil", "castor oil", "avocado oil"),
)
RECIPES = {
    "paste": f"title: Jar\n{SHELF}fats: {{olive oil: 700 g, coconut oil: 300 g}}\nalkali: {{potassium hydroxide: 225 g}}\nwater: 600 g\n",
    "milk": (
        f"title: Milk and honey\n{SHELF}fats: {{olive oil: 450 g, coconut oil: 250 g, palm oil: 300 g}}\nsuperfat: 5 %\n"
        "lye_concentration: 33 %\nliquids: {goat milk: 50 %}\nadditives: {honey: 2 %, sodium lactate: 2 %}\n"
    ),
    "fifteen": f"title: Many\n{SHELF}fats: {{{', '.join(f'{fat}: 123 g' for fat in FIFTEEN)}}}\nsuperfat: 6 %\n",
    "hostile": f"title: {json.dumps(HOSTILE)}\nfats: {{olive oil: 700 g, coconut oil: 300 g}}\nsuperfat: 5 %\n",
}
GOALS = ("everyday", "fine-swirl", "design-salt-bar", "design-piped-top")
ALL = (*GOALS, *RECIPES)
MOST_PAGES = 4
PAPERS: tuple[browsing.Paper, ...] = ("A4", "Letter")


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The sheets, each in a file of its own; recipes in both units."""
    folder = tmp_path_factory.mktemp("sheets")
    out = {}
    for name in ALL:
        source = ROOT / "goals" / f"{name}.yaml"
        if name in RECIPES:
            source = folder / f"{name}.yaml"
            source.write_text(RECIPES[name], encoding="utf-8")
        both = name in ("milk", "hostile")
        sheet = making_sheet(source, units=Units.POUNDS_AND_OUNCES if name == "milk" else None, both=both)
        assert not isinstance(sheet, NoBlend)
        out[name] = folder / f"{name}.html"
        out[name].write_text(sheet_html(sheet), encoding="utf-8")
    return out


@pytest.mark.parametrize("name", ALL)
def test_it_reads_on_a_telephone_and_on_a_desk(browser: Browser, pages: dict[str, Path], name: str) -> None:
    """At 360 and 1280 pixels nothing runs over, axe-core finds no violation, nothing is asked of elsewhere, no complaint."""
    with browsing.opened(browser, pages[name].as_uri(), width=360) as tab:
        assert not browsing.runs_over(tab.page)
        assert browsing.violations(tab.page) == []
        tab.page.set_viewport_size({"width": 1280, "height": 900})
        assert not browsing.runs_over(tab.page)
        assert browsing.violations(tab.page, again=True) == []
        assert (tab.refused, tab.complaints) == ([], [])


@pytest.mark.parametrize("name", ALL)
def test_it_prints_on_either_paper(browser: Browser, pages: dict[str, Path], name: str) -> None:
    """Few pages, each with its head and its cautions in brief; first aid and steps on them."""
    with browsing.opened(browser, pages[name].as_uri()) as tab:
        title = tab.page.locator("h1").inner_text()
        for paper in PAPERS:
            printed = browsing.pages_of(browsing.printed(tab.page, paper))
            assert 2 <= len(printed) <= MOST_PAGES
            for page in printed:
                assert title[:20] in page
                assert "Batch no." in page
                assert "alkali into water, never the reverse" in page
                assert "licensed practice come first. First aid: on this sheet." in page
            whole = " ".join(printed)
            assert "First aid, eyes: rinse at once" in whole
            assert "3. Making it, step by step" in whole


def test_weights_and_the_alkali_stand_on_the_first_page(browser: Browser, pages: dict[str, Path]) -> None:
    """All that is weighed for a bar of six fats is on one page of the smaller paper, as the data have it."""
    data = json.loads(answer_as_data(ROOT / "goals" / "everyday.yaml")[1])["to_weigh"]
    with browsing.opened(browser, pages["everyday"].as_uri()) as tab:
        first = browsing.pages_of(browsing.printed(tab.page, "Letter"))[0]
    for item in data["fats"]:
        assert item["fat"] in first
        assert re.search(rf"\b{item['grams']:g}\b", first)
    assert f"{data['sodium_hydroxide_g']:.1f} g" in first
    assert f"{data['water_g']:.1f} g" in first


@pytest.mark.parametrize("name", ALL)
def test_no_row_and_no_box_is_cut_in_two(browser: Browser, pages: dict[str, Path], name: str) -> None:
    """Rows, boxes, steps and cautions ask to be kept whole, and each is far shorter than a page, so that the browser can."""
    width, height = 703, 970  # CSS pixels inside the margins, of A4 across and of Letter down
    with browsing.opened(browser, pages[name].as_uri(), width=width, height=height) as tab:
        tab.page.emulate_media(media="print")
        parts = tab.page.evaluate(
            "() => [...document.querySelectorAll('tr, .box, .steps li, .handling li, .cautions, .danger')].map("
            "one => [getComputedStyle(one).breakInside, one.getBoundingClientRect().height])"
        )
    assert len(parts) > 20
    assert {inside for inside, _ in parts} == {"avoid"}
    assert max(tall for _, tall in parts) < height / 3


def test_blank_places_can_be_written_in_and_ticked(browser: Browser, pages: dict[str, Path]) -> None:
    """Without a script a maker ticks a fat off, writes a lot and the batch's number, and both are printed."""
    with browsing.opened(browser, pages["everyday"].as_uri(), scripts=False) as tab:
        tab.page.get_by_role("checkbox", name="castor oil is weighed").check()
        tab.page.get_by_role("textbox", name="Lot of castor oil").fill("CA-77")
        tab.page.get_by_role("textbox", name="Batch no.").fill("2026-118")
        assert tab.page.get_by_role("checkbox", name="castor oil is weighed").is_checked()
        printed = browsing.pages_of(browsing.printed(tab.page))
    assert "CA-77" in printed[0]
    assert all("2026-118" in page for page in printed)


def test_hostile_names_do_nothing(browser: Browser, pages: dict[str, Path]) -> None:
    """A title with markup, templates and letters that turn round is shown as it is written, and nothing runs."""
    with browsing.opened(browser, pages["hostile"].as_uri()) as tab:
        heard: list[str] = []
        tab.page.on("dialog", lambda dialog: heard.append(dialog.message))
        tab.page.reload()
        assert tab.page.locator("h1").inner_text() == HOSTILE.replace("\u202e", "<U+202E>")
        assert tab.page.locator("script").count() == 0
        assert heard == []


def test_it_reads_without_colour(browser: Browser, pages: dict[str, Path]) -> None:
    """Black, white and greys alone: every colour that is set has its three parts alike."""
    with browsing.opened(browser, pages["everyday"].as_uri()) as tab:
        colours = tab.page.evaluate(
            "() => [...new Set([...document.querySelectorAll('body *')].flatMap(one => { const style = getComputedStyle(one);"
            " return [style.color, style.backgroundColor, style.borderTopColor, style.fill, style.stroke]; }))]"
        )
    parts = [re.findall(r"\d+(?:\.\d+)?", colour)[:3] for colour in colours if colour != "none"]
    assert len(parts) >= 2
    assert all(len(set(part)) == 1 for part in parts)


def test_the_html_is_valid(pages: dict[str, Path]) -> None:
    """The Nu Html Checker of the W3C (npm's `vnu-jar`, run offline) finds no error and nothing to warn of."""
    jar, java = os.environ.get("BARWRIGHT_VNU_JAR", ""), shutil.which("java")
    if not jar or java is None:
        needs = "java and the Nu Html Checker: npm pack vnu-jar, and BARWRIGHT_VNU_JAR names its vnu.jar"
        if browsing.is_required():
            pytest.fail(needs)
        pytest.skip(needs)
    command = [java, *browsing.BRIEF, "-jar", jar, "--format", "gnu", *map(str, pages.values())]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
