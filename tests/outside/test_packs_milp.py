"""Packs, minimum orders and price breaks held against scipy's milp (scipy 1.9+, which states nothing of ours) and brute force.

The bar is stated anew from first principles: bars of a cured weight take as many kilos of fats as make that weight with their
sodium hydroxide (saponification value / 56.106 * 39.997, ISO 3657) and a tenth of water, and the cash is what packs cost.
"""

from __future__ import annotations

import random
from itertools import product
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

import optimiser
from optimiser.answers.results import Blend
from optimiser.materials.fat_table import reference

FATS = ("coconut oil", "palm oil", "olive oil", "lard", "rapeseed oil", "shea butter", "sunflower oil", "castor oil")
SUPERFAT = 0.05
WATER = 0.10
MOST = 200.0


class Sold(NamedTuple):
    """A fat as it is sold: price of a kilo in stock, stock, packs (kg, money), least order, breaks (kg, money a kilo)."""

    name: str
    price: float
    stock: float
    packs: tuple[tuple[float, float], ...]
    least: float
    breaks: tuple[tuple[float, float], ...]

    @property
    def cured(self) -> float:
        """Kilos of cured bar that a kilo of it makes."""
        value = reference().get(self.name).saponification.value
        return (1.0 + (1.0 - SUPERFAT) * value / 56.106 * 39.997 / 1000.0) / (1.0 - WATER)


class Case(NamedTuple):
    """A shelf, the most of each fat (a share), how many bars of 100 g, what may be bought, the share of what is left."""

    fats: tuple[Sold, ...]
    most: tuple[float, ...]
    bars: int
    buy: str
    left: float


def case(seed: int, *, size: int = 5, buy: str = "packs", bars: tuple[int, int] = (60, 400)) -> Case:
    """A random one; every fat can be bought, so that there is always a blend."""
    draw = random.Random(seed)  # noqa: S311
    fats = []
    for name in draw.sample(FATS, size):
        price = round(draw.uniform(1.5, 9.0), 2)
        sizes = sorted(draw.sample([0.5, 1.0, 2.0, 5.0, 10.0, 25.0], draw.randint(1, 3)))
        packs = tuple((kg, round(kg * price * draw.uniform(0.8, 1.3), 2)) for kg in sizes)
        stock = draw.choice([0.0, 0.0, round(draw.uniform(0.5, 6.0), 1)])
        least = draw.choice([0.0, 0.0, 3.0, 12.0])
        breaks = (
            ((draw.choice([10.0, 20.0]), round(price * draw.uniform(0.55, 0.8), 2)),) if draw.random() < 0.4 else ()
        )
        fats.append(Sold(name, price, stock, packs, least, breaks))
    most = tuple(draw.choice([0.35, 0.5, 0.8]) for _ in fats)
    return Case(tuple(fats), most, draw.randint(*bars), buy, draw.choice([0.0, 0.5, 0.9]))


def answered(made: Case, folder: Path, aim: str | None = None) -> Blend:
    """What is answered of files that say the same."""
    lines = []
    for fat in made.fats:
        packs = ", ".join(f"{{size: {kg} kg, price: {money}}}" for kg, money in fat.packs)
        breaks = ", ".join(f"{{from: {kg} kg, price: {money} / kg}}" for kg, money in fat.breaks)
        least = f", minimum_order: {fat.least} kg" if fat.least else ""
        stock = f", stock: {fat.stock} kg" if fat.stock else ""
        lines.append(
            f"  - {{fat: {fat.name}, price: {fat.price} / kg, packs: [{packs}], breaks: [{breaks}]{least}{stock}}}"
        )
    shelf = folder / "shelf.yaml"
    shelf.write_text("fats:\n" + "\n".join(lines) + "\n", encoding="utf-8")
    shares = ", ".join(
        f"{fat.name}: {{at_most: {100 * most:g} %}}" for fat, most in zip(made.fats, made.most, strict=True)
    )
    told = aim or f"{{least cash: {{left counts: {100 * made.left:g} %}}}}"
    goals = folder / "bar.yaml"
    goals.write_text(
        f"shelf: shelf.yaml\nbatch: {{bars: {made.bars}, cured_weight: 100 g, scale: 0.1 g}}\nbuy: {made.buy}\naim: {told}\n"
        f"practice: off\ngoals: {{superfat: 5 %}}\nshares: {{{shares}}}\n",
        encoding="utf-8",
    )
    found = optimiser.blend(goals)
    assert isinstance(found, Blend)
    return found


