"""Rules of the house that keep a blend further from a recipe in hand than it need be: which, and what it would be without."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.measures.sides import SubjectKind
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.house_rules import least_share
from optimiser.problem.limits import NOWHERE
from optimiser.problem.near import LEVERS
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin
from optimiser.solve.nearest import changed_in, moved_row
from optimiser.solve.yielding import Asked, as_written, cheapest

PINCH = 3.0  # per cent of the fats, where the rule on pinches is off
AT_ITS_END = 1e-5  # of a rule's scale: it binds
MOST = 4  # rules that are tried
OF_SHARES = (SubjectKind.BASE, SubjectKind.KIND, SubjectKind.GROUP, SubjectKind.TAG, SubjectKind.EACH)


class InTheWay(NamedTuple):
    """A rule of the house without which a blend would be nearer: its name, what would be changed (%), and of how many fats."""

    rule: str
    moved: float
    fats: int

    @property
    def said(self) -> str:
        """The rule, the line to write, and what it would be."""
        some = f"{self.fats} fat{'' if self.fats == 1 else 's'}"
        return (
            f"The rule of the house on {self.rule} keeps it further off: with practice: {{{self.rule}: off}} it is {some}, "
            f"{self.moved:.1f} % changed."
        )


def in_the_way(asked: Asked, shelf: Shelf) -> InTheWay | None:
    """The rule that costs a blend most of its nearness, if that is more than a pinch; None where none does.

    Each rule at whose end the nearest blend stands is let go by itself, and the whole question asked anew.

    Args:
        asked: goals near to a recipe, answered.
        shelf: what they were answered over.
    """
    near = asked.sheet.near
    if near is None or asked.found is None:
        return None
    now = moved_of(asked)
    least = least_share(asked.sheet) or PINCH
    if now <= least:
        return None
    point = asked.before[1].point if asked.before is not None else asked.found.point
    own = {change.rule for change in asked.sheet.practice}
    of_shares = {rule.name for rule in asked.sheet.rules if rule.subject in OF_SHARES and rule.key not in LEVERS}
    names = dict.fromkeys(
        row.wish.key
        for row in asked.programme.rows
        if row.wish.origin == Origin.PRACTICE
        and row.wish.key in of_shares - own
        and abs(row.value(point) - row.limit) <= AT_ITS_END * row.scale
    )
    found: list[InTheWay] = []
    for name in list(names)[:MOST]:
        again = cheapest(without(asked.sheet, name), shelf)
        if again.found is not None and now - moved_of(again) > least:
            changed = changed_in(near, again.programme.columns, again.found.point)
            found.append(InTheWay(name, moved_of(again), changed))
    return min(found, key=lambda item: item.moved, default=None)


def without(sheet: GoalSheet, rule: str) -> GoalSheet:
    """The goals as they were written, with a rule of the house off."""
    written = as_written(sheet)
    return written._replace(practice=(*written.practice, PracticeChange(rule, (), NOWHERE)))


def moved_of(asked: Asked) -> float:
    """How much of the fats a blend changes, per cent."""
    assert asked.found is not None
    row = asked.programme.rows[moved_row(asked.programme)]
    return float(row.value(asked.found.point))
