"""Laws of plans: a bar by itself is the bar, bars that lack nothing are what they are alone, nobody draws what is not there."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import at_least, examples, sheet_of, shelf_of, with_practice
from workshops import Workshop, workshops

from optimiser.answers.blend import answered
from optimiser.answers.plan import planned
from optimiser.answers.plan_results import NoPlan, Plan
from optimiser.answers.results import Blend
from optimiser.model.programme import build
from optimiser.planning.blocks import Member
from optimiser.planning.together import together
from optimiser.problem.batch import Batch
from optimiser.problem.goals import GoalSheet
from optimiser.problem.plan import PlannedBar, PlanQuestion, PlanSheet
from optimiser.problem.question import Question
from optimiser.problem.shelf import Shelf
from optimiser.solve.optimum import solve
from optimiser.solve.outcomes import Work
from optimiser.solve.several import allot

PRICES = {
    "olive oil": 7.4,
    "coconut oil": 3.1,
    "palm oil": 1.9,
    "lard": 2.4,
    "palm kernel oil": 2.9,
    "shea butter": 7.9,
}
MILLIGRAM = 1e-6  # kg


def asked(sheets: list[GoalSheet], shelf: Shelf) -> PlanQuestion:
    """A plan of some goals over a shelf."""
    bars = tuple(PlannedBar(Path(f"{place}.yaml"), f"{place}.yaml", shelf.fats[0].span) for place in range(len(sheets)))
    names = tuple(str(place) for place in range(len(sheets)))
    return PlanQuestion(
        PlanSheet("plan.yaml", "a plan", bars), shelf, names, tuple(Question(one, shelf) for one in sheets)
    )


@given(workshops())
@settings(max_examples=examples(30))
def test_one_bar_is_the_bar_by_itself(tmp_path_factory: pytest.TempPathFactory, workshop: Workshop) -> None:
    """A plan of one bar costs nothing beyond it, whatever its batch is measured by, and its blend meets the bar's own rows."""
    sheet, shelf = workshop.read(tmp_path_factory.mktemp("shop"))
    programme = build(sheet, shelf)
    found = solve(programme)[1]
    assume(found is not None)
    assert found is not None
    plan = together([Member("bar", programme, found.ratio)])
    allotted = allot(plan, Work())
    assert allotted is not None
    kilos = float(plan.blocks[0].fats(allotted.point).sum())
    assert allotted.beyond / kilos == pytest.approx(0.0, abs=1e-5)  # money a kilo: what is left when wishes are held
    assert allotted.least <= allotted.beyond + 1e-9 * kilos
    point = plan.blocks[0].alone(allotted.point)
    wished = {place for one in programme.soft for place in one.rows}
    activity = programme.matrix @ point
    for place in range(len(programme.rows)):
        if place not in wished:
            assert programme.row_low[place] - 1e-6 <= activity[place] <= programme.row_high[place] + 1e-6
    assert allotted.short == pytest.approx(found.short, abs=1e-5)


def kinds_of_bar() -> st.SearchStrategy[GoalSheet]:
    """Bars of a few wishes, with and without the rules of the house, measured by number, fats or batter."""
    batches = st.sampled_from(
        [
            Batch(fats_kg=None, bars=24, cured_weight_kg=0.11),
            Batch(fats_kg=None, bars=7, cured_weight_kg=0.09),
            Batch(fats_kg=2.5),
            Batch(fats_kg=None, batter_kg=4.0),
        ]
    )
    goals = st.tuples(st.integers(30, 60), st.integers(40, 70)).map(
        lambda pair: (at_least("hardness", float(pair[0])), at_least("mildness", float(pair[1])))
    )
    house = st.sampled_from([sheet_of, with_practice])
    return st.builds(lambda make, wishes, batch: make(*wishes, batch=batch, yielded=frozenset()), house, goals, batches)


@given(st.lists(kinds_of_bar(), min_size=2, max_size=3))
@settings(max_examples=examples(12))
def test_bars_that_lack_nothing_are_what_they_are_alone(sheets: list[GoalSheet]) -> None:
    """Where there is enough of everything each bar of a plan is the very answer that it has by itself, gram by gram."""
    shelf = shelf_of(PRICES)
    alone = [answered(Question(sheet, shelf)).story for sheet in sheets]
    assume(all(isinstance(one, Blend) for one in alone))
    found = planned(asked(sheets, shelf))
    assert isinstance(found, Plan)
    for bar, one in zip(found.bars, alone, strict=True):
        assert isinstance(one, Blend)
        assert bar.blend.recipe == one.recipe
        assert bar.blend.goals == one.goals
    assert found.scarce == ()


@given(st.lists(kinds_of_bar(), min_size=2, max_size=3))
@settings(max_examples=examples(8))
def test_the_programme_of_all_bars_lacks_nothing_either(sheets: list[GoalSheet]) -> None:
    """Asked all together, bars that lack nothing cost nothing beyond what they cost by themselves."""
    shelf = shelf_of(PRICES)
    programmes = [build(sheet._replace(yielded=frozenset({"likely superfat"})), shelf) for sheet in sheets]
    ratios = [one.ratio for programme in programmes for one in [solve(programme)[1]] if one is not None]
    assume(len(ratios) == len(programmes))
    members = [Member(str(place), *pair) for place, pair in enumerate(zip(programmes, ratios, strict=True))]
    found = allot(together(members), Work())
    assert found is not None
    assert found.beyond == pytest.approx(0.0, abs=1e-5)
    assert found.least == pytest.approx(0.0, abs=1e-5)


@given(
    st.lists(kinds_of_bar(), min_size=2, max_size=3),
    st.floats(0.2, 3.0),
    st.floats(0.2, 3.0),
)
@settings(max_examples=examples(15))
def test_nobody_draws_what_is_not_there(sheets: list[GoalSheet], coconut: float, palm: float) -> None:
    """What is weighed out of a fat is never more than there is, no plan is below its proof, and one by one is cheaper only with other rules."""
    stock = {"coconut oil": round(coconut, 3), "palm oil": round(palm, 3)}
    found = planned(asked(sheets, shelf_of(PRICES, stock=stock)))
    if isinstance(found, NoPlan):
        assert found.alone or found.clashes
        return
    for fat, there in stock.items():
        taken = sum(line.to_weigh for bar in found.bars for line in bar.blend.fats if line.fat == fat) / 1000.0
        assert taken <= there + MILLIGRAM
    assert all(line.holds_when_weighed for bar in found.bars for line in bar.blend.goals if line.id.section == "stock")
    assert found.proof.least <= found.cost_used + 1e-6
    if found.one_by_one is not None and found.one_by_one.dearer is not None:
        assert found.one_by_one.otherwise or found.one_by_one.dearer >= -1e-3 * found.cost_used
