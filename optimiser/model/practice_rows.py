"""The rules of the house as rows, less what the maker overrides, switches off or has set a goal for."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.measures.practice import Rule
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.columns import Columns
from optimiser.model.rows import Row, from_limit
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import of_rule, standing
from optimiser.problem.limits import Limit, as_limit
from optimiser.problem.wishes import Said, Section, WishId


def practice_rows(columns: Columns, sheet: GoalSheet) -> Iterator[Row]:
    """House practice, less what the maker overrides, switches off or has set a goal for.

    `practice: off` leaves the defaults that the alkali and the water cannot do without.
    """
    changes = {change.rule: change for change in sheet.practice}
    for rule in sheet.rules:
        change = changes.get(rule.name)
        for limit in change.limits if change is not None and in_play(columns, rule) else ():
            for wish, own in changed(columns, rule, limit):
                yield from from_limit(columns, own, wish, "the maker's own figure")
        if change is None and rule.name in sheet.yielded and sheet.most_superfat is not None:
            yield from in_place_of(columns, rule, sheet.most_superfat)
    for wish, rule in standing(sheet, (fat.group for fat in columns.fats)):
        if in_play(columns, rule):
            yield from from_rule(columns, sheet, wish, rule)


def in_play(columns: Columns, rule: Rule) -> bool:
    """Whether a rule has anything to hold: one on an additive that no goal names has not."""
    return rule.subject != SubjectKind.ADDITIVE or rule.key in columns.index


def changed(columns: Columns, rule: Rule, limit: Limit) -> Iterator[tuple[WishId, Limit]]:
    """A figure of the maker's own for a rule, as wishes: one, or one for each fat where the rule is on each."""
    if rule.subject == SubjectKind.PINCH:
        return
    if rule.subject != SubjectKind.EACH:
        yield WishId(Section.PRACTICE, rule.name, limit.side), limit
        return
    for base in dict.fromkeys(fat.group for fat in columns.fats):
        yield (
            WishId(Section.PRACTICE, rule.name, limit.side, base),
            limit._replace(subject=SubjectKind.BASE, key=base, said=limit.said._replace(subject=base)),
        )


def from_rule(columns: Columns, sheet: GoalSheet, wish: WishId, rule: Rule) -> list[Row]:
    """The rows of one rule of the house, at the figures at which it stands."""
    rows = [row for limit in of_rule(sheet, wish, rule) for row in from_limit(columns, limit, wish, rule.why)]
    return [row._replace(scale=rule.scale) for row in rows]


def in_place_of(columns: Columns, rule: Rule, superfat: float) -> list[Row]:
    """The row that stands for a rule which the goals leave no room for: as much superfat as they leave room for.

    It is no wish: nobody saves by less of it, and the answer says that the rule stands aside.
    """
    said = Said("as much superfat as the goals leave room for", Side.AT_LEAST, f"{superfat:.3g} %")
    limit = as_limit(rule)._replace(key="superfat", value=superfat, side=Side.AT_LEAST, said=said)
    return from_limit(columns, limit, WishId(Section.PHYSICS, rule.name, Side.AT_LEAST), rule.why)
