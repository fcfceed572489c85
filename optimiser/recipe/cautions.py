"""What must be said beside every alkali figure, and what this very recipe gives cause to say."""

from __future__ import annotations

import math
from collections.abc import Iterator

from optimiser.materials import alkali
from optimiser.recipe.evaluation import Judgement, Recipe, fat_demand, late, superfat_with_liquids

BURNS = (
    "Sodium and potassium hydroxide burn skin and blind (H314), and eat aluminium, zinc and tin (H290): goggles, gloves, "
    "long sleeves; alkali into water, never water onto alkali; children and animals out of the room."
)
LEFT_OVER = (
    "Soap with alkali left over burns skin. Weigh twice, use lots with certificates, and test a cured bar before anyone "
    "washes with it."
)
DEFER = (
    "These figures are arithmetic, not advice: the supplier's safety data sheet, the rules where you live and licensed "
    "practice come before anything printed here."
)
LYE = (BURNS, LEFT_OVER, DEFER)

NO_LYE = (
    "NO LYE: {mixed:.0f} % alkali in the water to weigh is more than dissolves (about 50 % near room temperature). "
    "Weigh more water."
)
LIKELY_LYE_HEAVY = (
    "LIKELY LYE-HEAVY: if the lots at hand saponify with less alkali than usual, this recipe leaves free alkali "
    "(likely low superfat {low:.1f} %). Raise the superfat, or put certificates with a narrow tolerance on the shelf."
)
LYE_HEAVY = (
    "LYE-HEAVY: more alkali than the fats can take (superfat {value:.1f} %). Do not make this; it would burn skin."
)
WORST = (
    "If every fat lay at the very low end of its published range at once, {short:.1f} % more alkali than fat would be left. "
    "Certificates of the lots, or a little more superfat, cure that."
)
STRONG = "A lye of {lye:.0f} % is stronger than most makers use (25-40 %, common practice): it thickens the batter fast and gets very hot."
WEAK = "A lye of {lye:.0f} % is weaker than most makers use (25-40 %, common practice): slow to set, shrinks as it dries, ash is likely."
HOT = "Made at once from 20 degC the lye could reach about {low:.0f}-{high:.0f} degC if no heat were lost: use a heat-proof vessel and add slowly."
WAX = "{names}: hardly saponified in the cold process, so only the free acid is counted towards alkali; the rest stays in the bar as wax."
WAX_LEVER = "Measures take beeswax into account as tried up to 2 % of the fats; beyond that they are stretched."
ACIDS = "{names}: free fatty acid turns to soap on contact and can seize the batter; melt it in fully and have the mould ready."
UNSURE = (
    "{names}: the saponification value may lie {short:.0f} % or more below the figure worked with; a certificate with a narrow "
    "tolerance makes the alkali sure."
)
COUNTED_ON = (
    "{names} {counted} counted on to take its share of the alkali: left out, the superfat would be {left:.1f} %{heavy}. "
    "Weigh it, and put it in."
)
AS_MIXED = "The lye is mixed at {mixed:.0f} %; {names} {bring} the rest of the water later."
GREASY = "A superfat of {value:.0f} % leaves a soft, greasy bar that goes rancid early."
PASTE = (
    "With {share:.0f} % of the alkali as potassium hydroxide this is a soft soap, a paste towards 100 %: hardness, times and bars do "
    "not apply to it."
)
STRETCHED = "{name} at {share:.1f} % of the fats: its effect on the measures was only reckoned to {most:g} %; beyond that they are stretched."
MUCH = (
    "{name} at {share:.1f} % of the fats is above the {whose} ({most:g} %): check it with what its supplier advises and with "
    "its safety data sheet."
)
FAT = (
    "{names} {verb} {grams:.0f} g of fat beyond the superfat told: with it about {superfat:.1f} % of all fat is left over. "
    "None of it is counted on to take alkali."
)
SUGAR = (
    "{names} {verb} sugar, {share:.1f} % of the fats: it heats lye and batter and browns; work cool, and keep the mould from "
    "heating through unless gel is meant."
)

STRONGEST = (
    50.0  # % of the lye as mixed: sodium hydroxide's solubility near room temperature (CRC Handbook, from memory)
)
MOST_SUPERFAT = 25.0  # %
MOST_POTASSIUM = 20.0  # % of the alkali's moles
NEARLY_MIXED = 1.0  # % of the lye: less than this apart is the same
UNSURE_SPREAD = 0.05  # of the value: a fat whose low end lies further off than this
JUST = 1e-6  # per cent: what binary fractions add to a figure just met
LITTLE_FAT = 0.001  # of the fats: less fat in the liquids is not worth a word
LITTLE_SUGAR = 0.005  # of the fats: the same of sugar
NOTICEABLE = 0.10  # share from which such a fat is worth a word


def urgent(judgement: Judgement) -> tuple[str, ...]:
    """What must stand at the very top."""
    out = []
    if judgement.superfat < -1e-6:
        out.append(LYE_HEAVY.format(value=judgement.superfat))
    elif judgement.superfat_likely_low < 0:
        out.append(LIKELY_LYE_HEAVY.format(low=judgement.superfat_likely_low))
    if judgement.lye_as_mixed > STRONGEST + 1e-3:
        out.append(NO_LYE.format(mixed=judgement.lye_as_mixed))
    return tuple(out)


def is_unfit(judgement: Judgement) -> bool:
    """Whether a recipe must not be made: more alkali than fat, or alkali that the water cannot dissolve."""
    return judgement.superfat < -1e-6 or judgement.lye_as_mixed > STRONGEST + 1e-3


