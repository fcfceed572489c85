"""Hypothesis strategies and small builders that the tests share: shelves, goal sheets, recipes, bare programmes.

Goal sheets are laid around a blend that a judge without rows or matrices has valued, so that a sheet is known to be
feasible before any solver sees it; a negative slack makes it doubtful.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
from hypothesis import settings
from hypothesis import strategies as st

from optimiser.materials.additives import additives
from optimiser.materials.alkali import alkali_needed
from optimiser.materials.fat_table import reference
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.programme import Programme
from optimiser.problem.batch import Batch
from optimiser.problem.goals import Exclusion, GoalSheet, extra_named
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf, Stocked, StockedAdditive, StockedAlkali
from optimiser.problem.wishes import EACH_FAT, ONE_SIDED, Said, Section, WishId
from optimiser.recipe.evaluation import Judgement, Recipe, judge
from optimiser.text.spans import Span

SPAN = Span("goals.yaml", 1, 1, 2, "x")
ORDINARY = (
    *("coconut oil", "babassu oil", "palm oil", "palm stearin", "palm kernel oil", "beef tallow", "lard"),
    *("shea butter", "cocoa butter", "mango butter", "olive oil", "olive pomace oil", "rapeseed oil"),
    *("high oleic sunflower oil", "sunflower oil", "rice bran oil", "sweet almond oil", "avocado oil", "castor oil"),
    *("peanut oil", "grapeseed oil", "soybean oil", "sesame oil", "beeswax", "stearic acid"),
)
PLAIN = tuple(name for name in ORDINARY if reference().get(name).kind not in ("wax", "fatty acid"))
FIGURES = (
    *(
        "hardness",
        "wear_life",
        "quick_lather",
        "lasting_lather",
        "harshness",
        "mildness",
        "rancidity",
        "trace_speed",
        "set_up",
    ),
    *("scum", "saponification_value", "iodine_value", "short_saturated", "long_saturated", "saturated"),
    *("monounsaturated", "polyunsaturated", "C18:1", "worst_case_superfat", "water_share_of_fats"),
)


def examples(number: int) -> int:
    """How many examples are drawn of so many that are wished for: two fifths every day, other parts by the other profiles (conftest.py)."""
    return max(1, number * settings().max_examples // 100)


# -- builders ------------------------------------------------------------------------------------------------------


def stocked(name: str, price: float, stock_kg: float | None = None) -> Stocked:
    """A fat of the reference on the shelf."""
    return Stocked(reference().get(name), price, stock_kg, (), None, SPAN)


def shelf_of(
    prices: Mapping[str, float],
    *,
    alkali_price: float = 2.4,
    purity: float = 0.98,
    potassium: bool = False,
    extra: Mapping[str, float] = MappingProxyType({}),
    stock: Mapping[str, float] = MappingProxyType({}),
) -> Shelf:
    """A shelf of reference fats at prices per kg, with additives at prices per kg and stocks in kg."""
    alkalis = {"sodium hydroxide": StockedAlkali("sodium hydroxide", alkali_price, purity, SPAN, assumed=False)}
    if potassium:
        alkalis["potassium hydroxide"] = StockedAlkali("potassium hydroxide", 4.1, 0.9, SPAN, assumed=False)
    return Shelf(
        path="shelf.yaml",
        title="an invented shelf",
        currency="EUR",
        fats=tuple(stocked(name, price, stock.get(name)) for name, price in prices.items()),
        alkalis=alkalis,
        additives={name: StockedAdditive(additives()[name], price, SPAN) for name, price in extra.items()},
    )


def wish_id(text: str) -> WishId:
    """The id whose text this is; names hold no dots here."""
    section, _, rest = text.partition(".")
    where = Section(section)
    if where in ONE_SIDED:
        return WishId(where, rest, Side.AT_MOST)
    key, _, side = rest.rpartition(".")
    if where == Section.FATS:
        each = side.startswith("each_")
        return WishId(where, EACH_FAT if each else "number of fats", Side(side.removeprefix("each_")))
    within = ""
    if where in (Section.DESIGN, Section.FOR, Section.PREFER):
        within, _, key = key.partition(".")
    return WishId(where, key, Side(side), within)


def limit(key: str, side: Side | str, value: float, subject: SubjectKind | str = "quantity", per: str = "") -> Limit:
    """One side of a wish."""
    unit = quantities()[key].unit if subject == "quantity" else "fats" if key == "number of fats" else "%"
    said = Said(key, Side(side), f"{value:g}")
    return Limit(key, SubjectKind(subject), Side(side), value, unit, said, SPAN, per)


def at_least(key: str, value: float, subject: SubjectKind | str = "quantity") -> Limit:
    """A wish for no less."""
    return limit(key, "at_least", value, subject)


def at_most(key: str, value: float, subject: SubjectKind | str = "quantity") -> Limit:
    """A wish for no more."""
    return limit(key, "at_most", value, subject)


def exactly(key: str, value: float, subject: SubjectKind | str = "quantity") -> Limit:
    """A wish for just this."""
    return limit(key, "exactly", value, subject)


def sheet_of(*goals: Limit, **parts: Any) -> GoalSheet:
    """A goal sheet; house practice is off unless told otherwise (superfat 5 % and a 33 % lye then still stand).

    The rule that yields stands aside for whoever builds rows of it, so that they are all linear; an answer asks it anew.
    """
    exclusions = tuple(Exclusion(tag, SPAN) for tag in parts.pop("free_from", ()))
    given: dict[str, Any] = {
        "path": "goals.yaml",
        "title": "a bar",
        "shelf": None,
        "batch": Batch(),
        "designs": (),
        "goals": goals,
        "shares": (),
        "free_from": exclusions,
        "fat_count": (),
        "prefer": (),
        "practice_off": True,
        "practice": (),
        "additives": (),
        "yielded": frozenset({"likely superfat"}),
    }
    return GoalSheet(**(given | parts))


def with_practice(*goals: Limit, **parts: Any) -> GoalSheet:
    """A goal sheet under house practice."""
    return sheet_of(*goals, practice_off=False, **parts)


def recipe_at(
    shares: Mapping[str, float],
    *,
    superfat: float = 5.0,
    lye: float = 33.0,
    potassium: float = 0.0,
    extra: Mapping[str, float] = MappingProxyType({}),
    grams: float = 1000.0,
    **choices: Any,
) -> Recipe:
    """A recipe worked out by hand: shares (any scale) of fats, superfat, lye and potassium share in per cent.

    `extra` are additives and liquids in per cent of the fats. Alkalis are pure; water is what the lye still asks for.
    """
    total = sum(shares.values())
    fats = tuple((reference().get(name), grams * share / total) for name, share in shares.items())
    added = tuple((extra_named(name), grams * share / 100.0) for name, share in extra.items())
    demand = sum(fat.saponification.value / 56.106 * weight / 1000.0 for fat, weight in fats)
    acid = sum(item.alkali_mol_per_kg * weight / 1000.0 for item, weight in added)
    need = alkali_needed(demand, superfat=superfat / 100.0, potassium_share=potassium / 100.0, acid_mol=acid)
    alkali = need.sodium_hydroxide + need.potassium_hydroxide
    brought = sum(item.water_fraction * weight for item, weight in added)
    water = alkali * (100.0 - lye) / lye - brought
    return Recipe(fats, need.sodium_hydroxide, need.potassium_hydroxide, water, added, **choices)


# -- strategies ----------------------------------------------------------------------------------------------------


@st.composite
def price_lists(draw: st.DrawFn, least: int = 2, most: int = 12, names: Sequence[str] = PLAIN) -> dict[str, float]:
    """Some fats of the reference with prices in whole cents."""
    chosen = draw(st.lists(st.sampled_from(names), min_size=least, max_size=most, unique=True))
    cents = draw(st.lists(st.integers(100, 2000), min_size=len(chosen), max_size=len(chosen)))
    return {name: cent / 100.0 for name, cent in zip(chosen, cents, strict=True)}


@st.composite
def shelves(draw: st.DrawFn, least: int = 2, most: int = 12) -> Shelf:
    """A shelf of a few ordinary fats."""
    return shelf_of(draw(price_lists(least, most)), purity=draw(st.sampled_from((0.96, 0.98, 1.0))))


def blends(names: Sequence[str] = ORDINARY, least: int = 1, most: int = 6) -> st.SearchStrategy[dict[str, float]]:
    """Amounts of a few fats; only their proportion matters."""
    return st.dictionaries(st.sampled_from(names), st.integers(1, 100).map(float), min_size=least, max_size=most)


LEVELLING = ("sodium lactate", "salt", "citric acid", "sodium citrate", "sugar", "rosin")
"""Additives whose levers level off, each at its own end."""


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    """A recipe with lye, perhaps some potassium, additives, heat, gel and a cure, within what is known of levers and beyond."""
    return recipe_at(
        draw(blends()),
        superfat=draw(st.one_of(st.floats(0.0, 12.0), st.floats(12.0, 40.0))),
        lye=draw(st.one_of(st.floats(25.0, 42.0), st.floats(12.0, 25.0))),
        potassium=draw(st.sampled_from((0.0, 0.0, 5.0, 30.0, 59.0, 62.0, 100.0))),
        extra=draw(st.dictionaries(st.sampled_from(LEVELLING), st.floats(0.1, 30.0), max_size=2))
        | draw(
            st.dictionaries(st.sampled_from(("honey", "goat milk", "beer", "yogurt")), st.floats(0.1, 3.0), max_size=2)
        ),
        batter_temperature=draw(st.floats(20.0, 60.0)),
        gel=draw(st.booleans()),
        cured_water=draw(st.sampled_from((0.0, 0.05, 0.1, 0.15))),
        cure_weeks=draw(st.sampled_from((1.0, 2.0, 4.0, 6.0, 12.0, 52.0, 104.0, 200.0))),
    )


@dataclass(frozen=True, repr=False)
class Bar:
    """A goal sheet over a shelf, and the blend it was laid around."""

    sheet: GoalSheet
    shelf: Shelf
    shares: Mapping[str, float]
    judged: Judgement

    def __repr__(self) -> str:
        """Few enough words for a failing example: wishes, prices and the blend."""
        every = (*self.sheet.goals, *self.sheet.shares, *self.sheet.fat_count)
        wishes = ", ".join(f"{wish.key} {wish.side} {wish.value!r}" for wish in every)
        prices = {item.fat.name: item.price for item in self.shelf.fats}
        return f"Bar({wishes}; prices {prices}; around {dict(self.shares)})"

    def _repr_pretty_(self, printer: Any, _cycle: bool) -> None:  # noqa: FBT001
        """The same for hypothesis, which would else print every field of every fat."""
        printer.text(repr(self))


@st.composite
def bars(
    draw: st.DrawFn, *, least_slack: float = 0.0, most_fats: int = 10, counted: bool = False, most_limits: int = 6
) -> Bar:
    """Limits laid around a blend of a shelf at a superfat of 5 % and a lye of 33 %.

    A slack is in the figure's natural step; with a least slack of zero or more the blend itself meets every limit.
    """
    prices = draw(price_lists(3, most_fats))
    weights = draw(st.lists(st.integers(0, 10), min_size=len(prices), max_size=len(prices)).filter(any))
    shares = {name: float(weight) for name, weight in zip(prices, weights, strict=True) if weight}
    judged = judge(recipe_at(shares))
    goals = []
    keys = draw(st.lists(st.sampled_from(FIGURES), max_size=most_limits, unique=True))
    for key in keys:
        slack = draw(st.integers(round(20 * least_slack), 20)) / 20.0 * quantities()[key].scale
        side = draw(st.sampled_from((Side.AT_LEAST, Side.AT_MOST)))
        goals.append(limit(key, side, judged.values[key] + (slack if side == Side.AT_MOST else -slack)))
    total = sum(shares.values())
    name = draw(st.sampled_from(sorted(shares)))
    cap = 100.0 * shares[name] / total + draw(st.integers(0, 10))
    sheet = sheet_of(*goals, shares=(at_most(name, min(100.0, cap), "fat"),))
    if counted:
        sheet = sheet_of(*goals, fat_count=(at_most("number of fats", float(len(shares)), "count"),))
    return Bar(sheet, shelf_of(prices), {key: value / total for key, value in shares.items()}, judged)


@dataclass(frozen=True)
class Count:
    """The one thing that a proof asks of the columns: how many fats there are."""

    count: int


def bare_programme(
    matrix: Sequence[Sequence[float]],
    row_low: Sequence[float],
    row_high: Sequence[float],
    money: Sequence[float],
    *,
    column_high: Sequence[float] | None = None,
    integer: Sequence[bool] | None = None,
    cured: Sequence[float] | None = None,
) -> Programme:
    """A programme of arrays alone: nonnegative columns, nothing behind the rows."""
    n = len(money)
    return Programme(
        columns=Count(n),  # type: ignore[arg-type]
        rows=(),
        matrix=np.array(matrix, dtype=float).reshape(-1, n),
        row_low=np.array(row_low, dtype=float),
        row_high=np.array(row_high, dtype=float),
        column_low=np.zeros(n),
        column_high=np.ones(n) if column_high is None else np.array(column_high, dtype=float),
        integer=np.zeros(n, dtype=np.bool_) if integer is None else np.array(integer, dtype=np.bool_),
        money=np.array(money, dtype=float),
        cured=np.ones(n) if cured is None else np.array(cured, dtype=float),
    )


@st.composite
def programmes(draw: st.DrawFn, *, surely_feasible: bool = True, cured: bool = False) -> Programme:
    """A random blend of n fats under m dense rows, the first of which is sum x = 1; of moderate figures."""
    n, m = draw(st.integers(2, 12)), draw(st.integers(1, 8))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    table = np.round(rng.uniform(0.0, 100.0, (m, n)), 3)
    table[0] = 1.0
    reached = table @ rng.dirichlet(np.ones(n))
    low, high = np.full(m, -np.inf), np.full(m, np.inf)
    low[0] = high[0] = 1.0
    for place in range(1, m):
        width = rng.uniform(0.0, 10.0) if surely_feasible else rng.uniform(-25.0, 10.0)
        if rng.random() < 0.5:
            low[place] = reached[place] - width
        else:
            high[place] = reached[place] + width
    money = np.round(rng.uniform(1.0, 20.0, n), 2)
    weight = rng.uniform(1.0, 1.5, n) if cured else np.ones(n)
    return bare_programme(table.tolist(), low.tolist(), high.tolist(), money.tolist(), cured=weight.tolist())
