"""What a kilo costs each bar of a plan: what is bought in the parts the bars draw, also where rules of the house give way."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import laid

from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_prices import shared
from optimiser.answers.plan_results import Plan
from optimiser.planning.offers import Tin
from optimiser.planning.orders import Bill, Line
from optimiser.report.terminal import plan
from optimiser.report.terminal.page import Paper, printed

SHELF = """currency: EUR
fats:
  - {fat: olive oil, price: 6.3 / kg, packs: [{size: 5 kg, price: 27.1}], stock: 0.3 kg}
  - {fat: sunflower oil, price: 1.72 / kg, packs: [{size: 2.5 kg, price: 4.2}], stock: 0.3 kg}
  - fat: coconut oil
    price: 4.65 / kg
    packs: [{size: 5 kg, price: 25.38}, {size: 1 kg, price: 3.82}]
    breaks: [{from: 4 kg, price: 3.49 / kg}]
    lots: [{number: A-1, stock: 0.4 kg, saponification_value: 255, tolerance: 1}, {number: A-2, stock: 0.7 kg}]
  - fat: palm oil
    price: 4.35 / kg
    packs: [{size: 5 kg, price: 18.9}, {size: 10 kg, price: 33.48}]
    lots: [{number: B-1, stock: 1.2 kg, saponification_value: 200, tolerance: 1}, {number: B-2, stock: 0.7 kg}]
  - {fat: shea butter, price: 7.96 / kg, packs: [{size: 1 kg, price: 6.13}], stock: 1 kg}
  - {fat: castor oil, price: 4.35 / kg, packs: [{size: 5 kg, price: 19.94}, {size: 1 kg, price: 3.67}], stock: 2.5 kg}
alkalis: {sodium hydroxide: {purity: 98 %, price: 2.40 / kg}}
"""
BAR = """title: {title}
batch: {{bars: 30, cured_weight: 100 g}}
goals: {{superfat: 5 %, hardness: {{at_least: {hardness}}}}}
shares: {{coconut oil: {{at_most: {coconut} %}}, olive oil: {{at_least: 20 %}}}}
"""
PLAN = """title: t
shelf: shelf.yaml
buy: packs
aim: least cash
bars:
  - {goals: one.yaml}
  - {goals: two.yaml, at_most_cost: 3.24 / kg}
"""


def test_rules_give_way_to_what_tins_cost(tmp_path: Path) -> None:
    """Where the house leaves no room beside a goal on the cost its rules give way, and the goal holds at what is paid."""
    one = BAR.format(title="one", hardness=30, coconut=30) + "fats: {at_most: 4, each_at_least: 5 %}\n"
    two = BAR.format(title="two", hardness=40, coconut=20)
    laid(tmp_path, {"shelf.yaml": SHELF, "one.yaml": one, "two.yaml": two, "plan.yaml": PLAN})
    found = answer_plan(tmp_path / "plan.yaml")
    assert isinstance(found, Plan)
    assert not found.proof.is_whole
    assert found.bars[1].blend.cost.per_kg <= 3.24 + 0.002
    assert sum(bar.blend.cost.batch for bar in found.bars) == pytest.approx(found.cost_used, abs=0.02)
    paper = Paper(100)
    page = " ".join(printed(paper, plan.parts(found, paper)).split())
    apart = {
        line.fat
        for line in found.bars[0].blend.fats
        for other in found.bars[1].blend.fats
        if line.fat == other.fat and abs(line.cost / line.grams - other.cost / other.grams) > 1e-5
    }
    assert {name for name in apart if f"{name[:1].upper()}{name[1:]} costs one bar more than another" in page} == apart
    assert page.count("costs one bar more than another") == len(apart) > 0


def bill_of(cost: float) -> Bill:
    """Six kilos out of tins of 2.00 and 4.00 a kilo."""
    lines = tuple(Line("palm oil", Tin(3.0, price), 1.0, 3.0 * price) for price in (2.0, 4.0))
    return Bill("palm oil", 6.0, 0.0, lines, 18.0, cost, 0.0)


def test_the_others_pay_what_is_left() -> None:
    """A bar that draws the cheap tin pays for that, and the other for the dear one: together the bill."""
    assert shared(bill_of(18.0), [3.0, 3.0], {0: 6.0}) == pytest.approx([2.0, 4.0])
    assert shared(bill_of(18.0), [2.0, 4.0], {0: 4.0, 1: 14.0}) == pytest.approx([2.0, 3.5])


def test_nobody_pays_less_than_the_cheapest_kilo() -> None:
    """What some are told to draw of dear tins while cheap ones are left costs no more than the bill leaves, nor the rest less than a kilo can."""
    told = shared(bill_of(18.0), [3.0, 3.0], {0: 15.0})
    assert told == pytest.approx([4.0, 2.0])
    assert 3.0 * sum(told) == pytest.approx(18.0)
