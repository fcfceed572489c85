"""Every minimal clash: which wishes cannot all hold, with physics as fixed background.

A solver's own conflict set is a conflict of rows and may name a wish that is no part of any clash (it may lean on a
budget in place of "the shares add up"), so it only serves as a start: a clash is shrunk over whole wishes until giving
up any one of its members would make peace.

All of them are found in the manner of MARCO (Liffiton, Previti, Malik & Marques-Silva 2016,
doi:10.1007/s10601-015-9183-0). Clashes and ways out (the smallest sets of wishes whose giving up makes peace) are
each other's minimal hitting sets. A smallest set that hits every clash known so far is tried as a way out: if the
wishes left over can hold, it is one; if not, they hold a clash not yet known. When every such set is a way out there is
no further clash.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from optimiser.model.programme import Programme
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.progress import about, tell

MOST_CLASHES = 200
MOST_WORK = 2e6  # of the solver, some four seconds of a machine of 2025
FIRST_WORK = 10e6  # for the first clash, which is to be a smallest one
EACH_SET = 1.0  # work for each set looked at: where ways out are without number the sets are what takes long
MOST_UNTRIED = 20_000  # ways out waiting to be tried


class Clash(NamedTuple):
    """Wishes that cannot all hold, though they could without any one of them.

    `margin` above zero proves it in exact arithmetic over the rows of these wishes alone; zero where fats are counted
    and it is the solver's word. `is_minimal` is False where the work ended before each wish was tried for going: some
    may then have no part in the clash.
    """

    members: tuple[WishId, ...]
    margin: float
    is_minimal: bool = True

    @property
    def exact(self) -> bool:
        """Whether the clash is proved in exact arithmetic."""
        return self.margin > 0.0


class Clashes(NamedTuple):
    """What was found: every minimal clash and every smallest way out if `complete`, else those met within the work.

    `solves` is how many questions the solver was asked.
    """

    clashes: tuple[Clash, ...]
    ways_out: tuple[tuple[WishId, ...], ...]
    complete: bool
    solves: int


def all_clashes(
    programme: Programme, *, most: int = MOST_CLASHES, work: Work | None = None, is_cold: bool = False
) -> Clashes:
    """Every minimal clash of a programme, smallest ways out tried first.

    Args:
        programme: rows with their wishes.
        most: stop after so many clashes.
        work: stop when it is used up; by default `MOST_WORK`, and more for the first clash.
        is_cold: put every question to the solver as if it were the first.

    Returns:
        No clashes and complete where all wishes can hold.

    Raises:
        Undecided: fats are counted, and the work ended before it was clear whether all wishes can hold.
    """
    oracle = Oracle(programme, Work(FIRST_WORK) if work is None else work, is_cold=is_cold)
    known = Map([], set(), {0})
    with about(lambda: f"looking for clashes: {len(known.clashes)} found"):
        found = search(oracle, known, most, MOST_WORK if work is None else oracle.work.allowed)
    order = {name: place for place, name in enumerate(oracle.members)}

    def told(mask: int) -> tuple[WishId, ...]:
        return tuple(name for name, place in order.items() if mask >> place & 1)

    ordered = sorted(found.clashes, key=lambda mask: (mask.bit_count(), [*map(str, told(mask))]))
    return Clashes(
        clashes=tuple(
            Clash(told(mask), oracle.margin(told(mask)), is_minimal=mask not in found.loose) for mask in ordered
        ),
        ways_out=tuple(told(mask) for mask in sorted(found.ways_out, key=lambda mask: (mask.bit_count(), mask))),
        complete=found.complete,
        solves=oracle.solves,
    )


@dataclass
class Map:
    """What is known so far, wishes as bits: clashes, proved ways out, and smallest hitting sets still to be tried.

    Clashes that share nothing multiply their ways out, so of a great many only the smallest are kept, and the map is
    `trimmed`. Clashes of which some wish could not be tried for going are `loose`.
    """

    clashes: list[int]
    ways_out: set[int]
    untried: set[int]
    complete: bool = False
    trimmed: bool = False
    loose: set[int] = field(default_factory=set)

    def learn(self, clash: int) -> None:
        """Add a clash: hitting sets that miss it are extended by each of its members (Berge's algorithm)."""
        self.clashes.append(clash)
        missing = [mask for mask in self.untried if not mask & clash]
        self.untried.difference_update(missing)
        self.untried.update(wider for mask in missing for bit in bits(clash) if self.is_smallest(wider := mask | bit))
        if len(self.untried) > MOST_UNTRIED:
            self.trimmed = True
            kept = sorted(self.untried, key=lambda one: (one.bit_count(), one))[: MOST_UNTRIED // 10]
            self.untried = set(kept)

    def is_smallest(self, mask: int) -> bool:
        """Whether a hitting set needs each of its members: each is alone in hitting some clash."""
        alone = 0
        for clash in self.clashes:
            hit = mask & clash
            if not hit & (hit - 1):
                alone |= hit
                if alone == mask:
                    return True
        return False


def bits(mask: int) -> Iterable[int]:
    """The single bits of a mask."""
    while mask:
        low = mask & -mask
        yield low
        mask ^= low


def search(oracle: Oracle, known: Map, most: int, enough: float) -> Map:
    """Add to what is known until every hitting set is a way out, or the limits are met; the first clash is always found.

    Args:
        oracle: answers questions, within its work.
        known: is added to.
        most: clashes.
        enough: work after which no more is looked for once there is a clash.
    """
    place = {name: bit for bit, name in enumerate(oracle.members)}
    everything = (1 << len(place)) - 1
    while known.untried:
        if known.clashes and (len(known.clashes) >= most or not oracle.work.left):
            return known
        oracle.work.done += EACH_SET * len(known.untried)
        tell(lambda: "looking for clashes")
        mask = min(known.untried, key=lambda one: (one.bit_count(), one))
        seed = [name for name, bit in place.items() if (everything & ~mask) >> bit & 1]
        try:
            if oracle.feasible(seed):
                known.untried.discard(mask)
                known.ways_out.add(mask)
                continue
            undecided = oracle.undecided
            clash = shrink(oracle, seed, checked=True)
        except Undecided:
            if not known.clashes:
                raise
            return known
        mask = sum(1 << place[name] for name in clash)
        if oracle.undecided > undecided:
            known.loose.add(mask)
        known.learn(mask)
        oracle.work.allowed = max(oracle.work.done, min(oracle.work.allowed, enough))
    known.complete = not known.trimmed
    return known


def shrink(oracle: Oracle, wishes: Iterable[WishId], *, checked: bool = False) -> tuple[WishId, ...]:
    """A minimal clash inside a set of wishes that cannot all hold.

    Every wish is tried: one without which the rest still clash goes, and the solver's ray takes along what it does not
    lean on. Maker's wishes are kept before house practice and stock where there is a choice.

    Args:
        oracle: answers questions.
        wishes: cannot all hold.
        checked: the last question put to the oracle was this very set, so its ray can be used at once.
    """
    order = {name: place for place, name in enumerate(oracle.members)}
    left = set(wishes)
    if checked:
        left = narrowed(oracle, left, set())
    needed: set[WishId] = set()
    for name in sorted(left, key=lambda item: (rank(oracle.programme, item), -order[item])):
        if name not in left:
            continue
        if held_together(oracle, left - {name}):
            needed.add(name)
        else:
            left = narrowed(oracle, left - {name}, needed)
    return tuple(sorted(left, key=order.__getitem__))


def held_together(oracle: Oracle, wishes: set[WishId]) -> bool:
    """Whether wishes can all hold; taken as yes where that could not be found out, so that a clash stays one."""
    try:
        return oracle.feasible(wishes)
    except Undecided:
        oracle.undecided += 1
        return True


def narrowed(oracle: Oracle, left: set[WishId], needed: set[WishId]) -> set[WishId]:
    """After an infeasible question on `left`: what its ray leans on, if that holds all that is needed."""
    core = oracle.core()
    return left if core is None or not needed <= core else core


def rank(programme: Programme, member: WishId) -> int:
    """In which order wishes are tried for going: practice first, the maker's own goals last."""
    origin = programme.row_of(member).origin
    return {Origin.PRACTICE: 0, Origin.STOCK: 1, Origin.DESIGN: 2}.get(origin, 3)
