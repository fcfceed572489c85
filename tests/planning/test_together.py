"""Several bars as one programme: rows in kilos, sizes, what is shared, ids and words."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from strategies import at_least, at_most, limit, sheet_of, shelf_of

from optimiser.measures.sides import Side
from optimiser.model.programme import Programme, build
from optimiser.planning.blocks import SIZE, Member, mark, size_of
from optimiser.planning.offers import Offer, Order, Tin
from optimiser.planning.together import Together, together
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.wishes import NUMBER_OF_FATS, Origin, Section, WishId
from optimiser.solve.optimum import solve

PRICES = {"olive oil": 7.0, "coconut oil": 3.0, "palm oil": 2.0}
SHELF = shelf_of(PRICES, stock={"coconut oil": 2.0})
BATCHES = {
    "bars": Batch(fats_kg=None, bars=30, cured_weight_kg=0.1),
    "kg of fats": Batch(fats_kg=2.5),
    "kg of batter": Batch(fats_kg=None, batter_kg=4.0),
    "litres of batter": Batch(fats_kg=None, mould=Mould(30, 9, 7)),
}


def programme(batch: Batch, **parts: object) -> Programme:
    """A bar of some hardness with a little coconut oil."""
    goals = (at_least("hardness", 40.0),)
    return build(sheet_of(*goals, shares=(at_least("coconut oil", 10.0, "fat"),), batch=batch, **parts), SHELF)


def two() -> Together:
    """Two bars, one by number and one by its fats."""
    return together(
        [Member("one", programme(BATCHES["bars"]), 3.0), Member("two", programme(BATCHES["kg of fats"]), 3.5)]
    )


@pytest.mark.parametrize("unit", BATCHES)
def test_a_blend_in_kilos_meets_the_rows(unit: str) -> None:
    """A blend of a bar times its fats meets every row of the plan, its size to the gram, and figures stay what they are."""
    made = programme(BATCHES[unit])
    found = solve(made)[1]
    assert found is not None
    plan = together([Member("bar", made, found.ratio)])
    size = size_of(made.columns)
    assert size.unit == unit
    kilos = size.amount / float(size.top @ found.point[: made.columns.size])
    assert kilos <= plan.blocks[0].most_fats + 1e-9
    point = kilos * found.point
    activity = plan.programme.matrix @ point
    assert (activity >= plan.programme.row_low - 1e-7).all()
    assert (activity <= plan.programme.row_high + 1e-7).all()
    assert plan.blocks[0].alone(point) == pytest.approx(found.point)
    values = {str(row.wish): row.value(point) for row in plan.programme.rows}
    for row in made.rows:
        if row.origin in (Origin.GOAL, Origin.SHARE):
            own = str(row.wish._replace(within="bar: "))
            assert values[own] == pytest.approx(row.value(found.point))
    assert float(plan.programme.money @ point) == pytest.approx(0.0, abs=1e-7)


def test_what_all_draw_is_one_wish() -> None:
    """The stock of a fat is one row over the kilos of both bars, and everything else is one bar's own."""
    plan = two()
    stock = WishId(Section.STOCK, "coconut oil", Side.AT_MOST)
    row = plan.programme.row_of(stock)
    places = [block.first + block.columns.index["coconut oil"] for block in plan.blocks]
    assert sorted(np.flatnonzero(row.top).tolist()) == places
    assert row.top[places].tolist() == [1.0, 1.0]
    assert (row.limit, row.unit) == (2.0, "kg")
    assert stock not in plan.bars_of
    others = [name for name in plan.programme.members if name != stock]
    assert others
    assert all(name.within.startswith((mark("one"), mark("two"))) for name in others)
    assert {plan.bars_of[name] for name in others} == {0, 1}


def test_how_much_is_made_is_a_wish() -> None:
    """That so much is made may be given up; that it is no more may not, so that fewer bars are a way out and more are none."""
    plan = two()
    sizes = [name for name in plan.programme.members if name.key == SIZE]
    assert [(name.side, name.within) for name in sizes] == [(Side.AT_LEAST, "one: "), (Side.AT_LEAST, "two: ")]
    assert [str(plan.programme.row_of(name).said) for name in sizes] == ["one: 30 bars", "two: 2.5 kg of fats"]
    assert [plan.programme.row_of(name).scale for name in sizes] == [2.0, 1.0]
    assert [block.cured_kg for block in plan.blocks] == [pytest.approx(3.0), None]
    assert not [row for row in plan.programme.rows if row.wish.key == "shares"]  # the size says how much all of it is
    most = [row for row in plan.programme.rows if row.figure == SIZE and row.side == Side.AT_MOST]
    assert [row.origin for row in most] == [Origin.PHYSICS, Origin.PHYSICS]


def test_each_bar_keeps_its_own_cone() -> None:
    """The lots of each bar stray by themselves: a cone over its own columns."""
    plan = two()
    assert len(plan.programme.every_lots) == 2
    for block, lots in zip(plan.blocks, plan.programme.every_lots, strict=True):
        assert lots.norm == block.first + block.columns.index["lot spread"]
        assert not lots.weight[: block.first].any()


