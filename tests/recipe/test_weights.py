"""Weights as they are told: units, digits, and alkali that is never told rounder up."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples, recipe_at

from optimiser.problem.batch import Batch
from optimiser.problem.units import Units, units_called
from optimiser.recipe.balance import down, near, read_by, steps, up
from optimiser.recipe.weights import Weights, finer, of_fats, of_jug, rough, step_told, stocked

OUNCE, POUND = 28.349523125, 453.59237


@pytest.mark.parametrize(
    ("units", "decimals", "grams", "told"),
    [
        (Units.GRAMS, 1, 134.94, "134.9 g"),
        (Units.KILOGRAMS, 4, 134.9, "0.1349 kg"),
        (Units.OUNCES, 2, 4.76 * OUNCE, "4.76 oz"),
        (Units.POUNDS, 3, 1.002 * POUND, "1.002 lb"),
        (Units.POUNDS_AND_OUNCES, 1, 20.3 * OUNCE, "1 lb 4.3 oz"),
        (Units.POUNDS_AND_OUNCES, 1, 15.96 * OUNCE, "1 lb 0.0 oz"),
        (Units.POUNDS_AND_OUNCES, 2, 15.96 * OUNCE, "15.96 oz"),
        (Units.POUNDS_AND_OUNCES, 1, 32 * OUNCE, "2 lb 0.0 oz"),
    ],
)
def test_a_weight_is_told_with_its_unit(units: Units, decimals: int, grams: float, told: str) -> None:
    """In the unit's own digits; sixteen ounces are a pound even where rounding makes them so."""
    assert Weights(units, decimals).told(grams) == told


@settings(max_examples=examples(200))
@given(st.floats(0.0, 1e6), st.sampled_from(list(Units)), st.integers(0, 4))
def test_alkali_is_never_told_above_what_is_held(grams: float, units: Units, decimals: int) -> None:
    """The figure told is at most a milligram above the grams, and less than a digit below."""
    said = Weights(units, decimals).alkali(grams, "")
    pounds, ounces = re.fullmatch(r"(?:(\d+)lb)?([\d. ]+)(?:oz)?", said.replace(" ", "")).groups()  # type: ignore[union-attr]
    shown = float(pounds or 0) * POUND + float(ounces) * units.grams
    assert shown <= grams + 0.0011
    assert grams - shown < units.grams * 10.0**-decimals + 0.001


@settings(max_examples=examples(200))
@given(st.floats(0.0, 1e5), st.floats(0.0, 1e5), st.sampled_from(list(Units)), st.integers(0, 3))
def test_a_change_of_alkali_adds_up_to_what_is_told(before: float, after: float, units: Units, decimals: int) -> None:
    """What is told of it before, and how much more or less, is what is told of it now: never more than is held."""
    weights = Weights(units, decimals)
    change = weights.change(before, after, alkali=True) * units.grams
    shown = math.floor((before + 0.001) / units.grams * 10.0**decimals + 1e-6) / 10.0**decimals * units.grams
    held = (
        shown
        if not units.is_metric
        else math.floor(before / units.grams * 10.0**decimals + 1e-6) / 10.0**decimals * units.grams
    )
    assert held + change <= after + 0.0011 + 1e-6
    said = weights.by(before, after, alkali=True)
    assert said.endswith(("more", "less", "as before"))
    assert (said == "as before") == (weights.alkali(before) == weights.alkali(after))


def test_a_change_is_told_in_its_units() -> None:
    """Signed, and in words; of pounds and ounces too."""
    assert Weights(Units.OUNCES, 2).change_told(5.049 * OUNCE, 5.06 * OUNCE, alkali=True) == "+0.02 oz"
    assert Weights(Units.OUNCES, 2).change_told(5.06 * OUNCE, 5.049 * OUNCE, alkali=True) == "-0.02 oz"
    assert Weights(Units.POUNDS_AND_OUNCES, 1).by(0.0, 20.3 * OUNCE) == "1 lb 4.3 oz more"
    assert Weights(Units.GRAMS, 1).by(143.04, 143.01) == "as before"
    assert finer(Weights(Units.GRAMS, 1), Weights(Units.GRAMS, 2)).decimals == 2
    assert stocked(Units.POUNDS_AND_OUNCES).told(2 * POUND) == "2.00 lb"
    assert stocked(Units.GRAMS).told(300.0) == "0.30 kg"


