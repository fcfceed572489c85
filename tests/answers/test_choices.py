"""A few blends as an answer: what holds of each of them, what is said, and what is refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from strategies import at_least, at_most, sheet_of, shelf_of, with_practice

import optimiser
from optimiser.answers.choice_results import Choices
from optimiser.answers.choices import choices, choices_for
from optimiser.answers.results import Blend, NoBlend
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
FILES = (
    *("budget", "everyday", "fine-swirl", "mature-skin", "palm-free-vegetable", "laundry", "oily-skin"),
    *("design-stamped", "design-chequer", "design-piped-top", "design-salt-bar", "salt-water"),
)
PRICES = {
    "palm oil": 2.0,
    "palm kernel oil": 2.6,
    "coconut oil": 3.1,
    "lard": 2.2,
    "beef tallow": 2.3,
    "shea butter": 9.8,
    "olive oil": 7.4,
    "rapeseed oil": 2.1,
    "high oleic sunflower oil": 3.3,
    "castor oil": 5.2,
    "rice bran oil": 3.9,
}


def told(sheet: GoalSheet, shelf: Shelf, *, within: str = "5 %", count: int = 4) -> Choices:
    """The blends of goals that can be met."""
    found = choices_for(sheet, shelf, within=within, count=count)
    assert isinstance(found, Choices)
    return found


@pytest.mark.long
@pytest.mark.parametrize("name", FILES)
def test_of_every_goal_file(name: str) -> None:
    """Each blend meets every goal by the judge, costs no more than it may, and swaps no more than is proved; the first is `blend`'s."""
    path = ROOT / "goals" / f"{name}.yaml"
    found, cheapest = choices(path, within="5 %"), optimiser.blend(path)
    assert isinstance(found, Choices)
    assert isinstance(cheapest, Blend)
    first = found.choices[0]
    assert first.says == "the cheapest"
    assert first.blend.fats == cheapest.fats
    assert first.blend.recipe == cheapest.recipe
    dearer = [round(choice.dearer, 3) for choice in found.choices]
    assert dearer == sorted(dearer)
    assert len({choice.says for choice in found.choices}) == len(found.choices)
    for choice in found.choices:
        assert not choice.broken
        assert choice.blend.cost.per_kg <= found.ceiling * (1.0 + 1e-6)
        assert choice.dearer <= 5.0 + 1e-6
        assert choice.swapped <= 100.0 * found.most.share + 1e-4
        assert choice.apart >= 1.0 or found.is_single
        assert choice.blend.cautions
        assert sum(line.share for line in choice.blend.fats) == pytest.approx(100.0)


def test_what_is_swapped_is_the_fats_exchanged() -> None:
    """What a blend swaps is half of all differences of the shares told, and the nearest of the others is as near as told."""
    found = told(sheet_of(at_least("hardness", 50.0)), shelf_of(PRICES))
    tables = [{line.fat: line.share for line in choice.blend.fats} for choice in found.choices]
    assert len(tables) == 4

    def off(one: dict[str, float], other: dict[str, float]) -> float:
        return sum(abs(one.get(fat, 0.0) - other.get(fat, 0.0)) for fat in {*one, *other}) / 2.0

    for choice, table in zip(found.choices, tables, strict=True):
        assert choice.swapped == pytest.approx(off(table, tables[0]), abs=1e-6)
        assert choice.apart == pytest.approx(min(off(table, one) for one in tables if one is not table), abs=1e-6)


def test_counted_fats_stay_counted() -> None:
    """At most four fats are at most four in every blend, and the limit is the solver's word."""
    sheet = sheet_of(at_least("hardness", 50.0), fat_count=(at_most("number of fats", 4.0, "count"),))
    found = told(sheet, shelf_of(PRICES))
    assert found.is_counted
    assert not found.most.exact
    assert len(found.choices) == 4
    assert all(len(choice.blend.fats) <= 4 for choice in found.choices)


def test_preferences_stay_as_far_as_they_are_met() -> None:
    """A preference that the cheapest meets, or meets in part, every blend meets as far."""
    wish = at_least("wear_life", 60.0)
    found = told(sheet_of(at_least("mildness", 55.0), prefer=((wish,),)), shelf_of(PRICES), within="50 %")
    values = [choice.blend.figures["wear_life"] for choice in found.choices]
    assert found.has_preferences
    assert values[0] < 60.0
    assert min(values) >= values[0] - 1e-3
    free = told(sheet_of(at_least("mildness", 55.0)), shelf_of(PRICES), within="50 %")
    assert min(choice.blend.figures["wear_life"] for choice in free.choices) < values[0] - 1.0


