"""Plans with goals on the cost, against a statement of our own in scipy's milp in which each bar draws of stock and tins.

All fats have one saponification value, so a kilo of fats makes so much cured bar whatever the blend: 1 + its alkali, and a tenth of the bar is
water (ISO 3657; molar masses from the IUPAC standard atomic weights 2021, KOH 56.106 and NaOH 39.997 g/mol).
"""

from __future__ import annotations

import random
from collections import defaultdict
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_results import NoPlan, Plan

CURED = (1.0 + 0.95 * 190.0 / 1000.0 * 39.997 / 56.106) / 0.9
SODA = 0.0001  # money a kilo: next to nothing, so that a bar costs its fats
MANY = 200.0
FATS = ("house one", "house two", "house three", "house four")
GOALS = """title: g
batch: {{fats: {kilos} kg}}
practice: off
goals: {{superfat: 5 %, lye_concentration: 30 %, likely_superfat: {{at_least: -5 %}}}}
shares:
{shares}
"""


class Item(NamedTuple):
    """A fat: its price, kg in stock, packs (size, money) and breaks (from kg, money a kilo)."""

    price: float
    stock: float
    packs: list[tuple[float, float]]
    breaks: list[tuple[float, float]]

    def line(self, name: str) -> str:
        """As the shelf has it."""
        packs = ", ".join(f"{{size: {size} kg, price: {price}}}" for size, price in self.packs)
        breaks = ", ".join(f"{{from: {least} kg, price: {price} / kg}}" for least, price in self.breaks)
        stock = f", stock: {self.stock} kg" if self.stock else ""
        own = f"  - {{fat: {name}, saponification_value: 190, price: {self.price} / kg{stock}, packs: [{packs}]"
        return own + (f", breaks: [{breaks}]}}" if breaks else "}")

    @property
    def orders(self) -> list[tuple[float, list[tuple[float, float]]]]:
        """The ways to order packs: from so many kilos on, with size and money of each."""
        out = [(0.0, self.packs)]
        return out + [(least, [(size, size * price) for size, _ in self.packs]) for least, price in self.breaks]


class Made(NamedTuple):
    """A bar: kilos of fats, ends of shares by fat, and the most that a kilo of it may cost."""

    kilos: float
    shares: dict[str, tuple[float, float]]
    most: float | None


class Stated:
    """Columns and rows, as they are written down."""

    def __init__(self) -> None:
        self.cost: list[float] = []
        self.high: list[float] = []
        self.whole: list[int] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []

    def column(self, cost: float = 0.0, high: float = np.inf, *, whole: bool = False) -> int:
        """A column from 0 on."""
        self.cost.append(cost)
        self.high.append(high)
        self.whole.append(int(whole))
        return len(self.cost) - 1

    def row(self, entries: dict[int, float], low: float, high: float) -> None:
        """A row."""
        self.rows.append((entries, low, high))

    def least(self) -> float | None:
        """What the objective comes to; None where nothing meets the rows."""
        matrix = lil_matrix((len(self.rows), len(self.cost)))
        for place, (entries, _, _) in enumerate(self.rows):
            for column, value in entries.items():
                matrix[place, column] = value
        limits = LinearConstraint(matrix.tocsr(), [row[1] for row in self.rows], [row[2] for row in self.rows])
        found = milp(
            self.cost, constraints=limits, integrality=self.whole, bounds=Bounds(np.zeros(len(self.high)), self.high)
        )
        return None if found.x is None else float(found.fun)


def lay(made: Stated, item: Item, uses: list[int], paid: list[dict[int, float]]) -> None:
    """A fat: stock and tins, and what each bar draws of them (the columns of its uses are told); `paid` gains what that costs it."""
    sources: list[tuple[float, dict[int, float], float]] = [(item.price, {}, item.stock)]
    switches = []
    for least, tins in item.orders:
        on = made.column(high=1.0, whole=True)
        switches.append(on)
        counts = {made.column(price, MANY, whole=True): size for size, price in tins}
        made.row({**counts, on: -least}, 0.0, np.inf)
        sources += [(price / size, {count: -size}, 0.0) for (size, price), count in zip(tins, counts, strict=True)]
        for count in counts:
            made.row({count: 1.0, on: -MANY}, -np.inf, 0.0)
    made.row(dict.fromkeys(switches, 1.0), 0.0, 1.0)
    drawn: dict[int, list[int]] = defaultdict(list)
    for number, use in enumerate(uses):
        parts = [made.column() for _ in sources]
        made.row({use: 1.0, **dict.fromkeys(parts, -1.0)}, 0.0, 0.0)
        for place, (part, (per_kg, _, _)) in enumerate(zip(parts, sources, strict=True)):
            paid[number][part] = per_kg
            drawn[place].append(part)
    for place, (_, given, there) in enumerate(sources):
        made.row({**dict.fromkeys(drawn[place], 1.0), **given}, -np.inf, there)
    stock_first = {**dict.fromkeys(drawn[0], 1.0), **dict.fromkeys(switches, -item.stock)}
    made.row(stock_first, 0.0, np.inf)


