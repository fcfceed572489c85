"""Packs for the least cash over a shelf of 60 fats in three sizes each, beside raw HiGHS on the very same model.

    python tests/bench/packs.py
    python tests/bench/packs.py --fats 60 --batches 3 30 150 --left 0 80

Raw HiGHS is handed the programme in kilograms at the ratio of our answer, with its own settings and a gap of 1 % (`raw 1 %`), and
then with none (`raw 0`); it minimises the money that our last search minimises. `search` is ours from the cheapest blend to make
to the proof; `whole` is the answer, with that blend before it and the blend out of what is bought after it.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from typing import Any

import highspy
import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

from instances import SEED

from optimiser.answers.blend import answered
from optimiser.materials.fat_table import reference
from optimiser.model.programme import Programme
from optimiser.problem.asking import at_least, goals_of, shelf_of
from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buy, Buying
from optimiser.problem.question import Question
from optimiser.problem.shelf import Pack, Shelf
from optimiser.solve import least_cash as searching
from optimiser.solve.loading import by_column
from optimiser.solve.outcomes import Work
from optimiser.solve.yielding import cheapest

SIZES = (1.0, 5.0, 25.0)  # kg


def shelf(fats: int) -> Shelf:
    """So many fats of the table, each in three sizes, a kilo out of a larger one cheaper; a third of them in stock."""
    rng = np.random.default_rng((SEED, fats))
    names = sorted(reference().names())[:fats]
    made = shelf_of({name: float(rng.uniform(1.5, 16.0)) for name in names}, sodium_hydroxide=2.4)
    lines = []
    for item in made.fats:
        packs = tuple(
            Pack(size, round(size * item.price * float(rng.uniform(low, low + 0.15)), 2))
            for size, low in zip(SIZES, (1.05, 0.9, 0.75), strict=True)
        )
        stock = round(float(rng.uniform(0.2, 3.0)), 1) if rng.random() < 1 / 3 else None
        lines.append(item._replace(packs=packs, stock_kg=stock))
    return made._replace(fats=tuple(lines))


def raw(programme: Programme, gap: float, most: float) -> tuple[float, float, str]:
    """Seconds, objective and status of HiGHS by itself on a programme."""
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("mip_rel_gap", gap)
    model.setOptionValue("time_limit", most)
    m, n = programme.matrix.shape
    starts, index, values = by_column(programme.matrix)
    model.passModel(
        *(n, m, len(values), int(highspy.MatrixFormat.kColwise), int(highspy.ObjSense.kMinimize), 0.0),
        *(programme.money, programme.column_low, programme.column_high, programme.row_low, programme.row_high),
        *(starts[:-1], index, values, programme.integer.astype(np.int32)),
    )
    start = time.perf_counter()
    model.run()
    seconds = time.perf_counter() - start
    return seconds, model.getInfo().objective_function_value, model.modelStatusToString(model.getModelStatus())


def main() -> None:
    """Time them."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--fats", type=int, default=60)
    parser.add_argument("--batches", type=float, nargs="+", default=[3.0, 30.0, 150.0], help="kg of fats")
    parser.add_argument("--left", type=float, nargs="+", default=[0.0, 80.0], help="per cent that what is left counts")
    parser.add_argument("--most", type=float, default=60.0, help="seconds that raw HiGHS may take")
    asked = parser.parse_args()
    there = shelf(asked.fats)
    print("batch  left  columns whole |  raw 1 %   raw 0 | search  whole |      gap  raw finds")
    for kilos in asked.batches:
        for left in asked.left:
            one(there, kilos, left / 100.0, asked.most)


def one(there: Shelf, kilos: float, left: float, most: float) -> None:
    """A line of the table."""
    goals = goals_of(at_least("hardness", 60), at_least("quick_lather", 40), at_least("mildness", 65))
    sheet = goals._replace(batch=Batch(fats_kg=kilos), buying=Buying(Buy.PACKS, left))
    kept: list[Any] = []
    plain_way = searching.with_purchases

    def keeping(*args: Any) -> Any:
        kept.append(plain_way(*args))
        return kept[-1]

    searching.with_purchases = keeping
    asked = cheapest(sheet, there)
    assert asked.found is not None
    start = time.perf_counter()
    bought = searching.least_cash(asked.sheet, there, asked.found, Work())
    search = time.perf_counter() - start
    searching.with_purchases = plain_way
    programme = kept[-1].programme
    # the total is asked of raw HiGHS, as its gap is relative to that
    loose = raw(programme, 0.01, most)
    tight = raw(programme, 0.0, most)
    start = time.perf_counter()
    answered(Question(sheet, there))
    whole = time.perf_counter() - start
    cured = tight[1] / bought.proof.per_kg if bought.proof.per_kg else 0.0
    print(
        f"{kilos:5g} {100 * left:5g} {len(programme.money):8d} {int(programme.integer.sum()):5d} | {loose[0]:6.2f} s {tight[0]:6.2f} s"
        f" | {search:5.2f} s {whole:5.2f} s | {bought.proof.gap:8.1e}  {tight[1]:.4f} ({tight[2]}), {cured:.2f} kg cured"
    )


if __name__ == "__main__":
    main()
