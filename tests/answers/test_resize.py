"""A recipe file for another batch, judged and kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.resize import ResizedRecipe, resize
from optimiser.answers.weigh import weigh
from optimiser.problem.units import Units
from optimiser.report.recipe_yaml import kept_resized, kept_yaml
from optimiser.text.diagnostics import BadInput

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
HOUSE = """\
title: House bar
design: fine swirl
fats: {olive oil: 700 g, coconut oil: 250 g, castor oil: 50 g}
alkali: {sodium hydroxide: 135 g}
water: 280 g
additives: {sodium lactate: 20 g, citric acid: 5 g}
bars: 12
cure: 8 weeks
water_hardness: 250 mg/L
"""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A recipe of a kilo of fats."""
    path = tmp_path / "house.yaml"
    path.write_text(HOUSE, encoding="utf-8")
    return path


def test_the_new_recipe_is_judged_like_any_other(house: Path) -> None:
    """Its superfat is the old one's to rounding, its measures the same, and its cautions stand."""
    old, new = weigh(house), resize(house, "2.5 kg fats")
    judged = new.story.judgement
    assert old.judgement.superfat - 1e-6 <= judged.superfat <= old.judgement.superfat + 0.1
    assert judged.values["hardness"] == pytest.approx(old.judgement.values["hardness"], abs=0.1)
    assert new.times == pytest.approx(2.5)
    assert new.superfat_before == old.judgement.superfat
    assert any("burns skin and blinds" in caution for caution in new.story.cautions)
    assert any("at the superfat that it had, 10.1 %, and rounded down" in note for note in new.story.notes)


def test_bars_keep_their_weight(house: Path) -> None:
    """Twelve bars were told: of the larger batch each weighs what it did, and bars that are asked for are made."""
    old = weigh(house).judgement.cured_grams / 12.0
    assert resize(house, "5 kg batter").bar_grams == pytest.approx(old)
    asked = resize(house, "24 bars of 110 g", shelf_file=SHELF).story
    assert asked.cost is not None
    assert asked.cost.bars == 24
    assert asked.cost.bar_grams == pytest.approx(110.0, abs=0.1)
    assert asked.judgement.cured_grams == pytest.approx(2640.0, abs=2.0)


@pytest.mark.parametrize("units", list(Units))
@pytest.mark.parametrize("to", ["24 bars of 110 g", "5 lb fats", "mould 12 x 3.5 x 2.75 in", "900 g batter"])
def test_what_is_kept_reads_back_as_it_was(house: Path, tmp_path: Path, units: Units, to: str) -> None:
    """`weigh` of the kept file, in the same units, has the same grams, design, cure and water."""
    found = resize(house, to, shelf_file=SHELF, units=units)
    kept = tmp_path / "kept.yaml"
    kept.write_text(kept_yaml(kept_resized(found), kept), encoding="utf-8")
    again = weigh(kept, units=units)
    mine, theirs = found.story.recipe, again.recipe
    assert [(fat.name, grams) for fat, grams in theirs.fats] == [(fat.name, grams) for fat, grams in mine.fats]
    assert (theirs.sodium_hydroxide, theirs.water, theirs.cure_weeks) == (mine.sodium_hydroxide, mine.water, 8.0)
    assert [grams for _, grams in theirs.additives] == [grams for _, grams in mine.additives]
    assert again.judgement.superfat == pytest.approx(found.story.judgement.superfat)
    assert "fine swirl" in kept.read_text(encoding="utf-8")
    assert "burn skin and blind" in kept.read_text(encoding="utf-8")


def test_small_batches_ask_for_a_finer_balance(house: Path) -> None:
    """A tenth of a gram in six grams is more than half a per cent of the alkali, and is said; in a kilo it is not."""

    def warned(found: ResizedRecipe) -> list[str]:
        return [note for note in found.story.notes if "finer balance" in note]

    assert warned(resize(house, "2 kg fats")) == []
    (told,) = warned(resize(house, "50 g fats"))
    assert "one step of it is 1.5 % of the alkali" in told
    with pytest.raises(BadInput, match="cannot weigh out"):
        resize(house, "3 g fats")


def test_superfat_told_is_worked_out_anew(tmp_path: Path) -> None:
    """A recipe that gives its superfat needs no note, and keeps it from below."""
    path = tmp_path / "open.yaml"
    path.write_text(
        "fats: {olive oil: 70 %, lard: 30 %}\nbatch: {fats: 1 kg}\nsuperfat: 5 %\nlye_concentration: 33 %\n", "utf-8"
    )
    found = resize(path, "mould 30 x 9 x 7 cm")
    assert not found.alkali_given
    assert 5.0 <= found.story.judgement.superfat < 5.1
    assert found.story.judgement.lye_concentration == pytest.approx(33.0, abs=0.1)
    assert found.litres == pytest.approx(1.89, abs=0.002)
    assert not [note for note in found.story.notes if "by weight" in note]
