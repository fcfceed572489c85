"""Which lot each thing in a recipe came from, as the maker tells it: "coconut oil=CO-2291", or with "=300 g" where lots share."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from optimiser.files.keys import find_alkali
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat import lot_name
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import find_liquid
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.store.told import number_told
from optimiser.store.values import Lot, Use
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic, Together
from optimiser.text.names import fold, offer, shown
from optimiser.text.opening import typed
from optimiser.text.quantities import Misread, read_mass
from optimiser.text.signs import holdable

HAIR = 1e-6  # g
WRITE = 'write --lot "coconut oil=CO-2291", and "coconut oil=CO-2291=300 g" where several lots share'


class ToldLot(NamedTuple):
    """A lot of a material, and grams of it; None where it is all, or all that the other lots leave."""

    material: str
    number: str
    grams: float | None


def read_told(text: str) -> ToldLot:
    """One lot as it is typed.

    Raises:
        BadInput: it is not.
    """
    name, equals, rest = holdable(typed(text)).partition("=")
    number, last, mass = rest.rpartition("=")
    grams: float | None = None
    if last:
        try:
            grams = read_mass(mass.strip(), "--lot") * 1000.0
        except Misread as error:
            raise BadInput([Diagnostic(error.code, f"--lot {shown(text)}: {error.message}", error.help)]) from None
        if not 0.0 < grams < math.inf:
            message = f"--lot {shown(text)}: a mass is above 0"
            raise BadInput([Diagnostic(Code.OUT_OF_RANGE, message, "leave the lot out where none of it went in")])
    number = number if last else rest
    name, number = " ".join(name.split()), number_told(number)
    if not equals or not name or not number:
        raise BadInput([Diagnostic(Code.USAGE, f"--lot {shown(text)} names no lot of a material", WRITE)])
    return ToldLot(name, number, grams)


def with_lots(uses: Sequence[Use], told: Iterable[ToldLot], shelf: Shelf | None) -> tuple[Use, ...]:
    """What goes into the pot, parted by lots; what no lot is told of keeps none.

    Raises:
        BadInput: with every lot that does not fit the recipe.
    """
    faults = Together()
    by_material: dict[str, list[ToldLot]] = {}
    materials = [use.material for use in uses if use.kind != "water"]
    by_lot = {fold(lot_name(use.material, use.lot.number)): use.material for use in uses if use.lot is not None}
    for item in told:
        with faults:
            meant = by_lot.get(fold(item.material)) or material_meant(item.material, materials)
            by_material.setdefault(meant, []).append(item)
    out: list[Use] = []
    for use in uses:
        with faults:
            if use.lot is not None and use.material in by_material:
                message = f"the recipe itself names the lots of {use.material}, and --lot tells others"
                raise BadInput([Diagnostic(Code.CONTRADICTION, message, "change the recipe, or leave --lot out")])
            out += parted(use, by_material.get(use.material, []), shelf) if use.lot is None else [use]
    faults.settle()
    return tuple(out)


def material_meant(name: str, materials: Sequence[str]) -> str:
    """The name under which the recipe holds it.

    Raises:
        BadInput: it does not.
    """
    by_name = {fold(item): item for item in materials}
    fat = reference().find(name)
    additive = find_additive(name) or find_liquid(name)
    called = (name, fat.name if fat else "", find_alkali(name) or "", additive.name if additive else "")
    found = next((by_name[fold(item)] for item in called if fold(item) in by_name), None)
    if found is None:
        help_ = offer(name, dict.fromkeys(materials), "name it as the recipe does")
        raise BadInput([Diagnostic(Code.NOT_IN_RECIPE, f"--lot: {shown(name)} is not in the recipe", help_)])
    return found


def parted(use: Use, told: Sequence[ToldLot], shelf: Shelf | None) -> list[Use]:
    """One line of the recipe, parted by the lots that are told of it.

    Raises:
        BadInput: a lot is told twice, or the masses do not go together.
    """
    seen = {fold(item.number) for item in told}
    if len(seen) < len(told):
        message = f"a lot of {use.material} is told twice"
        raise BadInput([Diagnostic(Code.REPEATED_NAME, message, "add its masses up, and tell it once")])
    open_ = [item for item in told if item.grams is None]
    given = math.fsum(item.grams for item in told if item.grams is not None)
    if len(open_) > 1:
        message = f"{len(told)} lots of {use.material} share, and it is not told how"
        raise BadInput([Diagnostic(Code.USAGE, message, WRITE)])
    rest = use.grams - given
    if rest < -HAIR or (open_ and rest < HAIR):
        message = f"the lots of {use.material} are {given:g} g together, and the recipe weighs {use.grams:g} g"
        raise BadInput([Diagnostic(Code.CONTRADICTION, message, "look at the masses again")])
    best = {fold(item.number): item.best_before or None for item in certified(use.material, shelf)}
    out = [
        use._replace(
            grams=rest if item.grams is None else item.grams,
            lot=Lot(item.number, use.material, best.get(fold(item.number))),
        )
        for item in told
    ]
    return out if open_ or (told and rest < HAIR) else [*out, use._replace(grams=rest)]


def certified(material: str, shelf: Shelf | None) -> list[Stocked]:
    """Fats of this name on the shelf that have a lot with a number: one, or each of several lots."""
    fats = () if shelf is None else shelf.fats
    return [item for item in fats if item.fat.known_as == material and item.number]


def of_shelf(uses: Sequence[Use], told: Iterable[ToldLot], shelf: Shelf | None) -> tuple[ToldLot, ...]:
    """The lots that the shelf has of what nothing was told of.

    Raises:
        BadInput: something was told of what is not in the recipe.
    """
    return tuple(
        ToldLot(material, lots[0].number, None)
        for material, lots in untold_lots(uses, told, shelf).items()
        if len(lots) == 1
    )


def untold_lots(uses: Sequence[Use], told: Iterable[ToldLot], shelf: Shelf | None) -> dict[str, list[Stocked]]:
    """What the shelf has of each material that no lot is told of, by the recipe or beside it."""
    materials = [use.material for use in uses]
    by_lot = {fold(lot_name(use.material, use.lot.number)): use.material for use in uses if use.lot is not None}
    named = {by_lot.get(fold(item.material)) or material_meant(item.material, materials) for item in told}
    return {
        use.material: certified(use.material, shelf) for use in uses if use.lot is None and use.material not in named
    }


def without_a_lot(uses: Sequence[Use], told: Iterable[ToldLot], shelf: Shelf | None) -> tuple[Diagnostic, ...]:
    """A warning for each fat that the shelf's lots were asked of and that gets none: it has several there, or none with a number."""
    fats = {use.material for use in uses if use.kind == "fat"}
    out = []
    for material, lots in untold_lots(uses, told, shelf).items():
        if material not in fats or len(lots) == 1:
            continue
        numbers = ", ".join(shown(item.number) for item in lots)
        why = f"the shelf has several ({numbers}), and the recipe names none" if lots else "the shelf tells none of it"
        message = f"no lot of {material} is recorded: {why}"
        help_ = f"tell it with --lot \"{material}=LOT\", or of this batch later with 'barwright batch tell'"
        out.append(Diagnostic(Code.LOT_NOT_ON_SHELF, message, help_))
    return tuple(out)


