"""Purchases as columns and rows, for one bar and for several over one shelf."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from optimiser.planning.offers import Offer, Order, Tin, offers
from optimiser.planning.purchases import Purchases, purchases
from optimiser.problem.asking import shelf_of
from optimiser.problem.buying import Break, Buy
from optimiser.problem.shelf import Pack

SMALL, LARGE = Tin(1.0, 4.0), Tin(5.0, 3.0)


def fat(stock: float = 0.0, price: float = 3.5, *, least: float = 0.0, tins: tuple[Tin, ...] = (SMALL, LARGE)) -> Offer:
    """Lard in packs of 1 kg at 4.00 and of 5 kg at 15.00."""
    return Offer("lard", stock, price, (Order(least, inf, tins),) if tins else ())


def least(
    made: Purchases, needs: list[float], uses: Sequence[Mapping[str, Mapping[int, float]]]
) -> tuple[float, np.ndarray]:
    """The least of the objective where each bar takes so many kilos of lard, by scipy's milp; a column for each bar first."""
    width = made.first + len(made.columns)
    cost = np.zeros(width)
    cost[made.first :] = made.costs
    for use in uses:
        for place, per in use["lard"].items():
            cost[place] += made.per_kg_used["lard"] * per
    matrix = np.zeros((len(made.rows), width))
    for row, line in enumerate(made.rows):
        matrix[row, list(line.entries)] = list(line.entries.values())
    low = np.concatenate([needs, np.zeros(len(made.columns))])
    high = np.concatenate([needs, [column.upper for column in made.columns]])
    whole = np.concatenate([np.zeros(len(needs)), [column.is_whole for column in made.columns]])
    rows = LinearConstraint(matrix, [row.low for row in made.rows], [row.high for row in made.rows])
    found = milp(cost, integrality=whole, bounds=Bounds(low, high), constraints=rows, options={"mip_rel_gap": 0.0})
    return (float(found.fun), found.x) if found.success else (inf, np.empty(0))


@pytest.mark.parametrize(
    ("needs", "stock", "left", "money"),
    [
        ([3.0], 0.0, 0.0, 12.0),  # three small ones
        ([4.5], 0.0, 0.0, 15.0),  # a large one
        ([6.0], 0.0, 0.0, 19.0),
        ([2.0, 3.0], 0.0, 0.0, 15.0),  # one large one for two bars, where each alone would take 8.00 and 12.00
        ([2.0, 3.0], 1.5, 0.0, 15.0),  # 3.5 kg are short: a large one costs less than four small ones
        ([1.0, 0.5], 1.5, 0.0, 0.0),
        ([3.0], 0.0, 1.0, 9.0),  # what is left counts in full: the cheapest kilo
        ([3.0], 0.0, 0.5, 0.5 * 12.0 + 0.5 * 12.0),  # small ones 12.00; a large one 7.50 and 4.50 used: 12.00
        ([3.0], 1.0, 1.0, 3.5 + 2 * 3.0),  # stock first, though a kilo bought costs less
    ],
)
def test_bars_over_one_shelf(needs: list[float], stock: float, left: float, money: float) -> None:
    """The tins are for all bars together."""
    uses = [{"lard": {place: 1.0}} for place in range(len(needs))]
    every = {"lard": dict.fromkeys(range(len(needs)), 1.0)}
    made = purchases([fat(stock)], every, first=len(needs), most_kg=20.0, left_counts=left)
    assert least(made, needs, uses)[0] == pytest.approx(money)


def test_several_columns_use_one_fat() -> None:
    """Two lots of one fat, and a bar whose column is a batch of 10 kg, of which the fat is 30 %."""
    made = purchases([fat(1.0)], {"lard": {0: 1.0, 1: 1.0, 2: 3.0}}, first=3, most_kg=20.0, left_counts=0.0)
    found, _ = least(made, [0.5, 0.5, 1.0], [{"lard": {0: 1.0, 1: 1.0, 2: 3.0}}])
    assert found == pytest.approx(12.0)


def test_a_fat_that_cannot_be_bought_has_its_stock_alone() -> None:
    """One row, which is the maker's own limit."""
    made = purchases([fat(2.0, tins=())], {"lard": {0: 1.0}}, first=1, most_kg=20.0, left_counts=0.0)
    assert [(row.kind, dict(row.entries), row.high) for row in made.rows] == [("stock", {0: 1.0}, 2.0)]
    assert least(made, [2.5], [{"lard": {0: 1.0}}])[0] == inf


def test_a_minimum_order() -> None:
    """Seven kilos at the least: a large one and two small ones for a need of one kilo."""
    made = purchases([fat(least=7.0)], {"lard": {0: 1.0}}, first=1, most_kg=20.0, left_counts=0.0)
    assert least(made, [1.0], [{"lard": {0: 1.0}}])[0] == pytest.approx(23.0)
    assert least(made, [0.0], [{"lard": {0: 1.0}}])[0] == pytest.approx(0.0)


def test_an_order_at_a_break_costs_its_price_for_every_kilo() -> None:
    """Loose goods at 3.00, from 20 kg on at 2.40: for 18 kg it pays to order 20; for 15 it does not."""
    (item,) = shelf_of({"lard": 3.0}, sodium_hydroxide=2.0).fats
    (offer,) = offers([item._replace(breaks=(Break(20.0, 2.4),))], Buy.ANY)
    made = purchases([offer], {"lard": {0: 1.0}}, first=1, most_kg=40.0, left_counts=0.0)
    money = [least(made, [need], [{"lard": {0: 1.0}}])[0] for need in (15.0, 18.0, 30.0)]
    assert money == pytest.approx([45.0, 48.0, 72.0])


def test_what_can_be_bought_of_a_shelf() -> None:
    """Packs beyond the stock; any mass at the price; or nothing."""
    lard, tallow = shelf_of({"lard": 3.0, "beef tallow": 2.0}, sodium_hydroxide=2.0).fats
    stocked = [lard._replace(packs=(Pack(5.0, 14.0),), stock_kg=2.0, minimum_order_kg=3.0), tallow]
    one, other = offers(stocked, Buy.PACKS)
    assert (one.stock_kg, one.orders) == (2.0, (Order(3.0, inf, (Tin(5.0, 2.8),)),))
    assert (other.stock_kg, other.orders) == (0.0, ())
    assert [offer.orders for offer in offers(stocked, Buy.NONE)] == [(), ()]
    assert [offer.cheapest for offer in offers(stocked, Buy.ANY)] == [3.0, 2.0]
    assert one.cheapest == 2.8
    assert other.cheapest == inf
