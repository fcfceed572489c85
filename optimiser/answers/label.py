"""`label`: lists of ingredients by INCI as charged and as saponified, allergens of scents, net weight, and what to look up.

It is reckoned from the recipe in grams, as weighed. A draft: every answer defers to local rules and a safety assessor, and none
claims that a soap does more than clean.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from optimiser.answers.asked import is_recipe, read_in_hand, read_question
from optimiser.answers.results import Blend, NoBlend
from optimiser.answers.weigh import weighed
from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.materials.label_names import allergen_names, names_of_extra
from optimiser.problem.units import Units
from optimiser.recipe.cautions import is_unfit
from optimiser.recipe.counted_as_nuts import doubtful_nuts
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.finished import Finished, finished
from optimiser.recipe.ingredients import SCENT, UNVERIFIED, WANTING, Ingredient, as_charged, as_saponified, is_stated
from optimiser.recipe.kinds import is_paste
from optimiser.recipe.naming import listed
from optimiser.recipe.scents import Allergen, allergens, unstated
from optimiser.reference import rows
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import nearest

NUTS = ("nut", "tree nut")
FOODS = (*NUTS, "gluten", "milk", "soya")
"""Tags of additives and liquids that somebody may have to avoid."""
NOTHING = ("none", "origin")  # so begins what the table says of a fat that nobody asks after
BULK = 50.0  # per cent of what is not volatile: less is hardly "the bulk" of 21 CFR 701.20(a)(1); our reading
SHELF = "on the shelf"


class NetWeight(NamedTuple):
    """Grams as cured: of a bar, None of a paste, and of the whole batch."""

    bar_grams: float | None
    batch_grams: float


class LabelNote(NamedTuple):
    """Something to know, with where it is from and whether that was read or recalled."""

    said: str
    source: str
    how: str


class Label(NamedTuple):
    """What could stand on a label. Both lists are heaviest first; `allergens` are all that were stated, named or not.

    `to_check` is what a maker must look up or write on the shelf, `avoided` what some people avoid. `soap_share` is per cent of what is
    not volatile.
    """

    title: str
    file: str
    recipe: Recipe
    judgement: Judgement
    as_charged: tuple[Ingredient, ...]
    as_saponified: tuple[Ingredient, ...]
    allergens: tuple[Allergen, ...]
    net_weight: NetWeight
    notes: tuple[LabelNote, ...]
    to_check: tuple[str, ...]
    avoided: tuple[str, ...]
    soap_share: float
    cautions: tuple[str, ...]
    is_unfit: bool
    warnings: tuple[Diagnostic, ...] = ()


SAME_BAR = 0.005
"""Part of a bar's weight by which as many bars as told may differ from the weight told: no more than a balance rounds by."""


def label(file: Path, *, shelf_file: Path | None = None, units: Units | None = None, on: str = "") -> Label | NoBlend:
    """The label of a recipe, or of the cheapest blend of a goal file as it would be weighed.

    Args:
        file: a recipe or a goal file; its keys tell which.
        shelf_file: used in place of what the file names.
        units: what weights are told in, in place of what the shelf says.
        on: the day by which lots are in date (ISO 8601), in place of the one that a goal file tells; today where neither does.

    Raises:
        BadInput: with every fault of the files, or it is neither.
        SolverFault: the solver failed; no fault of the files.
    """
    if not is_recipe(file):
        from optimiser.answers.blend import answered  # brings the solver, which a recipe in hand does not need

        story = answered(read_question(file, shelf_file, units=units, on=on)).story
        return of_blend(story) if isinstance(story, Blend) else story
    asked = read_in_hand(file, shelf_file, units=units, on=on)
    found = weighed(asked, str(file), advise=False)
    bars, bar = asked.recipe.bars, 1000.0 * asked.recipe.cured_weight_kg
    share = found.judgement.cured_grams / bars if bars else bar
    bar = bar if abs(share - bar) <= SAME_BAR * bar else share
    made = labelled(found.recipe, found.judgement, bar_grams=bar, title=found.title, file=str(file))
    return made._replace(cautions=found.cautions, warnings=found.warnings)


def of_blend(story: Blend) -> Label:
    """The label of a blend, as weighed."""
    bar = story.cost.bar_grams
    made = labelled(story.recipe, story.weighed, bar_grams=bar, title=story.title, file=story.goal_file)
    return made._replace(cautions=story.cautions, warnings=story.warnings)


