"""A plan beside its bars one by one: each answered from what those before it left, or buying what it needs by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from optimiser.answers.plan_results import OneByOne
from optimiser.answers.plan_shares import Supply, drawn_alone
from optimiser.problem.plan import PlanQuestion
from optimiser.solve.outcomes import Work
from optimiser.solve.several import Allotted, Bar, Bought, allot, joined
from optimiser.solve.yielding import cheapest

MONEY = 1e-9


def one_by_one(question: PlanQuestion, bars: Sequence[Bar], supply: Supply, found: Allotted) -> OneByOne:
    """The bars answered in the order of the plan, each from what those before left."""
    if supply.said is None:
        return from_what_is_left(question, bars, supply, found)
    return each_buying(bars, supply, found)


def from_what_is_left(question: PlanQuestion, bars: Sequence[Bar], supply: Supply, found: Allotted) -> OneByOne:
    """The same where a stock is all there is."""
    left = dict(supply.there)
    dearer = -found.beyond
    otherwise: list[str] = []
    for place, (bar, one) in enumerate(zip(bars, question.bars, strict=True)):
        asked = cheapest(one.goals, supply.shelf(one.shelf, left))
        if asked.found is None:
            return OneByOne(None, bar.name)
        drawn = drawn_alone(asked)
        left = {fat: max(0.0, kilos - drawn.get(fat, 0.0)) for fat, kilos in left.items()}
        columns = asked.programme.columns
        fats_kg = sum(drawn.values())
        cured = fats_kg * float(columns.cured @ asked.found.point[: columns.size])
        dearer += (asked.found.ratio - bars[place].worth) * cured
        if asked.sheet.eased != bar.sheet.eased or asked.sheet.yielded != bar.sheet.yielded:
            otherwise.append(bar.name)
    return OneByOne(dearer if abs(dearer) > MONEY else 0.0, otherwise=tuple(otherwise))


def each_buying(bars: Sequence[Bar], supply: Supply, found: Allotted) -> OneByOne:
    """The same where it is told what may be bought: what each buys and does not use is left for the next."""
    stock = {one.fat: one.stock_kg for one in supply.every}
    cash, dearer = 0.0, -weighed_cost(found, supply)
    for bar in bars:
        every = tuple(one._replace(stock_kg=stock[one.fat]) for one in supply.every)
        alone = allot(joined([bar], Bought(every, supply.left_counts)), Work())
        if alone is None:
            return OneByOne(None, bar.name)
        used = {fat: sum(kilos) for fat, kilos in alone.plan.drawn(alone.point).items()}
        for one in replace(supply, every=every).bills_for(used):
            cash += one.cash
            dearer += one.cost_used
            stock[one.fat] = max(0.0, stock[one.fat] + one.bought_kg - one.used_kg)
    return OneByOne(dearer, cash=cash)


def weighed_cost(found: Allotted, supply: Supply) -> float:
    """What the fats of a plan cost that are used."""
    used = {fat: sum(kilos) for fat, kilos in found.plan.drawn(found.point).items()}
    return sum(one.cost_used for one in supply.bills_for(used))
