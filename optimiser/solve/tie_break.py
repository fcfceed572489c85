"""Among blends of equal cost the same one every time: ordinary lye, then fewest fats, then first by name."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.solve.optimum import Cheapest
from optimiser.solve.proof import for_rows
from optimiser.solve.solver import Live

ORDINARY_LYE = 0.33  # where neither goals nor cost say otherwise
FREE = 1e-9  # a price this small is none
SAME = 1e-7  # shares closer than this are the same blend


def settle_ties(live: Live, found: Cheapest) -> Cheapest:
    """The blend to show, as cheap as the one found (to within the solver's tolerance).

    The model must be linear; it is left with the bounds of its programme.
    """
    programme = live.programme
    rows, columns = hold_face(live, found)
    point = settle_fats(live, found)
    live.restore_rows(rows)
    for place in columns:
        live.restore_column(place)
    if point is None or float(programme.money @ point) / float(programme.cured @ point) > found.ratio * (1.0 + FREE):
        point = found.point
    return found._replace(point=settle_water(live, point))


def hold_face(live: Live, found: Cheapest) -> tuple[list[int], list[int]]:
    """Narrow the live model to the blends of least cost: what has a price stays where it is.

    By complementary slackness every optimal blend keeps rows with a price at their limit and columns with a reduced
    cost at their bound.
    """
    programme, outcome = live.programme, found.outcome
    dual = for_rows(programme, outcome.row_dual)
    priced_rows = np.flatnonzero(np.abs(dual) > FREE)
    rows = [int(place) for place in priced_rows]
    leaning = np.where(dual > 0, programme.row_low, programme.row_high)[priced_rows]
    live.bound_rows(rows, leaning, leaning)
    columns = [int(place) for place in np.flatnonzero(np.abs(outcome.reduced_cost) > FREE)]
    for place in columns:
        low, high = float(programme.column_low[place]), float(programme.column_high[place])
        held = low if outcome.reduced_cost[place] > 0 else high
        live.bound_column(place, held, held)
    return rows, columns


def settle_water(live: Live, point: Vector) -> Vector:
    """Water costs nothing, so a range of lye strengths leaves it open: the one nearest to an ordinary lye is taken."""
    columns = live.programme.columns
    place = columns.index["water"]
    held = [other for other in range(columns.size) if other != place]
    for other in held:
        live.bound_column(other, max(0.0, float(point[other]) - FREE), float(point[other]) + FREE)
    objective = np.zeros_like(live.programme.money)
    objective[place] = 1.0
    least, most = live.minimise(objective), live.minimise(-objective)
    for other in held:
        live.restore_column(other)
    if not (least.feasible and most.feasible) or most.point[place] - least.point[place] <= SAME:
        return point
    alkali = float(columns.alkali @ point[: columns.size])
    settled = point.copy()
    wanted = alkali * (1.0 - ORDINARY_LYE) / ORDINARY_LYE
    settled[place] = float(np.clip(wanted, least.point[place], most.point[place]))
    return settled


def settle_fats(live: Live, found: Cheapest) -> Vector | None:
    """The one blend of the face, or of several the one with the fewest fats, first by name."""
    n = live.programme.columns.count
    generic = np.zeros_like(live.programme.money)
    generic[:n] = np.sqrt(np.arange(2.0, n + 2.0))  # no two blends of a handful of fats weigh the same under it
    one = live.minimise(generic)
    other = live.minimise(-generic)
    if not (one.feasible and other.feasible):
        return None
    if np.abs(one.point[:n] - other.point[:n]).max() <= SAME:
        return one.point
    fewest = Live(counted(live.programme, found)).minimise()
    return fewest.point[: len(found.point)] if fewest.feasible else one.point


def counted(programme: Programme, found: Cheapest) -> Programme:
    """The programme with its cost held and its fats counted; a fat later in name counts a little more."""
    n, (m, width) = programme.columns.count, programme.matrix.shape
    cost = programme.money - found.ratio * programme.cured
    open_fats = np.flatnonzero(np.abs(found.outcome.reduced_cost[:n]) <= FREE)
    extra = len(open_fats)
    matrix = np.zeros((m + 1 + extra, width + extra))
    matrix[:m, :width] = programme.matrix
    matrix[m, :width] = cost
    matrix[np.arange(extra) + m + 1, open_fats] = 1.0
    matrix[np.arange(extra) + m + 1, np.arange(extra) + width] = -1.0
    weights = 1.0 + 1e-4 * np.arange(extra) / max(1, extra)
    high = programme.column_high.copy()
    high[:n] = 0.0
    high[open_fats] = programme.column_high[open_fats]
    return replace(
        programme,
        matrix=matrix,
        row_low=np.concatenate([programme.row_low, np.full(1 + extra, -np.inf)]),
        row_high=np.concatenate([programme.row_high, [FREE], np.zeros(extra)]),
        column_low=np.concatenate([programme.column_low, np.zeros(extra)]),
        column_high=np.concatenate([high, np.ones(extra)]),
        integer=np.concatenate([programme.integer, np.ones(extra, dtype=np.bool_)]),
        money=np.concatenate([np.zeros(width), weights]),
        cured=np.concatenate([programme.cured, np.zeros(extra)]),
    )
