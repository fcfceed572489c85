"""The farthest blends against brute force: every corner of a small polytope, every way that fats may grow, and scipy's milp.

The polytope is laid down here, in shares alone, from saponification and iodine values, prices and the arithmetic of a bar (moles
by molar masses from the IUPAC atomic weights of 2021, abridged); of the program it takes no row, no matrix and no solver. What is
swapped is convex in the blend, so its greatest value is at a corner of the polytope (Rockafellar, Convex Analysis, 1970,
theorem 32.2; from memory); so is the least of a ratio of linear figures.
"""

from __future__ import annotations

from itertools import combinations, product
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from strategies import PLAIN, at_most, exactly, sheet_of, shelf_of

from optimiser.materials.fat_table import reference
from optimiser.model.programme import Programme, build
from optimiser.model.swapped import Apart, swapped, within_cost
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.far_proof import most_swapped
from optimiser.solve.farthest import search
from optimiser.solve.optimum import solve
from optimiser.solve.outcomes import Work

Array = npt.NDArray[np.float64]
NAOH, KOH = 22.990 + 15.999 + 1.008, 39.098 + 15.999 + 1.008
SUPERFAT, LYE_PRICE, CURED_WATER = 5.0, 2.4 / 0.98, 0.10  # the alkali is sold 98 % pure
SEEDS = range(16)
NEAR = 2e-5  # of the fats, and of the cost: molar masses here have their own last digit
WITHIN = 0.08


class Workbench(NamedTuple):
    """Fats with prices, and the limits of a bar over their shares x: sum x = 1 and `left` x <= `right`, x from 0 on.

    `money` and `cured` are for a kilo of fats; the cost of a kilo of cured bar is their ratio.
    """

    names: tuple[str, ...]
    prices: Array
    left: Array
    right: Array
    money: Array
    cured: Array
    iodine: float
    most: tuple[str, float]


def bench(seed: int) -> Workbench:
    """Six fats drawn at random, with an end to the iodine value and to one fat, both met by a blend drawn before."""
    draw = np.random.default_rng(seed)
    names = tuple(sorted(str(name) for name in draw.choice(PLAIN, size=6, replace=False)))
    prices = np.round(draw.uniform(2.0, 9.0, 6), 2)
    fats = [reference().get(name) for name in names]
    iodine_values = np.array([fat.iodine.value for fat in fats])
    blend = draw.dirichlet(np.ones(6))
    end = float(np.ceil(10.0 * iodine_values @ blend)) / 10.0
    capped = int(draw.integers(6))
    share = min(100.0, float(np.ceil(100.0 * blend[capped])) + 5.0)
    alkali = np.array([fat.saponification.value for fat in fats]) / 1000.0 / KOH * NAOH * (1.0 - SUPERFAT / 100.0)
    top = np.zeros(6)
    top[capped] = 1.0
    return Workbench(
        names,
        prices,
        np.vstack([-np.eye(6), iodine_values, top]),
        np.array([*np.zeros(6), end, share / 100.0]),
        prices + LYE_PRICE * alkali,
        (1.0 + alkali) / (1.0 - CURED_WATER),
        end,
        (names[capped], share),
    )


def corners(left: Array, right: Array) -> Array:
    """Every corner: where as many limits meet as there are shares, and no other is missed."""
    n, found = left.shape[1], []
    for chosen in combinations(range(len(left)), n - 1):
        rows = np.vstack([np.ones(n), left[list(chosen)]])
        if abs(np.linalg.det(rows)) < 1e-9:
            continue
        point = np.linalg.solve(rows, np.array([1.0, *right[list(chosen)]]))
        if (left @ point <= right + 1e-9).all():
            found.append(point)
    return np.array(found)


def asked_of_ours(bench: Workbench) -> tuple[GoalSheet, Shelf]:
    """The same question as goals and a shelf."""
    sheet = sheet_of(
        exactly("superfat", SUPERFAT),
        exactly("lye_concentration", 33.0),
        at_most("iodine_value", bench.iodine),
        shares=(at_most(*bench.most, "fat"),),
    )
    shelf = shelf_of(dict(zip(bench.names, bench.prices.tolist(), strict=True)))
    return sheet, shelf


