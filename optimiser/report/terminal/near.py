"""What is changed of a recipe in hand: the alkali first, then fat by fat, then what of the bar is felt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.recipe.weights import of_fats, of_jug
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.near_lines import NearFigures
    from optimiser.measures.differences import Difference
    from optimiser.recipe.changes import FatChange
    from optimiser.recipe.evaluation import Recipe
    from optimiser.recipe.weights import Weights

ALKALIS = ("sodium hydroxide", "potassium hydroxide")
LEAST_GRAMS = 0.05  # of an alkali: what no balance here tells apart
LEAST_WATER, WATER_ROUNDS = 0.15, 0.002  # grams, and part of the water: what rounding alone may move it by
BY_HAIR = 0.05  # per cent: within this a blend is the nearest


def block(near: NearFigures | None, recipe: Recipe, currency: str, cost: float) -> Iterator[Part]:
    """All that is changed; nothing where there is no recipe in hand.

    Args:
        near: what is changed.
        recipe: as it is weighed, in whose units all is told.
        currency: of the prices.
        cost: of a kilo now.
    """
    if near is None:
        return
    yield Heading(f"Nearest to {near.title or 'the recipe in hand'}", f"the same batch, in {of_fats(recipe).head}")
    for gone in near.gone:
        yield Line(f"{gone.fat.capitalize()} goes: {gone.why}.", hang=2)
    yield from (Line(note, hang=2) for note in near.notes)
    yield Line(sentence(near), hang=2)
    yield from (Line(told, hang=2) for told in (*alkali(near, recipe), *water(near, recipe)))
    if near.fats:
        columns = (
            *(Column("fat", wraps=True), Column("from", "right"), Column("to", "right")),
            *(Column("from", "right"), Column("to", "right"), Column("change", "right")),
        )
        yield Table(columns, [row(line, of_fats(recipe)) for line in near.fats])
    yield Line(felt(near), hang=2)
    if near.cost_before is not None:
        yield Line(money(near.cost_before, cost, currency), hang=2)
    yield Gap()


def sentence(near: NearFigures) -> str:
    """How much is changed, and what is proved of that."""
    if near.is_unchanged:
        is_other = is_other_water(near) or abs(near.alkali_change) >= LEAST_GRAMS
        return f"It meets the goals as it is: {'no fat is changed' if is_other else 'nothing is changed'}."
    how = "proved" if near.proof.exact else "by the solver's bound, since fats are counted"
    some = f"{near.moved:.1f} % of the fats changed, in {words.counted(len(near.fats), 'fat')}"
    if near.moved <= near.proof.least + BY_HAIR:
        return f"{some} ({how}: no blend that meets the goals changes less)."
    fewer = near.proof.fats > len(near.fats)
    why = f"that takes {near.proof.fats} fats" if fewer else "that leaves a pinch of a fat to weigh"
    return f"{some} ({how}: no blend that meets the goals changes less than {near.proof.least:.1f} %, and {why})."


def alkali(near: NearFigures, recipe: Recipe) -> Iterator[str]:
    """What becomes of each alkali, for the same batch."""
    jug = of_jug(recipe)
    for name, before, after in zip(ALKALIS, near.alkali_before, near.alkali_after, strict=True):
        if not before and not after:
            continue
        now, then = jug.alkali_told(after), jug.alkali_told(before)
        if now == then:
            yield f"{name.capitalize()} as before, {now}: weigh it by this recipe all the same."
            continue
        by = jug.by(before, after, alkali=True)
        yield f"! {name.capitalize()} {by}: {now} in place of {then}. Weigh it anew, never by the old recipe."


def water(near: NearFigures, recipe: Recipe) -> Iterator[str]:
    """What becomes of the water; nothing where it is as it was."""
    if is_other_water(near):
        jug = of_jug(recipe)
        by = jug.by(near.water_before, near.water_after)
        yield f"Water {by}: {jug.told(near.water_after)} in place of {jug.told(near.water_before)}."


def is_other_water(near: NearFigures) -> bool:
    """Whether there is more or less water than a balance may have rounded it to."""
    return abs(near.water_after - near.water_before) > max(LEAST_WATER, WATER_ROUNDS * near.water_before)


def row(line: FatChange, weights: Weights) -> tuple[str, ...]:
    """A fat as it was and as it is."""
    before, after = line.grams_before, line.grams_after
    return (
        *(line.fat, share(line.before), share(line.after)),
        *(weights.figure(before, words.GLUE), weights.figure(after, words.GLUE), weights.change_told(before, after)),
    )


def share(value: float) -> str:
    """A share, or a dash for none."""
    return f"{value:.1f} %" if value else "-"


def felt(near: NearFigures) -> str:
    """Which measures are changed by more than they are sure to, the greatest change first; else that none is."""
    changed = [line for line in near.measures if line.is_felt]
    if not near.measures:
        return "No measure is known of both, so nothing is said of how the bar differs."
    if not changed:
        return "No measure differs by more than it is sure to (\u00b1): the bar is the same to all that can be told."
    return (
        f"What differs by more than it is sure to: {'; '.join(map(told, changed))}. The rest is the same within \u00b1."
    )


def told(line: Difference) -> str:
    """A measure as it was and as it is, in a maker's words first."""
    digits = 0 if line.measure.scale >= 1.0 else 1
    return f"{line.change.brief} ({line.measure.words} {line.before:.{digits}f} to {line.after:.{digits}f})"


def money(before: float, after: float, currency: str) -> str:
    """What a kilo costs beside the recipe."""
    off = after - before
    unit = words.per(currency, "kg of cured bar")
    if abs(off) < 0.005:
        return f"It costs the same, {words.money(after)} {unit}."
    return f"{words.money(abs(off))} {unit} {'dearer' if off > 0 else 'cheaper'}: {words.money(before)} to {words.money(after)}."
