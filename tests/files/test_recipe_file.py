"""The recipe file: masses of what goes into the pot."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from optimiser.files.recipe_file import read_recipe
from optimiser.measures.quantities import quantities
from optimiser.problem.recipe import RecipeSheet
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from pathlib import Path

FULL = """\
title: Estuary swirl
fats: {olive oil: 700 g, coconut oil: 250 g, castor oil: 50 g}
alkali: {sodium hydroxide: 135 g}
water: 280 g
additives: {sodium lactate: 20 g}
"""


def read(folder: Path, text: str) -> RecipeSheet:
    """The recipe in a text."""
    path = folder / "recipe.yaml"
    path.write_text(text, encoding="utf-8")
    return read_recipe(path)


def faults(folder: Path, text: str) -> tuple[Diagnostic, ...]:
    """What is wrong with a text."""
    with pytest.raises(BadInput) as caught:
        read(folder, text)
    return caught.value.diagnostics


def test_masses_are_read_as_grams_in_file_order(tmp_path: Path) -> None:
    """Every mass is exactly the figure that was written."""
    sheet = read(tmp_path, FULL)
    assert [(item.name, item.grams) for item in sheet.fats] == [
        ("olive oil", 700),
        ("coconut oil", 250),
        ("castor oil", 50),
    ]
    assert [(item.name, item.grams) for item in sheet.alkali] == [("sodium hydroxide", 135)]
    assert [(item.name, item.grams) for item in sheet.additives] == [("sodium lactate", 20)]
    assert (sheet.water_g, sheet.superfat, sheet.lye_concentration, sheet.potassium_share) == (280, None, None, 0)
    assert sheet.fats[1].span.line == 2


def test_goals_in_place_of_a_recipe_are_named(tmp_path: Path) -> None:
    """A goal file given as a recipe is one fault that names the command it is for; one with masses is read as it stands."""
    (found,) = faults(tmp_path, "title: x\ngoals: {hardness: 40}\nshares: {lard: 5 %}\nfats: {at_most: 6}\n")
    assert (found.code, found.message) == ("wrong-file", "this is a goal file, not a recipe")
    assert "barwright blend" in found.help
    assert [item.code for item in faults(tmp_path, FULL + "batch: {bars: 3}\n")] == ["contradiction"]


def test_units_synonyms_and_batch_keys(tmp_path: Path) -> None:
    """Pounds and ounces, other names, and how it is poured and cured."""
    text = """\
