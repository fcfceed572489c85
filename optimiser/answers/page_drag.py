"""A limit that is being moved: the blend at each figure of it, answered as fast as a hand moves.

The blend is the one that `blend` answers, worked out in full but for what each line costs. Where fats are counted the choice
of fats is held as it was before the limit moved, which leaves a linear programme; on letting go the choice is made anew.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from optimiser.analysis.shadow_prices import stands_at_limit
from optimiser.answers.blend import settled
from optimiser.answers.blend_result import reckoned
from optimiser.answers.page_room import Ends, room
from optimiser.answers.page_scales import now_of
from optimiser.answers.reach import figures
from optimiser.answers.results import Blend
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme, build
from optimiser.problem.goals import GoalSheet, over
from optimiser.problem.known_ranges import known_of, unknown_measures
from optimiser.problem.limits import Limit
from optimiser.problem.moved_limit import at_figure
from optimiser.problem.question import Question
from optimiser.problem.wishes import Section
from optimiser.solve.optimum import Cheapest, solve
from optimiser.solve.switches import with_choice
from optimiser.solve.yielding import Asked, cheapest

PRICED = 1e-9  # a multiplier smaller than this is none


class Moved(NamedTuple):
    """The blend with the limit at a figure: None where there is none. `tight` are the ids of the wishes that hold it.

    `now` has each figure by its id. `held`: the fats are those that were chosen before the limit moved.
    """

    blend: Blend | None
    tight: tuple[str, ...] = ()
    now: tuple[tuple[str, float | None], ...] = ()
    held: bool = False


class Bench:
    """A question in hand, with what was found when its limits were last moved."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self._start: Asked | None = None
        self._last: tuple[GoalSheet, Cheapest] | None = None
        self._ends: Ends | None = None

    def limit(self, section: Section, key: str, side: Side) -> Limit | None:
        """The maker's own limit on a side of a key; None where there is none."""
        return next(
            (one for one in limits_of(self.question.goals, section) if (one.key, one.side) == (key, side)), None
        )

    def at(self, section: Section, limit: Limit, value: float) -> Moved:
        """The blend with a limit at a figure.

        Raises:
            BadInput: nothing is known of such a bar, or it cannot be weighed.
        """
        shelf = self.question.shelf
        sheet = known_of(over(moved(self.question.goals, section, limit, value), shelf))
        asked = self._held(sheet) if self._is_counted() else cheapest(sheet, shelf)
        if asked.found is None:
            self._last = None
            return Moved(None, held=self._is_counted())
        found = settled(asked.live, asked.found)
        self._last = asked.sheet, found
        programme = asked.live.programme
        blend = reckoned(asked.sheet, shelf, programme, found).blend
        told = figures(programme, unknown_measures(asked.sheet))
        now = tuple((one.figure, now_of(one, programme, blend)) for one in told)
        return Moved(blend, tight(programme, found), now, held=self._is_counted())

    def room(self, go_on: Callable[[], bool] = lambda: True) -> Ends | None:
        """The room beside the last figure; None where there is no blend there, or nobody waits any more (`go_on`)."""
        if self._last is None:
            return None
        sheet, found = self._last
        ends = room(sheet, self.question.shelf, found, before=self._ends, is_held=True, go_on=go_on)
        self._ends = self._ends if ends is None else ends
        return ends

    def _begun(self) -> Asked:
        if self._start is None:
            self._start = cheapest(self.question.goals, self.question.shelf)
        return self._start

    def _is_counted(self) -> bool:
        return bool(self.question.goals.fat_count) and self._begun().programme.is_mixed_integer

    def _held(self, sheet: GoalSheet) -> Asked:
        """The same fats at other shares: rules stand as they stood, and the choice of fats is held."""
        start = self._begun()
        if start.found is None:
            return start
        told = {
            name: getattr(start.sheet, name) for name in ("yielded", "eased", "is_bare", "estimate", "most_superfat")
        }
        sheet = sheet._replace(**told)
        programme = build(sheet, self.question.shelf)
        if programme.matrix.shape[1] != len(start.found.point):
            return start._replace(found=None)
        live, found = solve(with_choice(programme, start.found.point))
        return Asked(sheet, live.programme, live, found)


def limits_of(sheet: GoalSheet, section: Section) -> tuple[Limit, ...]:
    """The limits under a section of the file."""
    own: dict[Section, tuple[Limit, ...]] = {
        Section.GOALS: sheet.goals,
        Section.SHARES: sheet.shares,
        Section.ADDITIVES: sheet.additives,
        Section.LIQUIDS: sheet.liquids,
    }
    return own.get(section, ())


def moved(sheet: GoalSheet, section: Section, limit: Limit, value: float) -> GoalSheet:
    """The goals with a limit of theirs at another figure; a cost is told per kilo then."""
    other = at_figure(limit._replace(per="kg") if limit.per else limit, value)
    limits = tuple(other if one == limit else one for one in limits_of(sheet, section))
    changed: dict[Section, GoalSheet] = {
        Section.GOALS: sheet._replace(goals=limits),
        Section.SHARES: sheet._replace(shares=limits),
        Section.ADDITIVES: sheet._replace(additives=limits),
        Section.LIQUIDS: sheet._replace(liquids=limits),
    }
    return changed[section]


def tight(programme: Programme, found: Cheapest) -> tuple[str, ...]:
    """The wishes that the blend stands at the limit of, and that cost something there."""
    dual = found.outcome.row_dual
    out = []
    for name, places in programme.members.items():
        for place in places:
            if place < len(dual) and abs(dual[place]) > PRICED and stands_at_limit(programme.rows[place], found.point):
                out.append(str(name))
                break
    return tuple(out)
