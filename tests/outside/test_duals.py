"""Prices told against differences: the whole road taken again with a limit moved, a wish dropped, a price changed."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import Bar, bars, examples, wish_id

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend, GoalLine
from optimiser.measures.practice import rules
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf
from optimiser.solve.optimum import solve

DEFAULTED = {key for rule in rules() if rule.side == "exactly" for key in rule.gives_way}  # defaults stand behind these


def told(sheet: GoalSheet, shelf: Shelf) -> Blend:
    """The answer, which must be a blend."""
    found = answer_for(sheet, shelf)
    assert isinstance(found, Blend)
    return found


def cost(sheet: GoalSheet, shelf: Shelf) -> float:
    """The least cost per kilo."""
    _, found = solve(build(sheet, shelf))
    assert found is not None
    return found.ratio


def eased(sheet: GoalSheet, wish: Limit, step: float) -> GoalSheet:
    """The sheet with one goal easier by a step."""
    value = wish.value - step if wish.side == "at_least" else wish.value + step
    return sheet._replace(goals=tuple(one._replace(value=value) if one is wish else one for one in sheet.goals))


def line_of(blend: Blend, wish: Limit) -> GoalLine:
    """The line of the answer on a goal."""
    return next(line for line in blend.goals if line.id == wish_id(f"goals.{wish.key}.{wish.side}"))


@settings(max_examples=examples(40))
@given(bars(most_fats=8))
def test_prices_are_what_a_small_step_saves(bar: Bar) -> None:
    """Where two small steps save alike (no corner between them), the price told is what they save by the unit."""
    blend = told(bar.sheet, bar.shelf)
    base = cost(bar.sheet, bar.shelf)
    for wish in bar.sheet.goals:
        scale = quantities()[wish.key].scale
        small, half = 2e-3 * scale, 1e-3 * scale
        whole = (base - cost(eased(bar.sheet, wish, small), bar.shelf)) / small
        part = (base - cost(eased(bar.sheet, wish, half), bar.shelf)) / half
        line = line_of(blend, wish)
        if abs(whole - part) > 1e-3 * max(abs(whole), abs(part)) + 1e-7:
            continue
        assert (line.price_per_unit or 0.0) == pytest.approx(part, rel=5e-3, abs=2e-6 / scale), wish
        if not line.binding:
            assert part == pytest.approx(0.0, abs=1e-6 / scale)


@settings(max_examples=examples(40))
@given(bars(most_fats=8))
def test_savings_are_what_dropping_saves(bar: Bar) -> None:
    """What giving a goal up saves is what the goals without it save, built anew and solved from cold."""
    blend = told(bar.sheet, bar.shelf)
    base = cost(bar.sheet, bar.shelf)
    for wish in bar.sheet.goals:
        if wish.key in DEFAULTED:
            continue
        without = bar.sheet._replace(goals=tuple(one for one in bar.sheet.goals if one is not wish))
        saved = line_of(blend, wish).saves_if_dropped
        assert saved is not None
        assert saved == pytest.approx(base - cost(without, bar.shelf), abs=1e-7)


@settings(max_examples=examples(15))
@given(bars(most_fats=6, counted=True))
def test_savings_where_fats_are_counted(bar: Bar) -> None:
    """The same where fats are counted, the count itself included."""
    blend = told(bar.sheet, bar.shelf)
    base = cost(bar.sheet, bar.shelf)
    for wish in bar.sheet.goals:
        if wish.key in DEFAULTED:
            continue
        without = bar.sheet._replace(goals=tuple(one for one in bar.sheet.goals if one is not wish))
        assert line_of(blend, wish).saves_if_dropped == pytest.approx(base - cost(without, bar.shelf), abs=1e-6)
    (count,) = [line for line in blend.goals if line.id == wish_id("fats.at_most")]
    free = cost(bar.sheet._replace(fat_count=()), bar.shelf)
    assert count.saves_if_dropped == pytest.approx(base - free, abs=1e-6)


@settings(max_examples=examples(40))
@given(bars(most_fats=8), st.data())
def test_a_fat_enters_below_its_price_and_not_above(bar: Bar, data: st.DataObject) -> None:
    """At half a per cent under the price told the bar gets cheaper; at half a per cent over, it does not."""
    blend = told(bar.sheet, bar.shelf)
    priced = [line for line in blend.unused if line.enters_below is not None and line.enters_below > 0.05]
    assume(priced)
    line = data.draw(st.sampled_from(priced))
    price = line.enters_below
    assert price is not None
    assert price <= line.price + 1e-4

    def at(new: float) -> float:
        fats = tuple(one._replace(price=new) if one.fat.name == line.fat else one for one in bar.shelf.fats)
        return cost(bar.sheet, bar.shelf._replace(fats=fats))

    base = cost(bar.sheet, bar.shelf)
    assert at(price + 0.005 * price + 1e-3) == pytest.approx(base, abs=1e-8)
    assert at(price - 0.005 * price - 1e-3) < base - 1e-9


@settings(max_examples=examples(25))
@given(bars(most_fats=8))
def test_just_a_fat_that_enters_at_no_price_makes_nothing_cheaper_as_a_gift(bar: Bar) -> None:
    """A fat told to enter at no price makes the bar no cheaper even as a gift; one told to enter at a price does."""
    blend = told(bar.sheet, bar.shelf)
    base = cost(bar.sheet, bar.shelf)
    assume(blend.unused)
    for line in blend.unused:
        fats = tuple(one._replace(price=0.0) if one.fat.name == line.fat else one for one in bar.shelf.fats)
        free = cost(bar.sheet, bar.shelf._replace(fats=fats))
        if line.enters_below is None:
            assert free == pytest.approx(base, abs=1e-6)
        else:
            assert free < base - 1e-9
