"""A recipe in hand for another batch: brought to its size, its alkali worked out again, and judged anew."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from optimiser.answers.results import WeighedRecipe
from optimiser.answers.weigh import weighed
from optimiser.files.question import read_in_hand
from optimiser.files.sizes import batch_of
from optimiser.materials.batter import WITHIN
from optimiser.problem.batch import Batch
from optimiser.problem.designs import Design
from optimiser.problem.question import InHand
from optimiser.problem.units import Units
from optimiser.recipe.batch_size import litres, litres_within
from optimiser.recipe.evaluation import judge
from optimiser.recipe.resizing import Resized, TooSmall, on_roughness, resized, size_that_keeps
from optimiser.recipe.weights import of_fats
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic


class ResizedRecipe(NamedTuple):
    """A recipe for another batch: the new one judged, and the old one in grams.

    `times` as large; `asked` is the size as typed; `litres` is the room that the batter takes up, right to within
    `volume_within` (a fraction). `superfat_before` in per cent; `alkali_given` says that the recipe told its alkali in
    grams. The rest is what a file that keeps it needs.
    """

    story: WeighedRecipe
    asked: str
    batch: Batch
    times: float
    litres: float
    fats_before: float
    superfat_before: float
    alkali_given: bool
    shelf_file: str = ""
    techniques: tuple[Design, ...] = ()
    water_said: str = ""
    bar_grams: float = 0.0
    cavities: int | None = None
    volume_within: float = WITHIN
    scale_g: float | None = None


def resize(recipe_file: Path, to: str, *, shelf_file: Path | None = None, units: Units | None = None) -> ResizedRecipe:
    """A recipe file for another batch.

    Args:
        recipe_file: the recipe.
        to: the size, as in "24 bars of 110 g", "2.5 kg fats", "4 kg batter" or "mould 30 x 9 x 7 cm".
        shelf_file: a shelf for prices, lots and purities, in place of the one that the recipe names.
        units: what weights are told in, in place of what the shelf says.

    Raises:
        BadInput: with every fault of the files, a size that is none, or a batch too small for a balance.

    >>> from pathlib import Path
    >>> import optimiser
    >>> try:
    ...     optimiser.resize_recipe(Path("goals/budget.yaml"), "2.5 kg fats")
    ... except optimiser.BadInput as bad:
    ...     print(bad.diagnostics[0].message)
    this is a goal file, not a recipe
    """
    batch = batch_of(to)
    asked = read_in_hand(recipe_file, shelf_file, units=units)
    try:
        found = resized(asked.recipe, asked.shelf, batch)
    except TooSmall as fault:
        help_ = "make a bigger batch, or weigh its alkali as a solution of which more is weighed"
        raise BadInput([Diagnostic(Code.COARSE_BALANCE, str(fault), help_)]) from None
    before = weighed(asked, str(recipe_file), recipe=found.before)
    story = weighed(asked._replace(recipe=found.sheet), str(recipe_file), recipe=found.after)
    story = story._replace(notes=(*on_size(found, before), *on_another_size(asked, found), *story.notes))
    water = found.sheet.water
    return ResizedRecipe(
        story=story,
        asked=" ".join(to.split()),
        batch=batch,
        times=found.times,
        litres=litres(found.after),
        volume_within=litres_within(found.after),
        fats_before=found.before.fat_grams,
        superfat_before=before.judgement.superfat,
        alkali_given=bool(asked.recipe.alkali),
        shelf_file="" if asked.shelf is None else asked.shelf.path,
        techniques=found.sheet.techniques,
        water_said="" if water is None else water.said,
        bar_grams=1000.0 * found.sheet.cured_weight_kg,
        scale_g=found.sheet.scale_g,
        cavities=batch.cavities,
    )


def on_size(found: Resized, before: WeighedRecipe) -> tuple[str, ...]:
    """What must be said of the new size: whose superfat it keeps, and how coarse the balance is for it."""
    said = []
    if found.sheet.alkali:
        said.append(
            "The recipe gives its alkali by weight: it is worked out again for the new fats at the superfat that it had, "
            f"{before.judgement.superfat:.1f} %, and rounded down."
        )
    return (*said, *on_roughness(found.after))


def on_another_size(asked: InHand, found: Resized) -> tuple[str, ...]:
    """The size nearby at which the balance keeps the superfat, where it does not at the size asked for."""
    other = size_that_keeps(asked.recipe, asked.shelf, found)
    if other is None:
        return ()
    grams, superfat = other.fat_grams, judge(other).superfat
    told = of_fats(found.after).told(grams)
    return (
        f"With {told} of fats the superfat stays closer, {superfat:.1f} % on this balance: barwright resize ... --to '{told} fats'.",
    )
