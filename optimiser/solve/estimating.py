"""Amounts in grams of a batch told in bars or by its mould: how much of the fats they are is only known of the blend.

A lever that levels off has a piece for each stretch of its curve, and the model lays one. Where an estimate lies so near an end
that the amount may be on either side of it, both pieces are asked, and the cheaper blend is the answer: together they are all.
"""

from __future__ import annotations

from optimiser.model.pieces import curves, piece_of
from optimiser.model.programme import lay_columns
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf

OFF = (1.0, 0.75, 1.35)  # how far the fats of a batch may lie from what is ordinary


def readings(sheet: GoalSheet, shelf: Shelf) -> tuple[GoalSheet, ...]:
    """The goals at each estimate that lays other pieces: one where all amounts are sure, or far from every end."""
    if not sheet.extras_named:
        return (sheet,)
    found: dict[tuple[float, ...], GoalSheet] = {}
    for factor in OFF:
        read = sheet._replace(estimate=factor)
        pulls = lay_columns(read, shelf).pulls
        if all(pull.sure for pull in pulls.values()):
            return (sheet,)
        laid = tuple(piece_of(curve, pulls[lever].least).low for lever, curve in curves().items() if lever in pulls)
        found.setdefault(laid, read)
    return tuple(found.values())
