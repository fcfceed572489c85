"""Why several bars cannot all be made from one shelf: clashes across bars, what they need of what is scarce, the smallest ways out.

The rows are those of the plan's programme, in which every bar's own wish has the bar in its id, and how much is made of a bar is a wish
like any other: so fewer bars of one, more of a fat and an easier goal are found in the same way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.analysis.conflicts import Clash, Clashes, all_clashes
from optimiser.analysis.ranges import extreme, nearest, padded, whole
from optimiser.analysis.relaxations import alone
from optimiser.analysis.rounded_moves import Move, roundings
from optimiser.model.elastic import GUARD
from optimiser.model.programme import Programme
from optimiser.model.rows import Expression, Row
from optimiser.planning.blocks import SIZE
from optimiser.planning.together import Together
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.progress import about
from optimiser.solve.solver import Live

MOST_CLASHES = 12
CLASH_WORK = 2e6  # of the solver
WAYS_WORK = 2e6
MOST_WAYS = 12
REACH_WORK = 1e6


class Wanted(NamedTuple):
    """A fat of a clash, all its lots together: the least that is needed of it (None where that is not known) and what there is, kg."""

    fat: str
    needed_kg: float | None
    there_kg: float


class Shortage(NamedTuple):
    """A clash, for each of its wishes how far its figure could go with the others held (None where that is not known), and what is short."""

    clash: Clash
    rows: tuple[Row, ...]
    reaches: tuple[float | None, ...]
    wanted: tuple[Wanted, ...] = ()


class Way(NamedTuple):
    """A wish at another figure, which makes a plan; what that costs beyond each bar's own cheapest, None where rules of the house give way to it."""

    row: Row
    value: float
    beyond: float | None


class Shortages(NamedTuple):
    """What was found. `complete`: every clash was; `ways_complete`: every way out by one wish was tried."""

    found: tuple[Shortage, ...]
    complete: bool
    ways: tuple[Way, ...]
    ways_complete: bool


def shortages(plan: Together, house: Together) -> Shortages:
    """The clashes of a plan that cannot be, and what each by itself would have to give.

    Args:
        plan: the bars without all that gives way.
        house: the same bars with the rules of the house, for what a way out costs.

    Raises:
        Undecided: fats are counted, and the work ended before even one clash was found.
    """
    programme = plan.programme
    found = all_clashes(programme, most=MOST_CLASHES, work=Work(CLASH_WORK))
    oracle = Oracle(programme, Work(REACH_WORK))
    with about(lambda: "working out what is needed of what is scarce"):
        told = tuple(
            reached(oracle, clash)._replace(wanted=tuple(wanted(oracle, clash, fats_of(plan))))
            for clash in found.clashes
        )
    with about(lambda: "looking for ways out"):
        ways, complete = ways_out(programme, house.programme, found)
    return Shortages(told, found.complete, ways, complete)


def reached(oracle: Oracle, clash: Clash) -> Shortage:
    """How far each wish of a clash could go with the others held."""
    rows = tuple(oracle.programme.row_of(member) for member in clash.members)
    return Shortage(clash, rows, tuple(reach(oracle, member, clash) for member in clash.members))


def reach(oracle: Oracle, member: WishId, clash: Clash) -> float | None:
    """The same of one; None where that has no answer, or none within the work allowed."""
    if not oracle.work.left or len(figures(oracle.programme, member)) > 1:
        return None
    oracle.hold([other for other in clash.members if other != member])
    try:
        return nearest(oracle, member)
    except Undecided:
        return None


def fats_of(plan: Together) -> dict[str, str]:
    """By the name of each fat or lot of a plan the fat that it is."""
    return {item.fat.name: item.fat.known_as for block in plan.blocks for item in block.columns.stocked}


