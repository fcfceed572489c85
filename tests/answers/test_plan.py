"""Plans as answers: scarce fats shared out, what is bought, rules that give way, and why there is none."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from benches import ROOT, laid

import optimiser
from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_results import NoPlan, Plan
from optimiser.answers.results import Blend
from optimiser.report.terminal import no_plan
from optimiser.report.terminal.page import Paper, printed

GOALS = ROOT / "goals"
SHELF = (ROOT / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8")


def plan_of(folder: Path, bars: dict[str, str], shelf: str = SHELF, head: str = "") -> Path:
    """A plan of goal files of the tree, each with its batch."""
    lines = "\n".join(f"  - {{goals: '{GOALS / name}.yaml', batch: {{{batch}}}}}" for name, batch in bars.items())
    laid(folder, {"shelf.yaml": shelf, "plan.yaml": f"title: October\nshelf: shelf.yaml\n{head}bars:\n{lines}\n"})
    return folder / "plan.yaml"


@cache
def october() -> Plan:
    """The example of the tree, asked once in a run."""
    found = answer_plan(ROOT / "examples" / "october-plan.yaml")
    assert isinstance(found, Plan)
    return found


def taken(plan: Plan, fat: str) -> list[float]:
    """What each bar weighs out of a fat, kg."""
    return [sum(line.to_weigh for line in bar.blend.fats if line.fat == fat) / 1000.0 for bar in plan.bars]


def test_the_example_buys_less_than_one_bar_after_the_other() -> None:
    """Four bars bought for together take less cash than one after the other, though what is left over is carried on."""
    found = october()
    assert len(found.bars) == 4
    assert found.one_by_one is not None
    assert found.one_by_one.cash is not None
    assert found.cash_out < found.one_by_one.cash - 10.0
    assert found.cash_out == pytest.approx(sum(line.cost for line in found.buying))
    assert all(line.size_kg > 0.0 and line.number == round(line.number) for line in found.buying)


def test_what_is_bought_covers_what_is_weighed_out() -> None:
    """Stock and packs together are never less than what the bars weigh out of a fat."""
    found = october()
    shelf = optimiser.read_shelf(ROOT / "examples" / "october-shelf.yaml")
    for item in shelf.fats:
        bought = sum(line.kilos for line in found.buying if line.fat == item.fat.name)
        assert sum(taken(found, item.fat.name)) <= (item.stock_kg or 0.0) + bought + 1e-6


def test_each_bar_is_judged_like_any_other() -> None:
    """Every goal of every bar holds of the grams as weighed, and each has its cautions."""
    for bar in october().bars:
        assert [str(line.said) for line in bar.blend.goals if not line.holds_when_weighed] == []
        assert bar.blend.cautions


@pytest.mark.parametrize("limit", [2.58, 2.50])
def test_a_goal_on_cost_holds_at_what_is_paid(tmp_path: Path, limit: float) -> None:
    """A limit that holds at the cheapest prices of packs and not at those that are paid is kept all the same, at no more cash."""
    plan = (ROOT / "examples" / "october-plan.yaml").read_text(encoding="utf-8")
    plan = plan.replace("{fats: 25 kg}", f"{{fats: 25 kg}}, at_most_cost: {limit} / kg").replace("../", f"{ROOT}/")
    shelf = (ROOT / "examples" / "october-shelf.yaml").read_text(encoding="utf-8")
    laid(tmp_path, {"plan.yaml": plan, "october-shelf.yaml": shelf})
    found = answer_plan(tmp_path / "plan.yaml")
    assert isinstance(found, Plan)
    budget = next(bar.blend for bar in found.bars if bar.name == "budget")
    assert budget.cost.per_kg <= limit + 0.002
    assert [str(line.said) for line in budget.goals if not line.holds_when_weighed] == []
    assert found.cash_out == pytest.approx(october().cash_out)


def test_without_scarcity_the_answers_are_those_of_blend(tmp_path: Path) -> None:
    """With enough of everything each bar has the very grams that `blend` gives it, and nothing is told of shares."""
    found = answer_plan(plan_of(tmp_path, {"everyday": "bars: 36", "oily-skin": "bars: 20"}))
    assert isinstance(found, Plan)
    alone = optimiser.blend(GOALS / "everyday.yaml", tmp_path / "shelf.yaml")
    assert isinstance(alone, Blend)
    assert found.bars[0].blend.recipe == alone.recipe
    assert (found.scarce, found.one_by_one) == ((), None)
    assert found.buying


def test_a_scarce_fat_is_shared_out(tmp_path: Path) -> None:
    """All of a scarce fat is used and no more; a kilo more would save money; one by one costs no less."""
    shelf = SHELF.replace("stock: 80 kg", "stock: 6 kg")
    bars = {"budget": "fats: 25 kg", "everyday": "bars: 200", "mature-skin": "bars: 60"}
    found = answer_plan(plan_of(tmp_path, bars, shelf))
    assert isinstance(found, Plan)
    (palm,) = found.scarce
    assert palm.fat == "palm oil"
    assert sum(palm.drawn_kg) == pytest.approx(6.0, abs=0.003)
    assert sum(taken(found, "palm oil")) <= 6.0 + 1e-6
    assert palm.saves is not None
    assert palm.saves > 0.05
    assert found.one_by_one is not None
    assert found.one_by_one.dearer is not None
    assert found.one_by_one.dearer >= 0.0
    assert found.proof.gap < 2e-3
    assert all(bar.blend.cost.per_kg >= bar.alone_per_kg - 0.005 for bar in found.bars)


def test_in_another_order_the_same_is_paid(tmp_path: Path) -> None:
    """The order of the bars is no matter of what the plan costs."""
    shelf = SHELF.replace("stock: 80 kg", "stock: 5 kg")
    bars = {"budget": "fats: 12 kg", "mature-skin": "bars: 60"}
    one, other = (
        answer_plan(plan_of(tmp_path / name, order, shelf))
        for name, order in (("one", bars), ("other", dict(reversed(bars.items()))))
    )
    assert isinstance(one, Plan)
    assert isinstance(other, Plan)
    assert one.cost_used == pytest.approx(other.cost_used, rel=2e-4)


def test_a_shortage_is_a_clash_across_bars(tmp_path: Path) -> None:
    """Bars that need more of a fat than there is are told together, with what they need and three kinds of ways out."""
    shelf = SHELF.replace("stock: 60 kg", "stock: 1.2 kg")
    folder = plan_of(tmp_path, {"fine-swirl": "bars: 48"}, shelf).parent
    path = folder / "plan.yaml"
    line = path.read_text(encoding="utf-8").splitlines()[-1]
    path.write_text(path.read_text(encoding="utf-8") + line.replace("48", "60") + "\n", encoding="utf-8")
    found = answer_plan(path)
    assert isinstance(found, NoPlan)
    (clash,) = found.clashes
    assert clash.exact
    assert clash.bars == ("fine-swirl (1)", "fine-swirl (2)")
    (need,) = clash.needs
    assert (need.fat, need.there_kg) == ("coconut oil", 1.2)
    assert need.needed_kg is not None
    assert need.needed_kg > 1.2
    kinds = {(str(way.id.section), way.id.key) for way in found.ways}
    assert {("stock", "coconut oil"), ("goals", "batch"), ("shares", "coconut oil")} <= kinds


def test_a_way_out_makes_a_plan(tmp_path: Path) -> None:
    """More of the fat as told makes a plan, and a hundredth of a kilo less does not; so do as many bars as told."""
    shelf = SHELF.replace("stock: 60 kg", "stock: 0.9 kg")
    bars = {"fine-swirl": "bars: 48"}
    path = plan_of(tmp_path, bars, shelf)
    text = path.read_text(encoding="utf-8")
    path.write_text(text + text.splitlines()[-1] + "\n", encoding="utf-8")
    found = answer_plan(path)
    assert isinstance(found, NoPlan)
    more = next(way.after for way in found.ways if way.id.section == "stock")
    fewer = next(way.after for way in found.ways if way.id.key == "batch")
    assert more > 0.9
    assert fewer < 48
    enough = shelf.replace("stock: 0.9 kg", f"stock: {more} kg")
    (tmp_path / "shelf.yaml").write_text(enough, encoding="utf-8")
    assert isinstance(answer_plan(path), Plan)
    less = shelf.replace("stock: 0.9 kg", f"stock: {more - 0.02:.2f} kg")
    (tmp_path / "shelf.yaml").write_text(less, encoding="utf-8")
    assert isinstance(answer_plan(path), NoPlan)
    (tmp_path / "shelf.yaml").write_text(shelf, encoding="utf-8")
    path.write_text(text + text.splitlines()[-1].replace("48", f"{fewer:.0f}") + "\n", encoding="utf-8")
    assert isinstance(answer_plan(path), Plan)


def test_a_bar_that_cannot_be_at_all_is_told_by_itself(tmp_path: Path) -> None:
    """A bar without a blend even with the shelf to itself is named, with its own clashes."""
    found = answer_plan(plan_of(tmp_path, {"everyday": "bars: 20", "cannot-be": "bars: 20"}))
    assert isinstance(found, NoPlan)
    ((name, why),) = found.alone
    assert name == "cannot-be"
    assert why.clashes
    assert found.clashes == ()


def test_the_stock_alone_may_be_all_there_is(tmp_path: Path) -> None:
    """With `buy: none` nothing is bought, and only what is in stock is used."""
    stocked = "\n".join(
        line.replace("}", ", stock: 9 kg}", 1) if "fat:" in line and "stock" not in line and "lot" not in line else line
        for line in SHELF.splitlines()
    )
    found = answer_plan(plan_of(tmp_path, {"budget": "fats: 3 kg"}, stocked, "buy: none\n"))
    assert isinstance(found, Plan)
    assert found.buying == ()
    assert found.cash_out == 0.0
    shelf = optimiser.read_shelf(tmp_path / "shelf.yaml")
    without = {item.fat.name for item in shelf.fats if item.stock_kg is None}
    assert without
    assert without.isdisjoint(line.fat for bar in found.bars for line in bar.blend.fats)


def test_rules_of_the_house_give_way_to_a_shortage(tmp_path: Path) -> None:
    """Where the house leaves no room for a plan its rules give way, as they do for one bar, and the proof says so."""
    shelf = """currency: EUR
