"""The decision variables, and every figure of the batch as a vector over them.

Basis: one kilogram of fats. A figure that has a constant part is still a plain vector, because the shares of the fats
add up to one and a constant can be laid on them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np

from optimiser.materials.additives import Additive
from optimiser.materials.alkali import demand
from optimiser.materials.fat import Fat
from optimiser.materials.lye import KOH, NAOH
from optimiser.maths.arrays import Vector
from optimiser.measures.cure import LONGEST, SHORTEST, USUAL_CURE
from optimiser.measures.measures import Levers, levers
from optimiser.measures.profiles import Profiles, cure_gains, group_of, pulling
from optimiser.model.lot_spread import MOST_SPREAD, LotSpread
from optimiser.model.pieces import NOTHING, Pulls, curves, piece_of
from optimiser.problem.batch import Batch
from optimiser.problem.shelf import Shelf, Stocked

REFERENCE_DEMAND = 3.45  # mol/kg, the ordinary blend on whose scale free oil is counted
REFERENCE_SUPERFAT = 5.0  # % at which the free-oil lever stands at zero
REFERENCE_WATER = 280.0  # g per kg fats at which the water lever stands at zero
REFERENCE_BATTER = 35.0  # degC

LOT_SPREAD = "lot spread"
MOST_ALKALI = 0.6  # kg per kg fats: no fat takes half as much, so the bound only keeps the proof finite
MOST_WATER = 4.0  # kg per kg fats: a 10 % lye for the hungriest fat needs less


class Column(NamedTuple):
    """One decision variable, in kg per kg of fats (a share, for a fat)."""

    name: str
    kind: str  # "fat", "alkali", "water", "additive", "liquid", "lot spread"
    upper: float


class BesideStock(NamedTuple):
    """A column of what may be bought: what it says ("bought" a share of the fats, "order" 0/1), and of which fat."""

    what: str
    fat: str

    @property
    def name(self) -> str:
        """What it is called in a file for another solver."""
        return f"{self.what}.{self.fat}"


@dataclass(frozen=True)
class Columns:
    """The fats of a shelf (in order of name), two alkalis, water, the additives and liquids in play, with their chemistry.

    Vectors have one entry for each column: n fats, sodium hydroxide, potassium hydroxide, water, additives, and last the
    lot spread: how far the alkali that ordinary lots take may fall short, in mol per kg fats. `pulls` are what is asked of
    levers at the least: it decides which piece of a curve is laid.
    """

    stocked: tuple[Stocked, ...]
    additives: tuple[Additive, ...]
    shelf: Shelf
    batch: Batch
    pulls: Pulls = field(default_factory=dict)

    @cached_property
    def fats(self) -> tuple[Fat, ...]:
        """The fats, one for each of the first n columns."""
        return tuple(item.fat for item in self.stocked)

    @cached_property
    def all(self) -> tuple[Column, ...]:
        """Every column in order."""
        fats = [Column(item.fat.name, "fat", 1.0) for item in self.stocked]
        potassium = MOST_ALKALI if self.has_potassium else 0.0
        rest = [
            Column("sodium hydroxide", "alkali", MOST_ALKALI),
            Column("potassium hydroxide", "alkali", potassium),
            Column("water", "water", MOST_WATER),
        ]
        extra = [
            Column(item.name, "liquid", MOST_WATER) if item.is_liquid else Column(item.name, "additive", 1.0)
            for item in self.additives
        ]
        return (*fats, *rest, *extra, Column(LOT_SPREAD, LOT_SPREAD, MOST_SPREAD))

    @property
    def count(self) -> int:
        """How many fats there are."""
        return len(self.stocked)

    @property
    def size(self) -> int:
        """How many columns there are."""
        return len(self.stocked) + 3 + len(self.additives) + 1

    def zeros(self) -> Vector:
        """A vector of nothing."""
        return np.zeros(self.size)

    def of_fats(self, values: Vector | Sequence[float] | float) -> Vector:
        """A vector with a value for each fat (or one for all of them) and nothing else."""
        out = self.zeros()
        out[: self.count] = values
        return out

    def constant(self, value: float) -> Vector:
        """A constant, laid on the shares, which add up to one."""
        return self.of_fats(value)

    def at(self, name: str) -> Vector:
        """The amount of one column."""
        out = self.zeros()
        out[self.index[name]] = 1.0
        return out

    def of_fat(self, name: str) -> Vector:
        """The share of a fat, all its lots together."""
        return self.of_fats([float(name in fat.called) for fat in self.fats])

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Where each column stands."""
        return {column.name: place for place, column in enumerate(self.all)}

    @cached_property
    def additive_places(self) -> range:
        """Where the additives stand."""
        return range(self.count + 3, self.count + 3 + len(self.additives))

    # -- chemistry ---------------------------------------------------------------------------------------------

    @cached_property
    def fat_demand(self) -> Vector:
        """S: moles of alkali that the fats take, per kg fats (saponification value / 56.106, ISO 3657)."""
        return self.of_fats([demand(fat.saponification.value) for fat in self.fats])

    @cached_property
    def fat_demand_low(self) -> Vector:
        """S_low: the same if every fat stands at the low end of its range at once."""
        return self.of_fats([demand(fat.saponification.low) for fat in self.fats])

    @cached_property
    def alkali_mol(self) -> Vector:
        """n: moles of hydroxide present, per kg fats."""
        return 1000.0 / NAOH * self.at("sodium hydroxide") + self.potassium_mol

    @cached_property
    def potassium_mol(self) -> Vector:
        """The part of the hydroxide that is potassium hydroxide, mol per kg fats."""
        return 1000.0 / KOH * self.at("potassium hydroxide")

    @cached_property
    def acid_mol(self) -> Vector:
        """E: moles of hydroxide that acid additives and liquids take, per kg fats; always met in full."""
        return self._of_extras("alkali_mol_per_kg")

    @cached_property
    def alkali(self) -> Vector:
        """Both alkalis, pure, kg per kg fats."""
        return self.at("sodium hydroxide") + self.at("potassium hydroxide")

    @cached_property
    def unreacted(self) -> Vector:
        """Moles of fat left unsaponified: S - (n - E)."""
        return self.fat_demand - self.alkali_mol + self.acid_mol

    @cached_property
    def unreacted_at_worst(self) -> Vector:
        """The same at worst: every fat at its low end, the alkali at its purest and acids at their weakest, at once."""
        return self.fat_demand_low - self.alkali_mol_at_purest + self._of_extras("alkali_low_mol_per_kg")

    @cached_property
    def alkali_mol_at_purest(self) -> Vector:
        """The moles of hydroxide there are if the alkalis are as pure as they may be."""
        pure, purest = self.shelf.purities, self.shelf.purest
        out = self.zeros()
        for name, molar, told, most in zip(
            ("sodium hydroxide", "potassium hydroxide"), (NAOH, KOH), pure, purest, strict=True
        ):
            out[self.index[name]] = 1000.0 / molar * most / told
        return out

    @cached_property
    def unreacted_likely(self) -> Vector:
        """The moles of fat left unsaponified at ordinary lots: what is left less the lot spread."""
        return self.unreacted - self.at(LOT_SPREAD)

    @cached_property
    def lot_spread(self) -> LotSpread:
        """The cone of the lots: fats by what they stray with, each alkali and each acid by itself."""
        names: dict[str, int] = {}
        group = np.array([names.setdefault(fat.strays_with, len(names)) for fat in self.fats], dtype=np.intp)
        own = np.arange(self.size - self.count, dtype=np.intp) + len(names)
        weight = self.of_fats([demand(fat.spread) for fat in self.fats])
        weight += self.alkali_mol_at_purest - self.alkali_mol
        weight += self.acid_mol - self._of_extras("alkali_low_mol_per_kg")
        return LotSpread(self.index[LOT_SPREAD], np.concatenate([group, own]), np.maximum(weight, 0.0))

    @property
    def has_potassium(self) -> bool:
        """Whether there is potassium hydroxide on the shelf."""
        return "potassium hydroxide" in self.shelf.alkalis

    @property
    def brings_fat(self) -> bool:
        """Whether a liquid brings fat of its own."""
        return any(item.fat_mol_per_kg for item in self.additives)

    @cached_property
    def free_oil(self) -> Vector:
        """Free oil in per cent, on the scale of a blend of ordinary demand, so that it stays linear.

        The fat of liquids is all of it free: no alkali is ever reckoned for it.
        """
        return 100.0 / REFERENCE_DEMAND * (self.unreacted + self._of_extras("fat_mol_per_kg"))

    def _of_extras(self, figure: str) -> Vector:
        """A figure of the additives and liquids, per kg fats."""
        out = self.zeros()
        out[self.additive_places] = [getattr(item, figure) for item in self.additives]
        return out

    @cached_property
    def jug(self) -> Vector:
        """All that is weighed in water's place, kg per kg fats: plain water, and the liquids that stand for it."""
        out = self.at("water") - self.water_brought
        out[self.additive_places] += [float(item.is_liquid) for item in self.additives]
        return out

    @cached_property
    def water_brought(self) -> Vector:
        """Water that the potassium hydroxide, the additives and the liquids bring along, kg per kg fats."""
        out = self.zeros()
        potassium = self.shelf.alkalis.get("potassium hydroxide")
        if potassium is not None:
            out[self.index["potassium hydroxide"]] = 1.0 / potassium.purity - 1.0
        out[self.additive_places] = [item.water_fraction for item in self.additives]
        return out

    @cached_property
    def mixing_water(self) -> Vector:
        """The water that the alkali can be dissolved in: all but what additives and liquids bring that must go in later."""
        out = self.at("water")
        out[self.additive_places] = [0.0 if item.dissolves_alkali else -item.water_fraction for item in self.additives]
        return out

    # -- measures ----------------------------------------------------------------------------------------------

    @cached_property
    def _profiles(self) -> Profiles:
        """The acids of the fats."""
        return Profiles(self.fats)

    @cached_property
    def _kept(self) -> dict[tuple[str, ...], Vector]:
        """Vectors that many rows and programmes ask for, each worked out once."""
        return {}

    def kept(self, name: tuple[str, ...], reckon: Callable[[], Vector]) -> Vector:
        """A vector by its name, reckoned where it is asked for the first time; nobody may write into it."""
        if name not in self._kept:
            out = reckon()
            out.flags.writeable = False
            self._kept[name] = out
        return self._kept[name]

    def measure(self, name: str) -> Vector:
        """A bar measure in its own points, levers and all; of a lever that levels off the piece that is asked for."""
        return self.kept(("measure", name), lambda: self._measure(name))

    def _measure(self, name: str) -> Vector:
        lever = levers(name)
        out = self.of_fats(self._profiles.values(name))
        out += lever.free_oil * (self.free_oil - self.constant(REFERENCE_SUPERFAT))
        out += lever.water / 10.0 * (1000.0 * self.at("water") - self.constant(REFERENCE_WATER))
        ordinary = REFERENCE_DEMAND * (1.0 - REFERENCE_SUPERFAT / 100.0)
        out += lever.potassium * 100.0 / ordinary * self.potassium_mol
        out += self.constant(self._choices(lever))
        out += self.of_fats(self._cure * cure_gains(self.fats, name))
        for added, curve in lever.curves.items():
            if added in self.levers_in_play:
                piece = piece_of(curve, self.pulls.get(added, NOTHING).least)
                out += piece.slope * self.amount_of(added) + self.constant(piece.constant)
        return out

    def amount_of(self, lever: str) -> Vector:
        """How much there is of what a lever counts, in per cent of the fats."""
        return self.kept(("amount", lever), lambda: self._amount_of(lever))

    def _amount_of(self, lever: str) -> Vector:
        out = self.of_fats(pulling(self.fats, lever))
        out[self.additive_places] = [item.acts_as(lever) for item in self.additives]
        return 100.0 * out

    @cached_property
    def levers_in_play(self) -> tuple[str, ...]:
        """The levers that level off and that something here pulls."""
        return tuple(lever for lever in curves() if self.amount_of(lever).any())

    @cached_property
    def _cure(self) -> float:
        """How many times the cure doubles from the usual one, level where it is shorter or longer than is known."""
        return float(np.log2(np.clip(self.batch.cure_weeks, SHORTEST, LONGEST) / USUAL_CURE))

    def _choices(self, lever: Levers) -> float:
        """What the batch's own choices (heat of the batter, gel) add to a measure."""
        warmth = (self.batch.batter_temperature - REFERENCE_BATTER) / 10.0
        return lever.batter * warmth + lever.gel * float(self.batch.gel)

    def acid_share(self, name: str) -> Vector:
        """The share of an acid or a group of acids, per cent of the fatty acids."""
        return self.kept(("acids", name), lambda: self.of_fats(self._profiles.shares(group_of(name))))

    # -- mass and money ----------------------------------------------------------------------------------------

    @cached_property
    def cured(self) -> Vector:
        """Cured bar in kg per kg fats: saponification neither gains nor loses mass, and a stated share stays water."""
        out = self.constant(1.0) + self.alkali
        out[self.additive_places] = [item.dry_fraction for item in self.additives]
        return out / (1.0 - self.batch.cured_water)

    @cached_property
    def money(self) -> Vector:
        """What one kg of fats with all that goes with it costs."""
        out, prices = self.of_fats([item.price for item in self.stocked]), self.shelf.prices.additives
        for name in ("sodium hydroxide", "potassium hydroxide"):
            alkali = self.shelf.alkalis.get(name)
            if alkali is not None:
                out[self.index[name]] = alkali.price / alkali.purity
        out[self.additive_places] = [prices.get(item.name, 0.0) for item in self.additives]
        return out