def test_first_preferences_come_before_second_ones() -> None:
    """The first preference of each bar, in the order of the plan, then the second of each."""
    wishes = ((at_least("mildness", 70.0),), (at_least("hardness", 60.0),))
    made = programme(BATCHES["bars"], prefer=wishes)
    plan = together([Member("one", made, 3.0), Member("two", made, 3.0)])
    told = [plan.programme.rows[one.rows[0]].wish for one in plan.programme.soft]
    assert [(name.key, name.within) for name in told] == [
        ("mildness", "one: 0"),
        ("mildness", "two: 0"),
        ("hardness", "one: 1"),
        ("hardness", "two: 1"),
    ]
    assert all(plan.programme.matrix[one.rows[0], one.shortfalls[0]] == 1.0 for one in plan.programme.soft)


@pytest.mark.parametrize("unit", ["bars", "kg of fats"])
def test_counted_fats_are_counted_in_kilos(unit: str) -> None:
    """A smallest share is met of the fats that are used, and not of those that are not, whatever decides how much fat there is."""
    fats = (
        limit(NUMBER_OF_FATS, "at_most", 2.0, "count"),
        limit("each fat", "at_least", 20.0, "count")._replace(unit="%"),
    )
    made = programme(BATCHES[unit], fat_count=fats)
    found = solve(made)[1]
    assert found is not None
    plan = together([Member("bar", made, found.ratio)])
    size = size_of(made.columns)
    kilos = size.amount / float(size.top @ found.point[: made.columns.size])
    point = np.where(made.integer, found.point, kilos * found.point)
    activity = plan.programme.matrix @ point
    assert (activity >= plan.programme.row_low - 1e-7).all()
    assert (activity <= plan.programme.row_high + 1e-7).all()
    used = int(np.flatnonzero(found.point[: made.columns.count] > 0.1)[0])
    pinched = point.copy()
    pinched[used] *= 0.05
    broken = plan.programme.matrix @ pinched < plan.programme.row_low - 1e-9
    assert any(broken[place] and row.wish.section == Section.FATS for place, row in enumerate(plan.programme.rows))


def test_a_share_held_by_its_column_is_a_row_of_the_plan() -> None:
    """An end of a column that is more than a guard, as of a recipe in hand or of what helps, holds of the share and not of the kilos."""
    made = programme(BATCHES["bars"])
    place = made.columns.index["palm oil"]
    high, low = made.column_high.copy(), made.column_low.copy()
    high[place], low[place] = 0.4, 0.1
    from dataclasses import replace

    plan = together([Member("bar", replace(made, column_high=high, column_low=low), 3.0)])
    rows = [row for row in plan.programme.rows if row.figure == "palm oil" and row.origin == Origin.PHYSICS]
    assert sorted((row.side, row.limit) for row in rows) == [(Side.AT_LEAST, 0.1), (Side.AT_MOST, 0.4)]
    point = np.zeros(len(plan.programme.money))
    point[: made.columns.count] = [0.5, 1.0, 2.5]
    assert [row.value(point) for row in rows] == [pytest.approx(2.5 / 4.0)] * 2
    none = replace(made, column_high=np.where(np.arange(len(high)) == place, 0.0, made.column_high))
    held = together([Member("bar", none, 3.0)]).programme
    assert held.column_high[place] == 0.0
    assert not [row for row in held.rows if row.figure == "palm oil" and row.origin == Origin.PHYSICS]


def test_with_purchases_a_stock_is_no_limit_unless_nothing_can_be_bought() -> None:
    """What can be bought is no wish; what cannot is one, and the objective counts what is paid."""
    member = Member("one", programme(BATCHES["bars"]), 3.0)
    tin = Order(0.0, inf, (Tin(5.0, 3.1),))
    offers = (Offer("coconut oil", 2.0, 3.0, (tin,)), Offer("olive oil", 4.0, 7.0), Offer("palm oil", 0.0, 2.0, (tin,)))
    plan = together([member], offers, 0.0)
    assert plan.purchases is not None
    stocks = [name.key for name in plan.programme.members if name.section == Section.STOCK]
    assert stocks == ["olive oil"]
    counted = [one.fat for one in plan.purchases.columns if one.kind == "count"]
    assert counted == ["coconut oil", "palm oil"]
    first = plan.purchases.first
    own = plan.programme.money[first:]
    assert own[[one.kind == "count" for one in plan.purchases.columns]].tolist() == [15.5, 15.5]
    assert plan.programme.money[plan.blocks[0].columns.index["palm oil"]] == pytest.approx(-3.0 / 0.9)


def test_an_at_most_share_stays_a_share() -> None:
    """Rows of a bar do not change with how much of it is made: only the size and the stock do."""
    small, large = (
        together([Member("bar", build(sheet_of(at_most("rancidity", 2.0), batch=Batch(fats_kg=kilos)), SHELF), 3.0)])
        for kilos in (1.0, 8.0)
    )
    same = [
        np.allclose(one, other)
        for row, one, other in zip(small.programme.rows, small.programme.matrix, large.programme.matrix, strict=True)
        if row.figure != SIZE and row.origin != Origin.STOCK
    ]
    assert same
    assert all(same)
