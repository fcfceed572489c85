"""Blends near to a recipe in hand: the fewest grams moved is proved, crumbs go, and the model is left as it was."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from optimiser.analysis.old_bar import OldBar, goals_of_bar
from optimiser.files.recipe_file import read_recipe
from optimiser.files.shelf.shelf import read_shelf
from optimiser.model.programme import build
from optimiser.recipe.completion import complete
from optimiser.recipe.evaluation import judge
from optimiser.solve.moving import PINCH, Moves, cheapest_near, least_moved, moves_of, nearest, next_crumb
from optimiser.solve.solver import Live

ROOT = Path(__file__).parents[2]


@pytest.fixture(name="moves")
def without_palm() -> Moves:
    """The house bar without palm oil, over the shelf of the tree."""
    sheet, shelf = (
        read_recipe(ROOT / "examples" / "recipes" / "all-purpose.yaml"),
        read_shelf(ROOT / "inventory" / "kittiwake.yaml"),
    )
    recipe = complete(sheet, shelf)
    bar = OldBar(sheet, recipe, judge(recipe), ("palm oil",))
    return moves_of(build(goals_of_bar(bar, shelf), shelf), bar.shares)


def test_the_least_is_what_is_out(moves: Moves) -> None:
    """A quarter of the bar is out, so a quarter is another at the least; the blend found moves no more."""
    live = Live(moves.programme)
    found = nearest(live, moves, np.zeros_like(moves.moved), 2)
    assert found is not None
    assert found.least_moved == pytest.approx(0.25, abs=1e-9)
    assert found.least_moved <= 0.25
    assert found.moved == pytest.approx(0.25, abs=1e-6)
    assert least_moved(live, moves) == pytest.approx(found.least_moved)


def test_no_crumbs_are_left(moves: Moves) -> None:
    """Of new fats there is a noticeable share or none, and no more of them than asked."""
    for most in (1, 2):
        found = nearest(Live(moves.programme), moves, np.zeros_like(moves.moved), most)
        assert found is not None
        shares = found.point[: len(moves.old)]
        new = shares[(moves.old == 0.0) & (shares > 1e-6)]
        assert 1 <= len(new) <= most
        assert new.min() >= PINCH - 1e-6
        assert next_crumb(moves, found.point, set(), most) is None


def test_the_model_is_left_as_it_was(moves: Moves) -> None:
    """Asked twice the same live model gives the same blend: no bound of the first question stays."""
    live = Live(moves.programme)
    first, again = (nearest(live, moves, np.zeros_like(moves.moved), 2) for _ in range(2))
    assert first is not None
    assert again is not None
    assert first.moved == pytest.approx(again.moved, abs=1e-9)
    fresh = nearest(Live(moves.programme), moves, np.zeros_like(moves.moved), 2)
    assert fresh is not None
    assert moves.drift @ again.point == pytest.approx(float(moves.drift @ fresh.point), abs=1e-5)


def test_the_cheapest_moves_no_more_than_it_may(moves: Moves) -> None:
    """Each bit of room makes it no dearer, nothing costs less than is proved, and without room enough there is none."""
    ratios = []
    for most in (0.25, 0.30, 0.40):
        found = cheapest_near(Live(moves.programme), moves, most, 2)
        assert found is not None
        assert float(moves.moved @ found.point) <= most + 1e-6
        assert found.least_ratio <= found.ratio + 1e-9
        assert found.ratio <= found.least_ratio * 1.06
        ratios.append(found.least_ratio)
    assert ratios == sorted(ratios, reverse=True)
    assert cheapest_near(Live(moves.programme), moves, 0.2, 2) is None
