"""The smallest changes that make peace: how far each wish alone must move, or, where none alone can, several together.

Every change is rounded the easy way to a figure that a person would write, written into the file's own terms and solved
again; one that does not open a blend is not offered.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from optimiser.amending import amended
from optimiser.cheapest import solve
from optimiser.clashes import Clashes
from optimiser.goals import GoalSheet
from optimiser.oracle import Oracle
from optimiser.pasting import paste
from optimiser.programme import Programme, build
from optimiser.reach import extreme, towards
from optimiser.rows import Row
from optimiser.shelf import Shelf
from optimiser.story import Change, Concession

MOST_JOINT = 12  # ways out of several wishes looked into, smallest first
TRIES = 4  # steps of the rounding taken before a change is given up
GUARD = 1e-7  # what the solver's tolerance may have hidden
WHOLE_FATS = "fats.each_at_least"


@dataclass(frozen=True, slots=True)
class Move:
    """One wish at a new figure; `size` in steps of its natural scale."""

    row: Row
    value: float

    @property
    def size(self) -> float:
        """How large a change it is, in the wish's natural scale."""
        return abs(self.value - self.row.limit) / self.row.scale


def concessions(sheet: GoalSheet, shelf: Shelf, programme: Programme, found: Clashes) -> tuple[Concession, ...]:
    """Ways to make peace, smallest first.

    For each wish whose giving up alone would do: the least it alone must move. Where there is none: the smallest
    change of all, to which every wish of a clash may give a little, and for each of the smallest ways out of several
    wishes the least that they must move together.

    Args:
        sheet: the goals as written.
        shelf: the shelf as written.
        programme: the rows of the two.
        found: its clashes and ways out.
    """
    oracle = Oracle(programme)
    singles = [way for way in found.ways_out if len(way) == 1]
    ways = singles or [clashing(found), *(way for way in found.ways_out if way)][: 1 + MOST_JOINT]
    offers: dict[tuple[str, ...], tuple[float, Concession]] = {}
    for way in ways:
        offer = offered(sheet, shelf, oracle, way)
        if offer is not None:
            offers.setdefault(tuple(change.id for change in offer[1].changes), offer)
    ranked = sorted(offers.items(), key=lambda item: (round(item[1][0], 6), len(item[0]), item[0]))
    return tuple(told for _, (_, told) in ranked)


def clashing(found: Clashes) -> tuple[str, ...]:
    """Every wish of every clash, in the order in which they were met: all of them may give a little."""
    return tuple(dict.fromkeys(member for clash in found.clashes for member in clash.members))


def offered(sheet: GoalSheet, shelf: Shelf, oracle: Oracle, way: Sequence[str]) -> tuple[float, Concession] | None:
    """The least change of some wishes with all others held, rounded, tried, and priced; with its size."""
    moves = alone(oracle, way[0]) if len(way) == 1 else together(oracle, way)
    if moves is None:
        return None
    for extra in range(TRIES):
        eased = [Move(move.row, rounded(move, extra)) for move in moves]
        limits = {move.row.member: move.value for move in eased}
        changed_sheet, changed_shelf = amended(sheet, shelf, [move.row for move in eased], limits)
        _, cheapest = solve(build(changed_sheet, changed_shelf))
        if cheapest is not None:
            kept = sorted(
                (move for move in eased if move.size > 0), key=lambda move: oracle.members.index(move.row.member)
            )
            told = Concession(tuple(change(oracle.programme, move) for move in kept), cheapest.ratio)
            return sum(move.size for move in kept), told
    return None


def alone(oracle: Oracle, member: str) -> list[Move] | None:
    """The least that one wish must move with every other wish held."""
    rows = [oracle.programme.rows[place] for place in oracle.programme.members[member]]
    others = [name for name in oracle.members if name != member]
    if member == WHOLE_FATS:
        return smallest_share(oracle, rows, others)
    oracle.hold(others)
    moves = []
    for row in rows:
        reached = [end.value for sign in towards(row) if (end := extreme(oracle, row, sign)) is not None]
        if not reached:
            return None
        moves.append(Move(row, min(reached, key=lambda value: abs(value - row.limit))))
    worst = max(moves, key=lambda move: move.size)
    return [Move(whole(rows), middle(rows) + worst.value - worst.row.limit)] if len(rows) > 1 else [worst]


