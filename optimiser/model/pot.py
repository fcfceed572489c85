"""What all that goes into the pot takes up and weighs, as vectors over the columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.materials.batter import POTASSIUM_VOLUME, SODIUM_VOLUME, WATER_VOLUME

if TYPE_CHECKING:
    from optimiser.maths.arrays import Vector
    from optimiser.model.columns import Columns


def volume(columns: Columns) -> Vector:
    """Batter in litres per kg fats, for moulds: fats at 40 degC, lye by the volumes its parts take up in a 33 % lye."""
    out = columns.of_fats([1.0 / fat.density for fat in columns.fats])
    out[columns.index["water"]] = WATER_VOLUME
    out[columns.index["sodium hydroxide"]] = SODIUM_VOLUME
    out[columns.index["potassium hydroxide"]] = POTASSIUM_VOLUME
    for place, item in zip(columns.additive_places, columns.additives, strict=True):
        out[place] = item.litres * (1.0 - item.water_fraction)  # its water is in that of the batter
    return out


def batter(columns: Columns) -> Vector:
    """All that goes into the pot, in kg per kg fats: alkali with its impurities, and no water twice."""
    out = columns.constant(1.0) + columns.at("water") - columns.water_brought
    for name in ("sodium hydroxide", "potassium hydroxide"):
        stocked = columns.shelf.alkalis.get(name)
        out[columns.index[name]] += 1.0 / (1.0 if stocked is None else stocked.purity)
    out[columns.additive_places] += 1.0
    return out
