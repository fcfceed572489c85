"""Alkali, water, the lye and the cautions that stand beside them, as data."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.recipe.cautions import standing
from optimiser.report.json.parts import Json, grams, number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.answers.results import AlkaliFigures, WaterFigures
    from optimiser.recipe.evaluation import Judgement, Recipe


def alkali_part(alkali: AlkaliFigures, weighed: Judgement) -> Json:
    """The alkali to weigh and the superfats that it leaves; `exact` is the blend before any rounding."""
    return {
        "sodium_hydroxide_g": grams(alkali.sodium_to_weigh),
        "potassium_hydroxide_g": grams(alkali.potassium_to_weigh),
        "superfat": number(weighed.superfat),
        "superfat_likely_low": number(weighed.superfat_likely_low),
        "likely_superfat": number(weighed.superfat_likely_low),
        "superfat_worst_case": number(weighed.superfat_worst_case),
        "sodium_hydroxide_to_weigh_g": grams(alkali.sodium_to_weigh),
        "potassium_hydroxide_to_weigh_g": grams(alkali.potassium_to_weigh),
        "sodium_hydroxide_pure_g": grams(alkali.sodium_to_weigh * alkali.sodium_purity),
        "potassium_hydroxide_pure_g": grams(alkali.potassium_to_weigh * alkali.potassium_purity),
        "sodium_hydroxide_purity": number(100.0 * alkali.sodium_purity),
        "potassium_hydroxide_purity": number(100.0 * alkali.potassium_purity),
        "exact": {
            "sodium_hydroxide_g": grams(alkali.sodium_hydroxide),
            "potassium_hydroxide_g": grams(alkali.potassium_hydroxide),
            "sodium_hydroxide_pure_g": grams(alkali.sodium_hydroxide_pure),
            "potassium_hydroxide_pure_g": grams(alkali.potassium_hydroxide_pure),
            "superfat": number(alkali.superfat),
            "likely_superfat": number(alkali.superfat_likely_low),
            "superfat_worst_case": number(alkali.superfat_worst_case),
        },
    }


def alkali_of(recipe: Recipe) -> Json:
    """The alkali of a recipe: as weighed, pure, and how pure, in grams and per cent."""
    return {
        "sodium_hydroxide_g": grams(recipe.sodium_hydroxide),
        "potassium_hydroxide_g": grams(recipe.potassium_hydroxide),
        "sodium_hydroxide_pure_g": grams(recipe.sodium_hydroxide * recipe.sodium_purity),
        "potassium_hydroxide_pure_g": grams(recipe.potassium_hydroxide * recipe.potassium_purity),
        "sodium_hydroxide_purity": number(100.0 * recipe.sodium_purity),
        "potassium_hydroxide_purity": number(100.0 * recipe.potassium_purity),
        "step_g": number(recipe.alkali_step) if recipe.alkali_step else None,
    }


def water_part(water: WaterFigures, weighed: Judgement) -> Json:
    """Water to weigh and the lye that it makes; `exact_g` is that of the blend before any rounding."""
    return {
        "grams": grams(water.to_weigh),
        "lye_concentration": number(weighed.lye_concentration),
        "water_to_alkali": number(weighed.water_to_alkali),
        "share_of_fats": number(weighed.water_share_of_fats),
        "total_g": grams(weighed.total_water),
        "to_weigh_g": grams(water.to_weigh),
        "exact_g": grams(water.grams),
        **lye_part(water.lye_volume_ml, water.lye_density, water.temperature, water.boiling_point),
    }


def lye_part(volume: float, density: float, temperature: tuple[float, float], boiling_point: float) -> Json:
    """The lye solution; what it could reach is no more than where it boils."""
    return {
        "lye_volume_ml": number(volume, 1),
        "lye_density_g_per_ml": number(density, 4),
        "lye_temperature_degC": {"low": number(temperature[0], 1), "high": number(temperature[1], 1)},
        "lye_boiling_point_degC": number(boiling_point, 1),
        "lye_boils": None if math.isnan(boiling_point) else temperature[1] >= boiling_point,
    }


def cautions_part(told: Sequence[str], recipe: Recipe) -> list[str]:
    """The cautions; those that the recipe's alkalis call for are never missing, first aid among them."""
    missing = [caution for caution in standing(recipe) if caution not in told]
    return [*told, *missing]
