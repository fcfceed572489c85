"""Plans against statements of our own in scipy's linprog and milp, and against all blends of a grid.

What a bar is here is stated anew: fats in kilos of the batch, alkali by the saponification value (ISO 3657; molar masses from the IUPAC
standard atomic weights 2021, KOH 56.106 and NaOH 39.997 g/mol), a superfat of 5 % and a lye of 33 %, water that leaves the bar but for a
tenth of it. Nothing but the figures of the fats is shared with the programme.
"""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, linprog, milp

from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_results import NoPlan, Plan
from optimiser.materials.fat_table import reference

KOH, NAOH = 56.106, 39.997
FATS = ("coconut oil", "palm oil", "palm kernel oil", "olive oil", "sunflower oil")
PRICES = {"coconut oil": 3.1, "palm oil": 1.9, "palm kernel oil": 2.8, "olive oil": 7.0, "sunflower oil": 2.0}
SODA = 2.4
PURITY = 0.98
SHELF = """currency: EUR
fats:
{fats}
alkalis:
  sodium hydroxide: {{price: 2.40 / kg, purity: 98 %}}
"""
BAR = """title: {title}
batch: {{{batch}}}
practice: off
goals:
  superfat: 5 %
  lye_concentration: 33 %
  iodine_value: {{at_most: {iodine}}}
shares:
{shares}
"""


def alkali(fat: str) -> float:
    """Kilos of pure sodium hydroxide for a kilo of a fat, 5 % of the fat left."""
    return 0.95 * reference().get(fat).saponification.value / 1000.0 * NAOH / KOH


def money(fat: str) -> float:
    """What a kilo of a fat costs with its alkali."""
    return PRICES[fat] + alkali(fat) * SODA / PURITY


def cured(fat: str) -> float:
    """Kilos of cured bar of a kilo of a fat: a tenth of it is water."""
    return (1.0 + alkali(fat)) / 0.9


class Asked:
    """A bar as it is asked: its size, the most of its iodine value, and shares with both ends."""

    def __init__(self, size: str, kilos: float, iodine: float, shares: dict[str, tuple[float, float]]) -> None:
        self.size, self.kilos, self.iodine, self.shares = size, kilos, iodine, shares

    def text(self, title: str) -> str:
        """Its goal file."""
        batch = f"fats: {self.kilos} kg" if self.size == "fats" else f"bars: {self.kilos * 10:g}, cured_weight: 100 g"
        lines = [f"  {fat}: {{between: [{low} %, {high} %]}}" for fat, (low, high) in self.shares.items()]
        return BAR.format(title=title, batch=batch, iodine=self.iodine, shares="\n".join(lines))

    def rows(self, first: int, width: int) -> tuple[list[np.ndarray], np.ndarray]:
        """Its rows (each at most 0) over kilos of fats from a column on, and the row of its size."""
        ones = np.zeros(width)
        ones[first : first + len(FATS)] = 1.0
        iodine = np.zeros(width)
        iodine[first : first + len(FATS)] = [reference().get(fat).iodine.value - self.iodine for fat in FATS]
        out = [iodine]
        for fat, (low, high) in self.shares.items():
            own = np.zeros(width)
            own[first + FATS.index(fat)] = 1.0
            out += [low / 100.0 * ones - own, own - high / 100.0 * ones]
        size = ones.copy()
        if self.size != "fats":
            size[first : first + len(FATS)] = [cured(fat) for fat in FATS]
        return out, size


TWO = [
    Asked("bars", 6.0, 70.0, {"coconut oil": (5, 40), "olive oil": (10, 60), "palm oil": (0, 50)}),
    Asked("bars", 3.0, 60.0, {"coconut oil": (15, 35), "palm oil": (10, 60)}),
]
THREE = [*TWO, Asked("bars", 5.0, 80.0, {"palm kernel oil": (10, 30), "sunflower oil": (0, 40), "palm oil": (20, 70)})]


def laid(folder: Path, bars: list[Asked], fats: str, head: str = "") -> Path:
    """A plan with its files."""
    (folder / "shelf.yaml").write_text(SHELF.format(fats=fats), encoding="utf-8")
    for place, bar in enumerate(bars):
        (folder / f"bar{place}.yaml").write_text(bar.text(f"bar {place}"), encoding="utf-8")
    lines = "\n".join(f"  - {{goals: bar{place}.yaml}}" for place in range(len(bars)))
    path = folder / "plan.yaml"
    path.write_text(f"title: test\nshelf: shelf.yaml\n{head}bars:\n{lines}\n", encoding="utf-8")
    return path


