"""Two to five bars side by side: recipes in hand as they are judged, goal files as their blend would be weighed."""

from __future__ import annotations

import math
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from optimiser.answers.asked import is_recipe, read_question
from optimiser.answers.blend import answered
from optimiser.answers.results import Blend, CostFigures, NoBlend, WeighedRecipe
from optimiser.answers.weigh import weigh
from optimiser.measures.differences import OF_BARS, differences, on_scale
from optimiser.measures.measures import measures
from optimiser.problem.units import Units
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.kinds import is_paste
from optimiser.recipe.times import NO_TIMES, BatchTimes
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic, Together
from optimiser.text.quantities import same_currency

FEWEST, MOST = 2, 5
LETTERS = "ABCDE"
TAGS = ("animal", "palm", "nut")
FELT_SUPERFAT = 1.0  # points of superfat that are worth a word
CENT = 0.005


class Bar(NamedTuple):
    """One bar of a comparison: its letter, its file, and its whole story; of a blend what is weighed counts.

    `contains` has what in it is of each of `TAGS`; `differs` has each measure less that of the
    first bar, in points, where both are known; `says` what of it is felt.
    """

    letter: str
    file: str
    story: WeighedRecipe | Blend | NoBlend
    differs: Mapping[str, float]
    dearer: float | None = None
    says: tuple[str, ...] = ()
    contains: Mapping[str, tuple[str, ...]] = {}  # never changed

    @property
    def title(self) -> str:
        """What the bar is called."""
        return self.story.title

    @property
    def recipe(self) -> Recipe | None:
        """What is weighed; None where there is no blend."""
        return None if isinstance(self.story, NoBlend) else self.story.recipe

    @property
    def judged(self) -> Judgement | None:
        """What that is."""
        if isinstance(self.story, NoBlend):
            return None
        return self.story.weighed if isinstance(self.story, Blend) else self.story.judgement

    @property
    def cost(self) -> CostFigures | None:
        """What it costs, as weighed; None where no price is known."""
        if isinstance(self.story, Blend):
            bar = self.story.cost.bar_grams / 1000.0
            return CostFigures.of(self.story.weighed, bar)
        return None if isinstance(self.story, NoBlend) else self.story.cost

    @property
    def times(self) -> BatchTimes:
        """How long it takes."""
        return NO_TIMES if isinstance(self.story, NoBlend) else self.story.times

    @property
    def cautions(self) -> tuple[str, ...]:
        """Its cautions."""
        return () if isinstance(self.story, NoBlend) else self.story.cautions


class Compared(NamedTuple):
    """Bars side by side, each beside the first that there is."""

    bars: tuple[Bar, ...]
    units: Units = Units.GRAMS
    warnings: tuple[Diagnostic, ...] = ()

    @property
    def is_complete(self) -> bool:
        """Whether every goal file has a blend."""
        return all(bar.recipe is not None for bar in self.bars)

    @property
    def first(self) -> Bar | None:
        """The bar that the others are held beside."""
        return next((bar for bar in self.bars if bar.recipe is not None), None)


def compare(files: Sequence[Path], *, shelf_file: Path | None = None, units: Units | None = None) -> Compared:
    """Two to five recipes or goal files side by side; which is which is told by their keys.

    Args:
        files: recipes are judged, goal files answered by their cheapest blend, which is judged as it is weighed.
        shelf_file: used in place of what the files name.
        units: what weights are told in, in place of what the first shelf says.

    Raises:
        BadInput: with every fault of the files, too few or too many of them, or one twice.
        SolverFault: the solver failed; no fault of the files.

    >>> from pathlib import Path
    >>> import optimiser
    >>> found = optimiser.compare([Path("goals/budget.yaml"), Path("goals/everyday.yaml")])
    >>> [bar.letter for bar in found.bars]
    ['A', 'B']
    """
    files = [Path(one) for one in files]
    refuse(files)
    faults, stories = Together(), []
    for one in files:
        with faults:
            stories.append(story_of(one, shelf_file, units))
    faults.settle()
    first = next((one for one in stories if not isinstance(one, NoBlend)), None)
    bars = tuple(
        beside(Bar(letter, str(path), story, {}), first)
        for letter, path, story in zip(LETTERS, files, stories, strict=False)
    )
    told = dict.fromkeys(item for story in stories for item in story.warnings)
    return Compared(bars, Units.GRAMS if first is None else first.recipe.units, tuple(told))


def refuse(files: Sequence[Path]) -> None:
    """Refuse too few files, too many, and one file twice.

    Raises:
        BadInput: it is so.
    """
    if not FEWEST <= len(files) <= MOST:
        message = f"{len(files)} file{'' if len(files) == 1 else 's'} to compare: it takes two to five"
        raise BadInput([Diagnostic(Code.USAGE, message, "name two to five recipes or goal files")])
    seen: dict[str, Path] = {}
    for one in files:
        if (first := seen.setdefault(os.path.realpath(one), one)) is not one:
            message = f"{one} is named twice" if first == one else f"{one} is {first} again"
            raise BadInput([Diagnostic(Code.USAGE, message, "name each file once")])


def story_of(path: Path, shelf_file: Path | None, units: Units | None, on: str = "") -> WeighedRecipe | Blend | NoBlend:
    """A recipe judged, or a goal file answered, its lots in date on the day `on` (ISO 8601), or as the file or today has it.

    Raises:
        BadInput: with every fault of the file and its shelf, or it is neither.
    """
    if is_recipe(path):
        return weigh(path, shelf_file=shelf_file, units=units, on=on)
    return answered(read_question(path, shelf_file, units=units, on=on)).story


def beside(bar: Bar, first: WeighedRecipe | Blend | None) -> Bar:
    """A bar with what it holds, and how it differs from the first."""
    recipe, judged = bar.recipe, bar.judged
    if recipe is None or judged is None or first is None:
        return bar
    bar = bar._replace(contains={tag: holding(recipe, tag) for tag in TAGS})
    other = Bar("", "", first, {})
    if bar.story is first or other.judged is None:
        return bar
    values, firsts = judged.values, other.judged.values
    differs = {
        name: on_scale(values[name]) - on_scale(firsts[name])
        for name in measures()
        if math.isfinite(values[name] - firsts[name])
    }
    dearer = None
    if bar.cost is not None and other.cost is not None and same_currency(bar.story.currency, first.currency):
        dearer = bar.cost.per_kg - other.cost.per_kg
    unsaid = OF_BARS if is_paste(recipe, judged.values) or pastes(other) else ()
    says = [item.change.brief for item in differences(firsts, values) if item.is_felt and item.measure.id not in unsaid]
    more = judged.superfat - other.judged.superfat
    if abs(more) >= FELT_SUPERFAT:
        says.append(f"{abs(more):.1f} points {'more' if more > 0 else 'less'} superfat")
    return bar._replace(differs=differs, dearer=dearer, says=tuple(says))


def pastes(bar: Bar) -> bool:
    """Whether it is a paste, of which nothing is said beside a bar that is said of bars."""
    return bar.recipe is not None and bar.judged is not None and is_paste(bar.recipe, bar.judged.values)


def holding(recipe: Recipe, tag: str) -> tuple[str, ...]:
    """What in a recipe is of a tag."""
    tagged = [(fat.name, fat.tags) for fat, _ in recipe.fats] + [(item.name, item.tags) for item, _ in recipe.additives]
    return tuple(name for name, tags in tagged if tag in tags)


def per_kilo(recipe: Recipe, grams: float) -> float:
    """Grams for a kilo of fats."""
    return 1000.0 * grams / recipe.fat_grams if recipe.fat_grams else math.nan
