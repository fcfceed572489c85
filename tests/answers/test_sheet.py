"""A making sheet holds what the answer holds, in the order of the bench."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from benches import ROOT, blend_of

from optimiser.answers.results import Blend, NoBlend, WeighedRecipe
from optimiser.answers.sheet import ORDER, making_sheet, sheet_of
from optimiser.problem.units import Units
from optimiser.report.page.contents import PLACES
from optimiser.text.diagnostics import BadInput

MILK = """\
title: Milk and honey
fats: {olive oil: 450 g, coconut oil: 250 g, palm oil: 250 g, castor oil: 50 g}
superfat: 5 %
lye_concentration: 33 %
liquids: {goat milk: 50 %}
additives: {honey: 20 g, sodium lactate: 20 g, citric acid: 5 g, salt: 700 g}
"""


@pytest.fixture
def milk(tmp_path: Path) -> Path:
    """A recipe with a liquid that waits, and additives that go in at other places."""
    path = tmp_path / "milk.yaml"
    path.write_text(MILK, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", ["everyday", "design-salt-bar", "laundry"])
def test_the_balance_reads_what_stands_on_it(name: str) -> None:
    """Each reading is the sum of what was weighed so far, the last is all fats, and what is melted comes first."""
    sheet = sheet_of(blend_of(name))
    so_far = 0.0
    for row in sheet.fats:
        so_far += row.grams
        assert row.reads == pytest.approx(so_far, abs=1e-6)
    assert sheet.fats[-1].reads == pytest.approx(sheet.recipe.fat_grams, abs=1e-6)
    assert [row.melts for row in sheet.fats] == sorted((row.melts for row in sheet.fats), reverse=True)
    assert sum(row.share for row in sheet.fats) == pytest.approx(100.0)


def test_lots_come_with_their_fats() -> None:
    """A fat whose lot the shelf names carries its number, the others none."""
    lots = {row.fat: row.lot for row in sheet_of(blend_of("everyday")).fats}
    assert lots["palm oil"] == "KW-PA-208"
    assert lots["castor oil"] == ""


def test_a_recipe_has_the_lots_of_its_shelf(tmp_path: Path) -> None:
    """A recipe that names its shelf is weighed from the lots that lie there, as the blend it was kept from; else no lot is known."""
    path, fats = tmp_path / "recipe.yaml", "fats: {palm oil: 600 g, castor oil: 400 g}\nsuperfat: 5 %\n"
    path.write_text(fats, encoding="utf-8")
    shelf = ROOT / "inventory" / "kittiwake.yaml"
    for there, lots in (
        (shelf, {"palm oil": "KW-PA-208", "castor oil": ""}),
        (None, {"palm oil": "", "castor oil": ""}),
    ):
        sheet = making_sheet(path, there)
        assert not isinstance(sheet, NoBlend)
        assert {row.fat: row.lot for row in sheet.fats} == lots


def test_a_lot_without_a_certificate_stands_on_the_sheet(tmp_path: Path) -> None:
    """A lot needs no certificate to be told: its number is on the sheet of the recipe, as on that of the goals."""
    (tmp_path / "shelf.yaml").write_text(
        "fats:\n  - {fat: palm oil, price: 2 / kg, lots: [{number: P-1, stock: 2 kg}, {number: P-2, stock: 2 kg}]}\n"
        "  - {fat: castor oil, price: 4 / kg, lots: [{number: C-9}]}\n",
        encoding="utf-8",
    )
    fats = "{palm oil (lot P-1): 500 g, palm oil (lot P-2): 100 g, castor oil (lot C-9): 400 g}"
    path = tmp_path / "recipe.yaml"
    path.write_text(f"shelf: shelf.yaml\nfats: {fats}\nsuperfat: 5 %\n", encoding="utf-8")
    sheet = making_sheet(path)
    assert not isinstance(sheet, NoBlend)
    assert [row.lot for row in sheet.fats] == ["P-1", "P-2", "C-9"]


def test_a_fat_in_two_lots_is_weighed_twice() -> None:
    """Two lines of one fat keep each its own lot, told apart by their grams."""
    story = blend_of("everyday")
    palm = next(line for line in story.fats if line.fat == "palm oil")
    (fat, grams) = next(item for item in story.recipe.fats if item[0].name == "palm oil")
    others = tuple(item for item in story.recipe.fats if item[0].name != "palm oil")
    lines = tuple(line for line in story.fats if line.fat != "palm oil")
    split = story._replace(
        fats=(palm._replace(lot="A", to_weigh=grams - 300.0), palm._replace(lot="B", to_weigh=300.0), *lines),
        recipe=story.recipe._replace(fats=((fat, 300.0), (fat, grams - 300.0), *others)),
    )
    assert [(row.lot, row.grams) for row in sheet_of(split).fats if row.fat == "palm oil"] == [
        ("B", 300.0),
        ("A", grams - 300.0),
    ]


def test_nothing_of_the_recipe_is_left_out(milk: Path) -> None:
    """Water, milk, every additive and the alkali stand on the sheet once, with their grams."""
    sheet = making_sheet(milk)
    assert not isinstance(sheet, NoBlend)
    recipe = sheet.recipe
    told = {row.name: row.grams for row in (*sheet.poured, *sheet.later)}
    assert told == {"water": recipe.water, **{item.name: grams for item, grams in recipe.additives}}
    assert [(row.name, row.grams) for row in sheet.alkalis] == [("sodium hydroxide", recipe.sodium_hydroxide)]


def test_what_goes_in_later_stands_in_the_order_of_the_work(milk: Path) -> None:
    """Acid before the alkali, lactate into the cool lye, milk and honey at trace, much salt at the very end."""
    sheet = making_sheet(milk)
    assert not isinstance(sheet, NoBlend)
    assert [row.name for row in sheet.poured] == ["water"]
    assert [(row.name, row.place) for row in sheet.later] == [
        *(("citric acid", "water"), ("sodium lactate", "lye"), ("goat milk", "liquid")),
        *(("honey", "trace"), ("salt", "end")),
    ]


def test_every_place_has_words() -> None:
    """Each place that an additive of the table goes in at is ordered and told."""
    from optimiser.materials.additives import additives

    places = {item.goes_in for item in additives().values() if not item.is_liquid}
    assert places <= set(ORDER)
    assert set(ORDER) == set(PLACES)


def test_a_file_is_told_by_its_keys(milk: Path) -> None:
    """A recipe is weighed, a goal file answered, goals that clash are told as such, a shelf is refused."""
    weighed, blend = making_sheet(milk), making_sheet(ROOT / "goals" / "budget.yaml")
    assert isinstance(getattr(weighed, "story", None), WeighedRecipe)
    assert isinstance(getattr(blend, "story", None), Blend)
    assert isinstance(making_sheet(ROOT / "goals" / "cannot-be.yaml"), NoBlend)
    with pytest.raises(BadInput, match="is a shelf"):
        making_sheet(ROOT / "inventory" / "kittiwake.yaml")


def test_what_was_told_is_kept(milk: Path) -> None:
    """The day, the number and the units are those that were asked for; nothing is taken from a clock."""
    sheet = making_sheet(milk, units=Units.OUNCES, made=date(2026, 11, 28), number=" 118 ", both=True)
    assert not isinstance(sheet, NoBlend)
    assert (sheet.made, sheet.number, sheet.both, sheet.recipe.units) == (date(2026, 11, 28), "118", True, Units.OUNCES)
    assert sheet.events[0].dates is not None
    assert making_sheet(milk) == making_sheet(milk)


def test_what_must_not_be_made_is_known(tmp_path: Path) -> None:
    """A recipe with too much alkali is unfit, which the sheet says before anything is written."""
    path = tmp_path / "heavy.yaml"
    path.write_text("fats: {olive oil: 1000 g}\nalkali: {sodium hydroxide: 190 g}\nwater: 400 g\n", encoding="utf-8")
    sheet = making_sheet(path)
    assert not isinstance(sheet, NoBlend)
    assert sheet.is_unfit
