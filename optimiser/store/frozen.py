"""A recipe as it was weighed out, as the text that a batch is recorded with: grams of everything, nothing left to be worked out."""

from __future__ import annotations

import os.path
from pathlib import Path
from textwrap import dedent, wrap

from optimiser.files.moulds import mould_told
from optimiser.files.recipe_file import RecipeForm, as_sheet, known_at
from optimiser.files.trial_writing import LYE, recipe_lines
from optimiser.files.writing import same_file
from optimiser.problem.recipe import Poured, RecipeSheet, Weighed
from optimiser.recipe.cautions import acids_counted_on, urgent
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import read_form
from optimiser.text.names import fold
from optimiser.text.quantities import write_number
from optimiser.text.signs import filled
from optimiser.text.source import parse_yaml
from optimiser.text.spans import Span
from optimiser.text.writing import lines

HEAD = "# Frozen by barwright as it was weighed out{day}; {purities}.\n"
WIDTH = 119
NOWHERE = Span("", 0, 0, 0, "")


def frozen_text(sheet: RecipeSheet, recipe: Recipe, judged: Judgement, target: Path, made: str | None) -> str:
    """The text of a recipe file that holds what was weighed.

    Args:
        sheet: the recipe as its file has it.
        recipe: the same, completed.
        judged: the same, judged.
        target: the record; paths in the text are seen from its folder.
        made: the day.

    Raises:
        BadInput: a name in it cannot stand in a file and be read back.
    """
    weighed = as_weighed(sheet, recipe)
    size = f"{write_number(round(1000.0 * sheet.cured_weight_kg, 6))} g"
    told = (*lines(named_from(sheet, target)), *lines({"cured_weight": size}))
    body = dedent("".join(f"{line}\n" for line in recipe_lines(weighed, target)))
    body += "".join(f"{line}\n" for line in told)
    body += f"bars: {sheet.bars}\n" if sheet.bars is not None else ""
    body += f"batch: {{mould: {mould_told(sheet.poured_into)}}}\n" if sheet.poured_into is not None else ""
    text = head(recipe, judged, made) + body
    read_back(text, weighed, target)
    return text


def as_weighed(sheet: RecipeSheet, recipe: Recipe) -> RecipeSheet:
    """The sheet with every mass as it went on the balance."""
    alkali = {"sodium hydroxide": recipe.sodium_hydroxide, "potassium hydroxide": recipe.potassium_hydroxide}
    return sheet._replace(
        fats=tuple(Weighed(fat.name, grams, NOWHERE) for fat, grams in recipe.fats),
        alkali=tuple(Weighed(name, grams, NOWHERE) for name, grams in alkali.items() if grams > 0),
        superfat=None,
        water_g=recipe.water,
        lye_concentration=None,
        additives=tuple(Weighed(item.name, grams, NOWHERE) for item, grams in recipe.solids),
        liquids=tuple(Poured(item.name, grams, None, NOWHERE) for item, grams in recipe.liquids),
    )


def head(recipe: Recipe, judged: Judgement, made: str | None) -> str:
    """What stands above it: the day, how pure the alkali was taken to be, and what must not be lost of its cautions."""
    held = (
        ("sodium hydroxide", recipe.sodium_hydroxide, recipe.sodium_purity),
        ("potassium hydroxide", recipe.potassium_hydroxide, recipe.potassium_purity),
    )
    pure = " and ".join(f"{name} of {100.0 * purity:g} %" for name, grams, purity in held if grams > 0)
    warned = "".join(
        filled("# {line}\n", line=line)
        for caution in (*urgent(judged), *acids_counted_on(recipe))
        for line in wrap(caution, WIDTH - 2, break_on_hyphens=False)
    )
    return HEAD.format(day=f" on {made}" if made else "", purities=pure) + LYE + warned


def named_from(sheet: RecipeSheet, target: Path) -> dict[str, str | list[str]]:
    """The designs, and whom the bar is for, that a text beside `target` can name."""
    if not sheet.techniques:
        return {}
    from optimiser.files.designs import by_name, own_designs

    own = own_designs(target.parent)
    found: dict[str, str | list[str]] = {}
    for family in dict.fromkeys(design.family for design in sheet.techniques):
        known = by_name(family, own)
        named = [one.name for one in sheet.techniques if one.family == family and fold(one.name) in known]
        if named:
            found[family] = named
    return found


def thawed(text: str, record: Path, shelf: Path | None = None) -> RecipeSheet:
    """A frozen text as a recipe; its paths are seen from the folder of the record.

    Args:
        text: what was frozen.
        record: the file of the record.
        shelf: used in place of the one that the text names.

    Raises:
        BadInput: it cannot be read, as where the shelf with a fat of the maker's own is gone.
    """
    source = parse_yaml(text, str(record))
    known = known_at(source.root, record, shelf)
    return as_sheet(read_form(RecipeForm, source, known), record, known)


def read_back(text: str, weighed: RecipeSheet, target: Path) -> None:
    """See that the text says what was weighed.

    Raises:
        BadInput: it does not, for a name that no text can hold.
    """
    try:
        found = thawed(text, target, weighed.shelf)  # the folder that its path is seen from may not be there yet
    except BadInput as bad:
        why = bad.diagnostics[0].message
    else:
        if masses(found) == masses(weighed) and leads_to(found.shelf, weighed.shelf):
            return
        why = "a name has letters that a recipe cannot hold"
    message = f"the recipe cannot be kept in the record: it could not be read again ({why})"
    raise BadInput(
        [Diagnostic(Code.CANNOT_WRITE, message, "name the fats, the shelf and their folders with plain letters")]
    )


def leads_to(named: Path | None, shelf: Path | None) -> bool:
    """Whether the path that the text names is that of the shelf."""
    if named is None or shelf is None:
        return named == shelf
    return same_file(Path(os.path.normpath(named)), shelf)


def masses(sheet: RecipeSheet) -> tuple[tuple[str, float | None], ...]:
    """Every mass of a recipe by its name."""
    weighed: tuple[Weighed | Poured, ...] = (*sheet.fats, *sheet.alkali, *sheet.additives, *sheet.liquids)
    return (
        ("water", sheet.water_g),
        *((item.name, None if item.grams is None else round(item.grams, 6)) for item in weighed),
    )
