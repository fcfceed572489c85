"""Cost curves: solves a breakpoint and time, beside a grid of 300 raw warm solves by HiGHS alone.

    python tests/bench/curves.py
    python tests/bench/curves.py --rounds 3 --grid 100

The grid is what one would do by hand: the same rows in one HiGHS, the limit moved, Dinkelbach's iteration at each step from the
last ratio. It tells costs at its limits only; the curve tells every cost between, and where the blend changes.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

import highspy

from optimiser.analysis.curve import Walk
from optimiser.answers.ask_tradeoff import keyed
from optimiser.answers.curve_values import Curve
from optimiser.answers.moved_question import MovedQuestion, directions
from optimiser.answers.tradeoff import Span, curve_of
from optimiser.files.curve_key import Typed
from optimiser.files.question import read_question
from optimiser.measures.sides import Side
from optimiser.model.moving import Moving, holding_preferences, moving
from optimiser.solve.loading import load

ROOT = Path(__file__).parents[2]
CURVES = (
    ("budget", "hardness", "at_least"),
    ("budget", "rancidity", "at_most"),
    ("budget", "palm", "at_most"),
    ("budget", "superfat", "at_least"),
    ("palm-free-vegetable", "hardness", "at_least"),
    ("palm-free-vegetable", "coconut oil", "at_most"),
    ("fine-swirl", "superfat", "at_least"),
    ("mature-skin", "olive oil", "at_least"),
    ("mature-skin", "avocado oil", "at_least"),
)


def by_grid(family: Moving, low: float, high: float, size: int) -> tuple[float, int]:
    """Seconds and solves of a grid of raw warm solves."""
    start = family.programme_at(low)
    model = load(start)
    columns = np.arange(len(start.money), dtype=np.int32)
    moved = np.flatnonzero(family.lean).tolist()
    bounded = np.flatnonzero((family.low_slope != 0.0) | (family.high_slope != 0.0)).astype(np.int32)
    began, solves, ratio = time.perf_counter(), 0, 0.0
    for limit in np.linspace(low, high, size).tolist():
        made = family.programme_at(limit)
        for row in moved:
            for column in np.flatnonzero(family.along).tolist():
                model.changeCoeff(row, column, float(made.matrix[row, column]))
        if len(bounded):
            model.changeRowsBounds(
                len(bounded),
                bounded,
                np.maximum(made.row_low[bounded], -highspy.kHighsInf),
                np.minimum(made.row_high[bounded], highspy.kHighsInf),
            )
        while True:
            model.changeColsCost(len(columns), columns, made.money - ratio * made.cured)
            model.run()
            solves += 1
            point = np.array(model.getSolution().col_value)
            reached = float(made.money @ point) / float(made.cured @ point)
            settled = abs(reached - ratio) <= 1e-12 * abs(ratio)
            ratio = reached
            if settled:
                break
    return time.perf_counter() - began, solves


def walked(moved: MovedQuestion, low: float, high: float, up: int, families: list[Moving]) -> tuple[float, int, int]:
    """Seconds, solves and stretches of the walk alone."""
    began = time.perf_counter()
    walk = Walk(families=families, up=up, ask=moved.laid_at, written_end=lambda: None)
    found = walk.along(low if up > 0 else high, high if up > 0 else low)
    return time.perf_counter() - began, found.solves, len(found.stretches)


def main() -> None:
    """Print a row for each curve, the median of some rounds."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--grid", type=int, default=300)
    asked: Any = parser.parse_args()
    print(
        f"{'curve':46s} {'stretches':>9s} {'solves':>6s} {'a breakpoint':>12s} {'walk ms':>8s} {'all ms':>8s} {'grid':>6s} {'grid ms':>8s}"
    )
    for name, key, side in CURVES:
        question, found = keyed(read_question(ROOT / "goals" / f"{name}.yaml"), Typed(key, side))
        span = Span(found.low, found.high)
        began = time.perf_counter()
        curve = curve_of(question, found.limit, span)
        whole = time.perf_counter() - began
        assert isinstance(curve, Curve)
        loose = found.low if found.limit.side == Side.AT_LEAST else found.high
        value = found.limit.value or loose
        moved = MovedQuestion(question.goals, question.shelf, found.limit._replace(value=value))
        low, high = curve.points[0].limit, curve.points[-1].limit
        families = moving(lambda at, m=moved: holding_preferences(m.programme_at(at)), low, high, moved.kinks())
        (up,) = directions(found.limit.side)
        rounds = [walked(moved, low, high, up, families) for _ in range(asked.rounds)]
        grids = [by_grid(families[0], families[0].low, families[0].high, asked.grid) for _ in range(asked.rounds)]
        _, solves, stretches = rounds[0]
        print(
            f"{f'{name}: {key} {side}':46s} {stretches:9d} {solves:6d} {solves / max(1, stretches):12.2f} "
            f"{1e3 * statistics.median(one[0] for one in rounds):8.1f} {1e3 * whole:8.1f} "
            f"{grids[0][1]:6d} {1e3 * statistics.median(one[0] for one in grids):8.1f}"
        )


if __name__ == "__main__":
    main()
