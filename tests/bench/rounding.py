"""Rounding for the balance: how many searches it takes, and how long, beside raw HiGHS on the same integer model.

    python tests/bench/rounding.py
    python tests/bench/rounding.py --goals goals/everyday.yaml --runs 20

For each goal file, batch and scale whose nearest rounding breaks something: searches asked, what is kept, and the time of it
all in raw solves. A raw solve is the mean of those of the arrays that were searched, each handed to a fresh HiGHS with its own
settings. What the nearest keeps asks no search.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import highspy
import numpy as np

from optimiser.files.question import read_question
from optimiser.model.programme import Programme
from optimiser.model.stepped import Stepped
from optimiser.problem.units import Units
from optimiser.recipe import repair
from optimiser.recipe.rounding import TooCoarse, exact_grams
from optimiser.recipe.weighing_out import WeighedOut
from optimiser.solve.loading import by_column, spend_banner
from optimiser.solve.yielding import cheapest
from optimiser.text.diagnostics import BadInput

GOALS = Path(__file__).parents[2] / "goals"
BALANCES = ((1.0, 1.0), (1.0, 0.1), (0.1, 1.0), (0.25, 1.0), (0.5, 5.0), (0.5, 0.1 * Units.OUNCES.grams))


def raw(made: Programme) -> Any:
    """A fresh HiGHS, its settings its own, with the arrays of an integer programme."""
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    m, n = made.matrix.shape
    starts, index, values = by_column(made.matrix)
    model.passModel(
        *(n, m, len(values), int(highspy.MatrixFormat.kColwise), int(highspy.ObjSense.kMinimize), 0.0),
        *(made.money, made.column_low, made.column_high, made.row_low, made.row_high),
        *(starts[:-1], index, values, made.integer.astype(np.int32)),
    )
    model.run()
    return model


def median(work: Callable[[], object], runs: int) -> float:
    """The median time of so many runs, in milliseconds."""
    spent = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        spent.append(1000.0 * (time.perf_counter() - begun))
    return statistics.median(spent)


def main() -> None:
    """Weigh out each blend on each balance."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--goals", type=Path, nargs="*", default=sorted(GOALS.glob("*.yaml")))
    parser.add_argument("--runs", type=int, default=5)
    asked = parser.parse_args()
    spend_banner()
    first: list[Stepped] = []
    searched = repair.search

    def noting(made: Stepped) -> Any:
        first.append(made)
        return searched(made)

    ratios, times, searches, nearest = [], [], [], 0
    print(f"{'goals':28s} {'fats':>7s} {'scale':>7s}  searches  missed       ms  raw ms  in raw solves")
    for path in asked.goals:
        try:
            question = read_question(path)
        except BadInput:
            continue
        for kilos, scale in BALANCES:
            batch = question.goals.batch._replace(fats_kg=kilos, bars=None, mould=None, batter_kg=None, scale_g=scale)
            found = cheapest(question.goals._replace(batch=batch), question.shelf)
            if found.found is None:
                continue
            programme, point, shelf = found.live.programme, found.found.point, question.shelf
            grams = exact_grams(programme.columns, point)

            def weigh() -> WeighedOut:
                return repair.weigh_out(programme, grams, shelf.purities, found.sheet, shelf.prices)  # noqa: B023

            first.clear()
            repair.search = noting
            try:
                out = weigh()
            except TooCoarse:
                continue
            finally:
                repair.search = searched
            if not out.searches:
                nearest += 1
                continue
            arrays = [made.programme for made in first]
            ours = median(weigh, asked.runs)
            theirs = statistics.mean(median(lambda: raw(one), asked.runs) for one in arrays)  # noqa: B023
            ratios.append(ours / theirs)
            times.append(ours)
            searches.append(out.searches)
            print(
                f"{path.stem:28s} {1000 * kilos:5.0f} g {scale:6.3g}g  {out.searches:8d}  {len(out.missed):6d}"
                f" {ours:8.1f} {theirs:7.1f}  {ours / theirs:13.1f}"
            )
    print(f"\n{nearest} kept by the nearest rounding, without a search; {len(times)} searched for")
    if times:
        print(f"searches: median {statistics.median(searches):.0f}, most {max(searches)}")
        print(f"ms: median {statistics.median(times):.1f}, most {max(times):.1f}")
        print(f"raw solves: median {statistics.median(ratios):.1f}, most {max(ratios):.1f}")


if __name__ == "__main__":
    main()
