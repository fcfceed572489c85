"""What goes into the pot, line by line: fats, alkali and water, as the blend has them and as they are weighed."""

from __future__ import annotations

from optimiser.answers.weighed_lines import AlkaliFigures, FatLine, WaterFigures
from optimiser.model.columns import Columns
from optimiser.recipe.evaluation import Judgement, Recipe


def fat_lines(exact: Recipe, weighed: Recipe, columns: Columns) -> tuple[FatLine, ...]:
    """The fats of the blend, largest share first."""
    on_shelf = {item.fat.name: item for item in columns.stocked}
    on_balance = {fat.name: grams for fat, grams in weighed.fats}
    lines = [
        FatLine(
            fat=fat.name,
            kind=fat.kind,
            share=100.0 * grams / exact.fat_grams,
            grams=grams,
            to_weigh=on_balance.get(fat.name, 0.0),
            cost=on_shelf[fat.name].price * grams / 1000.0,
            lot=on_shelf[fat.name].number,
            lot_of=fat.lot_of,
        )
        for fat, grams in exact.fats
    ]
    return tuple(sorted(lines, key=lambda line: (-round(line.share, 6), line.fat)))


def alkali_figures(exact: Recipe, weighed: Recipe, figures: Judgement) -> AlkaliFigures:
    """Alkali of the exact blend, and what goes on the balance."""
    return AlkaliFigures(
        sodium_hydroxide=exact.sodium_hydroxide,
        potassium_hydroxide=exact.potassium_hydroxide,
        sodium_hydroxide_pure=figures.pure_sodium_hydroxide,
        potassium_hydroxide_pure=figures.pure_potassium_hydroxide,
        sodium_to_weigh=weighed.sodium_hydroxide,
        potassium_to_weigh=weighed.potassium_hydroxide,
        sodium_purity=exact.sodium_purity,
        potassium_purity=exact.potassium_purity,
        superfat=figures.superfat,
        superfat_likely_low=figures.superfat_likely_low,
        superfat_worst_case=figures.superfat_worst_case,
    )


def water_figures(exact: Recipe, weighed: Recipe, figures: Judgement) -> WaterFigures:
    """Water of the exact blend, and what goes on the balance."""
    return WaterFigures(
        grams=exact.water,
        to_weigh=weighed.water,
        total=figures.total_water,
        lye_concentration=figures.lye_concentration,
        water_to_alkali=figures.water_to_alkali,
        share_of_fats=figures.water_share_of_fats,
        lye_volume_ml=figures.lye_volume_ml,
        lye_density=figures.lye_density,
        temperature=figures.lye_temperature,
        boiling_point=figures.lye_boiling_point,
    )
