"""Can these wishes hold together? One live model whose wishes are switched on and off."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.problem.wishes import WishId
from optimiser.solve.loading import TOLERANCE
from optimiser.solve.outcomes import Outcome, Work
from optimiser.solve.proof import infeasibility_margin, lower_bound
from optimiser.solve.solver import Live

CRUMB = 1e-9  # of a ray's largest entry: smaller ones are rounding
MOST_BLENDS = 512  # remembered by what they meet
NEAR = 1e-8  # what a ray must show to count
SHOWN = 1e-6  # how far a figure that is shown may be from what can be checked of it


class Oracle:
    """Answers whether sets of wishes can hold, warm from one question to the next.

    Preferences are left out: they never cost a wish. Where fats are counted each question is put first with fats that
    may count in part: what that cannot meet cannot be met, and a blend of it that counts right as it is needs no more.
    Every blend found is remembered by the wishes that it meets, asked for or not: what it meets need not be asked again.
    `solves` counts the questions put to the solver, `work` what they cost.
    """

    def __init__(self, programme: Programme, work: Work | None = None, *, is_cold: bool = False) -> None:
        self.members = tuple(programme.members)
        self.solves = 0
        self.undecided = 0
        self._is_cold = is_cold
        self._live = Live(replace(programme, money=np.zeros_like(programme.money)), work)
        self._off: set[WishId] = set()
        self._leans = False
        self._bits = {name: 1 << place for place, name in enumerate(self.members)}
        self._met: list[int] = []
        self._rays: dict[frozenset[WishId], Vector] = {}
        self._member_at = {place: name for name, places in programme.members.items() for place in places}

    @property
    def programme(self) -> Programme:
        """What is asked, with the cuts of the lot spread so far; its money is none."""
        return self._live.programme

    @property
    def work(self) -> Work:
        """What the questions cost so far, and what they may."""
        return self._live.work

    def hold(self, wishes: Iterable[WishId]) -> None:
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

    def hold_side(self, member: WishId, *, up: bool) -> None:
        """Of a wish that is switched off hold one side again: at least its figure (up) or at most; `let_go` ends it."""
        places = list(self.programme.members[member])
        free = np.full(len(places), np.inf)
        low = self.programme.row_low[places] if up else -free
        high = free if up else self.programme.row_high[places]
        self._live.bound_rows(places, low, high)

    def let_go(self, member: WishId) -> None:
        """End what `hold_side` began."""
        self._live.free_rows(self.programme.members[member])

    def feasible(self, wishes: Iterable[WishId]) -> bool:
        """Whether some blend meets all these wishes (and physics).

        A blend that the solver offers is held against the rows themselves; one that misses them is a warm start gone
        astray, and the question is put again from cold.

        Raises:
            Undecided: fats are counted and the work left does not do.
        """
        kept = set(wishes)
        asked = sum(self._bits[name] for name in kept)
        if any(not asked & ~met for met in self._met):
            return True
        self.hold(kept)
        outcome = self.least(None)
        if outcome.feasible and asked & ~self._met_by(outcome.point, SHOWN):
            self.forget()
            outcome = self.least(None)
        if outcome.feasible:
            self._remember(asked | self._met_by(outcome.point, TOLERANCE))
        return outcome.feasible

    def forget(self) -> None:
        """Put the next question as if it were the first."""
        self._live.forget()

    def _met_by(self, point: Vector, room: float) -> int:
        """The wishes that a blend meets to within some room in every row, as bits."""
        programme = self.programme
        activity = programme.matrix @ point
        missed = (activity < programme.row_low - room) | (activity > programme.row_high + room)
        broken = set(np.flatnonzero(missed).tolist())
        return sum(self._bits[name] for name, places in programme.members.items() if broken.isdisjoint(places))

    def _remember(self, met: int) -> None:
        """Keep what a blend meets, the latest first, in place of what meets less."""
        self._met = [met, *(other for other in self._met if other & ~met)][:MOST_BLENDS]

    def least(self, objective: Vector | None) -> Outcome:
        """Least value of an objective (of none: any blend) over the blends that meet the wishes now switched on.

        Raises:
            Undecided: fats are counted and the work left does not do.
        """
        self.solves += 1
        if self._is_cold:
            self.forget()
        outcome = self._least_in_part(objective)
        return self._live.minimise() if outcome.feasible and self.programme.is_mixed_integer else outcome

    def _least_in_part(self, objective: Vector | None) -> Outcome:
        nothing = np.zeros_like(self.programme.money)
        outcome = self._live.minimise_in_part(nothing if objective is None else objective)
        self._leans = not outcome.feasible
        return outcome

    def confirmed(self, outcome: Outcome, objective: Vector) -> bool:
        """Whether a linear optimum is one: it meets the rows now held, and its duals prove that nothing lies below it.

        Where fats are counted the search holds its own blend against the rows.
        """
        if self.programme.is_mixed_integer:
            return True
        asked = self._live.asked()
        activity = asked.matrix @ outcome.point
        missed = np.maximum(asked.row_low - activity, activity - asked.row_high).max(initial=0.0)
        room = SHOWN * max(1.0, abs(outcome.objective))
        return missed <= SHOWN and float(lower_bound(asked, objective, outcome.row_dual)) >= outcome.objective - room

    def core(self) -> set[WishId] | None:
        """After an infeasible question: wishes that clash by the solver's ray alone, or None where it shows none.

        The ray is tried in floating point over the rows of these wishes; the exact proof is made once, of the clash.
        """
        ray = self._live.ray() if self._leans else None
        most = 0.0 if ray is None else float(np.abs(ray).max(initial=0.0))
        if ray is None or most == 0.0:
            return None
        clean = np.where(np.abs(ray) > CRUMB * most, ray / most, 0.0)
        leaning = np.flatnonzero(clean).tolist()
        wishes = {self._member_at[place] for place in leaning if place in self._member_at}
        if wishes & self._off or shown(self.programme, clean) <= NEAR:
            return None
        self._rays[frozenset(wishes)] = clean
        return wishes

    def margin(self, wishes: Iterable[WishId]) -> float:
        """The exact proof that these wishes cannot all hold, over their own rows; zero where there is none.

        Where fats are counted the proof is had only of what cannot be even with fats that count in part.
        """
        kept = frozenset(wishes)
        ray = self._rays.get(kept)
        if ray is None:
            self.hold(kept)
            ray = None if self._least_in_part(None).feasible else self._live.ray()
        if ray is None:
            return 0.0
        gone = [place for name in set(self.members) - kept for place in self.programme.members[name]]
        low, high = self.programme.row_low.copy(), self.programme.row_high.copy()
        low[gone], high[gone] = -np.inf, np.inf
        return max(0.0, infeasibility_margin(replace(self.programme, row_low=low, row_high=high), ray))


def shown(programme: Programme, ray: Vector) -> float:
    """What a ray shows in floating point: how far the rows, added up by it, ask for more than any point can give."""
    side = np.where(ray > 0, programme.row_low, programme.row_high)
    used = np.flatnonzero(ray)
    if not np.isfinite(side[used]).all():
        return 0.0
    total = ray[used] @ programme.matrix[used]
    given = np.maximum(total * programme.column_low, total * programme.column_high).sum()
    return float(ray[used] @ side[used] - given)
