"""What each wish costs; against re-solving by the whole road see outside/test_duals.py."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from strategies import Bar, at_least, at_most, bars, examples, sheet_of, shelf_of, wish_id

from optimiser.analysis.entry_prices import NEVER, Entries
from optimiser.analysis.shadow_prices import prices
from optimiser.model.programme import Programme, build
from optimiser.solve.optimum import Cheapest, least_ratio, solve
from optimiser.solve.solver import Live
from optimiser.solve.tie_break import settle_ties

SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})


def solved(made: Programme) -> tuple[Live, Cheapest]:
    """The live model and the blend to show."""
    live, found = solve(made)
    assert found is not None
    return live, settle_ties(live, found)


def test_a_share_of_a_dear_fat_costs_the_difference() -> None:
    """One per cent less of olive oil at 7 for palm oil at 2 saves about 0.05 over the cured weight of a kilo of fats."""
    live, found = solved(build(sheet_of(shares=(at_least("olive oil", 20.0, "fat"),)), SHELF))
    price = prices(live, found)[wish_id("shares.olive oil.at_least")]
    cured = 1.14 / 0.9
    assert price.binding
    assert price.per_unit == pytest.approx(0.05 / cured, rel=0.03)
    assert price.saving == pytest.approx(20.0 * price.per_unit, rel=0.03)


def test_a_wish_with_room_to_spare_costs_nothing() -> None:
    """A limit that the cheapest blend does not touch neither binds nor saves."""
    live, found = solved(build(sheet_of(at_most("hardness", 99.0)), SHELF))
    price = prices(live, found)[wish_id("goals.hardness.at_most")]
    assert not price.binding
    assert price.per_unit == 0.0
    assert price.saving == 0.0


def test_two_wishes_for_the_same_thing_are_free_each_alone() -> None:
    """Where two limits ask for the same, easing either alone saves nothing, and neither is said to bind."""
    fat = at_least("castor oil", 10.0, "fat")
    tag = at_most("hard oils", 90.0, "kind")
    shelf = shelf_of({"palm oil": 2.0, "castor oil": 5.0})
    live, found = solved(build(sheet_of(shares=(fat, tag)), shelf))
    found_prices = prices(live, found)
    for name in (wish_id("shares.castor oil.at_least"), wish_id("shares.hard oils.at_most")):
        assert not found_prices[name].binding
        assert found_prices[name].saving == 0.0


@settings(max_examples=examples(25))
@given(bars())
def test_asking_for_prices_changes_nothing(bar: Bar) -> None:
    """After all prices the model gives the same answer as before, and no price or saving is below zero."""
    made = build(bar.sheet, bar.shelf)
    live, found = solved(made)
    told = prices(live, found)
    assert set(told) == set(made.members)
    assert all(price.per_unit >= 0.0 and (price.saving or 0.0) >= 0.0 for price in told.values())
    entries = Entries(live, found)
    for place in range(made.columns.count):
        entries.of(place, 1.0)
    again = least_ratio(live)
    assert again is not None
    assert again.ratio == pytest.approx(found.ratio, rel=1e-9)


def test_a_fat_short_in_stock_still_has_its_price() -> None:
    """A fat of which a gram is left has the same price of entry as one of which there is plenty."""

    def price(stock: dict[str, float]) -> float | None:
        shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0}, stock=stock)
        live, found = solved(build(sheet_of(), shelf))
        return Entries(live, found).of(found_index(live, "olive oil"), 7.0).price

    plenty, short = price({}), price({"olive oil": 0.00001})
    assert plenty is not None
    assert short == pytest.approx(plenty, abs=1e-3)


def found_index(live: Live, name: str) -> int:
    """Where a fat stands."""
    return int(live.programme.columns.index[name])


def test_a_fat_that_is_barred_enters_at_no_price() -> None:
    """A fat that a goal keeps out has no price of entry."""
    live, found = solved(build(sheet_of(free_from=("lauric",)), SHELF))
    assert Entries(live, found).of(found_index(live, "coconut oil"), 3.0) == NEVER
