"""Time our build, solve and proof beside other ways to the same answer, in one interleaved run.

    python tests/bench/run.py                 # 60, 1,000 and 10,000 fats, 25 rows
    python tests/bench/run.py --sizes 60 --seconds 2
    python tests/bench/run.py --cold          # a cold `barwright blend` against importing what it needs

Front ends that are not installed are left out (`pip install -e .[test,bench]` brings them).
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import time
import warnings
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from instances import blend
from peers import PEERS, YARDSTICK

ROOT = Path(__file__).parents[2]
IMPORTS = (
    "import yaml, numpy, highspy, pulp, rich.console, rich.table, rich.padding\n"
    "from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, ValidationError"
)


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


def time_sizes(sizes: list[int], rows: int, seconds: float) -> None:
    """Median build-and-solve time of each front end, taken in turns."""
    print("| fats | front end | runs | median ms | to raw highspy | cost agrees to |")
    print("|---|---|---|---|---|---|")
    for size in sizes:
        instance = blend(size, rows)
        values: dict[str, float] = {}
        times: dict[str, list[float]] = {}
        for name, solve in PEERS.items():
            try:
                values[name] = quietly(partial(solve, instance))
                times[name] = []
            except ImportError:
                continue
        while True:
            waiting = [name for name in times if len(times[name]) < 5 or sum(times[name]) < seconds]
            if not waiting:
                break
            for name in waiting:
                begin = time.perf_counter()
                quietly(partial(PEERS[name], instance))
                times[name].append(time.perf_counter() - begin)
        base = statistics.median(times[YARDSTICK])
        for name, taken in times.items():
            middle = statistics.median(taken)
            off = abs(values[name] - values[YARDSTICK]) / abs(values[YARDSTICK])
            print(f"| {size} | {name} | {len(taken)} | {1e3 * middle:.2f} | {middle / base:.2f} | {off:.0e} |")


def time_cold(repeat: int) -> None:
    """A whole command from a cold start beside importing what it depends on, taken in turns."""
    commands = {
        "import of the dependencies": [sys.executable, "-c", IMPORTS],
        "barwright blend": [
            sys.executable,
            "-m",
            "optimiser",
            "blend",
            str(ROOT / "goals" / "palm-free-vegetable.yaml"),
        ],
        "barwright blend, fats counted": [
            sys.executable,
            "-m",
            "optimiser",
            "blend",
            str(ROOT / "goals" / "everyday.yaml"),
        ],
    }
    times: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(repeat):
        for name, command in commands.items():
            begin = time.perf_counter()
            subprocess.run(command, check=True, capture_output=True, cwd=ROOT)
            times[name].append(time.perf_counter() - begin)
    base = statistics.median(times["import of the dependencies"])
    print("| command | median ms | to the imports |")
    print("|---|---|---|")
    for name, taken in times.items():
        middle = statistics.median(taken)
        print(f"| {name} | {1e3 * middle:.0f} | {middle / base:.2f} |")


def main() -> None:
    """Read the arguments and time what they ask for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sizes", type=int, nargs="+", default=[60, 1000, 10000])
    parser.add_argument("--rows", type=int, default=25)
    parser.add_argument("--seconds", type=float, default=3.0, help="for each front end and size")
    parser.add_argument("--cold", action="store_true", help="time cold starts of the command instead")
    asked = parser.parse_args()
    if asked.cold:
        time_cold(15)
    else:
        time_sizes(asked.sizes, asked.rows, asked.seconds)


if __name__ == "__main__":
    main()
