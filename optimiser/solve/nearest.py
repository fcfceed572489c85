"""How near a blend can come to a recipe in hand: what is proved of it, and the nearest that changes few fats.

The nearest blend of a linear programme stands at a corner, and may nudge five fats where two would do. Of the blends that
change hardly more than the nearest (no more than a pinch, which no bar shows; or where two fats will do,
a twentieth of the fats) the one with the fewest fats changed is taken. What no blend
changes less than is still proved of all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.columns import Columns
from optimiser.model.counted_fats import by_fat
from optimiser.model.nearness import MOVED
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import least_share
from optimiser.problem.near import Near
from optimiser.problem.wishes import Section
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import SolverFault, Undecided, Work
from optimiser.solve.proof import lower_bound
from optimiser.solve.searching import search
from optimiser.solve.solver import Live

SAME = 1e-7  # a share that is not changed, as a fraction
CHANGED = 1e-6  # a share that is told as changed, as a fraction
BODY = ("hard oil", "butter", "liquid oil")
OF_A_LEVER = 0.1  # of the rule on pinches: waxes and free fatty acids work in small amounts
SEARCH_WORK = 0.5e6
FEW = 2  # fats: one out and one in
FURTHER = (
    5.0  # per cent of the fats that may be changed beside what must be where so few will do; no more than twice that
)
MOVED_WORTH = 0.9  # of a fat changed: all that may be changed of the shares
DRIFT_WORTH = 0.1  # of a fat changed: a measure off by as much again as it is sure
NEW_WORTH = 0.05  # of a fat changed: that it is one more to have on the shelf
PRICE_WORTH = 0.05  # of a fat changed: all of the fats at the price of the dearest


class NearestProof(NamedTuple):
    """What no blend changes less than, in per cent of the fats; `exact` is False where counted fats make it the solver's word.

    `fats` is how many fats the nearest blend of all changes, where another one is told in its place.
    """

    least: float
    exact: bool
    fats: int = 0


def apart_from(programme: Programme, kind: str) -> Vector:
    """A vector with 1 at each column that tells how far a blend is from the recipe: of "less" or of "drift"."""
    out = np.zeros_like(programme.money)
    first = programme.columns.size + len(programme.switches)
    out[first : first + len(programme.apart)] = [float(one.kind == kind) for one in programme.apart]
    return out


def moved_row(programme: Programme) -> int:
    """Where the row stands that says how much of the fats is changed.

    Raises:
        SolverFault: there is no recipe in hand.
    """
    for preference in programme.soft:
        wish = programme.rows[preference.rows[0]].wish
        if wish.section == Section.NEAR and wish.key == MOVED:
            return preference.rows[0]
    raise SolverFault("there is no recipe in hand to be near to")


def least_moved(live: Live) -> NearestProof:
    """What no blend changes less than, over all that meet the goals with the maker's preferences as they are held.

    Args:
        live: the model with every preference held, of all blends: pinches, and many small changes, among them.
    """
    programme = freed(live.programme)
    row = programme.rows[moved_row(programme)]
    objective = np.zeros_like(programme.money)
    objective[: len(row.top)] = row.top
    outcome = Live(programme, Work()).minimise(objective) if programme.is_mixed_integer else None
    if outcome is not None:
        return NearestProof(max(0.0, float(outcome.bound)), exact=False)
    model = Live(programme)
    outcome = model.minimise(objective)
    if not outcome.feasible:
        raise SolverFault("the nearest blend is lost when it is to be proved")
    bound = lower_bound(model.programme, objective, outcome.row_dual)
    return NearestProof(max(0.0, float(np.nextafter(float(bound), -np.inf))), exact=True)


def freed(programme: Programme) -> Programme:
    """The programme with what keeps it near to the recipe let go; the maker's own preferences stay held."""
    low, high = programme.row_low.copy(), programme.row_high.copy()
    for preference in programme.soft:
        for place in preference.rows:
            if programme.rows[place].wish.section == Section.NEAR:
                low[place], high[place] = -np.inf, np.inf
    return replace(programme, row_low=low, row_high=high)


def changed_in(near: Near, columns: Columns, point: Vector) -> int:
    """How many fats of a recipe, and beside them, a blend has at another share."""
    there = {name: float(point[list(lots)].sum()) for name, lots in by_fat(columns).items()}
    own = {name: share / 100.0 for name, share in near.shares.items()}
    return sum(abs(there.get(name, 0.0) - own.get(name, 0.0)) > CHANGED for name in there.keys() | own.keys())


def as_near(programme: Programme, point: Vector) -> Programme:
    """The programme with what keeps it near to the recipe held where a blend has it: no blend changes or drifts more than that one.

    Args:
        programme: one with a recipe in hand; any other is handed back as it is.
        point: the blend.
    """
    low, high, column_high = programme.row_low.copy(), programme.row_high.copy(), programme.column_high.copy()
    for preference in programme.soft:
        for place in preference.rows:
            row = programme.rows[place]
            if row.wish.section == Section.NEAR:
                value = float(row.top @ point[: len(row.top)])
                low[place], high[place] = -np.inf, value + SAME * max(1.0, abs(value))
                column_high[list(preference.shortfalls)] = 0.0
    return replace(programme, row_low=low, row_high=high, column_high=column_high)


