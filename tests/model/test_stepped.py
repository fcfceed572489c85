"""Rows over whole steps of a balance: each says of grams what it says of a blend."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Bar, at_least, bars, exactly, examples, limit, sheet_of, shelf_of

from optimiser.model.programme import build
from optimiser.model.stepped import (
    Alkali,
    Balance,
    Held,
    Weight,
    is_over_columns,
    may_bind,
    over_grams,
    sides_of,
    stepped,
)
from optimiser.problem.batch import Batch
from optimiser.problem.limits import GRAMS
from optimiser.recipe.repair import search

PRICES = {"coconut oil": 3.0, "olive oil": 7.0, "palm oil": 2.0}


def balance_for(bar: Bar, grams: list[float], *, total: float | None = None) -> Balance:
    """All fats of a bar, soda and water on a balance, each begun with at so many grams."""
    made = build(bar.sheet, bar.shelf)
    columns = made.columns
    weights = [Weight(place, 1.0, grams[place], grams[place], -2, 2) for place in range(columns.count)]
    weights.append(Weight(columns.index["sodium hydroxide"], 0.1, 14.0, 14.0, -9, 9, 0.98, keeps_near=False))
    weights.append(Weight(columns.index["water"], 0.1, 28.0, 28.0, -9, 9))
    whole = sum(grams[: columns.count]) if total is None else total
    return Balance(columns, whole, tuple(weights), (), 5.0, np.zeros(len(made.switches)))


@settings(max_examples=examples(60), deadline=None)
@given(bars(), st.lists(st.floats(1.0, 400.0), min_size=10, max_size=10), st.integers(0, 2**31))
def test_a_row_says_of_grams_what_it_says_of_a_blend(bar: Bar, grams: list[float], seed: int) -> None:
    """Each side of each row holds of random grams just where the row holds of them per kilo of their fats."""
    made = build(bar.sheet, bar.shelf)
    columns = made.columns
    balance = balance_for(bar, grams)
    point = np.random.default_rng(seed).uniform(0.0, 100.0, columns.size)
    fats = float(point[: columns.count].sum())
    rows = [row for row in made.rows if is_over_columns(columns, row, 0)]
    assert rows
    for row in rows:
        value = row.value(point / fats)
        for half, over in zip(
            sides_of(balance, Held(row), point), (1.0, -1.0) if row.side != "at_most" else (-1.0,), strict=False
        ):
            room = float(half.vector @ point) - half.least
            assert room == pytest.approx(over * (value - row.limit), rel=1e-6, abs=1e-6 * max(1.0, abs(value)))


def test_what_may_be_missed_moves_the_limit() -> None:
    """A row that may be missed by 2 under and 3 over its limit holds from 38 to 43 where 40 is asked."""
    shelf = shelf_of(PRICES)
    made = build(sheet_of(shares=(exactly("coconut oil", 40.0, "fat"),)), shelf)
    row = next(row for row in made.rows if row.figure == "coconut oil")
    bar = Bar(sheet_of(), shelf, {}, None)  # type: ignore[arg-type]
    balance = balance_for(bar, [40.0, 30.0, 30.0])
    low, high = sides_of(balance, Held(row, 2.0, 3.0), balance.begin)
    for grams, holds in ((37.9, (False, True)), (38.1, (True, True)), (42.9, (True, True)), (43.1, (True, False))):
        point = balance.columns.zeros()
        point[:3] = grams, 50.0, 50.0 - grams
        assert (float(low.vector @ point) >= low.least, float(high.vector @ point) >= high.least) == holds


def test_grams_of_this_batch_are_grams() -> None:
    """A scent told in grams is held in grams, however much the fats come to; stock too."""
    shelf = shelf_of(PRICES, extra={"salt": 1.0}, stock={"palm oil": 0.05})
    salt = limit("salt", "exactly", 30.0, "additive")._replace(unit=GRAMS)
    made = build(sheet_of(additives=(salt,), batch=Batch(fats_kg=0.1)), shelf)
    columns = made.columns
    balance = Balance(columns, 100.0, (), (), 0.0, np.zeros(0))
    point = columns.zeros()
    point[:3] = 20.0, 50.0, 55.0
    point[columns.index["salt"]] = 31.0
    row = next(row for row in made.rows if row.unit == GRAMS)
    top, bottom = over_grams(balance, row)
    assert bottom is None
    assert float(top @ point) == pytest.approx(31.0)
    stock = next(row for row in made.rows if row.wish.section == "stock")
    top, bottom = over_grams(balance, stock)
    assert bottom is None
    assert float(top @ point) == pytest.approx(0.055)


def test_counted_fats_are_held_as_they_are() -> None:
    """A least share of each fat in use is a row over its grams; that of a fat that is not in use holds of nothing."""
    made = build(sheet_of(fat_count=(at_least("each fat", 10.0, "count"),)), shelf_of(PRICES))
    columns = made.columns
    balance = Balance(columns, 100.0, (), (), 0.0, np.array([1.0, 1.0, 0.0]))
    point = columns.zeros()
    point[:3] = 9.0, 91.0, 0.0
    rooms = []
    for row in made.rows:
        if row.wish.section == "fats" and is_over_columns(columns, row, len(made.switches)):
            rooms += [float(half.vector @ point) - half.least for half in sides_of(balance, Held(row), point)]
    assert sorted(round(room, 6) for room in rooms) == [-1.0, 81.0]


def test_rows_that_no_point_breaks_are_left_out() -> None:
    """Between 0 and 2 steps each, x + y <= 4 always holds, x + y <= 3 may not, and x - y >= -2 always does."""
    matrix = np.array([[1.0, 1.0], [1.0, 1.0], [1.0, -1.0]])
    ends = np.array([[-np.inf, 4.0], [-np.inf, 3.0], [-2.0, np.inf]])
    assert may_bind(matrix, ends, np.zeros(2), np.full(2, 2.0)).tolist() == [False, True, False]


def test_the_alkali_is_the_last_step_below_what_the_fats_take() -> None:
    """At any fats just one number of steps of alkali is allowed: that which rounding down would give."""
    bar = Bar(sheet_of(), shelf_of(PRICES), {}, None)  # type: ignore[arg-type]
    balance = balance_for(bar, [30.0, 40.0, 30.0])
    columns = balance.columns
    alkali = Alkali(3, 0.05, 0.137 * columns.of_fats(1.0))
    made = stepped(balance._replace(alkalis=(alkali,)), ())
    taken = 0.05 + 0.137 * 100.0
    allowed = []
    for more in range(-9, 10):
        point = np.zeros(len(made.programme.money))
        point[3] = more
        activity = made.programme.matrix @ point
        place = int(np.flatnonzero(made.programme.matrix[:, 3])[0])
        if made.programme.row_low[place] <= activity[place] <= made.programme.row_high[place]:
            allowed.append(round((14.0 + 0.1 * more) * 0.98, 6))
    assert len(allowed) == 1
    assert taken - 0.098 < allowed[0] <= taken


def test_equals_are_told_apart_by_money() -> None:
    """Of two fats half a step off, the cheaper one is rounded up."""
    bar = Bar(sheet_of(), shelf_of(PRICES), {}, None)  # type: ignore[arg-type]
    balance = balance_for(bar, [30.5, 40.0, 29.5])
    balance = balance._replace(
        weights=tuple(
            weight._replace(begin=float(round(weight.begin - 0.1))) if weight.place in (0, 2) else weight
            for weight in balance.weights
        )
    )
    found = search(stepped(balance, ()))
    assert found.feasible
    grams = stepped(balance, ()).grams(found.point)
    assert (grams[0], grams[2]) == (30.0, 30.0)
