"""A pool of vertices, each with what proves it the cheapest: reduced costs as a linear map of the prices.

At a vertex v with its basis the cost per kilo of cured bar is r = c.v / M.v at prices c, and v is the cheapest blend of all
where the reduced costs of c - r M have the right signs. Both are linear in c: with G of the basis they are c G - r (M G), so
one matrix product prices every vertex, and another proves a vertex for many scenarios at once. A degenerate vertex has several
bases, of which any may prove it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.analysis.swept import Places, Swept, is_in_cone
from optimiser.maths.arrays import Mask, Matrix, Vector
from optimiser.solve.vertices import Basis

PROVED = 1e-9  # of money per unit of a column: a reduced cost that is nothing
TIE = 1e-12  # relative: blends that cost the same
SAME = 9  # decimals of a blend in which two vertices are one


class Proof(NamedTuple):
    """What proves a vertex: c @ `prices` - r `cured` must not fall below nothing, over p prices and the columns at bounds."""

    prices: Matrix
    cured: Vector


class Found(NamedTuple):
    """A vertex of a basis: the blend (n) and its proof."""

    point: Vector
    proof: Proof


class Pool:
    """Vertices in the order in which they were found, with every basis that is known of each."""

    def __init__(self, swept: Swept) -> None:
        self.swept = swept
        self.points: list[Vector] = []
        self.proofs: list[list[Proof]] = []
        self.bases: list[Basis] = []
        self.in_cone: list[bool] = []
        self._known: dict[bytes, int] = {}
        self._seen: set[bytes] = set()
        self._priced = np.empty((len(swept.places), 64))
        self._weights = np.empty(64)

    def copy(self) -> Pool:
        """A pool of the same vertices that grows by itself."""
        other = Pool(self.swept)
        other.points, other.bases, other.in_cone = list(self.points), list(self.bases), list(self.in_cone)
        other.proofs = [list(one) for one in self.proofs]
        other._known, other._seen = dict(self._known), set(self._seen)
        other._priced, other._weights = self._priced.copy(), self._weights.copy()
        return other

    def __len__(self) -> int:
        """How many vertices there are."""
        return len(self.points)

    def knows(self, basis: Basis) -> bool:
        """Whether a basis is known already."""
        return name_of(basis) in self._seen

    def add(self, basis: Basis) -> int | None:
        """The number of the vertex of a basis, new or known; None where the basis has none."""
        found = vertex_of(self.swept, basis)
        if found is None:
            return None
        priced, weight = found.point[self.swept.places], float(self.swept.cured @ found.point)
        key = (np.round(np.append(priced, weight), SAME) + 0.0).tobytes()
        number = self._known.setdefault(key, len(self.points))
        self._seen.add(name_of(basis))
        self.bases.append(basis)
        if number < len(self.points):
            self.proofs[number].append(found.proof)
            return number
        if number == len(self._weights):
            self._priced = np.hstack([self._priced, np.empty_like(self._priced)])
            self._weights = np.append(self._weights, np.empty_like(self._weights))
        self._priced[:, number], self._weights[number] = priced, weight
        self.points.append(found.point)
        self.proofs.append([found.proof])
        self.in_cone.append(is_in_cone(self.swept, found.point))
        return number

    def costs(self, prices: Matrix, first: int = 0) -> Matrix:
        """Cost per kilo (s, k) of the vertices from `first` on, at prices (s, p)."""
        out: Matrix = prices @ self._priced[:, first : len(self)]
        out /= self._weights[first : len(self)]
        return out

    def cost_of(self, prices: Matrix, numbers: Places) -> Vector:
        """Cost per kilo of one vertex for each scenario (s), summed up in one order whatever else is priced beside it."""
        money = (prices * self._priced.T[numbers]).sum(axis=1)
        return np.asarray(money / self._weights[numbers], dtype=np.float64)


def name_of(basis: Basis) -> bytes:
    """What a basis is known by."""
    return np.packbits(np.concatenate([basis.basic, basis.at_upper & ~basis.basic])).tobytes()


def vertex_of(swept: Swept, basis: Basis) -> Found | None:
    """The blend of a basis and what proves it; None where a column that is not basic has no bound to lie at.

    As many columns are basic as rows stand at a bound, and only the square of these is inverted.
    """
    m, n = swept.matrix.shape
    basic, rest = np.flatnonzero(basis.basic[:n]), np.flatnonzero(~basis.basic)
    columns, tight = rest[rest < n], rest[rest >= n] - n
    low = np.concatenate([swept.column_low, swept.row_low])[rest]
    high = np.concatenate([swept.column_high, swept.row_high])[rest]
    upper = (basis.at_upper[rest] | ~np.isfinite(low)) & np.isfinite(high)
    lies = np.where(upper, high, low)
    if not np.isfinite(lies).all() or len(basic) != len(tight) or len(basis.basic) != n + m:
        return None
    try:
        inverse = np.linalg.inv(swept.matrix[np.ix_(tight, basic)])
    except np.linalg.LinAlgError:
        return None
    others = swept.matrix[np.ix_(tight, columns)]
    point = np.zeros(n)
    point[columns] = lies[: len(columns)]
    point[basic] = inverse @ (lies[len(columns) :] - others @ lies[: len(columns)])
    reduced = np.zeros((n, len(rest)))
    reduced[columns, np.arange(len(columns))] = 1.0
    reduced[basic, : len(columns)] = -inverse @ others
    reduced[basic, len(columns) :] = inverse
    reduced *= np.where(upper, -1.0, 1.0)
    moves = high > low
    return Found(point, Proof(reduced[np.ix_(swept.places, np.flatnonzero(moves))], (swept.cured @ reduced)[moves]))


def is_proved(proof: Proof, prices: Matrix, costs: Vector) -> Mask:
    """For which scenarios (s) a basis proves its vertex, at prices (s, p) and the costs per kilo of it (s)."""
    return np.asarray((prices @ proof.prices - costs[:, None] * proof.cured).min(axis=1, initial=0.0) >= -PROVED)
