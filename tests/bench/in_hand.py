"""Time `compare`, `resize` and `label` beside what they are made of: `weigh` of each recipe, `blend` of each goal file.

    python tests/bench/in_hand.py
    python tests/bench/in_hand.py --runs 20

Of each the quickest run counts; the median stands beside it.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # as the command has it
sys.path.insert(0, str(Path(__file__).parents[1]))

from optimiser.answers.blend import answer
from optimiser.answers.compare import compare
from optimiser.answers.label import label
from optimiser.answers.resize import resize
from optimiser.answers.weigh import weigh

ROOT = Path(__file__).parents[2]
RECIPE = "fats: {{olive oil: {olive} g, coconut oil: 250 g, castor oil: 50 g}}\nsuperfat: 5 %\nwater: 280 g\n"
RECIPES = 5


def timed(action: Callable[[], object], runs: int) -> tuple[float, float]:
    """The quickest run and the median of them, in milliseconds, after one that loads what is needed."""
    action()
    took = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        took.append(1000.0 * (time.perf_counter() - start))
    return min(took), statistics.median(took)


def main() -> None:
    """Print a line for each."""
    parser = argparse.ArgumentParser(description="Time compare, resize and label beside weigh and blend.")
    parser.add_argument("--runs", type=int, default=10, help="runs of each")
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as folder:
        recipes = []
        for place in range(RECIPES):
            path = Path(folder) / f"{place}.yaml"
            path.write_text(RECIPE.format(olive=700 + 10 * place), encoding="utf-8")
            recipes.append(path)
        goals = [ROOT / "goals" / f"{name}.yaml" for name in ("budget", "everyday")]
        shelf = ROOT / "inventory" / "kittiwake.yaml"
        work: dict[str, Callable[[], object]] = {
            "weigh, five recipes one after another": lambda: [weigh(path, shelf_file=shelf) for path in recipes],
            "label, the same five one after another": lambda: [label(path, shelf_file=shelf) for path in recipes],
            "compare, the same five": lambda: compare(recipes, shelf_file=shelf),
            "blend, two goal files one after another": lambda: [answer(path) for path in goals],
            "compare, the same two": lambda: compare(goals),
            "weigh, one recipe": lambda: weigh(recipes[0], shelf_file=shelf),
            "resize, the same": lambda: resize(recipes[0], "24 bars of 110 g", shelf_file=shelf),
        }
        for name, action in work.items():
            quickest, median = timed(action, runs)
            print(f"{name:44s} {quickest:8.1f} ms   median {median:8.1f} ms")


if __name__ == "__main__":
    main()
