"""What will be different at the bench and in the bar when one recipe takes the place of another, in words and figures."""

from __future__ import annotations

import math
from collections.abc import Iterator

from optimiser.answers.results import WeighedRecipe
from optimiser.materials.fat import Fat
from optimiser.materials.standing_in import brought, look_of
from optimiser.measures.differences import OF_BARS, Difference, differences, functions, off_scale
from optimiser.measures.measures import measures
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.kinds import is_paste
from optimiser.recipe.times import BatchTimes

SEEN = 5.0  # per cent of the fats: less of one colours nothing and asks for nothing at the bench
WARMER = 3.0  # degC: a lye that gets hotter or cooler by less is the same
SETS = measures()["set_up"].words
CASTOR, MUCH_CASTOR = "castor oil", 2.5  # per cent of the fats
DEARER = 0.005  # of money per kilo


def measured(old: WeighedRecipe, new: WeighedRecipe, shows: str) -> Iterator[str]:
    """What moves enough to be found, of what shows at the bench or in the bar, the largest difference first."""
    unsaid = OF_BARS if is_paste(new.recipe, new.judgement.values) else ()
    for item in differences(old.judgement.values, new.judgement.values, functions()):
        if item.measure.id not in unsaid and item.change.shows == shows and item.is_told:
            yield f"{item.words} ({figures(item)})"


def figures(item: Difference) -> str:
    """The measure before and after, with how sure it is."""
    decimals = 1 if item.measure.scale < 1.0 else 0
    room = f", +/- {item.measure.uncertainty:g}" if item.measure.uncertainty else ""
    before, after = (off_scale(value) or f"{value:.{decimals}f}" for value in (item.before, item.after))
    return f"{item.measure.words} {before} to {after}{room}"


def bench(old: WeighedRecipe, new: WeighedRecipe) -> tuple[str, ...]:
    """Trace, set, heat and melting."""
    told = tuple(measured(old, new, "bench"))
    hours = unmoulding(old.times, new.times) if any(SETS in line for line in told) else ()
    return (*told, *hours, *heat(old, new), *melting(old, new))


def bar(old: WeighedRecipe, new: WeighedRecipe) -> tuple[str, ...]:
    """Lather, hardness, mildness, keeping, colour and cost; that nothing is, where nothing is."""
    found = (*measured(old, new, "bar"),)
    nothing = () if found else ("the bar does what it did: no measure of it moves enough to be found",)
    return (*nothing, *found, *unmeasured(old, new), *colour(old.recipe, new.recipe), *cost(old, new))


def unmeasured(old: WeighedRecipe, new: WeighedRecipe) -> Iterator[str]:
    """What castor oil does for the lather, which no measure here speaks of (common practice, no source)."""
    less = old.judgement.shares.get(CASTOR, 0.0) - new.judgement.shares.get(CASTOR, 0.0)
    if less >= MUCH_CASTOR:
        yield "less castor oil: the lather is thinner and stands less well than the figures here tell"


def unmoulding(old: BatchTimes, new: BatchTimes) -> Iterator[str]:
    """When it can be cut, where that is said otherwise than before."""
    if old.unmould is not None and new.unmould is not None and old.unmould.said() != new.unmould.said():
        yield f"unmould after {new.unmould.said()}, where it was {old.unmould.said()}"


def heat(old: WeighedRecipe, new: WeighedRecipe) -> Iterator[str]:
    """How hot the lye gets that is made at once, where that is another."""
    before, after = (story.judgement.lye_temperature[1] for story in (old, new))
    if math.isfinite(before) and math.isfinite(after) and abs(after - before) >= WARMER:
        yield f"the lye gets {'hotter' if after > before else 'less hot'}: up to {after:.0f} degC, where it was {before:.0f}"


def melting(old: WeighedRecipe, new: WeighedRecipe) -> Iterator[str]:
    """What fats that come in ask for."""
    for fat, more in coming_in(old.recipe, new.recipe):
        told = look_of(fat).bench
        if told and more >= SEEN:
            yield f"{fat.name}: {told}"


def colour(old: Recipe, new: Recipe) -> Iterator[str]:
    """What fats that are new in the pot do to the colour, where those that go did something else."""
    gone = {look_of(fat).colour for fat, more in coming_in(new, old) if more >= SEEN}
    there = {fat.name for fat, _ in old.fats}
    for fat, more in coming_in(old, new):
        told = look_of(fat).colour
        if told and told not in gone and fat.name not in there and more >= SEEN:
            yield f"colour: {fat.name} is {told}"


def cost(old: WeighedRecipe, new: WeighedRecipe) -> Iterator[str]:
    """Money by the kilo of cured bar, where both are known."""
    if old.cost is None or new.cost is None:
        return
    more = new.cost.per_kg - old.cost.per_kg
    money = f" {new.currency}" if new.currency else ""
    if abs(more) >= DEARER:
        yield f"{'dearer' if more > 0 else 'cheaper'} by {abs(more):.2f}{money} / kg ({old.cost.per_kg:.2f} to {new.cost.per_kg:.2f})"


def states(old: Recipe, new: Recipe) -> tuple[str, ...]:
    """What the bar was free from and no longer is."""
    there = frozenset[str]().union(*(fat.tags for fat, _ in old.fats), *(item.tags for item, _ in old.additives))
    found: dict[str, list[str]] = {}
    for fat, _ in new.fats:
        for state in brought(there, fat):
            found.setdefault(state.words, []).append(fat.name)
    return tuple(f"{', '.join(names)} {words}" for words, names in found.items())


def coming_in(old: Recipe, new: Recipe) -> Iterator[tuple[Fat, float]]:
    """Fats of which there is more than before, each with by how much, in per cent of the fats."""
    before = {fat.name: 100.0 * grams / old.fat_grams for fat, grams in old.fats}
    for fat, grams in new.fats:
        more = 100.0 * grams / new.fat_grams - before.get(fat.name, 0.0)
        if more > 1e-9:
            yield fat, more
