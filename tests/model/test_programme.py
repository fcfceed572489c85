"""Goals and a shelf become one programme of arrays."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import SPAN, Bar, at_least, at_most, bars, exactly, examples, sheet_of, shelf_of, wish_id, with_practice

from optimiser.measures.practice import rules
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.wishes import Section, WishId
from optimiser.solve.optimum import solve

PRICES = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0}
SHELF = shelf_of(PRICES, extra={"sodium lactate": 9.0})


def members(sheet: GoalSheet) -> set[WishId]:
    """The wishes of a sheet over the shelf above."""
    return set(build(sheet, SHELF).members)


def test_fats_stand_in_order_of_name() -> None:
    """The order of the shelf's file does not matter."""
    assert [fat.name for fat in build(sheet_of(), SHELF).columns.fats] == sorted(PRICES)


def test_physics_is_no_wish() -> None:
    """What cannot be given up is not among the wishes, and every wish has at least one row."""
    made = build(with_practice(exactly("hardness", 60.0), free_from=("palm",)), SHELF)
    assert not any(name.section == Section.PHYSICS for name in made.members)
    assert wish_id("goals.hardness.exactly") in made.members
    assert len(made.members[wish_id("goals.hardness.exactly")]) == 2
    assert made.row_of(wish_id("free_from.palm")).origin == "exclusion"


def test_practice_gives_way_to_a_goal_on_the_same_figure() -> None:
    """A default of the house stands aside as soon as the maker speaks of its figure."""
    for rule in rules():
        for key in rule.gives_way:
            assert key in quantities(), rule.name
            sheet = with_practice(at_most(key, quantities()[key].highest))
            assert wish_id(f"practice.{rule.name}.{rule.side}") not in members(sheet), (rule.name, key)


def test_practice_stands_until_it_is_named() -> None:
    """A rule changed by name has the maker's figure, a rule switched off none, and the others stay."""
    changed = PracticeChange("castor oil", (at_most("castor oil", 20.0, "fat"),), SPAN)
    off = PracticeChange("solid fats", (), SPAN)
    made = build(with_practice(practice=(changed, off)), SHELF)
    assert made.row_of(wish_id("practice.castor oil.at_most")).limit == 20.0
    assert wish_id("practice.solid fats.at_most") not in made.members
    assert wish_id("practice.lauric oils.at_most") in made.members


def test_practice_off_leaves_what_alkali_and_water_need() -> None:
    """Without house practice a superfat of 5 % and a 33 % lye still stand, unless the maker asks for others."""
    likely = wish_id("practice.likely superfat.at_least")
    defaults = {wish_id("practice.superfat.exactly"), wish_id("practice.lye concentration.exactly")}
    assert members(sheet_of(yielded=frozenset())) == {*defaults, likely}
    assert members(sheet_of(exactly("superfat", 8.0), exactly("water_to_alkali", 2.0))) == {
        wish_id("goals.superfat.exactly"),
        wish_id("goals.water_to_alkali.exactly"),
    }


def test_a_rule_on_an_additive_that_nobody_uses_is_no_row() -> None:
    """House practice on sodium lactate, changed or not, waits until the goals name sodium lactate."""
    change = PracticeChange("sodium lactate", (at_most("sodium lactate", 5.0, "additive"),), SPAN)
    assert wish_id("practice.sodium lactate.at_most") not in members(with_practice(practice=(change,)))
    used = with_practice(practice=(change,), additives=(at_least("sodium lactate", 1.0, "additive"),))
    assert build(used, SHELF).row_of(wish_id("practice.sodium lactate.at_most")).limit == 5.0


def test_no_potassium_unless_asked_for() -> None:
    """A hard bar is a sodium soap: the potassium column is held at nothing until a goal speaks of it."""
    shelf = shelf_of(PRICES, potassium=True)

    def held(sheet: GoalSheet) -> bool:
        return any(row.figure == "potassium_share" and row.origin == "physics" for row in build(sheet, shelf).rows)

    assert held(sheet_of())
    assert not held(sheet_of(at_most("potassium_share", 10.0)))


def test_counting_brings_a_switch_for_each_fat() -> None:
    """Counted fats have one 0/1 column each that bounds their share from above and, if asked for, below."""
    counted = (at_most("number of fats", 2.0, "count"), at_least("each fat", 10.0, "count"))
    made = build(sheet_of(fat_count=counted), SHELF)
    n, size = made.columns.count, made.columns.size
    assert made.is_mixed_integer
    assert made.integer.sum() == n
    point = np.zeros(len(made.money))
    point[[0, size]] = 0.09, 1.0

    def broken() -> set[WishId]:
        activity = made.matrix @ point
        off = (activity < made.row_low - 1e-9) | (activity > made.row_high + 1e-9)
        return {made.rows[place].wish for place in np.flatnonzero(off) if made.rows[place].origin == "count"}

    assert broken() == {wish_id("fats.each_at_least")}
    point[0] = 0.1
    assert broken() == set()
    point[[size + 1, size + 2]] = 1.0
    point[[1, 2]] = 0.2
    assert broken() == {wish_id("fats.at_most")}


