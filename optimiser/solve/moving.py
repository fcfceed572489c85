"""Blends near to a recipe in hand: the fewest grams moved, then the least drift, without crumbs; and the cheapest of those.

Sums of what is moved are linear and leave most fats where they are; squares would move all of them a little (prototypes
gave 20 fats of a per cent each). Every question is one more objective, or a bound more, of the same live model.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.solve.nearest import apart_from, freed, moved_row
from optimiser.solve.optimum import least_ratio
from optimiser.solve.outcomes import Outcome
from optimiser.solve.proof import cheapest_possible, lower_bound
from optimiser.solve.solver import Live

FIRST = 1000.0  # of drift that a fat moved altogether outweighs: moved first, then drift
PINCH = 0.03  # of the fats: less of a new fat is not worth weighing
CRUMB = 0.01  # of the fats: a smaller change of a fat that stays is none
SAME = 1e-7
HARDLY = 1.0  # of drift, all measures together in parts of how sure they are: as much as nobody finds, for one fat less to weigh
MOST_ROUNDS = 24
MOST_DEARER = 0.05  # relative: what it may cost to leave a crumb out
MOST_FARTHER = 0.05  # of the fats: what may be moved more to leave a crumb out


class Moves(NamedTuple):
    """A programme that tells how far a blend lies from the recipe in hand, and keeps none near by itself.

    `moved` (n entries) is the share of the fats that is taken away from where it was, a fraction; as shares add up to one, as
    much comes in elsewhere. `drift` is the sum of what measures are off, each in parts of how sure it is. `cap` is the row
    that can hold what is moved below a figure (per cent), with the columns that must be nothing then. `old` are the recipe's
    shares (one for each fat), fractions.
    """

    programme: Programme
    moved: Vector
    drift: Vector
    old: Vector
    cap: int
    slack: tuple[int, ...]


def moves_of(programme: Programme, shares: Mapping[str, float]) -> Moves:
    """The moves of a programme that was built with a recipe in hand.

    Args:
        programme: the goals over the shelf; columns may have been added after those.
        shares: of the recipe, by name, per cent.

    Raises:
        SolverFault: there is no recipe in hand.
    """
    cap = moved_row(programme)
    preference = next(one for one in programme.soft if one.rows[0] == cap)
    row, moved = programme.rows[cap], np.zeros_like(programme.money)
    moved[: len(row.top)] = row.top / 100.0
    old = np.array([shares.get(fat.name, 0.0) / 100.0 for fat in programme.columns.fats])
    return Moves(freed(programme), moved, apart_from(programme, "drift"), old, cap, preference.shortfalls)


class Near(NamedTuple):
    """A blend near to a recipe: its point, how much of the fats is moved, and what no blend moves less than, both fractions."""

    point: Vector
    moved: float
    least_moved: float


class CheapNear(NamedTuple):
    """The cheapest blend of those that move no more than they may: its point, its cost, and what no blend costs less than."""

    point: Vector
    ratio: float
    least_ratio: float


def nearest(live: Live, moves: Moves, toll: Vector, most_new: int) -> Near | None:
    """The blend that moves the fewest grams, of those the one that drifts least, without crumbs; None where there is none.

    Args:
        live: the model of `moves.programme`; it is left as it was.
        moves: the programme with its distance.
        toll: drift that a whole share of each column counts for beside, such as for another form.
        most_new: how many fats that the recipe has not may come in, where that can be kept.
    """
    first = live.minimise(moves.moved)
    if not first.feasible:
        return None
    proved = proved_of(live, moves, first)
    objective = FIRST * moves.moved + moves.drift + toll
    start = live.minimise(objective)
    most = first.objective + MOST_FARTHER

    def is_kept(again: Outcome) -> bool:
        return float(moves.moved @ again.point) <= most

    found = without_crumbs(live, moves, objective, start, most_new, is_kept)
    fewer, held = with_fewer(live, moves, objective, found)
    point = without_crumbs(live, moves, objective, fewer, most_new, is_kept).point if held else found.point
    for place in held:
        live.restore_column(place)
    point = without_dust(moves, point)
    return Near(point, float(moves.moved @ point), proved)


def least_moved(live: Live, moves: Moves) -> float:
    """What no blend moves less than, a fraction, over all that the live model allows as it stands; nothing where it allows none."""
    first = live.minimise(moves.moved)
    return proved_of(live, moves, first) if first.feasible else 0.0


def proved_of(live: Live, moves: Moves, first: Outcome) -> float:
    """The same from the prices of a blend that moves the least, in whole numbers, rounded down."""
    return max(0.0, float(np.nextafter(float(lower_bound(live.asked(), moves.moved, first.row_dual)), -np.inf)))


def cheapest_near(live: Live, moves: Moves, most_moved: float, most_new: int) -> CheapNear | None:
    """The cheapest blend that moves no more than so much, without crumbs; None where there is none.

    Args:
        live: the model of `moves.programme`; its cap on what is moved is left in place, and the columns that it needs at nothing.
        moves: the programme with its distance.
        most_moved: of the fats, a fraction.
        most_new: as in `nearest`.
    """
    live.bound_rows([moves.cap], np.array([-np.inf]), np.array([100.0 * most_moved]))
    for place in moves.slack:
        live.bound_column(place, 0.0, 0.0)
    found = least_ratio(live)
    if found is None:
        return None
    asked = replace(live.asked(), money=live.programme.money)
    proved = cheapest_possible(asked, found.ratio, found.outcome.row_dual)
    objective = live.programme.money - found.ratio * live.programme.cured
    room = MOST_DEARER * found.ratio

    def is_kept(again: Outcome) -> bool:
        return again.objective <= room

    start = found.outcome._replace(point=found.point)
    point = without_dust(moves, without_crumbs(live, moves, objective, start, most_new, is_kept).point)
    ratio = float(asked.money @ point[: len(asked.money)]) / float(asked.cured @ point[: len(asked.cured)])
    return CheapNear(point, ratio, proved)


def without_crumbs(
    live: Live, moves: Moves, objective: Vector, start: Outcome, most_new: int, is_kept: Callable[[Outcome], bool]
) -> Outcome:
    """A blend without pinches of new fats, without changes too small to weigh, and with few new fats, one held after the other.

    Each is held where it was as long as there is a blend that is kept; else it stays. The model is left with the bounds of its
    programme.
    """
    now, settled = start, set[int]()
    for _ in range(MOST_ROUNDS):
        place = next_crumb(moves, now.point, settled, most_new)
        if place is None:
            break
        settled.add(place)
        old, now_at = float(moves.old[place]), float(now.point[place])
        held = 0.0 if now_at < PINCH <= old else old
        low, high = live.programme.column_low[place], live.programme.column_high[place]
        if not low <= held <= high:
            continue
        live.bound_column(place, held, held)
        again = live.minimise(objective)
        if again.feasible and is_kept(again):
            now = again
        else:
            live.restore_column(place)
    for place in settled:
        live.restore_column(place)
    return now


def without_dust(moves: Moves, point: Vector) -> Vector:
    """The blend without what is only the solver's own room: a balance would make a whole step of it, of a fat that nobody wants."""
    clean = np.array(point)
    shares = clean[: len(moves.old)]
    dust = (shares != 0.0) & (shares <= SAME)
    shares[int(np.argmax(shares))] += float(shares[dust].sum())
    shares[dust] = 0.0
    return clean


