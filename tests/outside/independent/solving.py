"""Programmes put to scipy: homogeneous rows over the amounts, scaled to one of whatever the question is about.

Every row is top.v - limit bottom.v against nothing, so a blend may be told for a kilo of fats or for a kilo of cured bar
alike. A ratio is then linear: least money for a bar of one kilo (Charnes & Cooper, Naval Research Logistics Quarterly 9
(1962) 181-186). Where fats are counted a 0/1 unknown for each fat needs shares, so amounts are for a kilo of fats, and
a ratio is found by Dinkelbach's iteration; the choice of fats found is then solved again with whole counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Any

import clarabel
import numpy as np
from outside.independent.pot import Vector
from outside.independent.reading import Question, Side, Wish
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp

EASE = 1e-6  # relative to a limit: how far it is moved to tell what is near the edge of what can be
EASE_COUNTED = 1e-5  # the same where fats are counted: whole numbers are whole to a millionth for the solver
FULL = 1000.0  # objectives are scaled up, so that what the solver lets pass is small
ROUNDS = 30
TANGENTS = 60  # of the length of what lots stray, for one question
OPTIMAL, IMPOSSIBLE = 0, 2


class Unsure(Exception):
    """The solver ended with neither a blend nor none."""


@dataclass(frozen=True)
class Rows:
    """Rows over amounts, each against nothing: matrix.v between low (0 or -inf) and high (0 or inf)."""

    matrix: Vector
    low: Vector
    high: Vector


@dataclass(frozen=True)
class Found:
    """A point and the least value; `least` is what no other point can be below (where fats are counted)."""

    point: Vector
    value: float
    least: float


def rows_of(question: Question, sides: Iterable[Side], ease: float = 0.0) -> Rows:
    """Physics as it is, and sides with their limits eased (or tightened) by a part of a millionth."""
    pot = question.pot
    listed = [(side, 0.0) for side in question.physics] + [(side, ease) for side in sides]
    matrix, low, high = [], [], []
    for side, moved in listed:
        step = moved * max(1.0, abs(side.limit))
        if step < 0 and side.limit == 0.0 and bool((side.figure.top >= 0.0).all()):
            step = 0.0  # nothing is less than none
        ends = [(side.limit - step, True)] if side.side != "at_most" else []
        ends += [(side.limit + step, False)] if side.side != "at_least" else []
        if side.side == "exactly" and step <= 0:
            ends = [(side.limit, True), (side.limit, False)]
        for limit, is_low in ends:
            row = side.figure.top - limit * side.figure.bottom
            matrix.append(row / max(1.0, float(np.abs(row).max()) / 10.0))
            low.append(0.0 if is_low else -np.inf)
            high.append(np.inf if is_low else 0.0)
    for place in range(pot.count, pot.size):
        row = -pot.most[place] * pot.one
        row[place] = 1.0
        matrix.append(row)
        low.append(-np.inf)
        high.append(0.0)
    return Rows(np.array(matrix), np.array(low), np.array(high))


def run(
    money: Vector, rows: Rows, normal: Vector, integers: Vector | None = None, most: Vector | None = None
) -> tuple[int, Vector]:
    """Status and point of one solve: least money.v with normal.v = 1.

    That whole numbers leave nothing is believed only where it is found with presolve and without it: now and then one of
    the two is wrong.
    """
    matrix = np.vstack([rows.matrix, normal])
    constraint = LinearConstraint(matrix, np.append(rows.low, 1.0), np.append(rows.high, 1.0))
    again = False
    for scale, presolve in ((FULL, True), (FULL, False), (1.0, True)):
        done = milp(
            scale * money,
            constraints=constraint,
            bounds=Bounds(0.0, np.inf if most is None else most),
            integrality=integers,
            options={"mip_rel_gap": 0.0, "presolve": presolve},
        )
        if done.status == OPTIMAL or (done.status == IMPOSSIBLE and (integers is None or again)):
            return done.status, done.x
        again = again or done.status == IMPOSSIBLE
    raise Unsure(done.message)


def run_conic(money: Vector, rows: Rows, normal: Vector, cones: Sequence[Vector], strays: Vector) -> Vector | None:
    """The point of least money.v with normal.v = 1 in the rows and the cones, by Clarabel; None where there is none."""
    equal = (rows.low == 0.0) & (rows.high == 0.0)
    above, below = (rows.low == 0.0) & ~equal, (rows.high == 0.0) & ~equal
    size = len(money)
    parts = [np.vstack([rows.matrix[equal], normal]), -rows.matrix[above], rows.matrix[below], -np.eye(size)]
    zeros, signs = len(parts[0]), sum(len(part) for part in parts[1:])
    right = np.zeros(zeros + signs + len(cones) * (1 + len(strays)))
    right[zeros - 1] = 1.0
    kinds: list[Any] = [clarabel.ZeroConeT(zeros), clarabel.NonnegativeConeT(signs)]
    for row in cones:
        parts += [-row[None, :], -strays]
        kinds.append(clarabel.SecondOrderConeT(1 + len(strays)))
    options = clarabel.DefaultSettings()
    options.verbose = False
    options.max_iter = 500
    for scale in (FULL, 1.0):
        found = clarabel.DefaultSolver(
            sparse.csc_matrix((size, size)), scale * money, sparse.csc_matrix(np.vstack(parts)), right, kinds, options
        ).solve()
        status = str(found.status)
        if status in ("Solved", "AlmostSolved"):
            return np.maximum(np.array(found.x, dtype=np.float64), 0.0)
        if status == "PrimalInfeasible":
            return None
    raise Unsure(f"the conic solver ended with {status}")


# -- counted fats --------------------------------------------------------------------------------------------------


def counts_of(wishes: Iterable[Wish]) -> dict[str, float]:
    """What is counted, by the name under `fats`."""
    return {wish.id.removeprefix("fats."): wish.count for wish in wishes if wish.origin == "count"}


def counted_rows(question: Question, counts: dict[str, float], rows: Rows, ease: float) -> Rows:
    """Rows over amounts, then whether each fat is there at all, then whether it counts towards a least number.

    Amounts are for a kilo of fats here.
    """
    n, size = question.pot.count, question.pot.size
    wide = np.hstack([rows.matrix, np.zeros((len(rows.matrix), 2 * n))])
    extra, low = [], []
    for place in range(n):
        there, counts_as = size + place, size + n + place
        row = np.zeros(size + 2 * n)
        row[place], row[there] = -1.0, 1.0
        extra.append(row)
        row = np.zeros(size + 2 * n)
        row[place], row[counts_as] = 1.0, -question.floors[place]
        extra.append(row)
        row = np.zeros(size + 2 * n)
        row[place], row[there] = 1.0, -max(0.0, counts.get("each_at_least", 0.0) - ease)
        extra.append(row)
        low += [0.0, 0.0, 0.0]
    every, some = np.zeros(size + 2 * n), np.zeros(size + 2 * n)
    every[size : size + n], some[size + n :] = -1.0, 1.0
    number = counts.get("exactly")
    extra += [every, some]
    low += [-counts.get("at_most", n if number is None else number), counts.get("at_least", number or 0.0)]
    return Rows(
        np.vstack([wide, extra]),
        np.concatenate([rows.low, low]),
        np.concatenate([rows.high, np.full(len(low), np.inf)]),
    )


def with_choice(question: Question, counts: dict[str, float], rows: Rows, choice: Vector) -> Rows:
    """Homogeneous rows for a choice made: fats that are not there, least shares of those that are."""
    n, pot = question.pot.count, question.pot
    extra = []
    for place in range(n):
        row = np.zeros(pot.size)
        row[place] = 1.0
        least = counts.get("each_at_least", 0.0) if choice[place] > 0.5 else 0.0
        least = max(least, question.floors[place] if choice[n + place] > 0.5 else 0.0)
        extra.append(-row if choice[place] <= 0.5 else row - least * pot.one)
    return Rows(
        np.vstack([rows.matrix, extra]),
        np.concatenate([rows.low, np.zeros(n)]),
        np.concatenate([rows.high, np.full(n, np.inf)]),
    )


@dataclass(frozen=True)
class Programme:
    """Some sides and counts of a question, to be asked more than once."""

    question: Question
    rows: Rows
    counts: dict[str, float]
    ease: float = 0.0
    cones: tuple[Vector, ...] = ()

    def least(self, top: Vector, bottom: Vector) -> Found | None:
        """Least top.v / bottom.v, the lower form positive; None where there is no blend.

        Where lots stray, a conic solver has the whole of it at once: row.v at least a hundred times |strays v|. Where fats
        are counted, tangents of that length are added until the blend found misses none.
        """
        if not self.cones:
            return self.least_of_rows(top, bottom)
        strays = 100.0 * self.question.pot.strays
        if not self.counts:
            found = self.least_of_rows(top, bottom)
            if found is None or self.is_in(found.point, strays):
                return found
            with suppress(Unsure):  # the tangents tell then
                point = run_conic(top, self.rows, bottom, self.cones, strays)
                return None if point is None else Found(point, float(top @ point), float(top @ point))
        asked = self
        for _ in range(TANGENTS):
            found = asked.least_of_rows(top, bottom)
            if found is None:
                return None
            if self.is_in(found.point, strays):
                return found
            away = strays @ found.point
            missed = [row for row in self.cones if float(row @ found.point) < float(np.linalg.norm(away))]
            tangents = np.array([row - (away / np.linalg.norm(away)) @ strays for row in missed])
            rows = asked.rows
            asked = replace(
                asked,
                rows=Rows(
                    np.vstack([rows.matrix, tangents]),
                    np.append(rows.low, np.zeros(len(missed))),
                    np.append(rows.high, np.full(len(missed), np.inf)),
                ),
            )
        raise Unsure("the tangents of the lots did not settle")

    def is_in(self, point: Vector, strays: Vector) -> bool:
        """Whether a point lies in every cone, but for a hair."""
        length = float(np.linalg.norm(strays @ point))
        return all(float(row @ point) >= length - self.ease_of(point) for row in self.cones)

    def ease_of(self, point: Vector) -> float:
        """How far the length of what lots stray may be missed."""
        return 1e-7 * float(self.question.pot.demand @ point)

    def least_of_rows(self, top: Vector, bottom: Vector) -> Found | None:
        """The same of the rows as they stand."""
        if not self.counts:
            status, point = run(top, self.rows, bottom)
            if status == IMPOSSIBLE:
                return None
            value = float(top @ point)
            return Found(point, value, value)
        return self._least_counted(top, bottom)

    def any(self) -> Vector | None:
        """Some blend for a kilo of fats; of a choice of fats that holds with whole counts."""
        one = self.question.pot.one
        found = self.least(0.0 * one, one)
        return None if found is None else found.point

    def _least_counted(self, top: Vector, bottom: Vector) -> Found | None:
        pot, n = self.question.pot, self.question.pot.count
        counted = counted_rows(self.question, self.counts, self.rows, self.ease)
        integers = np.concatenate([np.zeros(pot.size), np.ones(2 * n)])
        most = np.concatenate([np.full(pot.size, np.inf), np.ones(2 * n)])
        zeros = np.zeros(2 * n)
        one = np.concatenate([pot.one, zeros])
        best: Found | None = None
        for _ in range(ROUNDS):
            ratio = best.value if best is not None else 0.0
            objective = top - ratio * bottom
            status, point = run(np.concatenate([objective, zeros]), counted, one, integers, most)
            if status == IMPOSSIBLE:
                return None
            v = point[: pot.size]
            floor = float(objective @ v)
            chosen = with_choice(self.question, self.counts, self.rows, point[pot.size :])
            again, exact = run(top, chosen, bottom)
            if again == IMPOSSIBLE:  # it holds only by what the solver lets pass
                return Found(v, float(top @ v) / float(bottom @ v), -np.inf)
            value = float(top @ exact)
            if not top.any():
                return Found(exact, value, value)
            if best is not None and (value >= best.value - 1e-12 or floor >= -1e-12):
                below = min(0.0, floor) / float(bottom @ v)
                return Found(best.point, best.value, best.value + below)
            best = Found(exact, value, -np.inf)
        raise AssertionError("the ratio did not settle")


def programme(question: Question, wishes: Iterable[Wish], pins: Iterable[Side] = (), ease: float = 0.0) -> Programme:
    """The programme of some wishes of a question and of sides pinned beside them."""
    kept = list(wishes)
    sides = [side for wish in kept for side in wish.sides]
    counts = counts_of(kept)
    cones = tuple(
        side.figure.top - (side.limit - ease * max(1.0, abs(side.limit))) * side.figure.bottom
        for side in (*sides, *pins)
        if side.strays
    )
    return Programme(question, rows_of(question, [*sides, *pins], ease), counts, max(0.0, ease), cones)


def can_hold(question: Question, wishes: Iterable[Wish], pins: Iterable[Side] = ()) -> bool | None:
    """Whether wishes can hold together; None where that hangs on less than a millionth of a limit."""
    kept, pinned = list(wishes), list(pins)
    tight = programme(question, kept, pinned, -EASE)
    try:
        found = tight.least(0.0 * question.pot.one, question.pot.one)
    except Unsure:  # by less than the solver's own tolerance: the eased limits tell which it is
        found = None
    if found is not None and np.isfinite(found.least):
        return True
    ease = EASE_COUNTED if tight.counts else EASE
    loose = programme(question, kept, pinned, ease).least(0.0 * question.pot.one, question.pot.one)
    return False if loose is None else None