def test_at_least_so_many_fats_forbids_no_pinch() -> None:
    """A fat below one per cent does not count, and is allowed; a pinch that the maker asks for counts as it is."""
    shelf = shelf_of({**PRICES, "stearic acid": 3.4})
    counts = (at_least("number of fats", 3.0, "count"),)
    pinch = (exactly("stearic acid", 0.3, "fat"),)
    _, found = solve(build(sheet_of(shares=pinch, fat_count=counts), shelf))
    assert found is not None
    assert np.count_nonzero(found.point[: len(shelf.fats)] > 1e-7) == 3
    made = build(sheet_of(fat_count=counts), shelf)
    point = np.zeros(len(made.money))
    point[0] = 0.003
    counting = [place for place, row in enumerate(made.rows) if row.origin == "physics"]
    switched = [place for place in counting if made.rows[place].wish.within in ("counts", "used")]
    assert np.all(made.matrix[switched] @ point >= made.row_low[switched])
    assert np.all(made.matrix[switched] @ point <= made.row_high[switched])


def test_at_least_and_at_most_count_apart() -> None:
    """Between three and four fats: pinches count towards the most, and only from one per cent on towards the least."""
    shelf = shelf_of({"coconut oil": 3.0, "palm oil": 2.0, "olive oil": 6.0, "castor oil": 5.0, "beeswax": 9.0})
    counts = (at_least("number of fats", 3.0, "count"), at_most("number of fats", 3.0, "count"))
    wax = (exactly("waxes", 0.5, "kind"),)
    made = build(sheet_of(shares=wax, fat_count=counts), shelf)
    assert solve(made)[1] is None  # three that count and the wax are four
    more = (counts[0], at_most("number of fats", 4.0, "count"))
    _, found = solve(build(sheet_of(shares=wax, fat_count=more), shelf))
    assert found is not None
    shares = found.point[: len(shelf.fats)]
    assert np.count_nonzero(shares >= 0.01 - 1e-8) == 3
    assert np.count_nonzero(shares > 1e-7) == 4


@pytest.mark.parametrize("number", [2.0, 3.0])
def test_just_so_many_fats(number: float) -> None:
    """Exactly so many is no fewer that count and no more that are there; the wish goes as one."""
    shelf = shelf_of({"coconut oil": 3.0, "palm oil": 2.0, "olive oil": 6.0, "castor oil": 5.0})
    made = build(sheet_of(fat_count=(exactly("number of fats", number, "count"),)), shelf)
    _, found = solve(made)
    assert found is not None
    assert np.count_nonzero(found.point[: len(shelf.fats)] > 1e-7) == number
    assert len(made.members[wish_id("fats.exactly")]) == 2


def test_preferences_have_room_to_fall_short() -> None:
    """Each side of a preference gets a shortfall column that can make up for any miss."""
    made = build(sheet_of(prefer=((at_least("hardness", 90.0),), (exactly("iodine_value", 20.0),))), SHELF)
    assert [len(wish.shortfalls) for wish in made.soft] == [1, 2]
    for wish in made.soft:
        for row, column in zip(wish.rows, wish.shortfalls, strict=True):
            assert np.flatnonzero(made.matrix[:, column]).tolist() == [row]
            assert made.rows[row].origin == "preference"
            assert made.matrix[row, column] == (1.0 if made.rows[row].side == "at_least" else -1.0)
            assert made.money[column] == 0.0


def test_a_ratio_and_its_row_know_the_same_limit() -> None:
    """The cost per kilo is bounded as a row, and the row is tight where the cost is the limit."""
    made = build(sheet_of(at_most("cost", 4.0)), SHELF)
    (place,) = made.members[wish_id("goals.cost.at_most")]
    point = np.zeros(made.columns.size)
    point[[1, 2]] = 0.5
    point[made.columns.index["sodium hydroxide"]] = 0.14
    cost = (made.money @ point) / (made.cured @ point)
    assert made.matrix[place] @ point == pytest.approx((cost - 4.0) * (made.cured @ point))


@settings(max_examples=examples(40))
@given(bars())
def test_a_bar_that_a_judge_finds_good_meets_every_row(bar: Bar) -> None:
    """A blend worked out by hand that keeps its wishes lies within the bounds of every row of the programme."""
    made = build(bar.sheet, bar.shelf)
    point = np.zeros(len(made.money))
    for name, share in bar.shares.items():
        point[made.columns.index[name]] = share
    point[made.columns.index["sodium hydroxide"]] = bar.judged.pure_sodium_hydroxide / 1000.0
    point[made.columns.index["water"]] = bar.judged.total_water / 1000.0
    activity = made.matrix @ point
    assert np.all(activity >= made.row_low - 1e-8)
    assert np.all(activity <= made.row_high + 1e-8)
    assert np.all(point <= made.column_high)


def test_a_goal_given_twice_on_other_sides_is_two_wishes() -> None:
    """Between is two wishes that can be given up one by one."""
    assert members(sheet_of(at_least("hardness", 40.0), at_most("hardness", 60.0))) >= {
        wish_id("goals.hardness.at_least"),
        wish_id("goals.hardness.at_most"),
    }


def test_the_sheet_is_not_changed_by_building() -> None:
    """Building twice gives the same arrays."""
    sheet = with_practice(at_least("hardness", 50.0))
    one, other = build(sheet, SHELF), build(sheet._replace(), SHELF)
    assert np.array_equal(one.matrix, other.matrix)
    assert np.array_equal(one.row_low, other.row_low)
