"""Time our build, solve and proof beside other ways to the same answer, taken in turns in one process.

    python tests/bench/run.py                 # 60, 1,000 and 10,000 fats, 25 rows
    python tests/bench/run.py --sizes 60 --seconds 2
    python tests/bench/run.py --cold          # cold commands against importing what the package depends on

Front ends that are not installed are left out (`pip install -e .[test,bench]` brings them). Of each the quickest run counts,
since whatever else the machine does only makes a run slower; the median stands beside it.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import time
import warnings
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # as the command has it; before numpy is loaded, for all alike
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parent))

from instances import blend, whole_bar
from peers import PEERS, YARDSTICK, ours_in_parts, raw_highspy, scipy_linprog

from optimiser.answers.blend import PROVED, prove
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.optimum import solve

LEAST_RUNS = 5
ROOT = Path(__file__).parents[2]
IMPORTS = "import numpy, highspy, pydantic, yaml, rich.console"


def quietly(action: Callable[[], float]) -> float:
    """Run with descriptors 1 and 2 shut: solvers print banners."""
    saved, sink = (os.dup(1), os.dup(2)), os.open(os.devnull, os.O_WRONLY)
    sys.stdout.flush()
    try:
        os.dup2(sink, 1)
        os.dup2(sink, 2)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return action()
    finally:
        sys.stdout.flush()
        os.dup2(saved[0], 1)
        os.dup2(saved[1], 2)
        for handle in (*saved, sink):
            os.close(handle)


ARRAYS = """
Blends of random figures, from the same arrays to the least cost, each front end with all that it needs for that:
raw highspy      a new Highs, the entries that are not zero in one call, its own default options (presolve), run, the cost
barwright        figures looked over, entries that are not zero in one call, our options, run, point and duals read,
                 the bound proved in exact arithmetic
scipy linprog    rows parted as its interface asks, its checks, HiGHS with its default options
others           a model built in their own terms from the same arrays, and solved
"""
PARTS = """
Ours in parts (the quickest of each): load is figures looked over and handed to HiGHS; solve ends with point and duals read.
"""
BARS = """
Whole bars: fourteen goals under house practice over a shelf of so many fats, to the least cost per kilo of cured bar.
build is goals and shelf to arrays; solve is load and every round of the ratio; proof is of the cost per kilo. Beside it
raw highspy and scipy linprog as above are given the finished arrays and the ratio answered, and solve once.
"""


def timed(action: Callable[[], object]) -> float:
    """How long an action takes, in seconds."""
    begin = time.perf_counter()
    action()
    return time.perf_counter() - begin


def in_turns(actions: Mapping[str, Callable[[], float]], seconds: float) -> dict[str, list[float]]:
    """Seconds that each action told it took, run in turns until each has had so many in all, and five runs."""
    times: dict[str, list[float]] = {name: [] for name in actions}
    while waiting := [name for name, taken in times.items() if len(taken) < LEAST_RUNS or sum(taken) < seconds]:
        for name in waiting:
            times[name].append(quietly(actions[name]))
    return times


def time_sizes(sizes: list[int], rows: int, seconds: float) -> None:
    """Build-and-solve time of each front end on random arrays."""
    print(ARRAYS)
    print("| fats | front end | runs | best ms | median ms | best, to raw highspy | cost agrees to |")
    print("|---|---|---|---|---|---|---|")
    parts: dict[int, list[float]] = {}
    for size in sizes:
        instance = blend(size, rows)
        values: dict[str, float] = {}
        for name, by in PEERS.items():
            with suppress(ImportError):
                values[name] = quietly(partial(by, instance))
        times = in_turns({name: partial(timed, partial(PEERS[name], instance)) for name in values}, seconds)
        parts[size] = [
            1e3 * min(taken) for taken in zip(*(ours_in_parts(instance)[1:] for _ in range(20)), strict=True)
        ]
        for name, taken in times.items():
            off = abs(values[name] - values[YARDSTICK]) / abs(values[YARDSTICK])
            print(f"| {size} | {name} | {len(taken)} | {told(taken, times[YARDSTICK])} | {off:.0e} |")
    print(PARTS)
    print("| fats | load ms | solve ms | proof ms |")
    print("|---|---|---|---|")
    for size, each in parts.items():
        print(f"| {size} | {' | '.join(f'{part:.2f}' for part in each)} |")


def told(taken: list[float], base: list[float]) -> str:
    """The quickest and the median run in ms, and the quickest beside the yardstick's."""
    return f"{1e3 * min(taken):.2f} | {1e3 * statistics.median(taken):.2f} | {min(taken) / min(base):.2f}"


