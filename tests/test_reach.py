"""How far a figure can go: bounds that hold, blends that attain them, and lines that speak one unit."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pasted import Tree, filed
from scipy.optimize import linprog
from strategies import Bar, at_least, at_most, bars, exactly, sheet_of, shelf_of

from optimiser.measures import measures
from optimiser.oracle import Oracle
from optimiser.programme import Programme, build
from optimiser.reach import Extreme, extreme, nearest
from optimiser.reaching import figures, reach, value_of
from optimiser.rows import Expression
from optimiser.story import NoBlend, Reach, ReachLine

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


@settings(max_examples=25)
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
    member = "goals.hardness.exactly"
    oracle = Oracle(made)
    oracle.hold(name for name in oracle.members if name != member)
    reached = extreme(oracle, made.row_of(member), end)
    assert reached is not None
    assert nearest(oracle, member) == pytest.approx(reached.value, abs=1e-7)


def test_counts_leave_gaps() -> None:
    """With no fat below a fifth, 15 % of castor oil is nearest to 20 %, not to none, though both can be."""
    each = replace(at_least("each fat", 20.0, "count"), unit="%")
    made = build(sheet_of(shares=(exactly("castor oil", 15.0, "fat"),), fat_count=(each,)), SHELF)
    member = "shares.castor oil.exactly"
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
    tied = reach_of(tmp_path, {"goals": own | {"lauric_and_myristic": {"at_least": "10 %"}}})["hardness"]
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
    goals = {"goals": {"hardness": {"at_least": "60"}, "trace": {"at_most": "5"}}, "practice": "off"}
    told = reach(filed(tmp_path, goals, SHELF_TREE))
    assert isinstance(told, NoBlend)
    assert "goals.trace.at_most" in {member.id for clash in told.clashes for member in clash}
