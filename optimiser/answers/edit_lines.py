"""The line of YAML that makes a change, ready to paste, and the section of the file that it belongs to."""

from __future__ import annotations

from collections.abc import Mapping

from optimiser.measures.quantities import quantities
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.goals import GoalSheet
from optimiser.text.quantities import write_number
from optimiser.text.writing import scalar

SECTIONS = {"goal": "goals", "share": "shares", "additive": "additives", "practice": "practice"}
SIDES = ("at_least", "at_most", "exactly")
DIGITS = 6  # decimals kept of a figure, far below any that a person would write


def paste(sheet: GoalSheet, programme: Programme, row: Row, moved: Mapping[str, float]) -> tuple[str, str]:
    """Where a change goes and what to write there; the other sides of the wish are kept, or moved along.

    Args:
        sheet: the goals as written.
        programme: all rows, for the other sides of a wish.
        row: speaks for the wish that moves.
        moved: the new figure of every wish that moves, this one among them.
    """
    value = moved[row.member]
    if row.origin == "exclusion":
        line = f"{scalar(row.figure)}: {let_in(programme, row, moved)}"
        return f"shares, with {row.figure} taken out of free_from", line
    if row.origin == "stock":
        return "the shelf", f"stock: {figure(row, value)}"
    if row.origin == "count":
        return "fats", f"fats: {{{counts(programme, moved)}}}"
    stem = row.member.rpartition(".")[0]
    if row.origin == "practice" and sheet.practice_off:
        return (
            "goals" if row.figure in quantities() else "additives",
            f"{scalar(row.figure)}: {limits(programme, stem, moved)}",
        )
    if row.origin == "design":
        return (
            "goals" if row.figure in quantities() else "shares",
            f"{scalar(row.figure)}: {of_designs(programme, row, moved)}",
        )
    section = SECTIONS.get(row.origin, row.member.partition(".")[0])
    return section, f"{scalar(stem.partition('.')[2])}: {limits(programme, stem, moved)}"


def limits(programme: Programme, stem: str, moved: Mapping[str, float]) -> str:
    """The right-hand side of a wish: a bare figure, or the sides that are set."""
    told = sides(programme, stem, moved)
    tag = stem.removeprefix("shares.")
    opened = moved.get(f"free_from.{tag}") if stem.startswith("shares.") else None
    if opened is not None and "exactly" not in told:
        told["at_most"] = figure(programme.row_of(f"free_from.{tag}"), opened)
    return written(told)


def of_designs(programme: Programme, row: Row, moved: Mapping[str, float]) -> str:
    """The limits on a key for the maker to write: naming it puts those of every design aside, so the others are kept."""
    found: dict[str, dict[float, str]] = {}
    for member, places in programme.members.items():
        rows = [programme.rows[place] for place in places]
        if rows[0].origin == "design" and rows[0].figure == row.figure:
            limit = moved.get(member, sum(one.limit for one in rows) / len(rows))
            found.setdefault(member.rpartition(".")[2], {})[limit] = figure(rows[0], limit)
    strictest = {"at_least": max, "at_most": min, "exactly": max}
    return written({side: found[side][strictest[side](found[side])] for side in SIDES if side in found})


def let_in(programme: Programme, row: Row, moved: Mapping[str, float]) -> str:
    """What stands under shares once an exclusion is gone: its share, beside what was asked of the same tag already."""
    told = sides(programme, f"shares.{row.figure}", moved)
    if "exactly" not in told:
        told["at_most"] = figure(row, moved[row.member])
    return written(told)


def sides(programme: Programme, stem: str, moved: Mapping[str, float]) -> dict[str, str]:
    """The sides of a wish, each with its figure."""
    out = {}
    for side in SIDES:
        member = f"{stem}.{side}"
        if member in programme.members:
            rows = [programme.rows[place] for place in programme.members[member]]
            value = moved.get(member, sum(row.limit for row in rows) / len(rows))
            out[side] = figure(rows[0], value)
    return out


def written(told: Mapping[str, str]) -> str:
    """Sides as the file wants them."""
    if "exactly" in told:
        return told["exactly"]
    return f"{{{', '.join(f'{side}: {told[side]}' for side in SIDES if side in told)}}}"


def counts(programme: Programme, moved: Mapping[str, float]) -> str:
    """Everything under `fats:`, as moved."""
    told = []
    for member in programme.members:
        if member.startswith("fats."):
            row = programme.row_of(member)
            told.append(f"{member.removeprefix('fats.')}: {figure(row, moved.get(member, row.limit))}")
    return ", ".join(told)


def figure(row: Row, value: float) -> str:
    """A figure with the unit that the file wants."""
    text = write_number(round(value, DIGITS))
    if row.unit in ("%", "kg"):
        return f"{text} {row.unit}"
    if row.figure == "cost":
        whole = f"{value:.2f}"
        return f"{whole if abs(float(whole) - value) < 10.0**-DIGITS else text} / {row.per or 'kg'}"
    return text
