"""The nearest blend to a recipe in hand, beside raw HiGHS on the same rows.

    python tests/bench/near.py
    python tests/bench/near.py --runs 30 --harder 5

Raw HiGHS, by hand, solves twice: the least share changed, and with that held the least drift. Ours proves it exactly, brings the
spread of lots in, looks for the blend that changes the fewest fats, and finds the cheapest; its parts are timed one by one.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import highspy
import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

from clashes import raw

from optimiser.answers.blend import answered
from optimiser.files.shelf.shelf import read_shelf
from optimiser.model.programme import Programme, build
from optimiser.problem.asking import goals_of
from optimiser.problem.asking_near import changed_by, recipe_of
from optimiser.problem.question import Question
from optimiser.recipe.in_hand import near_goals
from optimiser.solve.nearest import few_changes, least_moved
from optimiser.solve.optimum import solve
from optimiser.solve.yielding import cheapest

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
RECIPE = {"olive oil": 450.0, "coconut oil": 250.0, "palm oil": 250.0, "castor oil": 50.0}


def by_hand(made: Programme) -> tuple[float, float]:
    """Least share changed and least drift, by two solves of one HiGHS."""
    model = raw(made, np.arange(len(made.rows)), np.zeros(len(made.money)))
    found = []
    columns = np.arange(len(made.money), dtype=np.int32)
    for preference in made.soft:
        cost = np.zeros(len(made.money))
        cost[list(preference.shortfalls)] = 1.0
        model.changeColsCost(len(cost), columns, cost)
        model.run()
        assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal
        found.append(model.getInfo().objective_function_value)
        for place in preference.shortfalls:
            model.changeColBounds(place, 0.0, found[-1] + 1e-9)
    return found[0], found[1]


def timed(name: str, work: Callable[[], object], runs: int) -> None:
    """The median of so many runs, in milliseconds."""
    spent = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        spent.append(1000.0 * (time.perf_counter() - begun))
    print(f"{name:52s} {statistics.median(spent):8.2f} ms")


def main() -> None:
    """Time a recipe that is to be harder."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=10)
    parser.add_argument("--harder", type=float, default=3.0, help="points of hardness more than the recipe has")
    asked = parser.parse_args()
    shelf = read_shelf(SHELF)
    sheet = near_goals(recipe_of(RECIPE), shelf, goals_of(changed_by("hardness", asked.harder)))
    made = build(sheet, shelf)
    live, found = solve(made)
    assert found is not None
    moved, drift = by_hand(made)
    print(f"{len(shelf.fats)} fats, {len(made.rows)} rows: {moved:.4f} % changed, drift {drift:.4f} by HiGHS by hand;")
    print(f"{found.short[0]:.4f} %, {found.short[1]:.4f} by ours, proved {least_moved(live).least:.4f} %\n")
    timed("raw HiGHS: least changed, then least drift", lambda: by_hand(made), asked.runs)
    timed("ours: the same with lots and the cheapest", lambda: solve(made), asked.runs)
    timed("the proof of what no blend changes less than", lambda: least_moved(live), asked.runs)
    timed("the blend that changes the fewest fats", lambda: few_changes(sheet, live, found), asked.runs)
    timed("all of the search: rules, nearest, few changes", lambda: cheapest(sheet, shelf), asked.runs)
    timed(
        "the whole answer, with every price and saving",
        lambda: answered(Question(sheet, shelf)),
        max(1, asked.runs // 3),
    )


if __name__ == "__main__":
    main()
