"""Swaps against scipy's linprog and brute force on small shelves, stated here anew from the figures of the fats.

The distance is that of published diet modelling: a sum of relative deviations (Eur. J. Clin. Nutr. 2015,
doi:10.1038/ejcn.2015.56), here of each measure by how sure it is.
"""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from scipy.optimize import linprog

from optimiser.analysis.stand_ins import stand_ins
from optimiser.answers.swap import swap_for
from optimiser.answers.swap_results import NEAREST, ONE_FOR_ONE, Swapped
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.measures.measures import levers, measures
from optimiser.measures.profiles import acid_shares, fat_values
from optimiser.problem.asking import shelf_of
from optimiser.problem.asking_near import recipe_of
from optimiser.problem.shelf import Shelf

NAMES = (
    *("olive oil", "coconut oil", "palm oil", "palm kernel oil", "babassu oil"),
    *("high oleic sunflower oil", "shea butter", "cocoa butter"),
)
OLD = {"olive oil": 45.0, "coconut oil": 25.0, "palm oil": 30.0}
ROOMS = {  # how sure each measure is of a blend, as `barwright measures` prints it
    "hardness": 7.0,
    "wear_life": 4.0,
    "quick_lather": 6.0,
    "lasting_lather": 7.0,
    "harshness": 4.0,
    "rancidity": 0.3,
    "trace_speed": 5.0,
    "set_up": 5.0,
}
NAOH, KOH = 39.997, 56.106
SUPERFAT, LYE = 0.05, 0.33


def fats() -> list[Fat]:
    """The fats of the small shelf."""
    return [reference().get(name) for name in NAMES]


def shelf() -> Shelf:
    """The same at prices that do not matter."""
    return shelf_of(dict.fromkeys(NAMES, 3.0), sodium_hydroxide=2.4)


def per_fat(name: str) -> np.ndarray:
    """Points of a measure by fat, with what free oil and water add at 5 % superfat and a 33 % lye: all linear in shares."""
    values = fat_values(fats(), [name])[0]
    moles = np.array([fat.saponification.value for fat in fats()]) / KOH  # mol per kg
    lever = levers(name)
    free_oil = 100.0 / 3.45 * SUPERFAT * moles
    water = moles * (1.0 - SUPERFAT) * NAOH * (1.0 - LYE) / LYE  # g per kg
    made: np.ndarray = values + lever.free_oil * free_oil + lever.water / 10.0 * water
    return made


def old() -> np.ndarray:
    """The recipe's shares as fractions."""
    return np.array([OLD.get(name, 0.0) for name in NAMES]) / 100.0


def rules() -> tuple[np.ndarray, np.ndarray]:
    """House practice on the fats of this shelf as A x <= b: what is lauric, solid, butter, short and polyunsaturated acids."""
    every = fats()
    lauric = [float("lauric" in fat.tags) for fat in every]
    solid = [float(fat.kind in ("hard oil", "butter")) for fat in every]
    butter = [float(fat.kind == "butter") for fat in every]
    short, poly, linolenic = acid_shares(every, ["short_saturated", "polyunsaturated", "linolenic"])
    rows = np.array([lauric, solid, butter, short, -short, poly, linolenic])
    ends = np.array([0.35, 0.70, 0.30, 32.0, -12.0, 16.0, 2.0])
    reached = rows @ old()
    return rows, np.maximum(ends, reached)


def least_moved_by_linprog(out: str) -> float | None:
    """The least share of the fats, per cent, that must be another for every measure to stay within its own +/-."""
    n, x0 = len(NAMES), old()
    rows, ends = rules()
    for name, room in ROOMS.items():
        values = per_fat(name)
        rows = np.vstack([rows, values, -values])
        ends = np.append(ends, [values @ x0 + room, room - values @ x0])
    rows = np.hstack([rows, np.zeros((len(rows), n))])
    lost = np.hstack([-np.eye(n), -np.eye(n)])  # x + d >= x0
    done = linprog(
        np.append(np.zeros(n), np.ones(n)),
        A_ub=np.vstack([rows, lost]),
        b_ub=np.append(ends, -x0),
        A_eq=np.append(np.ones(n), np.zeros(n))[None, :],
        b_eq=[1.0],
        bounds=[(0.0, 0.0 if name == out else None) for name in NAMES] + [(0.0, None)] * n,
        method="highs-ds",
    )
    return 100.0 * float(done.fun) if done.status == 0 else None


