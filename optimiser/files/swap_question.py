"""Which fats are out of a recipe and which stay, as typed: names told apart, and every fault of them at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from optimiser.files.question import Begin, read_in_hand
from optimiser.files.workspace import nearest_shelf
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.materials.loose_names import find_loose
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
    gone, kept = dict.fromkeys(faults_of(asked, out, "out")), dict.fromkeys(faults_of(asked, keep, "keep"))
    faults = [item for item in (*gone, *kept) if isinstance(item, Diagnostic)]
    if not out:
        faults.append(Diagnostic(Code.USAGE, "no fat is said to be out", 'name it: --out "palm oil"'))
    outs = tuple(item for item in gone if isinstance(item, str))
    keeps = tuple(item for item in kept if isinstance(item, str))
    faults += [
        Diagnostic(Code.CONTRADICTION, f"{name} is out and kept at once", "take it out of --out or of --keep")
        for name in keeps
        if name in outs
    ]
    if faults:
        raise BadInput(dict.fromkeys(faults))
    made = made_of(asked, outs, keeps)
    in_pot = {item.name for item in asked.recipe.fats}
    outs = (*outs, *(name for name in made if name in in_pot))
    said = [f"{name} is made of {made[name]}: it counts as the same, and stays out." for name in made]
    if in_pot <= set(outs) and len(outs) > 1:
        message = f"every fat of the recipe is out: {listed(sorted(in_pot), 'and')}"
        help_ = "keep at least one; for a bar from nothing there is 'barwright blend', and 'barwright fats NAME' lists stand-ins"
        raise BadInput([Diagnostic(Code.CONTRADICTION, message, help_, asked.recipe.fats[0].span)])
    of_kept = made_of(asked, keeps, outs)
    said += [
        f"{name} is made of {of_kept[name]}, which is kept: it does not come in."
        for name in of_kept
        if name not in in_pot
    ]
    barred = tuple(name for name in (*made, *of_kept) if name not in in_pot)
    return SwapQuestion(asked, outs, keeps, barred, (*notes, *said))


def faults_of(asked: InHand, names: Sequence[str], option: str) -> Iterator[str | Diagnostic]:
    """The canonical name of each fat, or what is wrong with it."""
    in_pot = {item.name for item in asked.recipe.fats}
    own = {} if asked.shelf is None else {fold_fat(item.fat.name): item.fat.name for item in asked.shelf.fats}
    for name in names:
        found = own.get(fold_fat(name))
        known = None if found else reference().find(name)
        found = found or (known.name if known is not None else None)
        if found in in_pot:
            yield str(found)
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
    return {fat.name: fat.group for fat in fats if fat.group in these and fat.name not in named}


def shelf_or_common(shelf: Shelf | None, recipe: RecipeSheet) -> Shelf:
    """The shelf; without one the fats that any supplier has, and those of the recipe, without prices."""
    from optimiser.materials.standing_in import common_fats
    from optimiser.problem.asking import shelf_of

    if shelf is not None:
        return shelf
    names = dict.fromkeys((*common_fats(), *(item.name for item in recipe.fats)), 0.0)
    made = shelf_of(names, sodium_hydroxide=0.0, potassium_hydroxide=0.0)
    return made._replace(title="fats that any supplier has")
