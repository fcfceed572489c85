"""Levers that level off, kept linear: of each curve the piece in which the least that is asked for lies.

Within a piece a measure moves by a slope and a constant, so that its row stays linear and exact. What is asked for at the
least reaches the beginning of the piece; a row of physics (`piece_rows`) keeps the lever from running past its end, or from
falling short of a beginning that is only estimated. So a blend is never promised what a lever does beyond its piece.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.measures.measures import Curve, levers, measures
from optimiser.measures.profiles import pulling
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.falling import falls_under
from optimiser.problem.goals import GoalSheet, share_of_fats
from optimiser.problem.limits import Limit

if TYPE_CHECKING:
    from optimiser.problem.batch import Batch

HAIR = 1e-9  # per cent: an amount at a knot stands at the beginning of the piece behind it
ORDINARY_JUG = 28.0  # per cent of the fats: about what is weighed in water's place, where a liquid is a share of it
ORDINARY_FATS = 0.65  # kg of fats in a litre of batter, about
OF_CURED = 0.75  # kg of fats in a kilo of cured bar, about


class Piece(NamedTuple):
    """A stretch of a curve, from `low` to `high` per cent of the fats (inf at the last): points = constant + slope x amount."""

    low: float
    high: float
    slope: float
    constant: float


class Pull(NamedTuple):
    """How much of what a lever counts is asked for at the least, per cent of the fats; `sure` unless it is estimated."""

    least: float
    sure: bool = True


NOTHING = Pull(0.0)
Pulls = Mapping[str, Pull]


def piece_of(curve: Curve, amount: float) -> Piece:
    """The piece of a curve that an amount begins or lies in."""
    for (begun, low), (ended, high) in pairwise(curve):
        if amount < ended - HAIR:
            slope = (high - low) / (ended - begun)
            return Piece(begun, ended, slope, low - slope * begun)
    end, points = curve[-1]
    return Piece(end, math.inf, 0.0, points)


def curves() -> Mapping[str, Curve]:
    """One curve of each lever that has one; those of all measures have their knots at the same amounts."""
    return {lever: curve for name in measures() for lever, curve in levers(name).curves.items()}


def least_pulls(sheet: GoalSheet, fats: Sequence[Fat], additives: Sequence[Additive]) -> Pulls:
    """What the file's own limits, and those of its designs, ask of each lever at the least.

    Args:
        sheet: the goals.
        fats: those of the shelf.
        additives: additives and liquids in play.
    """
    found = {name: Pull(*least_of(sheet, name)) for name in (item.name for item in additives)}
    out = {}
    for lever in curves():
        parts = [(item.acts_as(lever), found[item.name]) for item in additives if item.acts_as(lever)]
        waxes = least_share(sheet, fats, lever)
        least = math.fsum([waxes, *(part * pull.least for part, pull in parts)])
        sure = all(pull.sure for _, pull in parts)
        out[lever] = Pull(least if sure else least * sheet.estimate, sure)
    return out


def least_of(sheet: GoalSheet, name: str) -> tuple[float, bool]:
    """The least of an additive or a liquid in per cent of the fats, and whether it is sure to be so much."""
    told = [
        in_per_cent(limit, sheet.batch)
        for limit in (*sheet.additives, *sheet.liquids, *own_rules(sheet))
        if limit.key == name
        and limit.side != Side.AT_MOST
        and limit.subject in (SubjectKind.ADDITIVE, SubjectKind.LIQUID)
    ]
    return max(told, default=(0.0, True))


def own_rules(sheet: GoalSheet) -> Iterator[Limit]:
    """The maker's own figures for rules of the house."""
    return (limit for change in sheet.practice for limit in change.limits)


def in_per_cent(limit: Limit, batch: Batch) -> tuple[float, bool]:
    """A limit on an additive or a liquid in per cent of the fats, and whether that is exact."""
    if limit.subject == SubjectKind.LIQUID and limit.unit == "%":
        return limit.value / 100.0 * ORDINARY_JUG, False
    exact = share_of_fats(limit, batch.fats_kg)
    if exact is not None:
        return exact, True
    mould = batch.mould
    kilograms = OF_CURED * (batch.bars or 1) * batch.cured_weight_kg
    if mould is not None:
        kilograms = ORDINARY_FATS * mould.length_cm * mould.width_cm * mould.depth_cm / 1000.0
    return limit.value / kilograms / 10.0, False


def least_share(sheet: GoalSheet, fats: Sequence[Fat], lever: str) -> float:
    """The least per cent of the fats that counts towards a lever: by each limit that only such fats can meet."""
    counted = [fat for fat, counts in zip(fats, pulling(fats, lever), strict=True) if counts]
    others = [fat for fat in fats if fat not in counted]
    limits = [*sheet.shares, *(item.limit for item in sheet.brought), *own_rules(sheet)]
    single: dict[str, float] = {}
    groups = [0.0]
    for limit in limits:
        if limit.side == Side.AT_MOST or limit.subject in (SubjectKind.QUANTITY, SubjectKind.ADDITIVE):
            continue
        chosen = [fat for fat in counted if falls_under(limit, fat)]
        if not chosen or any(falls_under(limit, fat) for fat in others):
            continue
        if len(chosen) == 1:
            single[chosen[0].name] = max(single.get(chosen[0].name, 0.0), limit.value)
        else:
            groups.append(limit.value)
    return max(math.fsum(single.values()), *groups)


def ends(pulls: Pulls, in_play: Iterable[str]) -> Iterator[tuple[str, Side, float]]:
    """Which levers must stay above or below what, in per cent of the fats, so that their pieces hold."""
    known = curves()
    for lever in in_play:
        pull = pulls.get(lever, NOTHING)
        piece = piece_of(known[lever], pull.least)
        if math.isfinite(piece.high):
            yield lever, Side.AT_MOST, piece.high
        if piece.low > 0.0 and not pull.sure:
            yield lever, Side.AT_LEAST, piece.low
