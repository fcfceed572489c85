"""The buying list for a known use: which tins, what they cost, what is left."""

from __future__ import annotations

from itertools import product
from math import ceil, inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.planning.offers import Offer, Order, Tin
from optimiser.planning.orders import ShortOf, bill, told, weighed

SMALL, LARGE = Tin(5.0, 3.0), Tin(25.0, 2.6)


def offer(*tins: Tin, stock: float = 0.0, least: float = 0.0) -> Offer:
    """A fat at 3.10 a kilo."""
    return Offer("lard", stock, 3.10, (Order(least, inf, tins),) if tins else ())


def test_stock_is_used_first() -> None:
    """What the stock covers is not bought, and costs what the stock did."""
    found = bill(offer(SMALL, stock=2.0), 2.0, 0.0)
    assert not found.lines
    assert found.cash == 0.0
    assert found.cost_used == pytest.approx(6.2)


def test_cash_used_and_left_are_told_apart() -> None:
    """Cash out is what is used of the tins and what is left of them; the stock is paid already."""
    found = bill(offer(SMALL, LARGE, stock=1.0), 3.0, 0.0)
    assert [(line.tin, line.number, line.cost) for line in found.lines] == [(SMALL, 1.0, 15.0)]
    assert found.cash == 15.0
    assert found.cost_used == pytest.approx(3.10 + 2 * 3.0)
    assert found.value_left == pytest.approx(3 * 3.0)


def test_cheapest_to_make_takes_the_cheapest_kilo() -> None:
    """Where only what is used counts the large tin is bought for a kilo of it."""
    found = bill(offer(SMALL, LARGE), 3.0, 1.0)
    assert [line.tin for line in found.lines] == [LARGE]
    assert found.cash == 65.0
    assert found.cost_used == pytest.approx(7.8)


def test_a_minimum_order_is_bought_though_less_is_needed() -> None:
    """An order has its least weight."""
    assert bill(offer(SMALL, least=12.0), 1.0, 0.0).bought_kg == 15.0


def test_a_larger_order_above_a_break_can_be_cheaper() -> None:
    """50 kg at the break cost less than the 45 kg that are needed."""
    orders = (Order(0.0, inf, (SMALL,)), Order(50.0, inf, (Tin(5.0, 2.4),)))
    found = bill(Offer("lard", 0.0, 3.1, orders), 45.0, 0.0)
    assert found.bought_kg == 50.0
    assert found.cash == pytest.approx(120.0)
    assert bill(Offer("lard", 0.0, 3.1, orders), 20.0, 0.0).cash == pytest.approx(60.0)


def test_without_a_way_to_order_it_is_short() -> None:
    """A fat that cannot be bought is used from stock alone."""
    with pytest.raises(ShortOf, match="lard"):
        bill(offer(stock=1.0), 2.0, 0.0)


TINS = st.lists(
    st.builds(Tin, st.sampled_from([0.5, 1.0, 2.5, 5.0, 7.0, 12.5]), st.integers(10, 60).map(lambda c: c / 10)),
    min_size=1,
    max_size=3,
    unique_by=lambda tin: tin.size_kg,
)


@given(
    tins=TINS,
    need=st.integers(1, 300).map(lambda g: g / 10),
    stock=st.integers(0, 20).map(float),
    least=st.sampled_from([0.0, 3.0, 10.0]),
    left=st.sampled_from([0.0, 0.5, 0.8, 1.0]),
)
@settings(max_examples=examples(100))
def test_no_counts_of_tins_do_better(tins: list[Tin], need: float, stock: float, least: float, left: float) -> None:
    """Every count of every tin, more than needed too, tried one by one."""
    made = offer(*tins, stock=stock, least=least)
    found = bill(made, need, left)
    assert found.bought_kg + stock >= need - 1e-6
    assert found.cash == pytest.approx(found.cost_used - found.from_stock_kg * 3.10 + found.value_left)
    short = need - stock
    if short <= 0:
        assert not found.lines
        return
    ends = [range(ceil(max(short, least) / tin.size_kg) + 2) for tin in tins]
    every = (told(made, need, tuple(zip(tins, map(float, counts), strict=True))) for counts in product(*ends))
    best = min(weighed(one, left) for one in every if one.bought_kg >= max(short, least) - 1e-9)
    assert weighed(found, left) == pytest.approx(best, abs=1e-7)
