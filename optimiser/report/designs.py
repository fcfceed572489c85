"""Designs for people and for programs: the techniques and users of our own table and of the maker's folder."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from optimiser.report.data import FORMAT, to_json
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from optimiser.design_form import Design, DesignRow

Json = dict[str, Any]


def designs(
    name: str | None = None,
    *,
    start: Path,
    width: int = 80,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    as_json: bool = False,
) -> str:
    """Every design and every one a bar is for, or one of them with its reasons.

    Args:
        name: which one; None for all.
        start: the folder from which the maker's own designs are looked for.
        width: columns to write for.
        colour: whether to use it.
        ascii: whether to keep to plain letters.
        as_json: data in place of words.

    Raises:
        BadInput: nothing answers to this name, or a file of the maker's is faulty.
    """
    from optimiser.designs import by_name, own_designs
    from optimiser.report import text_designs
    from optimiser.report.paper import Paper, printed

    own = own_designs(start)
    every = tuple(dict.fromkeys((*by_name("design", own).values(), *by_name("for", own).values())))
    chosen = every if name is None else found(name, every)
    if as_json:
        return to_json({"format": FORMAT, "designs": [design_data(design) for design in chosen]})
    paper = Paper(width, colour, ascii)
    if name is None:
        return printed(paper, text_designs.listing(chosen))
    return "\n".join(printed(paper, text_designs.card(design)) for design in chosen)


def found(name: str, every: Sequence[Design]) -> tuple[Design, ...]:
    """What answers to a name: one, or a design and a user that share it.

    Raises:
        BadInput: nothing does; the nearest names are offered.
    """
    from optimiser.text.names import fold, offer, shown

    chosen = tuple(design for design in every if fold(name) in {fold(called) for called in design.names})
    if not chosen:
        help_ = offer(name, [called for design in every for called in design.names], "'barwright designs' lists them")
        raise BadInput([Diagnostic("unknown-design", f"{shown(name)} is no design that is known here", help_)])
    return chosen


def design_data(design: Design) -> Json:
    """A design with all that it asks."""
    return {
        "name": design.name,
        "key": design.family,
        "also": list(design.names[1:]),
        "about": design.about,
        "batter": design.batter or None,
        "pour_to": design.pour_to or None,
        "cover": design.cover or None,
        "cure": design.cure or None,
        "rows": [row_data(row) for row in design.rows],
        "batch": [
            {"choice": item.key, "value": item.value, "why": item.why, "status": item.status} for item in design.choices
        ],
    }


def row_data(row: DesignRow) -> Json:
    """One limit of a design."""
    limit = row.limit
    return {
        "on": limit.key,
        "subject": limit.subject,
        "side": limit.side,
        "value": limit.value,
        "unit": limit.unit,
        "says": limit.said,
        "why": row.why,
        "status": row.status,
        "gives_way": row.gives_way,
    }