def few_changes(sheet: GoalSheet, live: Live, found: Cheapest) -> Mapping[str, tuple[float, float]]:
    """Between which shares (per cent) fats are to be held so that as few change as a pinch more of change allows.

    Nothing where fats are counted by the maker, where the rule on pinches is off, or where nothing is to be gained.

    Args:
        sheet: the goals, as they were answered.
        live: the model, with every preference held.
        found: the nearest blend.
    """
    least = least_share(sheet)
    near = sheet.near
    moved = live.programme.rows[moved_row(live.programme)].value(found.point)
    if least is None or near is None or live.programme.is_mixed_integer or moved <= 100.0 * SAME:
        return {}
    programme = freed(live.programme)
    columns = programme.columns
    lots = by_fat(columns)
    kinds = [columns.fats[places[0]].kind for places in lots.values()]
    own = np.array([near.shares.get(name, 0.0) / 100.0 for name in lots])
    floors = np.array([least / 100.0 * (1.0 if kind in BODY else OF_A_LEVER) for kind in kinds])
    n, width = len(lots), len(programme.money)
    point = fewest(programme, own, floors, (moved + max(least, min(moved, FURTHER))) / 100.0)
    few = max(FEW, len(near.gone) + 1)
    if point is not None and np.count_nonzero(point[width : width + n] > 0.5) > few:
        point = fewest(programme, own, floors, (moved + least) / 100.0)
    if point is None:
        return {}
    is_changed, is_there = point[width : width + n] > 0.5, point[width + n : width + 2 * n] > 0.5
    out = {}
    for place, name in enumerate(lots):
        if not is_changed[place]:
            out[name] = (100.0 * own[place], 100.0 * own[place])
        elif not is_there[place]:
            out[name] = (0.0, 0.0)
        else:
            out[name] = (100.0 * min(floors[place], own[place] or 1.0), 100.0)
    return out


def fewest(programme: Programme, own: Vector, floors: Vector, most: float) -> Vector | None:
    """A blend that changes few fats, with its 0/1 columns; None where there is none or the search did not end."""
    try:
        asked = counting_changes(programme, own, floors, most)
        outcome = search(asked, None, Work(SEARCH_WORK), lambda _: "looking for a blend that changes few fats")
    except (SolverFault, Undecided):
        return None
    return outcome.point if outcome.feasible else None


def counting_changes(programme: Programme, own: Vector, floors: Vector, most: float) -> Programme:
    """The programme that counts which fats are changed, and those that are there, each by a 0/1 column; few before near.

    Args:
        programme: the goals with what keeps a blend near to the recipe let go.
        own: shares of the recipe (n), as fractions, by fat: lots of one count as one.
        floors: the least of each fat that is no pinch (n); of a fat of the recipe no more than it has.
        most: how much of the fats may be changed at the most, a fraction.
    """
    n, (m, width) = len(own), programme.matrix.shape
    eye, none = np.eye(n), np.zeros((n, n))
    shares = np.zeros((n, width))
    for place, lots in enumerate(by_fat(programme.columns).values()):
        shares[place, list(lots)] = 1.0
    least = np.where(own > 0.0, np.minimum(floors, own), floors)
    moved = programme.rows[moved_row(programme)].top
    row = np.zeros(width + 2 * n)
    row[: len(moved)] = moved / 100.0
    high = np.where(own > 0.0, 1.0, np.minimum(1.0, most))
    matrix = np.vstack(
        [
            np.hstack([programme.matrix, np.zeros((m, 2 * n))]),
            np.hstack([shares, -np.diag(high), none]),  # more only where it is changed
            np.hstack([shares, np.diag(own), none]),  # less only where it is changed
            np.hstack([shares, none, -eye]),  # any only where it is there
            np.hstack([shares, none, -np.diag(least)]),  # and then no pinch
            row,
        ]
    )
    costs = np.zeros(width + 2 * n)
    costs[width : width + n] = 1.0
    costs += MOVED_WORTH / max(most, SAME) * row
    costs[:width] += DRIFT_WORTH * apart_from(programme, "drift")
    costs[width + n :] += NEW_WORTH * (own == 0.0)
    dearest = max((item.price for item in programme.columns.stocked), default=0.0)
    costs[: programme.columns.count] += PRICE_WORTH * np.array(
        [item.price / (dearest or 1.0) for item in programme.columns.stocked]
    )
    return replace(
        programme,
        matrix=matrix,
        row_low=np.concatenate(
            [programme.row_low, np.full(n, -np.inf), own, np.full(n, -np.inf), np.zeros(n), [-np.inf]]
        ),
        row_high=np.concatenate([programme.row_high, own, np.full(n, np.inf), np.zeros(n), np.full(n, np.inf), [most]]),
        column_low=np.concatenate([programme.column_low, np.zeros(2 * n)]),
        column_high=np.concatenate([programme.column_high, np.ones(2 * n)]),
        integer=np.concatenate([programme.integer, np.ones(2 * n, dtype=np.bool_)]),
        money=costs,
        cured=np.concatenate([programme.cured, np.zeros(2 * n)]),
        rows=(),
        soft=(),
        lots=None,
    )
