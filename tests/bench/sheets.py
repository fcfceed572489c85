"""Time the making sheet after the solve: its words, the page, the PDF; at first, with all that is loaded for it, and again.

    python tests/bench/sheets.py
    python tests/bench/sheets.py --runs 50 --goals goals/fine-swirl.yaml

What stands under "first" is what one command pays beyond `blend`; each first time is that of a fresh process, the quickest of a few.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # as the command has it

ROOT = Path(__file__).parents[2]
FRESH = 7
FIRST = """
import gc, sys, time
gc.disable()  # as the command has it
from pathlib import Path
import optimiser
story = optimiser.blend(Path(sys.argv[1]))
start = time.perf_counter()
from optimiser.answers.sheet import sheet_of
from optimiser.report.page.{room} import sheet_{room}
sheet_{room}(sheet_of(story))
print(1000.0 * (time.perf_counter() - start))
"""


def first(room: str, goals: Path) -> float:
    """The quickest of a few fresh processes, from the answer to the page, in milliseconds."""
    command = [sys.executable, "-c", FIRST.format(room=room), str(goals)]
    return min(
        float(subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT).stdout)
        for _ in range(FRESH)
    )


def again(action: Callable[[], object], runs: int) -> tuple[float, float]:
    """The quickest run and the median of them, in milliseconds."""
    took = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        took.append(1000.0 * (time.perf_counter() - start))
    return min(took), statistics.median(took)


def main() -> None:
    """Print a line for each."""
    parser = argparse.ArgumentParser(description="Time the making sheet after the solve.")
    parser.add_argument("--runs", type=int, default=20, help="runs of each")
    parser.add_argument("--goals", type=Path, default=ROOT / "goals" / "everyday.yaml", help="the goal file")
    asked = parser.parse_args()

    import optimiser
    from optimiser.answers.results import Blend
    from optimiser.answers.sheet import sheet_of
    from optimiser.report.page.contents import contents
    from optimiser.report.page.html import sheet_html
    from optimiser.report.page.pdf import sheet_pdf

    story = optimiser.blend(asked.goals)
    if not isinstance(story, Blend):
        parser.error(f"{asked.goals} has no blend")
    sheet = sheet_of(story)
    work: dict[str, tuple[str, Callable[[], object]]] = {
        "words": ("", lambda: contents(sheet)),
        "page": ("html", lambda: sheet_html(sheet)),
        "PDF": ("pdf", lambda: sheet_pdf(sheet)),
    }
    for name, (room, action) in work.items():
        at_first = f"first {first(room, asked.goals.resolve()):7.1f} ms   " if room else " " * 19
        action()
        quickest, median = again(action, asked.runs)
        print(f"{name:6s} {at_first}again {quickest:7.1f} ms   median {median:7.1f} ms")


if __name__ == "__main__":
    main()