def found(out: str) -> Swapped:
    """Our answers."""
    return swap_for(recipe_of({name: 10.0 * share for name, share in OLD.items()}), shelf(), out)


@pytest.mark.parametrize("out", OLD)
def test_the_fewest_grams_moved_are_those_of_linprog(out: str) -> None:
    """What is proved to be the least is the optimum of the same question in another tool, and the blend keeps every window."""
    least = least_moved_by_linprog(out)
    assert least is not None
    answer = next(answer for answer in found(out).answers if answer.label == NEAREST)
    assert answer.least_moved == pytest.approx(least, abs=1e-5)
    assert answer.moved >= least - 1e-5
    x0 = old()
    shares = np.array([answer.story.judgement.shares.get(name, 0.0) for name in NAMES]) / 100.0
    for name, room in ROOMS.items():
        assert abs(per_fat(name) @ (shares - x0)) <= room + 0.02 * measures()[name].scale


@pytest.mark.parametrize("out", OLD)
def test_no_blend_of_a_grid_moves_less(out: str) -> None:
    """Of all blends in steps of 5 % that keep every window and rule, none moves less than is proved."""
    answer = next(answer for answer in found(out).answers if answer.label == NEAREST)
    assert answer.least_moved is not None
    x0, (rows, ends) = old(), rules()
    free = [place for place, name in enumerate(NAMES) if name != out]
    grid = np.array([parts for parts in product(range(14), repeat=len(free) - 1) if sum(parts) <= 20])
    blends = np.zeros((len(grid), len(NAMES)))
    blends[:, free[:-1]] = grid / 20.0
    blends[:, free[-1]] = 1.0 - grid.sum(axis=1) / 20.0
    kept = (blends @ rows.T <= ends + 1e-9).all(axis=1)
    for name, room in ROOMS.items():
        kept &= np.abs((blends - x0) @ per_fat(name)) <= room
    assert kept.any()
    moved = 100.0 * 0.5 * np.abs(blends[kept] - x0).sum(axis=1)
    assert moved.min() >= answer.least_moved - 1e-6


@pytest.mark.parametrize("out", OLD)
def test_the_distances_are_sums_of_relative_deviations(out: str) -> None:
    """Moved is half the L1 distance of the shares; drift is the sum over the measures of |after - before| / +/-."""
    story = found(out)
    before = story.old.judgement
    for answer in story.answers:
        after = answer.story.judgement
        names = {*before.shares, *after.shares}
        moved = 0.5 * sum(abs(after.shares.get(name, 0.0) - before.shares.get(name, 0.0)) for name in names)
        assert answer.moved == pytest.approx(moved, abs=1e-6)
        rooms = {**ROOMS, "scum": 9.0}
        drift = math.fsum(abs(after.values[name] - before.values[name]) / room for name, room in rooms.items())
        assert answer.drift == pytest.approx(drift, abs=1e-6)


@pytest.mark.parametrize("out", OLD)
def test_the_first_stand_in_is_that_of_brute_force(out: str) -> None:
    """Each stand-in's distance is added up here; the first is the nearest of those of the same form that keep the bar."""
    bar = [(reference().get(name), share) for name, share in OLD.items()]
    mine = reference().get(out)
    others = [fat for fat in fats() if fat.name != out]
    place = {name: column for column, name in enumerate(NAMES)}
    table = {name: fat_values(fats(), [name])[0] for name in ROOMS}
    rest = {name: share for name, share in OLD.items() if name != out}
    total = sum(rest.values())
    away = {
        name: abs(line[place[out]] - sum(line[place[fat]] * share for fat, share in rest.items()) / total)
        / measures()[name].scale
        for name, line in table.items()
    }
    weights = {name: max(value, 0.1 * max(away.values())) for name, value in away.items()}
    by_hand = {
        fat.name: sum(
            weights[name] * abs(line[place[fat.name]] - line[place[out]]) / measures()[name].scale
            for name, line in table.items()
        )
        / sum(weights.values())
        for fat in others
    }
    ranked = stand_ins(mine, bar, others)
    assert {item.fat.name: item.distance for item in ranked} == pytest.approx(by_hand)
    alike = [
        item for item in ranked if (item.form, item.steps) == (ranked[0].form, ranked[0].steps) and not item.breaks
    ]
    assert by_hand[ranked[0].fat.name] <= min(by_hand[item.fat.name] for item in alike) + 0.5
    assert next(
        answer for answer in found(out).answers if answer.label == ONE_FOR_ONE
    ).story.judgement.shares.keys() >= {ranked[0].fat.name}
