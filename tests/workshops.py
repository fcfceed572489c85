"""Whole workshops drawn at random: a goal file and a shelf as text, over every section that either may have.

Each is laid around a recipe that was made up first and valued by the judge alone, so that most can be met.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from hypothesis import assume
from hypothesis import strategies as st
from pasted import Tree, filed
from reading import read
from strategies import ORDINARY

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.materials import alkali
from optimiser.materials.additives import additives
from optimiser.materials.fat import with_certificate
from optimiser.materials.fat_table import reference
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.money import Prices
from optimiser.problem.shelf import Shelf
from optimiser.recipe.evaluation import Judgement, Recipe, fat_demand, judge, total_water
from optimiser.solve.optimum import solve

EXTRAS = (  # water, acids, both, neither; into the water, the lye and the batter
    *("sodium lactate", "honey", "vinegar", "milk powder", "colloidal oatmeal", "sodium citrate"),
    *("citric acid", "citric acid monohydrate", "lactic acid", "tartaric acid", "rosin", "sodium bicarbonate"),
    *("salt", "sugar", "kaolin"),
)
MOST = {"vinegar": 12.0, "rosin": 4.0}  # per cent of the fats; 3 of the others
MEASURES = (
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
    *("scum", "ash_risk"),
)
OTHERS = ("iodine_value", "saponification_value", "C18:1", "short_saturated", "saturated", "worst_case_superfat")
LYES = ("lye_concentration", "water_to_alkali", "water_share_of_fats")
TAGS = ("palm", "animal", "lauric", "nut", "milk", "bee", "soya", "gluten")
GROUPS = {
    "solid fats": ("hard oil", "butter"),
    "hard oils": ("hard oil",),
    "butters": ("butter",),
    "liquid oils": ("liquid oil",),
}
DESIGNS = ("single pour", "in-the-pot swirl", "straight layers", "stamped bar", "fade")
PEOPLE = ("everyday", "working hands", "hard water", "laundry")


@dataclass(frozen=True, repr=False)
class Workshop:
    """A goal file and a shelf as trees of text, and the recipe that they were laid around."""

    goals: Tree
    shelf: Tree
    recipe: Recipe
    judged: Judgement

    def __repr__(self) -> str:
        """The files as a maker would write them."""
        return f"\n{yaml.safe_dump(self.goals, sort_keys=False)}---\n{yaml.safe_dump(self.shelf, sort_keys=False)}"

    def _repr_pretty_(self, printer: Any, _cycle: bool) -> None:  # noqa: FBT001
        """The same for hypothesis."""
        printer.text(repr(self))

    def read(self, folder: Path) -> tuple[GoalSheet, Shelf]:
        """Both files, read back from a folder."""
        return read(filed(folder, self.goals, self.shelf))

    def answered(self, folder: Path) -> Blend:
        """The blend that meets the goals; an example that has none is dropped."""
        sheet, shelf = self.read(folder)
        assume(solve(build(sheet, shelf))[1] is not None)
        blend = answer_for(sheet, shelf)
        assert isinstance(blend, Blend)
        return blend


@st.composite
def workshops(draw: st.DrawFn, *, designed: bool = False, practised: bool | None = None) -> Workshop:
    """A workshop of three to seven fats; `designed` takes a design or a person in place of goals of its own.

    `practised` is whether house practice stands; None leaves it open.
    """
    names = draw(st.lists(st.sampled_from(ORDINARY), min_size=3, max_size=7, unique=True))
    if designed:
        names = list(dict.fromkeys([*names, "olive oil", "coconut oil", "palm oil", "high oleic sunflower oil"]))
    shelf = draw(shelf_trees(names))
    own = draw(st.booleans()) and not designed
    recipe = draw(hidden(shelf, names, own=own))
    judged = judge(recipe, prices_of(shelf))
    goals: Tree = {"title": "a drawn bar", "batch": draw(batches(recipe))}
    wishes = draw(liquors(judged)) if own else {}
    if recipe.potassium_hydroxide:
        shelf["alkalis"]["potassium hydroxide"] = {"price": "4.10 / kg", "purity": f"{recipe.potassium_purity:.0%}"}
        wishes |= {"potassium_share": draw(around(judged.values["potassium_share"], 5.0, " %", least=0.0, most=60.0))}
    if designed:
        goals |= draw(st.sampled_from([{"design": [name]} for name in DESIGNS] + [{"for": [name]} for name in PEOPLE]))
    else:
        wishes |= draw(figures(judged))
        goals["shares"] = draw(shares(recipe))
        goals["fats"] = draw(counts(recipe))
        goals["free_from"] = draw(exclusions(recipe))
    goals["goals"] = wishes
    goals["additives"] = {item.name: draw(amounts(100.0 * w / recipe.fat_grams)) for item, w in recipe.additives}
    goals["prefer"] = draw(st.lists(preferences(), max_size=2))
    stocks = draw(st.sampled_from((None, *range(len(recipe.fats)))))
    if stocks is not None and "mould" not in goals["batch"]:
        limit_stock(shelf, goals["batch"], recipe, judged, stocks)
    on = draw(st.booleans()) if practised is None else practised
    goals |= draw(st.sampled_from(({}, {"practice": {"castor oil": "15 %", "waxes": "off"}}))) if on else OFF
    return Workshop({key: value for key, value in goals.items() if value}, shelf, recipe, judged)


OFF = {"practice": "off"}


@st.composite
def shelf_trees(draw: st.DrawFn, names: Sequence[str]) -> Tree:
    """Fats at prices, some with a certificate; sodium hydroxide of some purity; a few additives."""
    fats = []
    for name in names:
        entry: Tree = {"fat": name, "price": f"{draw(st.integers(100, 2000)) / 100:.2f} / kg"}
        if draw(st.integers(0, 3)) == 0:
            known = reference().get(name).saponification
            value = round(known.value + draw(st.floats(-0.5, 0.5)) * (known.high - known.low), 1)
            entry["lot"] = {"number": "A-1", "saponification_value": f"{value}", "tolerance": "1.5"}
        fats.append(entry)
    purity = draw(st.sampled_from(("96 %", "98 %", "100 %", None)))
    alkali: Tree = {"price": "2.40 / kg"} | ({} if purity is None else {"purity": purity})
    extras = draw(st.lists(st.sampled_from(EXTRAS), max_size=3, unique=True))
    return {
        "title": "a drawn shelf (invented)",
        "currency": "EUR",
        "fats": fats,
        "alkalis": {"sodium hydroxide": alkali},
        "additives": [{"additive": name, "price": "6.50 / kg"} for name in extras],
    }


@st.composite
def hidden(draw: st.DrawFn, shelf: Tree, names: Sequence[str], *, own: bool) -> Recipe:
    """A recipe over a shelf; with the ordinary superfat and lye unless it may have its `own`."""
    chosen = draw(st.lists(st.sampled_from(names), min_size=2, max_size=5, unique=True))
    weights = {name: draw(st.integers(2, 40)) for name in chosen}
    lots = {entry["fat"]: entry.get("lot") for entry in shelf["fats"]}
    fats = []
    for name in sorted(chosen):
        lot, fat = lots[name], reference().get(name)
        if lot is not None:
            fat = with_certificate(fat, saponification_value=float(lot["saponification_value"]), tolerance=1.5)
        fats.append((fat, 1000.0 * weights[name] / sum(weights.values())))
    extra = []
    for entry in shelf["additives"]:
        if draw(st.booleans()):
            most = MOST.get(entry["additive"], 3.0)
            extra.append((additives()[entry["additive"]], round(10.0 * draw(st.floats(0.2, most)), 1)))
    bare = Recipe(tuple(fats), 0.0, 0.0, 0.0, tuple(extra), potassium_purity=0.9)
    superfat = draw(st.sampled_from((0.0, 2.0, 5.0, 8.0, 12.0))) if own else 5.0
    lye = draw(st.sampled_from((27.0, 30.0, 33.0, 38.0, 42.0))) if own else 33.0
    potassium = draw(st.sampled_from((0.0, 0.0, 5.0, 30.0, 55.0)))
    return charged(bare, superfat, lye, potassium)


def charged(bare: Recipe, superfat: float, lye: float, potassium: float) -> Recipe:
    """A recipe with the alkali for a superfat, and the water that a lye then still asks for; all in per cent."""
    acid = math.fsum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in bare.additives)
    need = alkali.alkali_needed(
        fat_demand(bare), superfat=superfat / 100.0, potassium_share=potassium / 100.0, acid_mol=acid
    )
    purity = bare.potassium_purity
    dry = Recipe(bare.fats, need.sodium_hydroxide, need.potassium_hydroxide / purity, 0.0, bare.additives, 1.0, purity)
    pure = need.sodium_hydroxide + need.potassium_hydroxide
    water = max(0.0, pure * (100.0 - lye) / lye - total_water(dry))
    return Recipe(dry.fats, dry.sodium_hydroxide, dry.potassium_hydroxide, water, dry.additives, 1.0, purity)


def prices_of(shelf: Tree) -> Prices:
    """The prices of a tree, per kilo."""

    def price(entry: Mapping[str, Any]) -> float:
        return float(str(entry["price"]).removesuffix(" / kg"))

    return Prices(
        currency="EUR",
        fats={entry["fat"]: price(entry) for entry in shelf["fats"]},
        sodium_hydroxide=2.4,
        potassium_hydroxide=4.1,
        additives={entry["additive"]: price(entry) for entry in shelf["additives"]},
    )


# -- sections of the goal file -------------------------------------------------------------------------------------


def down(value: float, places: int = 3) -> str:
    """A figure as written, never above what it was."""
    return f"{math.floor(value * 10**places + 1e-9) / 10**places:.{places}f}"


def up(value: float, places: int = 3) -> str:
    """A figure as written, never below what it was."""
    return f"{math.ceil(value * 10**places - 1e-9) / 10**places:.{places}f}"


@st.composite
def around(
    draw: st.DrawFn, value: float, step: float, unit: str, *, least: float = -1e9, most: float = 1e9, exact: bool = True
) -> Any:
    """A limit that a value meets: one side, two, or the bare figure; with a sign that would be a difference from a recipe."""
    slack = draw(st.integers(0, 4)) / 4.0 * step
    low, high = f"{down(max(least, value - slack))}{unit}", f"{up(min(most, value + slack))}{unit}"
    kinds: tuple[Any, ...] = ({"at_least": low}, {"at_most": high}, {"between": [low, high]})
    bare = f"{value:.6f}{unit}"
    return draw(st.sampled_from((*kinds, bare) if exact and not bare.startswith("-") else kinds))


@st.composite
def batches(draw: st.DrawFn, recipe: Recipe) -> Tree:
    """A mass of fats, a number of bars or a mould; sometimes a balance, a cured water, a heat."""
    size: Tree = draw(
        st.sampled_from(
            (
                {"fats": "2 kg"},
                {"fats": "0.35 kg"},
                {"bars": "24", "cured_weight": "105 g"},
                {"mould": {"length": "30 cm", "width": "9 cm", "depth": "7 cm"}, "cured_weight": "90 g"},
            )
        )
    )
    if draw(st.booleans()) and size != {"fats": "0.35 kg"}:
        size |= {"scale": draw(st.sampled_from(("1 g", "0.1 g", "0.01 g")))}
    assert recipe.cured_water == 0.1
    return size


@st.composite
def liquors(draw: st.DrawFn, judged: Judgement) -> Tree:
    """Goals on superfat and on the lye, by one of its three figures."""
    key = draw(st.sampled_from(LYES))
    unit = "" if quantities()[key].unit == "ratio" else " %"
    step = quantities()[key].scale
    return {
        "superfat": draw(around(judged.superfat, 1.0, " %", least=0.0, most=40.0)),
        key: draw(around(judged.values[key], step, unit)),
    }


@st.composite
def figures(draw: st.DrawFn, judged: Judgement) -> Tree:
    """Goals on measures, bare figures too, on figures of the fats, and on the cost."""
    out: Tree = {}
    for key in draw(st.lists(st.sampled_from((*MEASURES, *OTHERS)), max_size=3, unique=True)):
        known = quantities()[key]
        unit = " %" if known.unit == "%" else ""
        bare = key in MEASURES
        value = judged.values[key] + (draw(st.floats(-0.4, 0.4)) if bare else 0.0)
        if known.lowest <= value - known.scale and value + known.scale <= known.highest:
            out[key] = draw(around(value, known.scale, unit, exact=bare))
    cost = judged.cost_per_kg
    assert cost is not None
    per, kilos = draw(st.sampled_from((("", 0.0), ("kg", 1.0), ("lb", 0.45359237))))
    return out | ({"cost": {"at_most": f"{up(1.1 * cost * kilos, 2)} / {per}"}} if per else {})


@st.composite
def shares(draw: st.DrawFn, recipe: Recipe) -> Tree:
    """Limits on fats, kinds and tags."""
    parts = [(fat, 100.0 * grams / recipe.fat_grams) for fat, grams in recipe.fats]
    sums: dict[str, float] = {fat.name: part for fat, part in parts}
    sums |= {key: math.fsum(part for fat, part in parts if fat.kind in kinds) for key, kinds in GROUPS.items()}
    sums |= {tag: math.fsum(part for fat, part in parts if tag in fat.tags) for tag in ("palm", "lauric")}
    keys = draw(st.lists(st.sampled_from(sorted(sums)), max_size=2, unique=True))
    return {key: draw(around(sums[key], 5.0, " %", least=0.0, most=100.0, exact=False)) for key in keys}


@st.composite
def counts(draw: st.DrawFn, recipe: Recipe) -> Tree:
    """How many fats, and the least of each; mostly nothing."""
    number = len(recipe.fats)
    each = {"each_at_least": f"{down(100.0 * min(grams for _, grams in recipe.fats) / recipe.fat_grams)} %"}
    numbers: tuple[Tree, ...] = ({"at_most": str(number)}, {"at_least": str(number)}, {"exactly": str(number)})
    return draw(st.sampled_from(({}, {}, {}, {}, *numbers, numbers[0] | each, each)))


@st.composite
def exclusions(draw: st.DrawFn, recipe: Recipe) -> list[str]:
    """Tags that nothing in the recipe bears."""
    borne = {tag for fat, _ in recipe.fats for tag in fat.tags} | {
        tag for item, _ in recipe.additives for tag in item.tags
    }
    return draw(
        st.lists(st.sampled_from([tag for tag in TAGS if tag not in borne] or ["fish"]), max_size=2, unique=True)
    )


def amounts(share: float) -> st.SearchStrategy[Any]:
    """A limit on an additive, in per cent of the fats or in grams for a kilo of them."""
    for_a_kilo = around(10.0 * share, 5.0, " g / kg", least=0.0, most=1000.0)
    return st.one_of(around(share, 0.5, " %", least=0.0, most=100.0), for_a_kilo)


def preferences() -> st.SearchStrategy[Tree]:
    """A wish that may be out of reach."""
    wish: Callable[[str, str], Callable[[int], Tree]] = lambda key, side: lambda value: {key: {side: str(value)}}  # noqa: E731
    return st.one_of(
        st.integers(30, 90).map(wish("mildness", "at_least")),
        st.integers(10, 60).map(wish("trace_speed", "at_most")),
        st.integers(40, 80).map(lambda value: {"hardness": str(value)}),
    )


def limit_stock(shelf: Tree, batch: Tree, recipe: Recipe, judged: Judgement, place: int) -> None:
    """Stock of one fat that lasts for the recipe and little longer."""
    fat, grams = recipe.fats[place]
    kilos = float(str(batch.get("fats", "0 kg")).removesuffix(" kg"))
    if "bars" in batch:
        kilos = 24 * 0.105 * recipe.fat_grams / judged.cured_grams
    entry = next(item for item in shelf["fats"] if item["fat"] == fat.name)
    entry["stock"] = f"{up(1.02 * kilos * grams / recipe.fat_grams, 4)} kg"
