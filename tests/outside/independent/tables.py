"""The reference data as plain tables: fats by their figures, additives, rules, designs and levers read from the files.

Only figures are taken from the package: what a fat is. How a blend follows from them is stated anew in `pot.py`.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import yaml

from optimiser import reference as facts
from optimiser.materials import fat_table
from optimiser.measures.profiles import fat_values

REFERENCE = facts.FOLDER
Tree = dict[str, Any]
LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # figures stay text
BY_IODINE = {"half-drying": 106.0, "strongly unsaturated": 120.0}  # tags of oils, and from which iodine value on

PLURALS = {
    "hard oils": ("hard oil",),
    "butters": ("butter",),
    "liquid oils": ("liquid oil",),
    "waxes": ("wax",),
    "fatty acids": ("fatty acid",),
    "solid fats": ("hard oil", "butter"),
}


def fold(name: str) -> str:
    """A name as it is compared: case, blanks, underscores and hyphens do not count."""
    return " ".join(str(name).replace("_", " ").replace("-", " ").casefold().split())


@cache
def table(name: str) -> tuple[Mapping[str, str], ...]:
    """The rows of a CSV file of the reference data."""
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


@cache
def designs(family: str) -> Mapping[str, Tree]:
    """Designs ("design") or people ("for") by folded name, figures as text."""
    name = {"design": "designs", "for": "people"}[family]
    text = (REFERENCE / f"{name}.yaml").read_text(encoding="utf-8")
    listed = yaml.load(text, LOADER)[name]  # noqa: S506
    return {fold(called): item for item in listed for called in (item["name"], *item.get("also", []))}


@dataclass(frozen=True)
class FatFigures:
    """What is known of a fat: mg KOH/g, g I2/100 g, kg/L, per cent of its acids, points of a bar of it alone.

    `spread` is how far 95 % of its lots stray at most (mg KOH/g); those of one `base` stray together.
    """

    name: str
    kind: str
    tags: frozenset[str]
    saponification: float
    saponification_low: float
    iodine: float
    density: float
    acids: Mapping[str, float]
    points: Mapping[str, float]
    spread: float
    base: str
    hard_wax: bool = False
    soap: float = 1.0

    def gain(self, measure: str) -> float:
        """Points that each doubling of the cure adds: to all soap alike, and more to that of oleic acid."""
        row = next((row for row in table("measure_cure") if row["measure"] == measure), None)
        if row is None:
            return 0.0
        oleic = self.acids.get("C18:1", 0.0) / (sum(self.acids.values()) or 1.0)
        return self.soap * (float(row["flat"]) + float(row["of_oleic"]) * oleic)


MEASURES = tuple(row["measure"] for row in table("measures"))


@cache
def fat(name: str) -> FatFigures:
    """The figures of a reference fat."""
    known = fat_table.reference().get(name)
    points = fat_values([known], MEASURES)[:, 0]
    return FatFigures(
        known.name,
        known.kind,
        known.tags,
        known.saponification.value,
        known.saponification.low,
        known.iodine.value,
        known.density,
        dict(known.acids),
        dict(zip(MEASURES, map(float, points), strict=True)),
        known.spread,
        known.base or known.name,
        known.kind == "wax" and known.name not in ("jojoba oil", "lanolin"),
        known.soap_yield,
    )


def is_infused(name: str) -> bool:
    """Whether a fat's own name says that it has herbs in it."""
    return bool({"infusion", "infused"} & set(name.split()))


def lent(known: FatFigures, name: str) -> FatFigures:
    """The figures as another fat borrows them: its low end lies further off, by the kind; an infusion is that fat."""
    far = {row["case"]: float(row["per_cent"]) / 100.0 for row in table("borrowed_ends")}
    if is_infused(name):
        return replace(known, name=name)
    low = known.saponification * (1.0 - far[known.kind])
    return replace(known, name=name, saponification_low=min(known.saponification_low, low))


