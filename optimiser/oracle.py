"""Can these wishes hold together? One live model whose wishes are switched on and off."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from optimiser.arrays import Vector
from optimiser.programme import Programme
from optimiser.proof import infeasibility_margin
from optimiser.solver import Live, Outcome

CRUMB = 1e-9  # of a ray's largest entry: smaller ones are rounding
DUST = 1e-9  # a share that is none
NEAR = 1e-8  # how far a row may be missed by a blend whose fats were counted by hand


class Oracle:
    """Answers whether sets of wishes can hold, warm from one question to the next.

    Preferences are left out: they never cost a wish. Where fats are counted each question is put first with fats that
    may count in part: what that cannot meet cannot be met, and a blend of it that counts right as it is needs no more.
    `solves` counts the questions put to the solver.
    """

    def __init__(self, programme: Programme) -> None:
        self.programme = replace(programme, money=np.zeros_like(programme.money))
        self.members = tuple(programme.members)
        self.solves = 0
        self._live = Live(replace(self.programme, integer=np.zeros_like(programme.integer)))
        self._whole = Live(self.programme) if programme.is_mixed_integer else None
        self._low, self._high = programme.row_low.copy(), programme.row_high.copy()
        self._off: set[str] = set()
        self._costly = False

    def hold(self, wishes: Iterable[str]) -> None:
        """Switch on these wishes and no others."""
        off = set(self.members) - set(wishes)
        places = self.programme.members
        gone = [place for name in off - self._off for place in places[name]]
        back = [place for name in self._off - off for place in places[name]]
        if gone:
            self._bound(gone, np.full(len(gone), -np.inf), np.full(len(gone), np.inf))
        if back:
            self._bound(back, self.programme.row_low[back], self.programme.row_high[back])
        self._off = off

    def hold_side(self, member: str, *, up: bool) -> None:
        """Of a wish that is switched off hold one side again: at least its figure (up) or at most; `let_go` ends it."""
        places = list(self.programme.members[member])
        free = np.full(len(places), np.inf)
        low = self.programme.row_low[places] if up else -free
        high = free if up else self.programme.row_high[places]
        self._bound(places, low, high)

    def let_go(self, member: str) -> None:
        """End what `hold_side` began."""
        places = list(self.programme.members[member])
        self._bound(places, np.full(len(places), -np.inf), np.full(len(places), np.inf))

    def _bound(self, places: Sequence[int], low: Vector, high: Vector) -> None:
        self._live.bound_rows(places, low, high)
        if self._whole is not None:
            self._low[places], self._high[places] = low, high
            self._whole.bound_rows(places, low, high)

    def feasible(self, wishes: Iterable[str]) -> bool:
        """Whether some blend meets all these wishes (and physics)."""
        self.hold(wishes)
        return self.least(None).feasible

    def least(self, objective: Vector | None) -> Outcome:
        """Least value of an objective (of none: any blend) over the blends that meet the wishes now switched on."""
        self.solves += 1
        outcome = self._least_in_part(objective)
        if self._whole is None or not outcome.feasible:
            return outcome
        nothing = np.zeros_like(self.programme.money)
        return self._counted(outcome, objective) or self._whole.minimise(nothing if objective is None else objective)

    def _least_in_part(self, objective: Vector | None) -> Outcome:
        if objective is None and self._costly:
            objective = np.zeros_like(self.programme.money)
        self._costly = objective is not None and bool(objective.any())
        return self._live.minimise(objective)

    def _counted(self, outcome: Outcome, objective: Vector | None) -> Outcome | None:
        """The same blend with every fat in it counted whole, if it still meets every row and is no dearer."""
        programme, point = self.programme, outcome.point.copy()
        counted = np.flatnonzero(programme.integer)
        point[counted] = point[: len(counted)] > DUST
        activity = programme.matrix @ point
        if (activity < self._low - NEAR).any() or (activity > self._high + NEAR).any():
            return None
        if objective is not None and float(objective @ point) > outcome.objective + NEAR:
            return None
        return replace(outcome, point=point)

    def core(self) -> set[str] | None:
        """After an infeasible question: the wishes that the solver's ray leans on, or None when it has none."""
        ray = self._live.ray()
        if ray is None or not np.abs(ray).max(initial=0.0):
            return None
        leaning = set(np.flatnonzero(np.abs(ray) > CRUMB * np.abs(ray).max()).tolist())
        return {name for name, places in self.programme.members.items() if leaning & set(places)} - self._off

    def margin(self, wishes: Iterable[str]) -> float:
        """The exact proof that these wishes cannot all hold, over their own rows; zero where there is none.

        Where fats are counted the proof is had only of what cannot be even with fats that count in part.
        """
        self.hold(wishes)
        if self._least_in_part(None).feasible:
            return 0.0
        ray = self._live.ray()
        if ray is None:
            return 0.0
        gone = [place for name in self._off for place in self.programme.members[name]]
        low, high = self.programme.row_low.copy(), self.programme.row_high.copy()
        low[gone], high[gone] = -np.inf, np.inf
        return max(0.0, infeasibility_margin(replace(self.programme, row_low=low, row_high=high), ray))
