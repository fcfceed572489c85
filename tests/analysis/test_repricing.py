"""Repricing by a pool of vertices tells what solving every scenario by itself tells."""

from __future__ import annotations

import numpy as np
import pytest
from sweeping import programme, random_prices

from optimiser.analysis import repricing
from optimiser.analysis.price_pool import Pool, is_proved
from optimiser.analysis.repricing import NO_BLEND, Solver, cheapest_known, merged, one_by_one, reprice
from optimiser.analysis.sweep_start import begin, spread_over
from optimiser.analysis.swept import is_in_cone
from optimiser.solve.outcomes import SolverFault


def begun(name: str, scenarios: int = 40) -> Pool:
    """A pool that some scenarios have filled."""
    return begin(programme(name)[0], random_prices(name, scenarios, seed=9)).pool()


@pytest.mark.parametrize("name", ["fine-swirl", "budget", "design-fine-swirl", "palm-free-vegetable", "salt-water"])
def test_every_scenario_costs_what_solving_it_costs(name: str) -> None:
    """Costs agree to rounding with a cold solve of each scenario, and the blend told is one that costs so much."""
    arrays, _ = programme(name)
    prices = random_prices(name, 40)
    found = reprice(begun(name), prices)
    alone = one_by_one(arrays, prices, arrays.kept[None, :])
    assert np.abs(found.costs / alone.costs - 1.0).max() < 1e-11
    blends = found.points[found.numbers]
    reached = (prices * blends[:, arrays.places]).sum(axis=1) / (blends @ arrays.cured)
    assert np.abs(reached / found.costs - 1.0).max() < 1e-13


def test_few_linear_programmes_are_solved() -> None:
    """Most scenarios need none: that is what the pool is for."""
    prices = random_prices("fine-swirl", 2000, spread=0.05)
    found = reprice(begun("fine-swirl"), prices)
    assert found.solved < 200
    assert found.alone == 0


def test_what_a_pool_begins_from_changes_no_cost() -> None:
    """From one vertex or from many, the costs are the same to rounding."""
    prices = random_prices("budget", 200)
    few, many = reprice(begun("budget", 1), prices), reprice(begun("budget", 60), prices)
    assert np.abs(few.costs / many.costs - 1.0).max() < 1e-12
    assert few.solved > many.solved


def test_every_point_meets_the_programme() -> None:
    """Each blend of the pool meets every row and bound."""
    arrays, _ = programme("budget")
    found = reprice(begun("budget"), random_prices("budget", 100))
    activity = found.points @ arrays.matrix.T
    assert (activity >= arrays.row_low - 1e-7).all()
    assert (activity <= arrays.row_high + 1e-7).all()
    assert (found.points >= arrays.column_low - 1e-9).all()
    assert (found.points <= arrays.column_high + 1e-9).all()


def test_a_proof_holds_only_where_its_vertex_is_the_cheapest() -> None:
    """Reduced costs of one vertex: proved where it costs the least, and not where another costs less."""
    pool = begun("budget")
    prices = random_prices("budget", 300)
    every = pool.costs(prices)
    least = every.min(axis=1)
    dear = every > least[:, None] * (1.0 + 1e-6)
    assert dear.any()
    for number, proofs in enumerate(pool.proofs):
        for proof in proofs:
            proved = is_proved(proof, prices, every[:, number])
            assert not (proved & dear[:, number]).any()


def test_ties_are_taken_from_the_first() -> None:
    """Blends that cost the same by all that rounding knows are one choice, whichever digits the product came to."""
    costs = np.array([[2.0, 2.0 * (1.0 - 1e-15), 3.0], [5.0, 4.0, 4.0]])
    numbers, least = cheapest_known(costs)
    assert numbers.tolist() == [0, 1]
    assert least.tolist() == [2.0, 4.0]


def test_where_lots_stray_too_far_a_scenario_is_solved_by_itself() -> None:
    """With no more tangents than today's, vertices that miss the cone are mended, and the costs are those of the cone."""
    arrays, _ = programme("oily-skin")
    prices = random_prices("oily-skin", 12, seed=5)
    pool = Pool(arrays)
    basis = Solver(arrays).basis(arrays.money, 10.0)
    assert basis is not None
    pool.add(basis)
    found = reprice(pool, prices)
    assert found.alone > 0
    alone = one_by_one(arrays, prices, arrays.kept[None, :])
    assert np.abs(found.costs / alone.costs - 1.0).max() < 1e-6
    assert all(is_in_cone(arrays, point) for point in found.points[found.numbers])


def test_tangents_bring_vertices_into_the_cone() -> None:
    """What a sweep begins from has tangents, so that fewer scenarios are left to be solved one by one; costs stay."""
    arrays, _ = programme("oily-skin")
    prices = random_prices("oily-skin", 12, seed=5)
    start = begin(arrays, prices)
    assert len(start.swept.matrix) > len(arrays.matrix)
    found = reprice(start.pool(), prices)
    alone = one_by_one(arrays, prices, arrays.kept[None, :])
    assert found.alone < len(prices)
    assert np.abs(found.costs / alone.costs - 1.0).max() < 1e-6


def test_a_solver_without_a_blend_says_so() -> None:
    """A programme that holds no blend is a fault, never an endless search."""
    arrays, _ = programme("budget")
    none = arrays._replace(column_high=np.zeros_like(arrays.column_high))
    with pytest.raises(SolverFault):
        Solver(none).basis(arrays.money, 5.0)


def test_scenarios_with_no_blend_have_a_number_below_nothing() -> None:
    """They keep their place among the others, and blends that are the same are one."""
    one, other = np.array([0.5, 0.5]), np.array([1.0, 0.0])
    found = merged([0, NO_BLEND, 1, 2], [1.0, np.nan, 2.0, 1.0], [one, other, one], 2)
    assert found.numbers[1] == NO_BLEND
    assert found.numbers[0] == found.numbers[3] != found.numbers[2]
    assert len(found.points) == 2
    assert len(merged([NO_BLEND], [np.nan], [], 2).points) == 0


def test_a_sample_is_spread_over_all() -> None:
    """Both ends are in it, and never more than asked."""
    prices = np.arange(100.0)[:, None]
    some = spread_over(prices, 10)
    assert len(some) == 10
    assert some[0] == 0.0
    assert some[-1] == 99.0
    assert len(spread_over(prices, 200)) == 100


def test_a_basis_that_comes_back_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Should no proof ever hold, each scenario still ends with the solver's own answer, and no search goes round in circles."""
    prices = random_prices("laundry", 12)
    plain = reprice(begun("laundry"), prices)
    pool = begun("laundry", 3)
    monkeypatch.setattr(repricing, "is_proved", lambda _proof, each, _costs: np.zeros(len(each), dtype=np.bool_))
    monkeypatch.setattr(repricing, "CLOSE", -1.0)  # nor is the solver ever taken to have settled
    found = reprice(pool, prices)
    assert np.abs(found.costs / plain.costs - 1.0).max() < 1e-9
