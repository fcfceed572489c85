"""Clashes across bars: who is in them, what they need, and what by itself makes a plan."""

from __future__ import annotations

import pytest
from strategies import at_least, sheet_of, shelf_of

from optimiser.analysis.plan_clashes import Way, moved, shortages, size_of
from optimiser.model.programme import build
from optimiser.planning.blocks import SIZE, Member
from optimiser.planning.together import Together, together
from optimiser.problem.batch import Batch
from optimiser.problem.wishes import Section
from optimiser.solve.solver import Live

PRICES = {"olive oil": 7.0, "coconut oil": 3.0, "palm oil": 2.0}


def plan_of(stock: float, *shares: float, batch: Batch | None = None) -> Together:
    """Bars of two kilos of fats (or another batch), each with a least share of coconut oil, and so much of that in stock."""
    shelf = shelf_of(PRICES, stock={"coconut oil": stock})
    made = Batch(fats_kg=2.0) if batch is None else batch
    sheets = [sheet_of(shares=(at_least("coconut oil", share, "fat"),), batch=made) for share in shares]
    return together([Member(str(place), build(sheet, shelf), 3.0) for place, sheet in enumerate(sheets)])


def test_two_bars_that_need_more_than_there_is_clash() -> None:
    """The clash is of both shares, both sizes and the stock; a third bar that needs none has no part in it; what is needed is told."""
    plan = plan_of(1.0, 30.0, 40.0, 0.0)
    found = shortages(plan, plan)
    (one,) = found.found
    assert found.complete
    assert one.clash.exact
    assert sorted((str(row.wish.section), row.wish.key) for row in one.rows) == [
        ("goals", SIZE),
        ("goals", SIZE),
        ("shares", "coconut oil"),
        ("shares", "coconut oil"),
        ("stock", "coconut oil"),
    ]
    assert {plan.bars_of.get(row.wish) for row in one.rows} == {0, 1, None}
    reaches = {
        (row.wish.key, plan.bars_of.get(row.wish)): value for row, value in zip(one.rows, one.reaches, strict=True)
    }
    assert reaches["coconut oil", None] == pytest.approx(1.4)
    assert reaches["coconut oil", 0] == pytest.approx(10.0)
    assert reaches["coconut oil", 1] == pytest.approx(20.0)
    assert reaches[SIZE, 0] == pytest.approx(2.0 / 3.0)
    assert reaches[SIZE, 1] == pytest.approx(1.0)


def test_each_way_out_makes_a_plan_and_a_step_less_does_not() -> None:
    """Stock, sizes and shares each make a plan at the figure told, and not at one a little nearer to their own."""
    plan = plan_of(1.0, 30.0, 40.0)
    found = shortages(plan, plan)
    assert found.ways_complete
    assert len(found.ways) == 5
    for way in found.ways:
        nearer = way.value + 0.02 * (1.0 if way.row.limit > way.value else -1.0) * max(1.0, way.row.scale)
        for value, makes in ((way.value, True), (nearer, False)):
            outcome = Live(moved(plan.programme, way.row, value)).minimise()
            assert outcome.feasible == makes, (str(way.row.wish), value)


def test_what_is_made_and_what_there_is_come_first() -> None:
    """Ways out by stock and by how much is made stand before those that make a bar another one; each kind by its size."""
    plan = plan_of(1.0, 30.0, 40.0)
    ways = shortages(plan, plan).ways
    kinds = [way.row.figure == SIZE or way.row.wish.section == Section.STOCK for way in ways]
    assert kinds == sorted(kinds, reverse=True)
    assert [size_of(way) for way in ways] == sorted(size_of(way) for way in ways)


def test_whole_bars_are_made() -> None:
    """Of bars the way out is a whole number, as many as there can be."""
    plan = plan_of(1.0, 30.0, 40.0, batch=Batch(fats_kg=None, bars=20, cured_weight_kg=0.1))
    sizes = [way for way in shortages(plan, plan).ways if way.row.figure == SIZE]
    assert sizes
    assert all(way.value == int(way.value) and 0 < way.value < 20 for way in sizes)


def test_a_way_out_is_priced_with_the_rules_of_the_house() -> None:
    """What a way out costs is that of the plan with the house; where that leaves no room it is not known."""
    plan = plan_of(1.0, 30.0, 40.0)
    none = plan_of(0.5, 30.0, 40.0)  # stands for a house that leaves no room, whatever one wish gives
    way = next(way for way in shortages(plan, plan).ways if way.row.wish.section == Section.SHARES)
    assert way.beyond is not None
    assert isinstance(way, Way)
    same = [one for one in shortages(plan, none).ways if one.row.wish == way.row.wish]
    assert [one.beyond for one in same] == [None]