def wanted(oracle: Oracle, clash: Clash, fats: Mapping[str, str]) -> Iterator[Wanted]:
    """What a clash needs of each fat that is short in it, with all its other wishes held; lots of one fat are one."""
    short: dict[str, list[WishId]] = {}
    for member in clash.members:
        row = oracle.programme.row_of(member)
        if row.origin == Origin.STOCK:
            short.setdefault(fats.get(row.figure, row.figure), []).append(member)
    for fat, members in short.items():
        rows = [oracle.programme.row_of(member) for member in members]
        drawn = np.sum([padded(row.top, len(oracle.programme.money)) for row in rows], axis=0)
        least = None
        if oracle.work.left:
            oracle.hold([other for other in clash.members if other not in members])
            try:
                least = extreme(oracle, Expression(fat, "kg", rows[0].scale, drawn), 1)
            except Undecided:
                least = None
        yield Wanted(fat, None if least is None else least.value, sum(row.limit for row in rows))


def figures(programme: Programme, member: WishId) -> set[str]:
    """The figures that the rows of a wish are on."""
    return {programme.rows[place].figure for place in programme.members[member]}


def ways_out(programme: Programme, house: Programme, found: Clashes) -> tuple[tuple[Way, ...], bool]:
    """Each wish whose giving up alone would make a plan, moved by as little as does; the smallest change first."""
    work = Work(WAYS_WORK)
    oracle = Oracle(programme, work)
    singles = [way[0] for way in found.ways_out if len(way) == 1]
    singles += candidates(programme, found, singles)
    out: list[Way] = []
    complete = True
    for member in singles[:MOST_WAYS]:
        row = programme.row_of(member)
        if row.stands or len(figures(programme, member)) > 1:
            continue
        if not work.left:
            complete = False
            break
        try:
            moves = alone(oracle, member)
            way = opened(programme, house, moves[0], work) if moves else None
        except Undecided:
            complete = False
            continue
        if way is not None:
            out.append(way)
    out.sort(key=lambda way: (size_of(way), str(way.row.wish), way.row.wish.within))
    return tuple(out), complete and len(singles) <= MOST_WAYS


def candidates(programme: Programme, found: Clashes, known: Sequence[WishId]) -> list[WishId]:
    """Wishes that are in every clash found, where the search for clashes ended before every way out was known."""
    if found.complete or not found.clashes:
        return []
    common = set.intersection(*(set(clash.members) for clash in found.clashes))
    return [name for name in programme.members if name in common and name not in known]


def size_of(way: Way) -> tuple[int, float]:
    """How large a change is: what is made and what there is before what a bar must be; then in steps of its scale."""
    is_of_batch = way.row.figure == SIZE or way.row.origin == Origin.STOCK
    return (0 if is_of_batch else 1), abs(way.value - way.row.limit) / way.row.scale


def opened(programme: Programme, house: Programme, move: Move, work: Work) -> Way | None:
    """The move at a round figure that makes a plan; None where none does."""
    for tried in roundings([move]):
        value = tried[0].value
        if move.row.figure == SIZE:
            value = sized(move)
        live = Live(moved(programme, move.row, value), work)
        if live.minimise(np.zeros_like(programme.money)).feasible:
            return Way(move.row, value, cost_of(house, move.row, value, work)) if value > 0.0 else None
    return None


def cost_of(house: Programme, row: Row, value: float, work: Work) -> float | None:
    """What a plan costs beyond each bar's own cheapest with a wish at another figure; None where the house leaves no room for one."""
    if row.wish not in house.members:
        return None
    outcome = Live(moved(house, house.row_of(row.wish), value), work).minimise(house.money)
    return outcome.objective if outcome.feasible else None


def sized(move: Move) -> float:
    """How much can be made: whole bars, and as much as a person writes of anything else."""
    step = 1.0 if move.row.unit == "bars" else 0.01
    return float(np.floor(move.value / step + GUARD)) * step


def moved(programme: Programme, row: Row, value: float) -> Programme:
    """The programme with a wish at another figure."""
    matrix, low, high = programme.matrix.copy(), programme.row_low.copy(), programme.row_high.copy()
    shift = value - whole([programme.rows[place] for place in programme.members[row.wish]]).limit
    rows = list(programme.rows)
    for place in programme.members[row.wish]:
        rows[place] = rows[place]._replace(limit=rows[place].limit + shift)
        matrix[place, : len(rows[place].top)] = rows[place].coefficients
        low[place], high[place] = rows[place].bounds
    return replace(programme, rows=tuple(rows), matrix=matrix, row_low=low, row_high=high)
