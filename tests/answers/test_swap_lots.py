"""What takes a fat's place where the recipe names a lot: the old bar is reckoned with it, and what stays keeps it."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.swap import swap
from optimiser.answers.weigh import weigh
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

SHELF = """
title: Lots (invented)
alkalis:
  sodium hydroxide: {purity: 99 %, price: 2 / kg}
fats:
  - {fat: olive oil, price: 7 / kg}
  - fat: coconut oil
    price: 3 / kg
    lots:
      - {number: A, stock: 2 kg, saponification_value: 256.4, tolerance: 1.5, best_before: 2027-03-01}
      - {number: B, stock: 6 kg, best_before: 2027-09-01}
  - {fat: lard, price: 2.2 / kg}
  - {fat: palm kernel oil, price: 3.5 / kg}
  - {fat: shea butter, price: 9 / kg}
  - {fat: rapeseed oil, price: 2.1 / kg}
"""
RECIPE = """
title: Of a lot
shelf: shelf.yaml
fats:
  coconut oil (lot A): 250 g
  lard: 350 g
  olive oil: 400 g
superfat: 5 %
lye_concentration: 33 %
"""
OWN = "coconut oil (lot A)"


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    """A recipe that names a lot whose certificate lies far above the lowest value there is."""
    (tmp_path / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    path = tmp_path / "recipe.yaml"
    path.write_text(RECIPE, encoding="utf-8")
    return path


def test_the_old_bar_is_the_one_that_is_weighed(recipe: Path) -> None:
    """Its alkali is that of its lot, which no swap drops."""
    found = swap(recipe, "lard")
    assert found.old.recipe.sodium_hydroxide == weigh(recipe).recipe.sodium_hydroxide
    assert found.old.judgement.superfat == pytest.approx(weigh(recipe).judgement.superfat)


def test_what_stays_keeps_its_lot_and_the_bar_its_superfat(recipe: Path) -> None:
    """Weighed back over the same shelf every answer has the superfat of the old bar, but for the step of a balance."""
    found = swap(recipe, "lard")
    assert found.answers
    for answer in found.answers:
        grams = {fat.name: weight for fat, weight in answer.story.recipe.fats}
        assert grams[OWN] > 0.0
        assert answer.story.judgement.superfat == pytest.approx(found.old.judgement.superfat, abs=0.12)


def test_a_lot_alone_is_out_and_another_takes_its_place(recipe: Path) -> None:
    """The best in its place is the same fat of another lot, with the alkali of that one, and it is said that only the lot is out."""
    found = swap(recipe, OWN)
    first = found.answers[0]
    assert [(item.fat, round(item.after)) for item in first.changed] == [(OWN, 0), ("coconut oil", 25)]
    assert first.fits
    assert first.alkali_change < 0.0
    assert any(note.startswith(f"Only {OWN} is out") for note in found.notes)


def test_a_fat_that_is_out_is_out_in_every_lot(recipe: Path) -> None:
    """No other lot stands in for it."""
    found = swap(recipe, "coconut oil")
    assert found.out == (OWN,)
    assert found.answers
    for answer in found.answers:
        assert all(fat.known_as != "coconut oil" for fat, _ in answer.story.recipe.fats)
    assert any(note.startswith("All of coconut oil is out") for note in found.notes)


def test_a_fat_that_is_kept_is_kept_as_the_lot_it_is(recipe: Path) -> None:
    """Its share does not move, and no other lot comes in beside it."""
    for answer in swap(recipe, "lard", keep="coconut oil").answers:
        shares = {fat.name: weight / answer.story.recipe.fat_grams for fat, weight in answer.story.recipe.fats}
        assert shares[OWN] == pytest.approx(0.25, abs=2e-3)
        assert "coconut oil" not in shares


def test_a_lot_cannot_be_out_while_its_fat_is_kept(recipe: Path) -> None:
    """Both are told, as where one name is given twice."""
    with pytest.raises(BadInput) as bad:
        swap(recipe, OWN, keep="coconut oil")
    assert Code.CONTRADICTION in {item.code for item in bad.value.diagnostics}
