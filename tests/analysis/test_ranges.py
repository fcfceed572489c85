"""How far a figure can go: bounds that hold, blends that attain them, and lines that speak one unit."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pasted import Tree, filed
from scipy.optimize import linprog
from strategies import (
    Bar,
    at_least,
    at_most,
    bare_programme,
    bars,
    exactly,
    examples,
    sheet_of,
    shelf_of,
    wish_id,
    with_practice,
)

from optimiser.analysis.ranges import Extreme, extreme, nearest
from optimiser.answers.blend import answer_for
from optimiser.answers.reach import figures, reach, value_of
from optimiser.answers.reach_results import Reach, ReachLine
from optimiser.answers.results import NoBlend
from optimiser.maths.arrays import Vector
from optimiser.measures.measures import measures
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme, build
from optimiser.model.rows import Expression, Row
from optimiser.problem.wishes import Said, Section, WishId
from optimiser.report.json import documents as as_data
from optimiser.report.terminal import text
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Outcome

ROOT = Path(__file__).parents[2]
SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})


def far_end(made: Programme, figure: Expression, sign: int) -> float:
    """The extreme by scipy: a ratio by Charnes and Cooper's change of variables, y = t v with bottom.y = 1.

    Charnes & Cooper, Naval Research Logistics Quarterly 9 (1962) 181-186, doi:10.1002/nav.3800090303.
    """
    n = len(made.money)
    top = np.pad(figure.top, (0, n - len(figure.top)))
    bottom = np.zeros(n) if figure.bottom is None else np.pad(figure.bottom, (0, n - len(figure.bottom)))
    scale = 1.0 if figure.bottom is None else 0.0
    above, below = np.isfinite(made.row_high), np.isfinite(made.row_low)
    rows = [
        np.column_stack([made.matrix[above], -made.row_high[above]]),
        np.column_stack([-made.matrix[below], made.row_low[below]]),
        np.column_stack([np.eye(n), -made.column_high]),
        np.column_stack([-np.eye(n), made.column_low]),
    ]
    found = linprog(
        np.append(sign * top, 0.0),
        A_ub=np.vstack(rows),
        b_ub=np.zeros(sum(map(len, rows))),
        A_eq=[np.append(bottom, scale)],
        b_eq=[1.0],
        bounds=[(None, None)] * n + [(0.0, None)],
        method="highs",
    )
    assert found.status == 0, found.message
    return float(sign * found.fun)


@settings(max_examples=examples(25))
@given(bars(), st.data())
def test_the_ends_are_those_of_another_method(bar: Bar, data: st.DataObject) -> None:
    """Both ends of a figure, ratios among them, are those that one linear programme of another shape finds."""
    made = build(bar.sheet, bar.shelf)
    oracle = Oracle(made)
    oracle.hold(oracle.members)
    figure = data.draw(st.sampled_from(figures(made)))
    for sign in (1, -1):
        end = extreme(oracle, figure, sign)
        assert end is not None
        assert end.value == pytest.approx(far_end(made, figure, sign), rel=1e-5, abs=1e-4)
        check_attained(made, figure, end)


def check_attained(made: Programme, figure: Expression, end: Extreme) -> None:
    """The blend told meets every row and has the value told."""
    activity = made.matrix @ end.point
    assert (activity >= made.row_low - 1e-6).all()
    assert (activity <= made.row_high + 1e-6).all()
    assert value_of(figure, end.point) == pytest.approx(end.value, rel=1e-7, abs=1e-7)


def test_nothing_is_reached_where_nothing_can_be() -> None:
    """No blend, no end."""
    made = build(sheet_of(at_least("hardness", 60.0), at_most("hardness", 40.0)), SHELF)
    oracle = Oracle(made)
    assert all(extreme(oracle, figure, sign) is None for figure in figures(made)[:3] for sign in (1, -1))


@pytest.mark.parametrize(("wished", "end"), [(5.0, 1), (95.0, -1)])
def test_an_exact_figure_is_neared_from_its_own_side(wished: float, end: int) -> None:
    """Of an exact figure out of reach the nearest that can be is told: the least when it is too low, else the greatest."""
    made = build(sheet_of(exactly("hardness", wished)), SHELF)
    member = wish_id("goals.hardness.exactly")
    oracle = Oracle(made)
    oracle.hold(name for name in oracle.members if name != member)
    reached = extreme(oracle, made.row_of(member), end)
    assert reached is not None
    assert nearest(oracle, member) == pytest.approx(reached.value, abs=1e-7)


def test_counts_leave_gaps() -> None:
    """With no fat below a fifth, 15 % of castor oil is nearest to 20 %, not to none, though both can be."""
    each = at_least("each fat", 20.0, "count")._replace(unit="%")
    made = build(sheet_of(shares=(exactly("castor oil", 15.0, "fat"),), fat_count=(each,)), SHELF)
    member = wish_id("shares.castor oil.exactly")
    oracle = Oracle(made)
    oracle.hold(name for name in oracle.members if name != member)
    assert nearest(oracle, member) == pytest.approx(20.0, abs=1e-5)


# -- the whole answer ----------------------------------------------------------------------------------------------

SHELF_TREE: Tree = {
    "title": "an invented shelf",
    "currency": "EUR",
    "fats": [
        {"fat": "palm oil", "price": "2 / kg"},
        {"fat": "olive oil", "price": "7 / kg"},
        {"fat": "coconut oil", "price": "3 / kg"},
        {"fat": "argan oil", "price": "30 / kg", "stock": "0.3 kg"},
    ],
    "alkalis": {"sodium hydroxide": {"price": "2.40 / kg", "purity": "98 %"}},
}


def reach_of(folder: Path, goals: Tree) -> dict[str, ReachLine]:
    """The lines of an answer, by figure."""
    told = reach(filed(folder, {"practice": "off"} | goals, SHELF_TREE))
    assert isinstance(told, Reach)
    return {line.id: line for line in told.lines}


def test_every_measure_has_its_room(tmp_path: Path) -> None:
    """Every measure, superfat, lye and cost are told, and the cheapest blend lies in each room."""
    lines = reach_of(tmp_path, {"goals": {"superfat": {"between": ["4 %", "7 %"]}}})
    assert {*measures(), "superfat", "lye_concentration", "cost"} <= set(lines)
    for line in lines.values():
        assert line.low is not None
        assert line.high is not None
        assert line.low - 1e-6 <= line.now <= line.high + 1e-6


def test_own_limits_are_lifted_and_others_are_held(tmp_path: Path) -> None:
    """Hardness is told as far as the goal on lauric acid lets it, beside its own limit and not within it."""
    own = {"hardness": {"at_least": "55", "at_most": "60"}}
    plain = reach_of(tmp_path, {"goals": own})["hardness"]
    tied = reach_of(tmp_path, {"goals": own | {"short_saturated": {"at_least": "10 %"}}})["hardness"]
    for line in (plain, tied):
        assert line.low is not None
        assert line.high is not None
        assert line.high > 60.5
        assert (line.low_limit, line.high_limit) == (55.0, 60.0)
    assert plain.low is not None
    assert tied.low is not None
    assert tied.low < 54.5
    assert tied.low > plain.low + 0.5


def test_the_room_of_a_share_ends_where_the_stock_does(tmp_path: Path) -> None:
    """Stock is no limit on the share: it is held, and its kilos are not drawn on a scale of per cent."""
    line = reach_of(tmp_path, {"batch": {"fats": "2 kg"}, "shares": {"argan oil": {"at_least": "5 %"}}})["argan oil"]
    assert line.high == pytest.approx(15.0, abs=1e-6)
    assert line.low == pytest.approx(0.0, abs=1e-6)
    assert (line.low_limit, line.high_limit) == (5.0, None)


def test_a_smallest_share_is_no_limit_on_the_first_fat(tmp_path: Path) -> None:
    """No pinches holds for every fat, and stays when the room of one of them is asked."""
    goals = {"shares": {"argan oil": {"at_most": "50 %"}}, "fats": {"each_at_least": "12 %"}, "batch": {"fats": "2 kg"}}
    line = reach_of(tmp_path, goals)["argan oil"]
    assert (line.low_limit, line.high_limit) == (None, 50.0)
    assert line.high == pytest.approx(15.0, abs=1e-5)


@pytest.mark.parametrize(("asked", "kilo"), [("0.50 / bar", 5.0), ("2.00 / lb", 4.40925), ("4.50 / kg", 4.5)])
def test_a_budget_is_told_by_the_kilo(tmp_path: Path, asked: str, kilo: float) -> None:
    """A budget by the bar or the pound stands on the scale of money per kilo where it belongs."""
    lines = reach_of(tmp_path, {"goals": {"cost": {"at_most": asked}}, "batch": {"bars": "9", "cured_weight": "100 g"}})
    assert lines["cost"].unit == "EUR / kg"
    assert lines["cost"].high_limit == pytest.approx(kilo, rel=1e-4)


def test_where_there_is_no_blend_the_reason_is_told(tmp_path: Path) -> None:
    """Goals that clash have no room to tell of."""
    goals = {"goals": {"hardness": {"at_least": "60"}, "trace_speed": {"at_most": "5"}}, "practice": "off"}
    told = reach(filed(tmp_path, goals, SHELF_TREE))
    assert isinstance(told, NoBlend)
    assert wish_id("goals.trace_speed.at_most") in {member.id for clash in told.clashes for member in clash}


# -- shares of nothing ----------------------------------------------------------------------------------------------

WAXY = shelf_of({"lanolin": 9.0, "olive oil": 7.0, "coconut oil": 3.0})


def test_a_worst_case_of_fats_that_may_hold_nothing_has_an_end() -> None:
    """Lanolin at its lowest takes up no alkali: a clash on the worst case is still told, with what the shelf reaches."""
    told = answer_for(with_practice(at_least("worst_case_superfat", 8.0), at_most("superfat", 3.0)), WAXY)
    assert isinstance(told, NoBlend)
    (clash,) = told.clashes
    assert {member.id for member in clash} == {
        wish_id("goals.worst_case_superfat.at_least"),
        wish_id("goals.superfat.at_most"),
    }
    for member in clash:
        assert member.reaches is not None
        assert math.isfinite(member.reaches)
    assert told.concessions


def share_of_nothing(top: list[float], bottom: list[float]) -> tuple[Oracle, Expression]:
    """Two columns that add up to one, and a figure over them whose lower half may vanish."""
    made = bare_programme([[1.0, 1.0]], [1.0], [1.0], [0.0, 0.0])
    return Oracle(replace(made, rows=(PHYSICS,))), Expression("share", "%", 1.0, np.array(top), np.array(bottom))


PHYSICS = Row(
    WishId(Section.PHYSICS, "sum", Side.EXACTLY), "sum", Said("a whole"), Side.EXACTLY, 1.0, "", 1.0, "", np.ones(2)
)


@pytest.mark.parametrize("start", [None, np.array([1.0, 0.0]), np.array([0.25, 0.75])])
def test_ends_of_a_figure_that_may_be_a_share_of_nothing(start: Vector | None) -> None:
    """From any blend, even one with nothing to take a share of: the true end, and none where the figure has none.

    With (1, 0) nothing is below: (2 y) / y is 2 throughout, (y - x) / y runs from 1 down without end.
    """
    oracle, figure = share_of_nothing([0.0, 2.0], [0.0, 1.0])
    for sign in (1, -1):
        end = extreme(oracle, figure, sign, start)
        assert end is not None
        assert end.value == pytest.approx(2.0)
    oracle, figure = share_of_nothing([-1.0, 1.0], [0.0, 1.0])
    assert extreme(oracle, figure, 1, start) is None
    top = extreme(oracle, figure, -1, start)
    assert top is not None
    assert top.value == pytest.approx(1.0)


def test_a_share_of_what_no_blend_holds_has_no_end() -> None:
    """Where there is never anything to take a share of, there is no figure, and in the cheapest blend it stands at zero."""
    oracle, figure = share_of_nothing([1.0, 1.0], [0.0, 0.0])
    assert extreme(oracle, figure, 1) is None
    assert extreme(oracle, figure, -1) is None
    assert value_of(figure, np.array([0.5, 0.5])) == 0.0


# -- what a warm solve says is not taken on trust ---------------------------------------------------------------------


def astray(oracle: Oracle, monkeypatch: pytest.MonkeyPatch, change: Callable[[Outcome], Outcome]) -> list[int]:
    """Let the oracle's next answer go astray, until it is made to forget; counts the times that it was."""
    truly, forget = oracle.least, oracle.forget
    forgets: list[int] = []

    def least(objective: Vector | None) -> Outcome:
        outcome = truly(objective)
        return outcome if forgets or not outcome.feasible else change(outcome)

    def forgotten() -> None:
        forgets.append(1)
        forget()

    monkeypatch.setattr(oracle, "least", least)
    monkeypatch.setattr(oracle, "forget", forgotten)
    return forgets


