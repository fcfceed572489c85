"""A plan of twelve bars over forty fats, some of them scarce, beside its bars asked one by one and raw HiGHS on the same rows.

    python tests/bench/plans.py
    python tests/bench/plans.py --bars 6 --scarce 0.5 --runs 5

The bars are those of the goal files of the tree, over the shelf of the tree with a few fats more; of the fats that they draw the most of
by themselves there is only a part of that. Every step of the plan is timed by itself: the rows, the cheapest plan of them, its pinches, the
whole answer with every bar weighed out and judged, and
the same where the scarce fats are cut to a tenth.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

from strategies import stocked

from optimiser.answers.asked import read_question
from optimiser.answers.blend import answered
from optimiser.answers.plan import planned
from optimiser.answers.plan_results import Plan
from optimiser.answers.plan_shares import drawn_alone
from optimiser.problem.plan import PlannedBar, PlanQuestion, PlanSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.loading import load
from optimiser.solve.outcomes import Work
from optimiser.solve.several import NOTHING_SAID, Bar, allot, joined, tidied
from optimiser.solve.yielding import cheapest

ROOT = Path(__file__).parents[2]
BARS = (
    *("everyday", "fine-swirl", "budget", "mature-skin", "oily-skin", "laundry", "palm-free-vegetable", "chequer"),
    *("design-pot-swirl", "design-single-pour", "design-straight-layers", "design-stamped"),
)
MORE = {"tucuma butter": 13.0, "walnut oil": 11.5, "safflower oil": 4.4, "corn oil": 2.9}
SCARCE = 5  # fats


def timed(name: str, work: Callable[[], object], runs: int) -> float:
    """The median of so many runs, in milliseconds of the processor, told."""
    took = []
    for _ in range(runs):
        start = time.process_time()
        work()
        took.append(1000.0 * (time.process_time() - start))
    middle = statistics.median(took)
    sys.stdout.write(f"{name:<62} {middle:10.1f} ms\n")
    return middle


def question(number: int) -> PlanQuestion:
    """So many bars over one shelf of forty fats, of which there is enough."""
    questions = [read_question(ROOT / "goals" / f"{name}.yaml") for name in BARS[:number]]
    shelf = questions[0].shelf
    known = {item.fat.name for item in shelf.fats}
    more = tuple(stocked(name, price) for name, price in MORE.items() if name not in known)
    shelf = shelf._replace(fats=(*(item._replace(stock_kg=None) for item in shelf.fats), *more))
    bars = tuple(PlannedBar(Path(name), name, shelf.fats[0].span) for name in BARS[:number])
    asked = tuple(one._replace(shelf=shelf) for one in questions)
    return PlanQuestion(PlanSheet("plan.yaml", "bench", bars), shelf, BARS[:number], asked)


def with_less(asked: PlanQuestion, drawn: dict[str, float], part: float) -> PlanQuestion:
    """The same with only a part of the fats that are drawn the most of."""
    most = sorted(drawn, key=lambda fat: -drawn[fat])[:SCARCE]

    def less(shelf: Shelf) -> Shelf:
        fats = (
            item._replace(stock_kg=part * drawn[item.fat.name]) if item.fat.name in most else item
            for item in shelf.fats
        )
        return shelf._replace(fats=tuple(fats))

    shelf = less(asked.shelf)
    return asked._replace(shelf=shelf, bars=tuple(one._replace(shelf=shelf) for one in asked.bars))


def raw(bars: list[Bar]) -> None:
    """One cold solve of the same rows by HiGHS, fats that are counted in part and the cones of the lots left out."""
    programme = joined(bars).programme
    model = load(programme, in_part=True)
    model.run()


def main() -> None:
    """Time each step."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--bars", type=int, default=len(BARS))
    parser.add_argument("--scarce", type=float, default=0.6, help="the part of the scarce fats that there is")
    parser.add_argument("--runs", type=int, default=3)
    options = parser.parse_args()
    plenty = question(options.bars)
    alone = [cheapest(one.goals, one.shelf) for one in plenty.bars]
    drawn: dict[str, float] = {}
    for one in alone:
        for fat, kilos in drawn_alone(one).items():
            drawn[fat] = drawn.get(fat, 0.0) + kilos
    scarce = with_less(plenty, drawn, options.scarce)
    bars = []
    for name, one in zip(scarce.names, scarce.bars, strict=True):
        found = cheapest(one.goals, one.shelf)
        assert found.found is not None, name
        bars.append(Bar(name, found.sheet._replace(no_pinch={}), one.shelf, found.found.ratio))
    shape = joined(bars).programme.matrix
    sys.stdout.write(
        f"{len(bars)} bars, {len(scarce.shelf.fats)} fats; {shape.shape[0]} rows, {shape.shape[1]} columns, "
    )
    sys.stdout.write(f"{np.count_nonzero(shape)} entries\n")
    timed("the bars one by one, whole answers", lambda: [answered(one) for one in scarce.bars], options.runs)
    timed("the rows of all bars", lambda: joined(bars), options.runs)
    timed("raw HiGHS on them, cold, in part, no cones", lambda: raw(bars), options.runs)
    timed("the cheapest plan", lambda: allot(joined(bars), Work()), options.runs)
    found = allot(joined(bars), Work())
    assert found is not None
    timed("its pinches", lambda: tidied(bars, NOTHING_SAID, found, Work()), options.runs)
    timed("the whole plan, nothing scarce", lambda: planned(plenty), options.runs)
    timed("the whole plan", lambda: planned(scarce), options.runs)
    story = planned(scarce)
    if isinstance(story, Plan):
        sys.stdout.write(
            f"proved to {story.proof.gap:.2e} of {story.cost_used:.2f}; scarce: {[one.fat for one in story.scarce]}\n"
        )
    little = with_less(plenty, drawn, 0.1)
    timed("the whole plan, of a tenth of the scarce fats", lambda: planned(little), 1)


if __name__ == "__main__":
    main()
