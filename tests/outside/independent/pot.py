"""What a pot of soap is: amounts for each kilo of fats, and every figure of the batch as a ratio of two linear forms.

Basis: shares of the fats (sum 1), sodium and potassium hydroxide as pure, all water, and each additive, in kg per kg of
fats. Molar masses of the hydroxides 39.997 and 56.106 g/mol. Restated from the definitions of the README, the table of
levers and the usual stoichiometry.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from outside.independent import tables
from outside.independent.tables import AdditiveFigures, FatFigures

Vector = NDArray[np.float64]

SODIUM, POTASSIUM = 1000.0 / 39.997, 1000.0 / 56.106  # mol per kg
ORDINARY_DEMAND, ORDINARY_SUPERFAT, ORDINARY_WATER = 3.45, 0.05, 0.280
POUND = 0.45359237
LITRES = {"sodium": 0.20, "potassium": 0.26, "water": 1.0 / 0.998}  # L per kg in the batter
MOST = {"alkali": 0.6, "water": 4.0, "additive": 1.0, "liquid": 4.0}  # kg per kg of fats


@dataclass(frozen=True)
class Batch:
    """How much is made; one of `fats` (kg), `bars` with their `weight` (kg cured) or `mould` (L) counts."""

    fats: float | None = 1.0
    bars: float | None = None
    mould: float | None = None
    weight: float = 0.1
    batter: float = 35.0
    gel: bool = False
    cured_water: float = 0.10
    cure: float = 6.0


@dataclass(frozen=True)
class Stocked:
    """A fat on the shelf: its figures, money per kg, and how much is left in kg."""

    figures: FatFigures
    price: float
    stock: float | None = None


@dataclass(frozen=True)
class Figure:
    """top.v / bottom.v, in per cent, points, money or whatever the key is told in."""

    top: Vector
    bottom: Vector


@dataclass(frozen=True)
class Pot:
    """Fats in order of name, the alkalis with price (per kg), purity and what they may be, the additives and liquids in play.

    `least` is what is asked of levers that level off, per cent of the fats: each is straight from the knot below it to the
    next one, and nothing is reckoned outside of these.
    """

    fats: tuple[Stocked, ...]
    alkalis: Mapping[str, tuple[float, float, float]]
    additives: tuple[tuple[AdditiveFigures, float], ...]
    batch: Batch
    least: Mapping[str, float] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """How many fats there are."""
        return len(self.fats)

    @property
    def size(self) -> int:
        """How many amounts there are."""
        return self.count + 3 + len(self.additives)

    def of(self, fats: Sequence[float] | float = 0.0, *, rest: Mapping[int, float] | None = None) -> Vector:
        """A form over the fats, and over what stands at some places behind them."""
        out = np.zeros(self.size)
        out[: self.count] = fats
        for place, value in (rest or {}).items():
            out[self.count + place] = value
        return out

    def of_additives(self, value: Mapping[str, float]) -> Vector:
        """A form over the additives by name."""
        places = {3 + place: value.get(item.name, 0.0) for place, (item, _) in enumerate(self.additives)}
        return self.of(rest=places)

    @cached_property
    def one(self) -> Vector:
        """The kilo of fats itself: a constant is laid on it."""
        return self.of(1.0)

    @cached_property
    def demand(self) -> Vector:
        """Moles of alkali that the fats take."""
        return self.of([item.figures.saponification / 56.106 for item in self.fats])

    @cached_property
    def demand_low(self) -> Vector:
        """The same with every fat at its lowest."""
        return self.of([item.figures.saponification_low / 56.106 for item in self.fats])

    @cached_property
    def moles(self) -> Vector:
        """Moles of hydroxide in the pot."""
        return self.of(rest={0: SODIUM, 1: POTASSIUM})

    @cached_property
    def alkali(self) -> Vector:
        """Both hydroxides by weight."""
        return self.of(rest={0: 1.0, 1: 1.0})

    @cached_property
    def water(self) -> Vector:
        """All water."""
        return self.of(rest={2: 1.0})

    @cached_property
    def free(self) -> Vector:
        """Moles of fat that are left: the acids among the additives take their alkali first."""
        acids = self.of_additives({item.name: item.acid for item, _ in self.additives})
        return self.demand + acids - self.moles

    @cached_property
    def purer(self) -> Vector:
        """Moles of hydroxide that there are more of if the alkalis are as pure as they may be."""
        more = {}
        for place, (name, moles) in enumerate((("sodium hydroxide", SODIUM), ("potassium hydroxide", POTASSIUM))):
            if name in self.alkalis:
                _, purity, purest = self.alkalis[name]
                more[place] = moles * (purest / purity - 1.0)
        return self.of(rest=more)

    @cached_property
    def weaker(self) -> Vector:
        """Moles less that acids take at their weakest."""
        return self.of_additives({item.name: item.acid - item.acid_low for item, _ in self.additives})

    @cached_property
    def strays(self) -> Vector:
        """Moles that each group may stray by at ordinary lots: fats by their base, each alkali, each acid."""
        bases = sorted({item.figures.base for item in self.fats})
        drops = [item.figures.spread / 56.106 for item in self.fats]
        of_fats = [
            self.of([drop * (item.figures.base == base) for item, drop in zip(self.fats, drops, strict=True)])
            for base in bases
        ]
        others = self.purer + self.weaker
        own = [self.of(rest={place: others[self.count + place]}) for place in range(self.size - self.count)]
        return np.array([*of_fats, *own])

    @cached_property
    def brought(self) -> Vector:
        """Water that comes with the potassium hydroxide and the additives."""
        out = self.of_additives({item.name: item.water for item, _ in self.additives})
        if "potassium hydroxide" in self.alkalis:
            out = out + self.of(rest={1: 1.0 / self.alkalis["potassium hydroxide"][1] - 1.0})
        return out

    @cached_property
    def lye_water(self) -> Vector:
        """Water that is there when the alkali is dissolved."""
        later = {item.name: item.water for item, _ in self.additives if item.goes_in not in ("water", "split")}
        return self.water - self.of_additives(later)

    @cached_property
    def jug(self) -> Vector:
        """All that is poured in water's place: liquids, and plain water, which is what nothing else brings."""
        return (
            self.water
            - self.brought
            + self.of_additives({item.name: float(item.is_liquid) for item, _ in self.additives})
        )

    @cached_property
    def cured(self) -> Vector:
        """The cured bar in kg."""
        dry = self.of_additives({item.name: item.dry for item, _ in self.additives})
        return (self.one + self.alkali + dry) / (1.0 - self.batch.cured_water)

    @cached_property
    def money(self) -> Vector:
        """What it all costs."""
        out = self.of([item.price for item in self.fats])
        out += self.of_additives({item.name: price for item, price in self.additives})
        for place, name in enumerate(("sodium hydroxide", "potassium hydroxide")):
            if name in self.alkalis:
                price, purity, _ = self.alkalis[name]
                out += self.of(rest={place: price / purity})
        return out

    @cached_property
    def litres(self) -> Vector:
        """The batter in litres."""
        lye = {0: LITRES["sodium"], 1: LITRES["potassium"], 2: LITRES["water"]}
        solid = [(1.0 - item.water) * item.litres for item, _ in self.additives]  # water is counted as water
        extra = {3 + place: part for place, part in enumerate(solid)}
        return self.of([1.0 / item.figures.density for item in self.fats], rest=lye | extra)

    @cached_property
    def most(self) -> Vector:
        """The most of each amount."""
        potassium = MOST["alkali"] if "potassium hydroxide" in self.alkalis else 0.0
        rest = {0: MOST["alkali"], 1: potassium, 2: MOST["water"]}
        extra = {
            3 + place: MOST["liquid" if item.is_liquid else "additive"]
            for place, (item, _) in enumerate(self.additives)
        }
        return self.of(1.0, rest=rest | extra)

    def measure(self, name: str) -> Vector:
        """A bar measure, with the levers of free oil, water, potassium, additives, heat and gel."""
        points = tables.levers(name)
        out = self.of([item.figures.points[name] for item in self.fats])
        left = self.free + self.of_additives({item.name: item.fat for item, _ in self.additives})
        out += points["free oil"] * 100.0 * (left / ORDINARY_DEMAND - ORDINARY_SUPERFAT * self.one)
        out += points["water"] * 100.0 * (self.water - ORDINARY_WATER * self.one)
        ordinary = ORDINARY_DEMAND * (1.0 - ORDINARY_SUPERFAT)
        out += points["potassium"] * 100.0 / ordinary * self.of(rest={1: POTASSIUM})
        warmth = (self.batch.batter - 35.0) / 10.0
        out += (points["batter"] * warmth + points["gel"] * self.batch.gel) * self.one
        weeks = min(max(self.batch.cure, 2.0), 104.0)
        out += np.log2(weeks / 6.0) * self.of([item.figures.gain(name) for item in self.fats])
        for lever, knots in tables.knots(name).items():
            held = self.held(lever)
            low, high = self.stretch(lever)
            if held.any():
                at, points_at = [where for where, _ in knots], [told for _, told in knots]
                begun = float(np.interp(low, at, points_at))
                slope = 0.0 if high is None else (float(np.interp(high, at, points_at)) - begun) / (high - low)
                out += begun * self.one + slope * (held - low * self.one)
        return out

    def held(self, lever: str) -> Vector:
        """Per cent of the fats of what a lever counts: an additive, the sugar of liquids with sugar, hard waxes."""
        out = self.of_additives({lever: 1.0})
        if lever == "sugar":
            out += self.of_additives({item.name: item.sugar for item, _ in self.additives})
        if lever == "hard waxes":
            out += self.of([float(item.figures.hard_wax) for item in self.fats])
        return 100.0 * out

    def stretch(self, lever: str) -> tuple[float, float | None]:
        """The knots between which a lever is reckoned with; no upper one where it has levelled off."""
        at = [where for where, _ in tables.knots("hardness")[lever]]
        least = self.least.get(lever, 0.0)
        low = max(where for where in at if where <= least + 1e-9)
        return low, next((where for where in at if where > low), None)

    def figure(self, key: str, per: str = "kg") -> Figure:
        """Whatever may stand under goals."""
        if key == "cost":
            return Figure(self.money, self.cured / {"kg": 1.0, "lb": POUND, "bar": self.batch.weight}[per])
        ratios = {
            "superfat": (100.0 * self.free, self.demand),
            "likely_superfat": (100.0 * self.free, self.demand),
            "worst_case_superfat": (
                100.0 * (self.free - self.demand + self.demand_low - self.purer - self.weaker),
                self.demand_low,
            ),
            "lye_concentration": (100.0 * self.alkali, self.alkali + self.water),
            "water_to_alkali": (self.water, self.alkali),
            "potassium_share": (100.0 * self.of(rest={1: POTASSIUM}), self.moles),
            "water_share_of_fats": (100.0 * self.water, self.one),
            "saponification_value": (self.of([item.figures.saponification for item in self.fats]), self.one),
            "iodine_value": (self.of([item.figures.iodine for item in self.fats]), self.one),
        }
        if key in ratios:
            return Figure(*ratios[key])
        if key in tables.MEASURES:
            return Figure(self.measure(key), self.one)
        group = tables.acid_groups()[key]
        listed = [sum(value for acid, value in item.figures.acids.items() if acid in group) for item in self.fats]
        whole = [sum(item.figures.acids.values()) for item in self.fats]
        return Figure(self.of([100.0 * part / all_ for part, all_ in zip(listed, whole, strict=True)]), self.one)

    def share(self, subject: str, key: str, unit: str = "") -> Figure:
        """The share of a fat, a kind or a tag among the fats, or of an additive to them, per cent.

        A liquid's share is of all that is poured in water's place. In grams an additive or a liquid is that of the batch
        ("g") or of a kilo of fats ("g/kg").
        """
        if subject in ("additive", "liquid"):
            return self.amount(self.of_additives({key: 1.0}), self.jug if subject == "liquid" else self.one, unit)
        chosen = [100.0 * self._falls_under(subject, key, item.figures) for item in self.fats]
        return Figure(self.of(chosen), self.one)

    def amount(self, each: Vector, whole: Vector, unit: str) -> Figure:
        """Kilograms for each kilo of fats as a figure in a unit."""
        if unit == "g/kg":
            return Figure(1000.0 * each, self.one)
        if unit == "g":
            batch = self.batch  # the mass for a kilo of fats, by the part of a batch that a kilo of fats makes
            if batch.bars is not None:
                return Figure(1000.0 * each, self.cured / (batch.bars * batch.weight))
            if batch.mould is not None:
                return Figure(1000.0 * each, self.litres / batch.mould)
            return Figure(1000.0 * each, self.one / (batch.fats or 1.0))
        return Figure(100.0 * each, whole)

    @staticmethod
    def _falls_under(subject: str, key: str, figures: FatFigures) -> bool:
        if subject == "base":
            return figures.base == key
        if subject == "fat":
            return figures.name == key
        return key in figures.tags if subject == "tag" else figures.kind in tables.PLURALS[key]
