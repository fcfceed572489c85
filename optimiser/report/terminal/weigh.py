"""A recipe in hand, in words: the blocks of a blend as far as they apply."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.recipe.cautions import standing
from optimiser.recipe.kinds import is_paste
from optimiser.recipe.weights import of_fats, rough
from optimiser.report import words
from optimiser.report.terminal import advice as text_advice
from optimiser.report.terminal import goals as text_goals
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal import measures as text_measures
from optimiser.report.terminal import steps as text_steps
from optimiser.report.terminal import verdicts as text_verdicts
from optimiser.report.terminal.blend import cost_per_kg, cost_sentence, filling, paste_sentence
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.results import WeighedRecipe


def parts(story: WeighedRecipe, paper: Paper, *, steps: bool = False, full: bool = False) -> Iterator[Part]:
    """The answer, with the making steps if they are wanted; `full` with the acids of the fats and every rule that is kept."""
    yield from text_lye.at_top(text_lye.urgent(story.recipe, story.judgement, story.cautions))
    yield from head(story)
    yield from body(story, paper, steps=steps, full=full)
    if story.meets_goals is None:
        yield Line("Next, to judge it against a goal file:", indent=0)
        yield Line(f"barwright weigh {words.quoted(story.recipe_file)} --against GOALS", style="bold", whole=True)
    if not full:
        rules = " and each rule of house practice that is kept" if story.meets_goals is not None else ""
        yield Line(f"--full tells more: acids of the fats{rules}.", indent=0)


def body(story: WeighedRecipe, paper: Paper, *, steps: bool = False, full: bool = False) -> Iterator[Part]:
    """What to weigh with its cautions, what the bar will be, how it stands against goals, and what else must be said."""
    yield from fats(story)
    yield Gap()
    yield from text_lye.block(story.recipe, story.judgement, story.cautions, full=full)
    yield Gap()
    named = text_goals.named(story.goals, story.preferences)
    paste = is_paste(story.recipe, story.judgement.values)
    yield from text_measures.block(
        story.measures, story.judgement.values, paper, named=named, full=full, of_paste=paste
    )
    yield from text_steps.expected(story.times)
    yield from text_advice.block(story.ash, story.water_hardness, full=full, units=story.recipe.units)
    if steps:
        yield from text_steps.numbered(story.steps, standing(story.recipe))
    yield from text_verdicts.verdict(story.goals, story.meets_goals, full=full)
    yield from text_verdicts.preferences(story.preferences)
    if story.notes:
        yield Heading("Notes")
        yield from (Line(words.sentence(note), hang=2) for note in story.notes)
        yield Gap()


def head(story: WeighedRecipe) -> Iterator[Part]:
    """Title, file, weight and cost."""
    cost = story.cost
    paste = is_paste(story.recipe, story.judgement.values)
    remark = cost_per_kg(cost, story.currency, of_paste=paste) if cost else "weighed"
    yield Heading(story.title or "Untitled recipe", remark)
    yield Line(words.path(story.recipe_file))
    water = story.recipe.cured_water
    weights = rough(story.recipe.units)
    cured = f"{weights.told(story.judgement.cured_grams, words.GLUE)} of soap once cured to {100 * water:g} % water."
    if is_paste(story.recipe, story.judgement.values):
        pot = story.judgement.batter_grams
        jars = f"{weights.told(pot, words.GLUE)} of paste for jars, filled by weight."
        yield Line(paste_sentence(cost, story.currency, pot, water, story.recipe.units) if cost else jars)
    else:
        yield Line(cost_sentence(cost, story.currency, water, story.recipe.units) if cost else cured)
    yield from filling(story)
    yield Gap()


def fats(story: WeighedRecipe) -> Iterator[Part]:
    """The fats of the recipe and their total."""
    recipe = story.recipe
    weights = of_fats(recipe)
    yield Heading("Fats", f"{weights.head}{words.to_a_step(recipe.fat_step, recipe.units)}")
    rows = [
        (fat.name, fat.kind, f"{100.0 * grams / recipe.fat_grams:.1f} %", weights.figure(grams, words.GLUE))
        for fat, grams in recipe.fats
    ]
    rows.append(("all fats", "", "100.0 %", weights.figure(recipe.fat_grams, words.GLUE)))
    columns = (Column("fat", wraps=True), Column("kind"), Column("share", "right"), Column(weights.head, "right"))
    yield Table(columns, rows, last_is_total=True)
