"""What is to be used up in this batch, as rows that may fall short."""

from __future__ import annotations

import math
from collections.abc import Iterator

from optimiser.maths.arrays import Vector
from optimiser.maths.units import MASS
from optimiser.measures.sides import Side
from optimiser.model.columns import Columns
from optimiser.model.rows import Row, kilos
from optimiser.problem.goals import GoalSheet, UseUp
from optimiser.problem.places import in_file
from optimiser.problem.wishes import Said

WHY = "it is to be used up"


def use_up_rows(columns: Columns, sheet: GoalSheet) -> Iterator[list[Row]]:
    """A row for each fat that is to be used up, in order: what this batch takes of all its lots, kg."""
    for wish in sheet.use_up:
        yield [use_up_row(columns, wish)]


def use_up_row(columns: Columns, wish: UseUp) -> Row:
    """The row of one of them."""
    top, bottom = kilos(columns, in_hand(columns, wish.key))
    limit, said = wanted(columns, wish), said_of(columns, wish)
    return Row(wish.wish, wish.key, said, Side.AT_LEAST, limit, "kg", 0.5, WHY, top, bottom, in_file(wish.span))


def in_hand(columns: Columns, name: str) -> Vector:
    """The share of a fat in all its lots that are there; a tin that is still to be bought is nothing to use up."""
    return columns.of_fats([float(name in fat.called and not fat.to_buy) for fat in columns.fats])


def wanted(columns: Columns, wish: UseUp) -> float:
    """How much is to be used up, kg; of a fat that can be bought without end there is no all, and nothing is asked."""
    if wish.kilograms is not None:
        return wish.kilograms
    stocks = [item.stock_kg for item in columns.stocked if wish.key in item.fat.called and not item.fat.to_buy]
    return sum(kilograms for kilograms in stocks if kilograms and math.isfinite(kilograms))


def said_of(columns: Columns, wish: UseUp) -> Said:
    """The words of one of them."""
    unit = "kg" if columns.batch.units.is_metric else "lb"
    much = f"{wanted(columns, wish) / MASS[unit]:.6g} {unit}"
    return Said(f"use up {'all ' if wish.kilograms is None else ''}{much} of {wish.key}")
