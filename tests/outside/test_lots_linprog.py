"""Lots and what is to be used up against scipy's linprog, each question stated as Charnes and Cooper's linear programme.

The model here shares nothing with ours but the saponification values of the fats: alkali by stoichiometry (56.106 and 39.997 g/mol,
IUPAC 2021 abridged, from memory), least cost per kilo of cured bar by Charnes & Cooper, Naval Research Logistics Quarterly 9
(1962) 181-186, from memory; what is to be used up is asked first, and held while the cost is.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from scipy.optimize import linprog
from strategies import examples

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend, NoBlend
from optimiser.files.shelf.shelf import read_shelf
from optimiser.problem.shelf import Shelf

POTASH, SODA = 56.106, 39.997
SUPERFAT, PURITY, SODA_PRICE, WATER = 0.08, 0.99, 2.4, 0.10
OTHERS = ("olive oil", "lard", "palm oil", "castor oil")
EACH, GROUPS = 5, examples(40) // 5


class Case(NamedTuple):
    """A shelf and goals as text, and what the model here needs of them."""

    shelf: str
    goals: str
    kilos: float
    least: float
    most: float
    use_up: tuple[str, float | None] | None


def drawn(seed: int) -> Case:
    """Two or three lots of coconut oil, some certified, some with a stock; other fats; limits on the sum of the lots."""
    rng = np.random.default_rng(seed)
    lots = []
    for place in range(int(rng.integers(2, 4))):
        certified = f", saponification_value: {rng.uniform(246, 262):.1f}, tolerance: {rng.uniform(0.5, 3):.1f}"
        day = f", best_before: 20{rng.integers(28, 40)}-0{rng.integers(1, 9)}-01"
        lots.append(
            f"      - {{number: L{place}, stock: {rng.uniform(0.05, 2.0):.2f} kg, price: {rng.uniform(2.5, 4.0):.2f} / kg"
            f"{certified if rng.random() < 0.7 else ''}{day if rng.random() < 0.7 else ''}}}"
        )
    others = [
        f"  - {{fat: {name}, price: {rng.uniform(1.5, 9.0):.2f} / kg"
        f"{f', stock: {rng.uniform(0.3, 3.0):.2f} kg' if rng.random() < 0.4 else ''}}}"
        for name in OTHERS
    ]
    shelf = "\n".join(["fats:", "  - fat: coconut oil", "    lots:", *lots, *others])
    soda = f"alkalis: {{sodium hydroxide: {{price: {SODA_PRICE} / kg, purity: {100 * PURITY:g} %, purity_tolerance: 0 %}}}}"
    kilos, least = round(float(rng.uniform(1.0, 4.0)), 2), round(float(rng.uniform(5, 40)), 1)
    most = round(least + float(rng.uniform(5, 40)), 1)
    fat = str(rng.choice(["coconut oil", "coconut oil (lot L0)", "castor oil"]))
    use_up = None
    if rng.random() < 0.6:
        use_up = (
            fat,
            None if fat.startswith("coconut") and rng.random() < 0.4 else round(float(rng.uniform(0.1, 2.0)), 2),
        )
    told = [] if use_up is None else [f'use_up: {{"{use_up[0]}": {"all" if use_up[1] is None else f"{use_up[1]} kg"}}}']
    goals = [
        *("shelf: shelf.yaml", "made: 2026-11-28", "practice: off", f"batch: {{fats: {kilos} kg}}"),
        *("goals: {superfat: 8 %, lye_concentration: 33 %}",),
        f"shares: {{coconut oil: {{between: [{least} %, {most} %]}}, olive oil: {{at_least: 10 %}}, castor oil: {{at_most: 30 %}}}}",
        *told,
    ]
    return Case(f"{shelf}\n{soda}\n", "\n".join(goals) + "\n", kilos, least, most, use_up)


class Model:
    """The question as a linear programme over t times the shares, and t."""

    def __init__(self, case: Case, shelf: Shelf) -> None:
        fats = shelf.fats
        self.names = [item.fat.name for item in fats]
        self.known = [item.fat.known_as for item in fats]
        n = len(fats)
        alkali = np.array([item.fat.saponification.value / POTASH * SODA / 1000.0 * (1.0 - SUPERFAT) for item in fats])
        self.money = np.array([item.price for item in fats]) + alkali * SODA_PRICE / PURITY
        self.cured = (1.0 + alkali) / (1.0 - WATER)
        rows: list[Any] = []
        for place, item in enumerate(fats):
            if item.stock_kg is not None:
                rows.append([*(case.kilos * (np.arange(n) == place)), -item.stock_kg])
        coconut, olive, castor = (
            np.array([known == name for known in self.known], dtype=float)
            for name in ("coconut oil", "olive oil", "castor oil")
        )
        rows += [[*-coconut, case.least / 100.0], [*coconut, -case.most / 100.0], [*-olive, 0.10], [*castor, -0.30]]
        self.rows, self.kilos, self.n = np.array(rows), case.kilos, n

    def least(self, objective: Any, more: Any = None) -> Any:
        """The least of an objective over y = t x and t, cured bar being one; None where there is no blend."""
        rows = self.rows if more is None else np.vstack([self.rows, more])
        found = linprog(
            objective,
            A_ub=rows,
            b_ub=np.zeros(len(rows)),
            A_eq=np.array([[*self.cured, 0.0], [*np.ones(self.n), -1.0]]),
            b_eq=np.array([1.0, 0.0]),
            method="highs",
        )
        return found if found.status == 0 else None

    def used(self, name: str) -> Any:
        """Kilos of a fat in the batch, over the shares."""
        return self.kilos * np.array(
            [float(name in (one, known)) for one, known in zip(self.names, self.known, strict=True)]
        )

    def most_used(self, name: str) -> float:
        """The most kilos of a fat that any blend holds: linear over the shares themselves, which add up to one."""
        rows = self.rows
        found = linprog(
            -self.used(name),
            A_ub=rows[:, :-1],
            b_ub=-rows[:, -1],
            A_eq=np.ones((1, self.n)),
            b_eq=[1.0],
            method="highs",
        )
        return -float(found.fun)


@pytest.mark.parametrize("group", range(GROUPS))
def test_lots_and_use_up_are_what_linprog_says(tmp_path: Path, group: int) -> None:
    """The least cost, what is used up, and no lot beyond its stock or its day; dearer by no more than a hair for older first."""
    kinds = set()
    for seed in range(EACH * group, EACH * (group + 1)):
        case = drawn(seed)
        (tmp_path / "shelf.yaml").write_text(case.shelf, encoding="utf-8")
        (tmp_path / "bar.yaml").write_text(case.goals, encoding="utf-8")
        told = answer(tmp_path / "bar.yaml")
        shelf = read_shelf(tmp_path / "shelf.yaml")
        model = Model(case, shelf)
        cost = [*model.money, 0.0]
        plain = model.least(cost)
        assert isinstance(told, NoBlend if plain is None else Blend), seed
        kinds.add(type(told))
        if isinstance(told, NoBlend) or plain is None:
            continue
        more = None
        if case.use_up is not None:
            name, asked = case.use_up
            asked = shelf.stock_of(name) if asked is None else asked
            assert asked is not None
            used = min(asked, model.most_used(name))
            (line,) = told.use_up
            assert line.used_kg >= used * (1.0 if used >= asked - 1e-6 else 0.99) - 1e-5, (seed, line.used_kg, used)
            assert line.met == (used >= asked - 1e-6), seed
            assert line.met or line.held_back or case.kilos <= used + 1e-6, seed
            exact = model.least(cost, [[*-model.used(name), used - 1e-9]])
            assert exact is not None, seed
            assert line.used_kg >= used - 1e-5 or told.cost.per_kg < 0.99 * float(exact.fun) * 1.01, seed
            more = [[*-model.used(name), min(used, line.used_kg) - 1e-9]]
        least = model.least(cost, more)
        assert least is not None, seed
        assert told.proof.cheapest_possible_per_kg == pytest.approx(
            float(least.fun), rel=2e-6 if more is None else 2e-5
        ), seed
        assert told.cost.per_kg <= float(least.fun) * (1.0 + 1e-2) + 1e-6, seed
        stocks = {item.fat.name: item.stock_kg for item in shelf.fats}
        for fat in told.fats:
            stock = stocks[fat.fat]
            assert stock is None or fat.grams <= 1000.0 * stock + 1e-3, (seed, fat)
    assert Blend in kinds
