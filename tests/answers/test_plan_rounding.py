"""Plans as weighed: a batch keeps its size where there is enough of the fat, whichever lot of it is used up."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import laid

import optimiser
from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_results import Plan
from optimiser.answers.results import Blend
from optimiser.report.terminal import plan
from optimiser.report.terminal.page import Paper, printed

SHELF = """currency: EUR
fats:
  - {fat: olive oil, price: 7.40 / kg, stock: 12 kg}
  - fat: coconut oil
    price: 3.10 / kg
    lots:
      - {number: KW-1, stock: 0.8 kg, saponification_value: 256.4, tolerance: 1.5, best_before: 2027-03-01}
      - {number: KW-2, stock: 6 kg, best_before: 2027-09-01}
  - {fat: castor oil, price: 4.80 / kg, stock: 2 kg}
  - {fat: rapeseed oil, price: 2.10 / kg, stock: 10 kg}
  - {fat: lard, price: 2.20 / kg, stock: 5 kg}
alkalis: {sodium hydroxide: {purity: 99 %, price: 2.40 / kg}}
additives: [{additive: salt, price: 0.6 / kg}]
"""
SALT = """batch: {mould: {cavities: 12, length: 3 in, width: 2 in, depth: 1.25 in}, scale: 0.1 oz}
shares: {coconut oil: {at_least: 75 %}}
additives: {salt: 50 %}
goals: {superfat: 15 %}
made: 2026-10-01
"""
MILD = """batch: {bars: 24, cured_weight: 4 oz}
goals: {hardness: {at_least: 40}, mildness: {at_least: 55}, superfat: 6 %}
shares: {olive oil: {at_least: 35 %}, castor oil: 5 %}
made: 2026-10-01
"""


def planned(folder: Path, bars: str) -> Plan:
    """The plan of the two bars in an order."""
    laid(folder, {"shelf.yaml": SHELF, "salt.yaml": SALT, "mild.yaml": MILD})
    (folder / "plan.yaml").write_text(f"shelf: shelf.yaml\nbars: [{bars}]\n", encoding="utf-8")
    found = answer_plan(folder / "plan.yaml")
    assert isinstance(found, Plan)
    return found


@pytest.mark.parametrize("bars", ["{goals: mild.yaml}, {goals: salt.yaml}", "{goals: salt.yaml}, {goals: mild.yaml}"])
def test_a_tin_that_is_used_up_makes_no_batch_smaller(tmp_path: Path, bars: str) -> None:
    """A few grams of one lot, of which another bar can have less, do not cost a mould on a coarse balance a twentieth of its batch."""
    found = planned(tmp_path, bars)
    salt = next(bar.blend for bar in found.bars if bar.name == "salt")
    alone = optimiser.blend(tmp_path / "salt.yaml", tmp_path / "shelf.yaml")
    assert isinstance(alone, Blend)
    assert salt.recipe.fat_grams == pytest.approx(alone.recipe.fat_grams, rel=0.01)
    assert salt.filled is not None
    assert salt.batter_litres == pytest.approx(salt.filled.mould.litres, rel=0.02)
    for lot, there in (("KW-1", 800.0), ("KW-2", 6000.0)):
        assert sum(line.to_weigh for bar in found.bars for line in bar.blend.fats if lot in line.fat) <= there + 1e-3


def test_rounding_is_told_as_for_one_bar(tmp_path: Path) -> None:
    """What does not quite hold is told with its figure and the balance on which it would, and how far the mould is filled."""
    found = planned(tmp_path, "{goals: mild.yaml}, {goals: salt.yaml}")
    paper = Paper(100)
    page = " ".join(printed(paper, plan.parts(found, paper)).split())
    assert "On a balance that reads 0.1 oz this does not quite hold: house practice: lye concentration" in page
    assert "here 33.1 %" in page
    assert "All of it would hold on a balance that reads" in page
    assert "of mould: the batter takes up about" in page
