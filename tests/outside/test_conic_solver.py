"""The cone of the lots, met by cuts over a linear programme, against a general solver of conic programmes.

Source: Clarabel, an interior-point solver for linear and second-order cones (Goulart & Chen, arXiv:2405.12762), which gets
the programme with the whole cone at once and shares nothing with the cuts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import clarabel
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import sparse
from strategies import Bar, at_least, at_most, bars, examples, sheet_of, shelf_of, with_practice

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, build
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf
from optimiser.solve.optimum import least_ratio
from optimiser.solve.solver import Live

SOLVED = ("Solved", "AlmostSolved")


def conic(made: Programme, objective: Vector) -> float | None:
    """The least of an objective over the rows, the bounds and the cone, by a conic solver; None where it finds none."""
    lots = made.lots
    assert lots is not None
    n = len(objective)
    equal = np.flatnonzero(made.row_low == made.row_high)
    above = np.flatnonzero(np.isfinite(made.row_low) & (made.row_low != made.row_high))
    below = np.flatnonzero(np.isfinite(made.row_high) & (made.row_low != made.row_high))
    strays = np.zeros((lots.groups + 1, n))
    strays[0, lots.norm] = -1.0
    strays[1 + lots.group, np.arange(len(lots.group))] = -lots.weight
    parts = [made.matrix[equal], -made.matrix[above], made.matrix[below], np.eye(n), -np.eye(n), 100.0 * strays]
    right = np.concatenate(
        [
            *(made.row_high[equal], -made.row_low[above], made.row_high[below], made.column_high, -made.column_low),
            np.zeros(lots.groups + 1),
        ]
    )
    cones: list[Any] = [
        clarabel.ZeroConeT(len(equal)),
        clarabel.NonnegativeConeT(len(above) + len(below) + 2 * n),
        clarabel.SecondOrderConeT(lots.groups + 1),
    ]
    options = clarabel.DefaultSettings()
    options.verbose = False
    solver = clarabel.DefaultSolver(
        sparse.csc_matrix((n, n)), objective, sparse.csc_matrix(np.vstack(parts)), right, cones, options
    )
    found = solver.solve()
    return float(found.obj_val) if str(found.status) in SOLVED else None


@dataclass(frozen=True, repr=False)
class Doubtful:
    """Goals on a bar over a shelf, and those on its superfats."""

    bar: Bar
    shelf: Shelf
    wishes: list[Limit]

    def __repr__(self) -> str:
        """Few enough words for a failing example."""
        purest = self.shelf.purest
        return f"{self.bar!r} {[(wish.key, wish.side, wish.value) for wish in self.wishes]} {purest}"

    def _repr_pretty_(self, printer: Any, _cycle: bool) -> None:  # noqa: FBT001
        """The same for hypothesis."""
        printer.text(repr(self))


@st.composite
def doubtful(draw: st.DrawFn) -> Doubtful:
    """A bar over a shelf whose alkali may be purer than told, with a low superfat and a likely one asked for."""
    bar = draw(bars())
    tolerance = draw(st.sampled_from((0.0, 0.005, 0.01, 0.02)))
    alkalis = {name: item._replace(tolerance=tolerance) for name, item in bar.shelf.alkalis.items()}
    kin = draw(st.booleans())  # two fats that go up and down together
    first, second, *rest = bar.shelf.fats
    if kin:
        second = second._replace(fat=second.fat._replace(base=first.fat.name))
    low = draw(st.floats(0.0, 2.0))
    wishes = [
        at_least("superfat", low),
        at_most("superfat", low + draw(st.floats(0.0, 3.0))),
        at_least("likely_superfat", low + draw(st.floats(-2.0, 1.5))),
    ]
    return Doubtful(bar, bar.shelf._replace(alkalis=alkalis, fats=(first, second, *rest)), wishes)


@settings(max_examples=examples(60))
@given(doubtful())
def test_the_cheapest_blend_is_that_of_a_conic_solver(drawn: Doubtful) -> None:
    """At the ratio that the cuts find, the conic solver finds no cheaper blend; it finds none where they find none."""
    bar, shelf, wishes = drawn.bar, drawn.shelf, drawn.wishes
    made = build(bar.sheet._replace(goals=(*bar.sheet.goals, *wishes)), shelf)
    found = least_ratio(Live(made))
    ratio = 3.0 if found is None else found.ratio
    least = conic(made, made.money - ratio * made.cured)
    if found is None:
        most = conic_room(made)
        assert most is None or most < 1e-5
        return
    assert least is not None
    assert least == pytest.approx(0.0, abs=2e-5 * max(1.0, ratio))


def conic_room(made: Programme) -> float | None:
    """By how much of their natural scale every row can be more than met, as a conic solver finds; below 0, cannot be met."""
    slack = np.zeros(len(made.matrix))
    inner = made.row_low != made.row_high
    for place, row in enumerate(made.rows):
        if inner[place]:
            slack[place] = (-1.0 if np.isfinite(made.row_low[place]) else 1.0) * (row.scale if row.unit else 0.01)
    wide = replace(
        made,
        matrix=np.column_stack([made.matrix, slack]),
        column_low=np.append(made.column_low, -100.0),
        column_high=np.append(made.column_high, 100.0),
    )
    objective = np.zeros(len(made.money) + 1)
    objective[-1] = -1.0
    least = conic(wide, objective)
    return None if least is None else -least


@settings(max_examples=examples(40))
@given(doubtful())
def test_where_a_blend_that_is_likely_safe_exists_the_answer_is_one(drawn: Doubtful) -> None:
    """Asked for no likely superfat, house practice keeps it at 0 % or above wherever a conic solver finds that it can be."""
    bar, shelf, wishes = drawn.bar, drawn.shelf, drawn.wishes
    sheet = bar.sheet._replace(goals=(*bar.sheet.goals, *wishes[:2]))
    made = build(sheet._replace(yielded=frozenset({"likely superfat"})), shelf)
    likely = made.columns.unreacted_likely
    objective = np.zeros(len(made.money))
    objective[: len(likely)] = -likely
    best = conic(made, objective)
    story = answer_for(sheet, shelf)
    assume(best is not None and isinstance(story, Blend))
    assert best is not None
    assert isinstance(story, Blend)
    most = 100.0 * -best / 3.45
    if most > 1e-3:
        assert story.alkali.superfat_likely_low > -1e-5
        assert not story.stood_aside
    elif most < -1e-3:
        assert story.alkali.superfat_likely_low < 0.0
        assert [rule.rule for rule in story.stood_aside] == ["likely superfat"]
        assert story.cautions[0].startswith("LIKELY LYE-HEAVY")


def test_where_there_is_room_a_dearer_blend_keeps_the_bar_safe() -> None:
    """A superfat between 0 and 4 % is answered at its likely-safe part, though less superfat would be cheaper."""
    shelf = shelf_of({"olive oil": 9.0, "coconut oil": 3.0, "palm oil": 2.0})
    sheet = sheet_of(at_least("superfat", 0.0), at_most("superfat", 4.0), at_least("olive oil", 60.0, "fat"))
    sheet = sheet._replace(goals=sheet.goals[:2], shares=(at_least("olive oil", 60.0, "fat"),))
    safe, lean = answer_for(sheet, shelf), answer_for(with_practice(*sheet.goals)._replace(shares=sheet.shares), shelf)
    for story in (safe, lean):
        assert isinstance(story, Blend)
        assert story.alkali.superfat_likely_low > -1e-6
        assert not story.stood_aside
