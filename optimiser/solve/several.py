"""The cheapest plan of several bars over one shelf: preferences settled, pinches tidied bar by bar, and what is proved of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.elastic import with_slack
from optimiser.model.programme import Programme, build
from optimiser.planning.offers import Offer
from optimiser.planning.together import Block, Member, Together, own, together
from optimiser.problem.buying import ALL
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.easing import NOT_EXACTLY, STEP_WORTH, giving, within_ends
from optimiser.solve.optimum import GIVES, Cheapest, settle_preferences
from optimiser.solve.outcomes import Outcome, SolverFault, Undecided, Work
from optimiser.solve.pinches import without_pinches
from optimiser.solve.proof import lower_bound
from optimiser.solve.solver import Live


class Bar(NamedTuple):
    """One bar that is asked for: its name, its goals, the shelf as it may use it, and what a kilo of it costs with that to itself."""

    name: str
    sheet: GoalSheet
    shelf: Shelf
    worth: float


class Bought(NamedTuple):
    """What may be bought for a plan: the offers, and the share at which what is left counts; nothing where no file says so."""

    offers: tuple[Offer, ...] = ()
    left_counts: float = ALL


NOTHING_SAID = Bought()


class Allotted(NamedTuple):
    """The cheapest plan: its point over the columns of `plan`, and what it costs beyond each bar's own cheapest cost.

    `least` is proved: no plan costs less than so much beyond it; exactly where `exact`, else by the solver's own bound.
    `short` is by how much each preference falls short, in the order in which they are settled.
    """

    plan: Together
    live: Live
    point: Vector
    beyond: float
    least: float
    exact: bool
    short: tuple[float, ...] = ()
    is_limited: bool = False


def joined(
    bars: Sequence[Bar], bought: Bought = NOTHING_SAID, instead: Mapping[int, Programme] | None = None
) -> Together:
    """The programme of several bars.

    Args:
        bars: what is asked.
        bought: what may be bought for all of them.
        instead: rows of some of the bars, by place, in place of those that their goals make.
    """
    known = {} if instead is None else instead
    members = [
        Member(bar.name, known[place] if place in known else build(bar.sheet, bar.shelf), bar.worth)
        for place, bar in enumerate(bars)
    ]
    return together(members, bought.offers, bought.left_counts)


def allot(plan: Together, work: Work) -> Allotted | None:
    """The cheapest plan with its preferences met as far as they can be; None where there is none.

    Raises:
        SolverFault: the solver loses a plan that there is.
        Undecided: fats are counted, and the work allowed did not do.
    """
    live = Live(plan.programme, work)
    if not live.minimise(np.zeros_like(plan.programme.money)).feasible:
        return None
    for give in GIVES if plan.programme.soft else GIVES[:1]:
        short = settle_preferences(live, give)
        outcome = live.minimise(live.programme.money) if short is not None else Outcome(feasible=False)
        if outcome.feasible and short is not None:
            return told(plan, live, outcome, short)
        live = Live(plan.programme, work)
    raise SolverFault("there is a plan, and the solver loses it")


def told(plan: Together, live: Live, outcome: Outcome, short: tuple[float, ...]) -> Allotted:
    """A plan with what is proved of it."""
    programme = live.programme
    exact = not programme.is_mixed_integer
    least = float(lower_bound(programme, programme.money, outcome.row_dual)) if exact else outcome.bound
    point = outcome.point
    return Allotted(plan, live, point, float(programme.money @ point), least, exact, short, outcome.limited)


# -- pinches -------------------------------------------------------------------------------------------------------


def tidied(bars: Sequence[Bar], bought: Bought, found: Allotted, work: Work) -> Allotted:
    """The plan without pinches, as far as they can be had out of it, bar by bar in the order of the plan.

    Each bar is tidied as it is by itself (`without_pinches`), but what it costs is what the whole plan then costs, told as
    the cost per kilo of that bar.
    """
    sheets = [bar.sheet for bar in bars]
    for place, bar in enumerate(bars):

        def solved(rows: Programme, place: int = place) -> Cheapest | None:
            again = allot(joined(at(bars, sheets), bought, {place: rows}), work)
            return None if again is None else of_bar(again, place)

        block = found.plan.blocks[place]
        fats = without_pinches(bar.sheet, block.member.programme, of_bar(found, place), solved)
        if not fats:
            continue
        sheets[place] = bar.sheet._replace(no_pinch=fats)
        again = allot(joined(at(bars, sheets), bought), work)
        if again is None:
            sheets[place] = bar.sheet
        else:
            found = again
    return found


def at(bars: Sequence[Bar], sheets: Sequence[GoalSheet]) -> list[Bar]:
    """The bars with other goals."""
    return [bar._replace(sheet=sheet) for bar, sheet in zip(bars, sheets, strict=True)]


def of_bar(found: Allotted, place: int) -> Cheapest:
    """A plan as one of its bars sees it: its blend, and what the whole plan costs beyond the least on a kilo of it."""
    block = found.plan.blocks[place]
    cured = cured_kg(block, found.point)
    blend = block.alone(found.point)
    ratio = block.member.worth + found.beyond / cured
    return Cheapest(ratio, blend, Outcome(feasible=True, point=blend), found.short, found.is_limited)


def cured_kg(block: Block, point: Vector) -> float:
    """What a bar's batch weighs when it is cured."""
    return float(block.columns.cured @ point[block.first : block.first + block.columns.size])


# -- rules of the house that give way ------------------------------------------------------------------------------


def drawn_near_rules(bars: Sequence[Bar], bought: Bought, work: Work) -> dict[str, list[float]] | None:
    """What each bar draws of each fat (kg) where rules of the house give way by the least sum of steps and money.

    None where there is no plan however far they give way.
    """
    parts: dict[int, Programme] = {}
    wishes = []
    for place, bar in enumerate(bars):
        rows = build(bar.sheet, bar.shelf)
        names = giving(bar.sheet, rows, last=True)
        parts[place] = within_ends(bar.sheet, rows, names, last=True)
        wishes += [own(rows.row_of(name), bar.name) for name in names]
    if not wishes:
        return None
    plan = joined(bars, bought, parts)
    elastic, costs = with_slack(plan.programme, wishes, None)
    weights: list[float] = []
    for name in wishes:
        both = len(plan.programme.members[name]) == 1 and plan.programme.row_of(name).side == Side.EXACTLY
        weights += [NOT_EXACTLY, NOT_EXACTLY] if both else [1.0]
    prices = [item.price for item in bars[0].shelf.fats]
    middle = float(np.median(prices)) if prices else 0.0
    money = plan.programme.money / (STEP_WORTH * middle) if middle > 0.0 else np.zeros_like(plan.programme.money)
    try:
        outcome = Live(elastic, work).minimise(np.concatenate([money, costs * weights]))
    except Undecided:
        return None
    return plan.drawn(outcome.point[: len(money)]) if outcome.feasible else None