def labelled(recipe: Recipe, judged: Judgement, *, bar_grams: float, title: str = "", file: str = "") -> Label:
    """The label of a recipe as a value.

    Args:
        recipe: what is weighed.
        judged: what it is.
        bar_grams: what a bar of it weighs as cured.
        title: what the bar is called.
        file: where it stands.
    """
    paste = is_paste(recipe, judged.values)
    end = finished(recipe, dries=not paste)
    found = allergens(recipe, end.grams)
    within = [one.part() for one in found if one.is_named]
    charged, saponified = as_charged(recipe, within), as_saponified(end, within)
    soap = soap_share(end)
    return Label(
        title=title,
        file=file,
        recipe=recipe,
        judgement=judged,
        as_charged=charged,
        as_saponified=saponified,
        allergens=found,
        net_weight=NetWeight(None if paste else bar_grams, end.grams),
        notes=tuple(notes(recipe, end, soap)),
        to_check=tuple(to_check(recipe, (*charged, *saponified), found)),
        avoided=tuple(avoided(recipe)),
        soap_share=soap,
        cautions=(),
        is_unfit=is_unfit(judged),
    )


def soap_share(end: Finished) -> float:
    """Per cent of what is not volatile (water and scents aside) that is alkali salts of fatty acids."""
    scents = sum(ends.left for item, ends in end.additives if group_of(item) == SCENT)
    dry = end.grams - end.water - scents
    return 100.0 * end.soap / dry if dry > 0.0 else 0.0


def group_of(item: Additive) -> str:
    """Whether an additive is a scent or a colour; "" for most."""
    names = names_of_extra(item)
    return names.group if names is not None else ""


def notes(recipe: Recipe, end: Finished, soap: float) -> Iterator[LabelNote]:
    """What is said beside every label, and what only some call for."""
    holds = {
        "always": True,
        "weight": True,
        "superfat": any(ends.left > 0.0 for _, ends in end.fats),
        "scent": any(group_of(item) == SCENT or item.allergens for item, _ in recipe.additives),
        "hardly soap": soap < BULK,
    }
    for row in rows("label_notes"):
        if holds[row["when"]]:
            yield LabelNote(row["said"], row["source"], row["how"])


def to_check(recipe: Recipe, lists: tuple[Ingredient, ...], found: tuple[Allergen, ...]) -> Iterator[str]:
    """What must be looked up, or written on the shelf, before anything is printed."""
    wanting = sorted({name for one in lists if one.status == WANTING for name in one.of})
    if wanting:
        yield f"No name for a list of ingredients is known here of {listed(wanting)}: write inci: beside it {SHELF} (of the soap of a fat inci_sodium_soap: or inci_potassium_soap:)."
    borrowing = {called(fat): fat.base for fat, _ in recipe.fats if fat.base and fat.label and not is_stated(fat)}
    for name, base in borrowing.items():
        if reference().find(name) is None:
            yield (
                f"{name[:1].upper()}{name[1:]} goes by the names of {base}, which it is like. Where it has its own, or "
                f"something was steeped in it, write inci: beside it {SHELF}."
            )
    for item, _ in recipe.additives:
        names = names_of_extra(item)
        if names is not None and names.ask and not item.inci:
            yield f"{item.name[:1].upper()}{item.name[1:]}: {names.ask}."
    unsure = list(dict.fromkeys(one.name for one in lists if one.status == UNVERIFIED and one.group != "allergen"))
    if unsure:
        yield f"Names that were not verified, to be held against the glossary: {', '.join(unsure)}."
    for name in unstated(recipe):
        yield (
            f"Of {name} the shelf states no allergens, which is not to say that it holds none: write allergens: {{linalool: 30 %}} "
            "beside it, as its supplier's paper has them."
        )
    for one in found:
        if not one.is_known:
            near = nearest(one.name, allergen_names())
            offer = f"; near to it: {', '.join(near)}" if near else ""
            yield f"{one.name} is not among the allergens known here, and stands as it is written{offer}."


def called(fat: Fat) -> str:
    """What a fat is called, whichever of its lots it is."""
    return fat.name.partition(" (lot ")[0]


def avoided(recipe: Recipe) -> Iterator[str]:
    """What in it some people avoid, by the table's words on its fats and the tags of the rest."""
    told = [
        f"{called(fat)} ({fat.label.allergen})"
        for fat, _ in recipe.fats
        if fat.label is not None and fat.label.allergen and not fat.label.allergen.startswith(NOTHING)
    ]
    told += [
        f"{item.name} ({', '.join(tags)})"
        for item, _ in recipe.additives
        if (tags := [t for t in FOODS if t in item.tags])
    ]
    if told:
        yield f"Some people avoid: {'; '.join(dict.fromkeys(told))}."
    yield from doubtful_nuts(recipe, NUTS)
