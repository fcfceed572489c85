"""The questions a maker asks: how far preferences can be met, what the cheapest blend costs, how far a figure can go."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field, replace

import numpy as np
from outside.independent.giving import YIELDS, elastic, hard, is_own_superfat, moved_alone
from outside.independent.pot import Figure, Pot
from outside.independent.reading import Question, Side, Wish, read
from outside.independent.solving import EASE, Found, Programme, Unsure, can_hold, programme
from outside.independent.tables import Tree

NONE = 1e-7  # of the fats
FREE = 1e-3  # of the middle price of the fats: what an additive costs at the least
PIN = 2e-8  # relative to a limit: room in which a preference is held


@dataclass(frozen=True)
class Cost:
    """The least cost per kilo of cured bar, and what no blend can be below (less where fats are counted).

    `roomy` are the shortfalls where those before have a hair of room.
    """

    most: float
    least: float
    shortfalls: tuple[float, ...] = ()
    roomy: tuple[float, ...] = ()
    found: Found | None = field(default=None, repr=False)


def extreme(asked: Programme, figure: Figure, sign: int) -> float | None:
    """The least (sign 1) or the greatest (sign -1) of a figure; None where there is no blend."""
    found = asked.least(sign * figure.top, figure.bottom)
    return None if found is None else sign * found.value


def preferences_met(question: Question, wishes: Iterable[Wish], room: float = PIN) -> list[float] | None:
    """The least shortfall of each preference that those before it allow, in the figure's own unit; None: no blend."""
    kept = list(wishes)
    shortfalls: list[float] = []
    for wish in question.prefer:
        short = shortfall(question, kept, pins(question, shortfalls, room), wish)
        if short is None:
            return None
        shortfalls.append(short)
    return shortfalls


def pins(question: Question, shortfalls: Iterable[float], room: float) -> list[Side]:
    """Sides that hold the first preferences at their shortfalls, with some room (relative to a limit)."""
    out = []
    for wish, short in zip(question.prefer, shortfalls, strict=False):
        for side in wish.sides:
            off = short + room * max(1.0, abs(side.limit))
            if side.side != "at_most":
                out.append(Side(side.figure, "at_least", side.limit - off))
            if side.side != "at_least":
                out.append(Side(side.figure, "at_most", side.limit + off))
    return out


def shortfall(question: Question, kept: list[Wish], held: list[Side], wish: Wish) -> float | None:
    """How far a figure must miss its limits; None where there is no blend."""
    figure = wish.sides[0].figure
    low = max((side.limit for side in wish.sides if side.side != "at_most"), default=-np.inf)
    high = min((side.limit for side in wish.sides if side.side != "at_least"), default=np.inf)
    if programme(question, kept, [*held, *wish.sides]).any() is not None:
        return 0.0
    misses = []
    both = np.isfinite(low) and np.isfinite(high)
    below = [Side(figure, "at_most", low)] if both else []
    above = [Side(figure, "at_least", high)] if both else []
    if np.isfinite(low) and (best := extreme(programme(question, kept, [*held, *below]), figure, -1)) is not None:
        misses.append(low - best)
    if np.isfinite(high) and (best := extreme(programme(question, kept, [*held, *above]), figure, 1)) is not None:
        misses.append(best - high)
    return max(0.0, min(misses)) if misses else None


def answer(question: Question) -> Cost | None:
    """The cheapest blend with its preferences met in order; None where there is no blend.

    Where a little room in a preference makes the blend much cheaper, the least cost is as uncertain as the room is: told
    are the costs with none and with a little.
    """
    found: list[tuple[Found, list[float]]] = []
    for room in (0.0, PIN) if question.prefer else (0.0,):
        with suppress(Unsure):
            found += cheapest(question, room, 0.0)
    found = found or cheapest(question, PIN, EASE / 10.0)  # it may hold by less than the solver lets pass
    if not found:
        return None
    (first, shortfalls), least = found[0], min(one.least for one, _ in found)
    return Cost(first.value, min(least, first.value), tuple(shortfalls), tuple(found[-1][1]), first)


def cheapest(question: Question, room: float, ease: float) -> list[tuple[Found, list[float]]]:
    """The least cost and the shortfalls, with room in the preferences and ease in everything; nothing: no blend."""
    wishes, pot = list(question.wishes.values()), question.pot
    shortfalls = preferences_met(question, wishes, room)
    if shortfalls is None:
        return []
    asked = programme(question, wishes, pins(question, shortfalls, room), ease)
    found = asked.least(pot.money, pot.cured)
    places = [pot.count + 3 + place for place, (item, _) in enumerate(pot.additives) if item.name in question.may]
    if found is not None and any(found.point[places] > NONE):
        money, cured = pot.money.copy(), pot.cured.copy()
        money[places] = np.maximum(money[places], FREE * np.sort(money[: pot.count])[pot.count // 2])
        cured[places] = 0.0  # what may be used is no bargain by its weight
        helps = asked.least(money, cured)
        ends = [] if helps is None else [most_of(question, place, share_of_fats(pot, helps, place)) for place in places]
        found = programme(question, wishes, [*pins(question, shortfalls, room), *ends], ease).least(
            pot.money, pot.cured
        )
    return [] if found is None else [(found, shortfalls)]


def share_of_fats(pot: Pot, found: Found, place: int) -> float:
    """How much of an additive a blend has, as a part of its fats."""
    return float(found.point[place] / found.point[: pot.count].sum())


def most_of(question: Question, place: int, helps: float) -> Side:
    """No more of an additive than helps, rounded up to a tenth of a per cent of the fats."""
    top = np.zeros(question.pot.size)
    top[place] = 100.0
    most = 0.0 if helps <= NONE else np.ceil(1000.0 * helps - 1e-4) / 10.0
    return Side(Figure(top, question.pot.one), "at_most", float(most))


def answered(goals: Tree, shelf: Tree) -> Cost | None:
    """The same of two files."""
    return yielding(read(goals, shelf))


class GivesWay(Exception):
    """There is a blend, but none that meets every rule that gives way: what it costs hangs on how far these do."""


def yielding(question: Question) -> Cost | None:
    """The cheapest blend; the rule that yields stands aside where nothing meets the goals with it.

    Raises:
        GivesWay: other rules must give way for there to be a blend.
    """
    found = answer(question)
    if found is not None:
        return found
    if elastic(moved_alone(question)).least() is not None:
        raise GivesWay
    if YIELDS in question.wishes and not is_own_superfat(question):
        found = answer(aside(question))
    least = hard(question)
    if found is None and can_hold(least, least.wishes.values()) is not False:
        raise GivesWay
    return found


def aside(question: Question) -> Question:
    """The question without the rule that yields, and with as much superfat as all else leaves room for."""
    rest = question.without(YIELDS)
    figure = question.pot.figure("superfat")
    most = extreme(programme(rest, rest.wishes.values()), figure, -1)
    if most is None:
        return rest
    wish = Wish(YIELDS, "practice", "superfat", (Side(figure, "at_least", most - 1e-6),))
    return replace(rest, wishes={**rest.wishes, YIELDS: wish})
