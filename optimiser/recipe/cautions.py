"""What this very recipe gives cause to say beside its alkali; what every alkali calls for is in `handling`."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from optimiser.materials import alkali
from optimiser.materials.lye import POTASSIUM, SODIUM
from optimiser.measures.measures import lever_ranges, levers
from optimiser.measures.profiles import HARD_WAXES
from optimiser.measures.sides import Side
from optimiser.measures.telling import told
from optimiser.recipe import handling
from optimiser.recipe.balance import places
from optimiser.recipe.bar_values import amount_of
from optimiser.recipe.evaluation import Judgement, Recipe, at_purest, fat_demand, judge, late, superfat_with_liquids
from optimiser.recipe.jug import COOL, chilled
from optimiser.recipe.kinds import is_paste, lacking
from optimiser.recipe.naming import listed
from optimiser.recipe.unsure_fats import of_borrowed_figures, of_unsure_fats
from optimiser.recipe.weights import decimals_of, of_jug, rough

if TYPE_CHECKING:
    from optimiser.problem.designs import Design

NO_LYE = (
    "NO LYE: {mixed:.0f} % alkali in the water to weigh is more than dissolves (about 50 % near room temperature). "
    "Weigh more water."
)
LIKELY_LYE_HEAVY = (
    "LIKELY LYE-HEAVY: ordinary lots of these fats and this alkali stray from the table by enough to leave free alkali "
    "(likely superfat {low} %). Any of three things cures it: about {more:.1f} points more superfat; certificates of analysis with a narrow "
    "tolerance on the shelf, for the fats and for the alkali; or fats whose lots lie closer together."
)
LYE_HEAVY = "LYE-HEAVY: more alkali than the fats can take (superfat {value} %). Do not make this; it would burn skin."
NO_SOAP = (
    "NO SOAP: no alkali is left for the fats (superfat {value:.0f} %): the acids take all of it first. Nothing "
    "would turn to soap: do not make this."
)
WORST = (
    "If every fat lay at the very low end of its published range, the alkali at its purest and acids at their weakest, all at "
    "once, {short} % more alkali than fat would be left. {cure}"
)
CURE = "Certificates of analysis of the lots, or about {more:.1f} points more superfat, cure that."
CURE_BY_LOT = "Only certificates of analysis of the lots will do against that, the one of the {name} first."
STRONG = "A lye of {lye:.1f} % is stronger than most makers use (25-40 %, common practice): it thickens the batter fast and gets very hot."
WEAK = "A lye of {lye:.1f} % is weaker than most makers use (25-40 %, common practice): slow to set, shrinks as it dries, ash is likely."
MADE_AT_ONCE = "Made at once from 20 degC"
HOT = f"{MADE_AT_ONCE}, lye may reach {{low:.0f}}-{{high:.0f}} degC: heat-proof vessel, no aluminium; add slowly."
MAY_BOIL = (
    f"{MADE_AT_ONCE}, lye could reach about {{low:.0f}} degC and may boil (at about {{boil:.0f}} degC): heat-proof vessel with "
    "room to spare, no aluminium; add little by little."
)
BOILS = (
    f"{MADE_AT_ONCE}, lye will boil, at about {{boil:.0f}} degC, and spit: heat-proof vessel with room to spare, no aluminium; "
    "add little by little, and let it cool in between or stand it in cold water."
)
GOES_INTO = "The alkali goes into"
FROZEN = f"{GOES_INTO} {{names}}: have {{it}} frozen to slush over ice, add little by little and keep below {{cool:.0f}} degC"
UNFROZEN = "; unfrozen, at once, it could reach {high:.0f} degC. Heat-proof vessel, no aluminium."
WAX = "{names}: hardly saponified in the cold process, so only the free acid is counted towards alkali; the rest stays in the bar as wax."
WAX_LEVER = "Measures take hard waxes into account up to 2 % of the fats; what is beyond counts as no more."
ACIDS = "{names}: free fatty acid turns to soap on contact and can seize the batter; melt it in fully and have the mould ready."
COUNTED_ON = (
    "{names} {counted} counted on to take {whose} share of the alkali: left out, the superfat would be {left:.1f} %{heavy}. "
    "Weigh {them}, and put {them} in."
)
AS_MIXED = "The lye is mixed at {mixed:.0f} %; {names} {bring} the rest of the water later."
AS_PURE = (
    "Potassium hydroxide is taken as 100 % pure, and is usually sold at about {usual:.0f} %: weighed as told here, such a one leaves a "
    "superfat of about {left:.0f} %. Write its purity, from the label or the certificate, on the shelf."
)
GREASY = "A superfat of {value:.0f} % leaves a soft, greasy bar that goes rancid early."
OF_POTASSIUM = "With {share:.0f} % of the alkali's moles as potassium hydroxide ({mass:.0f} % of its mass) this is "
SOFTER = OF_POTASSIUM + "softer than a soda bar; its figures are stretched."
PASTE = OF_POTASSIUM + "a paste: hardness, times and bars do not apply."
STRETCHED = "{name} at {share:.1f} % of the fats: its effect on the measures is only known to {most:g} %; what is beyond counts as no more."
SALT_BAR = "{name} at {share:.1f} % of the fats: told as a salt bar (from {most:g} % salt on)."
NEAR_SALT_BAR = "{name} at {share:.1f} % of the fats: told as on the way to a salt bar (from {most:g} % salt on)."
MUCH = (
    "{name} at {share:.1f} % of the fats is above the {whose} ({most:g} %): check it with what its supplier advises and with "
    "its safety data sheet."
)
FAT = (
    "{names} {verb} {weight} of fat beyond the superfat told: with it about {superfat:.1f} % of all fat is left over. "
    "None of it is counted on to take alkali."
)
SUGAR = (
    "{names} {verb} sugar, {share:.1f} % of the fats: it heats lye and batter and browns; work cool, and keep the mould from "
    "heating through unless gel is meant."
)

STRONGEST = (
    50.0  # % of the lye as mixed: sodium hydroxide's solubility near room temperature (CRC Handbook, from memory)
)
ORDINARY_LYE = 40.0  # %: a stronger one is more than most makers use (common practice, no source)
BLUR = 0.05  # % of the lye: what a balance may make of a lye that is just as strong as it may be
USUAL_POTASSIUM = 0.90  # of the mass: flakes as sold (from memory; pellets hold about 85 %)
MOST_SUPERFAT = 25.0  # %
NOTHING_TAKEN = 100.0 - 1e-6  # % superfat: all of the fat is left as it is
MOST_CURE = 3.0  # points of superfat: nobody makes a batch sure with more than this
MOST_POTASSIUM = 20.0  # % of the alkali's moles
NEARLY_MIXED = 1.0  # % of the lye: less than this apart is the same
HARDLY = 0.005  # per cent: a superfat nearer to none than this is told in words
JUST = 1e-6  # per cent: what binary fractions add to a figure just met
LITTLE_FAT = 0.001  # of the fats: less fat in the liquids is not worth a word
LITTLE_SUGAR = 0.005  # of the fats: the same of sugar


def urgent(judgement: Judgement) -> tuple[str, ...]:
    """What must stand at the very top."""
    out = []
    if judgement.superfat < -1e-6:
        out.append(LYE_HEAVY.format(value=beside_none(judgement.superfat)))
    elif judgement.superfat_likely_low < 0:
        out.append(
            LIKELY_LYE_HEAVY.format(low=beside_none(judgement.superfat_likely_low), more=more_superfat(judgement))
        )
    if judgement.superfat >= NOTHING_TAKEN:
        out.append(NO_SOAP.format(value=judgement.superfat))
    if judgement.lye_as_mixed > STRONGEST + BLUR:
        out.append(NO_LYE.format(mixed=judgement.lye_as_mixed))
    return tuple(out)


def beside_none(percent: float) -> str:
    """A superfat in a tenth of a per cent; one that is hardly above or below nothing in as many digits as it takes to say so."""
    if not percent:
        return "0.0"
    if abs(percent) < HARDLY:
        return f"just {'over' if percent > 0.0 else 'under'} 0.0"
    side = Side.AT_MOST if percent > 0.0 else Side.AT_LEAST
    return told(percent, 0.0, side, 1, met=False)


def more_superfat(judgement: Judgement) -> float:
    """About how many points more of superfat bring the likely one to nothing, rounded up."""
    return math.ceil(-10.0 * judgement.superfat_likely_low - JUST) / 10.0


def is_unfit(judgement: Judgement) -> bool:
    """Whether a recipe must not be made: more alkali than fat, none for the fats, or more than the water can dissolve."""
    is_soap = -1e-6 <= judgement.superfat < NOTHING_TAKEN
    return not is_soap or judgement.lye_as_mixed > STRONGEST + BLUR


def cautions(recipe: Recipe, judgement: Judgement, techniques: Sequence[Design] = ()) -> tuple[str, ...]:
    """Everything to say beside the alkali of a recipe: the urgent first, what its designs lack, what its alkalis call for, the rest."""
    return (*urgent(judgement), *lacking(recipe, techniques), *standing(recipe), *particular(recipe, judgement))


def alkalis(recipe: Recipe) -> tuple[str, ...]:
    """The alkalis in use."""
    grams = {SODIUM: recipe.sodium_hydroxide, POTASSIUM: recipe.potassium_hydroxide}
    return tuple(name for name, weight in grams.items() if weight > 0)


def standing(recipe: Recipe) -> tuple[str, ...]:
    """What its alkalis call for, whatever else is in it, in full: hazards, handling, vessels, first aid."""
    return handling.in_full(alkalis(recipe))


def in_brief(recipe: Recipe) -> tuple[str, str]:
    """The same in two lines."""
    return handling.in_brief(alkalis(recipe))


def in_brief_elsewhere(recipe: Recipe) -> tuple[str, str]:
    """The same in two lines, where a page has no steps to tell first aid."""
    return handling.in_brief_elsewhere(alkalis(recipe))


def particular(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """What only some recipes give cause to say."""
    yield from of_heat(recipe, judgement)
    if recipe.potassium_hydroxide > 0 and recipe.potassium_purity >= 1.0:
        left = judge(recipe._replace(potassium_purity=USUAL_POTASSIUM)).superfat
        yield AS_PURE.format(usual=100.0 * USUAL_POTASSIUM, left=left)
    yield from of_additives(recipe, judgement)
    left = max(judgement.superfat, superfat_with_liquids(recipe, judgement))
    if left > MOST_SUPERFAT:
        yield GREASY.format(value=left)
    if judgement.values["potassium_share"] > MOST_POTASSIUM:
        words = PASTE if is_paste(recipe, judgement.values) else SOFTER
        yield words.format(share=judgement.values["potassium_share"], mass=potassium_by_mass(judgement))
    if judgement.superfat_worst_case < 0 <= judgement.superfat_likely_low:
        yield at_worst(recipe, -judgement.superfat_worst_case)
    if judgement.lye_concentration > ORDINARY_LYE + JUST:
        yield STRONG.format(lye=judgement.lye_concentration)
    elif judgement.lye_concentration < 25.0 - BLUR and not is_paste(recipe, judgement.values):
        yield WEAK.format(lye=judgement.lye_concentration)
    waxes = [(fat.name, grams) for fat, grams in recipe.fats if fat.kind == "wax"]
    if waxes:
        yield WAX.format(names=listed([name for name, _ in waxes]).capitalize())
    if amount_of(recipe, HARD_WAXES) > lever_ranges()[HARD_WAXES].high * 1.001:
        yield WAX_LEVER
    acids = [fat.name for fat, _ in recipe.fats if fat.kind == "fatty acid"]
    if acids:
        yield ACIDS.format(names=listed(acids).capitalize())
    yield from of_borrowed_figures(recipe)
    yield from of_unsure_fats(recipe)


def at_worst(recipe: Recipe, short: float) -> str:
    """How much alkali would be left at the very worst, and what cures it; beyond a few points no superfat should."""
    more = math.ceil(10.0 * short - JUST) / 10.0
    cure = CURE.format(more=more) if more <= MOST_CURE else CURE_BY_LOT.format(name=least_sure(recipe))
    return WORST.format(short=beside_none(short), cure=cure)


def least_sure(recipe: Recipe) -> str:
    """The fat, alkali or acid that carries most of what may go wrong at once: how far it may lie off, in moles of alkali."""
    strays = {
        fat.name: alkali.demand(fat.saponification.value - fat.saponification.low) * grams / 1000.0
        for fat, grams in recipe.fats
    }
    told = (recipe.sodium_hydroxide * recipe.sodium_purity, recipe.potassium_hydroxide * recipe.potassium_purity)
    sodium, potassium = at_purest(recipe)
    strays[SODIUM] = sodium - alkali.alkali_mol(told[0], 0.0)
    strays[POTASSIUM] = potassium - alkali.alkali_mol(0.0, told[1])
    for item, grams in recipe.additives:
        strays[item.name] = (item.alkali_mol_per_kg - item.alkali_low_mol_per_kg) * grams / 1000.0
    return max(strays, key=lambda name: strays[name])


def potassium_by_mass(judgement: Judgement) -> float:
    """Potassium hydroxide as a share of the mass of pure alkali, per cent; makers often mean this one."""
    potassium = judgement.pure_potassium_hydroxide
    return 100.0 * potassium / (judgement.pure_sodium_hydroxide + potassium)


def of_heat(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """How hot the lye gets that is made at once, and whether it boils, or that what it is made with is frozen first.

    Nothing of heat where no table reaches.
    """
    low, high = judgement.lye_temperature
    if cold := chilled(recipe):
        frozen = FROZEN.format(names=listed(cold), it="it" if len(cold) == 1 else "them", cool=COOL)
        if not (math.isnan(high) or judgement.lye_boils):
            yield frozen + UNFROZEN.format(high=high)
            return
        yield f"{frozen}."
    words = HOT if not judgement.lye_boils else BOILS if low >= judgement.lye_boiling_point else MAY_BOIL
    if not math.isnan(high):
        yield words.format(low=low, high=high, boil=judgement.lye_boiling_point)


def acids_counted_on(recipe: Recipe) -> Iterator[str]:
    """The acids that take alkali which is weighed for them, and what would be left of the superfat without them."""
    acids = [(item, grams) for item, grams in recipe.solids if item.alkali_mol_per_kg > 0]
    if acids:
        names = listed([f"{item.name} ({own_weight(recipe, grams)})" for item, grams in acids])
        left = without_acids(recipe)
        heavy = ", lye-heavy" if left < 0 else ""
        verb, whose, them = ("is", "its", "it") if len(acids) == 1 else ("are", "their", "them")
        told = names[0].upper() + names[1:]
        yield COUNTED_ON.format(names=told, counted=verb, whose=whose, left=left, heavy=heavy, them=them)


def own_weight(recipe: Recipe, grams: float) -> str:
    """A weight in the digits that it has, and no more than the table beside it tells; of less than those show in all of them."""
    weights = of_jug(recipe)
    if not recipe.units.is_metric:
        return weights.told(grams)
    own = decimals_of(recipe.units, places([grams]), 0.0)
    shows = grams / recipe.units.grams >= 10.0**-weights.decimals
    return weights._replace(decimals=min(own, weights.decimals) if shows else own).told(grams)


def of_additives(recipe: Recipe, judgement: Judgement) -> Iterator[str]:
    """Acids that the alkali counts on, solutions that bring water, and additives beyond what their effect was tried at."""
    yield from acids_counted_on(recipe)
    wet = [item.name for item, _ in late(recipe) if item.water_fraction > 0]
    if wet and judgement.lye_as_mixed - judgement.lye_concentration > NEARLY_MIXED:
        verb = "brings" if len(wet) == 1 else "bring"
        yield AS_MIXED.format(mixed=judgement.lye_as_mixed, names=listed(wet), bring=verb)
    for item, grams in recipe.additives:
        share = 100.0 * grams / recipe.fat_grams
        if item.base in LEVELLING and share > lever_ranges()[item.base].high * 1.001:
            end = levers("hardness").curves[item.base][-1][0]
            salt_bar = SALT_BAR if share >= end - JUST else NEAR_SALT_BAR
            words = salt_bar if end > lever_ranges()[item.base].high else STRETCHED
            yield words.format(name=item.name.capitalize(), share=share, most=end)
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
        yield FAT.format(
            names=listed([name for name, _ in fat]).capitalize(),
            verb=verb,
            weight=rough(recipe.units).told(grams),
            superfat=told,
        )
    sweet = [(item.name, item.sugar_fraction * grams) for item, grams in recipe.liquids if item.sugar_fraction > 0]
    sugar = math.fsum(each for _, each in sweet)
    if sugar > LITTLE_SUGAR * recipe.fat_grams:
        verb = "brings" if len(sweet) == 1 else "bring"
        names = listed([name for name, _ in sweet]).capitalize()
        yield SUGAR.format(names=names, verb=verb, share=100.0 * sugar / recipe.fat_grams)


LEVELLING = ("sodium lactate", "salt")
"""Additives that harden, and that people take more of than their effect is known for (lever_ranges)."""


def without_acids(recipe: Recipe) -> float:
    """The superfat in per cent if the acids were forgotten."""
    present = alkali.alkali_mol(
        recipe.sodium_hydroxide * recipe.sodium_purity, recipe.potassium_hydroxide * recipe.potassium_purity
    )
    milk = math.fsum(item.alkali_mol_per_kg * grams / 1000.0 for item, grams in recipe.liquids)
    return 100.0 * alkali.superfat_left(fat_demand(recipe), present, milk)
