"""What is settled of a farthest blend: crumbs out or up, small fats left out, the least cost at what is swapped."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from strategies import at_least, at_most, sheet_of, shelf_of

from optimiser.files.question import read_question
from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.programme import build
from optimiser.model.swapped import Apart, within_cost
from optimiser.problem.goals import GoalSheet
from optimiser.solve.farthest import (
    SMALL,
    WORTH,
    Crumbs,
    at_the_same,
    held,
    in_use,
    search,
    settled,
    with_fewer,
    without_crumbs,
)
from optimiser.solve.optimum import solve
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live
from optimiser.solve.yielding import cheapest

ROOT = Path(__file__).parents[2]
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


def asked(within: float, sheet: GoalSheet = SHEET, **more: float) -> tuple[Apart, Vector]:
    """The programme of what is farthest from the cheapest blend, and what the search finds."""
    live, first = solve(build(sheet, shelf_of(PRICES | more)))
    assert first is not None
    apart = Apart(within_cost(live.programme, first.ratio * (1.0 + within)), [first.point])
    return apart, search(apart, first.point, Work()).point


def place_of(apart: Apart, fat: str) -> int:
    """The column of a fat."""
    return apart.base.columns.index[fat]


def test_a_fat_is_held_out_or_up_with_its_choice() -> None:
    """Out: none of it, and no more of it than before. Up: the rule at the least, and more of it where that is more."""
    apart, point = asked(0.03)
    crumbs = Crumbs(SHEET, 5.0)
    own = {one.group: place for place, one in enumerate(apart.own)}
    group = int(np.flatnonzero(apart.groups[:, place_of(apart, "castor oil")])[0])
    switch = apart.width + len(apart.own) + own[group]
    assert apart.own[own[group]].share == pytest.approx(0.04)
    for side, low, high, chosen in ((Side.AT_MOST, 0.0, 0.0, 0.0), (Side.AT_LEAST, 0.05, 1.0, 1.0)):
        made = held(apart, point, {"castor oil": side}, crumbs)
        place = place_of(apart, "castor oil")
        assert (made.column_low[place], made.column_high[place]) == (low, high)
        assert made.column_low[switch] == made.column_high[switch] == chosen
        assert not made.integer.any()
    much = point.copy()
    much[place_of(apart, "castor oil")] = 0.30
    made = held(apart, much, {"castor oil": Side.AT_LEAST}, Crumbs(SHEET, 2.0))
    assert made.column_low[switch] == 1.0, "what there is of it already counts, not the rule alone"


def test_the_better_of_two_ways_is_taken() -> None:
    """A crumb goes or grows, whichever leaves more swapped."""
    taken = []
    for within in (0.02, 0.03, 0.04, 0.05, 0.06):
        apart, point = asked(within)
        crumbs = Crumbs(SHEET, 9.0)
        names = crumbs.among(apart.base, point)
        if len(names) != 1:
            continue
        (fat,) = names
        ways = {
            side: Live(held(apart, point, {fat: side}, crumbs)).minimise(apart.objective)
            for side in (Side.AT_MOST, Side.AT_LEAST)
        }
        most = max(-one.objective for one in ways.values() if one.feasible)
        fats, again = without_crumbs(apart, point, crumbs, Work())
        taken.append(fats[fat])
        assert -ways[fats[fat]].objective == pytest.approx(most)
        if len(fats) == 1:
            assert apart.least(again) == pytest.approx(most, abs=1e-7)
    assert taken


def of_file(name: str) -> tuple[Apart, Vector, GoalSheet]:
    """The same of a goal file of the tree, over the demo shelf."""
    question = read_question(ROOT / "goals" / f"{name}.yaml")
    found = cheapest(question.goals, question.shelf)
    assert found.found is not None
    base = within_cost(found.live.programme, 1.05 * found.found.ratio)
    apart = Apart(base, [found.found.point])
    return apart, search(apart, found.found.point, Work()).point, found.sheet


def test_small_fats_go_as_long_as_it_is_worth_it() -> None:
    """Each that is left out makes one fat less, nearly as much is swapped, and no small fat that is left could go as well."""
    gone = 0
    for name in ("palm-free-vegetable", "oily-skin", "design-piped-top", "design-fade"):
        apart, corner, sheet = of_file(name)
        crumbs = Crumbs.of(sheet)
        out, point = without_crumbs(apart, corner, crumbs, Work())
        worth = WORTH * apart.least(corner)
        fats, again = with_fewer(apart, point, out, worth, crumbs, Work())
        more = {fat: side for fat, side in fats.items() if fat not in out}
        gone += len(more)
        assert apart.least(again) >= min(worth, apart.least(point)) - 1e-7
        assert in_use(apart, again) <= in_use(apart, point) - len(more)
        assert all(side == Side.AT_MOST and again[place_of(apart, fat)] <= 1e-9 for fat, side in more.items())
        for place, fat in enumerate(apart.base.columns.fats):
            if again[place] > 1e-7 and 1e-7 < point[place] < SMALL / 100.0 and fat.name not in fats:
                rest = Live(held(apart, again, {**fats, fat.name: Side.AT_MOST}, crumbs)).minimise(apart.objective)
                is_worth = rest.feasible and -rest.objective >= worth
                assert (
                    not is_worth
                    or in_use(apart, rest.point) >= in_use(apart, again)
                    or crumbs.among(apart.base, rest.point)
                )
    assert gone > 0


def test_a_worth_that_cannot_be_kept_leaves_all_as_it_is() -> None:
    """Where any loss is too much, no fat is left out for the sake of fewer."""
    apart, point = asked(0.03)
    fats, again = with_fewer(apart, point, {}, 1.1, Crumbs(SHEET, 1.0), Work())
    assert fats == {}
    assert again is point


def test_the_cost_is_asked_over_the_same_fats() -> None:
    """Other fats are at nothing, fats in use that nobody names stay enough, and what is swapped is held less a hair."""
    apart, point = asked(0.03)
    made = at_the_same(apart, point, {}, Crumbs(SHEET, 3.0), 1e-7)
    assert made.column_low[apart.t] == pytest.approx(apart.least(point) - 1e-7, abs=1e-12)
    shares = 100.0 * point[: apart.base.columns.count]
    assert (shares > 3.0).sum() > 3
    assert ((shares > 1e-5) & (shares < 3.0)).any()
    for place, fat in enumerate(apart.base.columns.fats):
        low, high = made.column_low[place], made.column_high[place]
        if shares[place] <= 1e-5:
            assert (low, high) == (0.0, 0.0)
        elif fat.name in ("castor oil", "olive oil") or shares[place] < 3.0:
            assert (low, high) == (0.0, 1.0)
        else:
            assert (low, high) == (pytest.approx(0.03), 1.0)


def test_it_costs_the_least_at_what_it_swaps() -> None:
    """No blend of the same fats that swaps as much is cheaper, and often one that the search brings is dearer."""
    cheaper = 0
    for within in (0.02, 0.05, 0.10, 0.20):
        apart, point = asked(within)
        blend = settled(apart, point, Crumbs.of(SHEET), Work())
        base = apart.base
        assert blend.ratio == pytest.approx(float(base.money @ blend.point) / float(base.cured @ blend.point), rel=1e-9)
        corner = float(base.money @ point[: apart.width]) / float(base.cured @ point[: apart.width])
        assert blend.ratio <= corner + 1e-6
        cheaper += blend.ratio < corner - 1e-3
        assert apart.least(blend.point) >= WORTH * apart.least(point) - 1e-6
    assert cheaper > 0


def test_an_ordinary_lye_where_nothing_else_asks() -> None:
    """Water costs nothing, so a range of lye strengths is settled as every answer settles it."""
    sheet = sheet_of(at_most("iodine_value", 55.0), at_least("lye_concentration", 26.0))  # neither feels the water
    apart, point = asked(0.05, sheet)
    blend = settled(apart, point, Crumbs.of(sheet), Work()).point
    columns = apart.base.columns
    alkali = float(columns.alkali @ blend[: columns.size])
    assert alkali / (alkali + blend[columns.index["water"]]) == pytest.approx(0.33, abs=1e-6)