def least_cash(items: dict[str, Item], bars: list[Made]) -> float | None:
    """The least cash for all bars, each of which draws of stock and tins what its goal on the cost can bear."""
    made = Stated()
    uses = [{fat: made.column() for fat in items} for _ in bars]
    paid: list[dict[int, float]] = [{} for _ in bars]
    for bar, own in zip(bars, uses, strict=True):
        made.row(dict.fromkeys(own.values(), 1.0), bar.kilos, bar.kilos)
        for fat, (low, high) in bar.shares.items():
            made.row({own[fat]: 1.0}, low * bar.kilos, high * bar.kilos)
    for fat, item in items.items():
        lay(made, item, [own[fat] for own in uses], paid)
    for bar, costs in zip(bars, paid, strict=True):
        if bar.most is not None:
            made.row(costs, 0.0, bar.most * CURED * bar.kilos)
    return made.least()


def shelf_at_random(rng: random.Random) -> dict[str, Item]:
    """Three or four fats in packs, some in stock, some cheaper from so much on."""
    items = {}
    for fat in rng.sample(FATS, rng.randint(3, 4)):
        price = round(rng.uniform(1.5, 9.0), 2)
        sizes = rng.sample([1.0, 2.5, 5.0], rng.randint(1, 2))
        breaks = [(rng.choice([4.0, 8.0, 15.0]), round(price * rng.uniform(0.6, 0.9), 2))] if rng.random() < 0.4 else []
        packs = [(size, round(size * price * rng.uniform(0.8, 1.3), 2)) for size in sizes]
        items[fat] = Item(price, rng.choice([0.0, 0.0, 0.5, 2.5]), packs, breaks)
    return items


def plan_at_random(seed: int) -> tuple[dict[str, Item], list[Made]]:
    """A shelf, and bars most of which may cost no more than so much."""
    rng = random.Random(seed)  # noqa: S311
    items = shelf_at_random(rng)
    middle = float(np.mean([item.price for item in items.values()])) / CURED
    bars = []
    for _ in range(rng.randint(2, 3)):
        shares = {
            fat: (rng.choice([0.0, 0.05, 0.15]), rng.choice([0.4, 0.6, 1.0])) for fat in items if rng.random() < 0.6
        }
        most = round(middle * rng.uniform(0.6, 1.1), 2) if rng.random() < 0.7 else None
        bars.append(Made(rng.choice([2.0, 3.0, 5.0]), shares, most))
    return items, bars


def plan_file(folder: Path, items: dict[str, Item], bars: list[Made]) -> Path:
    """A plan for the least cash, with its files."""
    lines = "\n".join(item.line(fat) for fat, item in items.items())
    soda = f"alkalis:\n  sodium hydroxide: {{price: {SODA} / kg, purity: 98 %}}\n"
    (folder / "shelf.yaml").write_text(f"currency: EUR\nfats:\n{lines}\n{soda}", encoding="utf-8")
    told = []
    for place, bar in enumerate(bars):
        shares = [
            f"  {fat}: {{at_least: {low * 100:g} %, at_most: {high * 100:g} %}}"
            for fat, (low, high) in bar.shares.items()
        ]
        text = GOALS.format(kilos=bar.kilos, shares="\n".join(shares))
        text = text if shares else text.replace("shares:\n", "")
        (folder / f"g{place}.yaml").write_text(text, encoding="utf-8")
        most = "" if bar.most is None else f", at_most_cost: {bar.most} / kg"
        told.append(f"  - {{goals: g{place}.yaml{most}}}")
    path = folder / "plan.yaml"
    head = "title: t\nshelf: shelf.yaml\nbuy: packs\naim: least cash\nbars:\n"
    path.write_text(head + "\n".join(told) + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("seed", range(14))
def test_goals_on_cost_hold_at_what_the_kilos_cost(tmp_path: Path, seed: int) -> None:
    """There is a plan where milp finds one and at its cash, each bar costs no more than it may, and all bars what is used."""
    items, bars = plan_at_random(seed)
    expected = least_cash(items, bars)
    found = answer_plan(plan_file(tmp_path, items, bars))
    if expected is None:
        assert isinstance(found, NoPlan)
        assert found.alone or found.clashes
        return
    assert isinstance(found, Plan)
    assert found.cash_out == pytest.approx(expected, rel=1e-3, abs=0.02)
    assert found.proof.least == pytest.approx(expected, rel=1e-3, abs=0.02)
    for bar, told in zip(bars, found.bars, strict=True):
        assert bar.most is None or told.blend.cost.per_kg <= bar.most + 0.002
        assert [str(line.said) for line in told.blend.goals if not line.holds_when_weighed] == []
    assert sum(told.blend.cost.batch for told in found.bars) == pytest.approx(found.cost_used, abs=0.05)
