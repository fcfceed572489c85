"""Several bars over one shelf: each by itself, then all together where the shelf is too small for that, and what is bought.

Each bar is asked with the shelf to itself. If what they draw is there, that is the plan. If not, one programme of all of
them settles who has how much of what is scarce (`solve.several`), and each bar is asked anew with what it has: so each is answered,
rounded and judged like any other. What a plan draws is never more than there is, since each bar is given what those before it
left in grams, less what those after it are to have.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from optimiser.answers.asked import begin
from optimiser.answers.blend import Answered, answered, why_not
from optimiser.answers.plan_apart import one_by_one
from optimiser.answers.plan_prices import prices_by_bar
from optimiser.answers.plan_results import NoPlan, Plan, PlanBar, PlanProof
from optimiser.answers.plan_shares import (
    HAIR,
    INFINITE,
    ROUNDS_BY,
    Supply,
    beyond_share,
    cost_of_the_rest,
    fits,
    in_turn,
    scarce_fats,
    weighed_out,
    with_spare_lots,
)
from optimiser.answers.plan_shortages import no_plan
from optimiser.answers.results import Blend, NoBlend
from optimiser.files.plan_question import read_plan_question
from optimiser.problem.plan import PlanQuestion
from optimiser.problem.question import Question
from optimiser.problem.units import Units
from optimiser.solve.easing import bare
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.progress import about
from optimiser.solve.several import Allotted, Bar, allot, drawn_near_rules, joined, tidied
from optimiser.solve.yielding import Asked, as_written, cheapest, with_pinches, yielding

MOST_WORK = 60e6  # of the solver, for one plan: some two minutes of a machine of 2025
TIDY_WORK = 10e6  # of it, for pinches
ENOUGH_LATER = 0.1  # kg, of which a gram or two is nothing
TRIES = 3  # of a bar, where rounding takes a gram more than it is given


def answer_plan(
    plan_file: Path, shelf_file: Path | None = None, *, units: Units | None = None, on: str = ""
) -> Plan | NoPlan:
    """What to make from what, for a plan file; or why that cannot be.

    Args:
        plan_file: the maker's YAML.
        shelf_file: used in place of the plan's own shelf.
        units: what weights are told in, in place of what the shelf says.
        on: the day by which lots are in date (ISO 8601), in place of what the goal files tell; today where neither does.

    Raises:
        BadInput: with every fault of the files.
        SolverFault: the solver failed; no fault of the files.
    """
    return planned(read_plan_question(plan_file, shelf_file, begin, units=units, on=on))


def planned(question: PlanQuestion) -> Plan | NoPlan:
    """The same of a plan as values."""
    supply = Supply.of(question)
    work = Work(MOST_WORK)
    asked: list[Asked] = []
    for name, one in zip(question.names, question.bars, strict=True):
        with about(lambda name=name: f"asking {name} by itself"):  # type: ignore[misc]
            asked.append(cheapest(one.goals, supply.shelf(one.shelf)))
    stuck = [place for place, one in enumerate(asked) if one.found is None]
    if stuck:
        alone = [(question.names[place], alone_why(question, place, asked[place])) for place in stuck]
        return no_plan(question, tuple(alone))
    bars = [
        Bar(name, one.sheet._replace(no_pinch={}), supply.shelf(part.shelf), one.found.ratio)
        for name, one, part in zip(question.names, asked, question.bars, strict=True)
        if one.found is not None
    ]
    if fits(asked, supply) and (found := by_themselves(question, asked, supply)) is not None:
        return found
    with about(lambda: "sharing out what is scarce"):
        shared = share_out(question, bars, supply, work)
    if shared is None:
        return no_plan(question, bars=[without_house(bar) for bar in bars], house=bars, bought=supply.bought)
    return told(question, shared, supply)


def alone_why(question: PlanQuestion, place: int, asked: Asked) -> NoBlend:
    """Why a bar has no blend even with the shelf to itself."""
    one, said = question.bars[place], question.sheet.buying
    if said is None:
        return why_not(one._replace(goals=asked.sheet), asked.programme)
    from optimiser.planning.building import build

    goals = asked.sheet._replace(buying=said.to_make)  # as of one bar: what cannot be bought is no stock of 0 kg
    return why_not(one._replace(goals=goals), build(goals, one.shelf))


def without_house(bar: Bar) -> Bar:
    """A bar without all that gives way: clashes are told of that."""
    from optimiser.model.programme import build

    may = frozenset(rule.name for rule in yielding(bar.sheet, build(bar.sheet, bar.shelf)))
    return bar._replace(sheet=bare(bar.sheet, may))


# -- nothing is scarce ---------------------------------------------------------------------------------------------


def by_themselves(question: PlanQuestion, asked: Sequence[Asked], supply: Supply) -> Plan | None:
    """The plan in which each bar is what it is by itself; None where what is weighed out is more than there is after all."""
    if supply.is_told:
        return None
    answers = [answered(one) for one in question.bars]
    blends = [one.story for one in answers if isinstance(one.story, Blend)]
    if len(blends) < len(answers) or supply.is_overdrawn(blends):
        return None
    least = sum(blend.proof.cheapest_possible_per_kg * cured(blend) for blend in blends)
    cost = sum(ratio_of(one) * cured(blend) for one, blend in zip(answers, blends, strict=True))
    exact = all(blend.proof.exact for blend in blends)
    limited = any(blend.proof.is_limited for blend in blends)
    proof = PlanProof(least, gap(cost, least), exact, is_limited=limited)
    bars = plan_bars(question, blends, [one.found.ratio for one in asked if one.found is not None])
    return supply.plan(question, bars, proof, (), None)


def ratio_of(one: Answered) -> float:
    """The cost per kilo of an answer that has a blend."""
    assert one.ratio is not None
    return one.ratio


def cured(blend: Blend) -> float:
    """What a batch weighs when it is cured, kg."""
    return blend.cost.cured_grams / 1000.0


def gap(cost: float, least: float) -> float:
    """By how much a cost lies above what is proved, relative."""
    return max(0.0, cost - least) / cost if cost > 0.0 else 0.0


def plan_bars(question: PlanQuestion, blends: Sequence[Blend], worth: Sequence[float]) -> tuple[PlanBar, ...]:
    """The bars of a plan with their blends."""
    written = [bar.written for bar in question.sheet.bars]
    return tuple(PlanBar(*parts) for parts in zip(question.names, written, blends, worth, strict=True))


# -- something is --------------------------------------------------------------------------------------------------


class Shared(NamedTuple):
    """Who has how much: the plan found, the same before pinches were tidied, and whether rules of the house gave way to it."""

    bars: list[Bar]
    found: Allotted
    before: Allotted
    is_whole: bool


def share_out(question: PlanQuestion, bars: list[Bar], supply: Supply, work: Work) -> Shared | None:
    """The cheapest plan; where the house leaves no room for one its rules give way, each bar's as they do by itself."""
    found = allot(joined(bars, supply.bought), work)
    is_whole = found is not None
    if found is None:
        bars, found = share_out_eased(question, bars, supply, work)
    if found is None:
        return None
    tidy = tidied(bars, supply.bought, found, Work(min(TIDY_WORK, work.left)))
    return Shared(bars, tidy, found, is_whole)


