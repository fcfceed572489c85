"""What a batch in grams ends as: soaps, glycerin, salts, fat that is left over and the water that stays. Stoichiometry alone.

Acids take alkali before any fat does: those of additives, free fatty acids, and what of a wax is acid. What is left goes to the
other fats, the same part of each. Sodium and potassium go everywhere as they stand to each other in moles. Masses add up to the bars
once cured (`evaluation.cured_grams`), or of a paste, which does not dry, to all that is in the pot.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from optimiser.materials import alkali
from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.materials.fatty_acids import GLYCEROL, saponification_value
from optimiser.materials.lye import KOH, NAOH, WATER
from optimiser.recipe.evaluation import Recipe, acid_mol, cured_grams, total_water


class Ends(NamedTuple):
    """Grams that one thing ends as: its sodium and potassium soap or salt, and what of it is left as it was."""

    sodium: float
    potassium: float
    left: float


class Finished(NamedTuple):
    """What there is of everything at the end, in grams. `sodium_hydroxide` and `potassium_hydroxide` are left in a lye-heavy batch alone."""

    fats: tuple[tuple[Fat, Ends], ...]
    additives: tuple[tuple[Additive, Ends], ...]
    glycerin: float
    water: float
    sodium_hydroxide: float
    potassium_hydroxide: float

    @property
    def soap(self) -> float:
        """Grams of alkali salts of fatty acids."""
        return math.fsum(ends.sodium + ends.potassium for _, ends in self.fats)

    @property
    def grams(self) -> float:
        """All of it."""
        parts = [ends for _, ends in (*self.fats, *self.additives)]
        rest = (self.glycerin, self.water, self.sodium_hydroxide, self.potassium_hydroxide)
        return math.fsum([*(grams for ends in parts for grams in ends), *rest])


class Charge(NamedTuple):
    """The alkali of a batch: moles of each, and which part of what acids and of what other fats could take they meet."""

    sodium: float
    potassium: float
    of_acids: float
    of_fats: float

    def bound(self, moles: float) -> tuple[float, float]:
        """So many moles of alkali as sodium and as potassium."""
        total = self.sodium + self.potassium
        return (moles * self.sodium / total, moles * self.potassium / total) if total else (0.0, 0.0)


def finished(recipe: Recipe, *, dries: bool = True) -> Finished:
    """What a recipe ends as.

    Args:
        recipe: what is weighed.
        dries: it is cured, as bars are; a paste keeps its water.
    """
    charge, left = charged(recipe)
    fats, glycerin = [], []
    for fat, grams in recipe.fats:
        ends, formed = of_fat(fat, grams, charge)
        fats.append((fat, ends))
        glycerin.append(formed)
    made = Finished(
        fats=tuple(fats),
        additives=tuple((item, of_additive(item, grams, charge)) for item, grams in recipe.additives),
        glycerin=math.fsum(glycerin),
        water=0.0,
        sodium_hydroxide=NAOH * left[0],
        potassium_hydroxide=KOH * left[1],
    )
    pure = NAOH * charge.sodium + KOH * charge.potassium
    whole = cured_grams(recipe, pure)
    if not dries:
        whole = whole * (1.0 - recipe.cured_water) + total_water(recipe)
    return made._replace(water=max(0.0, whole - made.grams))


def charged(recipe: Recipe) -> tuple[Charge, tuple[float, float]]:
    """The alkali that there is, and the moles of each that nothing takes."""
    sodium = alkali.alkali_mol(recipe.sodium_hydroxide * recipe.sodium_purity, 0.0)
    potassium = alkali.alkali_mol(0.0, recipe.potassium_hydroxide * recipe.potassium_purity)
    total = sodium + potassium
    acids = acid_mol(recipe) + math.fsum(demand(fat, grams) for fat, grams in recipe.fats if is_acid(fat))
    others = math.fsum(demand(fat, grams) for fat, grams in recipe.fats if not is_acid(fat))
    of_acids = min(1.0, total / acids) if acids > 0.0 else 1.0
    over = max(0.0, total - acids)
    charge = Charge(sodium, potassium, of_acids, min(1.0, over / others) if others > 0.0 else 0.0)
    return charge, charge.bound(max(0.0, over - others))


def demand(fat: Fat, grams: float) -> float:
    """Moles of alkali that so much of a fat takes."""
    return alkali.demand(fat.saponification.value) * grams / 1000.0


def is_acid(fat: Fat) -> bool:
    """Whether what of it takes alkali is acid: a fatty acid, or a wax, of which no more is counted."""
    return fat.kind in ("fatty acid", "wax")


def of_fat(fat: Fat, grams: float, charge: Charge) -> tuple[Ends, float]:
    """What a fat ends as, and the glycerin that it sets free.

    A triglyceride gives a mole of glycerin for three of alkali; an acid a mole of water for one, and a wax the same of what of it is
    acid. Unsaponifiable matter is left.
    """
    moles = demand(fat, grams) * (charge.of_acids if is_acid(fat) else charge.of_fats)
    matter = fat.unsaponifiable.value if math.isfinite(fat.unsaponifiable.value) else 0.0
    if fat.kind == "wax":
        taken = min(grams, moles * molar_mass(fat))
    else:
        taken = grams * (1.0 - matter / 1000.0) * (charge.of_acids if is_acid(fat) else charge.of_fats)
    glycerin = 0.0 if is_acid(fat) else moles * GLYCEROL / 3.0
    return salts(taken - (moles * WATER if is_acid(fat) else glycerin), grams - taken, moles, charge), glycerin


def molar_mass(fat: Fat) -> float:
    """Mean molar mass of its fatty acids, g/mol."""
    return 1000.0 * KOH / saponification_value(fat.acids, free=True)


def salts(taken: float, left: float, moles: float, charge: Charge) -> Ends:
    """What has taken so many moles of alkali, parted by the alkalis; `taken` is its mass without them."""
    if moles <= 0.0:
        return Ends(0.0, 0.0, left + taken)
    sodium, potassium = charge.bound(moles)
    of_sodium, of_potassium = (taken * part / moles for part in (sodium, potassium))
    return Ends(of_sodium + sodium * NAOH, of_potassium + potassium * KOH, left)


def of_additive(item: Additive, grams: float, charge: Charge) -> Ends:
    """What an additive ends as: an acid as its salt, anything else as it was, its water aside.

    A liquid stays one thing, whatever little acid it holds.
    """
    moles = item.alkali_mol_per_kg * grams / 1000.0 * charge.of_acids
    dry = item.dry_fraction * grams
    if item.is_liquid:
        sodium, potassium = charge.bound(moles)
        return Ends(0.0, 0.0, dry + sodium * NAOH + potassium * KOH - moles * WATER)
    taken = dry * charge.of_acids if moles > 0.0 else 0.0
    return salts(taken - moles * WATER, dry - taken, moles, charge)
