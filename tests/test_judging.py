"""Wishes held against a recipe by plain sums."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from strategies import SPAN, Bar, at_least, at_most, bars, exactly, limit, recipe_at, sheet_of, shelf_of, with_practice

from optimiser.batch import Batch
from optimiser.goal_form import PracticeChange
from optimiser.goals import GoalSheet, Limit
from optimiser.judging import Verdict, holds, verdicts
from optimiser.practice import rules
from optimiser.programme import build
from optimiser.recipe import Prices, Recipe, judge

RECIPE = recipe_at({"olive oil": 60.0, "coconut oil": 25.0, "shea butter": 10.0, "castor oil": 5.0})
PRICES = Prices("EUR", dict.fromkeys(("olive oil", "coconut oil", "shea butter", "castor oil"), 4.0))


def told(sheet: GoalSheet, recipe: Recipe = RECIPE, prices: Prices | None = None) -> dict[str, Verdict]:
    """Every verdict by its name."""
    return {item.id: item for item in verdicts(sheet, recipe, judge(recipe, prices))}


@pytest.mark.parametrize(
    ("wish", "value", "good"),
    [
        (at_least("coconut oil", 25.0, "fat"), 25.0, True),
        (at_least("coconut oil", 26.0, "fat"), 25.0, False),
        (at_most("solid fats", 35.0, "group"), 35.0, True),
        (at_most("butters", 9.0, "kind"), 10.0, False),
        (exactly("liquid oils", 65.0, "kind"), 65.0, True),
        (at_most("lauric", 25.0, "tag"), 25.0, True),
        (at_least("argan oil", 1.0, "fat"), 0.0, False),
    ],
)
def test_shares_are_judged_by_what_is_in_the_pot(wish: Limit, value: float, good: bool) -> None:  # noqa: FBT001
    """A fat, kind, group or tag has the share that it was weighed with."""
    verdict = told(sheet_of(shares=(wish,)))[f"shares.{wish.key}.{wish.side}"]
    assert verdict.value == pytest.approx(value)
    assert verdict.holds is good


def test_exclusions_look_at_every_tag() -> None:
    """Coconut oil is lauric, and nothing here is of palm or an animal."""
    found = told(sheet_of(free_from=("palm", "animal", "lauric")))
    assert found["free_from.palm"].holds
    assert found["free_from.animal"].holds
    assert not found["free_from.lauric"].holds
    assert found["free_from.lauric"].value == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("side", "number", "good"),
    [("at_most", 4, True), ("at_most", 3, False), ("at_least", 4, True), ("at_least", 5, False), ("exactly", 4, True)],
)
def test_fats_are_counted(side: str, number: int, good: bool) -> None:  # noqa: FBT001
    """Four fats are four, neither more nor fewer."""
    wish = limit("number of fats", side, float(number), "count")  # type: ignore[arg-type]
    assert told(sheet_of(fat_count=(wish,)))[f"fats.{side}"].holds is good


def test_the_smallest_share_is_judged() -> None:
    """A least share of 5 % holds of a recipe whose smallest is 5 %, one of 6 % does not."""
    assert told(sheet_of(fat_count=(at_least("each fat", 5.0, "count"),)))["fats.each_at_least"].holds
    assert not told(sheet_of(fat_count=(at_least("each fat", 6.0, "count"),)))["fats.each_at_least"].holds


def test_a_cost_is_judged_only_where_prices_are_known() -> None:
    """Without prices there is no verdict on the cost; with them it is by kilo, pound or bar."""
    wishes = [limit("cost", "at_most", 1.0, per=per) for per in ("kg", "lb", "bar")]
    for wish in wishes:
        sheet = replace(sheet_of(wish), batch=Batch(cured_weight_kg=0.11))
        assert not [name for name in told(sheet) if "cost" in name]
        per_kg = judge(RECIPE, PRICES).cost_per_kg
        assert per_kg is not None
        factor = {"kg": 1.0, "lb": 0.45359237, "bar": 0.11}[wish.per]
        assert told(sheet, prices=PRICES)["goals.cost.at_most"].value == pytest.approx(per_kg * factor)


def test_practice_is_held_against_a_recipe_too() -> None:
    """A recipe of a quarter castor oil breaks the house's rule on castor oil, unless the rule is changed or off."""
    sticky = recipe_at({"olive oil": 50.0, "coconut oil": 25.0, "castor oil": 25.0})
    assert not told(with_practice(), sticky)["practice.castor oil.at_most"].holds
    change = PracticeChange("castor oil", (at_most("castor oil", 30.0, "fat"),), SPAN)
    assert told(with_practice(practice=(change,)), sticky)["practice.castor oil.at_most"].holds
    assert "practice.castor oil.at_most" not in told(sheet_of(), sticky)
    off = PracticeChange("castor oil", (), SPAN)
    assert "practice.castor oil.at_most" not in told(with_practice(practice=(off,)), sticky)


def test_a_default_stands_aside_for_a_goal() -> None:
    """A goal on superfat takes the place of the house's 5 %."""
    found = told(with_practice(exactly("superfat", 8.0)))
    assert "practice.superfat.exactly" not in found
    assert not found["goals.superfat.exactly"].holds


@pytest.mark.parametrize(("side", "low", "high"), [("at_least", 4.97, 4.99), ("at_most", 5.03, 5.01)])
def test_a_balance_may_blur_a_fiftieth_of_a_step(side: str, low: float, high: float) -> None:
    """A superfat 0.01 % off is what a balance blurs, 0.03 % off is not."""
    wish = limit("superfat", side, 5.0)  # type: ignore[arg-type]
    assert not holds(wish, low)
    assert holds(wish, high)


@settings(max_examples=40)
@given(bars())
def test_judge_and_model_know_the_same_wishes(bar: Bar) -> None:
    """Every wish of the programme on a figure has a verdict of the same name, under house practice too."""
    sheet = replace(bar.sheet, practice_off=False)
    judged = {item.id for item in verdicts(sheet, recipe_at(bar.shares), bar.judged)}
    members = {name for name in build(sheet, bar.shelf).members if not name.startswith("stock")}
    assert members <= judged
    silent = {f"practice.{rule.name}.{rule.side}" for rule in rules() if rule.subject == "additive"}
    assert judged - members <= silent


def test_additives_are_judged_by_their_share() -> None:
    """Two per cent of sugar are two per cent of the fats."""
    sweet = recipe_at({"olive oil": 1.0}, extra={"sugar": 2.0})
    sheet = sheet_of(additives=(at_most("sugar", 2.0, "additive"),))
    assert told(sheet, sweet)["additives.sugar.at_most"].value == pytest.approx(2.0)
    assert build(sheet, shelf_of({"olive oil": 7.0})).columns.additives[0].name == "sugar"
