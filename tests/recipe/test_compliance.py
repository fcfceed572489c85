"""Wishes held against a recipe by plain sums."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from strategies import (
    SPAN,
    Bar,
    at_least,
    at_most,
    bars,
    exactly,
    examples,
    limit,
    recipe_at,
    sheet_of,
    shelf_of,
    wish_id,
    with_practice,
)

from optimiser.materials.fat_table import reference
from optimiser.measures.practice import rules
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.problem.batch import Batch
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.limits import Limit
from optimiser.problem.money import Prices
from optimiser.problem.wishes import Section, WishId
from optimiser.recipe.compliance import Verdict, holds, verdicts
from optimiser.recipe.evaluation import Recipe, judge

RECIPE = recipe_at({"olive oil": 60.0, "coconut oil": 25.0, "shea butter": 10.0, "castor oil": 5.0})
PRICES = Prices("EUR", dict.fromkeys(("olive oil", "coconut oil", "shea butter", "castor oil"), 4.0))


def told(sheet: GoalSheet, recipe: Recipe = RECIPE, prices: Prices | None = None) -> dict[WishId, Verdict]:
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
    verdict = told(sheet_of(shares=(wish,)))[wish_id(f"shares.{wish.key}.{wish.side}")]
    assert verdict.value == pytest.approx(value)
    assert verdict.holds is good


def test_exclusions_look_at_every_tag() -> None:
    """Coconut oil is lauric, and nothing here is of palm or an animal."""
    found = told(sheet_of(free_from=("palm", "animal", "lauric")))
    assert found[wish_id("free_from.palm")].holds
    assert found[wish_id("free_from.animal")].holds
    assert not found[wish_id("free_from.lauric")].holds
    assert found[wish_id("free_from.lauric")].value == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("side", "number", "good"),
    [("at_most", 4, True), ("at_most", 3, False), ("at_least", 4, True), ("at_least", 5, False), ("exactly", 4, True)],
)
def test_fats_are_counted(side: str, number: int, good: bool) -> None:  # noqa: FBT001
    """Four fats are four, neither more nor fewer."""
    wish = limit("number of fats", side, float(number), "count")
    assert told(sheet_of(fat_count=(wish,)))[wish_id(f"fats.{side}")].holds is good


def test_the_smallest_share_is_judged() -> None:
    """A least share of 5 % holds of a recipe whose smallest is 5 %, one of 6 % does not."""
    assert told(sheet_of(fat_count=(at_least("each fat", 5.0, "count"),)))[wish_id("fats.each_at_least")].holds
    assert not told(sheet_of(fat_count=(at_least("each fat", 6.0, "count"),)))[wish_id("fats.each_at_least")].holds


def test_a_cost_is_judged_only_where_prices_are_known() -> None:
    """Without prices there is no verdict on the cost; with them it is by kilo, pound or bar."""
    wishes = [limit("cost", "at_most", 1.0, per=per) for per in ("kg", "lb", "bar")]
    for wish in wishes:
        sheet = sheet_of(wish)._replace(batch=Batch(cured_weight_kg=0.11))
        assert not [name for name in told(sheet) if "cost" in name]
        per_kg = judge(RECIPE, PRICES).cost_per_kg
        assert per_kg is not None
        factor = {"kg": 1.0, "lb": 0.45359237, "bar": 0.11}[wish.per]
        assert told(sheet, prices=PRICES)[wish_id("goals.cost.at_most")].value == pytest.approx(per_kg * factor)


def test_practice_is_held_against_a_recipe_too() -> None:
    """A recipe of a quarter castor oil breaks the house's rule on castor oil, unless the rule is changed or off."""
    sticky = recipe_at({"olive oil": 50.0, "coconut oil": 25.0, "castor oil": 25.0})
    assert not told(with_practice(), sticky)[wish_id("practice.castor oil.at_most")].holds
    change = PracticeChange("castor oil", (at_most("castor oil", 30.0, "fat"),), SPAN)
    assert told(with_practice(practice=(change,)), sticky)[wish_id("practice.castor oil.at_most")].holds
    assert wish_id("practice.castor oil.at_most") not in told(sheet_of(), sticky)
    off = PracticeChange("castor oil", (), SPAN)
    assert wish_id("practice.castor oil.at_most") not in told(with_practice(practice=(off,)), sticky)


