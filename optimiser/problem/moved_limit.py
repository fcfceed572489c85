"""Goals with one limit at another figure, or with one limit more: as the file would be read with its line rewritten."""

from __future__ import annotations

from collections.abc import Sequence

from optimiser.measures.quantities import find_quantity
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.problem.wishes import Said, Section, WishId

UNITS_SAID = ("%", "mg KOH/g", "g I2/100 g")
DIGITS = 12  # of a figure that is asked: enough for every step, and short enough to be one


def limit_on(key: str, subject: SubjectKind, side: Side, unit: str, words: str) -> Limit:
    """A limit of a key that the file has none on, at nothing yet."""
    return Limit(key, subject, side, 0.0, unit, Said(words, side, "0"), NOWHERE)


def of_key(sheet: GoalSheet, key: str, subject: SubjectKind) -> tuple[Limit, ...]:
    """The limits that the file itself sets on a key."""
    limits = sheet.goals if subject == SubjectKind.QUANTITY else sheet.shares
    return tuple(limit for limit in limits if (limit.key, limit.subject) == (key, subject))


def wish_of(limit: Limit) -> WishId:
    """What a limit on a figure or a share is known by."""
    return limit.wish(section_of(limit))


def section_of(limit: Limit) -> Section:
    """Where a limit stands in a goal file."""
    return Section.GOALS if limit.subject == SubjectKind.QUANTITY else Section.SHARES


def at_figure(limit: Limit, value: float) -> Limit:
    """A limit at another figure, said as such; it is then no line of the file."""
    if value == limit.value:
        return limit
    unit = f" {limit.unit}" if limit.unit in UNITS_SAID else ""
    said = Said(limit.said.subject, limit.side, f"{value:.{DIGITS}g}{unit}")
    return limit._replace(value=value, said=said, span=NOWHERE)


def with_limit(sheet: GoalSheet, limit: Limit) -> GoalSheet:
    """The goals with a limit in the place of the file's own on the same side, or beside what it has.

    Limits of designs that it takes the place of go, as they would for a line of the file.
    """
    known = find_quantity(limit.key) if limit.subject == SubjectKind.QUANTITY else None
    if limit.subject == SubjectKind.QUANTITY and known is None:
        raise KeyError(limit.key)
    if limit.subject == SubjectKind.QUANTITY:
        other = sheet._replace(goals=exchanged(sheet.goals, limit))
    else:
        other = sheet._replace(shares=exchanged(sheet.shares, limit))
    return with_designs(other) if other.techniques and not of_key(sheet, limit.key, limit.subject) else other


def exchanged(limits: Sequence[Limit], limit: Limit) -> tuple[Limit, ...]:
    """Limits with one of them exchanged, where it stood; at the end where there was none."""
    same = [one for one in limits if (one.key, one.subject, one.side) == (limit.key, limit.subject, limit.side)]
    if not same:
        return (*limits, limit)
    return tuple(limit if one is same[0] else one for one in limits)


def with_designs(sheet: GoalSheet) -> GoalSheet:
    """The goals with what their designs bring beside them as they stand now."""
    from optimiser.problem.designs import bring

    chosen = list(zip(sheet.techniques, sheet.technique_spans, strict=True))
    return sheet._replace(brought=bring(chosen, sheet.goals, sheet.shares, sheet.batch).rows)


def without_key(sheet: GoalSheet, key: str, subject: SubjectKind, side: Side) -> GoalSheet:
    """The goals without the limits of a key on one side."""

    def kept(limits: Sequence[Limit]) -> tuple[Limit, ...]:
        return tuple(one for one in limits if (one.key, one.subject, one.side) != (key, subject, side))

    return sheet._replace(goals=kept(sheet.goals), shares=kept(sheet.shares))
