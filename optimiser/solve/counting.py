"""Where fats are counted: how a search over 0/1 columns is made small without losing the proof.

A 0/1 column that is tied to a share (share <= most x switch) is called its switch; the ties are read off the matrix.

- A linear answer whose switches can simply be set is the answer.
- With a blend in hand, whatever could only lead to dearer ones is left out: a reduced cost d says that the share v of a
  fat costs d v more than the linear bound, so a fat that pays has v <= (blend - bound) / d (reduced-cost fixing: Dantzig,
  Fulkerson & Johnson 1954, doi:10.1287/opre.2.4.393). That limit takes the place of "at most all of it" in the tie, which
  makes the linear bound stronger, and so on round.
- What remains goes to a mixed-integer search. Whatever was left out costs no less than the blend in hand, so the lesser
  of that and the search's bound holds for the whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple, Protocol

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.solve.outcomes import Outcome, Work
from optimiser.solve.switches import DUST, NEAR, PAD, Part, Places, Ties, in_part, least_of, rounded, value

WORTH = 0.9  # a round of fixing that leaves more than this of the switches was the last
MOST_ROUNDS = 4
SPARSE_ROUNDS = 8  # of reweighting, towards a blend of few fats
EPSILON = 0.01  # share: where reweighting begins to tell much from little
PROMISING = 40  # fats tried first where nothing is known yet


class Linear(Protocol):
    """A linear model that can be asked again and again."""

    def minimise(self, objective: Vector | None = None) -> Outcome:
        """The least of an objective, or of the one before."""


class Questions(NamedTuple):
    """What the search may ask; whoever answers counts it as work.

    `model` makes a linear model of a programme without whole columns, `whole` searches one with them, from a point that
    may be allowed.
    """

    model: Callable[[Programme], Linear]
    whole: Callable[[Programme, Vector | None], Outcome]
    work: Work

    def may_go_on(self) -> bool:
        """Whether there is work left."""
        return self.work.left > 0.0

    def in_part(self, programme: Programme) -> Linear:
        """A model in which switches may stand in between."""
        return self.model(in_part(programme))

    def sparser(self, programme: Programme, weigh: Callable[[Vector], Vector], start: Vector) -> Iterator[Vector]:
        """Points where switches may stand in between, each the least of what `weigh` makes of the one before."""
        live = self.in_part(programme)
        point = start
        for _ in range(SPARSE_ROUNDS):
            found = live.minimise(weigh(point))
            if not found.feasible:  # the part was cut out of the whole, and may have lost what holds only there
                return
            point = found.point
            yield point


def settle(asked: Programme, ties: Ties, relaxed: Outcome, known: list[Vector], questions: Questions) -> Outcome:
    """The least of a counted programme, or the best found and a bound where the work ends.

    Args:
        asked: the programme, with the objective as its money and with its bounds as they now are.
        ties: its ties.
        relaxed: its linear optimum, with duals.
        known: points that may be allowed.
        questions: put to the solver.

    Returns:
        Not feasible and `limited` where nothing was found and nothing proved.
    """
    best = least_of(asked, [rounded(asked, ties, relaxed.point), *known])
    if best is not None and (is_question(asked) or value(asked, best) <= relaxed.objective + NEAR):
        return ended(asked, best, relaxed.objective)
    base = Part.of(asked, ties).narrowed(np.full(len(asked.money), np.inf))
    within = relaxed._replace(point=relaxed.point[base.columns], reduced_cost=relaxed.reduced_cost[base.columns])
    found = searched(base.programme, base.ties, within, None if best is None else best[base.columns], questions)
    return found._replace(point=base.whole(found.point)) if found.feasible else found


def is_question(asked: Programme) -> bool:
    """Whether any blend at all will do."""
    return not asked.money.any()


def searched(asked: Programme, ties: Ties, relaxed: Outcome, best: Vector | None, questions: Questions) -> Outcome:
    """The same where the linear optimum alone does not answer it; `best` is the cheapest point known, if there is one."""
    if questions.may_go_on() and best is None:
        best = first_blend(asked, ties, relaxed, questions)
        if best is not None and is_question(asked):
            return ended(asked, best, relaxed.objective)
    if not questions.may_go_on():
        return stopped(asked, best, relaxed.objective)
    part, bound = fixed(Part.of(asked, ties), relaxed, best, questions)
    if part is None:
        return stopped(asked, best, bound, limited=False)
    found = questions.whole(part.programme, None if best is None else best[part.columns])
    if found.feasible:
        point = part.whole(found.point)
        allowed = least_of(asked, [rounded(asked, ties, point), point, best])
        best = point if allowed is None else allowed
    if not found.limited:
        return stopped(asked, best, found.bound if found.feasible else np.inf, limited=False)
    return stopped(asked, best, max(bound, found.bound))


def ended(asked: Programme, best: Vector, bound: float) -> Outcome:
    """The best blend, with a bound no higher than it."""
    objective = value(asked, best)
    return Outcome(feasible=True, objective=objective, bound=min(objective, bound), point=best)


def stopped(asked: Programme, best: Vector | None, bound: float, *, limited: bool = True) -> Outcome:
    """What there is to tell when no more may be asked."""
    if best is None:
        return Outcome(feasible=False, bound=bound, limited=limited)
    return ended(asked, best, bound)._replace(limited=limited)


def most_that_pays(programme: Programme, ties: Ties, relaxed: Outcome, cut: float) -> Vector:
    """The most of each column in any point that costs less than `cut`, by its reduced cost at the linear optimum."""
    room = cut - relaxed.objective + PAD * max(1.0, abs(cut))
    at_low = np.abs(relaxed.point - programme.column_low) <= DUST
    costs = np.where(at_low, np.maximum(relaxed.reduced_cost, 0.0), 0.0)
    most = np.full(len(costs), np.inf)
    dear = costs > PAD
    most[dear] = programme.column_low[dear] + room / costs[dear]
    switched = ties.is_cap & dear[ties.shares]
    share, switch = ties.shares[switched], ties.switches[switched]
    most[share] = np.minimum(most[share], np.maximum(0.0, room - costs[switch]) / costs[share] + DUST)
    return most


def fixed(part: Part, relaxed: Outcome, best: Vector | None, questions: Questions) -> tuple[Part | None, float]:
    """The part of a programme that may still hold a better blend, and the linear bound over it; no part if none can.

    The bound holds for the whole programme as far as it does not go beyond the blend in hand.
    """
    cut = np.inf if best is None else value(part.programme, best)
    for _ in range(MOST_ROUNDS if best is not None else 0):
        before = part.open
        part = part.narrowed(most_that_pays(part.programme, part.ties, relaxed, cut))
        relaxed = questions.in_part(part.programme).minimise()
        if not relaxed.feasible or relaxed.objective >= cut:
            return None, cut
        if part.open > WORTH * before:
            break
    return part, relaxed.objective


def first_blend(asked: Programme, ties: Ties, relaxed: Outcome, questions: Questions) -> Vector | None:
    """Some blend that counts right, found without a search of the whole; None where that does not do.

    Fats are made fewer by weighing each by one over its share (Candes, Wakin & Boyd 2008, doi:10.1007/s00041-008-9045-x).
    Where cost matters a small search over the fats that promise most comes first.
    """
    if not is_question(asked) and np.count_nonzero(asked.integer) > PROMISING:
        part = Part.of(asked, ties).narrowed(promising(asked, ties, relaxed))
        found = questions.whole(part.programme, None)
        if found.feasible:
            best = least_of(asked, [rounded(asked, ties, part.whole(found.point)), part.whole(found.point)])
            if best is not None:
                return best
    shares = capped(ties)

    def weigh(point: Vector) -> Vector:
        weights = np.zeros_like(point)
        weights[shares] = 1.0 / (point[shares] + EPSILON)
        return weights

    for point in questions.sparser(asked, weigh, relaxed.point):
        best = least_of(asked, [rounded(asked, ties, point)])
        if best is not None:
            return best
    return None


def capped(ties: Ties) -> Places:
    """The columns of the shares that a switch caps, each once, in their order; numpy's own way loads masked arrays."""
    return np.array(sorted(set(ties.shares[ties.is_cap].tolist())), dtype=np.intp)


def promising(asked: Programme, ties: Ties, relaxed: Outcome) -> Vector:
    """No limit on the fats of the linear optimum and those nearest to it by reduced cost; nothing of the others."""
    shares = capped(ties)
    used = relaxed.point[shares] > DUST
    order = np.lexsort((shares, np.where(used, -1.0, relaxed.reduced_cost[shares])))
    most = np.full(len(asked.money), np.inf)
    most[shares[order[max(PROMISING, int(used.sum())) :]]] = 0.0
    return most


def telling(programme: Programme, objective: Vector) -> Callable[[float], str]:
    """What to tell of a search, given its bound: the cost per kilo so far and that below which there is none."""
    cured = programme.cured
    ratio = float((programme.money - objective) @ cured) / (float(cured @ cured) or 1.0)
    if not ratio or not np.allclose(objective, programme.money - ratio * cured):
        return lambda _: "counting fats"
    least = float(cured[: programme.columns.count].min(initial=np.inf))
    money = f"{programme.columns.shelf.currency} / kg"

    def words(bound: float) -> str:
        floor = f", no blend below {ratio + min(0.0, bound) / least:.2f}" if np.isfinite(bound) else ""
        return f"counting fats: best {ratio:.2f} {money}{floor}"

    return words
