"""Searches among whole numbers: what HiGHS says is the least is held against a linear solve of its own choice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from strategies import at_least, limit, sheet_of, shelf_of

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, build
from optimiser.solve import searching
from optimiser.solve.outcomes import Outcome, Work
from optimiser.solve.searching import search
from optimiser.solve.solver import Live
from optimiser.solve.switches import with_choice

PRICES = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "lard": 2.2}


def counted() -> Programme:
    """Three fats at most, a hard bar that lathers."""
    hard, foam = at_least("hardness", 45.0), at_least("quick_lather", 40.0)
    sheet = sheet_of(hard, foam, fat_count=(limit("number of fats", "at_most", 3.0, "count"),))
    return build(sheet, shelf_of(PRICES))


def dearer(programme: Programme, least: Outcome) -> Vector:
    """The dearest blend of the very fats that the cheapest one is made of."""
    return Live(with_choice(programme, least.point)).minimise(-programme.money).point


Attempt = Callable[[Any, Vector | None, Work, Callable[[float], str]], Outcome]


def losing(times: int, attempted: Attempt, programme: Programme) -> Attempt:
    """A solver that so many times takes what it was given for the least, as one does that has cut the optimum off."""
    left = [times]

    def attempt(model: Any, start: Vector | None, work: Work, words: Callable[[float], str]) -> Outcome:
        if left[0] == 0 or start is None:
            return attempted(model, start, work, words)
        left[0] -= 1
        value = float(programme.money @ start)
        return Outcome(feasible=True, objective=value, bound=value, point=start)

    return attempt


def test_an_optimum_that_was_cut_off_is_found_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search that ends with what it was given, though the same fats make a cheaper blend, is asked once more."""
    made = counted()
    least = search(made, None, Work(), str)
    start = dearer(made, least)
    assert float(made.money @ start) > least.objective + 0.1
    monkeypatch.setattr(searching, "attempted", losing(1, searching.attempted, made))
    found = search(made, start, Work(), str)
    assert found.objective == pytest.approx(least.objective, abs=1e-9)
    assert found.bound == pytest.approx(least.objective, abs=1e-7)
    assert not found.limited


def test_no_bound_is_told_by_a_search_that_is_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without work to ask again the cheaper blend is told, and that nothing is known of others."""
    made, spent = counted(), Work(0.0)
    start = dearer(made, search(made, None, Work(), str))
    monkeypatch.setattr(searching, "attempted", losing(9, searching.attempted, made))
    found = search(made, start, spent, str)
    assert found.limited
    assert np.isneginf(found.bound)
    assert found.objective < float(made.money @ start) - 0.1
