"""Rules that yield: held wherever some blend meets them, given up last, and then with as much superfat as there is room for."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, exactly, examples, sheet_of, shelf_of, with_practice

from optimiser.model.programme import build
from optimiser.problem.goals import Eased, GoalSheet, PracticeChange
from optimiser.problem.shelf import Shelf
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live
from optimiser.solve.yielding import Asked, any_blend, cheapest, most_superfat, yielding

LIKELY = "likely superfat"


def shelf(tolerance: float = 0.015) -> Shelf:
    """Three dear fats, of which lean bars need less, and alkali that may be so much purer than told."""
    made = shelf_of({"palm oil": 20.0, "olive oil": 70.0, "coconut oil": 30.0})
    return made._replace(alkalis={name: item._replace(tolerance=tolerance) for name, item in made.alkalis.items()})


def superfats(asked: Asked) -> tuple[float, float]:
    """The superfat of the blend found, and what ordinary lots leave of it, both in per cent."""
    assert asked.found is not None
    columns = asked.programme.columns
    blend = asked.found.point[: columns.size]
    demand = float(columns.fat_demand @ blend)
    superfat = 100.0 * float(columns.unreacted @ blend) / demand
    likely = superfat - 100.0 * columns.lot_spread.length(asked.found.point) / demand
    return superfat, likely


@settings(max_examples=examples(40))
@given(st.floats(0.0, 3.0), st.floats(0.0, 3.0))
def test_the_rule_holds_or_there_is_as_much_superfat_as_may_be(low: float, more: float) -> None:
    """Over any range of superfat: a blend that ordinary lots leave safe, or one at the upper end with the rule told aside."""
    sheet = sheet_of(at_least("superfat", low), at_most("superfat", low + more))
    asked = cheapest(sheet, shelf())
    superfat, likely = superfats(asked)
    if asked.sheet.yielded:
        assert superfat == pytest.approx(low + more, abs=1e-4)
        assert likely < 1e-4
    else:
        assert likely > -1e-5


def test_a_range_is_not_answered_at_its_lean_end() -> None:
    """Narrowed by a hair below what the rule needs, a range of superfat is answered at its upper end, not at nothing."""
    wide, narrow = (
        cheapest(sheet_of(at_least("superfat", 0.0), at_most("superfat", high)), shelf()) for high in (1.9, 1.2)
    )
    assert not wide.sheet.yielded
    assert narrow.sheet.yielded == {LIKELY}
    assert narrow.sheet.most_superfat == pytest.approx(1.2, abs=1e-5)
    assert wide.found is not None
    assert narrow.found is not None
    assert narrow.found.ratio < wide.found.ratio


def test_what_cannot_be_without_the_rule_either_is_told_without_it() -> None:
    """Where no blend meets the goals at all, the rule stands aside and is no part of what clashes."""
    sheet = sheet_of(at_least("superfat", 3.0), at_most("superfat", 1.0))
    asked = cheapest(sheet, shelf())
    assert asked.found is None
    assert asked.sheet.yielded == {LIKELY}
    assert asked.sheet.most_superfat is None
    assert all(name.key != LIKELY for name in asked.programme.members)


def test_any_blend_says_the_same() -> None:
    """Whether there is a blend is asked with the rule, then without; what was given up is told."""
    for goals, feasible, yields in (
        ((exactly("superfat", 5.0),), True, False),
        ((exactly("superfat", 0.2),), True, True),
        ((at_least("superfat", 3.0), at_most("superfat", 1.0)), False, True),
    ):
        told, _, outcome = any_blend(sheet_of(*goals, yielded=frozenset()), shelf())
        assert outcome.feasible is feasible
        assert bool(told.yielded) is yields


def test_a_makers_own_figure_is_a_goal_like_others() -> None:
    """A figure of the maker's own for the rule does not yield; a goal on the likely superfat takes the rule's place."""
    own = PracticeChange(
        LIKELY, (at_least("likely_superfat", 1.0),), with_practice().shelf_span or shelf().fats[0].span
    )
    sheet = with_practice(exactly("superfat", 0.5), practice=(own,), yielded=frozenset())
    asked = cheapest(sheet, shelf())
    assert asked.found is None
    assert not asked.sheet.yielded
    named = sheet_of(at_least("likely_superfat", 1.0), exactly("superfat", 5.0), yielded=frozenset())
    assert yielding(named, cheapest(named, shelf()).programme) == ()


def test_the_most_superfat_is_that_of_all_blends_left() -> None:
    """Beside a budget that only lean bars meet, the most is less than the goal's own end."""
    free = cheapest(sheet_of(at_least("superfat", 0.0), at_most("superfat", 24.0)), shelf(0.0))
    assert free.found is not None
    assert most_superfat(free) == pytest.approx(24.0, abs=1e-6)
    assert most_superfat(free._replace(live=type(free.live)(free.programme, Work()))) == pytest.approx(24.0, abs=1e-6)


