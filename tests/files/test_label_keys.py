"""What a shelf states for a label: names, and allergens of scents, in YAML and in a spreadsheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.files.shelf.shelf import read_shelf
from optimiser.problem.shelf import Shelf
from optimiser.text.diagnostics import BadInput

HEAD = "fats: [{fat: olive oil, price: 3 / kg}]\n"
SHEET = """\
item,name,price,like,inci,inci_sodium_soap,allergens,saponification_value
fat,olive oil,3,,Olive Name,Sodium Olive Name,,
fat,mystery butter,8,,Butter Name,,,186
additive,scent,60,essential oil,Oil Name,,linalool 33 %; d-limonene: 0.9 %; citral=0.05 %,
additive,other scent,60,essential oil,,,none,
additive,third scent,60,essential oil,,,,
"""


def read(folder: Path, text: str, name: str = "shelf.yaml") -> Shelf:
    """A shelf of this text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_shelf(path)


def scent(folder: Path, allergens: str) -> tuple[tuple[str, float], ...] | None:
    """The allergens of a scent, as a YAML shelf states them."""
    entry = f"{{additive: scent, like: essential oil, price: 60 / kg, allergens: {allergens}}}"
    return read(folder, f"{HEAD}additives: [{entry}]\n").additives["scent"].additive.allergens


def fault(folder: Path, allergens: str) -> str:
    """What is said of allergens that cannot be."""
    with pytest.raises(BadInput) as found:
        scent(folder, allergens)
    (first, *_) = found.value.diagnostics
    assert first.span is not None
    return f"{first.code}: {first.message} ({first.help})"


def test_allergens_by_any_name_with_their_shares(tmp_path: Path) -> None:
    """Synonyms find the name of the list; what is not known keeps its own; a fraction of a per cent needs its sign."""
    found = scent(tmp_path, "{linalool: 33 %, D-Limonene: 0.9 %, Newly  Found: 2}")
    assert found == (("Linalool", 33.0), ("Limonene", 0.9), ("Newly Found", 2.0))


def test_none_stated_is_not_nothing_stated(tmp_path: Path) -> None:
    """A paper that lists none is a statement; no key is none."""
    assert scent(tmp_path, "none") == ()
    assert scent(tmp_path, "{}") == ()
    entry = "{additive: scent, like: essential oil, price: 60 / kg}"
    assert read(tmp_path, f"{HEAD}additives: [{entry}]\n").additives["scent"].additive.allergens is None


def test_allergens_that_cannot_be_are_refused(tmp_path: Path) -> None:
    """One twice, more than the whole, a share that could be a fraction, a mass, a list: each with what to write."""
    assert "'d-limonene' is 'limonene' again" in fault(tmp_path, "{limonene: 2 %, d-limonene: 1 %}")
    assert "120 % of it together" in fault(tmp_path, "{limonene: 60 %, linalool: 60 %}")
    assert "out-of-range" in fault(tmp_path, "{limonene: 101 %}")
    assert "without a sign" in fault(tmp_path, "{limonene: 0.3}")
    assert "per cent" in fault(tmp_path, "{limonene: 3 g}")
    assert "wrong-shape" in fault(tmp_path, "[limonene, linalool]")
    assert "one figure" in fault(tmp_path, "{limonene: {at_most: 3 %}}")
    assert "no allergen with its share" in fault(tmp_path, "linalool")


def test_a_spreadsheet_states_the_same(tmp_path: Path) -> None:
    """Columns of the same names; allergens in one cell, parted by semicolons."""
    shelf = read(tmp_path, SHEET, "shelf.csv")
    olive, butter = (item.fat.label for item in shelf.fats)
    assert olive is not None
    assert butter is not None
    assert (olive.oil, olive.sodium_soap, olive.potassium_soap) == (
        "Olive Name",
        "Sodium Olive Name",
        "Potassium Olivate",
    )
    assert (butter.oil, butter.sodium_soap, butter.how) == ("Butter Name", "", "stated")
    own = {name: item.additive for name, item in shelf.additives.items()}
    assert own["scent"].inci == "Oil Name"
    assert own["scent"].allergens == (("Linalool", 33.0), ("Limonene", 0.9), ("Citral", 0.05))
    assert own["other scent"].allergens == ()
    assert own["third scent"].allergens is None


def test_a_liquid_states_its_name(tmp_path: Path) -> None:
    """Rose water is of the plant that it was made from, which only its maker knows."""
    text = f"{HEAD}liquids: [{{liquid: rose water, price: 4 / kg, inci: Rosa Damascena Flower Water}}]\n"
    assert read(tmp_path, text).liquids["rose water"].additive.inci == "Rosa Damascena Flower Water"
