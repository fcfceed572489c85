"""Why a rule of the house gave way: the wishes of the maker's that leave no room for it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from typing import NamedTuple

from optimiser.analysis.one_line import by_line
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.planning.building import build
from optimiser.problem.goals import Eased, GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, Said, WishId
from optimiser.solve.easing import free_to_move, giving
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.yielding import as_written

MOST_WORK = 0.5e6  # of the solver, for all rules together
MAKERS = (
    Origin.GOAL,
    Origin.SHARE,
    Origin.ADDITIVE,
    Origin.LIQUID,
    Origin.EXCLUSION,
    Origin.COUNT,
    Origin.STOCK,
    Origin.BUYING,
)


class GaveWay(NamedTuple):
    """A rule that gave way: the figure at which it stands instead of its own, and which wishes leave no room for it.

    `beside_house`: they do so beside the other rules of the house, and not by themselves. `against` is empty where that
    cannot be told; `by_itself` says that the rules of the house leave no blend on the shelf even without a wish of the maker's.
    `steps`: how far it is missed, in small steps of its own.
    """

    wish: WishId
    said: Said
    unit: str
    at: float
    against: tuple[tuple[WishId, Said], ...]
    beside_house: bool = False
    by_itself: bool = False
    steps: float = 0.0


def gave_way(sheet: GoalSheet, shelf: Shelf) -> tuple[GaveWay, ...]:
    """Every rule that gave way for some goals, with what leaves no room for it.

    Args:
        sheet: the goals as answered, with the rules that gave way.
        shelf: the shelf.
    """
    if not sheet.eased:
        return ()
    work = Work(MOST_WORK)
    free = _laid(sheet, shelf, None, work)
    rules = frozenset(giving(free.sheet, free.oracle.programme, last=True))
    own = tuple(name for name in free.oracle.members if name not in rules and is_told(free.oracle.programme, name))
    house = frozenset(name for name in free.oracle.members if name.origin == Origin.PRACTICE)
    stands = frozenset(name for name in house if name.side == Side.EXACTLY)
    others = (rules | house) - sheet.eased.keys() | stands
    alone = _holds(free.oracle, house)
    out = []
    for name, eased in sheet.eased.items():
        laid = _laid(sheet, shelf, name, work) if name in stands else free
        oracle = laid.oracle
        against = _leaving_none(oracle, {name, *stands}, own)
        beside = (
            () if against else _leaving_none(oracle, {name, *others}, own) or _leaving_none(oracle, rules | stands, own)
        )
        told = tuple((one, oracle.programme.row_of(one).said) for one in against or beside)
        row = oracle.programme.row_of(name)
        at = moved_end(row, eased)
        by_itself = not told and alone is False
        steps = abs(at - row.limit) / row.scale
        out.append(GaveWay(name, row.said, row.unit, at, told, bool(beside), by_itself, steps))
    return tuple(out)


class Laid(NamedTuple):
    """The rules at their own figures, but for what alkali and water stand at, which is as free as it may be."""

    sheet: GoalSheet
    oracle: Oracle


def _laid(sheet: GoalSheet, shelf: Shelf, kept: WishId | None, work: Work) -> Laid:
    """The same with one of those at its own figure."""
    written = as_written(sheet)._replace(yielded=sheet.yielded)
    usual = free_to_move(written).eased
    last = any(
        name.side == Side.EXACTLY and (name not in usual or ends.low < usual[name].low or ends.high > usual[name].high)
        for name, ends in sheet.eased.items()
    )
    free = free_to_move(written, last=last)
    free = free._replace(eased={name: ends for name, ends in free.eased.items() if name != kept})
    return Laid(free, Oracle(by_line(build(free, shelf), free), work))


def moved_end(row: Row, eased: Eased) -> float:
    """The end of a rule that moved; of one with two ends that which is not its own."""
    return eased.low if -math.inf < eased.low < row.limit else eased.high


def is_told(programme: Programme, name: WishId) -> bool:
    """Whether a wish is the maker's, or comes with a design of theirs."""
    return name.origin in (*MAKERS, Origin.DESIGN) or programme.row_of(name).span is not None


def _leaving_none(oracle: Oracle, rules: Collection[WishId], own: Iterable[WishId]) -> tuple[WishId, ...]:
    """The fewest wishes, in their order, with which rules cannot hold; none where they can hold with all of them.

    What the other bars of a plan leave is only named where the maker's own wishes leave room.
    """
    kept = list(own)
    shared = oracle.programme.columns.shelf.is_share
    if _holds(oracle, {*rules, *kept}) is not False:
        return ()
    for name in sorted(kept, key=lambda one: one.origin != Origin.STOCK) if shared else tuple(kept):
        if not oracle.work.left:
            break
        others = [one for one in kept if one != name]
        if _holds(oracle, {*rules, *others}) is False:
            kept = others
    return tuple(kept)


def _holds(oracle: Oracle, wishes: Iterable[WishId]) -> bool | None:
    """Whether wishes can hold together; None where the work does not do, or the solver finds no way to say."""
    if not oracle.work.left:
        return None
    try:
        return oracle.feasible(wishes)
    except SolverFault:  # what is told beside an answer never stops it
        return None