def test_a_default_stands_aside_for_a_goal() -> None:
    """A goal on superfat takes the place of the house's 5 %."""
    found = told(with_practice(exactly("superfat", 8.0)))
    assert wish_id("practice.superfat.exactly") not in found
    assert not found[wish_id("goals.superfat.exactly")].holds


@pytest.mark.parametrize(("side", "low", "high"), [("at_least", 4.97, 4.99), ("at_most", 5.03, 5.01)])
def test_a_balance_may_blur_a_fiftieth_of_a_step(side: str, low: float, high: float) -> None:
    """A superfat 0.01 % off is what a balance blurs, 0.03 % off is not."""
    wish = limit("superfat", side, 5.0)
    assert not holds(wish, low)
    assert holds(wish, high)


@settings(max_examples=examples(40))
@given(bars())
def test_judge_and_model_know_the_same_wishes(bar: Bar) -> None:
    """Every wish of the programme on a figure has a verdict of the same name, under house practice too."""
    sheet = bar.sheet._replace(practice_off=False)
    judged = {item.id for item in verdicts(sheet, recipe_at(bar.shares), bar.judged)}
    members = {name for name in build(sheet, bar.shelf).members if name.section != Section.STOCK}
    members = {
        name for name in members if name.within in ("", *(fat for fat, share in bar.shares.items() if share > 0))
    }
    assert members <= judged
    silent = {wish_id(f"practice.{rule.name}.{rule.side}") for rule in rules() if rule.subject == "additive"}
    assert judged - members <= silent


def test_additives_are_judged_by_their_share() -> None:
    """Two per cent of sugar are two per cent of the fats."""
    sweet = recipe_at({"olive oil": 1.0}, extra={"sugar": 2.0})
    sheet = sheet_of(additives=(at_most("sugar", 2.0, "additive"),))
    assert told(sheet, sweet)[wish_id("additives.sugar.at_most")].value == pytest.approx(2.0)
    assert build(sheet, shelf_of({"olive oil": 7.0})).columns.additives[0].name == "sugar"


# -- just inside and just outside ----------------------------------------------------------------------------------


def off_by(recipe: Recipe, alkali: float, water: float = 0.0) -> Recipe:
    """A recipe with some grams more or less of sodium hydroxide and of water."""
    return recipe._replace(sodium_hydroxide=recipe.sodium_hydroxide + alkali, water=recipe.water + water)


def only(wish: Limit, recipe: Recipe) -> Verdict:
    """The verdict on one goal."""
    return told(sheet_of(wish), recipe)[wish_id(f"goals.{wish.key}.{wish.side}")]


