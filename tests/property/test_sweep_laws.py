"""Laws of repricing, at whatever prices."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples
from sweeping import programme, random_prices

from optimiser.analysis.repricing import reprice
from optimiser.analysis.sweep_parts import cost_of
from optimiser.analysis.sweep_start import Start, begin

NAMES = ("budget", "fine-swirl", "design-straight-layers", "laundry")
STARTS: dict[str, Start] = {}


def start(name: str) -> Start:
    """What the parts of a goal file begin from, worked out once."""
    if name not in STARTS:
        STARTS[name] = begin(programme(name)[0], random_prices(name, 50, seed=4))
    return STARTS[name]


cases = given(name=st.sampled_from(NAMES), spread=st.floats(0.01, 0.6), seed=st.integers(0, 2**16))


@cases
@settings(max_examples=examples(12))
def test_re_made_is_never_dearer_than_kept(name: str, spread: float, seed: int) -> None:
    """In no scenario does the cheapest blend cost more than today's."""
    prices = random_prices(name, 50, spread, seed)
    arrays = programme(name)[0]
    kept = cost_of(arrays, prices, arrays.kept)
    assert (reprice(start(name).pool(), prices).costs <= kept * (1.0 + 1e-12)).all()


@cases
@settings(max_examples=examples(12))
def test_all_prices_scaled_scale_all_costs(name: str, spread: float, seed: int) -> None:
    """Everything three times as dear: every cost is three times as high, and every blend stays."""
    prices = random_prices(name, 30, spread, seed)
    once, thrice = (reprice(start(name).pool(), factor * prices) for factor in (1.0, 3.0))
    assert np.abs(thrice.costs / (3.0 * once.costs) - 1.0).max() < 1e-11


@cases
@settings(max_examples=examples(12))
def test_scenarios_in_another_order_have_their_answers_in_that_order(name: str, spread: float, seed: int) -> None:
    """A permutation of the scenarios permutes the costs."""
    prices = random_prices(name, 40, spread, seed)
    order = np.random.default_rng(seed).permutation(len(prices))
    plain, mixed = reprice(start(name).pool(), prices), reprice(start(name).pool(), prices[order])
    assert np.abs(mixed.costs / plain.costs[order] - 1.0).max() < 1e-12


@cases
@settings(max_examples=examples(8))
def test_one_scenario_by_itself_is_the_same(name: str, spread: float, seed: int) -> None:
    """Asked alone, a scenario costs what it costs among others."""
    prices = random_prices(name, 20, spread, seed)
    every = reprice(start(name).pool(), prices)
    alone = [float(reprice(start(name).pool(), one[None, :]).costs[0]) for one in prices[:4]]
    assert np.abs(np.array(alone) / every.costs[:4] - 1.0).max() < 1e-12