def with_fewer(live: Live, moves: Moves, objective: Vector, found: Outcome) -> tuple[Outcome, list[int]]:
    """A blend without new fats, or more of old ones, that it hardly needs, and with no others than it had; the least is tried first.

    The columns that are given second are left with bounds of their own: those of all new fats, shut where they are not in it.
    """
    shares = found.point[: len(moves.old)]
    new = [int(place) for place in np.flatnonzero((moves.old == 0.0) & (shares > SAME))]
    grown = [int(place) for place in np.flatnonzero((moves.old > 0.0) & (shares > moves.old + SAME))]
    if len(new) + len(grown) < 2:
        return found, []
    shut = [int(place) for place in np.flatnonzero((moves.old == 0.0) & (shares <= SAME))]
    for place in shut:
        live.bound_column(place, 0.0, 0.0)
    least = float(objective @ found.point)
    for place in sorted([*grown, *new], key=lambda one: shares[one] - moves.old[one])[:-1]:
        live.bound_column(place, float(moves.old[place]), float(moves.old[place]))
        again = live.minimise(objective)
        if again.feasible and again.objective <= least + HARDLY:
            found = again
        else:
            live.restore_column(place)
    return found, [*shut, *new, *grown]


def next_crumb(moves: Moves, point: Vector, settled: set[int], most_new: int) -> int | None:
    """The smallest change that is not worth weighing, a mere rest of a fat, or of too many new fats the smallest; None without any."""
    shares = point[: len(moves.old)]
    change = np.abs(shares - moves.old)
    is_new = (moves.old == 0.0) & (shares > SAME)
    too_many = int(is_new.sum()) > most_new
    rest = (moves.old >= PINCH) & (shares > SAME) & (shares < PINCH - SAME)
    small = (is_new & ((shares < PINCH - SAME) | too_many)) | rest
    small |= ~is_new & (change > SAME) & (change < CRUMB - SAME)
    open_ones = [int(place) for place in np.flatnonzero(small) if int(place) not in settled]
    return min(open_ones, key=lambda place: (change[place], place), default=None)
