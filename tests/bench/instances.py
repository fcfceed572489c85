"""Random blends to time: shares of n fats under m - 1 dense rows, feasible by construction, from a fixed seed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf

SEED = 20261125


@dataclass(frozen=True)
class Count:
    """The one thing that a proof asks of the columns: how many fats there are."""

    count: int


def blend(fats: int, rows: int, seed: int = SEED) -> Programme:
    """A blend of `fats` over `rows` rows: least cost.x, low <= rows.x <= high, 0 <= x <= 1, the first row sum x = 1.

    Limits are laid around a random blend of six fats, a third of them at least, a third at most, a third between; a
    row between is two rows, as in a real programme.
    """
    draw = np.random.default_rng((seed, fats, rows))
    table = draw.uniform(0.0, 100.0, (rows, fats))
    table[0] = 1.0
    chosen = np.zeros(fats)
    chosen[draw.choice(fats, size=min(6, fats), replace=False)] = draw.dirichlet(np.full(min(6, fats), 4.0))
    reached = table @ chosen
    low, high = np.full(rows, -np.inf), np.full(rows, np.inf)
    low[0] = high[0] = 1.0
    for place in range(1, rows):
        width = draw.uniform(2.0, 10.0)
        if place % 2 == 0:
            low[place] = reached[place] - width
        else:
            high[place] = reached[place] + width
    return Programme(
        columns=Count(fats),  # type: ignore[arg-type]
        rows=(),
        matrix=table,
        row_low=low,
        row_high=high,
        column_low=np.zeros(fats),
        column_high=np.ones(fats),
        integer=np.zeros(fats, dtype=np.bool_),
        money=draw.uniform(2.0, 20.0, fats),
        cured=np.ones(fats),
    )


# -- whole goal sheets ---------------------------------------------------------------------------------------------

MEASURED = (
    *(
        "hardness",
        "wear_life",
        "quick_lather",
        "lasting_lather",
        "harshness",
        "mildness",
        "rancidity",
        "trace_speed",
        "set_up",
    ),
    *("scum", "saponification_value", "iodine_value", "short_saturated", "long_saturated", "saturated"),
    *("monounsaturated", "polyunsaturated", "linolenic", "C18:1", "C16:0", "C18:0", "C18:2", "C12:0", "C14:0"),
)


def whole_bar(fats: int) -> tuple[GoalSheet, Shelf]:
    """Goals on fourteen figures under house practice, and a shelf of so many fats at random prices.

    The shelf has the fats of the reference, over and over under other names where there are not enough.
    """
    from strategies import SPAN, at_least, at_most, limit, shelf_of, with_practice

    from optimiser.materials.fat import like
    from optimiser.materials.fat_table import reference
    from optimiser.problem.shelf import Stocked

    rng = np.random.default_rng((SEED, fats))
    table = reference()
    ordinary = [name for name in table.names() if table.get(name).kind in ("hard oil", "butter", "liquid oil")]
    stocked = []
    for place in range(fats):
        fat = table.get(ordinary[place % len(ordinary)])
        if place >= len(ordinary):
            fat = like(fat, name=f"{fat.name} {place // len(ordinary)}")
        stocked.append(Stocked(fat, round(float(rng.uniform(1.5, 16.0)), 2), None, (), None, SPAN))
    lower = {
        "hardness": 58,
        "quick_lather": 30,
        "lasting_lather": 40,
        "mildness": 45,
        "superfat": 4,
        "short_saturated": 12,
    }
    upper = {
        "trace_speed": 60,
        "harshness": 50,
        "rancidity": 2.5,
        "iodine_value": 75,
        "superfat": 7,
        "C18:2": 20,
        "scum": 90,
    }
    sheet = with_practice(
        *(at_least(key, float(value)) for key, value in lower.items()),
        *(at_most(key, float(value)) for key, value in upper.items()),
        limit("cost", "at_most", 15.0, per="kg"),
    )
    return sheet, shelf_of({})._replace(fats=tuple(stocked))


def infeasible_bar(goals: int, fats: int, draw: int, slack: float | None = None) -> Programme:
    """A bar with just so many goals over so many fats of the reference, house practice off.

    Limits are laid around a blend of six fats; with a slack (in natural steps) that blend meets them all, without one
    some lie as much as one step beyond it.
    """
    from strategies import limit, recipe_at, sheet_of, shelf_of

    from optimiser.materials.fat_table import reference
    from optimiser.measures.quantities import quantities
    from optimiser.model.programme import build
    from optimiser.problem.limits import Limit
    from optimiser.recipe.evaluation import judge

    rng = np.random.default_rng((SEED, goals, fats, draw))
    table = reference()
    ordinary = [name for name in table.names() if table.get(name).kind in ("hard oil", "butter", "liquid oil")][:fats]
    prices = {name: round(float(rng.uniform(1.5, 16.0)), 2) for name in ordinary}
    chosen = [ordinary[k] for k in rng.choice(len(ordinary), 6, replace=False)]
    values = judge(recipe_at(dict(zip(chosen, rng.dirichlet(np.full(6, 4.0)).tolist(), strict=True)))).values
    keys = [(key, side) for key in MEASURED for side in ("at_least", "at_most")]
    picked = rng.choice(len(keys), goals, replace=False)
    limits: list[Limit] = []
    for key, side in (keys[k] for k in sorted(picked)):
        room = (rng.uniform(0.0, slack) if slack is not None else rng.uniform(-1.0, 3.0)) * quantities()[key].scale
        value = values[key] - room if side == "at_least" else values[key] + room
        limits.append(limit(key, side, round(float(value), 2)))  # type: ignore[arg-type]
    return build(sheet_of(*limits), shelf_of(prices))