def whole(rows: Sequence[Row]) -> Row:
    """One row that speaks for a wish of two sides: the bare figure that the maker wrote."""
    return replace(rows[0], side="exactly", limit=middle(rows))


def middle(rows: Sequence[Row]) -> float:
    """The figure of a wish: the middle of its sides."""
    return math.fsum(row.limit for row in rows) / len(rows)


def smallest_share(oracle: Oracle, rows: Sequence[Row], others: Sequence[str]) -> list[Move] | None:
    """A smallest share that the other wishes allow: that of a blend which meets them."""
    oracle.hold(others)
    n = oracle.programme.columns.count
    outcome = oracle.least(np.zeros_like(oracle.programme.money))
    if not outcome.feasible:
        return None
    shares = 100.0 * outcome.point[:n]
    return [Move(rows[0], float(shares[shares > GUARD].min(initial=rows[0].limit)))]


def together(oracle: Oracle, way: Sequence[str]) -> list[Move] | None:
    """The least sum of changes, in natural scales, that several wishes must make with every other held.

    Each row of these wishes may be missed by a slack with a cost of one for each step of its scale; the figures that the
    cheapest such blend reaches are the new limits.
    """
    programme = oracle.programme
    elastic, extra = with_slack(programme, way)
    helper = Oracle(elastic)
    helper.hold(helper.members)
    objective = np.zeros_like(elastic.money)
    objective[extra[0] : extra[0] + len(extra[1])] = extra[1]
    outcome = helper.least(objective)
    if not outcome.feasible:
        return None
    point = outcome.point
    moves = []
    for member in way:
        rows = [programme.rows[place] for place in programme.members[member]]
        worst = max(rows, key=lambda row: row.shortfall(point) / row.scale)
        moves.append(Move(worst, worst.value(point) if worst.shortfall(point) > 0 else worst.limit))
    return moves


def with_slack(programme: Programme, way: Sequence[str]) -> tuple[Programme, tuple[int, list[float]]]:
    """The programme with a slack for each side of each row of some wishes; where the slacks start and what each costs."""
    width = len(programme.money)
    entries: list[tuple[int, float, float]] = []
    for member in way:
        for place in programme.members[member]:
            row = programme.rows[place]
            typical = 1.0 if row.bottom is None else float(np.abs(row.bottom).max())
            sides = {"at_least": (1.0,), "at_most": (-1.0,), "exactly": (1.0, -1.0)}[row.side]
            entries.extend((place, sign, 1.0 / (row.scale * typical)) for sign in sides)
    block = np.zeros((len(programme.matrix), len(entries)))
    for column, (place, sign, _) in enumerate(entries):
        block[place, column] = sign
    more = len(entries)
    elastic = replace(
        programme,
        matrix=np.hstack([programme.matrix, block]),
        column_low=np.concatenate([programme.column_low, np.zeros(more)]),
        column_high=np.concatenate([programme.column_high, np.full(more, 1e4)]),
        integer=np.concatenate([programme.integer, np.zeros(more, dtype=np.bool_)]),
        money=np.concatenate([programme.money, np.zeros(more)]),
        cured=np.concatenate([programme.cured, np.zeros(more)]),
    )
    return elastic, (width, [cost for *_, cost in entries])


def step_of(row: Row) -> float:
    """The step in which a person writes a figure."""
    if row.unit == "fats":
        return 1.0
    if row.figure == "cost" or row.unit in ("kg", "ratio") or row.scale <= 0.5:
        return 0.01
    return 0.1


def rounded(move: Move, extra: int) -> float:
    """The figure a person would write, on the easy side of what is needed, and `extra` steps further."""
    step, row = step_of(move.row), move.row
    if abs(move.value - row.limit) < GUARD:
        return row.limit
    down = row.side == "at_least" or (row.side == "exactly" and move.value < row.limit)
    count = math.floor((move.value - GUARD) / step) - extra if down else math.ceil((move.value + GUARD) / step) + extra
    return max(0.0, round(count * step, 6)) if row.limit >= 0 else round(count * step, 6)


def change(programme: Programme, move: Move) -> Change:
    """A move in words and as the line to write."""
    where, line = paste(programme, move.row, move.value)
    return Change(
        id=move.row.member,
        says=move.row.says,
        before=move.row.limit,
        after=move.value,
        unit=move.row.unit,
        paste=line,
        where=where,
    )
