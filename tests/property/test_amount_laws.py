"""Laws of amounts and liquids: one amount said in three ways is one bar, and the model's water is the judge's."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import SPAN, examples, sheet_of, shelf_of

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.materials.liquids import liquids
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.programme import build
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf, StockedAdditive
from optimiser.problem.wishes import Said
from optimiser.recipe.compliance import amount, verdicts
from optimiser.recipe.evaluation import judge, late
from optimiser.recipe.rounding import exact_grams, recipe_of
from optimiser.solve.optimum import solve

FATS = {"olive oil": 7.0, "coconut oil": 3.0, "palm oil": 2.0, "shea butter": 9.0}
MILKS = ("goat milk", "coconut milk", "aloe juice", "yogurt", "banana puree")
BATCHES = st.sampled_from(
    (
        Batch(fats_kg=2.5),
        Batch(fats_kg=None, bars=24, cured_weight_kg=0.105),
        Batch(fats_kg=None, mould=Mould(30.0, 9.0, 7.0)),
        Batch(fats_kg=None, batter_kg=4.0),
        Batch(fats_kg=0.8, cured_water=0.05),
    )
)


def shelf() -> Shelf:
    """A few fats, an acid, a salt, and some liquids."""
    extra = {name: StockedAdditive(liquids()[name], 1.2, SPAN) for name in MILKS}
    return shelf_of(FATS, extra={"kaolin": 3.0, "citric acid": 5.0, "sodium lactate": 9.0})._replace(liquids=extra)


def asked(key: str, value: float, unit: str, subject: str, side: str = "exactly") -> Limit:
    """A wish for so much."""
    return Limit(key, SubjectKind(subject), Side(side), value, unit, Said(key, Side(side), f"{value:g} {unit}"), SPAN)


def found(batch: Batch, *wishes: Limit) -> Blend:
    """The cheapest bar with this much of each in it; half of it olive oil, so that there is one."""
    olive = asked("olive oil", 40.0, "%", "fat", "at_least")
    additives = tuple(wish for wish in wishes if wish.subject == SubjectKind.ADDITIVE)
    poured = tuple(wish for wish in wishes if wish.subject == SubjectKind.LIQUID)
    story = answer_for(sheet_of(shares=(olive,), batch=batch, additives=additives, liquids=poured), shelf())
    assert isinstance(story, Blend)
    return story


def grams_of(story: Blend) -> dict[str, float]:
    """Everything of the exact blend in grams."""
    lines = {line.fat: line.grams for line in story.fats} | {line.additive: line.grams for line in story.additives}
    lines |= {line.liquid: line.grams for line in story.liquids}
    return lines | {"alkali": story.alkali.sodium_hydroxide, "water": story.water.grams, "cost": story.cost.per_kg}


@settings(max_examples=examples(12))
@given(batch=BATCHES, name=st.sampled_from(["kaolin", "citric acid", "sodium lactate"]), share=st.floats(0.2, 3.0))
def test_an_additive_said_in_three_ways_is_one_bar(batch: Batch, name: str, share: float) -> None:
    """Per cent of the fats, grams for a kilo of fats, and grams of the batch: the same blend."""
    plain = grams_of(found(batch, asked(name, share, "%", "additive")))
    each = grams_of(found(batch, asked(name, 10.0 * share, "g/kg", "additive")))
    whole = grams_of(found(batch, asked(name, plain[name], "g", "additive")))
    assert each == pytest.approx(plain, rel=1e-6, abs=1e-6)
    assert whole == pytest.approx(plain, rel=1e-6, abs=1e-6)


@settings(max_examples=examples(12))
@given(batch=BATCHES, name=st.sampled_from(MILKS), share=st.floats(2.0, 45.0))
def test_a_liquid_said_in_two_ways_is_one_bar(batch: Batch, name: str, share: float) -> None:
    """A share of what stands for the water, or its grams: the same blend."""
    plain = grams_of(found(batch, asked(name, share, "%", "liquid")))
    whole = grams_of(found(batch, asked(name, plain[name], "g", "liquid")))
    assert whole == pytest.approx(plain, rel=1e-6, abs=1e-5)
    assert plain[name] == pytest.approx(share / 100.0 * (plain[name] + plain["water"]), rel=1e-6)


@settings(max_examples=examples(20))
@given(batch=BATCHES, shares=st.dictionaries(st.sampled_from(MILKS), st.floats(1.0, 25.0), min_size=1, max_size=3))
def test_model_and_judge_hold_the_same_water(batch: Batch, shares: dict[str, float]) -> None:
    """All water, that of the lye as mixed, the weight of the bars and every liquid are the same by both."""
    wishes = tuple(asked(name, share, "%", "liquid") for name, share in shares.items())
    sheet = sheet_of(liquids=wishes, additives=(asked("citric acid", 0.5, "%", "additive"),), batch=batch)
    programme = build(sheet, shelf())
    _, best = solve(programme)
    assume(best is not None)
    assert best is not None
    columns, point = programme.columns, best.point[: programme.columns.size]
    recipe = recipe_of(columns, exact_grams(columns, best.point), shelf().purities)
    judged = judge(recipe)
    kilograms = recipe.fat_grams / 1000.0
    assert judged.total_water == pytest.approx(1000.0 * kilograms * float(columns.at("water") @ point), rel=1e-6)
    assert recipe.jug == pytest.approx(1000.0 * kilograms * float(columns.jug @ point), rel=1e-6)
    assert judged.cured_grams == pytest.approx(1000.0 * kilograms * float(columns.cured @ point), rel=1e-6)
    assert judged.lye_as_mixed <= 50.0 + 1e-6
    for item in verdicts(sheet, recipe, judged):
        assert item.holds, item.id
    for wish in wishes:
        assert amount(wish, recipe) == pytest.approx(wish.value, rel=1e-6)


@settings(max_examples=examples(20))
@given(name=st.sampled_from(MILKS), share=st.floats(1.0, 45.0))
def test_no_alkali_is_weighed_for_the_fat_of_a_liquid(name: str, share: float) -> None:
    """Beside the same fats a liquid asks for no alkali but that of its acid, and never the fat's; superfat is the fats'."""
    one_fat = shelf()._replace(fats=shelf().fats[:1])
    plain = answer_for(sheet_of(), one_fat)
    wet = answer_for(sheet_of(liquids=(asked(name, share, "%", "liquid"),)), one_fat)
    assert isinstance(plain, Blend)
    assert isinstance(wet, Blend)
    acid = wet.liquids[0].grams / 1000.0 * liquids()[name].alkali_mol_per_kg * 39.997
    more = wet.alkali.sodium_hydroxide_pure - plain.alkali.sodium_hydroxide_pure
    assert more == pytest.approx(acid, abs=1e-6)
    assert wet.alkali.superfat == pytest.approx(5.0)


@settings(max_examples=examples(20))
@given(share=st.floats(1.0, 100.0))
def test_alkali_is_dissolved_in_as_much_water_at_least(share: float) -> None:
    """Milk waits only where plain water as heavy as the alkali is there to dissolve it."""
    story = found(Batch(fats_kg=1.0), asked("goat milk", share, "%", "liquid"))
    waits = [item.name for item, _ in late(story.recipe) if item.is_liquid]
    pure = story.recipe.sodium_hydroxide * story.recipe.sodium_purity
    assert (waits == ["goat milk"]) is (story.recipe.water >= pure)
    assert story.weighed.lye_as_mixed <= 50.0 + 1e-3