def share_out_eased(
    question: PlanQuestion, bars: list[Bar], supply: Supply, work: Work
) -> tuple[list[Bar], Allotted | None]:
    """The cheapest plan in which rules of the house give way in as few bars as does: in one, the last that does, or in several at the end.

    Where none is found in which they give way by steps, it is the plan without them, and each bar keeps of them what it then can.
    """
    without = allot(joined([without_house(bar) for bar in bars], supply.bought), work)
    if without is None:
        return bars, None

    def eased(places: Sequence[int], drawn: Mapping[str, Sequence[float]] | None) -> tuple[list[Bar], Allotted] | None:
        made = [] if drawn is None else eased_apart(question, bars, places, supply, drawn)
        found = allot(joined(made, supply.bought), work) if made else None
        return None if found is None else (made, found)

    def in_some(places: Sequence[int]) -> tuple[list[Bar], Allotted] | None:
        pairs = enumerate(zip(bars, question.bars, strict=True))
        mixed = [bar._replace(sheet=one.goals) if place in places else bar for place, (bar, one) in pairs]
        return eased(places, drawn_near_rules(mixed, places, supply.bought, work))

    count = len(bars)
    for place in reversed(range(count)):
        if (found := in_some([place])) is not None:
            return found
    best = None
    low, high = 2, count
    while low <= high:  # the more bars may give way, the more room there is
        middle = (low + high) // 2
        found = in_some(range(count - middle, count))
        best, low, high = (best, middle + 1, high) if found is None else (found, low, middle - 1)
    best = best or eased(range(count), without.plan.drawn(without.point))
    return best or ([without_house(bar) for bar in bars], without)


