"""The exact limit on what a blend can swap: it holds, it is reached, and it is told as a limit where the work ends."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import Bar, at_least, bars, examples, sheet_of, shelf_of

from optimiser.model.programme import build
from optimiser.model.swapped import Apart, by_group, swapped, within_cost
from optimiser.solve import far_proof
from optimiser.solve.far_proof import most_swapped
from optimiser.solve.farthest import search
from optimiser.solve.optimum import solve
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live


@settings(max_examples=examples(25))
@given(bars(), st.floats(0.01, 0.3), st.integers(0, 2**32 - 1))
def test_no_blend_goes_beyond_it(bar: Bar, within: float, seed: int) -> None:
    """Blends in random directions swap no more than the limit, and the search finds one that swaps as much."""
    live, found = solve(build(bar.sheet, bar.shelf))
    assume(found is not None)
    assert found is not None
    base = within_cost(live.programme, found.ratio * (1.0 + within))
    far = search(Apart(base, [found.point]), found.point, Work())
    bound = most_swapped(base, found.point, -far.objective, Work())
    assert bound.exact
    assert bound.ended
    assert bound.share == pytest.approx(-far.objective, abs=2e-7)
    draw, other, groups = np.random.default_rng(seed), Live(base), by_group(base)
    for _ in range(5):
        objective = np.zeros(len(base.money))
        objective[: base.columns.count] = draw.standard_normal(base.columns.count)
        assert swapped(groups, other.minimise(objective).point, found.point) <= bound.share + 1e-7


@settings(max_examples=examples(15))
@given(bars(), st.floats(0.01, 0.3))
def test_without_work_it_is_a_limit_still(bar: Bar, within: float) -> None:
    """Where no work is left the limit is looser and is said not to be reached, unless the first question showed that it is."""
    live, found = solve(build(bar.sheet, bar.shelf))
    assume(found is not None)
    assert found is not None
    base = within_cost(live.programme, found.ratio * (1.0 + within))
    far = -search(Apart(base, [found.point]), found.point, Work()).objective
    bound = most_swapped(base, found.point, far, Work(allowed=0.0))
    assert bound.share >= far - 2e-7
    assert bound.ended == (bound.share <= far + 2e-7)


@settings(max_examples=examples(15))
@given(bars(), st.floats(0.01, 0.3), st.integers(0, 4))
def test_a_tree_cut_short_is_a_limit_still(bar: Bar, within: float, nodes: int) -> None:
    """After a few nodes what is left is bounded as it stands: a limit between the true one and that of no node at all."""
    live, found = solve(build(bar.sheet, bar.shelf))
    assume(found is not None)
    assert found is not None
    base = within_cost(live.programme, found.ratio * (1.0 + within))
    far = -search(Apart(base, [found.point]), found.point, Work()).objective
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(far_proof, "MOST_NODES", nodes)
        cut = most_swapped(base, found.point, far, Work())
    whole, none = (most_swapped(base, found.point, far, Work(allowed=allowed)) for allowed in (1e9, 0.0))
    assert whole.share - 1e-7 <= cut.share <= none.share + 1e-7
    assert whole.ended
    assert cut.ended or cut.share >= far - 1e-7


def test_goals_of_one_blend_need_no_tree() -> None:
    """Where every blend is the one in hand the limit is nothing."""
    sheet = sheet_of(shares=(at_least("palm oil", 60.0, "fat"), at_least("olive oil", 40.0, "fat")))
    live, found = solve(build(sheet, shelf_of({"palm oil": 2.0, "olive oil": 7.0, "lard": 2.2})))
    assert found is not None
    bound = most_swapped(within_cost(live.programme, 2.0 * found.ratio), found.point, 0.0, Work())
    assert bound.share == pytest.approx(0.0, abs=1e-9)
    assert bound.ended
