"""A recipe for another batch, in words."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from optimiser.recipe.weights import rough
from optimiser.report import words
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal import weigh as text_weigh
from optimiser.report.terminal.page import Gap, Line, Paper, Part

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.resize import ResizedRecipe


def parts(
    found: ResizedRecipe, paper: Paper, *, steps: bool = False, full: bool = False, saved: str = ""
) -> Iterator[Part]:
    """What the recipe was brought to, and then all that is said of a recipe in hand; `saved` is where it was written."""
    story = found.story
    yield from text_lye.at_top(text_lye.urgent(story.recipe, story.judgement, story.cautions))
    yield from head(found)
    yield from text_weigh.body(story, paper, steps=steps, full=full)
    yield from closing(found, saved)
    if not full:
        yield Line("--full tells more: acids of the fats.", indent=0)


def head(found: ResizedRecipe) -> Iterator[Part]:
    """Title, file, how many times as much, the bars, and the room that the batter takes up."""
    story = found.story
    first, *rest = text_weigh.head(story)
    yield first
    yield rest[0]
    weights = rough(story.recipe.units)
    before, after = (weights.told(grams, words.GLUE) for grams in (found.fats_before, story.recipe.fat_grams))
    told = f"{times(found.times)} as much, {after} of fats in place of {before}"
    if before == after and times(found.times) == times(1.0):
        told = f"as much as it was, {after} of fats"
    yield Line(f"For {found.asked}: {told}.", hang=2)
    yield from rest[1:-1]
    if story.filled is None:
        yield Line(f"The batter {words.room(found.litres, found.volume_within)}.", hang=2)
    yield Gap()


def times(factor: float) -> str:
    """How many times as much, in three digits."""
    return f"{factor:.3g} times"


def closing(found: ResizedRecipe, saved: str) -> Iterator[Part]:
    """How to keep it, or how to look at what was kept."""
    if saved:
        yield Line("Next, to see it as it was kept:", indent=0)
        yield Line(f"barwright weigh {words.quoted(saved)}", style="bold", whole=True)
        return
    source = found.story.recipe_file
    target = f"{PurePath(source).stem}-resized.yaml"
    command = f"barwright resize {words.quoted(source)} --to {words.quoted(found.asked)} --save {words.quoted(target)}"
    yield Line("To keep this recipe, as rounded for the balance:", indent=0)
    yield Line(command, style="bold", whole=True)
