"""Blends that differ: processor seconds of four over the goal files of the tree, beside HiGHS by hand and random directions.

    python tests/bench/choices.py                            # every goal file that has blends, within 5 %
    python tests/bench/choices.py --within 10 --files budget everyday

`all` is the whole answer from the files on, without starting Python; `searches` is the part that finds and settles the blends;
`HiGHS` is HiGHS by hand, with its own defaults and one thread, over the same three searches (the farthest from one, two and three
blends), without the cone of the lots, which is easier. Then the smallest part of the fats that any two of the four swap: `ours`;
`first` before each is asked anew; and `random`, the best four of the corners in 200 random directions, with the seconds that
those took.
"""

from __future__ import annotations

import argparse
import statistics
import sys
from collections.abc import Sequence
from pathlib import Path
from time import process_time
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

import highspy
import numpy as np

from optimiser.answers.blend import proved, settled
from optimiser.answers.choices import choices
from optimiser.answers.results import NoBlend
from optimiser.files.question import read_question
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.model.swapped import Apart, by_group, swapped, within_cost
from optimiser.solve.farthest import Crumbs, search
from optimiser.solve.farthest import settled as without_crumbs
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live
from optimiser.solve.spread_out import spread_out
from optimiser.solve.yielding import cheapest

ROOT = Path(__file__).parents[2]
COUNT = 4
DIRECTIONS = 200


class Asked(NamedTuple):
    """What the searches are put to: the rows, the cheapest blend, and what is too little of a fat."""

    base: Programme
    first: Cheapest
    crumbs: Crumbs


def asked_of(path: Path, within: float) -> Asked:
    """The rows and the cheapest blend of a goal file."""
    question = read_question(path)
    asked = cheapest(question.goals, question.shelf)
    assert asked.found is not None
    first = settled(asked.live, proved(asked.live, asked.found)[0])
    free = (asked.before[0] if asked.before is not None else asked.live).programme
    sheet = asked.sheet._replace(no_pinch={})
    return Asked(within_cost(free, first.ratio * (1.0 + within / 100.0)), first, Crumbs.of(sheet))


def raw(apart: Apart) -> float:
    """The most that can be swapped, by HiGHS with its own defaults."""
    made = apart.programme
    filled = made.matrix != 0.0
    model = highspy.Highs()
    for option, value in {"output_flag": False, "threads": 1}.items():
        model.setOptionValue(option, value)
    lp = highspy.HighsLp()
    lp.num_row_, lp.num_col_ = made.matrix.shape
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = apart.objective, made.column_low, made.column_high
    lp.row_lower_, lp.row_upper_ = made.row_low, made.row_high
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(filled.sum(axis=1))]).astype(np.int32)
    lp.a_matrix_.index_ = np.nonzero(filled)[1].astype(np.int32)
    lp.a_matrix_.value_ = made.matrix[filled]
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    lp.integrality_ = [kinds[bool(whole)] for whole in made.integer]
    model.passModel(lp)
    model.run()
    return -float(model.getInfo().objective_function_value)


def first_taken(asked: Asked) -> tuple[list[Vector], float, float]:
    """The blends that are taken first, and the seconds that HiGHS by hand needs for the same searches; by how much it differs."""
    points, seconds, off = [asked.first.point], 0.0, 0.0
    for _ in range(COUNT - 1):
        apart = Apart(asked.base, points)
        begin = process_time()
        theirs = raw(apart)
        seconds += process_time() - begin
        found = search(apart, asked.first.point, Work())
        off = max(off, -found.objective - theirs)
        points.append(without_crumbs(apart, found.point, asked.crumbs, Work()).point)
    return points, seconds, off


def at_random(asked: Asked) -> tuple[list[Vector], float]:
    """The farthest of the corners in random directions, one after the other, and the seconds that they took."""
    draw, live, groups = np.random.default_rng(1), Live(asked.base), by_group(asked.base)
    begin, pool = process_time(), []
    for _ in range(DIRECTIONS):
        objective = np.zeros(len(asked.base.money))
        objective[: asked.base.columns.count] = draw.standard_normal(asked.base.columns.count)
        pool.append(live.minimise_in_part(objective).point)
    points = [asked.first.point]
    for _ in range(COUNT - 1):
        points.append(max(pool, key=lambda one: min(swapped(groups, one, other) for other in points)))
    return points, process_time() - begin


def smallest(base: Programme, points: Sequence[Vector]) -> float:
    """The smallest part of the fats that any two swap, per cent."""
    groups = by_group(base)
    return 100.0 * min(swapped(groups, one, other) for place, one in enumerate(points) for other in points[:place])


def main() -> None:
    """Time and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--within", type=float, default=5.0, help="per cent of the cost")
    parser.add_argument("--files", nargs="*", metavar="NAME", help="goal files of the tree, without .yaml")
    asked = parser.parse_args()
    names = asked.files or sorted(path.stem for path in (ROOT / "goals").glob("*.yaml"))
    print(f"{'':24s}{'all':>8s}{'searches':>10s}{'HiGHS':>8s}   | smallest swap, %: ours  first random (s)")
    every = []
    for name in names:
        path = ROOT / "goals" / f"{name}.yaml"
        begin = process_time()
        story = choices(path, within=f"{asked.within:g} %", count=COUNT)
        whole = process_time() - begin
        if isinstance(story, NoBlend) or story.is_single:
            continue
        put = asked_of(path, asked.within)
        begin = process_time()
        spread = spread_out(put.base, put.first, COUNT, put.crumbs, Work())
        searches = process_time() - begin
        first, by_hand, off = first_taken(put)
        drawn, seconds = at_random(put)
        note = " (fats counted in part)" if put.base.is_mixed_integer else ""
        gaps = [smallest(put.base, points) for points in ([one.point for one in spread.blends], first, drawn)]
        told = f"{gaps[0]:22.1f} {gaps[1]:6.1f} {gaps[2]:6.1f} ({seconds:.2f}){note}"
        print(
            f"{name:24s}{whole:8.2f}{searches:10.2f}{by_hand:8.2f}   |{told}{'' if off < 1e-5 else f' HiGHS lower by {off:.5f}'}"
        )
        every.append((whole, searches, by_hand))
    for title, place in (("all", 0), ("searches", 1), ("HiGHS", 2)):
        column = [row[place] for row in every]
        print(f"{title}: median {statistics.median(column):.2f} s, most {max(column):.2f} s of {len(column)} files")


if __name__ == "__main__":
    main()
