"""Among blends of equal cost the same one every time."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import Bar, at_least, at_most, bars, exactly, examples, sheet_of, shelf_of, stocked

from optimiser.materials.fat import like
from optimiser.materials.fat_table import reference
from optimiser.model.programme import Programme, build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve import tie_break as ties
from optimiser.solve.optimum import Cheapest, least_ratio, solve
from optimiser.solve.outcomes import Outcome
from optimiser.solve.solver import Live
from optimiser.solve.tie_break import settle_ties

TIED = shelf_of({"coconut oil": 3.0, "palm oil": 3.0, "olive oil": 3.0})


def settled(sheet: GoalSheet, shelf: Shelf) -> tuple[Programme, Cheapest]:
    """The blend to show."""
    made = build(sheet, shelf)
    live, found = solve(made)
    assert found is not None
    return made, settle_ties(live, found)


def twins(*names: str) -> Shelf:
    """Coconut and palm oil, and copies of olive oil under names of our own at one price."""
    copies = [stocked("olive oil", 3.0)._replace(fat=like(reference().get("olive oil"), name=name)) for name in names]
    return TIED._replace(fats=(*(item for item in TIED.fats if item.fat.name != "olive oil"), *copies))


@pytest.mark.parametrize("names", [("an olive", "the olive"), ("the olive", "an olive")])
def test_the_first_of_twins_by_name_is_taken_alone(names: tuple[str, str]) -> None:
    """Of two fats alike in all but name the first by name serves alone, whatever the shelf's order."""
    made, found = settled(sheet_of(shares=(at_least("liquid oils", 40.0, "kind"),), goals=()), twins(*names))
    assert found.point[made.columns.index["an olive"]] >= 0.4 - 1e-9
    assert found.point[made.columns.index["the olive"]] == pytest.approx(0.0, abs=1e-8)


@pytest.mark.parametrize("shelf", [TIED, twins("an olive", "the olive")])
def test_a_free_lye_is_an_ordinary_one(shelf: Shelf) -> None:
    """Where goals leave a range of lye strengths, 33 % is taken, whether or not fats are tied too."""
    made, found = settled(
        sheet_of(at_least("lye_concentration", 27.0), at_most("lye_concentration", 39.0)),
        shelf,
    )
    columns = made.columns
    point = found.point[: columns.size]
    alkali = float(columns.alkali @ point)
    assert 100.0 * alkali / (alkali + point[columns.index["water"]]) == pytest.approx(33.0, abs=1e-5)


@pytest.mark.parametrize(("low", "high", "taken"), [(35.0, 39.0, 35.0), (25.0, 30.0, 30.0)])
def test_the_lye_nearest_to_an_ordinary_one_is_taken(low: float, high: float, taken: float) -> None:
    """A range that does not reach 33 % gives its nearer end."""
    made, found = settled(sheet_of(at_least("lye_concentration", low), at_most("lye_concentration", high)), TIED)
    alkali = float(made.columns.alkali @ found.point[: made.columns.size])
    assert 100.0 * alkali / (alkali + found.point[made.columns.index["water"]]) == pytest.approx(taken, abs=1e-5)


def test_of_tied_blends_the_fewest_fats() -> None:
    """Where one fat alone is as cheap as any mixture, one fat alone is taken."""
    shelf = twins("an olive", "b olive", "c olive")
    made, found = settled(sheet_of(exactly("liquid oils", 100.0, "kind")), shelf)
    assert (found.point[: made.columns.count] > 1e-7).sum() == 1


@settings(max_examples=examples(30))
@given(bars())
def test_settling_neither_costs_nor_breaks_anything(bar: Bar) -> None:
    """The settled blend costs what the found one costs, keeps every row, and leaves the model as it was."""
    made = build(bar.sheet, bar.shelf)
    live, found = solve(made)
    assert found is not None
    shown = settle_ties(live, found)
    assert (made.money @ shown.point) / (made.cured @ shown.point) == pytest.approx(found.ratio, rel=1e-8, abs=1e-9)
    activity = made.matrix @ shown.point
    assert np.all(activity >= made.row_low - 1e-6)
    assert np.all(activity <= made.row_high + 1e-6)
    again = least_ratio(live)
    assert again is not None
    assert again.ratio == pytest.approx(found.ratio, rel=1e-9)


def test_as_few_as_stock_allows_first_by_name() -> None:
    """Of twins that only serve together the first two by name are taken; one that serves alone is taken alone."""
    shelf = twins("a olive", "b olive", "c olive")
    half = tuple(at_most(name, 50.0, "fat") for name in ("a olive", "b olive", "c olive"))
    every = exactly("liquid oils", 100.0, "kind")
    made, found = settled(sheet_of(shares=(every, *half)), shelf)
    assert used(made, found) == {"a olive", "b olive"}
    made, found = settled(sheet_of(shares=(every, *half[:1])), shelf)
    assert used(made, found) == {"b olive"}
    made, found = settled(sheet_of(shares=(every, *half[:2])), shelf)
    assert used(made, found) == {"c olive"}


def used(made: Programme, found: Cheapest) -> set[str]:
    """The fats of a blend."""
    return {fat.name for fat, share in zip(made.columns.fats, found.point, strict=False) if share > 1e-7}


@pytest.mark.parametrize("counting_fails", [False, True])
def test_a_tie_that_cannot_be_settled_leaves_the_blend_found(
    monkeypatch: pytest.MonkeyPatch, *, counting_fails: bool
) -> None:
    """Where the solver finds nothing on the face of least cost, or cannot count fats there, a blend of that cost stands."""
    made = build(sheet_of(shares=(exactly("liquid oils", 100.0, "kind"),)), twins("an olive", "the olive"))
    live, found = solve(made)
    assert found is not None
    asked: list[bool] = []
    honest = Live.minimise

    def failing(self: Live, *arguments: Any, **options: Any) -> Outcome:
        outcome = honest(self, *arguments, **options)
        mixed = self.programme.is_mixed_integer
        asked.append(mixed)
        return Outcome(feasible=False) if mixed or not counting_fails else outcome

    monkeypatch.setattr(Live, "minimise", failing)
    shown = settle_ties(live, found)
    assert any(asked) is counting_fails
    assert shown.ratio == found.ratio
    assert float(made.money @ shown.point) / float(made.cured @ shown.point) == pytest.approx(found.ratio, rel=1e-8)
    if not counting_fails:
        assert np.array_equal(shown.point, found.point)


def test_a_dearer_tie_is_no_tie(monkeypatch: pytest.MonkeyPatch) -> None:
    """A settled blend that costs more than the one found, by more than a billionth, is not shown."""
    made = build(sheet_of(), TIED)
    live, found = solve(made)
    assert found is not None
    dearer = found.point.copy()
    dearer[: made.columns.count] *= 1.0 + 1e-6
    monkeypatch.setattr(ties, "settle_fats", lambda *_: dearer)
    shown = settle_ties(live, found).point
    assert np.array_equal(shown[: made.columns.count], found.point[: made.columns.count])