def certified(known: FatFigures, value: float, tolerance: float, iodine: float | None) -> FatFigures:
    """The fat with the figures of a certificate; a wax keeps its acid value."""
    if iodine is not None:
        tags = known.tags - BY_IODINE.keys() | {tag for tag, least in BY_IODINE.items() if iodine >= least}
        known = replace(known, iodine=iodine, tags=frozenset(tags))
    if known.kind == "wax":
        return known
    return replace(known, saponification=value, saponification_low=value - tolerance, spread=tolerance)


@cache
def fat_names() -> tuple[str, ...]:
    """Every reference fat."""
    return tuple(sorted(row["fat"] for row in table("fats")))


@cache
def tags() -> tuple[str, ...]:
    """Every tag of a fat, an additive or a liquid."""
    told = {tag for name in fat_names() for tag in fat(name).tags}
    return tuple(sorted(told | {tag for item in (*additives().values(), *liquids().values()) for tag in item.tags}))


@dataclass(frozen=True)
class AdditiveFigures:
    """Alkali taken in mol/kg (and at the weakest), dry and water fractions, tags, the usual most in per cent, where it goes in.

    A liquid stands for water; its sugar counts as sugar, and `fat` are the moles of alkali that its fat could take.
    """

    name: str
    acid: float
    dry: float
    water: float
    tags: frozenset[str]
    usual: float
    goes_in: str
    acid_low: float = 0.0
    is_liquid: bool = False
    sugar: float = 0.0
    fat: float = 0.0
    litres: float = 0.8  # L for a kilo of all that is not water: of liquids the table has no figure


@cache
def liquids() -> Mapping[str, AdditiveFigures]:
    """Every liquid by name."""
    return {row["liquid"]: _liquid(row) for row in table("liquids")}


def _liquid(row: Mapping[str, str]) -> AdditiveFigures:
    grams, named = float(row["acid_molar_mass"] or 0.0), row["tags"].split(";")
    each = 1000.0 * float(row["acid_equivalents"]) / grams if grams else 0.0
    return AdditiveFigures(
        name=row["liquid"],
        acid=each * float(row["acid_share"]),
        dry=float(row["dry"]),
        water=float(row["water"]),
        tags=frozenset(tag for tag in named if tag),
        usual=100.0,
        goes_in=row["goes_in"],
        acid_low=each * float(row["acid_share_low"]),
        is_liquid=True,
        sugar=float(row["sugar"]),
        fat=float(row["fat"]) * float(row["fat_saponification_low"] or 0.0) / 56.106,
    )


@cache
def additives() -> Mapping[str, AdditiveFigures]:
    """Every additive by name."""
    return {row["additive"]: _additive(row) for row in table("additives")}


def _additive(row: Mapping[str, str]) -> AdditiveFigures:
    grams = float(row["molar_mass"] or 0.0)
    each = 1000.0 * float(row["acid_equivalents"]) / grams if grams else 0.0
    acid, low = each * float(row["strength"]), each * float(row["strength_low"] or row["strength"])
    named = frozenset(tag.strip() for tag in row["tags"].split(";") if tag.strip())
    dry, water = float(row["dry_fraction"]), float(row["water_fraction"])
    usual, litres = float(row["usual_high"]), float(row["litres"])
    return AdditiveFigures(row["additive"], acid, dry, water, named, usual, row["goes_in"], low, litres=litres)


@cache
def acid_groups() -> Mapping[str, frozenset[str]]:
    """Acids and the groups of acids that a goal may name, by their carbons and double bonds."""
    rows = table("acids")
    bonds = {row["acid"]: int(row["double_bonds"]) for row in rows}
    carbons = {row["acid"]: int(row["carbons"]) for row in rows}
    groups = {row["acid"]: frozenset({row["acid"]}) for row in rows}
    return groups | {
        "short_saturated": frozenset(name for name in bonds if not bonds[name] and carbons[name] <= 14),
        "long_saturated": frozenset(name for name in bonds if not bonds[name] and carbons[name] > 14),
        "butyric_and_caproic": frozenset(name for name in bonds if carbons[name] in (4, 6)),
        "saturated": frozenset(name for name in bonds if not bonds[name]),
        "monounsaturated": frozenset(name for name in bonds if bonds[name] == 1),
        "polyunsaturated": frozenset(name for name in bonds if bonds[name] > 1),
        "linolenic": frozenset({"C18:3", "C18:3g"}),
    }