def stocked(stock: dict[str, float]) -> str:
    """Fats of the shelf, some with a stock."""
    return "\n".join(
        f"  - {{fat: {fat}, price: {PRICES[fat]} / kg{f', stock: {stock[fat]} kg' if fat in stock else ''}}}"
        for fat in FATS
    )


def least_cost(bars: list[Asked], stock: dict[str, float]) -> float | None:
    """The least that all bars cost together by linprog; None where they cannot all be made."""
    width = len(FATS) * len(bars)
    upper, equal = [], []
    for place, bar in enumerate(bars):
        rows, size = bar.rows(place * len(FATS), width)
        upper += rows
        equal.append(size)
    limits = [0.0] * len(upper)
    for fat, kilos in stock.items():
        row = np.zeros(width)
        row[FATS.index(fat) :: len(FATS)] = 1.0
        upper.append(row)
        limits.append(kilos)
    found = linprog(
        [money(fat) for _ in bars for fat in FATS],
        A_ub=np.array(upper),
        b_ub=limits,
        A_eq=np.array(equal),
        b_eq=[bar.kilos for bar in bars],
    )
    return float(found.fun) if found.status == 0 else None


@pytest.mark.parametrize(
    ("bars", "stock"),
    [
        (TWO, {}),
        (TWO, {"coconut oil": 1.0}),
        (TWO, {"coconut oil": 0.7, "palm oil": 1.5}),
        (THREE, {"palm oil": 3.0}),
        (THREE, {"palm oil": 2.6, "coconut oil": 0.9, "palm kernel oil": 2.0}),
        (THREE, {"palm oil": 4.0, "palm kernel oil": 1.2, "sunflower oil": 1.0}),
    ],
)
def test_a_plan_costs_what_linprog_says(tmp_path: Path, bars: list[Asked], stock: dict[str, float]) -> None:
    """What all bars cost is the least of a statement of our own (scipy.optimize.linprog), and so is what is proved of it."""
    expected = least_cost(bars, stock)
    assert expected is not None
    found = answer_plan(laid(tmp_path, bars, stocked(stock)))
    assert isinstance(found, Plan)
    assert found.proof.least == pytest.approx(expected, rel=2e-4)
    assert found.cost_used == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("stock", [{"coconut oil": 0.5}, {"palm oil": 0.9}, {"palm oil": 0.95, "coconut oil": 0.55}])
def test_what_linprog_cannot_make_is_no_plan(tmp_path: Path, stock: dict[str, float]) -> None:
    """Where a statement of our own has no point there is no plan, and a way out that is told has one there too."""
    assert least_cost(THREE, stock) is None
    found = answer_plan(laid(tmp_path, THREE, stocked(stock)))
    assert isinstance(found, NoPlan)
    assert found.clashes
    more = {str(way.id.key): way.after for way in found.ways if way.id.section == "stock"}
    assert more.keys() <= stock.keys()
    assert bool(more) == (len(stock) == 1)  # of two that are short neither does by itself
    for fat, kilos in more.items():
        assert least_cost(THREE, stock | {fat: kilos}) is not None
        assert least_cost(THREE, stock | {fat: kilos - 0.02}) is None


@pytest.mark.parametrize("fat", ["palm oil", "sunflower oil"])
def test_a_kilo_more_saves_what_linprog_says(tmp_path: Path, fat: str) -> None:
    """What a kilo more of a scarce fat would save is the difference of two statements of our own."""
    stock = {"palm oil": 2.4, "sunflower oil": 1.0}
    found = answer_plan(laid(tmp_path, THREE, stocked(stock)))
    assert isinstance(found, Plan)
    told = {one.fat: one.saves for one in found.scarce}
    now, then = least_cost(THREE, stock), least_cost(THREE, stock | {fat: stock[fat] + 1.0})
    assert now is not None
    assert then is not None
    assert told[fat] == pytest.approx(now - then, abs=1e-4)


PACKS = {  # by fat: sizes in kg and their prices
    "coconut oil": ((1.0, 3.9), (5.0, 15.5)),
    "palm oil": ((2.0, 4.6), (5.0, 9.6)),
    "palm kernel oil": ((1.0, 3.3),),
    "olive oil": ((0.75, 6.0), (3.0, 20.4)),
    "sunflower oil": ((1.0, 2.4), (5.0, 9.0)),
}