def least_by_milp(made: Case) -> float:
    """The least cash, less the share of what is left and with stock counted at that share, by a model of our own."""
    columns: list[tuple[float, float, bool]] = []  # cost, upper, whole
    rows: list[tuple[dict[int, float], float, float]] = []

    def column(cost: float, upper: float = np.inf, *, whole: bool = False) -> int:
        columns.append((cost, upper, whole))
        return len(columns) - 1

    use = [column(0.0) for _ in made.fats]
    stocks = [column(made.left * fat.price, fat.stock) for fat in made.fats]
    for place, fat in enumerate(made.fats):
        taken = {use[place]: 1.0, stocks[place]: -1.0}
        ways = [(fat.least, np.inf, [(kg, money / kg) for kg, money in fat.packs])]
        ways += [(max(fat.least, start), np.inf, [(kg, per) for kg, _ in fat.packs]) for start, per in fat.breaks]
        if made.buy == "any":
            steps = [(0.0, fat.price), *fat.breaks]
            ends = [*(start for start, _ in steps[1:]), np.inf]
            ways = [
                (max(fat.least, start), end, [(0.0, per)])
                for (start, per), end in zip(steps, ends, strict=True)
                if end >= fat.least
            ]
        chosen = []
        for least, end, tins in ways:
            on = column(0.0, 1.0, whole=True)
            chosen.append(on)
            weight: dict[int, float] = {}
            for kg, per in tins:
                unit = kg or 1.0
                many = column(unit * per, whole=kg > 0.0)
                out = column(0.0)  # used out of such tins; the rest is left
                left = column(-made.left * per)
                rows.append(({many: unit, out: -1.0, left: -1.0}, 0.0, 0.0))
                weight[many] = unit
                taken[out] = -1.0
            rows.append(({**weight, on: -least}, 0.0, np.inf))
            rows.append(({**weight, on: -min(end, MOST)}, -np.inf, 0.0))
        rows.append((dict.fromkeys(chosen, 1.0), -np.inf, 1.0))
        rows.append((taken, 0.0, 0.0))
        # stock is used before anything is bought
        rows.append(({stocks[place]: 1.0, **dict.fromkeys(chosen, -fat.stock)}, 0.0, np.inf))
        rows.append(({use[place]: 1.0, **{one: -made.most[place] for one in use if one != use[place]}}, -np.inf, 0.0))
        of_itself = dict.fromkeys(use, -made.most[place])
        of_itself[use[place]] += 1.0
        rows[-1] = (of_itself, -np.inf, 0.0)
    cured = {one: fat.cured for one, fat in zip(use, made.fats, strict=True)}
    rows.append((cured, made.bars * 0.1, made.bars * 0.1))
    matrix = np.zeros((len(rows), len(columns)))
    for place, (entries, _, _) in enumerate(rows):
        matrix[place, list(entries)] = list(entries.values())
    found = milp(
        np.array([one[0] for one in columns]),
        integrality=np.array([one[2] for one in columns], dtype=int),
        bounds=Bounds(0.0, np.array([one[1] for one in columns])),
        constraints=LinearConstraint(matrix, [row[1] for row in rows], [row[2] for row in rows]),
        options={"mip_rel_gap": 0.0},
    )
    assert found.success
    return float(found.fun)


def counted(made: Case, found: Blend) -> float:
    """What an answer comes to in the same money."""
    assert found.buying is not None
    stock = {fat.name: fat for fat in made.fats}
    used = sum(min(line.grams / 1000.0, stock[line.fat].stock) * stock[line.fat].price for line in found.fats)
    return found.buying.cash_out - made.left * found.buying.value_left + made.left * used


