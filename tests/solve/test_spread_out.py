"""A few blends that differ: how far, without crumbs, and what is told where the work ends."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import Bar, at_least, at_most, bars, examples, sheet_of, shelf_of

import optimiser.solve.spread_out as spreading
from optimiser.model.programme import Programme, build
from optimiser.model.swapped import Apart, by_group, swapped, within_cost
from optimiser.problem.goals import GoalSheet
from optimiser.solve.farthest import Crumbs, search, settled
from optimiser.solve.optimum import Cheapest, solve
from optimiser.solve.outcomes import Work
from optimiser.solve.spread_out import LEAST_APART, Spread, as_met, spread_out

PRICES = {
    "palm oil": 2.0,
    "palm kernel oil": 2.6,
    "coconut oil": 3.1,
    "lard": 2.2,
    "beef tallow": 2.3,
    "shea butter": 9.8,
    "olive oil": 7.4,
    "rapeseed oil": 2.1,
    "high oleic sunflower oil": 3.3,
    "castor oil": 5.2,
    "rice bran oil": 3.9,
}
SHEET = sheet_of(
    *(
        at_least("hardness", 50.0),
        at_least("quick_lather", 40.0),
        at_least("mildness", 62.0),
        at_least("wear_life", 26.0),
    ),
    shares=(at_least("castor oil", 4.0, "fat"), at_least("olive oil", 10.0, "fat")),
)


class Found(NamedTuple):
    """The blends of a question, with the rows they keep to."""

    base: Programme
    first: Cheapest
    spread: Spread


def found(sheet: GoalSheet, within: float, count: int = 4, prices: dict[str, float] | None = None) -> Found:
    """The blends of goals over a shelf."""
    live, first = solve(build(sheet, shelf_of(prices or PRICES)))
    assert first is not None
    base = within_cost(live.programme, first.ratio * (1.0 + within))
    return Found(base, first, spread_out(base, first, count, Crumbs.of(sheet), Work()))


@settings(max_examples=examples(12))
@given(bars(), st.sampled_from((0.02, 0.05, 0.15)))
def test_blends_keep_to_rows_cost_and_limit(bar: Bar, within: float) -> None:
    """Every blend meets every row, costs no more than it may, and swaps no more than is proved; limits only come down."""
    live, first = solve(build(bar.sheet, bar.shelf))
    assume(first is not None)
    assert first is not None
    base = within_cost(live.programme, first.ratio * (1.0 + within))
    spread = spread_out(base, first, 4, Crumbs.of(bar.sheet), Work())
    groups = by_group(base)
    assert spread.blends[0] is first
    assert list(spread.bounds) == sorted(spread.bounds, reverse=True)
    for blend in spread.blends:
        activity = base.matrix @ blend.point
        assert (activity >= base.row_low - 1e-6).all()
        assert (activity <= base.row_high + 1e-6).all()
        assert blend.ratio <= first.ratio * (1.0 + within) + 1e-7
        assert swapped(groups, blend.point, first.point) <= spread.most.share + 1e-6
    gaps = spread.gaps(base)
    assert all(gap >= LEAST_APART for gap in gaps) or len(gaps) == 1


def test_small_fats_are_none_or_enough() -> None:
    """No fat of the body of the bar is a crumb, where the search's own corners have such."""
    made = found(SHEET, 0.05)
    n = made.base.columns.count
    corner = search(Apart(made.base, [made.first.point]), made.first.point, Work()).point
    assert len(made.spread.blends) == 4
    for blend in made.spread.blends[1:]:
        shares = 100.0 * blend.point[:n]
        assert ((shares < 1e-4) | (shares > 1.0 - 1e-4)).all()
        assert np.count_nonzero(shares > 1e-4) <= np.count_nonzero(100.0 * corner[:n] > 1e-4) + 2


def test_a_crumb_that_the_search_brings_is_settled() -> None:
    """A corner with a crumb becomes a blend without, that swaps nearly as much and costs no more."""
    live, first = solve(build(SHEET, shelf_of(PRICES)))
    assert first is not None
    crumbs = Crumbs(SHEET, 5.0)
    base = within_cost(live.programme, first.ratio * 1.03)
    apart = Apart(base, [first.point])
    point = search(apart, first.point, Work()).point
    assert crumbs.among(base, point)
    blend = settled(apart, point, crumbs, Work())
    assert not crumbs.among(base, blend.point)
    assert apart.least(blend.point) >= 0.9 * apart.least(point)
    assert blend.ratio <= first.ratio * 1.03 + 1e-9


def test_each_is_farther_from_the_others_than_what_was_taken_first() -> None:
    """Asking each anew never brings two blends nearer than the farthest-first rule left them."""
    for within in (0.03, 0.05, 0.10):
        made = found(SHEET, within)
        greedy = [made.first]
        for _ in range(3):
            apart = Apart(made.base, [one.point for one in greedy])
            greedy.append(settled(apart, search(apart, made.first.point, Work()).point, Crumbs.of(SHEET), Work()))
        taken = Spread(tuple(greedy), made.spread.most, ())
        assert min(made.spread.gaps(made.base)) >= min(taken.gaps(made.base)) - 1e-9


def test_farther_than_random_directions() -> None:
    """The smallest gap of four blends is no less than that of the best four among 200 corners in random directions."""
    from optimiser.solve.solver import Live

    made = found(SHEET, 0.05)
    groups, n = by_group(made.base), made.base.columns.count
    draw, live = np.random.default_rng(11), Live(made.base)
    pool = []
    for _ in range(200):
        objective = np.zeros(len(made.base.money))
        objective[:n] = draw.standard_normal(n)
        pool.append(live.minimise(objective).point)
    taken = [made.first.point]
    for _ in range(3):
        taken.append(max(pool, key=lambda one: min(swapped(groups, one, other) for other in taken)))
    gap = min(swapped(groups, one, other) for place, one in enumerate(taken) for other in taken[:place])
    assert min(made.spread.gaps(made.base)) >= 0.97 * gap


