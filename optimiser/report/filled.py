"""What a batch is poured into, and how far it fills it, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.problem.units import Units
from optimiser.report import words
from optimiser.text.quantities import LENGTH

if TYPE_CHECKING:
    from optimiser.problem.batch import Mould
    from optimiser.recipe.batch_size import Filled


def filling(filled: Filled) -> str:
    """How far the batter fills the moulds: "To fill 1140 mL of mould: the batter takes up about 1144 mL (...)."."""
    holds = words.volume(1000.0 * filled.mould.litres)
    takes = words.room(filled.litres, filled.within)
    return f"To fill {holds} of mould: the batter {takes}; it draws together by 1 to 2 % as it sets."


def moulds(mould: Mould, units: Units) -> str:
    """Each mould by its measures, in cm, or in inches beside ounces and pounds: "12 cavities of 95 mL"."""
    return words.joined([one(item, units) for item in (mould, *mould.beside)])


def one(mould: Mould, units: Units) -> str:
    """One shape of mould: how many there are, its measures, and what is left empty of it."""
    many, kinds = ("cavity", "cavities") if mould.is_cavities else ("mould", "moulds")
    whole = words.counted(mould.cavities, many, kinds)
    if mould.each_ml:
        size = f"of {words.volume(mould.each_ml)}"
    elif mould.diameter_cm:
        size = f"{length(mould.diameter_cm, units)} across and {length(mould.depth_cm, units)} deep"
    else:
        sides = (mould.length_cm, mould.width_cm, mould.depth_cm)
        size = f"of {' x '.join(figure(side, units) for side in sides)}{words.GLUE}{unit(units)}"
    empty = f", {100.0 * mould.headroom:.3g} % of it left empty" if mould.headroom else ""
    return f"{whole} {size}{empty}"


def figure(centimetres: float, units: Units) -> str:
    """A length in four digits."""
    return f"{centimetres if units.is_metric else centimetres / LENGTH['in']:.4g}"


def length(centimetres: float, units: Units) -> str:
    """A length with its unit."""
    return f"{figure(centimetres, units)}{words.GLUE}{unit(units)}"


def unit(units: Units) -> str:
    """What lengths are told in."""
    return "cm" if units.is_metric else "in"
