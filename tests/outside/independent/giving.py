"""House rules, and what designs bring, give way: by the least sum of small changes, each worth so much, and of money.

A wish that gives may be missed by a slack, in the unit of its row for a kilo of fats. A slack costs its weight for each
small change of the figure; where the figure is a ratio, a unit of it is taken for as much of the row as any one part of the
pot could make of it. Money is counted in tenths of the middle price of a fat of the shelf.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np
from outside.independent.pot import Vector
from outside.independent.reading import EXACT_GIVES, Question, Side, Wish
from outside.independent.solving import (
    TANGENTS,
    Rows,
    Unsure,
    counted_rows,
    counts_of,
    rows_of,
    run,
    run_conic,
)

BY_THE_LEAST = 50.0  # for a small change of the superfat where nothing moves but it and the lye
SUPERFAT = "practice.superfat.exactly"
YIELDS = "practice.likely superfat.at_least"  # the rule that stands aside by itself before others give way
OF_THE_MIDDLE = 0.1  # of the middle price: what a small change of a rule is worth
FINE, COARSE = 0.01, 0.1  # steps in which a figure is told at which a rule stands, by its scale
HAIR = 1e-6
CONE, CONE_COUNTED = 1e-7, 1e-5  # mol for a hundred kilos of fats: how far the length of what lots stray may be missed
SAME = 2e-6  # relative: two sums of small changes and money that are one


def gives(question: Question) -> list[Wish]:
    """What may give way."""
    return [wish for wish in question.wishes.values() if wish.gives]


def hard(question: Question) -> Question:
    """The question without all that can give way; what alkali and water stand at is free within its last ends."""
    ended = [replace(wish, sides=wish.last, gives=0.0, ends=()) for wish in question.wishes.values() if wish.last]
    return question.without(YIELDS, *(wish.id for wish in gives(question))).with_(*ended)


def moved_alone(question: Question) -> Question:
    """The question in which nothing gives way but what alkali and water stand at, the superfat by no more than it must."""
    own = [replace(wish, gives=BY_THE_LEAST) for wish in gives(question) if wish.id == SUPERFAT]
    return question.with_(*(replace(wish, gives=0.0) for wish in gives(question) if not wish.last), *own)


def at_last(question: Question) -> Question:
    """The question in which what alkali and water stand at moves for any wish, and as far as it ever does."""
    return question.with_(
        *(replace(wish, gives=EXACT_GIVES, ends=wish.last) for wish in question.wishes.values() if wish.last)
    )


def is_own_superfat(question: Question) -> bool:
    """Whether the superfat is the house's own."""
    return SUPERFAT in question.wishes


def lean(question: Question) -> Question:
    """The question without the floor under the likely superfat; a superfat of the house's own is free upwards."""
    rest = question.without(YIELDS)
    if not is_own_superfat(question):
        return rest
    own = question.wishes[SUPERFAT]
    return rest.with_(replace(own, sides=own.last, gives=0.0, ends=()))


def in_order(question: Question) -> Iterator[tuple[bool, Question]]:
    """What is asked in turn where not every rule can hold, each with whether the floor under the likely superfat is aside."""
    aside, own = lean(question), is_own_superfat(question)
    falls = YIELDS in question.wishes
    nothing = aside.with_(*(replace(wish, gives=0.0) for wish in gives(aside)))
    yield False, moved_alone(question)
    if falls and not own:
        yield True, nothing
        yield True, moved_alone(aside)
    yield False, question
    if own:
        yield False, at_last(question)
        yield from ((True, nothing), (True, moved_alone(aside))) if falls else ()
    if falls:
        yield True, aside
    if not own:
        yield False, at_last(question)
    if falls:
        yield True, at_last(aside)


def is_exact(wish: Wish) -> bool:
    """Whether a wish has a figure on both sides at once."""
    return wish.sides[0].side == "exactly"


def step_of(wish: Wish) -> float:
    """The step in which the figure is told at which a wish stands."""
    return COARSE if wish.scale >= 1.0 else FINE


def told_sides(wish: Wish, at: float) -> tuple[Side, ...]:
    """The sides of a wish that stands at another figure: an exact one from its own figure to that."""
    first = wish.sides[0]
    if first.side == "exactly":
        low, high = min(at, first.limit), max(at, first.limit)
        return (Side(first.figure, "at_least", low), Side(first.figure, "at_most", high))
    return (replace(first, limit=at),)


def eased(question: Question, told: Mapping[str, float]) -> Question:
    """The question with some wishes at the figures at which they are told to stand."""
    return question.with_(
        *(replace(question.wishes[name], sides=told_sides(question.wishes[name], told[name])) for name in told)
    )


def no_further(wish: Wish, at: float) -> Iterator[Side]:
    """That a wish misses its own figure by so much as is told, but for a step of rounding."""
    first, step = wish.sides[0], step_of(wish) + HAIR
    if not first.strays:
        is_below = first.side == "at_least" or (first.side == "exactly" and at < first.limit)
        yield Side(first.figure, "at_most" if is_below else "at_least", at + step if is_below else at - step)