def namesakes(lot: Lot, kept: Iterable[Lot]) -> tuple[Diagnostic, ...]:
    """A warning where the record has the number of a lot under another material."""
    others = sorted(
        {
            item.material
            for item in kept
            if fold(item.number) == fold(lot.number) and fold(item.material) != fold(lot.material)
        }
    )
    if not others:
        return ()
    message = f"lot {shown(lot.number)} is told of {lot.material}, and the record has one of {' and '.join(others)}"
    help_ = "if both are one thing, name it alike: a recall goes by number and material from lot to lot"
    return (Diagnostic(Code.OTHER_MATERIAL, message, help_),)


def doubts(uses: Sequence[Use], shelf: Shelf | None, made: str | None, kept: Iterable[Lot]) -> tuple[Diagnostic, ...]:
    """Warnings: a number that the shelf has not, a lot past its best-before day when the batch was made.

    Args:
        uses: what went in.
        shelf: None where there is none, and then no number is looked up.
        made: the day.
        kept: lots of the record, which may know a day that the shelf does not tell.
    """
    kept = tuple(kept)
    days = {(fold(lot.number), fold(lot.material)): lot.best_before for lot in kept}
    out = [doubt for use in uses if use.lot is not None for doubt in namesakes(use.lot, kept)]
    for use in uses:
        if use.lot is None:
            continue
        numbers = [item.number for item in certified(use.material, shelf)]
        key = (fold(use.lot.number), fold(use.material))
        if shelf is not None and use.kind == "fat" and key[0] not in map(fold, numbers) and key not in days:
            has = f"it has {', '.join(numbers)}" if numbers else "it tells no lot of it"
            message = f"lot {shown(use.lot.number)} of {use.material} is not on the shelf: {has}"
            help_ = "look at the tin; if the number is right, the alkali was reckoned with other figures than its own"
            out.append(Diagnostic(Code.LOT_NOT_ON_SHELF, message, help_))
        best = use.lot.best_before or days.get(key)
        if best is not None and made is not None and made > best:
            message = f"lot {shown(use.lot.number)} of {use.material} was best before {best}, and went in on {made}"
            out.append(Diagnostic(Code.PAST_BEST_BEFORE, message, "smell it, and expect the bars to go rancid sooner"))
    return tuple(out)
