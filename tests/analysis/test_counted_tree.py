"""One tree for all scenarios tells what a search of its own for each would."""

from __future__ import annotations

import numpy as np
import pytest
from sweeping import programme, random_prices

from optimiser.analysis import counted_tree
from optimiser.analysis.counted_tree import counted
from optimiser.analysis.repricing import one_by_one


@pytest.mark.parametrize("name", ["everyday", "chequer"])
def test_the_tree_agrees_with_searches(name: str) -> None:
    """Costs agree with a mixed-integer search of each scenario, and every blend keeps the count."""
    arrays, fats = programme(name)
    prices = random_prices(name, 6)
    found = counted(arrays, prices, arrays.kept[None, :])
    alone = one_by_one(arrays, prices, arrays.kept[None, :])
    assert np.abs(found.costs / alone.costs - 1.0).max() < 1e-9
    assert found.alone == 0
    most = {"everyday": 6, "chequer": 5}[name]
    assert ((found.points[:, :fats] > 1e-6).sum(axis=1) <= most).all()


def test_what_the_tree_leaves_is_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    """With room for one node the scenarios go to searches of their own, and the costs are the same."""
    arrays, _ = programme("everyday")
    prices = random_prices("everyday", 3)
    whole = counted(arrays, prices, arrays.kept[None, :])
    monkeypatch.setattr(counted_tree, "MOST_NODES", 1)
    left = counted(arrays, prices, arrays.kept[None, :])
    assert left.alone > 0
    assert np.abs(left.costs / whole.costs - 1.0).max() < 1e-9
