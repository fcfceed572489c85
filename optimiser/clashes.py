"""Which wishes cannot all hold: minimal clashes over the maker's wishes, with physics as fixed background.

A solver's own conflict set is a conflict of rows and may name a wish that is no part of any clash (it may lean on a
budget in place of "the shares add up"), so it only serves as a start: a clash is shrunk over whole wishes until giving
up any one of its members would make peace.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from optimiser.programme import Programme
from optimiser.proof import infeasibility_margin
from optimiser.solver import Live


@dataclass(frozen=True, slots=True)
class Clash:
    """Wishes that cannot all hold, though they could without any one of them.

    `margin` above zero proves it in exact arithmetic over the rows of these wishes alone; zero where fats are counted
    and it is the solver's word.
    """

    members: tuple[str, ...]
    margin: float

    @property
    def exact(self) -> bool:
        """Whether the clash is proved in exact arithmetic."""
        return self.margin > 0.0


class Oracle:
    """Whether a set of wishes can hold together: one live model whose wishes are switched on and off."""

    def __init__(self, programme: Programme) -> None:
        self.programme = programme
        self._live = Live(without_preferences(programme))
        self._off: set[str] = set()

    def feasible(self, wishes: Iterable[str]) -> bool:
        """Whether some blend meets all these wishes (and physics)."""
        off = set(self.programme.members) - set(wishes)
        for name in off - self._off:
            self._live.free_rows(self.programme.members[name])
        for name in self._off - off:
            self._live.restore_rows(self.programme.members[name])
        self._off = off
        return self._live.minimise().feasible

    def core(self) -> set[str] | None:
        """After an infeasible question: the wishes that the solver's ray leans on, or None when it has none."""
        ray = self._live.ray()
        if ray is None or not np.abs(ray).max(initial=0.0):
            return None
        leaning = set(np.flatnonzero(np.abs(ray) > 1e-9 * np.abs(ray).max()).tolist())
        return {name for name, places in self.programme.members.items() if leaning & set(places)} - self._off

    def margin(self, wishes: Iterable[str]) -> float:
        """The exact proof that these wishes cannot all hold; zero where there is none."""
        if self.feasible(wishes):
            return 0.0
        ray = self._live.ray()
        if ray is None:
            return 0.0
        kept = set(wishes)
        gone = [place for name, places in self.programme.members.items() if name not in kept for place in places]
        low, high = self.programme.row_low.copy(), self.programme.row_high.copy()
        low[gone], high[gone] = -np.inf, np.inf
        bare = replace(self._live.programme, row_low=low, row_high=high)
        return max(0.0, infeasibility_margin(bare, ray))


def without_preferences(programme: Programme) -> Programme:
    """The programme with nothing to minimise: preferences never cost a wish."""
    return replace(programme, money=np.zeros_like(programme.money))


def shrink(oracle: Oracle, wishes: Iterable[str]) -> tuple[str, ...]:
    """A minimal clash inside a set of wishes that cannot all hold.

    Every wish is tried: one without which the rest still clash goes, and the solver's ray may take more along.
    Maker's wishes are kept before house practice, stock and exclusions where there is a choice.
    """
    order = {name: place for place, name in enumerate(oracle.programme.members)}
    left = set(wishes)
    needed: set[str] = set()
    for name in sorted(left, key=lambda item: (rank(oracle.programme, item), -order[item])):
        if name not in left:
            continue
        if oracle.feasible(left - {name}):
            needed.add(name)
            continue
        left.discard(name)
        core = oracle.core()
        if core is not None and needed <= core and not oracle.feasible(core):
            left &= core
    return tuple(sorted(left, key=order.__getitem__))


def rank(programme: Programme, member: str) -> int:
    """In which order wishes are tried for going: practice first, the maker's own goals last."""
    origin = programme.row_of(member).origin
    return {"practice": 0, "stock": 1, "design": 2}.get(origin, 3)


def first_clash(programme: Programme) -> Clash | None:
    """One minimal clash, or None when all wishes can hold."""
    oracle = Oracle(programme)
    everything = tuple(programme.members)
    if oracle.feasible(everything):
        return None
    members = shrink(oracle, everything)
    return Clash(members, oracle.margin(members))