@pytest.mark.parametrize("stock", [{}, {"palm oil": 1.0, "olive oil": 0.3}, {"coconut oil": 1.2, "sunflower oil": 2.0}])
def test_whole_packs_cost_what_milp_says(tmp_path: Path, stock: dict[str, float]) -> None:
    """The cash for whole packs, with the alkali used, is the least of a statement of our own (scipy.optimize.milp)."""
    fats = "\n".join(
        f"  - {{fat: {fat}, price: {PRICES[fat]} / kg, stock: {stock.get(fat, 0.0)} kg, packs: ["
        + ", ".join(f"{{size: {size} kg, price: {price}}}" for size, price in PACKS[fat])
        + "]}"
        for fat in FATS
    )
    packs = [(fat, size, price) for fat in FATS for size, price in PACKS[fat]]
    kilos, width = len(FATS) * len(TWO), len(FATS) * len(TWO) + len(packs)
    rows, low, high = [], [], []
    for place, bar in enumerate(TWO):
        upper, size = bar.rows(place * len(FATS), width)
        rows += [*upper, size]
        low += [-np.inf] * len(upper) + [bar.kilos]
        high += [0.0] * len(upper) + [bar.kilos]
    for fat in FATS:
        row = np.zeros(width)
        row[FATS.index(fat) : kilos : len(FATS)] = 1.0
        row[kilos:] = [-pack[1] if pack[0] == fat else 0.0 for pack in packs]
        rows.append(row)
        low.append(-np.inf)
        high.append(stock.get(fat, 0.0))
    cost = [alkali(fat) * SODA / PURITY for _ in TWO for fat in FATS] + [price for _, _, price in packs]
    whole = np.array([0.0] * kilos + [1.0] * len(packs))
    expected = milp(cost, constraints=LinearConstraint(np.array(rows), low, high), integrality=whole)
    assert expected.status == 0
    found = answer_plan(laid(tmp_path, TWO, fats, "buy: packs\naim: least cash\n"))
    assert isinstance(found, Plan)
    assert found.proof.least == pytest.approx(expected.fun, rel=1e-3)
    bought = expected.x[kilos:]
    assert found.cash_out == pytest.approx(
        sum(round(n) * pack[2] for n, pack in zip(bought, packs, strict=True)), abs=0.02
    )


def test_no_two_blends_of_a_grid_are_cheaper(tmp_path: Path) -> None:
    """Brute force: of all blends by whole per cent of two bars, no pair that the stock allows costs less than the plan."""
    trio = ("coconut oil", "palm oil", "sunflower oil")
    bars = [
        Asked("fats", 2.0, 75.0, {"coconut oil": (10, 40), "olive oil": (0, 0), "palm kernel oil": (0, 0)}),
        Asked("fats", 3.0, 60.0, {"coconut oil": (20, 50), "olive oil": (0, 0), "palm kernel oil": (0, 0)}),
    ]
    stock = {"coconut oil": 1.3, "palm oil": 2.3}
    every = []
    for bar in bars:
        own = []
        for first, second in itertools.product(range(101), repeat=2):
            shares = (first, second, 100 - first - second)
            iodine = sum(
                part / 100.0 * reference().get(fat).iodine.value for part, fat in zip(shares, trio, strict=True)
            )
            low, high = bar.shares["coconut oil"]
            if shares[2] < 0 or not low <= first <= high or iodine > bar.iodine:
                continue
            cost = bar.kilos * sum(part / 100.0 * money(fat) for part, fat in zip(shares, trio, strict=True))
            own.append((bar.kilos * first / 100.0, bar.kilos * second / 100.0, cost))
        every.append(np.array(own))
    coconut, palm, cost = (np.add.outer(every[0][:, place], every[1][:, place]) for place in range(3))
    allowed = (coconut <= stock["coconut oil"] + 1e-9) & (palm <= stock["palm oil"] + 1e-9)
    brute = float(cost[allowed].min())
    found = answer_plan(laid(tmp_path, bars, stocked(stock)))
    assert isinstance(found, Plan)
    assert found.cost_used <= brute + 0.01
    assert found.cost_used == pytest.approx(brute, rel=0.02)