# -- rules that give way -------------------------------------------------------------------------------------------

FATS = {"palm oil": 20.0, "olive oil": 70.0, "coconut oil": 30.0, "castor oil": 48.0, "shea butter": 76.0}
FATS |= {"sunflower oil": 19.0, "high oleic sunflower oil": 26.0, "beef tallow": 23.0}


def stood(sheet: GoalSheet, made: Shelf) -> dict[str, Eased]:
    """The rules that gave way for an answer, by their names."""
    asked = cheapest(sheet, made)
    assert asked.found is not None
    assert not asked.sheet.is_bare
    return {name.key: eased for name, eased in asked.sheet.eased.items()}


def test_what_has_room_gives_nothing() -> None:
    """Goals that leave room for every rule leave every rule as it is."""
    assert stood(with_practice(at_least("hardness", 55.0), yielded=frozenset()), shelf_of(FATS)) == {}


def test_a_fat_that_is_named_moves_its_own_rule_and_no_further_than_it_must() -> None:
    """A fifth of castor oil moves the rule on castor oil to a fifth; all olive moves what olive oil cannot be."""
    sheet = with_practice(shares=(at_least("castor oil", 20.0, "fat"),))
    assert stood(sheet, shelf_of(FATS)) == {"castor oil": Eased(-math.inf, 20.0)}
    olive = stood(with_practice(shares=(exactly("olive oil", 100.0, "fat"),)), shelf_of(FATS))
    assert "quick lather" in olive
    assert olive["short saturated acids at least"] == Eased(0.0, math.inf)
    assert "castor oil" not in olive
    assert "superfat" not in olive


def test_a_superfat_that_another_goal_needs_moves_the_default() -> None:
    """A worst case that the default superfat cannot give moves it up, as little as may be, and nothing else."""
    sheet = with_practice(at_least("worst_case_superfat", 4.0))
    moved = stood(sheet, shelf_of(FATS))
    assert set(moved) == {"superfat"}
    assert moved["superfat"].low == 5.0
    asked = cheapest(sheet, shelf_of(FATS))
    assert asked.found is not None
    row = asked.programme.row_of(next(name for name in asked.programme.members if name.key == "worst_case_superfat"))
    assert row.value(asked.found.point) == pytest.approx(4.0, abs=0.12)


@settings(max_examples=examples(25))
@given(
    st.dictionaries(st.sampled_from(sorted(FATS)), st.floats(0.0, 60.0), min_size=1, max_size=4),
    st.floats(0.0, 25.0),
)
def test_the_house_never_costs_an_answer(shares: dict[str, float], superfat: float) -> None:
    """Whatever can be made without the rules of the house is made with them, and meets every wish of the maker's."""
    sheet = with_practice(
        exactly("superfat", superfat), shares=tuple(at_least(name, value, "fat") for name, value in shares.items())
    )
    can = any_blend(sheet._replace(practice_off=True), shelf_of(FATS))[2].feasible
    asked = cheapest(sheet, shelf_of(FATS))
    assert (asked.found is not None) is can
    if asked.found is None:
        assert asked.sheet.is_bare
        return
    assert all(
        row.shortfall(asked.found.point) < 1e-5 for row in asked.programme.rows if row.origin in ("goal", "share")
    )