@cache
def levers(measure: str) -> Mapping[str, float]:
    """Points per unit of each lever; a measure made of others carries theirs."""
    out = {row["lever"]: float(row.get(measure) or 0.0) for row in table("measure_levers")}
    for part in table("measure_derived"):
        if part["measure"] == measure:
            for name, points in levers(part["of"]).items():
                out[name] += float(part["factor"]) * points
    return out


@cache
def knots(measure: str) -> Mapping[str, tuple[tuple[float, float], ...]]:
    """What is put in, by its lever: (per cent of the fats, points) from nothing to where it levels off."""
    out = {}
    for row in table("lever_ranges"):
        if row["beyond"] == "level":
            end = float(row["high"])
            out[row["lever"]] = ((0.0, 0.0), (end, end * levers(measure)[row["lever"]]), *later(measure, row["lever"]))
    return out


def later(measure: str, lever: str) -> tuple[tuple[float, float], ...]:
    """Knots beyond the first end; a measure made of others carries theirs."""
    rows = [row for row in table("lever_knots") if row["lever"] == lever]
    parts = [row for row in table("measure_derived") if row["measure"] == measure]
    own = [float(row.get(measure) or 0.0) for row in rows]
    for part in parts:
        own = [mine + float(part["factor"]) * of for mine, (_, of) in zip(own, later(part["of"], lever), strict=True)]
    return tuple((float(row["at"]), points) for row, points in zip(rows, own, strict=True))


@cache
def ends(lever: str) -> tuple[float, float]:
    """From where to where a lever is known."""
    (row,) = (row for row in table("lever_ranges") if row["lever"] == lever)
    return float(row["low"]), float(row["high"])


@cache
def floors() -> Mapping[str, float]:
    """Measures that are never told below a figure."""
    return {row["measure"]: float(row["floor"]) for row in table("measures") if row["floor"]}


@cache
def units() -> Mapping[str, str]:
    """The unit of every key that may stand under goals."""
    out = {row["measure"]: "index" for row in table("measures")}
    out |= {row["quantity"]: row["unit"] for row in table("quantities")}
    return out | {row["acid"]: "%" for row in table("acids")}


@cache
def scales() -> Mapping[str, float]:
    """The step that a maker would call small, of every key that may stand under goals."""
    out = {row["measure"]: float(row["scale"]) for row in table("measures")}
    out |= {row["quantity"]: float(row["scale"]) for row in table("quantities")}
    return {row["acid"]: 5.0 for row in table("acids")} | out


@cache
def bands() -> Mapping[str, Mapping[str, tuple[str, str]]]:
    """The words of each measure with their ends; an open end is empty."""
    out: dict[str, dict[str, tuple[str, str]]] = {}
    for row in table("measure_bands"):
        out.setdefault(row["measure"], {})[row["word"]] = (row["low"], row["high"])
    return out


@cache
def goal_keys() -> Mapping[str, str]:
    """Folded names of everything that may stand under goals."""
    out = {fold(row["name"]): row["acid"] for row in table("acids")}
    out |= {fold(row["words"]): row["measure"] for row in table("measures")}
    return out | {fold(name): name for name in units()}


@cache
def share_keys() -> Mapping[str, tuple[str, str]]:
    """Folded names of everything that may stand under shares: (subject, key); fats before kinds before tags."""
    out = {fold(tag): ("tag", tag) for tag in tags()}
    out |= {fold(kind): ("kind", kind) for kind in PLURALS}
    return out | {fold(name): ("fat", name) for name in fat_names()}


@cache
def usual_tolerance(alkali: str, purity: float) -> float:
    """How many points purer than told an alkali of this grade may be, where nobody says."""
    told = (row for row in table("alkali_grades") if row["alkali"] == alkali)
    return next(float(row["tolerance"]) for row in told if float(row["from"]) <= purity < float(row["below"]))
