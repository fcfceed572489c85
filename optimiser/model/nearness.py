"""How far a blend is from a recipe in hand, as columns and rows: the share of the fats that is changed, and the drift of the measures.

The share is half the L1 distance of the shares, in per cent: what is taken away of the recipe's own fats, which is as much as
what comes in their place. L1 and not least squares, since that would change a little of every fat. The drift is what each
measure is off the recipe's beyond how sure it is, in parts of that, added up: what nobody can tell apart is no drift, and leaves
room for the price. Both are linear, by a column for each part that no row lets fall
below what it stands for; they are wishes to be met as far as all else allows, the share before the drift.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.differences import within
from optimiser.measures.sides import Side
from optimiser.model.columns import Columns
from optimiser.model.counted_fats import by_fat
from optimiser.model.rows import Row, quantity
from optimiser.problem.goals import GoalSheet
from optimiser.problem.known_ranges import unknown_measures
from optimiser.problem.near import Near, drifting
from optimiser.problem.wishes import Said, Section, WishId

MOVED, DRIFT = "moved", "drift"
SURE = 1.0  # of a measure, in parts of how sure it is: within so much it is the same
MOST_DRIFT = 1e3  # of a measure, in parts of how sure it is; the bound only keeps the proof finite
WHY = "the recipe in hand"
LEAST_CHANGED = "as little of the fats changed as can be"
LEAST_DRIFT = "measures as near to the recipe's as can be"


class Apart(NamedTuple):
    """A column that tells how far a blend is from the recipe in one thing: "less" of a fat (a fraction), or "drift" of a measure."""

    kind: str
    name: str
    most: float


class Nearness(NamedTuple):
    """Rows that the columns `columns` must keep, and the wishes: a row for the share changed, and one for the drift."""

    columns: tuple[Apart, ...]
    rows: tuple[Row, ...]
    wishes: tuple[tuple[Row, ...], ...]


def nearness(columns: Columns, sheet: GoalSheet, switches: int) -> Nearness:
    """What keeps a blend near to the recipe in hand of a goal sheet.

    Args:
        columns: the fats, alkalis, water and additives.
        sheet: the goals; they have such a recipe.
        switches: how many 0/1 columns come before those that are made here.

    Raises:
        ValueError: there is no recipe in hand.
    """
    near = sheet.near
    if near is None:
        raise ValueError("there is no recipe in hand to be near to")
    shares = near.shares
    held = [name for name in by_fat(columns) if shares.get(name, 0.0) > 0.0]
    told = tuple(known_drifts(columns, sheet, near))
    apart = (
        *(Apart("less", name, shares[name] / 100.0) for name in held),
        *(Apart("drift", name, MOST_DRIFT) for name, _ in told),
    )
    first = columns.size + switches
    size = first + len(apart)
    rows: list[Row] = []
    for place, name in enumerate(held, first):
        rows.append(_less(name, _wide(columns.of_fat(name), size, place), shares[name] / 100.0))
    for place, (name, top) in enumerate(told, first + len(held)):
        rows += [_drift(name, side, _wide(sign * top, size, place)) for side, sign in (("below", 1.0), ("above", -1.0))]
    moved, drift = np.zeros(size), np.zeros(size)
    gone = 100.0 - sum(shares[name] for name in held)
    moved[first : first + len(held)] = 100.0
    moved[: columns.count] = max(0.0, gone)  # a constant, laid on the shares, which add up to one
    drift[first + len(held) :] = 1.0
    return Nearness(
        apart,
        tuple(rows),
        (
            (_wish(MOVED, LEAST_CHANGED, "%", 5.0, moved),),
            (_wish(DRIFT, LEAST_DRIFT, "", 1.0, drift),),
        ),
    )


def is_nearness(said: Said) -> bool:
    """Whether words are those of nearness itself, which is no wish that a maker wrote and always falls short of nothing changed."""
    return said.subject in (LEAST_CHANGED, LEAST_DRIFT)


def known_drifts(columns: Columns, sheet: GoalSheet, near: Near) -> Iterator[tuple[str, Vector]]:
    """Each measure that is known of the recipe and of every fat, with its distance from the recipe's in parts of how sure it is."""
    unknown = unknown_measures(sheet)
    for name in drifting():
        value, top = near.values.get(name, np.nan), quantity(columns, name).top
        if name in unknown or not np.isfinite(value) or not np.isfinite(top).all():
            continue
        yield name, (top - columns.constant(value)) / within(name)


def _wide(top: Vector, size: int, place: int) -> Vector:
    """A vector over all columns, with 1 at one place."""
    out = np.zeros(size)
    out[: len(top)] = top
    out[place] = 1.0
    return out


def _less(name: str, top: Vector, share: float) -> Row:
    """What is taken away of a fat of the recipe is no less than what is missing of it."""
    wish = WishId(Section.PHYSICS, name, Side.AT_LEAST, "less")
    said = Said(f"what is taken away of {name}")
    return Row(wish, name, said, Side.AT_LEAST, share, "", 1.0, WHY, top)


def _drift(name: str, side: str, top: Vector) -> Row:
    """The drift of a measure is no less than how far it is below the recipe's, or above, beyond what it is sure to."""
    wish = WishId(Section.PHYSICS, name, Side.AT_LEAST, f"drift {side}")
    said = Said(f"drift of {name.replace('_', ' ')}")
    return Row(wish, name, said, Side.AT_LEAST, -SURE, "", 1.0, WHY, top)


def _wish(figure: str, words: str, unit: str, scale: float, top: Vector) -> Row:
    wish = WishId(Section.NEAR, figure, Side.AT_MOST)
    return Row(wish, figure, Said(words), Side.AT_MOST, 0.0, unit, scale, WHY, top)
