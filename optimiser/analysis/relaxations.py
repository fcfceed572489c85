"""The smallest changes that make peace: how far each wish alone must move, or, where none alone can, several together.

Every change is rounded the easy way to a figure that a person would write, written into the file's own terms and solved
again; one that does not open a blend is not offered.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.analysis.conflicts import Clashes, all_clashes
from optimiser.analysis.edits import amended
from optimiser.analysis.known_ways import within_known
from optimiser.analysis.one_line import by_line, is_on_each, least_most
from optimiser.analysis.ranges import middle, nearest, whole
from optimiser.analysis.rounded_moves import Move, roundings
from optimiser.analysis.too_far import nobody_would_pour
from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.elastic import GUARD, widened, with_slack
from optimiser.model.programme import Programme
from optimiser.model.rows import EXACT_BAND, Row, is_between
from optimiser.planning.building import build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.known_ranges import is_refused
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import EACH_FAT, Origin, Section, WishId
from optimiser.solve.easing import free_to_move, giving
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.yielding import as_written, cheapest

MOST_WORK = 2.5e6  # of the solver, for all that is tried
HOUSE_WORK = 1e6  # of the solver, for the clashes beside the rules of the house
MOST_JOINT = 12  # ways out of several wishes looked into, smallest first
MOST_ASIDE = 5  # rules of the house that give way in a blend which is offered first
ROUNDS = 3  # of a joint change, each weighed at the blend that the last one reached
ORDINARY_LYES = (25.0, 40.0)  # per cent: what most makers use (common practice, no source)
WHOLE_FATS = WishId(Section.FATS, EACH_FAT, Side.AT_LEAST)
ALL = 100.0  # per cent


class WayOut(NamedTuple):
    """Moves that together make peace, and the cost per kilo of the blend they open.

    `is_lean`: that blend leaves no room for a rule of the house that yields, so ordinary lots may leave free alkali in it.
    `eases`: the rules of the house that give way in it; `is_far`: so far that nobody would pour it.
    """

    moves: tuple[Move, ...]
    cost_per_kg: float
    is_lean: bool = False
    eases: tuple[str, ...] = ()
    is_far: bool = False

    @property
    def is_odd(self) -> bool:
        """Whether the lye would be one that hardly anybody works with."""
        low, high = ORDINARY_LYES
        lyes = [move.value for move in self.moves if move.row.figure == "lye_concentration"]
        return any(not low <= value <= high for value in lyes)

    @property
    def size(self) -> float:
        """How large a change it is, in natural scales."""
        return sum(move.size for move in self.moves)


class Offers(NamedTuple):
    """Ways to make peace; not `complete` where the work ended before each was tried."""

    ways: tuple[WayOut, ...]
    complete: bool


def concessions(sheet: GoalSheet, shelf: Shelf, programme: Programme, found: Clashes) -> Offers:
    """Ways to make peace, smallest first.

    For each wish whose giving up alone would do: the least it alone must move. Where there is none: the smallest
    change of all, to which every wish of a clash may give a little, and for each of the smallest ways out of several
    wishes the least that they must move together. An end that the maker's own shelf sets never moves.

    Args:
        sheet: the goals as written.
        shelf: the shelf as written.
        programme: the rows of the two.
        found: its clashes and ways out.
    """
    work = Work(MOST_WORK)
    ways: dict[tuple[WishId, ...], WayOut] = {}
    for terms in variants(sheet, shelf, programme):
        bars = found if terms.sheet == sheet else clashes_beside(terms, work)
        for way in opened(sheet, shelf, terms, bars, work) if bars is not None else ():
            ways.setdefault(tuple(move.row.wish for move in way.moves), way)
        single = {way for way in ways if len(way) == 1}
        if single and single >= {way for way in found.ways_out if len(way) == 1}:
            break  # each line that opens a blend by itself does so with the house whole, or with so much of it
    ranked = sorted(ways.values(), key=ranked_by)
    return Offers(tuple(ranked), complete=not work.gave_up)


def ranked_by(way: WayOut) -> tuple[bool, bool, bool, bool, float, int, list[str]]:
    """The order of ways out, the smallest change first.

    Those to a bar that nobody would pour come last; before them those that leave free alkali likely, those to a lye out of
    the ordinary, and those in which many rules of the house give way.
    """
    many = len(way.eases) >= MOST_ASIDE
    return (
        way.is_far,
        way.is_lean,
        way.is_odd,
        many,
        round(way.size, 6),
        len(way.moves),
        [str(move.row.wish) for move in way.moves],
    )


class Terms(NamedTuple):
    """What a way out must leave standing: the goals with the rules of the house that hold, and their rows."""

    sheet: GoalSheet
    programme: Programme


def variants(sheet: GoalSheet, shelf: Shelf, programme: Programme) -> Iterator[Terms]:
    """First all rules of the house hold, then all but the floor under the likely superfat, and last whatever gives way does."""
    whole_house = as_written(sheet)
    for names in dict.fromkeys((frozenset[str](), sheet.yielded)):
        terms = whole_house._replace(yielded=names)
        if terms != sheet:
            built = by_line(build(terms, shelf), terms)
            yield Terms(terms, held_fast(built, giving(terms, built)))
    yield Terms(sheet, programme)


def held_fast(programme: Programme, names: Sequence[WishId]) -> Programme:
    """The programme with some wishes as rows that nothing moves."""
    fixed = frozenset(names)
    rows = tuple(
        row._replace(wish=row.wish._replace(section=Section.PHYSICS))
        if row.wish in fixed or (row.figure == "likely_superfat" and row.origin == Origin.PRACTICE)
        else row
        for row in programme.rows
    )
    return replace(programme, rows=rows)


def keeping_the_house(sheet: GoalSheet, shelf: Shelf, work: Work) -> list[WayOut]:
    """What the maker's own wishes must move so that every rule holds that gave way to them, smallest first.

    What alkali and water stand at is free within its ends in this.

    Args:
        sheet: the goals as answered.
        shelf: the shelf.
        work: what may be spent.
    """
    whole_house = free_to_move(as_written(sheet))
    built = by_line(build(whole_house, shelf), whole_house)
    terms = Terms(whole_house, held_fast(built, giving(whole_house, built)))
    found = clashes_beside(terms, work)
    return opened(as_written(sheet), shelf, terms, found, work) if found is not None else []


def clashes_beside(terms: Terms, work: Work) -> Clashes | None:
    """What clashes beside the rules of the house; None where these leave no blend by themselves, or the work ended."""
    try:
        if not Oracle(terms.programme, work).feasible(()):
            return None
        return all_clashes(terms.programme, work=Work(min(HOUSE_WORK, work.allowed)))
    except Undecided:
        return None


def opened(sheet: GoalSheet, shelf: Shelf, terms: Terms, found: Clashes, work: Work) -> list[WayOut]:
    """The ways out that leave standing what holds, smallest first."""
    oracle = Oracle(within_known(sheet, terms.programme), work)
    fixed = {member for member in oracle.members if terms.programme.row_of(member).stands}
    open_ways = [way for way in found.ways_out if way and fixed.isdisjoint(way)]
    singles = [way for way in open_ways if len(way) == 1]
    every = tuple(member for member in clashing(found) if member not in fixed)
    joint = [way for way in (every, *open_ways) if len(way) > 1][: 1 + MOST_JOINT]
    offers: dict[tuple[WishId, ...], WayOut] = {}
    for place, way in enumerate((*singles, *joint)):
        if place == len(singles) and offers:  # one wish alone makes peace, as far as what is known goes
            break
        if not work.left:
            work.end()
            break
        try:
            offer = offered(sheet, shelf, terms.sheet, oracle, way)
        except Undecided:
            work.end()
            break
        if offer is not None:
            offers.setdefault(tuple(move.row.wish for move in offer.moves), offer)
    return sorted(offers.values(), key=ranked_by)


def clashing(found: Clashes) -> tuple[WishId, ...]:
    """Every wish of every clash, in the order in which they were met."""
    return tuple(dict.fromkeys(member for clash in found.clashes for member in clash.members))


def offered(sheet: GoalSheet, shelf: Shelf, terms: GoalSheet, oracle: Oracle, way: Sequence[WishId]) -> WayOut | None:
    """The least change of some wishes with all others held, rounded, tried, and priced.

    Args:
        sheet: the goals as written.
        shelf: the shelf.
        terms: the goals with the rules of the house that must hold in the blend opened.
        oracle: what is asked.
        way: the wishes that may move.
    """
    moves = alone(oracle, way[0]) if len(way) == 1 else together(oracle, way)
    for eased in roundings(moves):
        limits = {move.row.wish: move.value for move in eased}
        changed_sheet, changed_shelf = amended(sheet, shelf, [move.row for move in eased], limits)
        if is_refused(changed_sheet):
            continue
        asked = cheapest(changed_sheet, changed_shelf, oracle.work)
        keeps = asked.sheet.yielded <= terms.yielded and (
            terms.is_bare or asked.sheet.eased.keys() <= terms.eased.keys()
        )
        if asked.found is not None and keeps:
            kept = sorted(eased, key=lambda move: oracle.members.index(move.row.wish))
            aside = tuple(str(name) for name in asked.sheet.eased)
            is_far = nobody_would_pour(asked.sheet, changed_shelf)
            return WayOut(tuple(kept), asked.found.ratio, bool(asked.sheet.yielded), aside, is_far)
    return None


def alone(oracle: Oracle, member: WishId) -> list[Move]:
    """The least that one wish must move with every other wish held; nothing where no move of it helps."""
    rows = [oracle.programme.rows[place] for place in oracle.programme.members[member]]
    others = [name for name in oracle.members if name != member]
    if member == WHOLE_FATS:
        return smallest_share(oracle, rows, others)
    if is_on_each(rows):
        most = least_most(oracle, member, others)
        return [] if most is None else [Move(rows[0], most)]
    oracle.hold(others)
    value = nearest(oracle, member)
    return [] if value is None else [Move(whole(rows, value), banded(rows, value))]


def banded(rows: Sequence[Row], value: float) -> float:
    """The figure to write so that a value just falls under it: a bare figure of two sides has a band, a count or an end has none."""
    if len(rows) == 1 or rows[0].origin == Origin.COUNT or is_on_each(rows) or is_between(rows):
        return value
    return value + EXACT_BAND if value < middle(rows) else value - EXACT_BAND


def smallest_share(oracle: Oracle, rows: Sequence[Row], others: Sequence[WishId]) -> list[Move]:
    """The largest smallest share that the other wishes allow.

    A column more holds it: whatever is used (y = 1) has at least that share, share >= least - 100 (1 - y).
    """
    programme = oracle.programme
    places = list(programme.members[WHOLE_FATS])
    matrix = np.hstack([programme.matrix, np.zeros((len(programme.matrix), 1))])
    low = programme.row_low.copy()
    for place, row in zip(places, rows, strict=True):
        matrix[place] = 0.0
        matrix[place, : len(row.top)] = row.top
        matrix[place, : len(row.top)] -= ALL * (row.bottom if row.bottom is not None else 0.0)
        matrix[place, -1] = -1.0
        low[place] = -ALL
    with_least = widened(replace(programme, matrix=matrix, row_low=low), [rows[0].limit])
    helper = Oracle(with_least, oracle.work)
    helper.hold([*others, WHOLE_FATS])
    objective = np.zeros_like(with_least.money)
    objective[-1] = -1.0
    outcome = helper.least(objective)
    return [Move(rows[0], float(outcome.point[-1]))] if outcome.feasible else []


def together(oracle: Oracle, way: Sequence[WishId]) -> list[Move]:
    """The least sum of changes, in natural scales, that several wishes must make with every other held.

    Each of these wishes may be missed by a slack with a cost of one for each step of its scale; the figures that the
    cheapest such blend reaches are the new limits. A slack of a ratio is worth more or less figure from blend to blend,
    so it is weighed again at the blend reached.
    """
    programme = oracle.programme
    point: Vector | None = None
    best: list[Move] = []
    for _ in range(ROUNDS):
        elastic, costs = with_slack(programme, way, point)
        helper = Oracle(elastic, oracle.work)
        helper.hold(helper.members)
        outcome = helper.least(np.concatenate([np.zeros_like(programme.money), costs]))
        if not outcome.feasible:
            return []
        point = outcome.point
        moves = [to_reach(programme, member, point) for member in way]
        if not best or size(moves) < size(best) - GUARD:
            best = moves
    return best


def size(moves: Sequence[Move]) -> float:
    """How large some changes are together."""
    return math.fsum(move.size for move in moves)


def to_reach(programme: Programme, member: WishId, point: Vector) -> Move:
    """The move that makes a wish hold at a blend."""
    rows = [programme.rows[place] for place in programme.members[member]]
    felt = [row for row in rows if row.bottom is None or abs(float(row.bottom @ point[: len(row.bottom)])) > GUARD]
    worst = max(felt or rows, key=lambda row: row.shortfall(point))
    if worst.shortfall(point) <= GUARD:
        return Move(whole(rows) if member != WHOLE_FATS else worst, middle(rows))
    if member == WHOLE_FATS:
        return Move(worst, worst.value(point))
    value = worst.value(point)
    return Move(whole(rows, value), banded(rows, value))
