"""What is changed of a recipe in hand: the alkali first, then fat by fat, then what of the bar is felt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.measures.quantities import quantities
from optimiser.recipe.balance import places
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.near_lines import NearFigures
    from optimiser.recipe.changes import FatChange, MeasureChange

ALKALIS = ("sodium hydroxide", "potassium hydroxide")
LEAST_GRAMS = 0.05  # of an alkali: what no balance here tells apart
LEAST_WATER, WATER_ROUNDS = 0.15, 0.002  # grams, and part of the water: what rounding alone may move it by
BY_HAIR = 0.05  # per cent: within this a blend is the nearest


def block(near: NearFigures | None, currency: str, cost: float) -> Iterator[Part]:
    """All that is changed; nothing where there is no recipe in hand.

    Args:
        near: what is changed.
        currency: of the prices.
        cost: of a kilo now.
    """
    if near is None:
        return
    yield Heading(f"Nearest to {near.title or 'the recipe in hand'}", "the same batch, in grams")
    for gone in near.gone:
        yield Line(f"{gone.fat.capitalize()} goes: {gone.why}.", hang=2)
    yield from (Line(note, hang=2) for note in near.notes)
    yield Line(sentence(near), hang=2)
    yield from (Line(told, hang=2) for told in (*alkali(near), *water(near)))
    if near.fats:
        columns = (
            *(Column("fat", wraps=True), Column("from", "right"), Column("to", "right")),
            *(Column("from g", "right"), Column("to g", "right"), Column("change", "right")),
        )
        decimals = min(1, places(grams for line in near.fats for grams in (line.grams_before, line.grams_after)))
        yield Table(columns, [row(line, decimals) for line in near.fats])
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


def alkali(near: NearFigures) -> Iterator[str]:
    """What becomes of each alkali, for the same batch."""
    for name, before, after in zip(ALKALIS, near.alkali_before, near.alkali_after, strict=True):
        if not before and not after:
            continue
        off = after - before
        if abs(off) < LEAST_GRAMS:
            yield f"{name.capitalize()} as before, {after:.1f} g: weigh it by this recipe all the same."
            continue
        more = "more" if off > 0 else "less"
        yield (
            f"! {name.capitalize()} {abs(off):.1f} g {more}: {after:.1f} g in place of {before:.1f} g. Weigh it anew, never by "
            f"the old recipe."
        )


def water(near: NearFigures) -> Iterator[str]:
    """What becomes of the water; nothing where it is as it was."""
    off = near.water_after - near.water_before
    if is_other_water(near):
        more = "more" if off > 0 else "less"
        yield f"Water {abs(off):.1f} g {more}: {near.water_after:.1f} g in place of {near.water_before:.1f} g."


def is_other_water(near: NearFigures) -> bool:
    """Whether there is more or less water than a balance may have rounded it to."""
    return abs(near.water_after - near.water_before) > max(LEAST_WATER, WATER_ROUNDS * near.water_before)


def row(line: FatChange, decimals: int) -> tuple[str, ...]:
    """A fat as it was and as it is."""
    off = line.grams_after - line.grams_before
    sign = "+" if off > 0 else "-"
    return (
        *(line.fat, share(line.before), share(line.after)),
        *(f"{line.grams_before:.{decimals}f}", f"{line.grams_after:.{decimals}f}", f"{sign}{abs(off):.{decimals}f} g"),
    )


def share(value: float) -> str:
    """A share, or a dash for none."""
    return f"{value:.1f} %" if value else "-"


def felt(near: NearFigures) -> str:
    """Which measures are changed by more than they are sure to, the greatest change first; else that none is."""
    changed = sorted(
        (line for line in near.measures if line.is_felt), key=lambda line: -abs(line.after - line.before) / line.room
    )
    if not near.measures:
        return "No measure is known of both, so nothing is said of how the bar differs."
    if not changed:
        return "No measure differs by more than it is sure to (\u00b1): the bar is the same to all that can be told."
    return (
        f"What differs by more than it is sure to: {'; '.join(map(told, changed))}. The rest is the same within \u00b1."
    )


def told(line: MeasureChange) -> str:
    """A measure as it was and as it is."""
    digits = 0 if line.room >= 1.0 else 1
    return f"{quantities()[line.measure].words} {line.before:.{digits}f} to {line.after:.{digits}f}"


def money(before: float, after: float, currency: str) -> str:
    """What a kilo costs beside the recipe."""
    off = after - before
    unit = words.per(currency, "kg of cured bar")
    if abs(off) < 0.005:
        return f"It costs the same, {words.money(after)} {unit}."
    return f"{words.money(abs(off))} {unit} {'dearer' if off > 0 else 'cheaper'}: {words.money(before)} to {words.money(after)}."
