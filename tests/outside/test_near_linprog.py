"""The nearest blend against scipy's linprog, stated here from the reference figures alone, and against brute force.

The share that is changed is half the L1 distance of the shares; of blends that change as little the drift of the measures is
least. Both are stated here with positive and negative parts (the usual way of L1 in a linear programme: Charnes, Cooper &
Ferguson, Management Science 1 (1955) 138-151, doi:10.1287/mnsc.1.2.138), with the levers of superfat and water worked out from
the alkali of each fat alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from strategies import PLAIN, examples, price_lists

from optimiser import at_least as at_least_told
from optimiser import at_most as at_most_told
from optimiser import blend_for, goals_of, shelf_of
from optimiser.answers.near_lines import NearFigures
from optimiser.answers.results import Blend, NoBlend
from optimiser.materials.fat_table import reference
from optimiser.measures.measures import levers, measures
from optimiser.measures.profiles import fat_values
from optimiser.problem.asking_near import changed_by, recipe_of
from optimiser.problem.limits import Limit

NAOH, KOH = 39.997, 56.106  # g/mol
SUPERFAT, LYE = 5.0, 33.0  # %
TOLD = (
    "hardness",
    "wear_life",
    "quick_lather",
    "lasting_lather",
    "harshness",
    "rancidity",
    "trace_speed",
    "set_up",
    "scum",
)
"""Every measure that is no other one told anew (mildness is 100 less harshness; ash risk is made of set-up and trace speed)."""


def alone(names: list[str], measure: str) -> np.ndarray:
    """A measure of each fat alone at the superfat and lye of these tests: all of it is linear in the shares."""
    fats = [reference().get(name) for name in names]
    demand = np.array([fat.saponification.value for fat in fats]) / KOH  # mol of alkali per kg
    lever = levers(measure)
    free_oil = 100.0 / 3.45 * SUPERFAT / 100.0 * demand
    water = demand * (1.0 - SUPERFAT / 100.0) * NAOH * (100.0 - LYE) / LYE  # g per kg of fats
    own = np.asarray(next(iter(fat_values(fats, [measure]))), dtype=float)
    out: np.ndarray = own + lever.free_oil * (free_oil - 5.0) + lever.water * (water - 280.0) / 10.0
    return out


def room(measure: str) -> float:
    """How sure a measure is, as the table has it."""
    told = measures()[measure].uncertainty
    return measures()[measure].scale if told is None else told


def nearest_by_linprog(
    prices: Mapping[str, float], recipe: Mapping[str, float], rows: list[tuple[np.ndarray, float]]
) -> tuple[float, float] | None:
    """Least share changed (%), and least drift (beyond what measures are sure to) of those that change no more; None where there is no blend.

    Args:
        prices: the shelf.
        recipe: per cent of the fats.
        rows: coefficients and the most that they may come to.
    """
    names = list(dict.fromkeys([*prices, *recipe]))
    n, k = len(names), len(TOLD)
    own = np.array([recipe.get(name, 0.0) for name in names]) / 100.0
    bounds: list[Any] = [(0.0, 1.0 if name in prices else 0.0) for name in names]
    bounds += [(0.0, None)] * (2 * n + 2 * k) + [(-1.0, 1.0)] * k  # the last: what a measure differs by within its room
    eye, none = np.eye(n), np.zeros((n, 3 * k))
    equal = [np.concatenate([np.ones(n), np.zeros(2 * n + 3 * k)])]
    right = [1.0]
    for row, value in zip(np.hstack([eye, -eye, eye, none]), own, strict=True):
        equal.append(row)
        right.append(float(value))
    for place, measure in enumerate(TOLD):
        values = alone(names, measure) / room(measure)
        row = np.concatenate([values, np.zeros(2 * n + 3 * k)])
        row[3 * n + place], row[3 * n + k + place], row[3 * n + 2 * k + place] = -1.0, 1.0, 1.0
        equal.append(row)
        right.append(float(values @ own))
    above = [np.concatenate([row, np.zeros(2 * n + 3 * k)]) for row, _ in rows]
    most = [value for _, value in rows]
    moved = np.concatenate([np.zeros(n), np.full(2 * n, 50.0), np.zeros(3 * k)])
    drift = np.concatenate([np.zeros(3 * n), np.ones(2 * k), np.zeros(k)])
    common: dict[str, Any] = {"A_eq": np.array(equal), "b_eq": right, "bounds": bounds, "method": "highs-ds"}
    first = linprog(moved, A_ub=np.array(above) if above else None, b_ub=most or None, **common)
    if first.status != 0:
        return None
    held = np.array([*above, moved])
    second = linprog(drift, A_ub=held, b_ub=[*most, first.fun + 1e-7], **common)
    assert second.status == 0
    return float(first.fun), float(second.fun)


def asked(
    prices: Mapping[str, float], recipe: Mapping[str, float], wishes: list[Limit]
) -> tuple[Blend | NoBlend, NearFigures | None]:
    """Our answer; without the house, since its rule on pinches touches fewer fats than must be."""
    made = recipe_of({name: 10.0 * share for name, share in recipe.items()}, superfat=SUPERFAT, lye_concentration=LYE)
    shelf = shelf_of(prices, sodium_hydroxide=2.4)
    found = blend_for(goals_of(*wishes, practice=False), shelf, near=made)
    return found, found.near if isinstance(found, Blend) else None


@st.composite
def recipes(draw: st.DrawFn) -> dict[str, float]:
    """Three to six fats in whole per cent."""
    names = draw(st.lists(st.sampled_from(PLAIN), min_size=3, max_size=6, unique=True))
    parts = draw(st.lists(st.integers(1, 20), min_size=len(names), max_size=len(names)))
    shares = [100 * part // sum(parts) for part in parts]
    shares[0] += 100 - sum(shares)
    return {name: float(share) for name, share in zip(names, shares, strict=True) if share}


@settings(max_examples=examples(40))
@given(price_lists(3, 12), recipes(), st.integers(-8, 12), st.integers(40, 100))
def test_nearest_blends_against_linprog(
    prices: dict[str, float], recipe: dict[str, float], harder: int, iodine: int
) -> None:
    """By both statements there is a blend or none, as little of the fats is changed, and the measures drift as little."""
    shelf = {
        **prices,
        **dict.fromkeys(list(recipe)[1:], 3.0),
    }  # the first fat of the recipe has run out, or has a price
    names = list(dict.fromkeys([*shelf, *recipe]))
    own = np.array([recipe.get(name, 0.0) for name in names]) / 100.0
    hard = alone(names, "hardness")
    value = np.array([reference().get(name).iodine.value for name in names])
    rows = [(-hard, -(float(hard @ own) + harder)), (value, float(iodine))]
    other = nearest_by_linprog(shelf, recipe, rows)
    ours, near = asked(shelf, recipe, [changed_by("hardness", harder), at_most_told("iodine value", iodine)])
    assert isinstance(ours, Blend) == (other is not None)
    assume(other is not None and near is not None)
    assert other is not None
    assert near is not None
    assert near.moved == pytest.approx(other[0], abs=1e-5)
    assert near.proof.exact
    assert near.proof.least == pytest.approx(other[0], abs=1e-5)
    assert near.proof.least <= other[0] + 1e-9
    assert near.drift == pytest.approx(other[1], abs=1e-4)


GRID = 5  # per cent


def grid_blends(count: int) -> list[tuple[int, ...]]:
    """Every blend of so many fats in steps of the grid."""
    steps = range(0, 101, GRID)
    return [blend for blend in product(steps, repeat=count) if sum(blend) == 100]


@pytest.mark.parametrize("least", [20, 35, 50, 65])
@pytest.mark.parametrize("gone", ["olive oil", "coconut oil", "palm oil"])
def test_brute_force_finds_none_nearer(least: int, gone: str) -> None:
    """Of all blends of four fats in steps of 5 % that hold the share asked for, none is nearer, and one is as near."""
    recipe = {"olive oil": 50.0, "coconut oil": 30.0, "palm oil": 20.0}
    names = [*(name for name in recipe if name != gone), "lard", "castor oil"]
    wish = at_least_told(names[0], least)
    _, near = asked(dict.fromkeys(names, 3.0), recipe, [wish])
    assert near is not None
    reached = [
        0.5 * (sum(abs(share - recipe.get(name, 0.0)) for name, share in zip(names, blend, strict=True)) + recipe[gone])
        for blend in grid_blends(len(names))
        if blend[0] >= least
    ]
    assert near.moved == pytest.approx(min(reached), abs=1e-6)