@pytest.mark.parametrize("grams", [60.0, 1000.0, 20_000.0])
@pytest.mark.parametrize("key", ["superfat", "worst_case_superfat"])
def test_alkali_rounded_down_breaks_no_superfat(key: str, grams: float) -> None:
    """A tenth of a gram of alkali too little is the balance, on the safe side only; three tenths are not, nor is more."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, grams=grams)
    reached = judge(recipe).values[key]
    for wish in (at_most(key, reached), exactly(key, reached)):
        step = 3.0 * 0.02 * judge(recipe).pure_sodium_hydroxide / 100.0  # what blurs, in grams of alkali, and more
        assert only(wish, recipe).holds
        assert only(wish, off_by(recipe, -0.1)).holds
        assert not only(wish, off_by(recipe, -0.3 - step)).holds
    for wish in (at_least(key, reached), exactly(key, reached)):
        assert not only(wish, off_by(recipe, 0.1 + 0.0005 * recipe.sodium_hydroxide)).holds


@pytest.mark.parametrize(("real", "most"), [(9.0, 5.0), (5.5, 5.0), (5.2, 5.0)])
def test_a_superfat_above_its_limit_is_no_rounding(real: float, most: float) -> None:
    """Nine per cent is not "at most 5 %", nor is 5.2 % of a kilo of fats."""
    assert not only(at_most("superfat", most), recipe_at({"olive oil": 1.0}, superfat=real)).holds
    assert not only(at_least("superfat", real), recipe_at({"olive oil": 1.0}, superfat=most)).holds


@pytest.mark.parametrize("grams", [50.0, 1000.0, 20_000.0])
@pytest.mark.parametrize("key", ["lye_concentration", "water_to_alkali", "water_share_of_fats"])
@pytest.mark.parametrize("side", ["at_least", "at_most", "exactly"])
def test_a_balance_breaks_no_lye(key: str, side: str, grams: float) -> None:
    """A tenth of a gram of alkali and half as much water, either way, is the balance; a fiftieth of all water is not."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, grams=grams)
    wish = limit(key, side, judge(recipe).values[key])
    assert all(only(wish, off_by(recipe, a, w)).holds for a in (-0.1, 0.0, 0.1) for w in (-0.05, 0.0, 0.05))
    much = 0.03 * recipe.water + 0.4
    wetter, drier = only(wish, off_by(recipe, 0.0, much)).holds, only(wish, off_by(recipe, 0.0, -much)).holds
    rises = key != "lye_concentration"
    assert wetter == (side == ("at_least" if rises else "at_most"))
    assert drier == (side == ("at_most" if rises else "at_least"))


@pytest.mark.parametrize("grams", [50.0, 1000.0, 20_000.0])
def test_a_strong_lye_is_not_a_weak_one(grams: float) -> None:
    """A lye of 45 % is not "at most 35 %", of whatever batch, and one of 28 % not "at least 33 %"."""
    assert not only(at_most("lye_concentration", 35.0), recipe_at({"olive oil": 1.0}, lye=45.0, grams=grams)).holds
    assert not only(at_least("lye_concentration", 33.0), recipe_at({"olive oil": 1.0}, lye=28.0, grams=grams)).holds


@pytest.mark.parametrize(("key", "half"), [("hardness", 0.5), ("trace_speed", 0.5), ("C18:1", 0.0)])
def test_a_bare_figure_has_a_band_where_it_is_an_index(key: str, half: float) -> None:
    """A bare measure means within half a point and what a balance blurs, either way; a bare share of an acid only that."""
    scale = quantities()[key].scale
    band = half + 0.02 * scale
    value = judge(RECIPE).values[key]
    for away in (-1.0, 1.0):
        assert only(exactly(key, value + away * (band - 0.01)), RECIPE).holds
        assert not only(exactly(key, value + away * (band + 0.01)), RECIPE).holds
    assert not only(at_least(key, value + 0.02 * scale + 0.01), RECIPE).holds
    assert not only(at_most(key, value - 0.02 * scale - 0.01), RECIPE).holds


def test_no_room_where_there_is_no_alkali() -> None:
    """A bowl of fats without alkali is judged like any other: all of it is superfat, and no lye is of any strength."""
    bowl = RECIPE._replace(sodium_hydroxide=0.0)
    assert not only(at_most("superfat", 40.0), bowl).holds
    assert not only(at_least("lye_concentration", 10.0), bowl).holds