@settings(max_examples=examples(200))
@given(st.floats(0.01, 1e5), st.sampled_from([OUNCE / 10, OUNCE / 100, OUNCE / 1000, POUND / 100, POUND / 1000]))
def test_steps_in_ounces_are_kept_to_the_milligram(grams: float, step: float) -> None:
    """Down is never above and up never below; what was rounded once stays, though it is held to the milligram."""
    low, high, middle = down(grams, step), up(grams, step), near(grams, step)
    assert grams - step - 0.0011 <= low <= grams + 1e-9
    assert grams - 1e-9 <= high <= grams + step + 0.0011
    assert (down(low, step), up(high, step), near(middle, step)) == (low, high, middle)
    assert round(low / step) * step == pytest.approx(low, abs=0.00101)


def test_balances_read_in_their_own_steps() -> None:
    """Fats to 0.1 oz and alkali to 0.01 oz, ten times finer below a kilo; in pounds 0.01 and 0.001 lb."""
    assert read_by(Units.OUNCES) == pytest.approx((OUNCE / 10, OUNCE / 100, OUNCE / 1000))
    assert read_by(Units.POUNDS_AND_OUNCES) == read_by(Units.OUNCES)
    assert read_by(Units.POUNDS) == pytest.approx((POUND / 100, POUND / 1000, POUND / 10000))
    assert read_by(Units.KILOGRAMS) == read_by(Units.GRAMS) == (1.0, 0.1, 0.01)
    assert steps(Batch(units=Units.OUNCES), 5000.0) == pytest.approx((OUNCE / 10, OUNCE / 100))
    assert steps(Batch(units=Units.OUNCES), 500.0) == pytest.approx((OUNCE / 100, OUNCE / 100))
    assert steps(Batch(units=Units.OUNCES, scale_g=1.0), 500.0) == (1.0, 1.0)
    assert [step_told(units, read_by(units)[1]) for units in Units] == [
        "0.1 g",
        "0.1 g",
        "0.01 oz",
        "0.001 lb",
        "0.01 oz",
    ]


def test_a_balance_in_grams_stays_one() -> None:
    """A balance that was told to read 5 g is told as such, and weights in ounces have two digits then, in pounds three."""
    assert [step_told(units, 5.0) for units in Units] == ["5 g"] * 5
    recipe = recipe_at({"olive oil": 70, "coconut oil": 30})._replace(fat_step=5.0, alkali_step=5.0)
    told = {units: of_fats(recipe._replace(units=units)).decimals for units in (Units.OUNCES, Units.POUNDS)}
    assert told == {Units.OUNCES: 2, Units.POUNDS: 3}


def test_digits_are_those_of_the_balance() -> None:
    """A recipe on steps of 0.1 and 0.01 oz is told in one and two decimals; one in grams as before."""
    recipe = recipe_at({"olive oil": 70, "coconut oil": 30})
    assert of_fats(recipe).units == Units.GRAMS
    assert [rough(units).told(1234.5) for units in Units] == ["1234 g", "1.23 kg", "43.5 oz", "2.72 lb", "2 lb 11.5 oz"]
    kilos = recipe._replace(units=Units.KILOGRAMS)
    assert of_fats(kilos).decimals == of_fats(recipe).decimals + 3
    assert of_jug(kilos).decimals == of_jug(recipe).decimals + 3
    assert [Weights().figure(math.nan), Weights().alkali(math.inf), Weights().figure(1234567.0)] == [
        "-",
        "-",
        "1 234 567",
    ]
    ounces = recipe._replace(units=Units.OUNCES, fat_step=OUNCE / 10, alkali_step=OUNCE / 100)
    assert (of_fats(ounces), of_jug(ounces)) == (Weights(Units.OUNCES, 1), Weights(Units.OUNCES, 2))


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("oz", "oz"),
        (" Ounces", "oz"),
        ("lb oz", "lb oz"),
        ("pounds and ounces", "lb oz"),
        ("LBS", "lb"),
        ("kilos", "kg"),
    ],
)
def test_units_answer_to_their_names(text: str, units: str) -> None:
    """By sign and by word, in either case."""
    assert units_called(text) == units
    assert units_called("stone") is None
