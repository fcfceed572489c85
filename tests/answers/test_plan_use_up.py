"""What is to be used up in a plan: as much as can be, and no tin is bought to bring it up by grams."""

from __future__ import annotations

from pathlib import Path

from benches import laid

import optimiser
from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_results import Plan
from optimiser.answers.results import Blend

SHELF = """title: Tarn Lane (invented)
currency: GBP
fats:
  - fat: coconut oil
    price: 2.90 / kg
    packs: [{size: 5 kg, price: 155}]
    lots:
      - {number: C-1, stock: 1.2 kg, saponification_value: 255.0, tolerance: 1.5, best_before: 2027-01-10}
      - {number: C-2, stock: 6 kg, saponification_value: 257.5, tolerance: 1.5, best_before: 2027-08-01, price: 3.05 / kg}
      - {number: C-0, stock: 2 kg, saponification_value: 256, tolerance: 1.5, best_before: 2026-06-01}
  - {fat: olive oil, price: 6.20 / kg, stock: 4 kg, packs: [{size: 4.58 kg, price: 30}]}
  - {fat: lard, price: 1.90 / kg, stock: 3 kg, packs: [{size: 2 kg, price: 4.40}]}
  - {fat: castor oil, price: 5 / kg, packs: [{size: 1 kg, price: 6.2}]}
  - {fat: shea butter, price: 7.2 / kg, stock: 900 g}
  - {fat: rice bran oil, price: 3.4 / kg, stock: 2.5 kg}
alkalis: {sodium hydroxide: {price: 2.2 / kg, purity: 99 %}}
"""
PLAIN = """batch: {bars: 48, cured_weight: 100 g}
goals: {hardness: {at_least: 45}, superfat: {between: [4 %, 7 %]}}
shares: {castor oil: {at_least: 4 %}}
made: 2026-05-01
"""
USING_UP = """batch: {fats: 3 kg}
use_up: {rice bran oil: all, coconut oil (lot C-0): all, lard: 2 kg}
goals: {hardness: {at_least: 40}, mildness: {at_least: 62}, superfat: 5 %}
made: 2026-05-01
"""


def test_no_tin_is_bought_for_grams_that_are_used_up(tmp_path: Path) -> None:
    """A few grams more of one fat used up are worth neither a dear tin nor the lots of which all is asked next."""
    plan = "shelf: shelf.yaml\nbuy: packs\naim: least cash\nbars: [{goals: plain.yaml}, {goals: use.yaml}]\n"
    laid(tmp_path, {"shelf.yaml": SHELF, "plain.yaml": PLAIN, "use.yaml": USING_UP, "plan.yaml": plan})
    found = answer_plan(tmp_path / "plan.yaml")
    assert isinstance(found, Plan)
    assert all(line.fat != "coconut oil" for line in found.buying)
    assert found.cash_out < 50.0
    using = next(bar.blend for bar in found.bars if bar.name == "use")
    shares = {line.fat: line.share for line in using.fats}
    assert shares["coconut oil (lot C-0)"] > 30.0
    assert shares["rice bran oil"] > 28.0


TIGHT = """title: Tight (invented)
fats:
  - {fat: coconut oil, price: 2.9 / kg, stock: 1.0396 kg}
  - {fat: rice bran oil, price: 3.4 / kg, stock: 0.7836 kg}
  - {fat: lard, price: 1.9 / kg, stock: 0.7416 kg}
  - {fat: shea butter, price: 7.2 / kg, stock: 0.2326 kg}
  - {fat: castor oil, price: 5 / kg, stock: 0.2036 kg}
alkalis: {sodium hydroxide: {price: 2.2 / kg, purity: 99 %}}
"""


def test_a_batch_keeps_its_size_beside_what_cannot_be_used_up(tmp_path: Path) -> None:
    """Stock to the last gram moves a batch by grams, whether or not there is as much of a fat as is to be used up."""
    bar = "batch: {fats: 3 kg}\nuse_up: {lard: 2 kg}\ngoals: {hardness: {at_least: 40}, superfat: 5 %}\npractice: off\n"
    laid(tmp_path, {"shelf.yaml": TIGHT, "bar.yaml": bar})
    found = optimiser.blend(tmp_path / "bar.yaml", tmp_path / "shelf.yaml")
    assert isinstance(found, Blend)
    assert 2990.0 < found.recipe.fat_grams <= 3001.0
    stocks = {"coconut oil": 1039.6, "rice bran oil": 783.6, "lard": 741.6, "shea butter": 232.6, "castor oil": 203.6}
    assert all(line.to_weigh <= stocks[line.fat] for line in found.fats)
