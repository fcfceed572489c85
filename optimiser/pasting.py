"""The line of YAML that makes a change, ready to paste, and the section of the file that it belongs to."""

from __future__ import annotations

from optimiser.programme import Programme
from optimiser.rows import Row

SECTIONS = {"goal": "goals", "share": "shares", "additive": "additives", "count": "fats", "practice": "practice"}


def paste(programme: Programme, row: Row, value: float) -> tuple[str, str]:
    """Where a change goes and what to write there, the wish's other side kept.

    Args:
        programme: all rows, for the other side of a wish.
        row: speaks for the wish that moves.
        value: its new figure.
    """
    if row.origin == "exclusion":
        return f"shares, with {row.figure} taken out of free_from", f"{row.figure}: {{at_most: {figure(row, value)}}}"
    if row.origin == "stock":
        return "the shelf", f"stock: {value:g} kg"
    section, name, side = row.member.split(".", 1)[0], *row.member.split(".", 1)[1].rpartition(".")[::2]
    if row.origin == "count":
        return "fats", f"fats: {{{counts(programme, row, value)}}}"
    return SECTIONS.get(row.origin, section), f"{name}: {limits(programme, row, value, side)}"


def limits(programme: Programme, row: Row, value: float, side: str) -> str:
    """The right-hand side: a bare figure, or the sides that are set."""
    if side == "exactly":
        return figure(row, value)
    stem = row.member.rpartition(".")[0]
    sides = {side: figure(row, value)}
    other = {"at_least": "at_most", "at_most": "at_least"}[side]
    places = programme.members.get(f"{stem}.{other}")
    if places is not None:
        kept = programme.rows[places[0]]
        sides[other] = figure(kept, kept.limit)
    ordered = [f"{name}: {sides[name]}" for name in ("at_least", "at_most") if name in sides]
    return f"{{{', '.join(ordered)}}}"


def counts(programme: Programme, row: Row, value: float) -> str:
    """Everything under `fats:`, with the one figure moved."""
    told = []
    for member, places in programme.members.items():
        if member.startswith("fats."):
            kept = programme.rows[places[0]]
            told.append(
                f"{member.removeprefix('fats.')}: {figure(kept, value if member == row.member else kept.limit)}"
            )
    return ", ".join(told)


def figure(row: Row, value: float) -> str:
    """A figure with the unit that the file wants."""
    if row.unit == "%":
        return f"{value:g} %"
    if row.figure == "cost":
        return f"{value:.2f} / {row.per or 'kg'}"
    return f"{value:g}"
