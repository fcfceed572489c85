"""Break-even prices: inside of them today's blend is the cheapest, and just outside another is."""

from __future__ import annotations

import numpy as np
import pytest
from benches import blend_of
from sweeping import programme

from optimiser.analysis.break_even import break_even
from optimiser.analysis.repricing import one_by_one
from optimiser.analysis.sweep_parts import cost_of
from optimiser.solve.optimum import least_ratio
from optimiser.solve.solver import Live


def gain(name: str, place: int, price: float) -> float:
    """By how much another blend is cheaper at a price of one fat (relative)."""
    arrays, _ = programme(name)
    money = arrays.money.copy()
    money[place] = price
    kept = float(money @ arrays.kept) / float(arrays.cured @ arrays.kept)
    found = least_ratio(Live(arrays.programme(money)))
    assert found is not None
    return 1.0 - found.ratio / kept


@pytest.mark.parametrize("name", ["budget", "fine-swirl"])
def test_today_s_blend_stays_between_the_ends_and_no_further(name: str) -> None:
    """A step inside each end nothing is cheaper, a step outside something is."""
    arrays, fats = programme(name)
    ends = break_even(arrays, fats)
    inside = [one for one in ends if arrays.kept[one.place] > 1e-6]
    assert len(inside) >= 4
    told = 0
    for one in inside:
        today = float(arrays.money[one.place])
        for end, out in ((one.low, -1.0), (one.high, 1.0)):
            if end is not None:
                told += 1
                step = 1e-3 * today
                assert gain(name, one.place, end + out * step) > 1e-9
                assert abs(gain(name, one.place, end - out * min(step, 0.5 * abs(end - today)))) < 1e-9
    assert told >= 6


def test_a_fat_comes_in_where_blend_says() -> None:
    """The price below which a fat comes in is the one that `blend` tells, found there in another way."""
    arrays, fats = programme("budget")
    told = {line.fat: line.enters_below for line in blend_of("budget").unused if line.enters_below is not None}
    names = [line.fat for line in blend_of("budget").unused]
    assert len(told) > 10
    lows = {round(one.low, 4) for one in break_even(arrays, fats) if one.low is not None}
    assert names
    assert {round(price, 4) for price in told.values()} <= lows


def test_counted_fats_are_asked_upwards_only() -> None:
    """Where each price is a search, the fats of the blend are asked at what price they are no longer in so."""
    arrays, fats = programme("everyday")
    ends = break_even(arrays, fats)
    assert {one.place for one in ends} == {place for place in range(fats) if arrays.kept[place] > 1e-6}
    assert all(one.low is None for one in ends)
    above = [one for one in ends if one.high is not None]
    assert above
    prices = np.tile(arrays.money[arrays.places], (2, 1))
    first = above[0]
    assert first.high is not None
    prices[:, first.place] = first.high * np.array([0.999, 1.001])
    costs = one_by_one(arrays, prices, arrays.kept[None, :]).costs
    kept = cost_of(arrays, prices, arrays.kept)
    assert costs[0] == pytest.approx(kept[0], rel=1e-9)
    assert costs[1] < kept[1] * (1.0 - 1e-9)