def test_one_blend_only_is_one_blend() -> None:
    """Where the goals leave a single blend there is no other, and no repeat of it."""
    sheet = sheet_of(shares=(at_least("palm oil", 60.0, "fat"), at_least("olive oil", 40.0, "fat")))
    made = found(sheet, 0.05)
    assert len(made.spread.blends) == 1
    assert made.spread.most.share == pytest.approx(0.0, abs=1e-6)
    assert made.spread.most.ended
    assert made.spread.complete


def test_without_work_what_is_told_is_a_limit() -> None:
    """Where the work ends at once there is the cheapest alone, a limit that is said not to be reached, and it is said."""
    live, first = solve(build(SHEET, shelf_of(PRICES)))
    assert first is not None
    base = within_cost(live.programme, first.ratio * 1.05)
    spread = spread_out(base, first, 4, Crumbs.of(SHEET), Work(allowed=0.0))
    full = spread_out(base, first, 4, Crumbs.of(SHEET), Work())
    assert not spread.complete
    assert not spread.most.ended
    assert spread.most.share >= full.most.share
    assert len(full.blends) == 4
    assert full.most.ended


def test_the_same_every_time() -> None:
    """Two runs give the same blends to the last bit."""
    one, other = found(SHEET, 0.05), found(SHEET, 0.05)
    assert [blend.point.tobytes() for blend in one.spread.blends] == [
        blend.point.tobytes() for blend in other.spread.blends
    ]


@pytest.mark.parametrize(
    ("moves", "count", "asked"), [(True, 2, 0), (True, 3, 4), (True, 4, 6), (False, 4, 3), (True, 5, 4)]
)
def test_how_often_each_is_asked_anew(moves: bool, count: int, asked: int, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: FBT001
    """Two blends never; a few twice, or once where that moved none; many once."""
    _, first = solve(build(SHEET, shelf_of(PRICES)))
    assert first is not None
    calls: list[object] = []

    def counting(*given: object) -> Cheapest | None:
        calls.append(given)
        return first if moves else None

    monkeypatch.setattr(spreading, "farther", counting)
    spreading.anew(build(SHEET, shelf_of(PRICES)), [first] * count, Crumbs.of(SHEET), Work())
    assert len(calls) == asked


def test_of_counted_fats_the_limit_is_the_solvers() -> None:
    """Where fats are counted it is the bound of the search, said not to be exact; cut short it is said not to be reached."""
    sheet = SHEET._replace(fat_count=(at_most("number of fats", 5.0, "count"),))
    live, first = solve(build(sheet, shelf_of(PRICES)))
    assert first is not None
    base = within_cost(live.programme, first.ratio * 1.05)
    spread = spread_out(base, first, 3, Crumbs.of(sheet), Work())
    assert not spread.most.exact
    assert spread.most.ended
    far = search(Apart(base, [first.point]), first.point, Work())
    assert spread.most.share == pytest.approx(-far.objective, abs=1e-6)
    cut = spread_out(base, first, 3, Crumbs.of(sheet), Work(allowed=0.0))
    assert spread.most.share <= cut.most.share <= 1.0
    assert not cut.most.ended
    assert not cut.complete
    assert all(np.count_nonzero(one.point[: base.columns.count] > 1e-7) <= 5 for one in spread.blends)


def test_asking_anew_twice_pays_somewhere() -> None:
    """On some questions the second round brings blends further apart than the first left them."""
    gained = []
    for within in (0.02, 0.04, 0.06, 0.08):
        live, first = solve(build(SHEET, shelf_of(PRICES)))
        assert first is not None
        base = within_cost(live.programme, first.ratio * (1.0 + within))
        gaps = []
        for rounds in (0, 1, 2):
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(spreading, "MOST_ROUNDS", rounds)
                spread = spread_out(base, first, 4, Crumbs.of(SHEET), Work())
            gaps.append(min(spread.gaps(base)))
        assert gaps == sorted(gaps)
        gained.append(gaps[-1] - gaps[0])
    assert max(gained) > 0.01


def test_a_blend_that_falls_a_little_shorter_of_a_preference_is_not_lost() -> None:
    """Where tidying left it short by a hair more, others are looked for that fall no shorter; others' holds stay as they are."""
    sheet = SHEET._replace(prefer=((at_least("hardness", 99.0),), (at_least("mildness", 70.0),)))
    live, first = solve(build(sheet, shelf_of(PRICES)))
    assert first is not None
    tidy = solve(
        build(SHEET._replace(goals=(*SHEET.goals, at_most("hardness", 99.0 - first.short[0] - 0.03))), shelf_of(PRICES))
    )
    assert tidy[1] is not None
    blend = np.pad(tidy[1].point, (0, len(first.point) - len(tidy[1].point)))
    held = live.programme
    assert as_met(held, first.point) is held
    met = as_met(held, blend)
    hardness, mildness = held.soft
    assert met.row_low[hardness.rows[0]] < held.row_low[hardness.rows[0]]
    reached = met.matrix @ blend
    assert (reached >= met.row_low - 1e-9).all()
    assert (reached <= met.row_high + 1e-9).all()
    short = held.rows[mildness.rows[0]].shortfall(blend)
    moved = met.row_low[mildness.rows[0]] < held.row_low[mildness.rows[0]]
    assert moved == (short > first.short[1] + 1e-6)
    base = within_cost(met, tidy[1].ratio * 1.05)
    again = tidy[1]._replace(point=blend)
    assert spread_out(base, again, 3, Crumbs.of(sheet), Work()).blends[0] is again
