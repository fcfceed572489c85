"""Alkali, water, the lye and the cautions that stand beside them, as data."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.recipe.cautions import standing
from optimiser.report.json.parts import Json, grams, number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.answers.weighed_lines import AlkaliFigures, WaterFigures
    from optimiser.recipe.evaluation import Recipe


def alkali_part(alkali: AlkaliFigures) -> Json:
    """The alkali of the exact blend."""
    return {
        "sodium_hydroxide_g": grams(alkali.sodium_hydroxide),
        "potassium_hydroxide_g": grams(alkali.potassium_hydroxide),
        "superfat": number(alkali.superfat),
        "superfat_likely_low": number(alkali.superfat_likely_low),
        "likely_superfat": number(alkali.superfat_likely_low),
        "superfat_worst_case": number(alkali.superfat_worst_case),
        "sodium_hydroxide_to_weigh_g": grams(alkali.sodium_to_weigh),
        "potassium_hydroxide_to_weigh_g": grams(alkali.potassium_to_weigh),
        "sodium_hydroxide_pure_g": grams(alkali.sodium_hydroxide_pure),
        "potassium_hydroxide_pure_g": grams(alkali.potassium_hydroxide_pure),
        "sodium_hydroxide_purity": number(100.0 * alkali.sodium_purity),
        "potassium_hydroxide_purity": number(100.0 * alkali.potassium_purity),
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


def water_part(water: WaterFigures) -> Json:
    """Water and lye of the exact blend."""
    return {
        "grams": grams(water.grams),
        "lye_concentration": number(water.lye_concentration),
        "water_to_alkali": number(water.water_to_alkali),
        "share_of_fats": number(water.share_of_fats),
        "total_g": grams(water.total),
        "to_weigh_g": grams(water.to_weigh),
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
