"""A certificate speaks for the infusions of its oil, and a likeness reaches as low as it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.files.doubts import warnings
from optimiser.files.shelf import shelf as shelves
from optimiser.materials.fat_table import reference
from optimiser.recipe.evaluation import Recipe, judge

if TYPE_CHECKING:
    from pathlib import Path

    from optimiser.problem.shelf import Shelf, Stocked

LOT = "lot: {number: OL-311, saponification_value: 189.6, tolerance: 1}"
CERTIFIED = f"{{fat: olive oil, price: 7 / kg, {LOT}}}"
INFUSIONS = ("calendula olive infusion", "chamomile infused olive oil", "our infusion")


def shelf(folder: Path, *entries: str) -> Shelf:
    """A shelf of these fats."""
    path = folder / "shelf.yaml"
    path.write_text("".join(["fats:\n", *(f"  - {entry}\n" for entry in entries)]), encoding="utf-8")
    return shelves.read_shelf(path)


def last(folder: Path, *entries: str) -> Stocked:
    """The last fat of such a shelf."""
    return shelf(folder, *entries).fats[-1]


@pytest.mark.parametrize("name", INFUSIONS)
def test_an_infusion_has_the_lot_of_its_oil(tmp_path: Path, name: str) -> None:
    """Value, ends and spread are the certificate's, wherever on the shelf it stands, and a note says which lot's."""
    mine = f"{{fat: {name}, like: olive oil, price: 9 / kg}}"
    own = last(tmp_path, CERTIFIED, mine)
    assert (own.fat.saponification.value, own.fat.saponification.low, own.fat.spread) == (189.6, 188.6, 1.0)
    found = shelf(tmp_path, mine, CERTIFIED)
    assert found.fats[0].fat.saponification == own.fat.saponification
    assert warnings(found) == ()
    (told,) = found.lot_notes([name, "olive oil"])
    assert "reckoned as lot OL-311 of olive oil, 189.6 +/- 1 mg KOH/g" in told
    assert found.lot_notes(["olive oil"]) == ()


def test_of_several_lots_the_lowest_counts(tmp_path: Path) -> None:
    """Less alkali is the safe side; a lot without a number is told as the certified one."""
    other = "{fat: cretan olive, like: olive oil, price: 8 / kg, lot: {saponification_value: 188.2, tolerance: 2}}"
    own = last(tmp_path, CERTIFIED, other, "{fat: olive infusion, like: olive oil, price: 9 / kg}")
    assert (own.fat.saponification.value, own.fat.spread) == (188.2, 2.0)
    assert own.as_lot == "the certified lot of cretan olive"


@pytest.mark.parametrize("figures", ["saponification_value: 190.4, tolerance: 1.5", LOT.replace("189.6", "190.4")])
def test_an_infusion_with_a_figure_of_its_own_keeps_it(tmp_path: Path, figures: str) -> None:
    """Its own figure says more than the oil's certificate."""
    own = last(tmp_path, CERTIFIED, f"{{fat: olive infusion, like: olive oil, price: 9 / kg, {figures}}}")
    assert (own.fat.saponification.value, own.as_lot) == (190.4, "")


def test_a_likeness_reaches_as_low_as_a_lower_lot(tmp_path: Path) -> None:
    """A lot below the table lowers the end of what is like it; one above it changes nothing, nor another fat's lot."""
    mine = "{fat: nettle olive, like: olive oil, price: 9 / kg}"
    plain = last(tmp_path, mine).fat
    low = last(tmp_path, CERTIFIED.replace("189.6, tolerance: 1", "184, tolerance: 3"), mine).fat
    assert (low.saponification.low, low.spread) == (181.0, plain.saponification.value - 181.0)
    assert (low.saponification.value, low.borrowed) == (plain.saponification.value, "olive oil")
    for other in (CERTIFIED.replace("189.6", "194"), CERTIFIED.replace("olive oil", "lard"), CERTIFIED):
        assert last(tmp_path, other, mine).fat == plain


def test_all_olive_under_three_names_is_as_sure_as_under_one(tmp_path: Path) -> None:
    """Three infusions of one certified oil are told the likely superfat of that oil alone."""
    found = shelf(tmp_path, CERTIFIED, *(f"{{fat: {name}, like: olive oil, price: 9 / kg}}" for name in INFUSIONS))
    olive, *infused = (item.fat for item in found.fats)
    alone = judge(Recipe(((olive, 999.0),), 130.0, 0.0, 270.0))
    together = judge(Recipe(tuple((fat, 333.0) for fat in infused), 130.0, 0.0, 270.0))
    assert together.superfat == pytest.approx(alone.superfat)
    assert together.superfat_likely_low == pytest.approx(alone.superfat_likely_low)
    assert together.superfat_worst_case == pytest.approx(alone.superfat_worst_case)
    for name in ("olive oil", *INFUSIONS):
        path = tmp_path / "goals.yaml"
        path.write_text(
            f"shelf: shelf.yaml\nshares: {{{name}: 100 %}}\npractice: off\ngoals: {{superfat: 5 %}}\n", encoding="utf-8"
        )
        blend = answer(path)
        assert isinstance(blend, Blend)
        assert blend.alkali.superfat_likely_low == pytest.approx(5.0 - 100.0 / 189.6, abs=0.05)
        assert any("reckoned as lot OL-311" in note for note in blend.notes) == (name != "olive oil")
    table = judge(Recipe(((reference().get("olive oil"), 999.0),), 130.0, 0.0, 270.0))
    assert table.superfat > alone.superfat + 0.5
