"""The questions a maker asks: how far preferences can be met, what the cheapest blend costs, how far a figure can go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from outside.independent.pot import Figure
from outside.independent.reading import Question, Side, Wish, read
from outside.independent.solving import Found, Programme, programme
from outside.independent.tables import Tree

PIN = 2e-8  # relative to a limit: room in which a preference is held


@dataclass(frozen=True)
class Cost:
    """The least cost per kilo of cured bar, and what no blend can be below (less where fats are counted)."""

    most: float
    least: float
    shortfalls: tuple[float, ...] = ()
    found: Found | None = field(default=None, repr=False)


def extreme(asked: Programme, figure: Figure, sign: int) -> float | None:
    """The least (sign 1) or the greatest (sign -1) of a figure; None where there is no blend."""
    found = asked.least(sign * figure.top, figure.bottom)
    return None if found is None else sign * found.value


def preferences_held(question: Question, wishes: Iterable[Wish]) -> tuple[list[Side], list[float]] | None:
    """Each preference in order at the least shortfall that those before it allow, in the figure's own unit.

    Returns:
        Sides that hold them there, and the shortfalls; None where there is no blend at all.
    """
    kept = list(wishes)
    pins: list[Side] = []
    shortfalls = []
    for wish in question.prefer:
        short = shortfall(question, kept, pins, wish)
        if short is None:
            return None
        shortfalls.append(short)
        for side in wish.sides:
            room = short + PIN * max(1.0, abs(side.limit))
            if side.side != "at_most":
                pins.append(Side(side.figure, "at_least", side.limit - room))
            if side.side != "at_least":
                pins.append(Side(side.figure, "at_most", side.limit + room))
    return pins, shortfalls


def shortfall(question: Question, kept: list[Wish], pins: list[Side], wish: Wish) -> float | None:
    """How far a figure must miss its limits; None where there is no blend."""
    figure = wish.sides[0].figure
    low = max((side.limit for side in wish.sides if side.side != "at_most"), default=-np.inf)
    high = min((side.limit for side in wish.sides if side.side != "at_least"), default=np.inf)
    if programme(question, kept, [*pins, *wish.sides]).any() is not None:
        return 0.0
    misses = []
    both = np.isfinite(low) and np.isfinite(high)
    below = [Side(figure, "at_most", low)] if both else []
    above = [Side(figure, "at_least", high)] if both else []
    if np.isfinite(low) and (best := extreme(programme(question, kept, [*pins, *below]), figure, -1)) is not None:
        misses.append(low - best)
    if np.isfinite(high) and (best := extreme(programme(question, kept, [*pins, *above]), figure, 1)) is not None:
        misses.append(best - high)
    return max(0.0, min(misses)) if misses else None


def answer(question: Question) -> Cost | None:
    """The cheapest blend with its preferences met in order; None where there is no blend."""
    wishes = list(question.wishes.values())
    held = preferences_held(question, wishes)
    if held is None:
        return None
    pins, shortfalls = held
    pot = question.pot
    found = programme(question, wishes, pins).least(pot.money, pot.cured)
    if found is None:  # what is pinned holds by less than the solver lets pass
        found = programme(question, wishes, pins, 1e-7).least(pot.money, pot.cured)
    if found is None:
        return None
    return Cost(found.value, found.least, tuple(shortfalls), found)


def answered(goals: Tree, shelf: Tree) -> Cost | None:
    """The same of two files."""
    return answer(read(goals, shelf))
