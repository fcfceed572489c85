"""Laws of the proof: weak duality in exact arithmetic."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Bar, bars, examples, programmes

from optimiser.model.programme import Programme, build
from optimiser.solve.optimum import solve
from optimiser.solve.proof import cheapest_possible, infeasibility_margin, lower_bound
from optimiser.solve.solver import Live


@settings(max_examples=examples(60))
@given(programmes(), st.integers(0, 2**32 - 1), st.floats(0.01, 100.0))
def test_any_multipliers_give_a_bound(made: Programme, seed: int, size: float) -> None:
    """Multipliers from anywhere, of any size and sign, never prove more than is true."""
    best = Live(made).minimise().objective
    dual = np.random.default_rng(seed).normal(0.0, size, len(made.row_low))
    assert float(lower_bound(made, made.money, dual)) <= best + 1e-9


@settings(max_examples=examples(60))
@given(programmes(), st.floats(-0.5, 0.5))
def test_shaken_prices_still_bound(made: Programme, shake: float) -> None:
    """The solver's prices, all off by up to a half, still bound; unshaken they bound within 1e-9."""
    outcome = Live(made).minimise()
    assert float(lower_bound(made, made.money, outcome.row_dual * (1.0 + shake))) <= outcome.objective + 1e-9
    exact = float(lower_bound(made, made.money, outcome.row_dual))
    assert outcome.objective - 1e-8 <= exact <= outcome.objective + 1e-9


@settings(max_examples=examples(60))
@given(programmes(surely_feasible=False), st.integers(0, 2**32 - 1))
def test_infeasible_is_proved_just_where_it_is(made: Programme, seed: int) -> None:
    """Where the solver finds no blend its ray has a margin above zero; where it finds one, no ray has."""
    live = Live(made)
    if live.minimise().feasible:
        rays = np.random.default_rng(seed).normal(size=(20, len(made.row_low)))
        assert all(infeasibility_margin(made, ray) <= 1e-12 for ray in rays)
    else:
        ray = live.ray()
        assert ray is not None
        assert infeasibility_margin(made, ray) > 0.0


@settings(max_examples=examples(30))
@given(bars())
def test_the_blend_known_is_above_the_certificate(bar: Bar) -> None:
    """The blend that a sheet was laid around costs no less than what is said to be impossible to undercut."""
    made = build(bar.sheet, bar.shelf)
    live, found = solve(made)
    assert found is not None
    proved = cheapest_possible(live.programme, found.ratio, found.outcome.row_dual)
    point = np.zeros(len(made.money))
    for name, share in bar.shares.items():
        point[made.columns.index[name]] = share
    point[made.columns.index["sodium hydroxide"]] = bar.judged.pure_sodium_hydroxide / 1000.0
    assert (made.money @ point) / (made.cured @ point) >= proved - 1e-9
    assert proved == pytest.approx(found.ratio, rel=1e-7)