fats:
  - {fat: olive oil, price: 7 / kg, stock: 1.2 kg}
  - {fat: coconut oil, price: 3 / kg}
  - {fat: palm oil, price: 2 / kg}
  - {fat: palm kernel oil, price: 2.9 / kg}
alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}
"""
    laid(tmp_path, {"shelf.yaml": shelf, "bar.yaml": "goals: {hardness: {at_least: 50}}\nbatch: {fats: 3 kg}\n"})
    bars = "bars:\n  - {goals: bar.yaml}\n  - {goals: bar.yaml}\n"
    (tmp_path / "plan.yaml").write_text(f"shelf: shelf.yaml\n{bars}", encoding="utf-8")
    found = answer_plan(tmp_path / "plan.yaml")
    assert isinstance(found, Plan)
    assert not found.proof.is_whole
    assert [bool(bar.blend.stood_aside) for bar in found.bars] == [False, True]
    assert found.proof.gap < 0.02


SALTY = """currency: EUR
fats:
  - {fat: olive oil, price: 7 / kg}
  - {fat: coconut oil, price: 3 / kg, stock: 6 kg}
  - {fat: lard, price: 2.2 / kg, stock: 0.5 kg}
  - {fat: castor oil, price: 4.8 / kg, stock: 2 kg}
alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}
additives: [{additive: salt, price: 0.6 / kg}]
"""


def test_what_others_leave_is_told_as_that_and_never_as_a_stock_to_write(tmp_path: Path) -> None:
    """Where a bar lacks what the others use no stock is told that no file has, and no way back is worked out on it."""
    bar = "goals: {superfat: 5 %}\nfree_from: [animal]\nbatch: {fats: 6 kg}\n"
    salt = "shares: {coconut oil: {at_least: 75 %}}\nadditives: {salt: 50 %}\ngoals: {superfat: 15 %}\n"
    files = {"shelf.yaml": SALTY, "slab.yaml": bar, "salt.yaml": f"{salt}batch: {{fats: 7.9 kg}}\n"}
    laid(tmp_path, files)
    path = tmp_path / "plan.yaml"
    path.write_text("shelf: shelf.yaml\nbars:\n  - {goals: salt.yaml}\n  - {goals: slab.yaml}\n", encoding="utf-8")
    found = answer_plan(path)
    assert isinstance(found, Plan)
    salty, slab = (bar.blend for bar in found.bars)
    whys = " ".join(item.why for blend in (salty, slab) for item in blend.stood_aside)
    assert "in stock" not in whys
    assert "what the other bars leave" in whys
    assert "no coconut oil" in whys or " kg of coconut oil" in whys
    assert salty.far_off == ()  # it has as much coconut oil as its own file asks


def test_what_is_not_sold_in_packs_is_told_so(tmp_path: Path) -> None:
    """With `buy: packs` a fat of which no stock is told has none "of 0 kg": what lacks is its packs, and that is said."""
    files = {"shelf.yaml": SALTY.replace(", stock: 2 kg", ""), "bar.yaml": "shares: {castor oil: 5 %}\n"}
    laid(tmp_path, files)
    path = tmp_path / "plan.yaml"
    path.write_text("shelf: shelf.yaml\nbuy: packs\nbars: [{goals: bar.yaml, batch: {fats: 1 kg}}]\n", encoding="utf-8")
    found = answer_plan(path)
    assert isinstance(found, NoPlan)
    page = " ".join(printed(Paper(100), no_plan.parts(found)).split())
    assert "only what is in stock or sold in packs" in page
    assert "tell its packs: there" in page
    assert "0 kg" not in page


LOTS = """currency: EUR
fats:
  - {fat: olive oil, price: 7 / kg}
  - fat: coconut oil
    price: 3 / kg
    lots: [{number: KW-1, stock: 9 kg, best_before: 2030-01-01}, {number: KW-0, stock: 9 kg, best_before: 2026-01-02}]
  - {fat: castor oil, price: 4.8 / kg}
alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}
"""


def test_a_lot_past_its_day_is_told_once(tmp_path: Path) -> None:
    """Bars made on different days warn of the same old lot once."""
    bar = "batch: {fats: 1 kg}\nmade: 2026-10-0"
    laid(tmp_path, {"shelf.yaml": LOTS, "a.yaml": f"{bar}1\n", "b.yaml": f"{bar}2\n"})
    path = tmp_path / "plan.yaml"
    path.write_text("shelf: shelf.yaml\nbars: [{goals: a.yaml}, {goals: b.yaml}]\n", encoding="utf-8")
    assert [item.code.value for item in answer_plan(path).warnings].count("expired-lot") == 1