Fats: {Canola Oil: 2 lb, Coconut: 8 oz}
superfat: 5 %
potassium share: 10 %
lye concentration: 33
batter_temperature: 95 degF
gel: yes
cured_water: 8 %
bars: 12
cured_weight: 4 oz
"""
    sheet = read(tmp_path, text)
    assert [item.name for item in sheet.fats] == ["rapeseed oil", "coconut oil"]
    assert sheet.fats[0].grams == pytest.approx(907.18474)
    assert (sheet.superfat, sheet.potassium_share, sheet.lye_concentration, sheet.water_g) == (5, 10, 33, None)
    assert sheet.bars == 12
    assert sheet.batter_temperature == pytest.approx(35)
    assert sheet.cured_water == pytest.approx(0.08)
    assert sheet.gel
    assert sheet.cured_weight_kg == pytest.approx(0.1133980925)
    assert sheet.title == "recipe"


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("fats: {lard: 1 kg}\nalkali: {NaOH: 130 g}\nsuperfat: 5 %", "contradiction", (3, 1)),
        ("fats: {lard: 1 kg}\nalkali: {NaOH: 130 g}\npotassium_share: 5 %", "contradiction", (3, 1)),
        ("fats: {lard: 1 kg}\nsuperfat: 5 %\nwater: 280 g\nlye_concentration: 33 %", "contradiction", (4, 1)),
        ("fats: {lard: 1 kg}\nwater: 280 g", "missing-key", (1, 1)),
        ("superfat: 5 %", "missing-key", (1, 1)),
        ("fats: {lard: 1 kg}\nsuperfat: -1 %", "lye-heavy", (2, 11)),
        ("fats: {lard: 1 kg}\nsuperfat: 0.05", "share-or-fraction", (2, 11)),
        ("fats: {lard: 1000}\nsuperfat: 5 %", "no-unit", (1, 14)),
        ("fats: {lard: 0 g}\nsuperfat: 5 %", "out-of-range", (1, 14)),
        ("fats: {lard: 1 kg, LARD: 5 g}\nsuperfat: 5 %", "repeated-key", (1, 20)),
        ("fats: {lrd: 1 kg}\nsuperfat: 5 %", "unknown-fat", (1, 8)),
        ("fats: {}\nsuperfat: 5 %", "no-value", (1, 7)),
        ("fats: {lard: 1 kg}\nalkali: {lye: 130 g}", "unknown-alkali", (2, 10)),
        ("fats: {lard: 1 kg}\nsuperfat: 5 %\nadditives: {sugr: 5 g}", "unknown-additive", (3, 13)),
        ("oils: {lard: 1 kg}\nfats: {lard: 1 kg}\nsuperfat: 5 %", "unknown-key", (1, 1)),
    ],
)
def test_each_fault_has_its_place(tmp_path: Path, text: str, code: str, place: tuple[int, int]) -> None:
    """One slip gives one diagnostic, where it stands."""
    (found,) = faults(tmp_path, text + "\n")
    assert found.span is not None
    assert (found.code, (found.span.line, found.span.column)) == (code, place)
    assert found.help


def test_own_fats_are_known_from_the_shelf(tmp_path: Path) -> None:
    """A recipe may hold a fat that only the shelf knows."""
    (tmp_path / "ours.yaml").write_text(
        "fats:\n  - {fat: Nettle Olive, like: olive oil, price: 9 / kg}\n", encoding="utf-8"
    )
    sheet = read(tmp_path, "shelf: ours.yaml\nfats: {nettle olive: 500 g}\nsuperfat: 5 %\n")
    assert sheet.fats[0].name == "Nettle Olive"
    assert sheet.shelf == tmp_path / "ours.yaml"


@pytest.mark.parametrize(
    ("key", "figure", "code", "place"),
    [
        ("superfat", "41 %", "out-of-range", (2, 11)),
        ("lye_concentration", "9 %", "out-of-range", (2, 20)),
        ("lye_concentration", "51 %", "out-of-range", (2, 20)),
        ("potassium_share", "101 %", "out-of-range", (2, 18)),
    ],
)
def test_figures_that_cannot_be_are_told_with_their_ends(
    tmp_path: Path, key: str, figure: str, code: str, place: tuple[int, int]
) -> None:
    """A share beyond what the quantity can be is refused with the ends between which it lies."""
    superfat = "" if key == "superfat" else "superfat: 5 %\n"
    (found,) = faults(tmp_path, f"fats: {{lard: 1 kg}}\n{key}: {figure}\n{superfat}")
    assert found.span is not None
    assert (found.code, (found.span.line, found.span.column)) == (code, place)
    known = quantities()[key]
    assert found.help == f"it lies between {known.lowest:g} % and {known.highest:g} %"
    assert figure in found.message


@pytest.mark.parametrize(("key", "low", "high"), [("superfat", "0 %", "40 %"), ("lye_concentration", "10 %", "50 %")])
def test_the_ends_themselves_can_be(tmp_path: Path, key: str, low: str, high: str) -> None:
    """The least and the most that a quantity can be are taken."""
    for figure in (low, high):
        superfat = "" if key == "superfat" else "superfat: 5 %\n"
        sheet = read(tmp_path, f"fats: {{lard: 1 kg}}\n{key}: {figure}\n{superfat}")
        assert getattr(sheet, key) == float(figure.removesuffix(" %"))


@pytest.mark.parametrize(
    ("line", "help_"),
    [
        (
            "lye: 30 %",
            "for its strength write lye_concentration: 30 %; for what is weighed, alkali: {sodium hydroxide: 135 g}",
        ),
        (
            "Lye: 140 g",
            "for its strength write lye_concentration: 33 %; for what is weighed, alkali: {sodium hydroxide: 135 g}",
        ),
        (
            "lye: {NaOH: 1 g}",
            "for its strength write lye_concentration: 33 %; for what is weighed, alkali: {sodium hydroxide: 135 g}",
        ),
        ("naoh: 135 g", "here it is written 'alkali'"),
    ],
)
def test_lye_may_be_its_strength_or_its_alkali(tmp_path: Path, line: str, help_: str) -> None:
    """Whoever writes lye is offered both, the strength with the figure that stands there."""
    path = tmp_path / "recipe.yaml"
    path.write_text(f"fats: {{olive oil: 1 kg}}\nsuperfat: 5 %\n{line}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_recipe(path)
    (fault,) = caught.value.diagnostics
    assert (fault.code, fault.help) == ("unknown-key", help_)


def test_a_jug_of_milk_alone_needs_no_water(tmp_path: Path) -> None:
    """No plain water and liquids for all of it: the lye's strength says how much; a share of nothing is a fault."""
    path = tmp_path / "milk.yaml"
    path.write_text("fats: {lard: 1 kg}\nsuperfat: 5 %\nwater: 0 g\nliquids: {goat milk: 100 %}\n", encoding="utf-8")
    assert read_recipe(path).water_g is None
    path.write_text("fats: {lard: 1 kg}\nsuperfat: 5 %\nwater: 0 g\nliquids: {goat milk: 60 %}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_recipe(path)
    (fault,) = caught.value.diagnostics
    assert fault.code == "contradiction"
    assert "leave 'water' out" in fault.help
