"""What no blend changes less than, and the blend that changes few fats."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from optimiser import at_least, at_most, exactly, goals_of, shelf_of
from optimiser.model.programme import build
from optimiser.problem.asking_near import changed_by, recipe_of
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.recipe.in_hand import near_goals
from optimiser.solve.nearest import few_changes, least_moved, moved_row
from optimiser.solve.optimum import solve
from optimiser.solve.outcomes import SolverFault
from optimiser.solve.proof import lower_bound
from optimiser.solve.yielding import Asked, cheapest

PRICES = {
    "olive oil": 7.0,
    "coconut oil": 3.0,
    "palm oil": 2.0,
    "lard": 2.2,
    "castor oil": 5.0,
    "beeswax": 12.0,
    "cocoa butter": 12.0,
    "shea butter": 9.0,
    "rapeseed oil": 2.1,
    "palm stearin": 2.1,
    "illipe butter": 13.0,
}
SHELF = shelf_of(PRICES, sodium_hydroxide=2.4)
RECIPE = recipe_of({"olive oil": 450, "coconut oil": 250, "palm oil": 250, "castor oil": 50})


def goals(*wishes: Limit) -> GoalSheet:
    """Goals near to the recipe, over the shelf."""
    return near_goals(RECIPE, SHELF, goals_of(*wishes))


def shares(asked: Asked) -> dict[str, float]:
    """Per cent of each fat in the blend."""
    assert asked.found is not None
    columns = asked.programme.columns
    found = {fat.name: 100.0 * float(asked.found.point[place]) for place, fat in enumerate(columns.fats)}
    return {name: share for name, share in found.items() if share > 1e-6}


def test_the_bound_is_the_optimum_and_never_above_it() -> None:
    """What is proved comes up to what the solver found, and no further."""
    sheet = goals(changed_by("hardness", 4))
    live, found = solve(build(sheet, SHELF))
    assert found is not None
    proof = least_moved(live)
    assert proof.exact
    assert proof.least == pytest.approx(found.short[0], abs=1e-7)
    assert Fraction(proof.least) <= Fraction(found.short[0] + 1e-7)


def test_a_bound_from_poor_prices_is_lower_but_true(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the multipliers, the bound does not exceed what some blend reaches."""
    sheet = goals(changed_by("hardness", 4))
    live, found = solve(build(sheet, SHELF))
    assert found is not None
    monkeypatch.setattr(
        "optimiser.solve.nearest.lower_bound", lambda made, cost, dual: lower_bound(made, cost, 0.7 * dual)
    )
    assert least_moved(live).least < found.short[0]


def test_a_pinch_is_traded_for_fewer_fats() -> None:
    """With the house, few fats change and each by more than a pinch; no more is changed than a twentieth beside what must be."""
    asked = cheapest(goals(changed_by("hardness", 3)), SHELF)
    assert asked.found is not None
    assert asked.before is not None
    least = least_moved(asked.before[0]).least
    assert least <= asked.found.short[0] <= least + 5.0
    before = {item.name: item.grams / 10.0 for item in RECIPE.fats}
    after = shares(asked)
    changed = [
        name for name in before.keys() | after.keys() if abs(before.get(name, 0.0) - after.get(name, 0.0)) > 1e-4
    ]
    assert len(changed) == 2


def test_with_pinches_off_the_very_nearest_is_told() -> None:
    """A maker who wants the least change to the gram has it."""
    sheet = near_goals(RECIPE, SHELF, goals_of(changed_by("hardness", 3), practice=False))
    asked = cheapest(sheet, SHELF)
    assert asked.found is not None
    assert asked.before is None
    assert asked.found.short[0] == pytest.approx(least_moved(asked.live).least, abs=1e-6)


def test_nothing_is_held_where_nothing_changes() -> None:
    """A recipe that meets its goals has no fats to hold, and no search is made."""
    sheet = goals()
    live, found = solve(build(sheet, SHELF))
    assert found is not None
    assert few_changes(sheet, live, found) == {}
    assert cheapest(sheet, SHELF).before is None


def test_fats_held_are_the_recipes_own() -> None:
    """What is not to change is held at the recipe's share, and what is not there at none."""
    sheet = goals(exactly("olive oil", 30))
    live, found = solve(build(sheet, SHELF))
    assert found is not None
    held = few_changes(sheet, live, found)
    assert held["coconut oil"] == pytest.approx((25.0, 25.0))
    assert held["castor oil"] == pytest.approx((5.0, 5.0))
    assert held["olive oil"][0] < 30.0 < held["olive oil"][1]
    assert sum(low == high == 0.0 for low, high in held.values()) >= len(PRICES) - 6


def test_the_likely_superfat_is_a_cone_here_too() -> None:
    """A floor under the likely superfat holds in the nearest blend, with its superfat free to give it room."""
    asked = cheapest(goals(at_least("likely superfat", 3), at_most("superfat", 12), at_most("olive oil", 35)), SHELF)
    assert asked.found is not None
    row = next(row for row in asked.programme.rows if str(row.wish) == "goals.likely_superfat.at_least")
    assert row.value(asked.found.point) >= 3.0 - 1e-4
    assert least_moved((asked.before or (asked.live,))[0]).least == pytest.approx(10.0, abs=1e-4)


def test_without_a_recipe_nothing_is_moved() -> None:
    """A programme without a recipe in hand has no such row."""
    with pytest.raises(SolverFault, match="no recipe"):
        moved_row(build(goals_of(at_least("olive oil", 30)), SHELF))


def test_rules_give_way_by_as_little_change_as_may_be() -> None:
    """Where goals leave no room for the house, what a rule gives is weighed against what is changed, not against money."""
    asked = cheapest(goals(changed_by("hardness", 14)), SHELF)
    assert asked.found is not None
    assert asked.sheet.eased
    assert np.isfinite(asked.found.short).all()
    assert asked.found.short[0] <= 60.0