# -- the elastic programme ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Elastic:
    """Rows over amounts, 0/1 unknowns where fats are counted, and slacks; `cones` are rows that lots stray within."""

    rows: Rows
    cones: Vector
    money: Vector
    normal: Vector
    strays: Vector
    integers: Vector | None
    most: Vector | None

    def least(self) -> float | None:
        """The least sum; None where there is no blend however much gives."""
        rows, room = self.rows, CONE if self.integers is None else CONE_COUNTED
        for turn in range(TANGENTS):
            _, point = run(self.money, rows, self.normal, self.integers, self.most)
            if point is None:
                return None
            away = self.strays @ point
            length = float(np.linalg.norm(away))
            missed = [row for row in self.cones if float(row @ point) < length - room]
            if not missed:
                return float(self.money @ point)
            if self.integers is None and turn == 0:
                with suppress(Unsure):  # the tangents tell then
                    found = run_conic(self.money, rows, self.normal, list(self.cones), self.strays)
                    return None if found is None else float(self.money @ found)
            cuts = np.array([row - (away / length) @ self.strays for row in missed])
            rows = Rows(
                np.vstack([rows.matrix, cuts]),
                np.append(rows.low, np.zeros(len(cuts))),
                np.append(rows.high, np.full(len(cuts), np.inf)),
            )
        raise Unsure("the tangents of the lots did not settle beside what gives way")


def elastic(question: Question, told: Mapping[str, float] | None = None) -> Elastic:
    """What may be missed, at its price.

    Args:
        question: all that is asked; without the rule that yields where that stands aside.
        told: where given, wishes miss as much as is told, those that are not in it nothing.
    """
    pot = question.pot
    fixed = [wish for wish in question.wishes.values() if not wish.gives]
    sides = [side for wish in fixed for side in wish.sides]
    sides += [side for wish in gives(question) for side in wish.ends]
    if told is not None:
        sides += [side for wish in gives(question) if wish.id not in told for side in wish.sides]
        for name, at in told.items():
            sides += [*told_sides(question.wishes[name], at), *no_further(question.wishes[name], at)]
    counts = counts_of(fixed)
    rows = rows_of(question, sides)
    if counts:
        rows = counted_rows(question, counts, rows, 0.0)
    soft = list(softened(gives(question)))
    width, slacks = rows.matrix.shape[1], sum(len(prices) for _, _, prices in soft)

    def wide(row: Vector, places: Mapping[int, float] | None = None) -> Vector:
        out = np.zeros(width + slacks)
        out[: len(row)] = row
        for place, sign in (places or {}).items():
            out[width + place] = sign
        return out

    matrix = [wide(row) for row in rows.matrix]
    low, high = list(rows.low), list(rows.high)
    cones = [wide(side.figure.top - side.limit * side.figure.bottom) for side in sides if side.strays]
    price: list[float] = []
    for row_sides, signs, prices in soft:
        places = {len(price) + place: sign for place, sign in enumerate(signs)}
        price += prices
        for side in row_sides:
            row = side.figure.top - side.limit * side.figure.bottom
            own = {place: (-1.0 if side.side == "at_most" else sign) for place, sign in places.items()}
            matrix.append(wide(row, own))
            low.append(-np.inf if side.side == "at_most" else 0.0)
            high.append(np.inf if side.side == "at_least" else 0.0)
            if side.strays:
                cones.append(matrix[-1])
    worth = pot.money / (OF_THE_MIDDLE * float(np.median([item.price for item in pot.fats])))
    money = wide(worth)
    money[width:] = price
    integers = most = None
    if counts:
        integers, most = np.zeros(width + slacks), np.full(width + slacks, np.inf)
        integers[pot.size : width], most[pot.size : width] = 1.0, 1.0
    strays = np.array([wide(row) for row in 100.0 * pot.strays])
    return Elastic(
        Rows(np.array(matrix), np.array(low), np.array(high)),
        np.array(cones),
        money,
        wide(pot.one),
        strays,
        integers,
        most,
    )


def softened(wishes: Iterable[Wish]) -> Iterator[tuple[tuple[Side, ...], list[float], list[float]]]:
    """The sides of each wish with the signs of its slacks and what a unit of each costs."""
    for wish in wishes:
        each = wish.gives / (wish.scale * float(np.abs(wish.sides[0].figure.bottom).max()))
        signs = [1.0, -1.0] if is_exact(wish) else [1.0]
        yield wish.sides, signs, [each] * len(signs)


# -- what is told ------------------------------------------------------------------------------------------------------


def disagreements(question: Question, told: Mapping[str, float]) -> Iterator[str]:
    """Whether the figures at which wishes are told to stand are those of the least sum.

    Args:
        question: all that is asked; without the rule that yields where that is told to stand aside.
        told: the figures.
    """
    for name, at in told.items():
        wish = question.wishes.get(name)
        if wish is None or not wish.gives:
            yield f"{name} is told to give way, and is nothing that does"
            return
        own = wish.sides[0].limit
        if at == own or (wish.sides[0].side != "exactly" and (at < own) != (wish.sides[0].side == "at_least")):
            yield f"{name}: told to give way from {own:g} to {at:g}"
            return
    least = elastic(question).least()
    if least is None:
        yield "rules are told to give way where there is no blend however far they do"
        return
    reached = elastic(question, told).least()
    if reached is None or reached > least + SAME * max(1.0, abs(least)):
        how = "no blend at all" if reached is None else f"{reached:.8f}"
        yield f"rules give way by {least:.8f} in all at the least, as told {how}: {dict(told)}"
