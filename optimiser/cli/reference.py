"""The reference tables on the command line: found by name, told as text or data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import offer, shown

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from optimiser.analysis.usual_stand_ins import UsualStandIn
    from optimiser.materials.additives import Additive
    from optimiser.materials.fat import Fat
    from optimiser.measures.quantities import Quantity
    from optimiser.problem.designs import Design


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
    from optimiser.files.designs import by_name, own_designs
    from optimiser.report.terminal import designs as text_designs
    from optimiser.report.terminal.page import Paper, printed

    own = own_designs(start)
    every = tuple(dict.fromkeys((*by_name("design", own).values(), *by_name("for", own).values())))
    chosen = every if name is None else found(name, every)
    if as_json:
        from optimiser.report.json.designs import design_data
        from optimiser.report.json.parts import FORMAT
        from optimiser.report.json.writing import to_json

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
        raise BadInput([Diagnostic(Code.UNKNOWN_DESIGN, f"{shown(name)} is no design that is known here", help_)])
    return chosen


def fats(
    name: str | None = None,
    *,
    width: int = 80,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    as_json: bool = False,
) -> str:
    """All fats of the reference table, or one of them with everything that is known of it.

    Raises:
        BadInput: no fat answers to this name; the nearest names are offered.
    """
    from optimiser.materials.fat_table import reference

    table = reference()
    chosen = [table.get(each) for each in table.names()] if name is None else [found_fat(name)]
    if as_json:
        from optimiser.report.json.parts import FORMAT
        from optimiser.report.json.reference import fats_data, stand_ins_data
        from optimiser.report.json.writing import to_json

        told = fats_data(chosen)
        if name is not None:
            told = [one | {"stand_ins": stand_ins_data(in_place_of(chosen[0]))} for one in told]
        return to_json({"format": FORMAT, "fats": told})
    from optimiser.report.terminal import fats as text_fats
    from optimiser.report.terminal.page import Paper, printed

    paper = Paper(width, colour, ascii)
    return printed(
        paper, text_fats.listing(chosen) if name is None else text_fats.card(chosen[0], paper, in_place_of(chosen[0]))
    )


def in_place_of(fat: Fat) -> tuple[UsualStandIn, ...]:
    """What is used in place of a fat; the room that finds out is loaded only when one is asked for."""
    from optimiser.analysis.usual_stand_ins import usual_stand_ins

    return usual_stand_ins(fat)


def additives(
    name: str | None = None,
    *,
    width: int = 80,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    as_json: bool = False,
) -> str:
    """All additives and all that stands for water, or one of them with everything that is known of it.

    Raises:
        BadInput: nothing answers to this name; the nearest names are offered.
    """
    from optimiser.materials.additives import additives as table
    from optimiser.materials.liquids import liquids

    chosen = (*table().values(), *liquids().values()) if name is None else (found_additive(name),)
    if as_json:
        from optimiser.report.json.parts import FORMAT
        from optimiser.report.json.reference import additives_data
        from optimiser.report.json.writing import to_json

        solid, poured = ([item for item in chosen if item.is_liquid == kind] for kind in (False, True))
        return to_json({"format": FORMAT, "additives": additives_data(solid), "liquids": additives_data(poured)})
    from optimiser.report.terminal import additives as text_additives
    from optimiser.report.terminal.page import Paper, printed

    paper = Paper(width, colour, ascii)
    return printed(paper, text_additives.listing(chosen) if name is None else text_additives.card(chosen[0]))


def measures(
    name: str | None = None,
    *,
    width: int = 80,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    as_json: bool = False,
) -> str:
    """All measures, goals and rules of the house, or one measure or figure with what it rests on.

    Raises:
        BadInput: nothing answers to this name; the nearest names are offered.
    """
    known = None if name is None else found_quantity(name)
    if as_json:
        from optimiser.report.json.parts import FORMAT
        from optimiser.report.json.reference import measures_data, quantity_data
        from optimiser.report.json.writing import to_json

        return to_json(measures_data() if known is None else {"format": FORMAT, **quantity_data(known)})
    from optimiser.report.terminal import reference as text_reference
    from optimiser.report.terminal.page import Paper, printed

    paper = Paper(width, colour, ascii)
    return printed(paper, text_reference.listing() if known is None else text_reference.card(known, paper))


def found_fat(name: str) -> Fat:
    """The fat of this name.

    Raises:
        BadInput: there is none.
    """
    from optimiser.materials.fat_table import reference
    from optimiser.materials.loose_names import find_loose

    table = reference()
    fat = table.find(name)
    if fat is None and (loose := find_loose(name)) is not None:
        sold_as = f", or write {loose.like} if it is sold as all that" if loose.like else ""
        message = (
            f"{shown(name)} says too little without a certificate: {loose.why[0].lower()}{loose.why[1:].rstrip('.')}"
        )
        help_ = f"on the shelf it stands with its lot: {{saponification_value: ..., tolerance: ...}}{sold_as}"
        raise BadInput([Diagnostic(Code.NEEDS_CERTIFICATE, message, help_)])
    if fat is None:
        help_ = offer(name, table.every_name(), "'barwright fats' lists them all")
        raise BadInput([Diagnostic(Code.UNKNOWN_FAT, f"{shown(name)} is no fat of the reference table", help_)])
    return fat


def found_additive(name: str) -> Additive:
    """The additive or liquid of this name.

    Raises:
        BadInput: there is none.
    """
    from optimiser.materials.additives import additives as table
    from optimiser.materials.additives import find
    from optimiser.materials.liquids import find_liquid, liquids

    item = find(name) or find_liquid(name)
    if item is None:
        names = [called for each in (*table().values(), *liquids().values()) for called in (each.name, *each.synonyms)]
        help_ = offer(name, names, "'barwright additives' lists them all")
        message = f"{shown(name)} is no additive and no liquid that is known here"
        raise BadInput([Diagnostic(Code.UNKNOWN_ADDITIVE, message, help_)])
    return item


def found_quantity(name: str) -> Quantity:
    """The measure or figure of this name.

    Raises:
        BadInput: there is none.
    """
    from optimiser.measures.quantities import find_quantity, quantities

    known = find_quantity(name)
    if known is None:
        names = [each for quantity in quantities().values() for each in (quantity.id, quantity.words)]
        help_ = offer(name, dict.fromkeys(names), "'barwright measures' lists them all")
        raise BadInput([Diagnostic(Code.UNKNOWN_MEASURE, f"{shown(name)} is no measure and no figure", help_)])
    return known
