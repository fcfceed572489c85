"""A label in words: the lists as they could be printed, then what must be looked up first."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.materials.label_names import without_brackets
from optimiser.problem.units import Units
from optimiser.recipe import cautions
from optimiser.recipe.ingredients import COLOUR
from optimiser.recipe.weights import Weights
from optimiser.report import words
from optimiser.report.terminal.lye import at_top, urgent
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.label import Label, NetWeight
    from optimiser.recipe.ingredients import Ingredient
    from optimiser.recipe.scents import Allergen

DRAFT = "a draft to check"
FINE = {True: 1, False: 2}  # decimals of a weight, metric or not: shares of a per cent are to be seen
LITTLE = 2  # at so many a word is due that their order is free


def parts(story: Label, *, full: bool = False) -> Iterator[Part]:
    """All of it; in full with what everything weighs, and where each note is from."""
    yield from at_top(urgent(story.recipe, story.judgement, story.cautions))
    yield Heading(f"Label: {story.title}", DRAFT)
    if story.is_unfit:
        yield Line("This must not be made, let alone sold: the lists below are of no use until that is mended.", hang=2)
    yield Line(net_weight(story.net_weight, story.recipe.units), hang=2)
    yield Gap()
    weights = Weights(story.recipe.units, FINE[story.recipe.units.is_metric]) if full else None
    yield from listed("Ingredients as charged", "what was weighed, heaviest first", story.as_charged, weights)
    yield from listed("Ingredients as saponified", "what the bar is made of", story.as_saponified, weights)
    yield from in_the_union((*story.as_charged, *story.as_saponified))
    yield from scents(story.allergens)
    yield Heading("Before anything is printed")
    yield from bulleted((*story.to_check, *story.avoided))
    yield Gap()
    yield Heading("What rules ask, in brief", "no legal advice")
    yield from bulleted(
        [f"{note.said} (Source: {note.source}; {note.how}.)" if full else note.said for note in story.notes]
    )
    if full:
        yield Gap()
        for caution in cautions.in_brief_elsewhere(story.recipe):
            yield Line(f"! {caution}", style="yellow", indent=0, hang=2)
    else:
        yield Gap()
        yield Line("--full tells more: what each ingredient weighs, and where the notes are from.", indent=0)


def bulleted(said: Sequence[str]) -> Iterator[Part]:
    """Sentences, each by itself."""
    for one in said:
        yield Line(f"- {one}", hang=2)


def net_weight(weight: NetWeight, units: Units) -> str:
    """What a bar weighs, in grams and in ounces, never more than it does; of a paste what there is of it."""
    if weight.bar_grams is None:
        return f"Net weight: fill and weigh each jar; there is {both(weight.batch_grams, units)} of this paste in all."
    return f"Net weight of a bar as cured: {both(weight.bar_grams, units)}, reckoned; weigh yours."


def both(grams: float, units: Units) -> str:
    """A weight in grams and in avoirdupois ounces, cut off, the maker's own units first."""
    metric = f"{math.floor(grams + 1e-6)} g"
    ounces = f"{math.floor(10.0 * grams / Units.OUNCES.grams + 1e-6) / 10.0:.1f} oz"
    return f"{metric} ({ounces})" if units.is_metric else f"{ounces} ({metric})"


def listed(title: str, remark: str, names: Sequence[Ingredient], weights: Weights | None) -> Iterator[Part]:
    """One list: as it could be printed, which of it may stand in any order, and what each weighs where that is wanted."""
    yield Heading(title, remark)
    yield Line(f"{', '.join(one.name for one in names)}.", quoted=True)
    little = [one.name for one in names if one.is_little and one.group != COLOUR]
    if len(little) >= LITTLE:
        yield Line(f"Each below 1 %: from {little[0]} on.", style="dim", hang=2)
    if weights is not None:
        yield Table(
            (Column("", wraps=True), Column(weights.head, "right"), Column("%", "right"), Column("what", wraps=True)),
            [(one.name, weights.figure(one.grams), f"{one.share:.2f}", ", ".join(one.of)) for one in names],
        )
    yield Gap()


def in_the_union(names: Sequence[Ingredient]) -> Iterator[Part]:
    """How the names are written in the European Union, where that is otherwise."""
    said = of_the_union(names)
    if said:
        yield Line(said, hang=2)
        yield Gap()


def of_the_union(names: Sequence[Ingredient]) -> str:
    """The same as a sentence; "" where nothing is otherwise."""
    other = {one.name: one.in_eu for one in names if one.in_eu != without_brackets(one.name)}
    shorter = any("(" in one.name for one in names)
    if not other and not shorter:
        return ""
    said = ["what stands in brackets is left out"] if shorter else []
    said += [f"{name} is {union}" for name, union in sorted(other.items())]
    return f"In the European Union {words.joined(said)}."


def scents(found: Sequence[Allergen]) -> Iterator[Part]:
    """The allergens that were stated, and which are named."""
    if not found:
        return
    yield Heading("Allergens of scents", "named above 0.01 % of the finished bar")
    rows = [
        (one.name, f"{one.share:.4f} %", "named" if one.is_named else "not named", ", ".join(one.of)) for one in found
    ]
    yield Table((Column("", wraps=True), Column("of the bar", "right"), Column(), Column("from", wraps=True)), rows)
    yield Gap()
