"""A trial as the file that records it; the recipe goes along, so that later changes to its file leave the record alone."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path
from typing import NamedTuple

from optimiser.files.trial_file import trial_of
from optimiser.files.writing import create, in_folder, same_file, seen_from
from optimiser.measures.cure import USUAL_CURE, cure_words
from optimiser.problem.recipe import Poured, RecipeSheet, Weighed
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import kind_of_file, typed
from optimiser.text.quantities import write_number
from optimiser.text.signs import filled
from optimiser.text.source import one_line, parse_yaml
from optimiser.text.writing import nameable, scalar

LONGEST_NAME = 40
MOST_TRIES = 1000  # names taken by somebody else in the very moment of writing
LINKED = "# A trial recorded by barwright. The recipe stands in the file that is named here.\n"
COPIED = """\
# A trial recorded by barwright. The recipe is the one that was made, copied from {recipe}.
"""
LYE = """\
# Sodium and potassium hydroxide burn skin and blind. Check the figures, wear goggles and gloves, and follow the supplier's
# safety data sheet, the rules where you live and licensed practice.
"""


class Entry(NamedTuple):
    """What happened, in the maker's words; empty or None for what they did not note."""

    date: str = ""
    trace: str = ""
    unmould: str = ""
    hardness: str = ""
    ash: bool | None = None
    notes: tuple[str, ...] = ()


def trial_yaml(sheet: RecipeSheet, entry: Entry, target: Path, *, linked: bool = False) -> str:
    """The text of a trial file.

    Args:
        sheet: the recipe that was made.
        entry: what happened.
        target: the file that it is for; paths are written as seen from its folder.
        linked: name the recipe's file in place of copying the recipe.
    """
    named = typed(seen_from(target, Path(sheet.path)))
    if linked:
        head, recipe = LINKED, [f"recipe: {scalar(nameable(named))}"]
    else:
        head, recipe = filled(COPIED, recipe=named) + LYE, ["recipe:", *recipe_lines(sheet, target)]
    lines = [f"date: {entry.date}"] if entry.date else []
    told = (("trace", entry.trace), ("unmould", entry.unmould), ("hardness", entry.hardness))
    lines += [f"{key}: {_flat(said)}" for key, said in told if said]
    lines += [] if entry.ash is None else [f"ash: {'yes' if entry.ash else 'no'}"]
    lines += ["notes:", *(f"  - {_flat(note)}" for note in entry.notes)] if entry.notes else []
    return head + "\n".join([*lines, *recipe]) + "\n"


def recipe_lines(sheet: RecipeSheet, target: Path) -> list[str]:
    """A recipe as lines under the key `recipe`."""
    lines = [f"  title: {_flat(one_line(typed(sheet.title)))}"]
    if sheet.shelf is not None:
        lines.append(f"  shelf: {scalar(nameable(typed(seen_from(target, sheet.shelf))))}")
    lines += _weighed("fats", sheet.fats) + _weighed("alkali", sheet.alkali)
    if sheet.superfat is not None:
        lines.append(f"  superfat: {write_number(sheet.superfat)} %")
    if sheet.potassium_share and not sheet.alkali:
        lines.append(f"  potassium_share: {write_number(sheet.potassium_share)} %")
    if sheet.water_g is not None:
        lines.append(f"  water: {_grams(sheet.water_g)}")
    if sheet.lye_concentration is not None:
        lines.append(f"  lye_concentration: {write_number(sheet.lye_concentration)} %")
    lines += _weighed("additives", sheet.additives)
    lines += ["  liquids:", *map(_poured, sheet.liquids)] if sheet.liquids else []
    lines.append(f"  batter_temperature: {write_number(round(sheet.batter_temperature, 6))} degC")
    lines.append(f"  gel: {'yes' if sheet.gel else 'no'}")
    if sheet.cure_weeks != USUAL_CURE:
        lines.append(f"  cure: {cure_words(sheet.cure_weeks)}")
    lines.append(f"  cured_water: {write_number(round(100.0 * sheet.cured_water, 6))} %")
    return lines


def _weighed(key: str, items: tuple[Weighed, ...]) -> list[str]:
    return [f"  {key}:", *(f"    {scalar(item.name)}: {_grams(item.grams)}" for item in items)] if items else []


def _poured(item: Poured) -> str:
    share = f"{write_number(round(item.share or 0.0, 6))} %"
    return f"    {scalar(item.name)}: {share if item.grams is None else _grams(item.grams)}"


def _grams(grams: float) -> str:
    return f"{write_number(round(grams, 6))} g"


def _flat(text: str) -> str:
    return scalar(" ".join(text.split()))


def record(folder: Path, sheet: RecipeSheet, entry: Entry, *, linked: bool = False) -> Path:
    """Write a trial under the next free number of the folder; no file is ever written over.

    Returns:
        The file that was written.

    Raises:
        BadInput: the folder or the file cannot be written, or what would be in it could not be read again.
    """
    with in_folder(folder):
        return recorded(folder, sheet, entry, linked=linked)


def recorded(folder: Path, sheet: RecipeSheet, entry: Entry, *, linked: bool) -> Path:
    """The same in a folder that is there.

    Raises:
        BadInput: what would be in the file could not be read again, or no number is free.
        OSError: the file cannot be written.
    """
    first = next_number(folder)
    for number in range(first, first + MOST_TRIES):
        path = folder / f"{number:03d}-{slug(sheet.title)}.yaml"
        text = trial_yaml(sheet, entry, path, linked=linked)
        refuse_unreadable(text, sheet, path)
        try:
            create(path, text)
        except FileExistsError:
            continue
        return path
    raise BadInput([Diagnostic(Code.CANNOT_WRITE, f"no free number for a trial was found in {folder}")])


def refuse_unreadable(text: str, sheet: RecipeSheet, path: Path) -> None:
    """See that a trial reads back as it is written before it is kept.

    Raises:
        BadInput: it does not, for a name of a file that no text can hold.
    """
    try:
        found = trial_of(parse_yaml(text, str(path)), path).recipe
    except BadInput as bad:
        why = bad.diagnostics[0].message
    else:
        if found.shelf is None or sheet.shelf is None or found.shelf == sheet.shelf:
            return
        if same_file(found.shelf, sheet.shelf) or kind_of_file(sheet.shelf) == "missing":
            return
        why = f"{sheet.shelf} cannot be named in a file"
    message = f"cannot write {path}: it could not be read again ({why})"
    raise BadInput(
        [Diagnostic(Code.CANNOT_WRITE, message, "name the recipe, the shelf and their folders with plain letters")]
    )


def next_number(folder: Path) -> int:
    """One more than the highest number that a file of the folder begins with."""
    numbers = [int(found.group()) for path in folder.iterdir() if (found := re.match(r"\d{1,9}", path.name))]
    return max(numbers, default=0) + 1


def slug(title: str) -> str:
    """A title as a part of a file's name."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode("ascii").casefold()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST_NAME].strip("-") or "trial"