def test_rules_have_the_same_words_for_the_judge_as_in_the_model() -> None:
    """Each rule of the house is told alike, with its per cent, whether it is a row or a verdict."""
    sheet, shelf = with_practice(), shelf_of({"olive oil": 7.0, "coconut oil": 3.0})
    rows = {row.wish: str(row.said) for row in build(sheet, shelf).rows if row.origin == "practice"}
    words = {
        item.id: str(item.limit.said) for item in verdicts(sheet, RECIPE, judge(RECIPE)) if item.origin == "practice"
    }
    assert rows.items() <= words.items()
    assert rows[wish_id("practice.castor oil.at_most")] == "house practice: castor oil at most 10 %"
    assert rows[wish_id("practice.hardness.at_least")] == "house practice: hardness at least 50"
    named = rows[wish_id("practice.short saturated acids at least.at_least")]
    assert named == "house practice: short saturated acids at least 12 %"


@pytest.mark.parametrize(("grams", "room"), [(1000.0, 0.03), (100.0, 0.12), (20_000.0, 0.0205)])
@pytest.mark.parametrize("name", ["sugar", "citric acid"])
def test_an_additive_is_held_to_a_step_of_the_balance(name: str, grams: float, room: float) -> None:
    """A tenth of a gram, and a fiftieth of a per cent, is what a balance blurs of an additive; a tenth of a per cent is not."""
    for away in (-1.0, 1.0):
        for off, good in ((room - 0.001, True), (room + 0.001, False)):
            sweet = recipe_at({"olive oil": 1.0}, extra={name: 0.5 + away * off}, grams=grams)
            side = at_most if away > 0 else at_least
            for wish in (side(name, 0.5, "additive"), exactly(name, 0.5, "additive")):
                assert told(sheet_of(additives=(wish,)), sweet)[wish_id(f"additives.{name}.{wish.side}")].holds is good


@pytest.mark.parametrize(("subject", "key", "blur"), [("fat", "olive oil", 0.1), ("additive", "sugar", 0.02)])
def test_a_share_is_held_to_a_fiftieth_of_its_step(subject: str, key: str, blur: float) -> None:
    """A tenth of a per cent of a fat is what a balance blurs, and a fiftieth of one of an additive; hardly more is too much."""
    for wish, way in ((at_most(key, 25.0, subject), 1.0), (at_least(key, 25.0, subject), -1.0)):
        assert holds(wish, 25.0 + way * 0.95 * blur)
        assert not holds(wish, 25.0 + way * 1.05 * blur)
        assert holds(wish, 25.0 - way * 5.0)


@pytest.mark.parametrize("cost", [4.0, 10.0, 25.0])
def test_a_cost_is_held_to_a_thousandth(cost: float) -> None:
    """A twentieth of the cost is a small step of it, and a fiftieth of that is what a balance blurs: 10.00 may be 10.01."""
    wish = limit("cost", "at_most", cost, per="kg")
    assert holds(wish, 1.00095 * cost)
    assert not holds(wish, 1.00105 * cost)


@pytest.mark.parametrize("potassium", [0.0, 40.0, 90.0])
def test_the_balance_reads_all_of_the_alkali(potassium: float) -> None:
    """In a bar of two alkalis a tenth of a gram is a part of both together: so much more superfat is the balance, hardly more."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, grams=200.0, potassium=potassium)
    tenth = 100.0 * 0.1 / (recipe.sodium_hydroxide + recipe.potassium_hydroxide)
    step = quantities()["superfat"].scale * 0.02
    reached = judge(recipe).values["superfat"]
    assert only(at_most("superfat", reached - 0.995 * (tenth + step)), recipe).holds
    assert not only(at_most("superfat", reached - 1.005 * (tenth + step)), recipe).holds
    assert not only(at_least("superfat", reached + 1.005 * step), recipe).holds


@pytest.mark.parametrize("potassium", [0.0, 40.0, 90.0])
@pytest.mark.parametrize("key", ["lye_concentration", "water_to_alkali", "water_share_of_fats"])
def test_the_room_of_a_lye_is_what_rounding_moves_it(key: str, potassium: float) -> None:
    """A tenth of a gram of alkali up or down and half as much water the other way, worked out anew, is the room it has."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, potassium=potassium, lye=28.0)
    value = judge(recipe).values[key]
    moved = [judge(off_by(recipe, change, -0.5 * change)).values[key] for change in (-0.1, 0.1)]
    room = 0.5 * abs(moved[1] - moved[0]) + 0.02 * quantities()[key].scale
    for way, side in ((1.0, at_least), (-1.0, at_most)):
        assert only(side(key, value + way * (room - 0.002 * abs(room - 0.02 * quantities()[key].scale))), recipe).holds
        assert not only(side(key, value + way * (room + 0.004 * abs(moved[1] - moved[0]))), recipe).holds


