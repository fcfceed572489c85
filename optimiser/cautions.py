"""What must be said beside every alkali figure, and what this very recipe gives cause to say."""

from __future__ import annotations

import math
from collections.abc import Iterator

from optimiser.recipe import Judgement, Recipe

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

LIKELY_LYE_HEAVY = (
    "LIKELY LYE-HEAVY: if the lots at hand saponify with less alkali than usual, this recipe leaves free alkali "
    "(likely low superfat {low:.1f} %). Raise the superfat, or put the lots' certificates on the shelf."
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
UNSURE = "{names}: published saponification values differ much; a lot certificate on the shelf makes the alkali sure."

UNSURE_SPREAD = 0.05  # of the value: a fat whose low end lies further off than this
NOTICEABLE = 0.10  # share from which such a fat is worth a word


def urgent(judgement: Judgement) -> tuple[str, ...]:
    """What must stand at the very top."""
    if judgement.superfat < -1e-6:
        return (LYE_HEAVY.format(value=judgement.superfat),)
    if judgement.superfat_likely_low < 0:
        return (LIKELY_LYE_HEAVY.format(low=judgement.superfat_likely_low),)
    return ()


def cautions(recipe: Recipe, judgement: Judgement) -> tuple[str, ...]:
    """Everything to say beside the alkali of a recipe: the urgent first, then what every lye calls for, then the rest."""
    return (*urgent(judgement), *LYE, *particular(recipe, judgement))


def particular(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """What only some recipes give cause to say."""
    low, high = judgement.lye_temperature
    if not math.isnan(high):
        yield HOT.format(low=low, high=high)
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
    unsure = [
        fat.name
        for fat, grams in recipe.fats
        if grams >= NOTICEABLE * recipe.fat_grams
        and fat.kind != "wax"
        and fat.saponification.value - fat.saponification.low > UNSURE_SPREAD * fat.saponification.value
    ]
    if unsure:
        yield UNSURE.format(names=listed(unsure).capitalize())


def listed(names: list[str]) -> str:
    """Names as a person lists them."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
