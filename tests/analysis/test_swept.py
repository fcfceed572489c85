"""What is swept of a programme: the same rows, with the cost taken out of them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from sweeping import ROOT, of_file, programme, random_prices

from optimiser.analysis.break_even import choices
from optimiser.analysis.counted_tree import counted
from optimiser.analysis.repricing import one_by_one
from optimiser.analysis.swept import Swept, none_or_enough
from optimiser.answers.sweep import sweep
from optimiser.maths.arrays import Matrix
from optimiser.solve.optimum import least_ratio
from optimiser.solve.solver import Live

GOALS = "title: Test\ngoals: {{hardness: {{at_least: 50}}, cost: {cost}}}\nshares: {{coconut oil: {{at_most: 25 %}}}}\n"


def file_with(cost: str, folder: Path) -> Path:
    """A goal file with a goal on the cost."""
    path = folder / "bar.yaml"
    path.write_text(GOALS.format(cost=cost), encoding="utf-8")
    return path


@pytest.mark.parametrize("name", ["budget", "fine-swirl", "oily-skin", "design-fine-swirl"])
def test_at_today_s_prices_it_is_today_s_answer(name: str) -> None:
    """The cheapest blend at today's prices costs what the kept one does."""
    arrays, _ = programme(name)
    found = least_ratio(Live(arrays.programme()))
    kept = float(arrays.money @ arrays.kept) / float(arrays.cured @ arrays.kept)
    assert found is not None
    assert found.ratio == pytest.approx(kept, rel=1e-7)


def test_a_most_that_a_kilo_may_cost_is_judged_and_no_row(tmp_path: Path) -> None:
    """Whatever prices do, the limit takes no blend away; it is kept to be held against the costs."""
    arrays, _ = of_file(file_with("{at_most: 4.00 / kg}", tmp_path))
    assert list(arrays.most_costs) == pytest.approx([4.0])
    assert arrays.cost_rows == ()
    assert arrays.is_linear
    dear = least_ratio(Live(arrays.programme(10.0 * arrays.money)))
    assert dear is not None
    assert dear.ratio > 4.0


def test_a_limit_for_a_pound_is_one_for_a_kilo(tmp_path: Path) -> None:
    """Limits are kept as money per kilo (0.45359237 kg in a pound, by its definition of 1959)."""
    arrays, _ = of_file(file_with("{at_most: 2.00 / lb}", tmp_path))
    assert list(arrays.most_costs) == pytest.approx([2.0 / 0.45359237])


def test_a_least_cost_keeps_its_row_at_every_price(tmp_path: Path) -> None:
    """The row has the scenario's own prices in it, so that the cheapest blend costs just that much."""
    arrays, _ = of_file(file_with("{at_least: 4.00 / kg}", tmp_path))
    assert not arrays.is_linear
    prices = np.stack([factor * arrays.money[arrays.places] for factor in (0.8, 1.0, 1.3)])
    found = one_by_one(arrays, prices, arrays.kept[None, :])
    assert found.costs == pytest.approx([4.0, 4.0, 4.0], rel=1e-6)


def test_a_preference_on_the_cost_stands_aside(tmp_path: Path) -> None:
    """The cheapest blend meets it as far as can be; it is no row, no limit to be judged, and the answer says so."""
    path = tmp_path / "bar.yaml"
    path.write_text(
        "goals: {hardness: {at_least: 50}}\nprefer: [{cost: {at_most: 1.00 / kg}}, {mildness: {at_least: 60}}]\n",
        encoding="utf-8",
    )
    arrays, _ = of_file(path)
    assert arrays.most_costs == ()
    assert arrays.cost_rows == ()
    found = least_ratio(Live(arrays.programme(2.0 * arrays.money)))
    assert found is not None
    prices = tmp_path / "prices.yaml"
    prices.write_text("shocks: {palm oil: +20 %}\n", encoding="utf-8")
    goal = sweep([path], prices, ROOT / "inventory" / "kittiwake.yaml").goals[0]
    assert any("A line on the cost under 'prefer'" in one for one in goal.held)


def test_only_what_has_a_price_is_priced() -> None:
    """Water and the spread of lots cost nothing, whatever happens; every fat and alkali has a price."""
    arrays, fats = programme("budget")
    assert set(range(fats + 2)) <= set(arrays.places.tolist())
    assert fats + 2 not in arrays.places
    assert len(arrays.money) - 1 not in arrays.places
    prices = np.arange(1.0, len(arrays.places) + 1.0)
    assert arrays.at(prices)[arrays.places].tolist() == prices.tolist()


def test_a_pinch_is_nothing_or_enough() -> None:
    """Of fats so held no scenario's blend has a pinch, each costs what a search of its own finds, and as columns they cost nothing."""
    arrays, fats = programme("budget")
    least = {place: 0.10 for place in range(fats) if 0.06 < arrays.kept[place] < 0.09}
    assert len(least) == 2
    held = none_or_enough(arrays, least)
    assert held.has_few_choices
    assert not held.is_linear
    assert len(list(choices(held))) == 4
    kept = np.append(arrays.kept, [1.0, 1.0])
    assert held.kept.tolist() == kept.tolist()
    prices = random_prices("budget", 8)
    known = allowed(held)
    found, alone = counted(held, prices, known), one_by_one(held, prices, known)
    assert np.abs(found.costs / alone.costs - 1.0).max() < 1e-9
    for place in least:
        share = found.points[:, place]
        assert ((share < 1e-7) | (share > 0.10 - 1e-7)).all()


def allowed(held: Swept) -> Matrix:
    """A blend that is allowed at all prices."""
    found = [least_ratio(Live(one)) for one in choices(held)]
    return np.array([next(one.point for one in found if one is not None)])