def time_bars(sizes: list[int], seconds: float) -> None:
    """The whole of a bar in parts, beside raw solves of its finished arrays."""
    print(BARS)
    print("| fats | what | runs | best ms | median ms | best, to raw highspy | build ms | solve ms | proof ms |")
    print("|---|---|---|---|---|---|---|---|---|")
    for size in sizes:
        sheet, shelf = whole_bar(size)
        programme = build(sheet, shelf)
        found = solve(programme)[1]
        assert found is not None
        posed = replace(programme, money=programme.money - found.ratio * programme.cured)
        each: list[tuple[float, float, float]] = []

        def ours(
            sheet: GoalSheet = sheet, shelf: Shelf = shelf, each: list[tuple[float, float, float]] = each
        ) -> float:
            each.append(bar_in_parts(sheet, shelf))
            return sum(each[-1])

        actions: dict[str, Callable[[], float]] = {
            "raw highspy, one solve": partial(timed, partial(raw_highspy, posed))
        }
        actions["barwright: build + solve + proof"] = ours
        with suppress(ImportError):
            quietly(partial(scipy_linprog, posed))
            actions["scipy linprog, one solve"] = partial(timed, partial(scipy_linprog, posed))
        times = in_turns(actions, seconds)
        base = times["raw highspy, one solve"]
        for name, taken in times.items():
            split = (
                [f"{1e3 * min(part):.2f}" for part in zip(*each, strict=True)] if actions[name] is ours else ["-"] * 3
            )
            print(f"| {size} | {name} | {len(taken)} | {told(taken, base)} | {' | '.join(split)} |")


def bar_in_parts(sheet: GoalSheet, shelf: Shelf) -> tuple[float, float, float]:
    """Seconds that building, solving and proving one bar took.

    Raises:
        RuntimeError: the exact bound is further from the cost than rounding.
    """
    begin = time.perf_counter()
    programme = build(sheet, shelf)
    built = time.perf_counter()
    live, found = solve(programme)
    solved = time.perf_counter()
    assert found is not None
    certificate = prove(live, found)
    proved = time.perf_counter()
    if certificate.gap > PROVED:
        raise RuntimeError("not proved")
    return built - begin, solved - built, proved - solved


def time_cold(repeat: int) -> None:
    """Whole commands from a cold start beside importing what the package depends on, taken in turns.

    Bytecode is kept, as an installed package has it.
    """
    ours = [sys.executable, "-m", "optimiser"]
    commands = {
        "import of the dependencies": [sys.executable, "-c", IMPORTS],
        "barwright blend": [*ours, "blend", str(ROOT / "goals" / "palm-free-vegetable.yaml")],
        "barwright blend, fats counted": [*ours, "blend", str(ROOT / "goals" / "everyday.yaml")],
        "barwright fats NAME": [*ours, "fats", "olive oil"],
        "barwright --help": [*ours, "--help"],
    }
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    times: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(repeat):
        for name, command in commands.items():
            begin = time.perf_counter()
            subprocess.run(command, check=True, capture_output=True, cwd=ROOT, env=kept)
            times[name].append(time.perf_counter() - begin)
    base = times["import of the dependencies"]
    print("| command | best ms | median ms | best, to the imports |")
    print("|---|---|---|---|")
    for name, taken in times.items():
        print(
            f"| {name} | {1e3 * min(taken):.0f} | {1e3 * statistics.median(taken):.0f} | {min(taken) / min(base):.2f} |"
        )


def main() -> None:
    """Read the arguments and time what they ask for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sizes", type=int, nargs="+", default=[60, 1000, 10000])
    parser.add_argument("--rows", type=int, default=25)
    parser.add_argument("--seconds", type=float, default=3.0, help="of runs for each front end and size")
    parser.add_argument("--cold", action="store_true", help="time cold starts of the command instead")
    asked = parser.parse_args()
    if asked.cold:
        time_cold(15)
    else:
        time_sizes(asked.sizes, asked.rows, asked.seconds)
        time_bars(asked.sizes, asked.seconds)


if __name__ == "__main__":
    main()
