"""Rules that yield: held wherever some blend meets them, given up last, and then with as much superfat as there is room for."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, exactly, examples, sheet_of, shelf_of, with_practice

from optimiser.problem.goals import PracticeChange
from optimiser.problem.shelf import Shelf
from optimiser.solve.outcomes import Work
from optimiser.solve.yielding import any_blend, cheapest, most_superfat, yielding

LIKELY = "likely superfat"


def shelf(tolerance: float = 0.015) -> Shelf:
    """Three dear fats, of which lean bars need less, and alkali that may be so much purer than told."""
    made = shelf_of({"palm oil": 20.0, "olive oil": 70.0, "coconut oil": 30.0})
    return made._replace(alkalis={name: item._replace(tolerance=tolerance) for name, item in made.alkalis.items()})


@settings(max_examples=examples(40))
@given(st.floats(0.0, 3.0), st.floats(0.0, 3.0))
def test_the_rule_holds_or_there_is_as_much_superfat_as_may_be(low: float, more: float) -> None:
    """Over any range of superfat: a blend that ordinary lots leave safe, or one at the upper end with the rule told aside."""
    sheet = sheet_of(at_least("superfat", low), at_most("superfat", low + more))
    asked = cheapest(sheet, shelf())
    assert asked.found is not None
    columns = asked.programme.columns
    blend = asked.found.point[: columns.size]
    demand = float(columns.fat_demand @ blend)
    superfat = 100.0 * float(columns.unreacted @ blend) / demand
    likely = superfat - 100.0 * columns.lot_spread.length(asked.found.point) / demand
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
    free = cheapest(sheet_of(at_least("superfat", 0.0), at_most("superfat", 30.0)), shelf(0.0))
    assert free.found is not None
    assert most_superfat(free) == pytest.approx(30.0, abs=1e-6)
    assert most_superfat(free._replace(live=type(free.live)(free.programme, Work()))) == pytest.approx(30.0, abs=1e-6)
