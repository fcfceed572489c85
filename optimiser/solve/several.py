"""The cheapest plan of several bars over one shelf: preferences settled, pinches tidied bar by bar, and what is proved of it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.elastic import with_slack
from optimiser.model.programme import Programme, build
from optimiser.planning.blocks import Block, Member, own
from optimiser.planning.offers import Offer
from optimiser.planning.together import Together, together
from optimiser.problem.buying import ALL
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import least_share
from optimiser.problem.shelf import Shelf
from optimiser.solve.easing import NOT_EXACTLY, STEP_WORTH, giving, within_ends
from optimiser.solve.optimum import GIVES, SPARED, Cheapest, may_spare, meets_more, settle_preferences
from optimiser.solve.outcomes import Outcome, SolverFault, Undecided, Work
from optimiser.solve.pinches import DUST, NEXT_TO_NOTHING, pinches_of, without_pinches
from optimiser.solve.proof import lower_bound
from optimiser.solve.solver import Live
from optimiser.solve.switches import with_choice

MOST_ROUNDS = 8
Choices = Mapping[str, Side]
"""The fats of a bar that are left out (at most) or brought up (at least)."""


class Bar(NamedTuple):
    """One bar that is asked for: its name, its goals, the shelf as it may use it, and what a kilo of it costs with that to itself."""

    name: str
    sheet: GoalSheet
    shelf: Shelf
    worth: float


class Bought(NamedTuple):
    """What may be bought for a plan: the offers, and the share at which what is left counts; nothing where no file says so.

    `at_least_prices`: goals on the cost reckon with the least that a kilo can cost, whatever tins are bought.
    """

    offers: tuple[Offer, ...] = ()
    left_counts: float = ALL
    at_least_prices: bool = False


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
    return together(members, bought.offers, bought.left_counts, at_least_prices=bought.at_least_prices)


def allot(plan: Together, work: Work) -> Allotted | None:
    """The cheapest plan with its preferences met as far as they can be; None where there is none.

    Raises:
        SolverFault: the solver loses a plan that there is.
        Undecided: fats are counted, and the work allowed did not do.
    """
    for give in GIVES if plan.programme.soft else GIVES[:1]:
        found = held_at(plan, give, work)
        if found is not None:
            return sparing(found, give, work)
        if not plan.programme.soft or not is_any(plan, work):
            return None
    raise SolverFault("there is a plan, and the solver loses it")


def held_at(plan: Together, give: float, work: Work, *, spare: bool = False) -> Allotted | None:
    """The cheapest plan from cold with its preferences held with so much room (see `settle_preferences`); None where none is found."""
    live = Live(plan.programme, work)
    short = settle_preferences(live, give, spare=spare)
    if short is None:
        return None
    outcome = live.minimise(live.programme.money)
    return told(plan, live, outcome, short) if outcome.feasible else None


def sparing(found: Allotted, give: float, work: Work) -> Allotted:
    """The same with a little less of what is not used up in full, as for one bar: where it saves a part of the cost as large, or uses up more."""
    programme = found.plan.programme
    if not may_spare(programme, found.short):
        return found
    try:
        less = held_at(found.plan, give, work, spare=True)
    except Undecided:
        return found
    if less is None:
        return found
    whole = sum(block.member.worth * cured_kg(block, found.point) for block in found.plan.blocks)
    pays = less.beyond < found.beyond - SPARED * (whole + max(0.0, found.beyond))
    return less if pays or meets_more(programme, found.short, less.short) else found


def is_any(plan: Together, work: Work) -> bool:
    """Whether there is any plan at all."""
    return Live(plan.programme, work).minimise(np.zeros_like(plan.programme.money)).feasible


def told(plan: Together, live: Live, outcome: Outcome, short: tuple[float, ...]) -> Allotted:
    """A plan with what is proved of it."""
    programme = live.programme
    exact = not programme.is_mixed_integer
    least = float(lower_bound(programme, programme.money, outcome.row_dual)) if exact else outcome.bound
    point = outcome.point
    return Allotted(plan, live, point, float(programme.money @ point), least, exact, short, outcome.limited)


# -- pinches -------------------------------------------------------------------------------------------------------


def tidied(bars: Sequence[Bar], bought: Bought, found: Allotted, work: Work) -> Allotted:
    """The plan without pinches, as far as they can be had out of it.

    First all pinches of all bars are left out at once, where that costs next to nothing; else bar by bar in the order of the plan,
    each as it is by itself (`without_pinches`), but what it costs is what the whole plan then costs, told as the cost per kilo of that bar.
    What is counted stays as it is meanwhile, and is asked anew at the end.
    """
    out = all_left_out(bars, bought, found, work)
    if out is None:
        out = one_after_another(bars, bought, found, work)
    if not any(out):
        return found
    sheets = [bar.sheet._replace(no_pinch=fats) for bar, fats in zip(bars, out, strict=True)]
    again = allot(joined(at(bars, sheets), bought), work)
    return found if again is None else again


def held(plan: Together, found: Allotted) -> Together:
    """A plan of the same columns in which all that is counted stays as it was found."""
    programme = plan.programme
    return replace(plan, programme=with_choice(programme, found.point)) if programme.is_mixed_integer else plan


def all_left_out(bars: Sequence[Bar], bought: Bought, found: Allotted, work: Work) -> list[Choices] | None:
    """Every pinch of every bar left out, and what is a pinch then; None where that cannot be, or costs more than next to nothing."""
    out: list[Choices] = [{} for _ in bars]
    now = found
    whole = sum(bar.worth * cured_kg(block, found.point) for bar, block in zip(bars, found.plan.blocks, strict=True))
    for _ in range(MOST_ROUNDS):
        pinches = [pinches_in(bar, now, place) for place, bar in enumerate(bars)]
        if not any(pinches):
            return out
        out = [{**fats, **dict.fromkeys(sorted(names), Side.AT_MOST)} for fats, names in zip(out, pinches, strict=True)]
        sheets = [bar.sheet._replace(no_pinch=fats) for bar, fats in zip(bars, out, strict=True)]
        again = allot(held(joined(at(bars, sheets), bought), found), work)
        if again is None or not meets_as_much(again, found):
            return None
        if again.beyond > found.beyond + NEXT_TO_NOTHING * whole:
            return None
        now = again
    return None


def pinches_in(bar: Bar, found: Allotted, place: int) -> set[str]:
    """The pinches of one bar of a plan."""
    least = least_share(bar.sheet)
    if least is None:
        return set()
    return pinches_of(bar.sheet, found.plan.blocks[place].member.programme, of_bar(found, place), least)


def meets_as_much(again: Allotted, found: Allotted) -> bool:
    """Whether a plan meets every preference as far as another."""
    return all(after <= before + DUST for after, before in zip(again.short, found.short, strict=True))


def one_after_another(bars: Sequence[Bar], bought: Bought, found: Allotted, work: Work) -> list[Choices]:
    """What is left out or brought up in each bar, one bar after the other, as long as there is work left."""
    out: list[Choices] = [{} for _ in bars]
    now = found
    for place, bar in enumerate(bars):
        if not work.left or not pinches_in(bar, now, place):
            continue
        sheets = [one.sheet._replace(no_pinch=fats) for one, fats in zip(bars, out, strict=True)]

        def solved(rows: Programme, place: int = place, sheets: list[GoalSheet] = sheets) -> Cheapest | None:
            again = allot(held(joined(at(bars, sheets), bought, {place: rows}), found), work)
            return None if again is None else of_bar(again, place)

        out[place] = without_pinches(bar.sheet, now.plan.blocks[place].member.programme, of_bar(now, place), solved)
        if out[place]:
            sheets[place] = bar.sheet._replace(no_pinch=out[place])
            again = allot(held(joined(at(bars, sheets), bought), found), work)
            now, out[place] = (now, {}) if again is None else (again, out[place])
    return out


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


def drawn_near_rules(
    bars: Sequence[Bar], places: Collection[int], bought: Bought, work: Work
) -> dict[str, list[float]] | None:
    """What each bar draws of each fat (kg) where rules of the house of some of them give way by the least sum of steps and money.

    None where there is no plan however far they give way.
    """
    parts: dict[int, Programme] = {}
    wishes = []
    for place, bar in enumerate(bars):
        if place not in places:
            continue
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