def eased_apart(
    question: PlanQuestion,
    bars: Sequence[Bar],
    places: Collection[int],
    supply: Supply,
    drawn: Mapping[str, Sequence[float]],
) -> list[Bar]:
    """The bars, some with the rules of the house as they give way to what they then have; none where one has no blend of that.

    Args:
        question: the plan.
        bars: its bars.
        places: those whose rules give way.
        supply: what there is.
        drawn: what each bar has of each fat, kg.
    """
    out = list(bars)
    for place in places:
        one = question.bars[place]
        share = {
            fat: kilos[place] + HAIR for fat, kilos in drawn.items() if supply.is_told or supply.there[fat] < INFINITE
        }
        found = with_pinches(as_written(one.goals), supply.shelf(one.shelf, share), Work(), None)
        if found.found is None:
            return []
        out[place] = bars[place]._replace(sheet=found.sheet)
    return out


def told(question: PlanQuestion, shared: Shared, supply: Supply) -> Plan:
    """The plan in words and grams: each bar asked with what it has.

    Raises:
        SolverFault: a bar has no blend of what it was given.
    """
    found = shared.found
    drawn = found.plan.drawn(found.point)
    first, supply = supply, supply.once_bought(found).with_purchases(supply.used(found), len(question.bars))
    prices = prices_by_bar(shared.bars, found, supply)
    more = [0.0, ROUNDS_BY] if not shared.is_whole else [ROUNDS_BY, INFINITE] if found.plan.draws else [INFINITE]
    weighed: dict[int, Blend] = {}
    order = coarsest_first(question)
    for turn, place in enumerate(order):
        one, later = question.bars[place], order[turn + 1 :]
        before = list(weighed.values())
        shares = [in_turn(supply, drawn, before, (place, later), beyond=beyond) for beyond in more]
        if shared.is_whole:
            shares = [with_spare_lots(share, drawn, one, (place, later)) for share in shares]
        with about(lambda place=place: f"weighing out {question.names[place]}"):  # type: ignore[misc]
            at_its_prices = replace(supply, prices=prices[place])
            weighed[place] = weighed_within(one, at_its_prices, shares, room_for(drawn, later))
    blends = [weighed[place] for place in range(len(question.bars))]
    worth = [bar.worth for bar in shared.bars]
    bars = plan_bars(question, blends, worth)
    apart = one_by_one(question, shared.bars, first, found)
    return supply.plan(question, bars, proof_of(shared, blends, supply), scarce_fats(found, blends), apart)


def coarsest_first(question: PlanQuestion) -> list[int]:
    """The bars by the steps of their balances, the coarsest first, else in the order of the plan: a finer one fits in with what is left."""
    return sorted(range(len(question.bars)), key=lambda place: -(question.bars[place].goals.batch.scale_g or 0.0))


def room_for(drawn: Mapping[str, Sequence[float]], later: Sequence[int]) -> dict[str, float]:
    """How much more of each fat than it is given a bar may take by rounding: a little where bars after it can do with so much less."""
    return {
        fat: ROUNDS_BY if sum(kilos[place] for place in later) > ENOUGH_LATER else 0.0 for fat, kilos in drawn.items()
    }


def weighed_within(
    one: Question, supply: Supply, shares: Sequence[Mapping[str, float]], room: Mapping[str, float]
) -> Blend:
    """A bar of what it is given, the first of some shares that makes one.

    Raises:
        SolverFault: it has no blend of any.
    """
    for share in shares:
        if (blend := of_share(one, supply, share, room)) is not None:
            return blend
    raise SolverFault(f"there is a plan, and {one.goals.title} is lost when it is worked out by itself")


def of_share(one: Question, supply: Supply, share: Mapping[str, float], room: Mapping[str, float]) -> Blend | None:
    """A bar of a share, whose grams as weighed are no more than that, and a little room, as far as rounding for the balance allows.

    None where it has no blend of that.
    """
    best: Blend | None = None
    given = dict(share)
    for _ in range(TRIES):
        answer = answered(one._replace(shelf=supply.shelf(one.shelf, given)))
        if not isinstance(answer.story, Blend):
            break
        best = answer.story
        over = beyond_share(answer.story, {fat: kilos + room.get(fat, 0.0) for fat, kilos in share.items()})
        if not over:
            break
        given = {fat: max(0.0, kilos - over.get(fat, 0.0)) for fat, kilos in given.items()}
    return best


def proof_of(shared: Shared, blends: Sequence[Blend], supply: Supply) -> PlanProof:
    """What is proved of every plan, beside the one told: of so much of each bar none comes to less."""
    before, found = shared.before, shared.found
    fats = supply.amount(weighed_out(blends))
    cost = fats + sum(map(cost_of_the_rest, blends))
    least = sum(bar.worth * cured(blend) for bar, blend in zip(shared.bars, blends, strict=True)) + before.least
    limited = before.is_limited or found.is_limited
    return PlanProof(min(cost, least), gap(cost, least), before.exact, supply.is_cash, limited, shared.is_whole)
