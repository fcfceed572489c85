"""Price sweeps: repricing beside warm re-solves, workers beside each other, growth, and what `blend` says at other prices.

    python tests/bench/sweeps.py                          # 100,000 scenarios of 36 fats at 5 and 15 %, beside warm re-solves
    python tests/bench/sweeps.py --workers                # one and two processes, and a local Dask cluster of two
    python tests/bench/sweeps.py --growth 6               # 10^4 to 10^6 scenarios
    python tests/bench/sweeps.py --blend                  # how far `blend` at other prices is from what is swept
    python tests/bench/sweeps.py --history prices.csv     # what re-formulating saves over a real history

Warm re-solves are done on some of the scenarios and told for one: plain (our own live model, Dinkelbach's iteration from the last
ratio) and raw HiGHS (the same by highspy alone). All of one run is measured side by side, with one thread.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from sweeping import as_json, programme, random_prices

from optimiser.analysis.repricing import reprice
from optimiser.analysis.sweep_parts import cost_of
from optimiser.analysis.sweep_start import begin
from optimiser.answers.asked import read_question
from optimiser.answers.sweep import sweep
from optimiser.answers.sweep_cases import Bar, bar_of
from optimiser.engines.processes import Processes
from optimiser.files.price_file import Typed, read_prices
from optimiser.maths.arrays import Matrix
from optimiser.solve.loading import load
from optimiser.solve.solver import Live
from optimiser.solve.yielding import cheapest

ROOT = Path(__file__).parents[2]
NAMES = ("fine-swirl", "budget", "palm-free-vegetable")
WARM = 1500  # scenarios that are re-solved warm
SPREAD_FILE = ROOT / "examples" / "spread.yaml"


def plain_warm(name: str, prices: Matrix) -> float:
    """Seconds for a scenario of our own live model, each from where the last ended."""
    arrays, _ = programme(name)
    live = Live(arrays.programme())
    began, ratio = time.perf_counter(), float(arrays.money @ arrays.kept) / float(arrays.cured @ arrays.kept)
    for each in prices:
        money = arrays.at(each)
        while True:
            outcome = live.minimise(money - ratio * arrays.cured)
            reached = float(money @ outcome.point) / float(arrays.cured @ outcome.point)
            settled = abs(reached - ratio) <= 1e-12 * abs(ratio)
            ratio = reached
            if settled:
                break
    return (time.perf_counter() - began) / len(prices)


def raw_warm(name: str, prices: Matrix) -> float:
    """Seconds for a scenario of HiGHS alone."""
    arrays, _ = programme(name)
    model = load(arrays.programme())
    model.setOptionValue("simplex_strategy", 4)
    columns = np.arange(len(arrays.money), dtype=np.int32)
    began, ratio = time.perf_counter(), 0.0
    for each in prices:
        money = arrays.at(each)
        while True:
            model.changeColsCost(len(columns), columns, money - ratio * arrays.cured)
            model.run()
            point = np.array(model.getSolution().col_value)
            reached = float(money @ point) / float(arrays.cured @ point)
            settled = abs(reached - ratio) <= 1e-12 * abs(ratio)
            ratio = reached
            if settled:
                break
    return (time.perf_counter() - began) / len(prices)


def speed(number: int) -> None:
    """Repricing beside warm re-solves."""
    print(
        f"{'bar':22}{'spread':>7}{'start s':>9}{'sweep s':>9}{'a second':>10}{'LPs':>6}{'us each':>9}{'plain us':>10}{'raw us':>9}{'faster':>8}"
    )
    for name in NAMES:
        for spread in (0.05, 0.15):
            prices = random_prices(name, number, spread)
            began = time.perf_counter()
            start = begin(programme(name)[0], prices[:2000])
            middle = time.perf_counter()
            found = reprice(start.pool(), prices)
            done = time.perf_counter() - middle
            plain, raw = plain_warm(name, prices[:WARM]), raw_warm(name, prices[:WARM])
            each = done / number
            print(
                f"{name:22}{spread:7.0%}{middle - began:9.2f}{done:9.2f}{number / done:10,.0f}{found.solved:6}{1e6 * each:9.2f}"
                f"{1e6 * plain:10.0f}{1e6 * raw:9.0f}{raw / each:8.0f}",
                flush=True,
            )


def workers(number: int) -> None:
    """The same sweep by one process, by two, and by a cluster of two."""
    typed = Typed(drawn=number)

    def timed(label: str, engine: Any) -> str:
        began = time.perf_counter()
        text = as_json(NAMES, SPREAD_FILE, engine, typed)
        print(f"{label:28}{time.perf_counter() - began:8.2f} s", flush=True)
        return text

    one = timed("here", None)
    two = Processes(2)
    try:
        timed("two processes, started", two)
        assert timed("two processes, running", two) == one
    finally:
        two.close()
    from distributed import LocalCluster

    from optimiser.engines.cluster import Cluster, version_here

    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, host="localhost") as local:
        engine = Cluster(local.scheduler_address, version_here())
        timed("Dask, two workers, started", engine)
        assert timed("Dask, two workers, running", engine) == one
        engine.close()


def growth(most: int) -> None:
    """Ten times as many scenarios, again and again."""
    engine = Processes(2)
    try:
        for power in range(4, most + 1):
            began = time.perf_counter()
            sweep(
                [ROOT / "goals" / "fine-swirl.yaml"], SPREAD_FILE, typed=Typed(drawn=10**power), hire=lambda _: engine
            )
            print(f"10^{power}: {time.perf_counter() - began:8.2f} s", flush=True)
    finally:
        engine.close()


def beside_blend() -> None:
    """What `blend` costs at other prices, beside what is swept: how much dearer (relative), bar by bar."""
    files = sorted((ROOT / "goals").glob("*.yaml"))
    factors: tuple[dict[str, float], ...] = (
        {"coconut oil": 1.4},
        {"coconut oil": 1.6, "palm kernel oil": 1.5},
        {"palm oil": 1.6, "palm kernel oil": 1.6},
        {"olive oil": 0.5, "shea butter": 0.5},
        {"rapeseed oil": 1.5, "sunflower oil": 1.5, "high oleic sunflower oil": 1.5},
        {"coconut oil": 0.6, "lard": 0.7},
    )
    with TemporaryDirectory() as folder:
        prices = Path(folder) / "shocks.yaml"
        shocks = [", ".join(f"{name}: {100 * (by - 1):+.0f} %" for name, by in moved.items()) for moved in factors]
        lines = [f"  shock {number}: {{{shock}}}" for number, shock in enumerate(shocks)]
        prices.write_text("\n".join(["shocks:", *lines, ""]), encoding="utf-8")
        found = sweep(files, prices)
    for goal in found.goals:
        question = read_question(Path(goal.file))
        told = []
        for place, moved in enumerate(factors):
            fats = tuple(one._replace(price=one.price * moved.get(one.fat.group, 1.0)) for one in question.shelf.fats)
            asked = cheapest(question.goals, question.shelf._replace(fats=fats))
            told.append("none" if asked.found is None else f"{asked.found.ratio / goal.costs[place] - 1.0:+.4%}")
        print(f"{Path(goal.file).stem:28}{''.join(f'{one:>11}' for one in told)}")


def history(path: Path) -> None:
    """What re-formulating saves over a history, with other fats following and staying."""
    files = sorted((ROOT / "goals").glob("*.yaml"))
    for others in ("follow", "stay"):
        found = sweep(files, path, typed=Typed(others=others))
        means = [goal.saving_mean for goal in found.goals]
        best = max(found.goals, key=lambda goal: goal.saving_most)
        print(f"others {others}: {found.scenarios} months, mean saving {statistics.mean(means):.2f} %, ", end="")
        print(f"most {best.saving_most:.1f} % ({Path(best.file).stem}, {best.most_in})")
        for goal in found.goals:
            print(f"   {Path(goal.file).stem:28}{goal.saving_mean:7.2f} %{goal.saving_most:7.1f} %  {goal.most_in}")


def bases(path: Path) -> None:
    """How much of that hangs on which month stands for today: the palm-free file, every sixth month of the history."""
    question = read_question(ROOT / "goals" / "palm-free-vegetable.yaml")
    months = read_prices(path, [question.shelf]).labels
    for others in ("follow", "stay"):
        means, most = [], []
        for month in months[::6]:
            scenarios = read_prices(path, [question.shelf], Typed(others, month))
            bar = bar_of("palm-free", question, scenarios)
            assert isinstance(bar, Bar)
            prices = bar.case.prices(scenarios.between(0, scenarios.size))
            arrays = bar.case.start.swept
            found = reprice(begin(arrays, prices).pool(), prices)
            saving = 100.0 * (1.0 - found.costs / cost_of(arrays, prices, arrays.kept))
            means.append(float(saving.mean()))
            most.append(float(saving.max()))
        print(f"palm-free, others {others}, today each of {len(means)} months: mean saving ", end="")
        print(f"{statistics.mean(means):.2f} % ({min(means):.2f} to {max(means):.2f}), ", end="")
        print(f"most {min(most):.1f} to {max(most):.1f} %")


def main() -> None:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--scenarios", type=int, default=100_000)
    parser.add_argument("--workers", action="store_true")
    parser.add_argument("--growth", type=int, metavar="POWER")
    parser.add_argument("--blend", action="store_true")
    parser.add_argument("--history", type=Path, metavar="FILE")
    asked = parser.parse_args()
    if asked.workers:
        workers(asked.scenarios)
    elif asked.growth:
        growth(asked.growth)
    elif asked.blend:
        beside_blend()
    elif asked.history is not None:
        history(asked.history)
        bases(asked.history)
    else:
        speed(asked.scenarios)


if __name__ == "__main__":
    main()
