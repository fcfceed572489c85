"""Rows: what must hold of a blend, as coefficients, bounds and words."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, exactly, examples, limit, shelf_of, stocked

from optimiser.maths.arrays import Vector
from optimiser.measures.quantities import quantities
from optimiser.model.columns import Columns
from optimiser.model.physics import physics
from optimiser.model.pot import batter, volume
from optimiser.model.rows import Row, from_limit, quantity, stock
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.limits import Limit
from optimiser.problem.wishes import Section

PRICES = {"coconut oil": 3.0, "olive oil": 7.0, "shea butter": 8.0, "stearic acid": 3.0}
POINT = np.array([0.25, 0.6, 0.13, 0.02, 0.14, 0.0, 0.28, 0.0])


def columns(batch: Batch | None = None, **extra: float) -> Columns:
    """Four fats of four kinds."""
    fats = tuple(stocked(name, price, extra.get(name.replace(" ", "_"))) for name, price in sorted(PRICES.items()))
    return Columns(fats, (), shelf_of(PRICES), batch or Batch())


def rows_of(made: Columns, wish: Limit) -> list[Row]:
    """The rows of a wish of the goal file."""
    return from_limit(made, wish, wish.wish(Section.GOALS), "")


def meets(activity: float, bounds: tuple[float, float]) -> bool:
    """Whether an activity lies within bounds."""
    return bounds[0] - 1e-12 <= activity <= bounds[1] + 1e-12


@settings(max_examples=examples(150))
@given(
    st.sampled_from(sorted(quantities())),
    st.sampled_from(("at_least", "at_most", "exactly")),
    st.floats(0.3, 60.0),
    st.floats(0.09, 0.15),
    st.floats(0.15, 0.5),
)
def test_a_row_holds_just_where_its_figure_does(key: str, side: str, value: float, alkali: float, water: float) -> None:
    """Whatever the figure, ratio or not, the linear row and the figure itself agree on which blends will do."""
    point = np.concatenate([POINT[:4], [alkali, 0.0, water, 0.01]])
    rows = rows_of(columns(), limit(key, side, value))
    for row in rows:
        figure, activity = row.value(point), float(row.coefficients @ point)
        if abs(figure - row.limit) < 1e-7:
            continue
        assert meets(activity, row.bounds) == (row.shortfall(point) == 0.0)
        low = -np.inf if row.side == "at_most" else row.limit
        high = np.inf if row.side == "at_least" else row.limit
        assert meets(figure, (low, high)) == (row.shortfall(point) == 0.0)


def test_a_bare_figure_for_a_measure_is_half_a_point_wide() -> None:
    """Hardness exactly 60 is two rows of one wish, at least 59.5 and at most 60.5."""
    rows = rows_of(columns(), exactly("hardness", 60.0))
    assert [(row.side, row.limit) for row in rows] == [("at_least", 59.5), ("at_most", 60.5)]
    assert len({row.wish for row in rows}) == 1


@pytest.mark.parametrize(
    ("key", "subject", "share"),
    [
        ("olive oil", "fat", 60.0),
        ("hard oils", "kind", 25.0),
        ("butters", "kind", 13.0),
        ("liquid oils", "kind", 60.0),
        ("fatty acids", "kind", 2.0),
        ("waxes", "kind", 0.0),
        ("solid fats", "group", 38.0),
        ("lauric", "tag", 25.0),
        ("castor oil", "fat", 0.0),
    ],
)
def test_shares_count_what_falls_under_the_key(key: str, subject: str, share: float) -> None:
    """A fat, a kind, a group or a tag takes in just the fats that bear it."""
    (row,) = rows_of(columns(), at_most(key, 50.0, subject))
    assert row.value(POINT) == pytest.approx(share)


def test_cost_rows_know_kilo_pound_and_bar() -> None:
    """The same blend costs 0.4536 as much by the pound and 0.11 as much by a bar of 110 g."""
    made = columns(Batch(cured_weight_kg=0.11))
    per = {unit: rows_of(made, limit("cost", "at_most", 1.0, per=unit))[0] for unit in ("kg", "lb", "bar")}
    kilo = per["kg"].value(POINT)
    money = 0.25 * 3.0 + 0.6 * 7.0 + 0.13 * 8.0 + 0.02 * 3.0 + 0.14 * 2.4 / 0.98
    assert kilo == pytest.approx(money / (1.14 / 0.9))
    assert per["lb"].value(POINT) == pytest.approx(0.45359237 * kilo)
    assert per["bar"].value(POINT) == pytest.approx(0.11 * kilo)


@pytest.mark.parametrize(
    "key", ["superfat", "lye_concentration", "water_to_alkali", "cost", "hardness", "iodine_value"]
)
def test_slope_is_how_the_bound_moves_with_the_limit(key: str) -> None:
    """Moving a limit by a little moves the row's slack at a blend by the slope times that."""
    base = at_least(key, 3.0)
    (row,) = rows_of(columns(), base)
    (moved,) = rows_of(columns(), at_least(key, 3.0 + 1e-3))

    def slack(one: Vector, low: float) -> float:
        return float(one @ POINT) - low

    change = slack(row.coefficients, row.bounds[0]) - slack(moved.coefficients, moved.bounds[0])
    assert change == pytest.approx(1e-3 * row.slope(POINT))


