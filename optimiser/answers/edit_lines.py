"""The line of YAML that makes a change, ready to paste, and the section of the file that it belongs to."""

from __future__ import annotations

from collections.abc import Mapping

from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import GRAMS, PER_KILO
from optimiser.problem.wishes import Origin, Section, WishId
from optimiser.text.quantities import write_number
from optimiser.text.writing import scalar

DIGITS = 6  # decimals kept of a figure, far below any that a person would write


def paste(sheet: GoalSheet, programme: Programme, row: Row, moved: Mapping[WishId, float]) -> tuple[str, str]:
    """Where a change goes and what to write there; the other sides of the wish are kept, or moved along.

    Args:
        sheet: the goals as written.
        programme: all rows, for the other sides of a wish.
        row: speaks for the wish that moves.
        moved: the new figure of every wish that moves, this one among them.
    """
    value = moved[row.wish]
    if row.origin == Origin.EXCLUSION:
        line = f"{scalar(row.figure)}: {let_in(programme, row, moved)}"
        return f"shares, with {row.figure} taken out of free_from", line
    if row.origin in (Origin.BUYING, Origin.STOCK):
        return ("", "buy: any") if row.origin == Origin.BUYING else ("the shelf", f"stock: {figure(row, value)}")
    if row.origin == Origin.COUNT:
        return "fats", f"fats: {{{counts(programme, moved)}}}"
    if row.origin == Origin.PRACTICE and sheet.practice_off:
        return (
            "goals" if row.figure in quantities() else "additives",
            f"{scalar(row.figure)}: {limits(programme, row.wish, moved)}",
        )
    if row.origin == Origin.DESIGN:
        return (
            "goals" if row.figure in quantities() else "shares",
            f"{scalar(row.figure)}: {of_designs(programme, row, moved)}",
        )
    return str(row.wish.section), f"{scalar(row.wish.key)}: {limits(programme, row.wish, moved)}"


def limits(programme: Programme, wish: WishId, moved: Mapping[WishId, float]) -> str:
    """The right-hand side of a wish: a bare figure, or the sides that are set."""
    told = sides(programme, wish, moved)
    tag = WishId(Section.FREE_FROM, wish.key, Side.AT_MOST)
    opened = moved.get(tag) if wish.section == Section.SHARES else None
    if opened is not None and Side.EXACTLY not in told:
        told[Side.AT_MOST] = figure(programme.row_of(tag), opened)
    return written(told)


def of_designs(programme: Programme, row: Row, moved: Mapping[WishId, float]) -> str:
    """The limits on a key for the maker to write: naming it puts those of every design aside, so the others are kept."""
    found: dict[Side, dict[float, str]] = {}
    for member, places in programme.members.items():
        rows = [programme.rows[place] for place in places]
        if rows[0].origin == Origin.DESIGN and rows[0].figure == row.figure:
            limit = moved.get(member, sum(one.limit for one in rows) / len(rows))
            found.setdefault(member.side, {})[limit] = figure(rows[0], limit)
    strictest = {Side.AT_LEAST: max, Side.AT_MOST: min, Side.EXACTLY: max}
    return written({side: found[side][strictest[side](found[side])] for side in Side if side in found})


def let_in(programme: Programme, row: Row, moved: Mapping[WishId, float]) -> str:
    """What stands under shares once an exclusion is gone: its share, beside what was asked of the same tag already."""
    told = sides(programme, WishId(Section.SHARES, row.figure, Side.AT_MOST), moved)
    if Side.EXACTLY not in told:
        told[Side.AT_MOST] = figure(row, moved[row.wish])
    return written(told)


def sides(programme: Programme, wish: WishId, moved: Mapping[WishId, float]) -> dict[Side, str]:
    """All sides of a wish that are set, each with its figure."""
    out = {}
    for side in Side:
        member = wish.on(side)
        if member in programme.members:
            rows = [programme.rows[place] for place in programme.members[member]]
            value = moved.get(member, sum(row.limit for row in rows) / len(rows))
            out[side] = figure(rows[0], value)
    return out


def written(told: Mapping[Side, str]) -> str:
    """Sides as the file wants them."""
    if Side.EXACTLY in told:
        return told[Side.EXACTLY]
    return f"{{{', '.join(f'{side}: {told[side]}' for side in Side if side in told)}}}"


def counts(programme: Programme, moved: Mapping[WishId, float]) -> str:
    """Everything under `fats:`, as moved."""
    told = []
    for member in programme.members:
        if member.section == Section.FATS:
            row = programme.row_of(member)
            told.append(f"{member.count_key}: {figure(row, moved.get(member, row.limit))}")
    return ", ".join(told)


def figure(row: Row, value: float) -> str:
    """A figure with the unit that the file wants."""
    text = write_number(round(value, DIGITS))
    if row.unit in ("%", "kg", GRAMS, PER_KILO):
        return f"{text} {row.unit}"
    if row.figure == "cost":
        whole = f"{value:.2f}"
        return f"{whole if abs(float(whole) - value) < 10.0**-DIGITS else text} / {row.per or 'kg'}"
    return text
