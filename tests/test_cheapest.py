"""The order of the questions: preferences, cheapest ratio, and the choice of fats where they are counted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import (
    Bar,
    at_least,
    at_most,
    bare_programme,
    bars,
    exactly,
    examples,
    programmes,
    sheet_of,
    shelf_of,
)

from optimiser.cheapest import least_ratio, solve, with_choice_fixed
from optimiser.programme import Programme, build
from optimiser.solver import Live

PRICES = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "sunflower oil": 1.9}
SHELF = shelf_of(PRICES)


def test_a_ratio_is_not_its_numerator() -> None:
    """The dearer column wins where it brings more: 3 for 2 beats 2 for 1."""
    made = bare_programme([[1.0, 1.0]], [1.0], [1.0], [2.0, 3.0], cured=[1.0, 2.0])
    found = least_ratio(Live(made))
    assert found is not None
    assert found.ratio == pytest.approx(1.5)
    assert found.point == pytest.approx([0.0, 1.0])


@settings(max_examples=examples(40))
@given(programmes(cured=True))
def test_no_vertex_reached_by_any_price_is_cheaper(made: Programme) -> None:
    """Blends found under other objectives never come below the least ratio."""
    found = least_ratio(Live(made))
    assert found is not None
    rng = np.random.default_rng(1)
    live = Live(made)
    for _ in range(8):
        point = live.minimise(rng.normal(size=len(made.money))).point
        assert (made.money @ point) / (made.cured @ point) >= found.ratio * (1.0 - 1e-9)
    assert found.ratio == pytest.approx((made.money @ found.point) / (made.cured @ found.point), rel=1e-12)


def test_a_start_within_reach_is_the_answer_at_once() -> None:
    """Asked again from the least ratio, the answer is the same; from above it, it is found all the same."""
    made = build(sheet_of(at_least("hardness", 45.0)), SHELF)
    live, found = solve(made)
    assert found is not None
    for start in (found.ratio, found.ratio * 1.5):
        again = least_ratio(live, start)
        assert again is not None
        assert again.ratio == pytest.approx(found.ratio, rel=1e-9)


def test_a_free_shelf_costs_nothing() -> None:
    """With no prices at all the ratio settles at nothing."""
    made = build(sheet_of(), shelf_of(dict.fromkeys(PRICES, 0.0), alkali_price=0.0))
    _, found = solve(made)
    assert found is not None
    assert found.ratio == pytest.approx(0.0, abs=1e-12)


def test_preferences_come_before_cost() -> None:
    """What can be met is met, however dear, and what cannot is met as far as it goes."""
    wish = (at_least("olive oil", 60.0, "fat"),)
    _, plain = solve(build(sheet_of(), SHELF))
    made = build(sheet_of(prefer=(wish,)), SHELF)
    _, kept = solve(made)
    assert plain is not None
    assert kept is not None
    assert kept.ratio > plain.ratio
    assert kept.point[made.columns.index["olive oil"]] == pytest.approx(0.6, abs=1e-7)
    capped = build(sheet_of(prefer=(wish,), shares=(at_most("olive oil", 40.0, "fat"),)), SHELF)
    live, short = solve(capped)
    assert short is not None
    assert short.point[capped.columns.index["olive oil"]] == pytest.approx(0.4, abs=1e-7)
    assert short.short == pytest.approx((20.0,), abs=1e-6)
    assert short.is_short
    assert live.programme.row_low[capped.soft[0].rows[0]] == pytest.approx(40.0, abs=1e-6)
    assert live.programme.column_high[capped.soft[0].shortfalls[0]] == 0.0


def test_an_earlier_preference_wins() -> None:
    """Of two wishes that cannot both hold the first is met whole, whichever it is."""
    olive, palm = (at_least("olive oil", 70.0, "fat"),), (at_least("palm oil", 70.0, "fat"),)
    for first, other, name in ((olive, palm, "olive oil"), (palm, olive, "palm oil")):
        made = build(sheet_of(prefer=(first, other)), SHELF)
        _, found = solve(made)
        assert found is not None
        assert found.point[made.columns.index[name]] == pytest.approx(0.7, abs=1e-7)
        assert found.point[: made.columns.count].sum() == pytest.approx(1.0)
        rest = {"olive oil": "palm oil", "palm oil": "olive oil"}[name]
        assert found.point[made.columns.index[rest]] == pytest.approx(0.3, abs=1e-6)


@settings(max_examples=examples(25))
@given(bars(counted=True, most_fats=7))
def test_counted_fats_are_few_enough(bar: Bar) -> None:
    """A counted answer uses no more fats than allowed and is found wherever a blend is known."""
    made = build(bar.sheet, bar.shelf)
    live, found = solve(made)
    assert found is not None
    assert (found.point[: made.columns.count] > 1e-7).sum() <= bar.sheet.fat_count[0].value
    again = least_ratio(with_choice_fixed(live, found))
    assert again is not None
    assert again.ratio == pytest.approx(found.ratio, rel=1e-7)


def test_too_much_to_ask_has_no_blend() -> None:
    """Goals that clash give no blend, with or without preferences."""
    goals = (at_least("hardness", 99.0), exactly("superfat", 5.0))
    assert solve(build(sheet_of(*goals), SHELF))[1] is None
    assert solve(build(sheet_of(*goals, prefer=((at_least("mildness", 60.0),),)), SHELF))[1] is None