def test_rules_that_gave_way_stand_where_they_stood() -> None:
    """Rules of the house that gave way to the cheapest give way no further for the others, whatever those may cost."""
    prices = {"coconut oil": 3.1, "palm kernel oil": 2.6, "babassu oil": 3.3, "castor oil": 5.2}
    found = told(with_practice(), shelf_of(prices), within="20 %")
    stands = {item.rule: item.at for item in found.stood_aside}
    assert stands["practice.castor oil.at_most"] == pytest.approx(50.0)
    short = stands["practice.short saturated acids at most.at_most"]
    assert len(found.choices) == 4
    for choice in found.choices:
        assert not choice.broken
        shares = {line.fat: line.share for line in choice.blend.fats}
        assert shares["castor oil"] <= 50.0 + 1e-4
        assert choice.blend.figures["short_saturated"] <= (short or 0.0) + 1e-4


def test_pinches_are_none_or_enough() -> None:
    """No fat of a blend is a pinch under the rule of the house, but for waxes and free acids."""
    found = told(with_practice(at_least("hardness", 45.0)), shelf_of(PRICES | {"cocoa butter": 12.0}))
    shares = [line.share for choice in found.choices for line in choice.blend.fats]
    assert len(found.choices) == 4
    assert min(shares) >= 3.0 - 1e-4


def test_there_is_but_one_blend() -> None:
    """Where goals leave one blend it is told alone, with the proof that there is no other."""
    sheet = sheet_of(shares=(at_least("palm oil", 60.0, "fat"), at_least("olive oil", 40.0, "fat")))
    found = told(sheet, shelf_of(PRICES))
    assert found.is_single
    assert found.complete
    assert found.most.share == pytest.approx(0.0, abs=1e-6)


def test_where_there_is_no_blend_it_is_why() -> None:
    """Goals that clash are answered as `blend` answers them."""
    sheet = sheet_of(at_least("hardness", 50.0), at_most("hardness", 40.0))
    found = choices_for(sheet, shelf_of(PRICES))
    assert isinstance(found, NoBlend)
    assert found.clashes


def test_more_money_never_narrows_the_limit() -> None:
    """The limit on how different a blend can be grows with what it may cost."""
    limits = [
        told(sheet_of(at_least("hardness", 50.0)), shelf_of(PRICES), within=w, count=2).most.share
        for w in ("1 %", "3 %", "9 %")
    ]
    assert limits == sorted(limits)
    assert limits[0] < limits[-1]


def test_money_and_per_cent_come_to_the_same() -> None:
    """So much a kilo, pound or bar asks for the blends that the same part of the cost asks for."""
    sheet, shelf = sheet_of(at_least("hardness", 50.0)), shelf_of(PRICES)
    by_part = told(sheet, shelf, within="5 %", count=2)
    cost = by_part.choices[0].blend.cost.per_kg
    for text in (f"{0.05 * cost:.9f} / kg", f"{0.05 * cost * 0.45359237:.9f} / lb", f"{0.05 * cost * 0.1:.9f} / bar"):
        found = told(sheet, shelf, within=text, count=2)
        assert found.ceiling == pytest.approx(by_part.ceiling, rel=1e-7)
        assert found.within == pytest.approx(5.0, rel=1e-6)
        assert found.choices[1].swapped == pytest.approx(by_part.choices[1].swapped, rel=1e-4)


@pytest.mark.parametrize(
    ("within", "count", "code"),
    [
        ("5 %", 1, Code.OUT_OF_RANGE),
        ("5 %", 7, Code.OUT_OF_RANGE),
        ("90 / kg", 4, Code.OUT_OF_RANGE),
        ("0.30 GBP / kg", 4, Code.WRONG_UNIT),
        ("0", 4, Code.OUT_OF_RANGE),
    ],
)
def test_what_cannot_be_asked(within: str, count: int, code: Code) -> None:
    """Too few or too many, money beyond the bar's own cost, another currency and no room at all are refused in words."""
    with pytest.raises(BadInput) as caught:
        choices_for(sheet_of(), shelf_of(PRICES), within=within, count=count)
    assert [fault.code for fault in caught.value.diagnostics] == [code]


def test_the_same_every_time() -> None:
    """Asked twice the answer is the same, to the last digit."""
    path = ROOT / "goals" / "fine-swirl.yaml"
    assert repr(choices(path)) == repr(choices(path))


def test_near_to_a_recipe_the_first_is_the_nearest(tmp_path: Path) -> None:
    """Another may be cheaper then: what each changes of the recipe is told, and no blend is called the cheapest."""
    goals = ROOT / "examples" / "harder.yaml"
    found = choices(goals, count=3)
    assert isinstance(found, Choices)
    assert found.near_to == "House bar"
    assert found.choices[0].says == "the nearest, 10.0 % of the fats changed"
    assert found.choices[1].dearer < 0.0
    assert re.search(r"% of the fats changed, \d+ % cheaper", found.choices[1].says)
    same = tmp_path / "same.yaml"
    recipe = ROOT / "examples" / "house-bar.yaml"
    same.write_text(f"near: {recipe}\nshelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\n", encoding="utf-8")
    single = choices(same)
    assert isinstance(single, Choices)
    assert [one.says for one in single.choices] == ["the nearest, nothing changed"]
