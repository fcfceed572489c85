"""Pinches: what a blend told leaves out, or brings up to the rule, so that there is not but a pinch of a fat in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from outside.independent.asking import Cost, answer
from outside.independent.pot import Vector
from outside.independent.reading import Question, Side, Wish

from optimiser.answers.results import Blend

DEARER = 0.05  # relative: what a blend without a pinch may cost more than the cheapest
BODY = ("hard oil", "butter", "liquid oil")
CRUMB = 1e-4  # per cent of the fats: nothing, or as good as the rule
COST = 5e-6  # relative


def row(question: Question, fat: str, side: str) -> Wish:
    """None of a fat, or as much of it as the rule wants."""
    limit = 0.0 if side == "at_most" else question.pinch or 0.0
    name = f"practice.{fat}.pinches.{side}"
    return Wish(name, "practice", fat, (Side(question.pot.share("fat", fat), side, limit),))


def told_rows(question: Question, told: Blend) -> list[Wish]:
    """The rows that are told."""
    names = [(item.figures.name, side) for item in question.pot.fats for side in ("at_most", "at_least")]
    every = {str(line.id) for line in told.goals}
    return [row(question, fat, side) for fat, side in names if f"practice.{fat}.pinches.{side}" in every]


def small(question: Question, shares: Vector) -> list[str]:
    """The fats of which there is but a pinch, by their shares in per cent."""
    bases = [item.figures.base for item in question.pot.fats]
    together = {base: sum(share for share, other in zip(shares, bases, strict=True) if other == base) for base in bases}
    least = question.pinch or 0.0
    return [
        item.figures.name
        for item, share in zip(question.pot.fats, shares, strict=True)
        if share > CRUMB
        and together[item.figures.base] < least * question.of_least.get(item.figures.kind, 1.0) - CRUMB
        and item.figures.name not in question.named
    ]


def ways(question: Question, fat: str) -> tuple[str, ...]:
    """How a pinch may be settled: a wax or a fatty acid is only ever left out."""
    kind = next(item.figures.kind for item in question.pot.fats if item.figures.name == fat)
    return ("at_most", "at_least") if kind in BODY else ("at_most",)


def disagreements(question: Question, told: Blend) -> Iterator[str]:
    """Whether a blend is as its pinches must be.

    Args:
        question: all that is asked, with what gave way as it stands, but for the rows of pinches.
        told: the blend.
    """
    rows = told_rows(question, told)
    yield from (f"{wish.about} is named, and yet {wish.id}" for wish in rows if wish.about in question.named)
    before = answer(question)
    if before is None:
        return
    cost, room = told.cost.per_kg, COST * told.cost.per_kg
    is_short = any(not line.met for line in told.preferences)  # then a pinch may cost a hair of a wish, and not money
    if cost > before.most * (1.0 + DEARER) + room or not (is_short or before.least - room <= cost):
        yield f"{cost:.9f} without pinches, the least with them is {before.most:.9f}"
    if (
        before.found is not None
        and cost > before.most + room
        and not small(question, pours(question, before.found.point))
    ):
        yield f"{cost:.9f} for want of pinches, and the cheapest at {before.most:.9f} has none"
    shown = {line.fat: line.share for line in told.fats}
    left = small(question, np.array([shown.get(item.figures.name, 0.0) for item in question.pot.fats]))
    settled = {wish.about for wish in rows}
    for fat in left:
        if fat in settled:
            yield f"a pinch of {fat} that was settled"
        for side in ways(question, fat):
            other = answer(question.with_(*rows, row(question, fat, side)))
            if other is not None and as_good(other, before) and other.most < before.most * (1.0 + DEARER) - room:
                yield f"a pinch of {fat} is left, {side} is to be had for {other.most:.9f}"
    yield from (
        f"{wish.id} is no way to settle a pinch"
        for wish in rows
        if wish.sides[0].side not in ways(question, wish.about)
    )
    if len(rows) == 1 and len(ways(question, rows[0].about)) > 1:
        side = "at_least" if rows[0].sides[0].side == "at_most" else "at_most"
        other = answer(question.with_(row(question, rows[0].about, side)))
        if other is not None and as_good(other, before) and other.most < cost - room:
            yield f"{rows[0].id} at {cost:.9f}, {side} is to be had for {other.most:.9f}"


def settled(question: Question) -> Cost | None:
    """The least cost where no fat is but a pinch, between two ends where more than one is; None where there is no blend at once."""
    before = answer(question)
    if before is None or before.found is None:
        return None
    left = small(question, pours(question, before.found.point))
    if not left:
        return before
    tried = [
        other
        for fat in left
        for side in ways(question, fat)
        if (other := answer(question.with_(row(question, fat, side)))) is not None and as_good(other, before)
    ]
    best = min(tried, key=lambda one: one.most, default=before)
    if best.most > before.most * (1.0 + DEARER):
        return before  # a pinch that would cost too much stays
    still = best.found is None or small(question, pours(question, best.found.point))
    return replace(before, most=before.most * (1.0 + DEARER)) if still or len(left) > 1 else best


def pours(question: Question, point: Vector) -> Vector:
    """The shares of the fats in per cent."""
    fats = point[: question.pot.count]
    return 100.0 * fats / float(fats.sum())


def as_good(one: Cost, other: Cost) -> bool:
    """Whether preferences are met as far."""
    return all(mine <= theirs + 1e-6 for mine, theirs in zip(one.shortfalls, other.shortfalls, strict=True))