def cautions(recipe: Recipe, judgement: Judgement) -> tuple[str, ...]:
    """Everything to say beside the alkali of a recipe: the urgent first, then what every lye calls for, then the rest."""
    return (*urgent(judgement), *LYE, *particular(recipe, judgement))


def particular(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """What only some recipes give cause to say."""
    low, high = judgement.lye_temperature
    if not math.isnan(high):
        yield HOT.format(low=low, high=high)
    yield from of_additives(recipe, judgement)
    left = max(judgement.superfat, superfat_with_liquids(recipe, judgement))
    if left > MOST_SUPERFAT:
        yield GREASY.format(value=left)
    if judgement.values["potassium_share"] > MOST_POTASSIUM:
        yield PASTE.format(share=judgement.values["potassium_share"])
    if judgement.superfat_worst_case < 0 <= judgement.superfat_likely_low:
        yield WORST.format(short=-judgement.superfat_worst_case)
    if judgement.lye_concentration > 40.0 + 1e-6:
        yield STRONG.format(lye=judgement.lye_concentration)
    elif judgement.lye_concentration < 25.0 - 1e-6:
        yield WEAK.format(lye=judgement.lye_concentration)
    waxes = [(fat.name, grams) for fat, grams in recipe.fats if fat.kind == "wax"]
    if waxes:
        yield WAX.format(names=listed([name for name, _ in waxes]).capitalize())
    if any(name == "beeswax" and grams > 0.02 * recipe.fat_grams * 1.001 for name, grams in waxes):
        yield WAX_LEVER
    acids = [fat.name for fat, _ in recipe.fats if fat.kind == "fatty acid"]
    if acids:
        yield ACIDS.format(names=listed(acids).capitalize())
    yield from of_unsure_fats(recipe)


def of_additives(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """Acids that the alkali counts on, solutions that bring water, and additives beyond what their effect was tried at."""
    acids = [(item, grams) for item, grams in recipe.solids if item.alkali_mol_per_kg > 0]
    if acids:
        names = listed([f"{item.name} ({grams:g} g)" for item, grams in acids])
        left = without_acids(recipe)
        heavy = ", lye-heavy" if left < 0 else ""
        verb = "is" if len(acids) == 1 else "are"
        yield COUNTED_ON.format(names=names.capitalize(), counted=verb, left=left, heavy=heavy)
    wet = [item.name for item, _ in late(recipe) if item.water_fraction > 0]
    if wet and judgement.lye_as_mixed - judgement.lye_concentration > NEARLY_MIXED:
        verb = "brings" if len(wet) == 1 else "bring"
        yield AS_MIXED.format(mixed=judgement.lye_as_mixed, names=listed(wet), bring=verb)
    for item, grams in recipe.additives:
        share = 100.0 * grams / recipe.fat_grams
        if item.base in STRETCHING and share > STRETCHING[item.base] * 1.001:
            yield STRETCHED.format(name=item.name.capitalize(), share=share, most=STRETCHING[item.base])
        elif not item.is_liquid and share > item.usual_high * 1.001 + JUST:
            whose = "usual most" if item.most is None else "most that your shelf allows"
            yield MUCH.format(name=item.name.capitalize(), share=share, whose=whose, most=item.usual_high)
    yield from dict.fromkeys(item.caution for item, _ in recipe.additives if item.caution)
    yield from of_liquids(recipe, judgement)


def of_liquids(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """What the fat and the sugar of the liquids do, and how each is made ready."""
    fat = [(item.name, item.fat_fraction * grams) for item, grams in recipe.liquids if item.fat_fraction > 0]
    grams = math.fsum(each for _, each in fat)
    if grams > LITTLE_FAT * recipe.fat_grams:
        told = superfat_with_liquids(recipe, judgement)
        verb = "brings" if len(fat) == 1 else "bring"
        yield FAT.format(names=listed([name for name, _ in fat]).capitalize(), verb=verb, grams=grams, superfat=told)
    sweet = [(item.name, item.sugar_fraction * grams) for item, grams in recipe.liquids if item.sugar_fraction > 0]
    sugar = math.fsum(each for _, each in sweet)
    if sugar > LITTLE_SUGAR * recipe.fat_grams:
        verb = "brings" if len(sweet) == 1 else "bring"
        names = listed([name for name, _ in sweet]).capitalize()
        yield SUGAR.format(names=names, verb=verb, share=100.0 * sugar / recipe.fat_grams)


STRETCHING = {"sodium lactate": 3.0, "salt": 3.0}
"""Additives with levers on the measures, and the per cent of the fats to which these were reckoned (measure_levers)."""


def without_acids(recipe: Recipe) -> float:
    """The superfat in per cent if the acids were forgotten."""
    present = alkali.alkali_mol(
        recipe.sodium_hydroxide * recipe.sodium_purity, recipe.potassium_hydroxide * recipe.potassium_purity
    )
    milk = math.fsum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.liquids)
    return 100.0 * alkali.superfat_left(fat_demand(recipe, "value"), present, milk)


def of_unsure_fats(recipe: Recipe) -> Iterator[str]:
    """Fats in noticeable amounts whose saponification value is unsure."""
    spreads = {
        fat.name: (fat.saponification.value - fat.saponification.low) / fat.saponification.value
        for fat, grams in recipe.fats
        if grams >= NOTICEABLE * recipe.fat_grams and fat.kind != "wax"
    }
    unsure = [name for name, spread in spreads.items() if spread > UNSURE_SPREAD]
    if unsure:
        short = 100.0 * min(spreads[name] for name in unsure)
        yield UNSURE.format(names=listed(unsure).capitalize(), short=short)


def listed(names: list[str]) -> str:
    """Names as a person lists them."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