@settings(max_examples=examples(15))
@given(st.floats(0.0, 40.0), st.floats(0.0, 40.0))
def test_a_rule_gives_no_more_the_less_is_asked(one: float, other: float) -> None:
    """The more castor oil is asked for, the further its rule moves, and never beyond what is asked."""
    less, more = sorted((one, other))
    moved = [
        stood(with_practice(shares=(at_least("castor oil", value, "fat"),)), shelf_of(FATS)).get("castor oil")
        for value in (less, more)
    ]
    ends = [10.0 if item is None else item.high for item in moved]
    assert ends[0] <= ends[1]
    for end, value in zip(ends, (less, more), strict=True):
        assert end <= max(10.0, value + 0.11)


def test_goals_that_cannot_be_met_are_told_without_the_house() -> None:
    """Where no blend meets the maker's own goals, no rule of the house is among the rows but the two that alkali and water stand at."""
    sheet = with_practice(shares=(at_least("olive oil", 60.0, "fat"), at_least("palm oil", 60.0, "fat")))
    asked = cheapest(sheet, shelf_of(FATS))
    assert asked.found is None
    assert asked.sheet.is_bare
    house = {name.key for name in asked.programme.members if name.origin == "practice"}
    assert house == {"superfat", "lye concentration"}


# -- the house's own lye -------------------------------------------------------------------------------------------

SOFT_OILS = shelf_of({"olive oil": 7.0, "coconut oil": 3.0, "high oleic sunflower oil": 2.6, "palm oil": 2.0})


def lye_of(sheet: GoalSheet) -> float:
    """How strong the lye of an answer is (%)."""
    asked = cheapest(sheet, SOFT_OILS)
    assert asked.found is not None
    columns, blend = asked.programme.columns, asked.found.point[: asked.programme.columns.size]
    alkali = float(columns.alkali @ blend)
    return 100.0 * alkali / (alkali + float(columns.mixing_water @ blend))


def extreme(sheet: GoalSheet, key: str, sign: float) -> float:
    """The least (-1) or the most (1) of a measure over the blends that meet goals."""
    made = build(sheet_of(*sheet.goals, at_least(key, -1e3), shares=sheet.shares), SOFT_OILS)
    row = made.row_of(next(name for name in made.members if name.key == key))
    objective = np.zeros_like(made.money)
    objective[: len(row.top)] = -sign * row.top
    return row.value(Live(made).minimise(objective).point)


def slowest(lye: float) -> float:
    """The least trace speed that a lye allows with so much coconut."""
    sheet = sheet_of(exactly("lye_concentration", lye), shares=(at_least("coconut oil", 40.0, "fat"),))
    return extreme(sheet, "trace_speed", -1.0)


def test_the_houses_lye_moves_where_a_batter_cannot_be_so_slow() -> None:
    """A slower trace than 33 % allows takes a weaker lye, as little weaker as it must be, and never weaker than 28 %."""
    part = (at_least("coconut oil", 40.0, "fat"),)
    usual, weak = slowest(33.0), slowest(28.0)
    assert weak < usual - 1.0
    easy = sheet_of(at_most("trace_speed", usual + 0.1), shares=part)
    assert stood(easy, SOFT_OILS) == {}
    middle = sheet_of(at_most("trace_speed", slowest(31.0)), shares=part)
    moved = stood(middle, SOFT_OILS)
    assert set(moved) == {"lye concentration"}
    assert moved["lye concentration"].low == pytest.approx(31.0, abs=0.11)
    assert moved["lye concentration"].high == 33.0
    assert lye_of(middle) == pytest.approx(31.0, abs=0.11)
    assert cheapest(sheet_of(at_most("trace_speed", weak - 0.1), shares=part), SOFT_OILS).found is None


def test_the_houses_lye_grows_stronger_for_a_bar_that_sets() -> None:
    """A set-up that 33 % cannot give takes a stronger lye, at most 36 %."""
    part = (at_least("olive oil", 90.0, "fat"),)
    goals = [sheet_of(at_least("set_up", value), shares=part) for value in np.arange(20.0, 60.0, 0.5)]
    moved = [stood(goal, SOFT_OILS).get("lye concentration") for goal in goals if cheapest(goal, SOFT_OILS).found]
    ends = [item.high for item in moved if item is not None]
    assert ends
    assert ends == sorted(ends)
    assert ends[-1] > 35.0
    assert all(33.0 < end <= 36.0 for end in ends)
    assert all(item.low == 33.0 for item in moved if item is not None)


