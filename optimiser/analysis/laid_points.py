"""A cost curve laid point by point: the whole question is asked at chosen limits, and between two of them it is a line.

Limits are added where the line misses what is asked in its middle, and where rules of the house or preferences change
between two limits the place is halved out. Every point is an answer; what lies between two is not.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import NamedTuple

from optimiser.analysis.stretches import AS_WRITTEN, State, Stretch
from optimiser.maths.arrays import Vector
from optimiser.problem.wishes import WishId

FIRST_PARTS = 6
MOST_HALVINGS = 4
OFF = 3e-4  # of the cost: how far the line may miss the middle
EDGE_ROUNDS = 5  # halvings that find where what gave way changes
END_ROUNDS = 16  # the same for the last limit that has a blend
SHORT_OF_END = (0.0, 1e-9, 1e-7, 1e-5, 1e-3)  # of a range: rounding may leave no blend at its very end


class Laid(NamedTuple):
    """The whole answer at one limit: money per kilo, the blend (n), what gave way, and the wishes at their limits."""

    cost: float
    point: Vector
    state: State
    binds: frozenset[WishId] = frozenset()


Ask = Callable[[float], Laid | None]


def laid_stretches(ask: Ask, here: float, end: float, up: int, halvings: int = MOST_HALVINGS) -> list[Stretch]:
    """The curve from a limit to a harder one as lines between answers, in the order of the walk.

    Args:
        ask: the whole answer at a limit, None where there is no blend.
        here: where it begins; a hair beyond is asked.
        end: where it ends at the furthest.
        up: 1 where the limit gets harder as it rises, else -1.
        halvings: how often a part is halved at the most.
    """
    found = answers(ask, here, end, halvings)
    ordered = sorted(found, reverse=up < 0)
    out = [line(one, other, found) for one, other in pairwise(ordered)]
    if out:
        out[0] = out[0]._replace(low=here) if up > 0 else out[0]._replace(high=here)
    return out


def answers(ask: Ask, here: float, end: float, halvings: int = MOST_HALVINGS) -> dict[float, Laid]:
    """The answers at chosen limits between two, by limit; none where there is no blend just beyond the first."""
    found: dict[float, Laid] = {}

    def at(limit: float) -> Laid | None:
        if limit not in found:
            answer = ask(limit)
            if answer is None:
                return None
            found[limit] = answer
        return found[limit]

    span = end - here
    first = here + 1e-6 * span
    if at(first) is None:
        return {}
    last = next((limit for part in SHORT_OF_END for limit in [end - part * span] if at(limit) is not None), None)
    if last is None:
        last = last_with_blend(at, first, end)
    limits = [first + (last - first) * part / FIRST_PARTS for part in range(FIRST_PARTS + 1)]
    for one, other in pairwise([limit for limit in limits if at(limit) is not None]):
        refine(at, one, other, halvings)
    for one, other in pairwise(sorted(found)):
        if found[one].state != found[other].state:
            edge(at, one, other)
    return found


def refine(at: Ask, one: float, other: float, left: int) -> None:
    """Add the middle of two limits, and of its halves where a line misses it; what gives way goes by steps of its own."""
    first, last = at(one), at(other)
    if first is None or last is None or not first.state == last.state == AS_WRITTEN:
        return
    middle = at(0.5 * (one + other))
    if middle is None:
        return
    straight = 0.5 * (first.cost + last.cost)
    if left and abs(middle.cost - straight) > OFF * middle.cost:
        refine(at, one, 0.5 * (one + other), left - 1)
        refine(at, 0.5 * (one + other), other, left - 1)


def edge(at: Ask, one: float, other: float) -> None:
    """Halve out where what gave way changes between two limits."""
    first = at(one)
    for _ in range(EDGE_ROUNDS):
        middle = 0.5 * (one + other)
        found = at(middle)
        if found is None or first is None:
            return
        if found.state == first.state:
            one = middle
        else:
            other = middle


def last_with_blend(at: Ask, first: float, end: float) -> float:
    """The furthest limit at which there is a blend, halved out."""
    good, bad = first, end
    for _ in range(END_ROUNDS):
        middle = 0.5 * (good + bad)
        if at(middle) is None:
            bad = middle
        else:
            good = middle
    return good


def line(one: float, other: float, found: dict[float, Laid]) -> Stretch:
    """The line between two answers; it bears what gave way at the harder of the two."""
    low, high = min(one, other), max(one, other)
    below, above = found[low], found[high]
    width = high - low
    return Stretch(
        low=low,
        high=high,
        at=low,
        money=(below.cost, (above.cost - below.cost) / width),
        cured=(1.0, 0.0),
        g=0.0,
        start=below.point,
        move=(above.point - below.point) / width,
        binds=found[one].binds & found[other].binds,
        exact=False,
        is_laid=True,
        state=found[other].state,
    )