@pytest.mark.parametrize("seed", range(14))
@pytest.mark.parametrize("buy", ["packs", "any"])
def test_least_cash_is_that_of_milp(seed: int, buy: str, tmp_path: Path) -> None:
    """Bars of a cured weight, so that the kilos of fats depend on the blend; packs, least orders and breaks."""
    made = case(1000 + seed, buy=buy)
    found, least = answered(made, tmp_path), least_by_milp(made)
    assert found.buying is not None
    assert found.buying.proof is not None
    assert found.buying.proof.per_kg * made.bars * 0.1 == pytest.approx(least, rel=1e-6, abs=1e-6)
    assert found.buying.proof.gap <= 1e-6
    assert counted(made, found) == pytest.approx(least, rel=2e-3, abs=0.02)  # the recipe is rounded for the balance
    for fat in made.fats:
        bought = sum(line.kilos for line in found.buying.lines if line.fat == fat.name)
        need = sum(line.to_weigh for line in found.fats if line.fat == fat.name) / 1000.0
        assert bought + fat.stock >= need - 1e-6


@pytest.mark.parametrize("seed", range(6))
def test_least_cash_is_that_of_every_count_of_packs(seed: int, tmp_path: Path) -> None:
    """Every count of every pack of a small shelf, each held by linprog to whether a blend can be made of it."""
    made = case(seed, size=3, bars=(20, 60))._replace(left=0.0)
    made = made._replace(
        fats=tuple(fat._replace(packs=fat.packs[-2:], breaks=(), least=0.0) for fat in made.fats), most=(0.6, 0.6, 0.6)
    )
    weight = made.bars * 0.1
    packs = [(place, kg, money) for place, fat in enumerate(made.fats) for kg, money in fat.packs]
    ends = [range(int(np.ceil(weight / kg)) + 1) for _, kg, _ in packs]
    best = np.inf
    shares = np.eye(3) - 0.6
    for counts in product(*ends):
        cash = sum(count * money for count, (_, _, money) in zip(counts, packs, strict=True))
        if cash >= best:
            continue
        there = [fat.stock for fat in made.fats]
        for count, (place, kg, _) in zip(counts, packs, strict=True):
            there[place] += count * kg
        tried = linprog(
            np.zeros(3),
            A_ub=shares,
            b_ub=np.zeros(3),
            A_eq=[[fat.cured for fat in made.fats]],
            b_eq=[weight],
            bounds=[(0.0, kilos) for kilos in there],
        )
        best = cash if tried.status == 0 else best
    found = answered(made, tmp_path)
    assert found.buying is not None
    assert found.buying.cash_out == pytest.approx(best, abs=1e-6)


def test_an_order_just_above_a_break_is_cheaper_than_the_need(tmp_path: Path) -> None:
    """18.2 kg are needed at 3.00, and 20 kg cost 2.40 a kilo: 48.00 and not 54.60."""
    fat = Sold("lard", 3.0, 0.0, ((1.0, 3.0),), 0.0, ((20.0, 2.4),))
    bars = round(18.15 * fat.cured / 0.1)
    made = Case((fat,), (1.0,), bars, "any", 0.0)
    found = answered(made, tmp_path)
    assert found.buying is not None
    assert found.buying.cash_out == pytest.approx(48.0)
    assert found.buying.value_left == pytest.approx(48.0 - 2.4 * found.fats[0].to_weigh / 1000.0, abs=0.01)


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("buy", ["packs", "any"])
def test_cheapest_to_make_is_that_of_milp(seed: int, buy: str, tmp_path: Path) -> None:
    """What is used, at what its tins cost and the stock first: the same model where all of what is left counts."""
    made = case(500 + seed, buy=buy)._replace(left=1.0)
    found, least = answered(made, tmp_path, "cheapest to make"), least_by_milp(made)
    assert found.proof.cheapest_possible_per_kg * made.bars * 0.1 == pytest.approx(least, rel=1e-6, abs=1e-6)
    assert counted(made, found) == pytest.approx(least, rel=2e-3, abs=0.02)
    assert found.cost.batch == pytest.approx(least, rel=2e-3, abs=0.02)