class Both(NamedTuple):
    """One workbench as both sides see it: the cheapest corner and the polytope of what is nearly as cheap, and our programme."""

    bench: Workbench
    first: Array
    left: Array
    right: Array
    ours: Programme
    point: Array
    ratio: float


def both(seed: int) -> Both:
    """The question put to both."""
    drawn = bench(seed)
    every = corners(drawn.left, drawn.right)
    sheet, shelf = asked_of_ours(drawn)
    live, found = solve(build(sheet, shelf))
    assert found is not None
    ratios = (every @ drawn.money) / (every @ drawn.cured)
    least = float(ratios.min())
    assert found.ratio == pytest.approx(least, rel=NEAR)
    left = np.vstack([drawn.left, drawn.money - least * (1.0 + WITHIN) * drawn.cured])
    base = within_cost(live.programme, found.ratio * (1.0 + WITHIN))
    first = every[int(ratios.argmin())]
    return Both(drawn, first, left, np.append(drawn.right, 0.0), base, found.point, found.ratio)


def grown(one: Array, other: Array) -> float:
    """What there is more of in the one blend, in all."""
    return float(np.maximum(0.0, one - other).sum())


@pytest.mark.parametrize("seed", SEEDS)
def test_no_corner_lies_farther_and_one_lies_as_far(seed: int) -> None:
    """The most that any corner swaps against the cheapest is what the search finds, and what the exact bound says."""
    asked = both(seed)
    most = max(grown(corner, asked.first) for corner in corners(asked.left, asked.right))
    found = search(Apart(asked.ours, [asked.point]), asked.point, Work())
    assert -found.objective == pytest.approx(most, abs=NEAR)
    bound = most_swapped(asked.ours, asked.point, -found.objective, Work())
    assert bound.exact
    assert bound.ended
    assert most - NEAR <= bound.share <= most + NEAR


@pytest.mark.parametrize("seed", list(SEEDS)[:8])
def test_the_first_limit_is_the_line_above(seed: int) -> None:
    """Without work the limit is the greatest, over all corners, of the line from nothing at no share to all that can be at the whole."""
    asked = both(seed)
    every = corners(asked.left, asked.right)
    line = float((every @ np.where(asked.first > 1e-9, 1.0 - asked.first, 1.0)).max())
    most = max(grown(corner, asked.first) for corner in every)
    bound = most_swapped(asked.ours, asked.point, most, Work(allowed=0.0))
    assert bound.share == pytest.approx(line, abs=NEAR)
    assert bound.exact
    assert bound.ended == (line <= most + 1e-7)


def by_every_way(asked: Both, blends: list[Array]) -> float:
    """The most that can be swapped at the least against some blends: a linear programme for every way that fats may grow."""
    n, best = len(asked.bench.names), -np.inf
    choices = [np.flatnonzero(blend > 1e-9) for blend in blends]
    for signs in product(*(product((0.0, 1.0), repeat=len(fats)) for fats in choices)):
        rows, right = [], []
        for blend, fats, sign in zip(blends, choices, signs, strict=True):
            slope = np.ones(n)
            slope[fats] = sign
            rows.append(np.append(-slope, 1.0))  # t <= slope (x - blend)
            right.append(-float(slope @ blend))
        done = linprog(
            np.append(np.zeros(n), -1.0),
            A_ub=np.vstack([np.column_stack([asked.left, np.zeros(len(asked.left))]), *rows]),
            b_ub=np.append(asked.right, right),
            A_eq=[np.append(np.ones(n), 0.0)],
            b_eq=[1.0],
            bounds=[(0.0, 1.0)] * n + [(None, None)],
        )
        if done.status == 0:
            best = max(best, -float(done.fun))
    return best


