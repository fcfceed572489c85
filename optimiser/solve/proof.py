"""Exact bounds: what the answer says of cheapest and of impossible is checked in rational numbers, not trusted.

For any multipliers y of the rows with the right signs, and shares between bounds l <= x <= u,
    c.x >= sum_i y_i b_i + sum_j min(d_j l_j, d_j u_j),   d = c - A'y,
for every blend x (weak duality; Neumaier & Shcherbina 2004, doi:10.1007/s10107-003-0433-3). The multipliers come from
a solver in floating point; the bound is evaluated in fractions, so rounding in the solver can only make it weaker,
never wrong.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from operator import mul
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Matrix, Vector
from optimiser.model.programme import Programme

UNIT_ROUNDOFF = 2.0**-53
DIGITS = 53  # of a float, in twos


def lower_bound(programme: Programme, objective: Vector, row_dual: Vector) -> Fraction:
    """A number that the objective of no blend of the programme can go below.

    Whole columns are relaxed to their ranges. Reduced costs whose sign is beyond doubt in floating point (by the
    rounding bound of a dot product, Higham 2002, section 3.1) and whose column starts at zero add nothing; only the
    others are summed in fractions, so the work hardly grows with the number of fats.

    Args:
        programme: m rows over n columns, all of them bounded.
        objective: n costs.
        row_dual: m multipliers, from anywhere; entries of the wrong sign are dropped.
    """
    dual = usable(programme, for_rows(programme, row_dual))
    active = np.flatnonzero(dual)
    weights, matrix = dual[active], programme.matrix[active]
    reduced = objective - weights @ matrix
    terms = len(active) + 2
    doubt = (
        terms * UNIT_ROUNDOFF / (1.0 - terms * UNIT_ROUNDOFF) * (np.abs(objective) + np.abs(weights) @ np.abs(matrix))
    )
    open_columns = np.flatnonzero((reduced <= 2.0 * doubt) | (programme.column_low != 0.0))
    right = np.where(weights > 0.0, programme.row_low[active], programme.row_high[active])
    prices, of_prices = whole(weights)
    limits, of_limits = whole(right)
    entries, of_entries = whole(matrix[:, open_columns].T)
    costs, of_costs = whole(objective[open_columns])
    ends, of_ends = whole(np.stack([programme.column_low[open_columns], programme.column_high[open_columns]], axis=1))
    shift = max(of_costs, of_prices + of_entries)
    least = 0
    for place, cost in enumerate(costs):
        column = entries[place * len(prices) : (place + 1) * len(prices)]
        rest = (cost << (shift - of_costs)) - (dot(prices, column) << (shift - of_prices - of_entries))
        least += min(rest * ends[2 * place], rest * ends[2 * place + 1])
    return Fraction(dot(prices, limits), 1 << (of_prices + of_limits)) + Fraction(least, 1 << (shift + of_ends))


def for_rows(programme: Programme, row_dual: Vector) -> Vector:
    """Multipliers of every row: those of rows that were cut off the cone of the lots later are none."""
    return np.pad(row_dual, (0, len(programme.matrix) - len(row_dual)))


def usable(programme: Programme, row_dual: Vector) -> Vector:
    """Multipliers without crumbs that point at a side on which the row has no limit."""
    wrong = ((row_dual > 0) & np.isinf(programme.row_low)) | ((row_dual < 0) & np.isinf(programme.row_high))
    return np.where(wrong | ~np.isfinite(row_dual), 0.0, row_dual)


def whole(values: Vector | Matrix) -> tuple[list[int], int]:
    """Numbers, row after row, as whole numbers over one power of two, exactly: (wholes, shift), each whole / 2^shift.

    Raises:
        ValueError: one is infinite or none, and nothing can be proved of it.
    """
    if not np.isfinite(values).all():
        raise ValueError("only finite numbers are whole numbers over a power of two")
    parts, powers = np.frexp(values.ravel())
    wholes = np.ldexp(parts, DIGITS).astype(np.int64)
    shifts = np.where(wholes != 0, DIGITS - powers, 0)
    finest = int(shifts.max(initial=0))
    return [number << (finest - shift) for number, shift in zip(wholes.tolist(), shifts.tolist(), strict=True)], finest


def dot(ones: Iterable[int], others: Iterable[int]) -> int:
    """A sum of products of whole numbers."""
    return sum(map(mul, ones, others))


def cheapest_possible(programme: Programme, ratio: float, row_dual: Vector) -> float:
    """Cost per kilo of cured bar below which no blend can come, rounded down.

    At a ratio r, N - r M >= L for every blend gives N / M >= r + L / M, and M is at least the cured weight of the fats
    alone, so a slightly negative L costs next to nothing.
    """
    least_cured = Fraction(float(programme.cured[: programme.columns.count].min()))
    slack = lower_bound_of_ratio(programme, ratio, row_dual)
    proved = Fraction(ratio) + min(Fraction(), slack) / least_cured
    return float(np.nextafter(float(proved), -np.inf))


def lower_bound_of_ratio(programme: Programme, ratio: float, row_dual: Vector) -> Fraction:
    """A lower bound on N - r M, with the objective itself formed without rounding where it matters."""
    objective = programme.money - ratio * programme.cured
    rounding = Fraction(4 * UNIT_ROUNDOFF) * Fraction(
        float((np.abs(programme.money) + abs(ratio) * np.abs(programme.cured)) @ np.maximum(programme.column_high, 0.0))
    )
    return lower_bound(programme, objective, row_dual) - rounding


def infeasibility_margin(programme: Programme, ray: Vector) -> float:
    """Above zero it proves that no blend exists: the least value of zero that the rows would allow.

    The ray is scaled to a largest entry of one.
    """
    size = float(np.abs(ray).max(initial=0.0))
    if size == 0.0:
        return 0.0
    bound = lower_bound(programme, np.zeros_like(programme.money), ray / size)
    return float(np.nextafter(float(bound), -np.inf)) if bound > 0 else float(bound)


class OptimalityProof(NamedTuple):
    """What is proved: that no blend is cheaper than this, and by how much the blend shown is dearer (relative).

    `exact` is False where whole numbers make it the solver's word. `preferences` is how many preferences the file has:
    the proof is of blends that meet them as far as this one does. `is_limited`: the search among whole numbers ended
    before it was done. `is_lean`: it is of blends with no more of what may be used than helps. `is_bought`: of blends out of what is in stock and what may be, or is, bought.
    """

    cheapest_possible_per_kg: float
    gap: float
    exact: bool
    preferences: int = 0
    is_limited: bool = False
    is_lean: bool = False
    is_bought: bool = False

    @property
    def covers(self) -> str:
        """Of which blends it is proved that none is cheaper."""
        bought = " with what is bought" if self.is_bought else ""
        blends = f"every blend on this shelf{bought} that meets these goals"
        blends += ", with no more of what may be used than helps" if self.is_lean else ""
        if not self.preferences:
            return blends
        return f"{blends}, with the preferences met as far as {'here' if self.is_limited else 'they can be'}"
