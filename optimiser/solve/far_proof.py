"""How much any blend can swap against one in hand, proved: a tree of linear programmes, each bounded in exact arithmetic.

What is swapped is the most, over all ways to say of each fat of the blend in hand whether there is more of it, of a linear
figure. Where that is not said yet, the line from nothing at no share to all that can be at the whole lies above it. So each
node of the tree is a linear programme over the same rows, whose exact bound (`solve/proof.py`) holds for all below it, and
the greatest bound of the leaves holds for every blend (branch and bound: Land & Doig 1960, doi:10.2307/1910129).
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Matrix, Vector
from optimiser.model.programme import Programme
from optimiser.model.swapped import DUST, by_group
from optimiser.solve.outcomes import Work
from optimiser.solve.proof import lower_bound
from optimiser.solve.solver import Live

CLOSE = 1e-7  # of the fats: a bound so near to what is reached is no further split
PAD = 1e-12  # by which a slope worked out in floating point is widened
MOST_NODES = 2_000


class Bound(NamedTuple):
    """No blend swaps more than `share` of the fats; `exact`: by exact arithmetic, not by the solver's word.

    `ended`: the search for a better bound was done, so that a blend is known that swaps as much, to within the tolerance.
    `holds`: it is of every blend that meets the goals; else only of those that read an amount in the same way.
    """

    share: float
    exact: bool
    ended: bool = True
    holds: bool = True


class Node(NamedTuple):
    """Of which groups there is more, and of which that is not said yet; of all others there is no more."""

    grown: tuple[int, ...]
    open: tuple[int, ...]


def most_swapped(base: Programme, blend: Vector, reached: float, work: Work) -> Bound:
    """A bound on what any blend of a linear programme swaps against one in hand.

    Args:
        base: the programme.
        blend: the blend in hand.
        reached: what some blend swaps; bounds that come so near are near enough.
        work: is counted up; where it ends the bound so far is told.
    """
    groups = by_group(base)
    shares = groups @ blend[: len(base.money)]
    own = tuple(int(group) for group in np.flatnonzero(shares > DUST))
    live = Live(base, work)
    most, ended, visited = Fraction(), True, 0
    left = [Node((), own)]
    while left:  # once no more may be split, each that is left is bounded as it stands
        node = left.pop()
        objective = figure(groups, shares, node)
        outcome = live.minimise(objective)
        taken = sum((Fraction(float(shares[group])) for group in node.grown), Fraction())
        is_near = not node.open or -outcome.objective - float(taken) <= reached + CLOSE
        visited += 1
        if is_near or visited > MOST_NODES or not work.left:
            most = max(most, -lower_bound(live.programme, objective, outcome.row_dual) - taken)
            ended = ended and is_near
            continue
        group = widest(groups, shares, node, outcome.point)
        rest = tuple(one for one in node.open if one != group)
        left += [Node(node.grown, rest), Node((*node.grown, group), rest)]
    return Bound(min(1.0, float(np.nextafter(float(most), np.inf))), exact=True, ended=ended)


def figure(groups: Matrix, shares: Vector, node: Node) -> Vector:
    """The negative of what is swapped as a node has it, less its constant."""
    slope = (shares <= DUST).astype(float)
    slope[list(node.grown)] = 1.0
    for group in node.open:
        slope[group] = min(1.0, 1.0 - float(shares[group]) + PAD)
    return np.asarray(-slope @ groups)


def widest(groups: Matrix, shares: Vector, node: Node, point: Vector) -> int:
    """The group of which the line lies furthest above the figure itself at a blend, the first of equals."""
    now = groups @ point[: groups.shape[1]]
    above = (1.0 - shares) * now - np.maximum(0.0, now - shares)
    return max(node.open, key=lambda group: (float(above[group]), -group))
