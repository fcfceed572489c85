"""Exact bounds: what the answer says of cheapest and of impossible is checked in rational numbers, not trusted.

For any multipliers y of the rows with the right signs, and shares between bounds l <= x <= u,
    c.x >= sum_i y_i b_i + sum_j min(d_j l_j, d_j u_j),   d = c - A'y,
for every blend x (weak duality; Neumaier & Shcherbina 2004, doi:10.1007/s10107-003-0433-3). The multipliers come from
a solver in floating point; the bound is evaluated in fractions, so rounding in the solver can only make it weaker,
never wrong.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme

UNIT_ROUNDOFF = 2.0**-53


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
    dual = usable(programme, row_dual)
    active = np.flatnonzero(dual)
    weights, matrix = dual[active], programme.matrix[active]
    reduced = objective - weights @ matrix
    terms = len(active) + 2
    doubt = (
        terms * UNIT_ROUNDOFF / (1.0 - terms * UNIT_ROUNDOFF) * (np.abs(objective) + np.abs(weights) @ np.abs(matrix))
    )
    open_columns = np.flatnonzero((reduced <= 2.0 * doubt) | (programme.column_low != 0.0))
    right = [float(programme.row_low[row] if dual[row] > 0 else programme.row_high[row]) for row in active]
    exact = [parts(weight) for weight in weights.tolist()]
    bound = exact_sum(exact, right)
    for place in open_columns:
        cost = Fraction(float(objective[place])) - exact_sum(exact, matrix[:, place].tolist())
        low, high = Fraction(float(programme.column_low[place])), Fraction(float(programme.column_high[place]))
        bound += min(cost * low, cost * high)
    return bound


def usable(programme: Programme, row_dual: Vector) -> Vector:
    """Multipliers without crumbs that point at a side on which the row has no limit."""
    wrong = ((row_dual > 0) & np.isinf(programme.row_low)) | ((row_dual < 0) & np.isinf(programme.row_high))
    return np.where(wrong | ~np.isfinite(row_dual), 0.0, row_dual)


def parts(value: float) -> tuple[int, int]:
    """A number as whole / 2^shift, exactly: (whole, shift)."""
    whole, divisor = value.as_integer_ratio()
    return whole, divisor.bit_length() - 1


def exact_sum(weights: Sequence[tuple[int, int]], values: Sequence[float]) -> Fraction:
    """Weights (in parts) times values, added up without rounding: in whole numbers over one power of two."""
    terms = []
    for (whole, shift), value in zip(weights, values, strict=True):
        if value:
            other, more = parts(value)
            terms.append((whole * other, shift + more))
    finest = max((shift for _, shift in terms), default=0)
    return Fraction(sum(whole << (finest - shift) for whole, shift in terms), 1 << finest)


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


@dataclass(frozen=True, slots=True)
class OptimalityProof:
    """What is proved: that no blend is cheaper than this, and by how much the blend shown is dearer (relative).

    `exact` is False where whole numbers make it the solver's word. `preferences` is how many preferences the file has:
    the proof is of blends that meet them as far as this one does. `is_limited`: the search among whole numbers ended
    before it was done.
    """

    cheapest_possible_per_kg: float
    gap: float
    exact: bool
    preferences: int = 0
    is_limited: bool = False

    @property
    def covers(self) -> str:
        """Of which blends it is proved that none is cheaper."""
        blends = "every blend on this shelf that meets these goals"
        if not self.preferences:
            return blends
        return f"{blends}, with the preferences met as far as {'here' if self.is_limited else 'they can be'}"
