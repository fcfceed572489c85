"""The answer to what to use in place of a fat, as values: several labelled recipes, each with what will be different."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.answers.results import ClashMember, WeighedRecipe
from optimiser.problem.recipe import RecipeSheet
from optimiser.recipe.changes import FatChange
from optimiser.text.diagnostics import Diagnostic

ONE_FOR_ONE = "one for one"
NEAREST = "nearest in function"
COMES_NEAREST = "comes nearest"
CHEAPEST = "cheapest that keeps the goals"


class SwapAnswer(NamedTuple):
    """One recipe in place of the old one.

    `sheet` is what it is made of, `story` the same weighed. `alkali_change` is grams of both alkalis more than before,
    `sodium_change` and `potassium_change` of each, `water_change` of plain water. `moved` is the share of the fats that is
    another (per cent), `drift` the sum of what the bar's measures differ by beyond how sure each is, in parts of that: the form of diet
    modelling, a sum of relative deviations (Eur. J. Clin. Nutr. 2015, doi:10.1038/ejcn.2015.56). `bench` and
    `bar` say what will be different; `brings` what the bar was free from. `fits` says that it keeps what was asked, `misses`
    what it does not keep.
    `least_moved` (per cent) is what no blend that keeps as much moves less than, `cheapest_possible` what none costs less than;
    None where that is not claimed.
    """

    label: str
    sheet: RecipeSheet
    story: WeighedRecipe
    changed: tuple[FatChange, ...]
    alkali_change: float
    sodium_change: float
    potassium_change: float
    water_change: float
    moved: float
    drift: float
    bench: tuple[str, ...]
    bar: tuple[str, ...]
    brings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    fits: bool = True
    misses: tuple[str, ...] = ()
    least_moved: float | None = None
    cheapest_possible: float | None = None
    same_as: int = 0  # the number of an answer above that is the same recipe, from 1; 0 where there is none

    @property
    def says(self) -> tuple[str, ...]:
        """All that will be different, in words."""
        return (*self.brings, *self.bench, *self.bar)


class Swapped(NamedTuple):
    """What to use in place of the fats that are out.

    `clashes` say why nothing keeps what was asked, where no answer does. `is_priced` is False where there are no prices, and
    so no cheapest.
    """

    title: str
    currency: str
    recipe_file: str
    shelf_title: str
    shelf_file: str
    out: tuple[str, ...]
    keep: tuple[str, ...]
    old: WeighedRecipe
    answers: tuple[SwapAnswer, ...]
    clashes: tuple[tuple[ClashMember, ...], ...] = ()
    complete: bool = True
    notes: tuple[str, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    goal_file: str = ""

    @property
    def fats(self) -> tuple[FatChange, ...]:
        """Every fat that an answer changes: warnings about others of the shelf need no words."""
        return tuple(item for answer in self.answers for item in answer.changed)

    @property
    def fits(self) -> bool:
        """Whether any answer keeps what was asked."""
        return any(answer.fits for answer in self.answers)