def stopped_early(outcome: Outcome) -> Outcome:
    """A blend that is allowed but not the best, called optimal."""
    return outcome._replace(objective=outcome.objective + 1.0, row_dual=0.5 * outcome.row_dual)


def off_its_rows(outcome: Outcome) -> Outcome:
    """A blend that misses its rows, called optimal."""
    return outcome._replace(point=1.01 * outcome.point)


@pytest.mark.parametrize("change", [stopped_early, off_its_rows])
def test_an_end_that_cannot_be_confirmed_is_asked_for_again(
    monkeypatch: pytest.MonkeyPatch, change: Callable[[Outcome], Outcome]
) -> None:
    """A warm answer whose duals do not prove it, or whose blend misses a row, is asked for again from cold."""
    made = build(sheet_of(at_most("iodine_value", 60.0)), SHELF)
    figure = next(item for item in figures(made) if item.figure == "hardness")
    truth = extreme(Oracle(made), figure, -1)
    oracle = Oracle(made)
    oracle.hold(oracle.members)
    forgets = astray(oracle, monkeypatch, change)
    found = extreme(oracle, figure, -1)
    assert truth is not None
    assert found is not None
    assert found.value == pytest.approx(truth.value, abs=1e-6)
    assert len(forgets) == 1


def test_true_ends_are_confirmed_at_once() -> None:
    """No figure of an ordinary bar is asked for twice: the check does not cry wolf."""
    made = build(with_practice(at_least("hardness", 40.0)), SHELF)
    oracle = Oracle(made)
    oracle.hold(oracle.members)
    for figure in figures(made):
        top = np.pad(figure.top, (0, len(made.money) - len(figure.top)))
        for objective in (top, -top):
            assert oracle.confirmed(oracle.least(objective), objective), figure.figure


# -- where the work ends ----------------------------------------------------------------------------------------------


def test_what_was_not_worked_out_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """With fats counted and hardly any work allowed the room of some figures is left open, in text and in JSON."""
    monkeypatch.setattr("optimiser.answers.reach.REACH_WORK", 3e3)
    found = reach(ROOT / "goals" / "everyday.yaml")
    assert isinstance(found, Reach)
    assert not found.complete
    assert any(line.low is None for line in found.lines)
    assert as_data.reach(found)["complete"] is False
    assert "were not worked out" in text.reach(found, width=80, colour=False, ascii=False)
