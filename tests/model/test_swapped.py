"""What is swapped between blends: the figure, its columns and its rows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import at_most, examples, sheet_of, shelf_of

from optimiser.materials.fat import like
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, build
from optimiser.model.swapped import CEILING, Apart, by_group, swapped, within_cost
from optimiser.problem.wishes import Origin

FATS = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "rapeseed oil": 2.1}
MADE = build(sheet_of(at_most("iodine_value", 90.0)), shelf_of(FATS))
PARTS = st.lists(st.integers(0, 10), min_size=5, max_size=5).filter(any)


def blend(parts: list[int], programme: Programme = MADE) -> Vector:
    """A point with these parts of fats and nothing else."""
    out = np.zeros(len(programme.money))
    out[: len(parts)] = np.array(parts, dtype=float) / sum(parts)
    return out


@settings(max_examples=examples(40))
@given(PARTS, st.lists(PARTS, min_size=1, max_size=3))
def test_a_blend_fits_the_rows_with_what_it_swaps(parts: list[int], others: list[list[int]]) -> None:
    """Any blend, its further columns as it asks, meets the rows on what is swapped, and t is the least of what it swaps."""
    apart = Apart(MADE, [blend(other) for other in others])
    made, point = apart.programme, apart.placed(blend(parts))
    rows = slice(len(MADE.matrix), None)
    assert (made.matrix[rows] @ point <= made.row_high[rows] + 1e-9).all()
    assert (point >= made.column_low).all()
    assert (point <= made.column_high).all()
    assert point[apart.t] == pytest.approx(apart.least(blend(parts)), abs=1e-6)
    assert apart.least(blend(parts)) == pytest.approx(
        min(float(np.maximum(0.0, blend(parts) - blend(other)).sum()) for other in others)
    )


@settings(max_examples=examples(40))
@given(PARTS, PARTS, st.lists(st.booleans(), min_size=5, max_size=5))
def test_no_choice_makes_more_of_it_than_there_is(parts: list[int], other: list[int], choice: list[bool]) -> None:
    """However the 0/1 columns are set, the rows let t be no more than what is swapped."""
    apart = Apart(MADE, [blend(other)])
    rows = apart.programme.matrix[len(MADE.matrix) :]
    first, last = apart.width, apart.width + len(apart.own)
    point = np.zeros(apart.size)
    point[: apart.width] = blend(parts)
    point[last : apart.t] = choice[: len(apart.own)]
    for d in range(first, last):
        point[d] = max(0.0, min(-float(row @ point) for row in rows if row[d] == 1.0))
    most = min(-float(row @ point) for row in rows if row[apart.t] == 1.0)
    assert most <= apart.least(blend(parts)) + 1e-9


def test_a_fat_and_what_is_built_on_it_are_one() -> None:
    """An infusion in the place of its oil swaps nothing."""
    shelf = shelf_of({"olive oil": 7.0, "palm oil": 2.0})
    own = like(shelf.fats[0].fat, name="house infused olive")
    shelf = shelf._replace(fats=(*shelf.fats, shelf.fats[0]._replace(fat=own)))
    made = build(sheet_of(), shelf)
    groups = by_group(made)
    assert groups.shape[0] == 2
    places = made.columns.index
    one, other = np.zeros(len(made.money)), np.zeros(len(made.money))
    one[places["olive oil"]] = one[places["palm oil"]] = 0.5
    other[places["house infused olive"]] = other[places["palm oil"]] = 0.5
    assert swapped(groups, one, other) == 0.0
    assert Apart(made, [one]).least(other) == 0.0


def test_the_limit_on_the_cost_is_a_row_of_physics() -> None:
    """It is no wish of anyone, so that no clash or price names it; it holds of a blend at the ceiling and of no dearer one."""
    made = within_cost(MADE, 3.0)
    assert made.rows[-1].figure == CEILING
    assert made.rows[-1].origin == Origin.PHYSICS
    assert len(made.rows) == len(made.matrix) == len(MADE.matrix) + 1
    assert made.members == MADE.members
    point = blend([1, 0, 0, 0, 0])
    cost = float(MADE.money @ point) / float(MADE.cured @ point)
    held = within_cost(MADE, cost)
    assert held.matrix[-1] @ point <= held.row_high[-1]
    assert within_cost(MADE, 0.999 * cost).matrix[-1] @ point > held.row_high[-1]
