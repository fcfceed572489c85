"""The local page: from the event of a drag to the new picture, of it the solve; a cold start; what the page weighs.

    python tests/bench/page.py
    python tests/bench/page.py --moves 200

The goal file asks for 25 sides of limits over the 36 fats of the invented shelf, without counting them. In the browser a
stop is moved by the arrows as fast as pictures come; a picture counts when the frame after the drawing was begun. Beside it the same moves
are asked of the bench by itself, and of its parts. The room of the other figures comes with a picture of its own. It needs a browser
(see `tests/browsing.py`); without one that part is left out and said to be.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import browsing
import pages

from optimiser.answers.blend import settled
from optimiser.answers.blend_result import reckoned
from optimiser.answers.page_drag import Bench, moved
from optimiser.files.question import read_question
from optimiser.measures.sides import Side
from optimiser.problem.goals import over
from optimiser.problem.known_ranges import known_of
from optimiser.problem.wishes import Section
from optimiser.solve.yielding import cheapest
from optimiser.web.routes import FILES, STATIC

GOALS = (
    *("hardness: {at_least: 58}", "wear_life: {at_least: 20}", "quick_lather: {at_least: 30}"),
    *("mildness: {at_least: 64}", "lasting_lather: {at_least: 50}", "rancidity: {at_most: 2.2}"),
    *("superfat: {between: [2 %, 6 %]}", "lye_concentration: {between: [30 %, 36 %]}", "cost: {at_most: 9.00 / kg}"),
    *("trace_speed: {at_most: 60}", "scum: {at_most: 90}"),
)
SHARES = (
    *("coconut oil: {at_most: 32 %}", "castor oil: {between: [3 %, 8 %]}", "hard oils: {at_most: 70 %}"),
    *("butters: {at_most: 25 %}", "olive oil: {at_least: 5 %}"),
)
WAIT = """({key, times}) => new Promise((done) => {
  const stop = document.querySelector('input[type=range][data-wish="goals.hardness.at_least"]');
  const found = [], rooms = []; let left = times, up = true;
  stop.focus();
  const move = () => {
    if (!left--) { done({found, rooms}); return; }
    if (left % 8 === 0) up = !up;
    const began = performance.now(), before = document.body.dataset.drawn, roomed = document.body.dataset.roomed;
    stop.dispatchEvent(new KeyboardEvent('keydown', {key: up ? 'ArrowRight' : 'ArrowLeft', bubbles: true, cancelable: true}));
    let told = false;
    const look = () => {
      if (!told && document.body.dataset.drawn !== before) { told = true; found.push(performance.now() - began); }
      if (told && document.body.dataset.roomed !== roomed) { rooms.push(performance.now() - began); setTimeout(move, 0); return; }
      if (performance.now() - began > 3000) { setTimeout(move, 0); return; }
      requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  };
  move();
})"""


def goal_text() -> str:
    """The goal file: 25 sides of limits over 36 fats."""
    lines = [*(f"  {line}" for line in GOALS), "shares:", *(f"  {line}" for line in SHARES)]
    return "\n".join(["title: Many lines", "shelf: ../inventory/kittiwake.yaml", "goals:", *lines]) + "\n"


def told(name: str, figures: Sequence[float]) -> None:
    """Median, 95th percentile and how many, in milliseconds."""
    ordered = sorted(figures)
    late = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    print(f"{name:58}{statistics.median(ordered):8.1f}{late:8.1f}{len(ordered):6}")


def timed(work: Callable[[float], object], values: Sequence[float]) -> list[float]:
    """Milliseconds of each."""
    out = []
    for value in values:
        start = time.perf_counter()
        work(value)
        out.append(1000.0 * (time.perf_counter() - start))
    return out


def by_itself(path: Path, moves: int) -> None:
    """The bench without a browser, and its parts."""
    question = read_question(path)
    bench = Bench(question)
    limit = bench.limit(Section.GOALS, "hardness", Side.AT_LEAST)
    assert limit is not None
    values = [58.0 + 0.5 * (one % 8) for one in range(moves)]
    sheets = {
        value: known_of(over(moved(question.goals, Section.GOALS, limit, value), question.shelf)) for value in values
    }
    asked = cheapest(question.goals, question.shelf)
    assert asked.found is not None
    sides = sum(not row.wish.origin.startswith(("physics", "practice")) for row in asked.programme.rows)
    print(f"{asked.programme.columns.count} fats, {sides} sides of goals, {len(asked.programme.rows)} rows in all")
    bench.at(Section.GOALS, limit, 58.0)
    bench.room()
    found = settled(asked.live, asked.found)
    print(f"{'milliseconds':58}{'median':>8}{'p95':>8}{'n':>6}")
    told(
        "the solve: rows, preferences, cheapest, pinches",
        timed(lambda value: cheapest(sheets[value], question.shelf), values),
    )
    told(
        "the grams, cautions and figures of a blend found",
        timed(lambda _: reckoned(asked.sheet, question.shelf, asked.live.programme, found), values),
    )
    told(
        "a move: both of them, and the one blend of equals",
        timed(lambda value: bench.at(Section.GOALS, limit, value), values),
    )
    rooms = []
    for value in values:
        bench.at(Section.GOALS, limit, value)
        rooms += timed(lambda _: bench.room(), [value])
    told("the room beside it", rooms)


def in_a_browser(path: Path, moves: int) -> None:
    """From the event to the frame after the drawing."""
    if browsing.found() is None:
        print(f"from event to picture: left out. {browsing.NO_BROWSER}")
        return
    with (
        pages.served(path.parent, path.name) as server,
        browsing.started() as browser,
        pages.page_of(browser, server.address) as tab,
    ):
        found = tab.page.evaluate(WAIT, {"key": "", "times": moves})
    told("in the browser: from event to picture, blend and limits", found["found"])
    told("in the browser: from event to picture, room as well", found["rooms"])


def cold(code: str, runs: int = 7) -> list[float]:
    """Milliseconds of a fresh Python that runs some code."""
    return timed(lambda _: subprocess.run([sys.executable, "-c", code], check=True, cwd=pages.ROOT), [0.0] * runs)


def main() -> None:
    """Run it."""
    asking = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else "")
    asking.add_argument("--moves", type=int, default=120)
    asked = asking.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = pages.workshop(Path(folder))
        path.write_text(goal_text(), encoding="utf-8")
        by_itself(path, asked.moves)
        in_a_browser(path, asked.moves)
    told(
        "cold: import what it needs (starlette, uvicorn, highspy)",
        cold("import starlette.applications, uvicorn, highspy, numpy, pydantic, yaml"),
    )
    told("cold: all of the page, ready to serve", cold("import optimiser.web.serve"))
    print(f"the page weighs {sum((STATIC / name).stat().st_size for name, _ in FILES.values()) / 1000:.1f} kB")


if __name__ == "__main__":
    main()
