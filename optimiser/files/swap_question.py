"""Which fats are out of a recipe and which stay, as typed: names told apart, and every fault of them at once."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from optimiser.files.question import Begin, read_in_hand
from optimiser.files.workspace import nearest_shelf
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.materials.loose_names import find_loose
from optimiser.problem.lots import with_named_lots
from optimiser.problem.question import InHand
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import listed, offer, shown


class SwapQuestion(NamedTuple):
    """What to use in place of `out`, with `keep` as it is? Names are canonical.

    `barred` are fats made of what is out, or of what is kept, that are not in the recipe; `notes` are what was taken for granted.
    """

    asked: InHand
    out: tuple[str, ...]
    keep: tuple[str, ...]
    barred: tuple[str, ...]
    notes: tuple[str, ...]


def read_swap(  # noqa: PLR0913  # one argument per part of the question
    recipe_file: Path,
    out: Sequence[str],
    keep: Sequence[str] = (),
    shelf_file: Path | None = None,
    goal_file: Path | None = None,
    begin: Begin | None = None,
    *,
    units: Units | None = None,
) -> SwapQuestion:
    """A recipe with what is out of it, over the shelf given, named, or nearest; without any there is none.

    Args:
        recipe_file: the recipe.
        out: fats that ran out, by any of their names.
        keep: fats that stay at the very share.
        shelf_file: used in place of what the files name.
        goal_file: what the cheapest answer is to meet in place of the old bar's own figures.
        begin: makes goals that begin from a recipe in hand of their own.
        units: what weights are told in, in place of what the shelf says.

    Raises:
        BadInput: with every fault of the files, or of the names.
    """

    def read(shelf: Path | None) -> InHand:
        return read_in_hand(recipe_file, shelf, goal_file, begin, units=units)

    asked, notes = over_nearest(read, Path(recipe_file), shelf_file)
    return told_apart(asked, out, keep, notes)


def over_nearest(
    read: Callable[[Path | None], InHand], recipe_file: Path, shelf_file: Path | None
) -> tuple[InHand, tuple[str, ...]]:
    """The recipe in hand, read over the nearest shelf where no other is named."""
    asked = read(shelf_file)
    if asked.shelf is not None:
        return asked, ()
    try:
        found = nearest_shelf(recipe_file)
    except BadInput as none:
        why = none.diagnostics[0].message
        return asked, (f"{why[0].upper()}{why[1:]}: worked out over fats that any supplier has, without prices.",)
    return read(found), ()


def told_apart(
    asked: InHand, out: Sequence[str], keep: Sequence[str] = (), notes: tuple[str, ...] = ()
) -> SwapQuestion:
    """The question with its names told apart.

    Raises:
        BadInput: a name is unknown or says too little, a fat is not in the recipe, is out and kept at once, or all are out.
    """
    asked, of_lots = with_lots_of_recipe(asked)
    notes = (*notes, *of_lots)
    gone, kept = dict.fromkeys(faults_of(asked, out, "out")), dict.fromkeys(faults_of(asked, keep, "keep"))
    faults = [item for item in (*gone, *kept) if isinstance(item, Diagnostic)]
    if not out:
        faults.append(Diagnostic(Code.USAGE, "no fat is said to be out", 'name it: --out "palm oil"'))
    said_out = tuple(item for item in gone if isinstance(item, str))
    said_kept = tuple(item for item in kept if isinstance(item, str))
    outs, keeps = in_recipe(asked, said_out), in_recipe(asked, said_kept)
    faults += [
        Diagnostic(Code.CONTRADICTION, f"{name} is out and kept at once", "take it out of --out or of --keep")
        for name in keeps
        if name in outs
    ]
    if faults:
        raise BadInput(dict.fromkeys(faults))
    made = made_of(asked, said_out, said_kept)
    in_pot = {item.name for item in asked.recipe.fats}
    outs = (*outs, *(name for name in made if name in in_pot and name not in outs))
    said = [f"{name} is made of {made[name]}: it counts as the same, and stays out." for name in made]
    if in_pot <= set(outs) and len(outs) > 1:
        message = f"every fat of the recipe is out: {listed(sorted(in_pot), 'and')}"
        help_ = "keep at least one; for a bar from nothing there is 'barwright blend', and 'barwright fats NAME' lists stand-ins"
        raise BadInput([Diagnostic(Code.CONTRADICTION, message, help_, asked.recipe.fats[0].span)])
    of_kept = made_of(asked, said_kept, said_out)
    said += [
        f"{name} is made of {of_kept[name]}, which is kept: it does not come in."
        for name in of_kept
        if name not in in_pot
    ]
    said += [one_lot_is_out(lot, fat) for lot, fat in plain_names(asked).items() if lot in said_out]
    said += [all_lots_are_out(lot, fat) for lot, fat in plain_names(asked).items() if fat in said_out]
    barred = tuple(name for name in (*made, *of_kept) if name not in in_pot)
    asked = without_other_lots(asked, (*said_out, *said_kept, *barred))
    return SwapQuestion(asked, outs, keeps, barred, (*notes, *said))


def with_lots_of_recipe(asked: InHand) -> tuple[InHand, tuple[str, ...]]:
    """The question with each lot that the recipe names by itself, and all other lots of a fat as one; with a note where there are any."""
    shelf = asked.shelf
    if shelf is None or not any(item.fat.lot_of for item in shelf.fats):
        return asked, ()
    shelf = with_named_lots(shelf, [item.name for item in asked.recipe.fats])
    note = "Lots that the recipe does not name count as one, reckoned with the lowest saponification value of that fat."
    return asked._replace(shelf=shelf), (note,)


def plain_names(asked: InHand) -> Mapping[str, str]:
    """The fat that each lot of the recipe is one of, by the lot's name."""
    shelf = () if asked.shelf is None else asked.shelf.fats
    lots = {item.fat.name: item.fat.lot_of for item in shelf if item.fat.lot_of}
    return {item.name: lots[item.name] for item in asked.recipe.fats if item.name in lots}


