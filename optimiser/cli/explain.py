"""`barwright explain`: what a code means and what to do about it; and, for lye, how alkali is handled, with first aid."""

from __future__ import annotations

from optimiser.recipe.handling import in_full
from optimiser.report.json.codes import code_data
from optimiser.report.json.parts import FORMAT
from optimiser.report.json.writing import to_json
from optimiser.report.terminal import codes as text_codes
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal.page import Paper, printed
from optimiser.text.catalogue import Meaning, catalogue
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, offer, shown

LYE = {fold(word) for word in ("lye", "alkali", "first aid", "sodium hydroxide", "potassium hydroxide")}


def explain(
    name: str = "",
    *,
    width: int = 80,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    as_json: bool = False,
) -> str:
    """All codes, or one of them with what to do; for lye, its hazards, its handling and first aid.

    Args:
        name: which one, in any case, with blanks or hyphens, with the brackets it is told in or without; "" for all.
        width: columns to write for.
        colour: whether to use it.
        ascii: whether to keep to plain letters.
        as_json: data in place of words.

    Raises:
        BadInput: no code is called so; the nearest are offered.
    """
    paper = Paper(width, colour, ascii)
    if not name:
        known = tuple(catalogue().values())
        if as_json:
            return to_json({"format": FORMAT, "codes": [code_data(item) for item in known]})
        return printed(paper, text_codes.listing(known))
    if fold(name) in LYE:
        if as_json:
            return to_json({"format": FORMAT, "cautions": list(in_full())})
        return printed(paper, text_lye.in_full(in_full()))
    item = named(name)
    if as_json:
        return to_json({"format": FORMAT, "codes": [code_data(item)]})
    return printed(paper, text_codes.card(item))


def named(name: str) -> Meaning:
    """What a code means.

    Raises:
        BadInput: there is none of this name.
    """
    wanted = fold(name.strip("[](){}'\".,:; "))
    for code, item in catalogue().items():
        if fold(code) == wanted:
            return item
    help_ = offer(wanted, catalogue(), "'barwright explain' lists them all")
    raise BadInput([Diagnostic(Code.UNKNOWN_CODE, f"{shown(name)} is no code of a fault or a warning", help_)])
