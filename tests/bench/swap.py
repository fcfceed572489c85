"""What a swap costs beside raw warm re-solves of the same programme by highspy, side by side on the demo shelf.

    python tests/bench/swap.py
    python tests/bench/swap.py --rounds 20

Told are: the re-solves that a whole swap asks for, and the seconds of them; 60 raw warm re-solves of the same arrays, their
objective changed each time; a whole swap from values to the answers; and what of it is building the programme and judging recipes.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np

from optimiser.answers.swap import swapped
from optimiser.answers.swap_bench import bench_of
from optimiser.answers.swap_choices import STATES, cheapest_of, nearest_of
from optimiser.files.swap_question import SwapQuestion, read_swap
from optimiser.solve.loading import load
from optimiser.solve.moving import Moves
from optimiser.solve.solver import Live

ROOT = Path(__file__).parents[2]
RAW = 60
CASES = (("all-purpose", "palm oil"), ("lard", "lard"), ("castile", "olive oil"), ("high-olive", "palm kernel oil"))


def raw_seconds(moves: Moves, solves: int) -> float:
    """Seconds of so many warm re-solves of the programme in highspy itself, with an objective that differs each time."""
    model = load(moves.programme, in_part=True)
    model.run()
    size = len(moves.moved)
    columns, draw = np.arange(size, dtype=np.int32), np.random.default_rng(7)
    objectives = [moves.moved + 0.01 * moves.drift * draw.uniform(0.5, 1.5, size) for _ in range(solves)]
    model.setOptionValue("simplex_strategy", 4)
    begun = time.perf_counter()
    for objective in objectives:
        model.changeColsCost(size, columns, objective)
        model.run()
    return time.perf_counter() - begun


def solving(question: SwapQuestion) -> tuple[int, float, float, Moves]:
    """Re-solves that the two blends ask for, the seconds inside them, those of all that part, and the programme."""
    bench = bench_of(question)
    moves = bench.model(STATES[0]).moves
    counted, inside, whole = 0, 0.0, Live._linear

    def timed(self: Live, objective: Any) -> Any:
        nonlocal counted, inside
        begun = time.perf_counter()
        outcome = whole(self, objective)
        counted, inside = counted + 1, inside + time.perf_counter() - begun
        return outcome

    Live._linear = timed  # type: ignore[method-assign]
    begun = time.perf_counter()
    try:
        nearest_of(bench)
        cheapest_of(bench)
    finally:
        Live._linear = whole  # type: ignore[method-assign]
    return counted, inside, time.perf_counter() - begun, moves


def seconds(question: SwapQuestion) -> float:
    """Seconds of a whole swap, from values to answers."""
    begun = time.perf_counter()
    swapped(question)
    return time.perf_counter() - begun


def main() -> int:
    """Print a line for each recipe."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=7, help="how often each is timed; the median is told")
    rounds = max(1, parser.parse_args().rounds)
    print(
        f"{'recipe':12s} {'out':16s} {'re-solves':>9s} {'in them':>9s} {f'{RAW} raw':>9s} {'blends':>9s} {'whole':>9s}   ms, medians"
    )
    for name, out in CASES:
        question = read_swap(ROOT / "examples" / "recipes" / f"{name}.yaml", [out])
        seconds(question)  # tables are read once
        told = [solving(question) for _ in range(rounds)]
        raw = median(raw_seconds(told[0][3], RAW) for _ in range(rounds))
        whole = median(seconds(question) for _ in range(rounds))
        inside, part = (median(one[place] for one in told) for place in (1, 2))
        figures = " ".join(f"{1000.0 * value:9.1f}" for value in (inside, raw, part, whole))
        print(f"{name:12s} {out:16s} {told[0][0]:9d} {figures}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
