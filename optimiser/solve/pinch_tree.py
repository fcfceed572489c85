"""Pinches settled together, where one by one does not do: a small branch and bound over "none of it, or enough".

Every fat of the body of a bar is none or at least the rule: a semicontinuous column (Land & Doig 1960, doi:10.2307/1910129, of
branch and bound). The blend of a node is the cheapest with the choices made so far, which no blend below it can beat;
where it holds a pinch, its largest one is left out on one branch and brought up on the other. The cheapest node is looked into
first, so that the first one without a pinch is the cheapest of all that the tree holds.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from heapq import heappop, heappush
from itertools import count

from optimiser.measures.sides import Side
from optimiser.solve.optimum import Cheapest

MOST_NODES = 120  # blends solved for
Choices = Mapping[str, Side]


def settled_together(
    first: Cheapest,
    solve: Callable[[Choices], Cheapest | None],
    pinches: Callable[[Cheapest], Mapping[str, float]],
    ways: Callable[[str], tuple[Side, ...]],
    is_as_good: Callable[[Cheapest], bool],
) -> Choices | None:
    """The choices of the cheapest blend without a pinch; None where none as good was found.

    Args:
        first: the cheapest blend, pinches or not.
        solve: the cheapest blend with some choices; None where there is none.
        pinches: of a blend, with their shares.
        ways: what may be done about a pinch.
        is_as_good: whether a blend would do.
    """
    order = count()
    waiting: list[tuple[float, int, dict[str, Side], Cheapest]] = [(first.ratio, next(order), {}, first)]
    solved = 0
    while waiting:
        _, _, choices, blend = heappop(waiting)
        left = {name: share for name, share in pinches(blend).items() if name not in choices}
        if not left:
            return choices
        fat = max(left, key=lambda name: (left[name], name))
        for side in ways(fat):
            if solved >= MOST_NODES:
                return None
            solved += 1
            below = {**choices, fat: side}
            again = solve(below)
            if again is not None and is_as_good(again):
                heappush(waiting, (again.ratio, next(order), below, again))
    return None
