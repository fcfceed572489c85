"""What a making sheet holds: an answer or a recipe in hand, put in the order of the bench; nothing is worked out anew."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import accumulate
from pathlib import Path
from typing import NamedTuple

from optimiser.answers.compare import story_of
from optimiser.answers.cure_calendar import Event, calendar
from optimiser.answers.results import Blend, CostFigures, NoBlend, WeighedRecipe
from optimiser.answers.weighed_lines import FatLine
from optimiser.files.fields import as_date
from optimiser.files.workspace import text_under
from optimiser.materials.fat import Fat
from optimiser.problem.units import Units
from optimiser.recipe.additive_steps import place_of
from optimiser.recipe.cautions import is_unfit
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.jug import waiting
from optimiser.recipe.warmth import is_solid
from optimiser.text.source import read_yaml

LIQUID_LATE = "liquid"
"""Where a liquid goes that waits for trace."""


class FatRow(NamedTuple):
    """A fat on the balance: grams, what the balance reads once it is in, its lot if known; `melts`: it is melted first."""

    fat: str
    grams: float
    reads: float
    share: float
    melts: bool
    lot: str = ""


class AlkaliRow(NamedTuple):
    """An alkali as weighed: grams, purity and the purest that it may be as fractions, and how the purity is known."""

    name: str
    grams: float
    purity: float
    purest: float
    basis: str


class PartRow(NamedTuple):
    """An additive, or what is poured: grams, and where it goes in ("" for what the alkali is dissolved in)."""

    name: str
    grams: float
    place: str = ""


class MakingSheet(NamedTuple):
    """All that a sheet for the bench tells: `story` is what it was worked out from, the rest its parts in order of weighing.

    `made` is the day on which it is made, `number` that of the batch, both as far as they were told.
    """

    story: Blend | WeighedRecipe
    file: str
    fats: tuple[FatRow, ...]
    alkalis: tuple[AlkaliRow, ...]
    poured: tuple[PartRow, ...]
    later: tuple[PartRow, ...]
    events: tuple[Event, ...]
    made: date | None = None
    number: str = ""
    both: bool = False  # weights in grams and in ounces

    @property
    def recipe(self) -> Recipe:
        """What is weighed."""
        return self.story.recipe

    @property
    def judged(self) -> Judgement:
        """What that is."""
        return self.story.weighed if isinstance(self.story, Blend) else self.story.judgement

    @property
    def cost(self) -> CostFigures | None:
        """What it costs; None where no price is known."""
        return self.story.cost

    @property
    def is_unfit(self) -> bool:
        """Whether it must not be made."""
        return is_unfit(self.judged)


def making_sheet(  # one argument for each thing that a sheet may be told
    path: Path,
    shelf_file: Path | None = None,
    *,
    units: Units | None = None,
    both: bool = False,
    made: date | None = None,
    number: str = "",
) -> MakingSheet | NoBlend:
    """The sheet of a recipe, or of the blend that a goal file asks for; or why there is no such blend.

    Args:
        path: a goal file or a recipe, told apart by its keys.
        shelf_file: used in place of the file's own shelf.
        units: what weights are told in, in place of what the shelf says.
        both: weights in grams beside ounces.
        made: the day on which the batch is made, by which lots are in date; without it the one that the goal file tells.
        number: the number of the batch.

    Raises:
        BadInput: with every fault of the file and its shelf, or it is neither.
        SolverFault: the solver failed; no fault of the files.

    >>> from pathlib import Path
    >>> found = making_sheet(Path("goals/budget.yaml"))
    >>> found.fats[-1].reads == sum(row.grams for row in found.fats)
    True
    """
    story = story_of(path, shelf_file, units, "" if made is None else made.isoformat())
    if isinstance(story, NoBlend):
        return story
    made = made or day_in(path)
    return sheet_of(story, str(path))._replace(
        events=calendar(story.times, made), made=made, number=number.strip(), both=both
    )


def day_in(path: Path) -> date | None:
    """The day on which a goal file that was read without a fault says that the batch is made; None where it says none."""
    told = text_under(read_yaml(path).root, "made")
    return None if told is None else date.fromisoformat(as_date(told, "made"))


def sheet_of(story: Blend | WeighedRecipe, file: str = "") -> MakingSheet:
    """The same of an answer that is there already, whoever asked for it."""
    recipe = story.recipe
    return MakingSheet(
        story=story,
        file=file,
        fats=tuple(fat_rows(story)),
        alkalis=tuple(alkali_rows(recipe, story.purity_basis)),
        poured=tuple(poured_rows(recipe)),
        later=tuple(later_rows(recipe)),
        events=calendar(story.times),
    )


def fat_rows(story: Blend | WeighedRecipe) -> Iterator[FatRow]:
    """The fats in the order of weighing: what is melted first, so that it melts while the oils are weighed into it."""
    recipe = story.recipe
    lots = lots_of(story)
    weighed = sorted(
        ((fat, grams, lot) for (fat, grams), lot in zip(recipe.fats, lots, strict=True) if grams > 0),
        key=lambda item: not is_solid(item[0]),
    )
    reads = accumulate(grams for _, grams, _ in weighed)
    for (fat, grams, lot), total in zip(weighed, reads, strict=True):
        yield FatRow(fat.name, grams, round(total, 6), 100.0 * grams / recipe.fat_grams, is_solid(fat), lot)


def lots_of(story: Blend | WeighedRecipe) -> list[str]:
    """The lot of each fat of the recipe, in its order; where one fat comes in several lots each is taken once, by its grams."""
    if isinstance(story, WeighedRecipe):
        on_shelf = dict(story.lots)
        return [on_shelf.get(fat.name, "") for fat, _ in story.recipe.fats]
    left = list(story.fats)
    return [_taken(left, fat, grams) for fat, grams in story.recipe.fats]


def _taken(left: list[FatLine], fat: Fat, grams: float) -> str:
    same = [line for line in left if line.fat == fat.name]
    if not same:
        return ""
    nearest = min(same, key=lambda line: abs(line.to_weigh - grams))
    left.remove(nearest)
    return nearest.lot


def alkali_rows(recipe: Recipe, basis: tuple[str, str]) -> Iterator[AlkaliRow]:
    """The alkalis that are weighed."""
    for name, grams, purity, purest, known in (
        ("sodium hydroxide", recipe.sodium_hydroxide, recipe.sodium_purity, recipe.sodium_purest, basis[0]),
        ("potassium hydroxide", recipe.potassium_hydroxide, recipe.potassium_purity, recipe.potassium_purest, basis[1]),
    ):
        if grams > 0:
            yield AlkaliRow(name, grams, purity, purest, known)


def poured_rows(recipe: Recipe) -> Iterator[PartRow]:
    """What the alkali is dissolved in: water, and liquids that do not wait."""
    late = waiting(recipe)
    if recipe.water > 0 or not recipe.liquids:
        yield PartRow("water", recipe.water)
    yield from (PartRow(item.name, grams) for item, grams in recipe.liquids if item.name not in late)


def later_rows(recipe: Recipe) -> Iterator[PartRow]:
    """Additives, each with its place, and liquids that wait, in the order in which they go in."""
    late = waiting(recipe)
    rows = [PartRow(item.name, grams, LIQUID_LATE) for item, grams in recipe.liquids if item.name in late]
    rows += [PartRow(item.name, grams, place_of(recipe, item, grams)) for item, grams in recipe.solids]
    yield from sorted(rows, key=lambda row: ORDER.index(row.place))


ORDER = ("water", "hot lye", "lye", "fats", LIQUID_LATE, "trace", "colour", "last", "end")
"""The places in which things are put, in the order of the work."""
