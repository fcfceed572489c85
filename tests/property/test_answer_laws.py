"""Laws of the answer: what must not matter, and which way things must go."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import (
    PLAIN,
    Bar,
    at_least,
    at_most,
    bars,
    exactly,
    examples,
    sheet_of,
    shelf_of,
    stocked,
)

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.measures.practice import rules
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.solve.optimum import solve

POUND = 0.45359237
DEFAULTED = {key for rule in rules() if rule.side == "exactly" for key in rule.gives_way}  # defaults stand behind these


def cost(sheet: GoalSheet, shelf: Shelf) -> float | None:
    """The least cost per kilo, or None where there is no blend."""
    _, found = solve(build(sheet, shelf))
    return None if found is None else found.ratio


def repriced(shelf: Shelf, factor: float) -> Shelf:
    """A shelf with every price, alkali too, times a factor."""
    return shelf._replace(
        fats=tuple(item._replace(price=item.price * factor) for item in shelf.fats),
        alkalis={name: item._replace(price=item.price * factor) for name, item in shelf.alkalis.items()},
    )


@settings(max_examples=examples(25))
@given(bars(), st.randoms(use_true_random=False))
def test_the_order_of_the_shelf_does_not_matter(bar: Bar, chance: object) -> None:
    """A shelf written in another order gives the same answer in every figure."""
    fats: list[Stocked] = list(bar.shelf.fats)
    chance.shuffle(fats)  # type: ignore[attr-defined]
    one = answer_for(bar.sheet, bar.shelf)
    other = answer_for(bar.sheet, bar.shelf._replace(fats=tuple(fats)))
    assert one == other


@settings(max_examples=examples(25))
@given(bars(), st.sampled_from((POUND, 0.01, 7.5, 1000.0)))
def test_another_currency_is_the_same_bar(bar: Bar, factor: float) -> None:
    """Prices in another currency, or by the pound, change the cost by that factor and the blend not at all."""
    one, other = answer_for(bar.sheet, bar.shelf), answer_for(bar.sheet, repriced(bar.shelf, factor))
    assert isinstance(one, Blend)
    assert isinstance(other, Blend)
    assert other.cost.per_kg == pytest.approx(factor * one.cost.per_kg, rel=1e-7)


@settings(max_examples=examples(40))
@given(bars(), st.data())
def test_tightening_never_saves(bar: Bar, data: st.DataObject) -> None:
    """With any one limit tighter the cost is no lower, or there is no blend at all."""
    assume(bar.sheet.goals)
    place = data.draw(st.integers(0, len(bar.sheet.goals) - 1))
    step = data.draw(st.floats(0.0, 1.0)) * quantities()[bar.sheet.goals[place].key].scale
    goals = list(bar.sheet.goals)
    wish = goals[place]
    goals[place] = wish._replace(value=wish.value + (step if wish.side == "at_least" else -step))
    before, after = cost(bar.sheet, bar.shelf), cost(bar.sheet._replace(goals=tuple(goals)), bar.shelf)
    assert before is not None
    assert after is None or after >= before - 1e-8


@settings(max_examples=examples(30))
@given(bars())
def test_every_wish_given_up_saves_or_costs_nothing(bar: Bar) -> None:
    """Without any one goal the cost is no higher, unless a default of the house comes back in its place."""
    whole = cost(bar.sheet, bar.shelf)
    assert whole is not None
    for place, wish in enumerate(bar.sheet.goals):
        if wish.key in DEFAULTED:
            continue
        goals = (*bar.sheet.goals[:place], *bar.sheet.goals[place + 1 :])
        fewer = cost(bar.sheet._replace(goals=goals), bar.shelf)
        assert fewer is not None
        assert fewer <= whole + 1e-8


@settings(max_examples=examples(40))
@given(bars(), st.sampled_from(PLAIN), st.integers(50, 2000))
def test_more_choice_never_costs_more(bar: Bar, name: str, cents: int) -> None:
    """One more fat on the shelf never makes the cheapest bar dearer, and a cheaper price never does either."""
    assume(all(item.fat.name != name for item in bar.shelf.fats))
    before = cost(bar.sheet, bar.shelf)
    wider = bar.shelf._replace(fats=(*bar.shelf.fats, stocked(name, cents / 100.0)))
    after = cost(bar.sheet, wider)
    assert before is not None
    assert after is not None
    assert after <= before + 1e-8
    first = bar.shelf.fats[0]._replace(price=0.9 * bar.shelf.fats[0].price)
    cheaper = cost(bar.sheet, bar.shelf._replace(fats=(first, *bar.shelf.fats[1:])))
    assert cheaper is not None
    assert cheaper <= before + 1e-8


@settings(max_examples=examples(20))
@given(bars(counted=True, most_fats=6))
def test_counting_never_saves(bar: Bar) -> None:
    """A limit on the number of fats never makes the bar cheaper, and one more fat allowed never dearer."""
    counted = cost(bar.sheet, bar.shelf)
    free = cost(bar.sheet._replace(fat_count=()), bar.shelf)
    limit = bar.sheet.fat_count[0]
    looser = cost(bar.sheet._replace(fat_count=(limit._replace(value=limit.value + 1.0),)), bar.shelf)
    assert counted is not None
    assert free is not None
    assert looser is not None
    assert free <= looser + 1e-7
    assert looser <= counted + 1e-7


@settings(max_examples=examples(25))
@given(bars())
def test_a_preference_already_met_changes_nothing(bar: Bar) -> None:
    """Preferring what the cheapest bar has anyway costs nothing."""
    plain = answer_for(bar.sheet, bar.shelf)
    assert isinstance(plain, Blend)
    value = plain.figures["hardness"] - 0.1
    wished = answer_for(bar.sheet._replace(prefer=((at_least("hardness", value),),)), bar.shelf)
    assert isinstance(wished, Blend)
    assert wished.preferences[0].met
    assert wished.cost.per_kg == pytest.approx(plain.cost.per_kg, rel=1e-7)


@settings(max_examples=examples(25))
@given(bars(), st.sampled_from(("hardness", "mildness", "iodine_value", "trace_speed")), st.floats(-20.0, 120.0))
def test_a_preference_is_missed_by_the_least_possible(bar: Bar, key: str, value: float) -> None:
    """What a preference falls short by is just what stands between it and the reach of the goals."""
    wish: Limit = at_least(key, value)
    wished = answer_for(bar.sheet._replace(prefer=((wish,),)), bar.shelf)
    assert isinstance(wished, Blend)
    short = wished.preferences[0].short_by
    nearly = wish._replace(value=value - short - 1e-4)
    assert cost(bar.sheet._replace(goals=(*bar.sheet.goals, nearly)), bar.shelf) is not None
    if not wished.preferences[0].met:
        beyond = wish._replace(value=value - short + 1e-4)
        assert cost(bar.sheet._replace(goals=(*bar.sheet.goals, beyond)), bar.shelf) is None


LEVERS: tuple[tuple[str, str, Sequence[Limit], Sequence[Limit]], ...] = (
    ("hardness", "down", (exactly("superfat", 2.0),), (exactly("superfat", 9.0),)),
    ("harshness", "down", (exactly("superfat", 2.0),), (exactly("superfat", 9.0),)),
    ("mildness", "up", (exactly("superfat", 2.0),), (exactly("superfat", 9.0),)),
    ("rancidity", "up", (exactly("superfat", 2.0),), (exactly("superfat", 9.0),)),
    ("trace_speed", "up", (exactly("lye_concentration", 28.0),), (exactly("lye_concentration", 36.0),)),
    ("set_up", "up", (exactly("lye_concentration", 28.0),), (exactly("lye_concentration", 36.0),)),
    ("hardness", "up", (exactly("lye_concentration", 28.0),), (exactly("lye_concentration", 36.0),)),
    ("hardness", "down", (exactly("potassium_share", 0.0),), (exactly("potassium_share", 10.0),)),
    ("quick_lather", "up", (exactly("potassium_share", 0.0),), (exactly("potassium_share", 10.0),)),
)


@pytest.mark.parametrize(("figure", "way", "before", "after"), LEVERS)
def test_levers_pull_the_way_the_trade_says(
    figure: str, way: str, before: Sequence[Limit], after: Sequence[Limit]
) -> None:
    """Superfat softens and soothes, less water quickens and hardens, potassium softens and lathers (common practice, no source)."""
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0}, potassium=True)
    shares = (exactly("palm oil", 40.0, "fat"), exactly("olive oil", 35.0, "fat"))
    one, other = (answer_for(sheet_of(*goals, shares=shares), shelf) for goals in (before, after))
    assert isinstance(one, Blend)
    assert isinstance(other, Blend)
    change = other.figures[figure] - one.figures[figure]
    assert change > 0.5 or (figure == "rancidity" and change > 0.0) if way == "up" else change < -0.5


@pytest.mark.parametrize(
    ("figure", "additive", "sign"),
    [
        ("hardness", "sodium lactate", 1),
        ("set_up", "sodium lactate", 1),
        ("hardness", "salt", 1),
        ("quick_lather", "salt", -1),
    ],
)
def test_additives_pull_the_way_the_trade_says(figure: str, additive: str, sign: int) -> None:
    """Lactate and salt harden the bar, lactate lets it be unmoulded sooner, salt costs lather (common practice, no source)."""
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0}, extra={additive: 1.0})
    shares = (exactly("palm oil", 40.0, "fat"), exactly("olive oil", 35.0, "fat"))
    plain = answer_for(sheet_of(shares=shares), shelf)
    added = answer_for(sheet_of(shares=shares, additives=(exactly(additive, 2.0, "additive"),)), shelf)
    assert isinstance(plain, Blend)
    assert isinstance(added, Blend)
    assert sign * (added.figures[figure] - plain.figures[figure]) > 0.5


@settings(max_examples=examples(20))
@given(bars(), st.floats(0.0, 6.0))
def test_a_worst_case_goal_saves_every_lot(bar: Bar, superfat: float) -> None:
    """With the worst case at least 0 %, no lot whose value lies inside its range is lye-heavy: the worst told is not below zero."""
    sheet = bar.sheet._replace(
        goals=(at_least("worst_case_superfat", 0.0), at_least("superfat", superfat), at_most("superfat", 12.0)),
    )
    found = answer_for(sheet, bar.shelf)
    assume(isinstance(found, Blend))
    assert isinstance(found, Blend)
    assert found.alkali.superfat_worst_case >= -1e-6
    assert found.weighed.superfat_worst_case >= -1e-6
    low = sum(stocked(line.fat, 1.0).fat.saponification.low * line.grams for line in found.fats) / 56.106 / 1000.0
    assert found.alkali.sodium_hydroxide_pure / 39.997 <= low + 1e-9