def test_the_houses_lye_moves_before_other_rules_give_way() -> None:
    """Where another lye leaves room for every rule, it moves and they stand."""
    sheet = with_practice(at_most("trace_speed", 30.0), shares=(at_least("castor oil", 10.0, "fat"),))
    assert set(stood(sheet, shelf_of(FATS))) == {"lye concentration"}


def test_a_lye_that_the_maker_names_does_not_move() -> None:
    """A figure of the maker's own for the lye, or a goal on it, is theirs."""
    part = (at_least("coconut oil", 40.0, "fat"),)
    fast = at_most("trace_speed", slowest(31.0))
    assert cheapest(sheet_of(fast, exactly("lye_concentration", 33.0), shares=part), SOFT_OILS).found is None


def test_for_any_other_goal_the_lye_moves_last_of_all() -> None:
    """A hardness that a stronger lye would just give is a reason for one only where there is no blend else."""
    part = (at_least("olive oil", 90.0, "fat"),)
    hardest = [
        extreme(sheet_of(exactly("lye_concentration", lye), shares=part), "hardness", 1.0) for lye in (33.0, 36.0)
    ]
    assert hardest[1] > hardest[0] + 0.1
    easy, hard = (
        sheet_of(at_least("hardness", value), shares=part) for value in (hardest[0] - 0.1, sum(hardest) / 2.0)
    )
    assert stood(easy, SOFT_OILS) == {}
    assert "lye concentration" in stood(hard, SOFT_OILS)


# -- the house's own superfat --------------------------------------------------------------------------------------


def acid(share: float) -> GoalSheet:
    """A bar with so much citric acid (% of the fats), the strength of which strays: it may leave more alkali than is told."""
    return with_practice(additives=(exactly("citric acid", share, "additive"),), yielded=frozenset())


ACID_SHELF = shelf_of(FATS, extra={"citric acid": 5.0})


@settings(max_examples=examples(20))
@given(st.floats(0.5, 40.0))
def test_the_houses_superfat_moves_before_the_floor_falls(share: float) -> None:
    """However much is asked that strays: the superfat is above 5 % before a bar is likely lye-heavy, and no lower ever."""
    asked = cheapest(acid(share), ACID_SHELF)
    superfat, likely = superfats(asked)
    assert superfat > 5.0 - 1e-5
    assert (likely > -1e-5) or superfat > 20.0 - 1e-3
    assert bool(asked.sheet.yielded) is (likely < -1e-5)


def test_the_houses_superfat_moves_by_the_least_that_the_floor_needs() -> None:
    """The superfat that keeps the floor is told in tenths, and is a tenth at most above what is needed."""
    sheet = acid(15.0)
    at = stood(sheet, ACID_SHELF)["superfat"]
    assert at.low == 5.0
    assert 5.0 < at.high <= 10.0
    for superfat, holds in ((at.high, True), (at.high - 0.15, False)):
        own = cheapest(sheet._replace(goals=(exactly("superfat", superfat),)), ACID_SHELF)
        assert own.found is not None
        assert (not own.sheet.yielded) is holds


def test_the_house_costs_no_answer_by_its_superfat() -> None:
    """Nothing but coconut can be milder with more superfat, and is: the default of 5 % is in nobody's way upwards."""
    coconut = (exactly("coconut oil", 100.0, "fat"),)
    mild = [
        cheapest(sheet_of(exactly("superfat", value), shares=coconut), shelf_of(FATS)).found is not None
        for value in (5.0, 12.0)
    ]
    assert mild == [True, True]
    reached = [mildness_of(sheet_of(exactly("superfat", value), shares=coconut)) for value in (5.0, 8.0, 16.0)]
    assert reached == sorted(reached)
    for value, most in ((reached[1], 8.2), (reached[2], 16.2)):
        moved = stood(with_practice(at_least("mildness", value), shares=coconut), shelf_of(FATS))["superfat"]
        assert most - 0.4 < moved.high < most


def mildness_of(sheet: GoalSheet) -> float:
    """How mild the bar is that is answered."""
    made = build(sheet._replace(goals=(*sheet.goals, at_least("mildness", -1e3))), shelf_of(FATS))
    row = made.row_of(next(name for name in made.members if name.key == "mildness"))
    return row.value(Live(made).minimise().point)
