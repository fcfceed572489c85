"""Can these wishes hold together? One live model whose wishes are switched on and off."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from optimiser.arrays import Vector
from optimiser.programme import Programme
from optimiser.proof import infeasibility_margin
from optimiser.solver import Live, Outcome

CRUMB = 1e-9  # of a ray's largest entry: smaller ones are rounding


class Oracle:
    """Answers whether sets of wishes can hold, warm from one question to the next.

    Preferences are left out: they never cost a wish. `solves` counts the questions put to the solver.
    """

    def __init__(self, programme: Programme) -> None:
        self.programme = replace(programme, money=np.zeros_like(programme.money))
        self.members = tuple(programme.members)
        self.solves = 0
        self._live = Live(self.programme)
        self._off: set[str] = set()
        self._costly = False

    def hold(self, wishes: Iterable[str]) -> None:
        """Switch on these wishes and no others."""
        off = set(self.members) - set(wishes)
        places = self.programme.members
        gone = [place for name in off - self._off for place in places[name]]
        back = [place for name in self._off - off for place in places[name]]
        if gone:
            self._live.free_rows(gone)
        if back:
            self._live.restore_rows(back)
        self._off = off

    def hold_side(self, member: str, *, up: bool) -> None:
        """Of a wish that is switched off hold one side again: at least its figure (up) or at most; `let_go` ends it."""
        places = list(self.programme.members[member])
        low, high = self.programme.row_low[places], self.programme.row_high[places]
        if up:
            high = np.full(len(places), np.inf)
        else:
            low = np.full(len(places), -np.inf)
        self._live.bound_rows(places, low, high)

    def let_go(self, member: str) -> None:
        """End what `hold_side` began."""
        self._live.free_rows(self.programme.members[member])

    def feasible(self, wishes: Iterable[str]) -> bool:
        """Whether some blend meets all these wishes (and physics)."""
        self.hold(wishes)
        return self.least(None).feasible

    def least(self, objective: Vector | None) -> Outcome:
        """Least value of an objective (of none: any blend) over the blends that meet the wishes now switched on."""
        self.solves += 1
        if objective is None and self._costly:
            objective = np.zeros_like(self.programme.money)
        self._costly = objective is not None and bool(objective.any())
        return self._live.minimise(objective)

    def core(self) -> set[str] | None:
        """After an infeasible question: the wishes that the solver's ray leans on, or None when it has none."""
        ray = self._live.ray()
        if ray is None or not np.abs(ray).max(initial=0.0):
            return None
        leaning = set(np.flatnonzero(np.abs(ray) > CRUMB * np.abs(ray).max()).tolist())
        return {name for name, places in self.programme.members.items() if leaning & set(places)} - self._off

    def margin(self, wishes: Iterable[str]) -> float:
        """The exact proof that these wishes cannot all hold, over their own rows; zero where there is none."""
        kept = set(wishes)
        if self.programme.is_mixed_integer or self.feasible(kept):
            return 0.0
        ray = self._live.ray()
        if ray is None:
            return 0.0
        gone = [place for name, places in self.programme.members.items() if name not in kept for place in places]
        low, high = self.programme.row_low.copy(), self.programme.row_high.copy()
        low[gone], high[gone] = -np.inf, np.inf
        return max(0.0, infeasibility_margin(replace(self.programme, row_low=low, row_high=high), ray))