def test_physics_keeps_alkali_below_what_fats_take() -> None:
    """A lye-heavy point breaks the physics rows, an ordinary one none of them."""
    rows = {row.figure: row for row in physics(columns())}
    assert all(row.shortfall(POINT) < 1e-9 for row in rows.values())
    heavy = POINT.copy()
    heavy[4] = 0.16
    assert rows["superfat"].shortfall(heavy) > 0
    strong = POINT.copy()
    strong[6] = 0.13
    assert rows["lye solubility"].shortfall(strong) > 0


@pytest.mark.parametrize(
    "batch",
    [
        Batch(fats_kg=8.0),
        Batch(fats_kg=None, bars=90, cured_weight_kg=0.11),
        Batch(fats_kg=None, mould=Mould(60.0, 30.0, 6.0)),
        Batch(fats_kg=None, batter_kg=11.0),
    ],
)
def test_stock_is_what_the_batch_may_use(batch: Batch) -> None:
    """However the batch is measured, a stock row's figure is the kilos that the batch takes of that fat."""
    made = columns(batch, olive_oil=2.0)
    (row,) = stock(made)
    kilos = {
        8.0: 8.0,
        None: (90 * 0.11) / float(made.cured @ POINT)
        if batch.bars
        else 11.0 / float(batter(made) @ POINT)
        if batch.batter_kg
        else 60.0 * 30.0 * 6.0 / 1000.0 / float(volume(made) @ POINT),
    }[batch.fats_kg]
    assert row.value(POINT) == pytest.approx(0.6 * kilos)
    assert row.shortfall(POINT) == pytest.approx(0.6 * kilos - 2.0)


def test_an_unknown_quantity_is_a_key_error() -> None:
    """No row is made of a word that names nothing."""
    with pytest.raises(KeyError):
        quantity(columns(), "sparkle")


def test_shortfall_is_nothing_on_the_right_side() -> None:
    """A figure beyond its limit on the good side falls short of nothing."""
    (low,) = rows_of(columns(), at_least("iodine_value", 1.0))
    (high,) = rows_of(columns(), at_most("iodine_value", 1.0))
    assert low.shortfall(POINT) == 0.0
    assert high.shortfall(POINT) == pytest.approx(high.value(POINT) - 1.0)


@pytest.mark.parametrize(("per", "weight"), [("kg", 1.0), ("lb", 0.45359237), ("bar", 0.1)])
def test_a_small_change_of_a_cost_is_a_twentieth_of_what_fats_cost(per: str, weight: float) -> None:
    """The step of a cost is 5 % of the mean price of the shelf's fats, for the weight that it is told for, in whole cents."""
    mean = sum(PRICES.values()) / len(PRICES)
    assert quantity(columns(), "cost", per).scale == pytest.approx(round(0.05 * mean * weight, 2))
    cheap = {"olive oil": 0.1, "palm oil": 0.08}
    fats = tuple(stocked(name, price) for name, price in cheap.items())
    assert quantity(Columns(fats, (), shelf_of(cheap), Batch()), "cost", per).scale == 0.01
