"""An answer as data: plain dictionaries of numbers and words, and the one JSON document they become.

Grams to a thousandth, shares to six decimals summing to 100, concentrations and superfats in per cent.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.measures.differences import is_felt, within
from optimiser.recipe.evaluation import superfat_with_liquids
from optimiser.report.json import label as label_data
from optimiser.report.json.buying import buying_part
from optimiser.report.json.gave_way import aside_part, far_off_part
from optimiser.report.json.lye import alkali_of, alkali_part, cautions_part, lye_part, water_part
from optimiser.report.json.near import near_part
from optimiser.report.json.parts import (
    FORMAT,
    Json,
    ash_part,
    certificate_part,
    concession_part,
    cost_part,
    goal_part,
    grams,
    hard_water_part,
    head,
    lot_part,
    measures_part,
    member_part,
    money,
    number,
    preference_part,
    shares_to_hundred,
    times_part,
    to_weigh_part,
    unused_part,
    warnings_part,
)
from optimiser.report.json.use_up import use_up_part

if TYPE_CHECKING:
    from optimiser.answers.choice_results import Choices
    from optimiser.answers.compare import Compared
    from optimiser.answers.curve_values import Curve, CurveGrid
    from optimiser.answers.reach_results import Reach
    from optimiser.answers.resize import ResizedRecipe
    from optimiser.answers.results import Blend, Feasible, NoBlend, WeighedRecipe
    from optimiser.answers.sweep_results import Sweep
    from optimiser.recipe.evaluation import Judgement, Recipe


def reach(story: Reach) -> Json:
    """The data of the room that the goals leave."""
    return {
        "format": FORMAT,
        "status": "feasible",
        "title": story.title,
        "currency": story.currency,
        "shelf": story.shelf_title,
        "complete": story.complete,
        "reach": [
            {
                "id": line.id,
                "words": line.words,
                "unit": line.unit,
                "low": number(line.low),
                "high": number(line.high),
                "now": number(line.now),
                "low_limit": number(line.low_limit),
                "high_limit": number(line.high_limit),
            }
            for line in story.lines
        ],
        **warnings_part(story.warnings),
    }


def curve(story: Curve) -> Json:
    """The data of what one limit costs."""
    from optimiser.report.json.curve import curve_part

    return {"format": FORMAT, "status": "curve", **curve_part(story), **warnings_part(story.warnings)}


def grid(story: CurveGrid) -> Json:
    """The data of what two limits cost together."""
    from optimiser.report.json.curve import grid_part

    return {"format": FORMAT, "status": "curve", **grid_part(story), **warnings_part(story.warnings)}


def swept(story: Sweep) -> Json:
    """The data of goal files over price scenarios."""
    from optimiser.report.json.sweep import sweep_part

    return {"format": FORMAT, "status": "swept", **sweep_part(story), **warnings_part(story.warnings)}


def feasible(story: Feasible) -> Json:
    """The data of goals that some blend meets."""
    far = [far_off_part(item) for item in story.far_off]
    return {"format": FORMAT, "status": "feasible", "far_off": far, **warnings_part(story.warnings)}


def blend(story: Blend) -> Json:
    """The data of a blend that meets its goals."""
    shares = shares_to_hundred([line.share for line in story.fats])
    return {
        **head(story, "optimal"),
        "shelf": story.shelf_title,
        "cure_weeks": number(story.recipe.cure_weeks),
        "fats": [
            {
                "fat": line.lot_of or line.fat,
                "share": share,
                "grams": grams(line.grams),
                "cost": money(line.cost),
                "kind": line.kind,
                "to_weigh_g": grams(line.to_weigh),
                "lot": line.lot or None,
            }
            for line, share in zip(story.fats, shares, strict=True)
        ],
        "alkali": {**alkali_part(story.alkali), **tolerances_part(story.recipe, story.purity_basis)},
        "water": water_part(story.water),
        "additives": [
            {
                "additive": line.additive,
                "grams": grams(line.grams),
                "cost": money(line.cost),
                "share_of_fats": number(line.share),
                "to_weigh_g": grams(line.to_weigh),
            }
            for line in story.additives
        ],
        "liquids": [
            {
                "liquid": line.liquid,
                "grams": grams(line.grams),
                "cost": money(line.cost),
                "share_of_jug": number(line.share),
                "to_weigh_g": grams(line.to_weigh),
            }
            for line in story.liquids
        ],
        **with_liquids_part(story.recipe, story.weighed),
        "measures": measures_part(story.measures),
        "figures": {name: number(value) for name, value in sorted(story.figures.items())},
        "cost": cost_part(story.cost),
        "goals": [goal_part(line) for line in story.goals],
        "prefer": [preference_part(line) for line in story.preferences],
        **({"use_up": [use_up_part(line) for line in story.use_up]} if story.use_up else {}),
        "unused": [unused_part(line) for line in story.unused],
        "certificate": certificate_part(story.proof),
        "ash": ash_part(story.ash),
        "hard_water": hard_water_part(story.water_hardness),
        "counted": story.is_counted,
        "to_weigh": to_weigh_part(story),
        "cautions": cautions_part(story.cautions, story.recipe),
        "steps": list(story.steps),
        "times": times_part(story.times),
        "notes": list(story.notes),
        "stood_aside": [aside_part(item) for item in story.stood_aside],
        "far_off": [far_off_part(item) for item in story.far_off],
        **({} if story.near is None else {"near": near_part(story.near)}),
        **({} if story.buying is None else buying_part(story.buying)),
        **warnings_part(story.warnings),
    }


def choices(story: Choices) -> Json:
    """The data of a few blends nearly as cheap as the cheapest."""
    from optimiser.report.json.choices import choices_part

    return choices_part(story, blend)


labelled = label_data.labelled


def no_blend(story: NoBlend) -> Json:
    """The data of goals that no blend meets together."""
    return {
        **head(story, "infeasible"),
        "shelf": story.shelf_title,
        "clashes": [[str(member.id) for member in clash] for clash in story.clashes],
        "complete": story.complete,
        "reaches_complete": story.reaches_complete,
        "concessions_complete": story.concessions_complete,
        "clashes_found": len(story.clashes),
        "clashes_not_minimal": list(story.loose),
        "clash_details": [[member_part(member) for member in clash] for clash in story.clashes],
        "concessions": [concession_part(concession) for concession in story.concessions],
        "certificate": {"proves": "infeasible", "margin": number(story.margin, 12), "exact": story.exact},
        **warnings_part(story.warnings),
    }


def weighed(story: WeighedRecipe) -> Json:
    """The data of a recipe in hand: the keys of a blend as far as they apply."""
    recipe, judged = story.recipe, story.judgement
    shares = shares_to_hundred([100.0 * weight / recipe.fat_grams for _, weight in recipe.fats])
    return {
        "format": FORMAT,
        "status": "weighed",
        "title": story.title,
        "currency": story.currency,
        "recipe_file": story.recipe_file,
        "meets_goals": story.meets_goals,
        "cure_weeks": number(recipe.cure_weeks),
        "fats": [
            {"fat": fat.known_as, "share": share, "grams": grams(weight), "kind": fat.kind, **lot_part(fat)}
            for (fat, weight), share in zip(recipe.fats, shares, strict=True)
        ],
        "alkali": {
            **alkali_of(recipe),
            **tolerances_part(recipe, story.purity_basis),
            "superfat": number(judged.superfat),
            "superfat_likely_low": number(judged.superfat_likely_low),
            "likely_superfat": number(judged.superfat_likely_low),
            "superfat_worst_case": number(judged.superfat_worst_case),
        },
        "water": {
            "grams": grams(recipe.water),
            "total_g": grams(judged.total_water),
            "lye_concentration": number(judged.lye_concentration),
            "water_to_alkali": number(judged.water_to_alkali),
            "share_of_fats": number(judged.water_share_of_fats),
            **lye_part(judged.lye_volume_ml, judged.lye_density, judged.lye_temperature, judged.lye_boiling_point),
        },
        "additives": [
            {
                "additive": item.name,
                "grams": grams(weight),
                "share_of_fats": number(100.0 * weight / recipe.fat_grams),
            }
            for item, weight in recipe.solids
        ],
        "liquids": [
            {"liquid": item.name, "grams": grams(weight), "share_of_jug": number(100.0 * weight / recipe.jug)}
            for item, weight in recipe.liquids
        ],
        **with_liquids_part(recipe, judged),
        "measures": measures_part(story.measures),
        "figures": {name: number(value) for name, value in sorted(judged.values.items())},
        "cost": None if story.cost is None else cost_part(story.cost),
        "cured_g": grams(judged.cured_grams),
        "ash": ash_part(story.ash),
        "hard_water": hard_water_part(story.water_hardness),
        "goals": [goal_part(line) for line in story.goals],
        "prefer": [preference_part(line) for line in story.preferences],
        "steps": list(story.steps),
        "times": times_part(story.times),
        "cautions": cautions_part(story.cautions, story.recipe),
        "notes": list(story.notes),
        **warnings_part(story.warnings),
    }


def resized(story: ResizedRecipe) -> Json:
    """The data of a recipe for another batch: those of a recipe in hand, and what it was brought to."""
    return {
        **weighed(story.story),
        "status": "resized",
        "to": story.asked,
        "times": number(story.times),
        "batter_litres": number(story.litres, 4),
        "batter_litres_within": number(story.volume_within * story.litres, 4),
        "before": {"fats_g": grams(story.fats_before), "superfat": number(story.superfat_before)},
    }


def compared(story: Compared) -> Json:
    """The data of bars side by side: each in the shape of a blend, a recipe in hand, or goals without a blend."""
    return {
        "format": FORMAT,
        "status": "compared",
        "complete": story.is_complete,
        "recipes": [
            {
                "title": bar.title,
                "file": bar.file,
                "letter": bar.letter,
                "blend": document_of(bar.story),
                "grams_per_kilo_of_fats": per_kilo_part(bar.recipe),
                "differs": {
                    name: {"by": number(by), "allowed": within(name), "felt": is_felt(name, by)}
                    for name, by in bar.differs.items()
                },
                "dearer_per_kg": number(bar.dearer),
                "says": list(bar.says),
                "contains": {tag: list(names) for tag, names in bar.contains.items()},
            }
            for bar in story.bars
        ],
        **warnings_part(story.warnings),
    }


def document_of(story: Blend | NoBlend | WeighedRecipe) -> Json:
    """The data of one bar; where no blend meets its goals, why."""
    from optimiser.answers.results import Blend, NoBlend

    if isinstance(story, NoBlend):
        return no_blend(story)
    return blend(story) if isinstance(story, Blend) else weighed(story)


def per_kilo_part(recipe: Recipe | None) -> Json | None:
    """Alkali, water and additives for a kilo of fats; None where there is no blend."""
    if recipe is None:
        return None
    part = 1000.0 / recipe.fat_grams
    return {
        "sodium_hydroxide_g": grams(part * recipe.sodium_hydroxide),
        "potassium_hydroxide_g": grams(part * recipe.potassium_hydroxide),
        "water_g": grams(part * recipe.water),
        "additives": {item.name: grams(part * weight) for item, weight in recipe.additives},
    }


def tolerances_part(recipe: Recipe, basis: tuple[str, str]) -> Json:
    """How much purer each alkali may be than told, in points of per cent, and whether that is told or taken by its grade."""
    sodium = max(0.0, recipe.sodium_purest - recipe.sodium_purity)
    potassium = max(0.0, recipe.potassium_purest - recipe.potassium_purity)
    return {
        "sodium_hydroxide_purity_tolerance": number(100.0 * sodium),
        "potassium_hydroxide_purity_tolerance": number(100.0 * potassium),
        "sodium_hydroxide_purity_basis": basis[0],
        "potassium_hydroxide_purity_basis": basis[1],
    }


def with_liquids_part(recipe: Recipe, judged: Judgement) -> Json:
    """The superfat with the fat of liquids, where there are any."""
    return {"superfat_with_liquids": number(superfat_with_liquids(recipe, judged))} if recipe.liquids else {}
