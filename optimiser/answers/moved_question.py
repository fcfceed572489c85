"""A question with one limit that moves: the file with that line rewritten, its programme, and the whole answer at a figure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from optimiser.analysis.laid_points import Laid
from optimiser.analysis.ranges import extreme
from optimiser.analysis.stretches import State, at_limits
from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.pieces import curves
from optimiser.model.programme import Programme, lay_columns
from optimiser.model.rows import Expression, expression
from optimiser.planning.building import build
from optimiser.problem.goals import GoalSheet, over
from optimiser.problem.known_ranges import known_of
from optimiser.problem.limits import Limit, as_limit
from optimiser.problem.moved_limit import at_figure, wish_of, with_limit
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import WishId
from optimiser.solve.easing import bare
from optimiser.solve.estimating import readings
from optimiser.solve.optimum import CRUMB
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Work
from optimiser.solve.yielding import Asked, as_written, cheapest, with_pinches, yielding
from optimiser.text.diagnostics import BadInput

HALVINGS = 50
OF_NEAR = 2  # the last preferences where a recipe in hand is kept near to: what is changed, and how far measures drift


class MovedQuestion(NamedTuple):
    """Goals over a shelf, and the limit in them that moves; its own figure is none of the question's."""

    goals: GoalSheet
    shelf: Shelf
    limit: Limit

    @property
    def wish(self) -> WishId:
        """What the limit is known by."""
        return wish_of(self.limit)

    def sheet_at(self, value: float) -> GoalSheet:
        """The goals with the limit at a figure.

        Raises:
            BadInput: a goal on what nobody knows of such a soap.
        """
        return known_of(over(with_limit(self.goals, at_figure(self.limit, value)), self.shelf))

    def programme_at(self, value: float) -> Programme:
        """The rows with the limit at a figure."""
        return build(self.sheet_at(value), self.shelf)

    def is_plain(self, value: float) -> bool:
        """Whether there is one way of reading the goals: amounts that are not sure have several."""
        return len(readings(as_written(self.sheet_at(value)), self.shelf)) == 1

    def answered(self, value: float, *, freed: bool = False) -> Asked:
        """The cheapest blend, pinches and all, with the limit at a figure, or let go; rules give way where they must."""
        sheet = as_written(self.sheet_at(value))
        wish = self.wish if freed else None
        every = [with_pinches(read, self.shelf, Work(), wish) for read in readings(sheet, self.shelf)]
        return min(
            every, key=lambda one: (one.found is None, bool(one.sheet.eased), one.found.ratio if one.found else 0.0)
        )

    def whole(self, value: float) -> Asked:
        """The same, where rules give way as far as in the blend that `blend` answers: a little further may spare it pinches."""
        asked = self.answered(value)
        if asked.found is None or not asked.sheet.eased:
            return asked
        poured = cheapest(self.sheet_at(value), self.shelf)
        if poured.before is None:
            return poured
        sheet, (live, found) = poured.sheet._replace(no_pinch={}), poured.before
        return Asked(sheet, build(sheet, self.shelf), live, found)

    def poured(self, value: float) -> float | None:
        """What the blend costs that `blend` would answer: without pinches, where it leaves them out."""
        found = cheapest(self.sheet_at(value), self.shelf).found
        return None if found is None else found.ratio

    def laid_at(self, value: float) -> Laid | None:
        """The whole answer with the limit at a figure; None where there is no blend, or nobody could say.

        Near to a recipe it is the one that `blend` gives, with few fats changed: the nearest of all may cost something else.
        """
        try:
            asked = self.whole(value) if self.goals.near is None else cheapest(self.sheet_at(value), self.shelf)
        except BadInput:
            return None
        if asked.found is None:
            return None
        point = asked.found.point[: len(asked.programme.money)]
        binds = at_limits(asked.programme, point)
        return Laid(asked.found.ratio, point[: asked.programme.columns.size], state_of(asked), binds)

    def figure(self) -> Expression:
        """What the limit is on."""
        return expression(lay_columns(self.sheet_at(self.limit.value), self.shelf), self.limit)

    def value_of(self, point: Vector) -> float:
        """The figure of the limit at a blend."""
        figure = self.figure()
        top = float(figure.top @ point[: len(figure.top)])
        return top if figure.bottom is None else top / float(figure.bottom @ point[: len(figure.bottom)])

    def hardest(self, programme: Programme, up: int) -> float | None:
        """How hard the limit can be over the blends that meet all else of a programme; None where none does."""
        oracle = Oracle(programme)
        oracle.hold(name for name in oracle.members if name != self.wish)
        found = extreme(oracle, self.figure(), -up)
        return None if found is None else found.value

    def bare_at(self, value: float) -> Programme:
        """The rows without all that gives way."""
        sheet = as_written(self.sheet_at(value))
        may = frozenset(rule.name for rule in yielding(sheet, build(sheet, self.shelf)))
        return build(bare(sheet, may), self.shelf)

    def last_that_may_be_asked(self, start: float, stop: float) -> float:
        """The limit nearest to `stop` at which something is known of all goals."""
        if self.may_be_asked(stop):
            return stop
        good, bad = start, stop
        for _ in range(HALVINGS):
            middle = 0.5 * (good + bad)
            good, bad = (middle, bad) if self.may_be_asked(middle) else (good, middle)
        return good

    def may_be_asked(self, value: float) -> bool:
        """Whether of a soap with the limit at a figure all is known that is asked of it."""
        try:
            self.sheet_at(value)
        except BadInput:
            return False
        return True

    def kinks(self) -> Iterator[float]:
        """Figures at which a rule of the house, a lever, or another limit on the same key may begin to move with this one."""
        yield from (rule.value for rule in self.goals.rules if rule.unit == self.limit.unit)
        if self.limit.unit == "%":  # where a lever goes from one piece of its curve to the next
            yield from (amount for curve in curves().values() for amount, _ in curve)
        limits = (*self.goals.goals, *self.goals.shares, *(item.limit for item in self.goals.brought))
        yield from (limit.value for limit in limits if limit.key == self.limit.key)


def state_of(asked: Asked) -> State:
    """Which rules gave way in an answer, and which preferences fall short."""
    if asked.found is None:
        return State()
    rules = {rule.name: rule for rule in asked.sheet.rules}
    brought = {item.wish: item.limit.said for item in asked.sheet.brought}
    gave = [as_limit(rules[name]).said for name in sorted(asked.sheet.yielded) if name in rules]
    for wish in asked.sheet.eased:
        if wish in brought:
            gave.append(brought[wish])
        elif wish.key in rules:
            said = as_limit(rules[wish.key]).said
            gave.append(said._replace(subject=wish.within) if wish.within else said)
    wishes = len(asked.programme.soft) - (0 if asked.sheet.near is None else OF_NEAR)
    short = [
        asked.programme.rows[preference.rows[0]].said
        for preference, missing in list(zip(asked.programme.soft, asked.found.short, strict=True))[:wishes]
        if missing > CRUMB
    ]
    return State(tuple(dict.fromkeys(gave)), tuple(short))


def directions(side: Side) -> tuple[int, ...]:
    """Which ways a limit gets harder: up for at least, down for at most, both for an exact figure."""
    return {Side.AT_LEAST: (1,), Side.AT_MOST: (-1,), Side.EXACTLY: (-1, 1)}[side]
