"""A goal file and a shelf with some of their figures moved: what a maker would have if they wrote the change down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.rows import Row
from optimiser.problem.buying import Buy
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.limits import Limit, as_limit
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, Said, WishId


def amended(
    sheet: GoalSheet, shelf: Shelf, rows: Sequence[Row], limits: Mapping[WishId, float]
) -> tuple[GoalSheet, Shelf]:
    """The same wishes with new limits, by member.

    Args:
        sheet: the goals as written.
        shelf: the shelf as written.
        rows: for each member that moves, the row that speaks for it.
        limits: the new figure of each.
    """
    for row in rows:
        sheet, shelf = AMEND[row.origin](sheet, shelf, row, limits[row.wish])
    return sheet, shelf


def moved(limits: Sequence[Limit], row: Row, value: float) -> tuple[Limit, ...]:
    """Limits of a section with the one behind a row at a new figure."""
    return tuple(limit._replace(value=value) if limit.wish(row.wish.section) == row.wish else limit for limit in limits)


def move_goal(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """A goal at a new figure."""
    return sheet._replace(goals=moved(sheet.goals, row, value)), shelf


def move_share(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """A share at a new figure."""
    return sheet._replace(shares=moved(sheet.shares, row, value)), shelf


def move_additive(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """An additive at a new figure."""
    return sheet._replace(additives=moved(sheet.additives, row, value)), shelf


def move_liquid(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """A liquid at a new figure."""
    return sheet._replace(liquids=moved(sheet.liquids, row, value)), shelf


def move_design(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """A design's limit at a new figure, as if the maker had named its key."""
    brought = tuple(
        item._replace(limit=item.limit._replace(value=value)) if item.wish == row.wish else item
        for item in sheet.brought
    )
    return sheet._replace(brought=brought), shelf


def move_count(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """A count, or the smallest share, at a new figure."""
    return sheet._replace(fat_count=moved(sheet.fat_count, row, value)), shelf


def move_exclusion(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """An exclusion turned into a small share that is let in."""
    gone = next(item for item in sheet.free_from if item.tag == row.figure)
    said = Said(row.figure, Side.AT_MOST, f"{value:g} %")
    let_in = Limit(row.figure, SubjectKind.TAG, Side.AT_MOST, value, "%", said, gone.span)
    kept = tuple(item for item in sheet.free_from if item.tag != row.figure)
    return sheet._replace(free_from=kept, shares=(*sheet.shares, let_in)), shelf


def move_practice(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """A rule of the house overruled, or the maker's own figure for one moved.

    Where practice is off as a whole what is left of it gives way to a goal.
    """
    name = row.wish.key
    if sheet.practice_off:
        limit = as_limit(next(item for item in sheet.rules if item.name == name))._replace(value=value)
        if limit.subject == SubjectKind.ADDITIVE:
            return sheet._replace(additives=(*sheet.additives, limit)), shelf
        return sheet._replace(goals=(*sheet.goals, limit)), shelf
    already = next((change for change in sheet.practice if change.rule == name), None)
    if already is not None:
        change = already._replace(limits=moved_own(already.limits, row, value))
        others = tuple(item for item in sheet.practice if item.rule != name)
        return sheet._replace(practice=(*others, change)), shelf
    rule = next(item for item in sheet.rules if item.name == name)
    limit = as_limit(rule)._replace(value=value)
    return sheet._replace(practice=(*sheet.practice, PracticeChange(name, (limit,), limit.span))), shelf


def moved_own(limits: Sequence[Limit], row: Row, value: float) -> tuple[Limit, ...]:
    """A maker's own figures for a rule, the one on the row's side moved."""
    return tuple(limit._replace(value=value) if limit.side == row.wish.side else limit for limit in limits)


def move_stock(sheet: GoalSheet, shelf: Shelf, row: Row, value: float) -> tuple[GoalSheet, Shelf]:
    """More of a fat on the shelf."""
    fats = tuple(item._replace(stock_kg=value) if item.fat.name == row.wish.key else item for item in shelf.fats)
    return sheet, shelf._replace(fats=fats)


def move_buying(sheet: GoalSheet, shelf: Shelf, _row: Row, _value: float) -> tuple[GoalSheet, Shelf]:
    """Anything may be bought, at its price per kilo."""
    return sheet._replace(buying=None if sheet.buying is None else sheet.buying._replace(buy=Buy.ANY)), shelf


AMEND = {
    Origin.GOAL: move_goal,
    Origin.SHARE: move_share,
    Origin.ADDITIVE: move_additive,
    Origin.LIQUID: move_liquid,
    Origin.DESIGN: move_design,
    Origin.COUNT: move_count,
    Origin.EXCLUSION: move_exclusion,
    Origin.PRACTICE: move_practice,
    Origin.STOCK: move_stock,
    Origin.BUYING: move_buying,
}
