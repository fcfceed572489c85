"""The columns and rows that tell how far a blend is from a recipe in hand."""

from __future__ import annotations

import numpy as np
import pytest

from optimiser import at_least, at_most, goals_of, shelf_of
from optimiser.measures.differences import within
from optimiser.model.labels import column_labels, row_labels
from optimiser.model.nearness import nearness
from optimiser.model.programme import Programme, build, lay_columns
from optimiser.problem.asking_near import recipe_of
from optimiser.problem.goals import GoalSheet
from optimiser.problem.near import drifting
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin
from optimiser.recipe.in_hand import near_goals
from optimiser.solve.nearest import apart_from
from optimiser.solve.solver import Live

SHELF = shelf_of({"olive oil": 7.0, "coconut oil": 3.0, "lard": 2.0, "shea butter": 9.0}, sodium_hydroxide=2.4)
RECIPE = recipe_of({"olive oil": 500, "coconut oil": 300, "emu oil": 200}, superfat=5)


def made(*, shelf: Shelf = SHELF) -> tuple[GoalSheet, Programme]:
    """Goals near to a recipe of which one fat is not on the shelf."""
    sheet = near_goals(RECIPE, shelf, goals_of(at_most("olive oil", 40), practice=False))
    return sheet, build(sheet, shelf)


def test_what_is_gone_counts_as_changed() -> None:
    """A fat that the shelf has not is changed by all of its share, whatever the blend."""
    _, programme = made()
    row = programme.rows[programme.soft[0].rows[0]]
    outcome = Live(programme).minimise(np.pad(row.top, (0, len(programme.money) - len(row.top))))
    assert outcome.feasible
    assert outcome.objective == pytest.approx(30.0)  # 20 % emu oil is not there, and 10 % olive oil is too much


def test_each_fat_and_each_measure_has_a_column() -> None:
    """Less of each fat that both have, and the drift of each measure that is no other one told anew."""
    sheet, programme = made()
    assert sheet.near is not None
    assert [one.name for one in programme.apart if one.kind == "less"] == ["coconut oil", "olive oil"]
    assert [one.name for one in programme.apart if one.kind == "drift"] == list(drifting())
    assert "mildness" not in drifting()
    assert apart_from(programme, "less").sum() == 2.0
    assert len(column_labels(programme)) == len(programme.money)
    assert len(row_labels(programme)) == len(programme.rows)
    assert all(
        row.origin in (Origin.PHYSICS, Origin.PREFERENCE) for row in programme.rows if row.why == "the recipe in hand"
    )


def test_a_measure_off_by_twice_as_much_as_it_is_sure_counts_one() -> None:
    """The drift of a measure is its distance in parts of its own plus or minus, on either side, beyond the first."""
    sheet, programme = made()
    assert sheet.near is not None
    columns = programme.columns
    blend = np.zeros(len(programme.money))
    blend[columns.index["lard"]] = 1.0
    alone = columns.measure("hardness")[: columns.count] @ blend[: columns.count]
    water = columns.measure("hardness")[columns.count :]  # nothing of these is in this point
    assert np.isfinite(water).all()
    rows = [row for row in programme.rows if row.wish.within.startswith("drift") and row.figure == "hardness"]
    off = (alone - sheet.near.values["hardness"]) / within("hardness")
    reached = sorted(float(row.top @ blend[: len(row.top)]) for row in rows)
    assert reached == pytest.approx(sorted([off, -off]))
    assert [row.limit for row in rows] == [-1.0, -1.0]


def test_an_unknown_measure_is_left_out() -> None:
    """Of a recipe with a fat of which nothing but its saponification value is known, no measure drifts."""
    sheet, programme = made()
    assert sheet.near is not None
    untold = sheet.near._replace(values=dict.fromkeys(sheet.near.values, float("nan")) | {"superfat": 5.0})
    columns = programme.columns
    found = nearness(columns, sheet._replace(near=untold), 0)
    assert [one.kind for one in found.columns] == ["less", "less"]
    assert found.wishes[1][0].top.sum() == 0.0


def test_without_a_recipe_there_is_nothing_to_be_near_to() -> None:
    """A programme without one has no such column, and asking for them is a fault of the caller."""
    sheet = goals_of(at_least("olive oil", 30))
    assert build(sheet, SHELF).apart == ()
    with pytest.raises(ValueError, match="no recipe"):
        nearness(lay_columns(sheet, SHELF), sheet, 0)