def test_a_rule_of_the_house_stands_in_no_line() -> None:
    """What the maker did not write has no line of the maker's file; what was written keeps its own."""
    found = told(with_practice(at_least("hardness", 10.0)))
    assert found[wish_id("goals.hardness.at_least")].limit.span.line == SPAN.line
    assert {item.limit.span.line for item in found.values() if item.origin == "practice"} == {0}


def test_another_additive_is_no_part_of_a_wish() -> None:
    """Two per cent of sugar beside one of salt are two, and a fat or an additive that is not there is none."""
    sweet = recipe_at({"olive oil": 1.0}, extra={"sugar": 2.0, "salt": 1.0})
    wishes = (at_most("sugar", 2.0, "additive"), at_least("citric acid", 1.0, "additive"))
    found = told(sheet_of(additives=wishes), sweet)
    assert found[wish_id("additives.sugar.at_most")].value == pytest.approx(2.0)
    assert found[wish_id("additives.sugar.at_most")].holds
    assert found[wish_id("additives.citric acid.at_least")].value == 0.0


def test_additives_are_excluded_like_fats() -> None:
    """Honey and beeswax are of bees: half a per cent of either breaks the wish, and both are added up; sugar is of none."""
    fats = {"olive oil": 99.5, "beeswax": 0.5}
    for recipe, share in (
        (recipe_at({"olive oil": 1.0}, extra={"honey": 0.5, "sugar": 2.0}), 0.5),
        (recipe_at(fats, extra={"sugar": 2.0}), 0.5),
        (recipe_at(fats, extra={"honey": 1.0}), 1.5),
        (recipe_at({"olive oil": 1.0}, extra={"sugar": 2.0}), 0.0),
    ):
        found = told(sheet_of(free_from=("bee",)), recipe)[wish_id("free_from.bee")]
        assert found.value == pytest.approx(share)
        assert found.holds is (share == 0.0)
        assert (found.limit.side, found.limit.value) == ("at_most", 0.0)


def test_a_fat_of_no_grams_is_no_fat() -> None:
    """A line of 0 g counts for nothing, neither as a fat nor as the smallest; half a gram in a kilo does for both."""

    def counted(grams: float) -> dict[WishId, Verdict]:
        fats = (*RECIPE.fats, (reference().get("lard"), grams))
        sheet = sheet_of(fat_count=(at_most("number of fats", 9.0, "count"), at_least("each fat", 1.0, "count")))
        return told(sheet, RECIPE._replace(fats=fats))

    none, some = counted(0.0), counted(0.5)
    for made, number, least in ((none, 4.0, 5.0), (some, 5.0, 50.0 / 1000.5)):
        assert made[wish_id("fats.at_most")].value == number
        assert made[wish_id("fats.each_at_least")].value == pytest.approx(least)
    assert not some[wish_id("fats.each_at_least")].holds


@pytest.mark.parametrize(("share", "good"), [(4.91, True), (4.89, False)])
def test_the_smallest_share_is_blurred_like_any_other(share: float, good: bool) -> None:  # noqa: FBT001
    """Each fat at least 5 %: a tenth of a per cent less is what a balance blurs."""
    recipe = recipe_at({"olive oil": 100.0 - share, "castor oil": share})
    wish = at_least("each fat", 5.0, "count")
    assert told(sheet_of(fat_count=(wish,)), recipe)[wish_id("fats.each_at_least")].holds is good
