"""Stretches of a cost curve: over each the blend stays at one vertex, which moves as the limit does.

With a limit at `at` + s the vertex is (start + s move) / (1 + g s), and the cost per kilo N.v / M.v the fraction
(n0 + n1 s) / (m0 + m1 s). For a limit on a linear figure g is 0; one on a ratio moves a row of the matrix, and the inverse of
the basis moves by a matrix of rank one (Sherman & Morrison, Annals of Mathematical Statistics 21 (1950) 124-127,
doi:10.1214/aoms/1177729893), so that all stays fractions of straight lines with one lower half.

A stretch ends where the vertex would leave a bound (the primal ratio test), where a column would come in by its reduced
cost N_j - r M_j, whose r moves with the limit (the dual one), or where a row has no more room for the spread of lots. Each is
a root of a polynomial of degree two at most.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from optimiser.maths.arrays import Mask, Vector
from optimiser.model.moving import Moving
from optimiser.model.programme import Programme
from optimiser.problem.wishes import Said, WishId
from optimiser.solve.vertices import Basis

PRIMAL = 1e-9  # of a bound: what a solver takes for met
DUAL = 1e-9  # of money per unit of a column: the same of a reduced cost
CONE = 1e-13  # of squared moles: the same of the spread of lots
SLOPE = 1e-13  # relative: below it a line does not move
AT_BOUND = 1e-7  # of an activity: a row that is this near to its bound binds
Places = npt.NDArray[np.intp]
Polynomial = tuple[float, float, float]


class State(NamedTuple):
    """What holds over a stretch beside its rows: which rules gave way, and which preferences fall short, in their words."""

    gave_way: tuple[Said, ...] = ()
    short: tuple[Said, ...] = ()


AS_WRITTEN = State()


class Stretch(NamedTuple):
    """The curve from `low` to `high` of a limit: at `at` + s it costs (n0 + n1 s) / (m0 + m1 s).

    The blend there is (start + s move) / (1 + g s), n entries. `binds` are the wishes at their limits inside of it.
    `exact`: every figure of it is that of the cheapest blend. `is_laid`: its ends are answers, and between them lies a line.
    """

    low: float
    high: float
    at: float
    money: tuple[float, float]
    cured: tuple[float, float]
    g: float
    start: Vector
    move: Vector
    binds: frozenset[WishId] = frozenset()
    exact: bool = True
    is_laid: bool = False
    state: State = AS_WRITTEN

    def cost(self, limit: float) -> float:
        """Money per kilo of cured bar at a limit."""
        s = limit - self.at
        return (self.money[0] + self.money[1] * s) / (self.cured[0] + self.cured[1] * s)

    def slope(self, limit: float) -> float:
        """What one unit more of the limit costs per kilo, at a limit."""
        bottom = self.cured[0] + self.cured[1] * (limit - self.at)
        return (self.money[1] * self.cured[0] - self.money[0] * self.cured[1]) / (bottom * bottom)

    def point(self, limit: float) -> Vector:
        """The blend at a limit (n)."""
        s = limit - self.at
        return np.asarray((self.start + s * self.move) / (1.0 + self.g * s), dtype=np.float64)


class Vertex(NamedTuple):
    """A vertex and how it moves: a blend and its row activities (start + s move) / (1 + g s), over n columns and m rows.

    `rest` are the columns and rows that lie at a bound, `upper` those of them at the upper one. `reduced` and `bends` are
    what their reduced costs are at s = 0 and what they bend by, first of money and then of cured weight:
    d(s) = reduced - s bends / (1 + g s).
    """

    start: Vector
    move: Vector
    g: float
    rest: Places
    upper: Mask
    reduced: tuple[Vector, Vector]
    bends: tuple[Vector, Vector]


def stretch_at(family: Moving, basis: Basis, limit: float) -> Stretch | None:
    """The stretch of a vertex, as far as it reaches to both sides; None where it is no optimum at the limit after all.

    Args:
        family: the programmes of the range, straight at the limit.
        basis: of the vertex.
        limit: where the vertex was found.
    """
    programme = family.programme_at(limit)
    vertex = vertex_of(family, programme, basis)
    if vertex is None:
        return None
    n = len(programme.money)
    money = line_of(programme.money, vertex)
    cured = line_of(programme.cured, vertex)
    conditions = [
        *((line, PRIMAL) for line in in_bounds(family, programme, vertex)),
        *((curve, DUAL) for curve in priced_out(programme, vertex, money, cured)),
        *((curve, CONE) for curve in in_cone(family, programme, vertex)),
    ]
    if vertex.g:
        conditions.append(((1.0, vertex.g, 0.0), 0.0))
    room = (-math.inf, math.inf)
    for polynomial, tolerance in conditions:
        if polynomial[0] < -10.0 * tolerance:
            return None
        room = narrowed(room, polynomial, tolerance)
    low, high = max(limit + room[0], family.low), min(limit + room[1], family.high)
    found = Stretch(low, high, limit, money, cured, vertex.g, vertex.start[:n], vertex.move[:n])
    return found._replace(binds=binding(family, found, 0.5 * (low + high)))


def vertex_of(family: Moving, programme: Programme, basis: Basis) -> Vertex | None:
    """The vertex of a basis and how it moves; None where a column that is not basic has no bound to lie at.

    As many columns are basic as rows stand at a bound, and only the square of these is inverted.
    """
    m, n = programme.matrix.shape
    basic, rest = np.flatnonzero(basis.basic[:n]), np.flatnonzero(~basis.basic)
    columns, tight = rest[rest < n], rest[rest >= n] - n
    low = np.concatenate([programme.column_low, programme.row_low])[rest]
    high = np.concatenate([programme.column_high, programme.row_high])[rest]
    upper = (basis.at_upper[rest] | ~np.isfinite(low)) & np.isfinite(high)
    at = np.where(upper, high, low)
    if not np.isfinite(at).all() or len(basic) != len(tight):
        return None
    lies, bound = at[: len(columns)], at[len(columns) :]
    drift = np.where(upper[len(columns) :], family.high_slope[tight], family.low_slope[tight])
    matrix, along, lean = programme.matrix, family.along, family.lean
    try:
        inverse = np.linalg.inv(matrix[np.ix_(tight, basic)])
    except np.linalg.LinAlgError:
        return None
    others = matrix[np.ix_(tight, columns)]
    w, u = inverse @ lean[tight], along[basic] @ inverse
    g = float(along[basic] @ w)
    now = inverse @ (bound - others @ lies)
    then = inverse @ drift - w * float(along[columns] @ lies)
    start, move = np.zeros(n + m), np.zeros(n + m)
    start[columns], move[columns] = lies, g * lies
    start[basic], move[basic] = now, then + g * now - w * float(along[basic] @ now)
    start[n:] = matrix @ start[:n]
    move[n:] = matrix @ move[:n] + lean * float(along @ start[:n])
    start[n + tight], move[n + tight] = bound, drift + g * bound
    turned = np.concatenate([along[columns] - u @ others, u])
    reduced, bends = [], []
    for costs in (programme.money, programme.cured):
        dual = costs[basic] @ inverse
        reduced.append(np.concatenate([costs[columns] - dual @ others, dual]))
        bends.append(float(costs[basic] @ w) * turned)
    return Vertex(start, move, g, rest, upper, (reduced[0], reduced[1]), (bends[0], bends[1]))


def line_of(weights: Vector, vertex: Vertex) -> tuple[float, float]:
    """The upper half of a linear figure of the vertex, as constant and slope."""
    n = len(weights)
    return float(weights @ vertex.start[:n]), float(weights @ vertex.move[:n])


def in_bounds(family: Moving, programme: Programme, vertex: Vertex) -> Iterator[Polynomial]:
    """What must not fall below nothing for every column and row to stay in its bounds; times 1 + g s."""
    n = len(programme.money)
    low = np.concatenate([programme.column_low, programme.row_low])
    high = np.concatenate([programme.column_high, programme.row_high])
    low_slope, high_slope = (np.concatenate([np.zeros(n), one]) for one in (family.low_slope, family.high_slope))
    moves = np.ones(len(low), dtype=np.bool_)
    moves[vertex.rest] = False
    for sign, bound, slope in ((1.0, low, low_slope), (-1.0, high, high_slope)):
        known = np.flatnonzero(moves & np.isfinite(bound))
        offset = sign * (vertex.start - bound)[known]
        drift = sign * (vertex.move[known] - slope[known] - vertex.g * bound[known])
        yield from ((c0, c1, 0.0) for c0, c1 in zip(offset.tolist(), drift.tolist(), strict=True))


def priced_out(
    programme: Programme, vertex: Vertex, money: tuple[float, float], cured: tuple[float, float]
) -> Iterator[Polynomial]:
    """What must not fall below nothing for no column to pay by coming in: N_j - r M_j times (1 + g s) (m0 + m1 s) / m0."""
    low = np.concatenate([programme.column_low, programme.row_low])[vertex.rest]
    high = np.concatenate([programme.column_high, programme.row_high])[vertex.rest]
    sign = np.where(vertex.upper, -1.0, 1.0) * (high > low)
    n0, n1 = (part / cured[0] for part in money)
    m1 = cured[1] / cured[0]
    p0, q0 = vertex.reduced
    p1, q1 = (vertex.g * one - bend for one, bend in zip(vertex.reduced, vertex.bends, strict=True))
    for part in zip(
        (sign * (p0 - n0 * q0)).tolist(),
        (sign * (p1 + m1 * p0 - n0 * q1 - n1 * q0)).tolist(),
        (sign * (m1 * p1 - n1 * q1)).tolist(),
        sign.tolist(),
        strict=True,
    ):
        if part[3]:
            yield part[:3]


def in_cone(family: Moving, programme: Programme, vertex: Vertex) -> Iterator[Polynomial]:
    """What must not fall below nothing for every row that feels the spread of lots to have room for it as it is."""
    lots = programme.lots
    if lots is None:
        return
    n = len(programme.money)
    v0, v1 = lots.deviations(vertex.start[:n]), lots.deviations(vertex.move[:n])
    squares = float(v0 @ v0), 2.0 * float(v0 @ v1), float(v1 @ v1)
    for row in np.flatnonzero(programme.matrix[:, lots.norm]).tolist():
        felt = float(programme.matrix[row, lots.norm])
        bound, slope = (
            (programme.row_low[row], family.low_slope[row])
            if felt < 0.0
            else (programme.row_high[row], family.high_slope[row])
        )
        if not np.isfinite(bound):
            continue
        sign = 1.0 if felt < 0.0 else -1.0
        a0 = sign * float(vertex.start[n + row] - felt * vertex.start[lots.norm] - bound)
        a1 = sign * float(vertex.move[n + row] - felt * vertex.move[lots.norm] - slope - vertex.g * bound)
        yield a0, a1, 0.0
        f = felt * felt
        yield a0 * a0 - f * squares[0], 2.0 * a0 * a1 - f * squares[1], a1 * a1 - f * squares[2]


def narrowed(room: tuple[float, float], polynomial: Polynomial, tolerance: float) -> tuple[float, float]:
    """The steps (down, up) within which c0 + c1 s + c2 s^2 stays above nothing too, from s = 0 where it does.

    One that begins at nothing may fall below it by the tolerance, since nothing is all that rounding knows of it.
    """
    c0, c1, c2 = polynomial
    down, up = room
    if c0 <= 10.0 * tolerance:
        c0 = max(c0, 0.0) + tolerance
    size = max(abs(c0), 1.0)
    if abs(c1) <= SLOPE * size and abs(c2) <= SLOPE * size:
        return room
    if c2 == 0.0:
        roots: tuple[float, ...] = (-c0 / c1,)
    else:
        under = c1 * c1 - 4.0 * c0 * c2
        if under < 0.0:
            return room
        half = -0.5 * (c1 + math.copysign(math.sqrt(under), c1))
        roots = tuple(one for one in (half / c2, c0 / half if half else math.inf) if math.isfinite(one))
    return max((down, *(one for one in roots if one < 0.0))), min((up, *(one for one in roots if one >= 0.0)))


def binding(family: Moving, stretch: Stretch, limit: float) -> frozenset[WishId]:
    """The wishes whose rows stand at a bound at a limit; those on nothing but themselves (physics) are none."""
    return at_limits(family.programme_at(limit), stretch.point(limit))


def at_limits(programme: Programme, point: Vector) -> frozenset[WishId]:
    """The wishes of a programme that a blend meets without room to spare."""
    lots = programme.lots
    blend = point if lots is None else lots.lifted(point)
    activity = programme.matrix @ blend
    near = np.minimum(np.abs(activity - programme.row_low), np.abs(activity - programme.row_high)) <= AT_BOUND
    tight = set(np.flatnonzero(near).tolist())
    return frozenset(name for name, places in programme.members.items() if not tight.isdisjoint(places))