@pytest.mark.parametrize("seed", list(SEEDS)[:8])
def test_the_second_step_against_every_way_that_fats_may_grow(seed: int) -> None:
    """Against two blends the farthest is the best of scipy's linear programmes, one for each way that their fats may grow."""
    asked = both(seed)
    n = len(asked.bench.names)
    second = search(Apart(asked.ours, [asked.point]), asked.point, Work()).point[: len(asked.ours.money)]
    apart = Apart(asked.ours, [asked.point, second])
    found = search(apart, asked.point, Work())
    assert -found.objective == pytest.approx(by_every_way(asked, [asked.point[:n], second[:n]]), abs=NEAR)
    point = found.point[: apart.width]
    assert apart.least(point) == pytest.approx(-found.objective, abs=1e-7)
    assert min(grown(point[:n], one[:n]) for one in (asked.point, second)) == pytest.approx(-found.objective, abs=1e-7)


@pytest.mark.parametrize("seed", list(SEEDS)[:8])
def test_the_first_step_against_a_search_of_another_make(seed: int) -> None:
    """Scipy's milp, over its own statement with signs by large numbers, finds no blend farther off and one as far."""
    asked = both(seed)
    n = len(asked.bench.names)
    eye, none = np.eye(n), np.zeros((n, n))
    # columns: x, d, z; d <= x - a + 2 (1 - z), d <= 2 z, greatest sum of d
    rows = [
        LinearConstraint(np.hstack([np.ones((1, n)), np.zeros((1, 2 * n))]), 1.0, 1.0),
        LinearConstraint(np.hstack([asked.left, np.zeros((len(asked.left), 2 * n))]), -np.inf, asked.right),
        LinearConstraint(np.hstack([-eye, eye, 2.0 * eye]), -np.inf, 2.0 - asked.first),
        LinearConstraint(np.hstack([none, eye, -2.0 * eye]), -np.inf, 0.0),
    ]
    done = milp(
        np.concatenate([np.zeros(n), -np.ones(n), np.zeros(n)]),
        constraints=rows,
        bounds=Bounds(0.0, 1.0),
        integrality=np.repeat([0, 0, 1], n),
    )
    found = search(Apart(asked.ours, [asked.point]), asked.point, Work())
    assert done.status == 0
    assert -found.objective == pytest.approx(-done.fun, abs=NEAR)


@pytest.mark.parametrize("seed", list(SEEDS)[:8])
def test_counted_fats_against_every_choice_of_them(seed: int) -> None:
    """With at most four fats of six the farthest is at a corner of one of the fifteen polytopes of four."""
    drawn = bench(seed)
    sheet, shelf = asked_of_ours(drawn)
    live, found = solve(build(sheet._replace(fat_count=(at_most("number of fats", 4.0, "count"),)), shelf))
    polytopes = [
        (np.vstack([drawn.left, np.eye(6)[list(left_out)]]), np.append(drawn.right, [0.0, 0.0]))
        for left_out in combinations(range(6), 2)
    ]
    assert found is not None
    ceiling = found.ratio * (1.0 + WITHIN)
    dearest = drawn.money - ceiling * drawn.cured
    most = max(
        grown(corner, found.point[:6])
        for left, right in polytopes
        for corner in corners(np.vstack([left, dearest]), np.append(right, NEAR))
    )
    far = search(Apart(within_cost(live.programme, ceiling), [found.point]), found.point, Work())
    assert -far.objective == pytest.approx(most, abs=5.0 * NEAR)
    assert far.bound <= far.objective + 1e-9
    assert not far.limited


def test_what_is_drawn_differs() -> None:
    """The checks above are of something: most workbenches drawn leave room for blends that differ by a tenth and more."""
    asked = [both(seed) for seed in SEEDS]
    spans = [-search(Apart(one.ours, [one.point]), one.point, Work()).objective for one in asked]
    assert sum(span > 0.1 for span in spans) >= 10
    assert all(swapped(Apart(one.ours, [one.point]).groups, one.point, one.point) == 0.0 for one in asked)
