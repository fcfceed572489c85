"""The cost curve of one limit, walked from vertex to vertex as the limit gets harder.

Just past the end of a stretch the programme is solved again from where it stands; the vertex found there is followed to its
own end in closed form, and a solve at its middle confirms it. Where a stretch ends by the dual ratio test the solver, within
its tolerance, may still say the old vertex: then the step past the end is made longer.

What no vertex can be followed through is laid point by point: where the spread of lots decides, preferences fall short or
rules of the house have given way. Where fats are counted each choice of them is followed exactly, and whether it is
still the best is asked at chosen limits alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from dataclasses import replace as with_parts
from typing import NamedTuple

import numpy as np

from optimiser.analysis.laid_points import MOST_HALVINGS, Ask, laid_stretches
from optimiser.analysis.stretches import Stretch, stretch_at
from optimiser.maths.arrays import Vector
from optimiser.model.moving import Moving
from optimiser.solve.optimum import CRUMB, least_ratio
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.switches import with_choice
from optimiser.solve.vertices import Vertices

FIRST_STEP = 1e-7  # of the range: how far past an end the next vertex is looked for
LONGER = 8.0
LONGEST_STEP = 1e-3
MOST_STRETCHES = 400
MOST_ROUNDS = 30
FINE = 1e-4  # of the range: how near a change of choice is looked for
FINEST = 1e-9  # of the range: where a crossing is no new limit
SAME = 1e-9  # relative: two costs are one
LOOKED = 12  # parts of what is left in which a vertex that can be followed is looked for again


class NoVertex(NamedTuple):
    """What stands where no stretch does: no blend of the rows as written, or one that cannot be followed."""

    feasible: bool


class Walked(NamedTuple):
    """A curve: its stretches from the lower limit to the higher, and how many linear programmes were solved for it."""

    stretches: tuple[Stretch, ...]
    solves: int


@dataclass
class Walk:
    """A walk over the programmes of a range, in one direction: `up` is 1 where the limit gets harder as it rises, else -1.

    `families` are in order of their limits. `ask` answers the whole question at a limit, `written_end` how hard the limit can
    be before no blend meets the rows as written. `follows`: vertices are followed, else all is laid, each part halved `halvings` times at the most.
    """

    families: Sequence[Moving]
    up: int
    ask: Ask
    written_end: Callable[[], float | None]
    work: Work = field(default_factory=Work)
    follows: bool = True
    halvings: int = MOST_HALVINGS
    _live: Vertices | None = None
    _of: Moving | None = None
    _ratio: float = 0.0
    _solves: int = 0
    _written_to: float | None = None
    _crossed: set[float] = field(default_factory=set)

    @property
    def _span(self) -> float:
        return self.families[-1].high - self.families[0].low

    def along(self, start: float, stop: float) -> Walked:
        """The stretches from one limit to a harder one, or to where there is no blend."""
        found: list[Stretch] = []
        here = start
        while self.is_before(here, stop) and len(found) < MOST_STRETCHES:
            stretch = (
                self.next_from(here, stop, found[-1] if found else None) if self.follows else NoVertex(feasible=False)
            )
            if isinstance(stretch, Stretch):
                found.append(stretch)
                here = stretch.high if self.up > 0 else stretch.low
                continue
            laid, reached = self.laid_from(here, stop, as_written=stretch.feasible)
            found += laid
            if not self.is_before(here, reached):
                break
            here = reached
        return Walked(tuple(sorted(found, key=lambda one: one.low)), self._solves)

    def is_before(self, limit: float, other: float) -> bool:
        """Whether a limit is easier than another by more than nothing."""
        return self.up * (other - limit) > 2.0 * FIRST_STEP * self._span

    def next_from(self, here: float, stop: float, ended: Stretch | None) -> Stretch | NoVertex:
        """The stretch that begins at a limit, where another has ended."""
        step = FIRST_STEP * self._span
        while step <= LONGEST_STEP * self._span:
            limit = here + self.up * step
            if not self.is_before(here, stop) or self.up * (stop - limit) < 0.0:
                limit = stop
            stretch = self.vertex(limit)
            if isinstance(stretch, NoVertex):
                return stretch
            begin, end = (stretch.low, stretch.high) if self.up > 0 else (stretch.high, stretch.low)
            short = LONGEST_STEP if is_one_vertex(stretch, ended, limit) else LONGER * FIRST_STEP
            is_old = self.is_before(begin, here) and self.up * (end - limit) <= short * self._span
            if not is_old or limit == stop:
                end = stop if self.up * (end - stop) >= 0.0 else end
                cut = stretch._replace(low=min(here, end), high=max(here, end))
                return self.confirmed(cut)
            step *= LONGER
        return NoVertex(feasible=True)

    # -- one vertex ------------------------------------------------------------------------------------------------

    def family_at(self, limit: float) -> Moving:
        """The programmes that a limit is among; at a border those that come next."""
        inside = [one for one in self.families if one.low <= limit <= one.high]
        return inside[-1] if self.up > 0 else inside[0]

    def vertex(self, limit: float) -> Stretch | NoVertex:
        """The vertex at a limit and its stretch."""
        family = self.family_at(limit)
        if not family.is_straight:
            return NoVertex(feasible=True)
        if family.programme.is_mixed_integer:
            return self.counted_vertex(family, limit)
        bent = self._live is not None and len(self._live.programme.matrix) != len(family.programme.matrix)
        if self._live is None or self._of is not family or bent:  # what was owed to the cone is a row more in the model
            self._live, self._of = Vertices(family.programme_at(limit), self.work), family
        self._live.become(family.programme_at(limit))
        found = self.optimal(self._live, family, limit)
        if found is None:  # what the cone of the lots left in the model makes no vertex: one look at a model without
            self._live = Vertices(family.programme_at(limit), self.work)
            found = self.optimal(self._live, family, limit)
        if found is None:
            self._live = None
            return NoVertex(feasible=True)
        return found

    def optimal(self, live: Vertices, family: Moving, limit: float) -> Stretch | NoVertex | None:
        """The vertex of least cost per kilo at a limit; None where it cannot be followed."""
        programme = live.programme
        ratio = self._ratio
        for _ in range(MOST_ROUNDS):
            outcome = live.minimise_in_part(programme.money - ratio * programme.cured)
            self._solves += 1
            if not outcome.feasible:
                return NoVertex(feasible=False)
            basis = None if live.is_bent else live.basis()
            if basis is None:
                return None
            stretch = stretch_at(family, basis, limit)
            reached = float(programme.money @ outcome.point) / float(programme.cured @ outcome.point)
            if stretch is not None and abs(stretch.cost(limit) - reached) <= SAME * reached:
                self._ratio = reached
                return stretch
            if abs(reached - ratio) <= SAME * SAME * max(1.0, abs(ratio)):
                return None
            ratio = reached
        raise SolverFault("the cost per kilo did not settle")

    def confirmed(self, stretch: Stretch) -> Stretch | NoVertex:
        """A stretch whose middle was solved anew: no blend is cheaper there. Where fats are counted, as far as it is best."""
        family = self.family_at(0.5 * (stretch.low + stretch.high))
        if family.programme.is_mixed_integer:
            return self.as_far_as_best(stretch)
        middle = 0.5 * (stretch.low + stretch.high)
        for is_cold in (False, True):
            live = self._live
            if live is None or is_cold or len(live.programme.matrix) != len(family.programme.matrix):
                live = self._live = Vertices(family.programme_at(middle), self.work)
            live.become(family.programme_at(middle))
            programme = live.programme
            outcome = live.minimise_in_part(programme.money - stretch.cost(middle) * programme.cured)
            self._solves += 1
            if outcome.feasible and abs(outcome.objective) <= CRUMB and meets(family, stretch, middle):
                return stretch
        return NoVertex(feasible=True)

    # -- fats that are counted -------------------------------------------------------------------------------------

    def counted_vertex(self, family: Moving, limit: float) -> Stretch | NoVertex:
        """The vertex of the best choice of fats at a limit, followed with that choice held."""
        best = self.best_choice(limit)
        return NoVertex(feasible=False) if best is None else self.with_choice_of(family, limit, best)

    def with_choice_of(self, family: Moving, limit: float, blend: Vector) -> Stretch | NoVertex:
        """The vertex at a limit with the fats of a blend chosen."""
        held = with_parts(family, programme=with_choice(family.programme, blend))
        self._ratio = 0.0
        found = self.optimal(Vertices(held.programme_at(limit), self.work), held, limit)
        if found is None or isinstance(found, NoVertex):
            return NoVertex(feasible=True)
        return found._replace(exact=False)

    def best_choice(self, limit: float, within: float = 0.0) -> Vector | None:
        """The cheapest blend of all choices at a limit; None where there is none, or none cheaper than what is within reach."""
        programme = self.family_at(limit).programme_at(limit)
        live = Vertices(programme, self.work)
        found = least_ratio(live, within)
        self._solves += 1
        return None if found is None or (within and found.ratio >= within * (1.0 - SAME)) else found.point

    def as_far_as_best(self, stretch: Stretch) -> Stretch | NoVertex:
        """The stretch of a choice of fats up to where another one is cheaper, as the search says at the limits it is asked.

        Where another is cheaper at a limit, the two curves are crossed and the search is asked there: each time it either
        says that they do cross there, or brings a third. Else what is left is halved.
        """
        near, far = (stretch.low, stretch.high) if self.up > 0 else (stretch.high, stretch.low)
        best_to, worse, asked = near, far, far
        for _ in range(MOST_ROUNDS):
            better = self.best_choice(asked, stretch.cost(asked))
            if better is None:
                best_to = asked
                if asked == far or abs(worse - best_to) <= FINE * self._span or asked in self._crossed:
                    break
            else:
                worse = asked
                other = self.with_choice_of(self.family_at(asked), asked, better)
                crossed = crossing(stretch, other, best_to, worse) if isinstance(other, Stretch) else None
                if crossed is not None and abs(crossed - worse) > FINEST * self._span:
                    self._crossed.add(crossed)
                    asked = crossed
                    continue
            asked = 0.5 * (best_to + worse)
            if abs(worse - best_to) <= FINE * self._span:
                break
        return cut_at(stretch, worse if best_to == near else best_to, self.up)

    # -- what cannot be followed -----------------------------------------------------------------------------------

    def laid_from(self, here: float, stop: float, *, as_written: bool) -> tuple[list[Stretch], float]:
        """Stretches laid from a limit on, and the limit that they reach.

        `as_written`: there is a blend of all rows as written, and further on a vertex may be followed again.
        """
        end = stop
        if as_written and self._written_to is None:
            self._written_to = self.written_end()
        if as_written and self._written_to is not None and self.up * (stop - self._written_to) > 0.0:
            end = self._written_to
        if not self.is_before(here, end):
            as_written, end = False, stop
        resumed = self.resumes(here, end) if as_written else None
        until = end if resumed is None else resumed
        laid = laid_stretches(self.ask, here, until, self.up, self.halvings)
        if not laid:
            return [], here
        furthest = max(laid, key=lambda one: self.up * one.low)
        reached = furthest.high if self.up > 0 else furthest.low
        return laid, reached if resumed is None else until

    def resumes(self, here: float, end: float) -> float | None:
        """Where on the way to an end a vertex can be followed again."""
        for part in range(1, LOOKED):
            limit = here + (end - here) * part / LOOKED
            found = self.vertex(limit)
            if isinstance(found, Stretch):
                begins = found.low if self.up > 0 else found.high
                return begins if self.is_before(here, begins) else limit
        return None


def cut_at(stretch: Stretch, limit: float, up: int) -> Stretch:
    """A stretch that ends at a limit."""
    return stretch._replace(high=limit) if up > 0 else stretch._replace(low=limit)


def is_one_vertex(one: Stretch, other: Stretch | None, limit: float) -> bool:
    """Whether two stretches are of one vertex: the same blend at a limit and a little further."""
    return other is not None and all(
        bool(np.allclose(one.point(at), other.point(at), rtol=0.0, atol=SAME)) for at in (limit, limit + 1.0)
    )


def crossing(one: Stretch, other: Stretch, near: float, far: float) -> float | None:
    """A limit between two at which two stretches cost the same; None where there is none that both reach."""
    low, high = max(min(near, far), other.low), min(max(near, far), other.high)
    if low >= high:
        return None
    first, last = one.cost(low) - other.cost(low), one.cost(high) - other.cost(high)
    if first * last >= 0.0:
        return None
    for _ in range(80):
        middle = 0.5 * (low + high)
        if first * (one.cost(middle) - other.cost(middle)) > 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def meets(family: Moving, stretch: Stretch, limit: float) -> bool:
    """Whether the blend of a stretch meets every row and bound at a limit."""
    programme, point = family.programme_at(limit), stretch.point(limit)
    blend = point if programme.lots is None else programme.lots.lifted(point)
    activity = programme.matrix @ blend
    room = 1e-7
    return bool(
        (activity >= programme.row_low - room).all()
        and (activity <= programme.row_high + room).all()
        and (blend >= programme.column_low - room).all()
        and (blend <= programme.column_high + room).all()
    )
