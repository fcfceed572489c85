"""One programme whose limit moves: its arrays as straight lines in the limit, stretch by stretch.

A limit moves the bounds of a row, or where it is on a ratio the row's coefficients. Now and then it moves more: a rule of
the house that is no tighter than what the maker lets in, a piece of a lever that levels off, a row that every bar meets.
So nothing is assumed: programmes built at several figures are held against the straight line between two of them, and
where they leave it the range is parted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from optimiser.maths.arrays import Matrix, Vector
from optimiser.model.programme import Programme, eased

Build = Callable[[float], Programme]
INSIDE = (0.381966, 0.7)  # of a range: where programmes are held against the line
CLOSE = 1e-11  # relative: on the line
FINEST = 1e-9  # of a range: nearer no kink is told
WITHIN = 1e-7  # of a range: how far inside of its ends a programme is built, since a kink belongs to neither side
HELD = 1e-9  # room that a preference is left when it is held, relative to its limit


@dataclass(frozen=True)
class Moving:
    """A programme over a range of a limit, from `low` to `high`: arrays at `at`, and by how much each moves per unit.

    `lean` (m) and `along` (n) are the two halves of how the matrix moves, lean x along, both nothing where it does not.
    `is_straight`: its bounds or such a matrix move, but not both, so that a vertex moves as one linear fraction.
    """

    low: float
    high: float
    at: float
    programme: Programme = field(repr=False)
    low_slope: Vector = field(repr=False)
    high_slope: Vector = field(repr=False)
    lean: Vector = field(repr=False)
    along: Vector = field(repr=False)
    is_straight: bool

    def programme_at(self, limit: float) -> Programme:
        """The programme at a limit."""
        step = limit - self.at
        start = self.programme
        return replace(
            start,
            matrix=start.matrix + step * np.outer(self.lean, self.along),
            row_low=start.row_low + step * self.low_slope,
            row_high=start.row_high + step * self.high_slope,
        )


def moving(build: Build, low: float, high: float, kinks: Iterable[float] = ()) -> list[Moving]:
    """The programmes of a range, as few straight stretches as there are, in order.

    Args:
        build: the programme at a limit.
        low: where the range begins.
        high: where it ends, above `low`.
        kinks: figures at which something else may begin to move.
    """
    found: list[Moving] = []
    for piece in parted(build, low, high, sorted(set(kinks)), FINEST * (high - low)):
        if found and goes_on(found[-1], piece):
            found[-1] = replace(found[-1], high=piece.high)
        else:  # what is finer than that a kink is not parted any more
            found.append(replace(piece, low=found[-1].high if found else low))
    return [*found[:-1], replace(found[-1], high=high)] if found else []


def goes_on(one: Moving, other: Moving) -> bool:
    """Whether one stretch is the same line as another, so that they were parted for nothing."""
    return (
        same_shape(one.programme, other.programme)
        and same_figures(one.programme_at(other.at), other.programme)
        and same_figures(one.programme_at(other.high), other.programme_at(other.high))
    )


def parted(build: Build, low: float, high: float, kinks: Sequence[float], finest: float) -> Iterator[Moving]:
    """A range in straight stretches: parted, where it is not one, at the kink nearest to its middle, and else halved."""
    piece = straight(build, low, high)
    if piece is not None:
        yield piece
    elif high - low > finest:
        middle = 0.5 * (low + high)
        inside = [kink for kink in kinks if low + finest < kink < high - finest]
        cut = min(inside, key=lambda kink: abs(kink - middle), default=middle)
        yield from parted(build, low, cut, kinks, finest)
        yield from parted(build, cut, high, kinks, finest)


def straight(build: Build, low: float, high: float) -> Moving | None:
    """The range as one stretch; None where a programme inside of it leaves the line, or has other rows."""
    room = WITHIN * (high - low)
    first, last = build(low + room), build(high - room)
    if not same_shape(first, last):
        return None
    span = (high - room) - (low + room)
    found = stretched(first, last, low, high, span)
    if found is None:
        return None
    for part in INSIDE:
        limit = low + part * (high - low)
        other = build(limit)
        if not same_shape(first, other) or not same_figures(found.programme_at(limit), other):
            return None
    return found


def stretched(first: Programme, last: Programme, low: float, high: float, span: float) -> Moving | None:
    """The line through two programmes; None where more moves than a row of coefficients and bounds."""
    moves = (last.matrix - first.matrix) / span
    lean, along = halves(moves)
    if not np.allclose(np.outer(lean, along), moves, rtol=1e-9, atol=CLOSE * (1.0 + np.abs(moves).max(initial=0.0))):
        return None
    down, up = slope(first.row_low, last.row_low, span), slope(first.row_high, last.row_high, span)
    bounds_move = bool(down.any() or up.any())
    own = WITHIN * (high - low)
    return Moving(low, high, low + own, first, down, up, lean, along, not (bounds_move and bool(lean.any())))


def halves(moves: Matrix) -> tuple[Vector, Vector]:
    """A matrix of rank one as lean (m) x along (n): the rows that move, by how much, and which way."""
    size = np.abs(moves).max(axis=1, initial=0.0)
    along = moves[int(np.argmax(size))].copy() if size.any() else np.zeros(moves.shape[1])
    length = float(along @ along)
    return (moves @ along / length if length else np.zeros(len(moves))), along


def slope(first: Vector, last: Vector, span: float) -> Vector:
    """By how much bounds move per unit; those without end do not."""
    finite = np.isfinite(first) & np.isfinite(last)
    out = np.zeros_like(first)
    out[finite] = (last[finite] - first[finite]) / span
    return out


def same_shape(one: Programme, other: Programme) -> bool:
    """Whether two programmes have the same rows and columns, whatever their figures."""
    if one.matrix.shape != other.matrix.shape or len(one.rows) != len(other.rows):
        return False
    rows = all(
        (mine.wish, mine.figure, mine.side) == (theirs.wish, theirs.figure, theirs.side)
        for mine, theirs in zip(one.rows, other.rows, strict=True)
    )
    return (
        rows
        and np.array_equal(np.isfinite(one.row_low), np.isfinite(other.row_low))
        and np.array_equal(np.isfinite(one.row_high), np.isfinite(other.row_high))
        and np.array_equal(one.column_low, other.column_low)
        and np.array_equal(one.column_high, other.column_high)
        and np.array_equal(one.integer, other.integer)
        and np.array_equal(one.money, other.money)
        and np.array_equal(one.cured, other.cured)
    )


def same_figures(one: Programme, other: Programme) -> bool:
    """Whether two programmes have the same figures, to rounding."""
    return all(
        bool(np.allclose(mine, theirs, rtol=1e-9, atol=1e-9))
        for mine, theirs in (
            (one.matrix, other.matrix),
            (one.row_low, other.row_low),
            (one.row_high, other.row_high),
        )
    )


def holding_preferences(programme: Programme) -> Programme:
    """The programme with every preference met in full, a hair of room aside."""
    for preference in programme.soft:
        most = max(abs(programme.rows[place].limit) for place in preference.rows)
        programme = eased(programme, preference, HELD * max(1.0, most))
    return programme