def in_recipe(asked: InHand, names: Sequence[str]) -> tuple[str, ...]:
    """What the recipe has of these fats: of a fat every lot, of a lot that lot alone."""
    lots = plain_names(asked)
    pot = [item.name for item in asked.recipe.fats]
    return tuple(dict.fromkeys(own for name in names for own in pot if name in (own, lots.get(own))))


def one_lot_is_out(lot: str, fat: str) -> str:
    """What is said where a lot alone is out."""
    return f"Only {lot} is out: other lots of {fat} may take its place. To do without any, write --out {shown(fat)}."


def all_lots_are_out(lot: str, fat: str) -> str:
    """What is said where a fat is out of which the recipe names a lot."""
    return f"All of {fat} is out, whichever lot. To have another lot in place of the recipe's own, write --out {shown(lot)}."


def without_other_lots(asked: InHand, names: Collection[str]) -> InHand:
    """The question without the lots that the recipe does not name of fats that are out or kept altogether."""
    if asked.shelf is None:
        return asked
    of_lots = set(plain_names(asked).values()) & set(names)
    return asked._replace(
        shelf=asked.shelf._replace(fats=tuple(one for one in asked.shelf.fats if one.fat.name not in of_lots))
    )


def faults_of(asked: InHand, names: Sequence[str], option: str) -> Iterator[str | Diagnostic]:
    """The canonical name of each fat, or what is wrong with it."""
    in_pot = {item.name for item in asked.recipe.fats}
    shelf = () if asked.shelf is None else asked.shelf.fats
    own = {fold_fat(name): name for item in shelf for name in (item.fat.name, item.fat.known_as)}
    for name in names:
        found = own.get(fold_fat(name))
        known = None if found else reference().find(name)
        found = found or (known.name if known is not None else None)
        if found is not None and in_recipe(asked, [found]):
            yield found
            continue
        loose = find_loose(name)
        if found is None and loose is not None:
            message = f"{shown(name)} says too little without a certificate: {loose.why[0].lower()}{loose.why[1:].rstrip('.')}"
            yield Diagnostic(Code.NEEDS_CERTIFICATE, message, f"name a fat of the recipe: {listed(sorted(in_pot))}")
        elif found is None:
            quotes = " A name of several words stands in quotes." if len(names) > 1 else ""
            near = offer(
                name, [*reference().every_name(), *own.values()], f"the recipe has {listed(sorted(in_pot), 'and')}"
            )
            yield Diagnostic(
                Code.UNKNOWN_FAT, f"{shown(name)} is no fat that is known here (--{option})", f"{near}{quotes}"
            )
        else:
            message = f"{shown(found)} is not in the recipe (--{option})"
            span = asked.recipe.fats[0].span
            yield Diagnostic(Code.UNKNOWN_FAT, message, f"it has {listed(sorted(in_pot), 'and')}", span)


def made_of(asked: InHand, these: Sequence[str], but: Sequence[str]) -> dict[str, str]:
    """Fats of the shelf that are one of these with another name, each with that one; those named themselves are left aside."""
    fats = () if asked.shelf is None else tuple(item.fat for item in asked.shelf.fats)
    named = {*these, *but}
    return {fat.name: fat.group for fat in fats if fat.group in these and not named.intersection(fat.called)}


def shelf_or_common(shelf: Shelf | None, recipe: RecipeSheet) -> Shelf:
    """The shelf; without one the fats that any supplier has, and those of the recipe, without prices."""
    from optimiser.materials.standing_in import common_fats
    from optimiser.problem.asking import shelf_of

    if shelf is not None:
        return shelf
    names = dict.fromkeys((*common_fats(), *(item.name for item in recipe.fats)), 0.0)
    made = shelf_of(names, sodium_hydroxide=0.0, potassium_hydroxide=0.0)
    return made._replace(title="fats that any supplier has")
