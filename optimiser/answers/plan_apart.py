"""A plan beside its bars one by one: each answered from what those before it left, or buying what it needs by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from optimiser.answers.plan_results import OneByOne
from optimiser.answers.plan_shares import Supply, drawn_alone
from optimiser.planning.offers import Offer
from optimiser.planning.orders import Bill
from optimiser.problem.plan import PlanQuestion
from optimiser.solve.outcomes import Work
from optimiser.solve.several import Allotted, Bar, Bought, allot, joined
from optimiser.solve.yielding import cheapest

MONEY = 1e-9
CRUMB = 1e-7  # kg


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
    """The same where it is told what may be bought: what each buys and does not use is left for the next.

    Goals on the cost reckon with the least that a kilo can cost here: a bar by itself may have no blend at what it pays, and what is
    told of the plan beside this is then never too much.
    """
    every = {one.fat: one for one in supply.every}
    cash, dearer = 0.0, -weighed_cost(found, supply)
    for bar in bars:
        offers = tuple(every.values())
        alone = allot(joined([bar], Bought(offers, supply.left_counts, at_least_prices=True)), Work())
        if alone is None:
            return OneByOne(None, bar.name)
        now = replace(supply, every=offers)
        for one in now.bills_for(now.used(alone)):
            cash += one.cash
            dearer += one.cost_used
            every[one.fat] = with_what_is_left(every[one.fat], one)
    return OneByOne(dearer, cash=cash)


def with_what_is_left(offer: Offer, bill: Bill) -> Offer:
    """A fat once so much of it is used: what is left of the stock and of what was bought, at what both cost on the average."""
    old = offer.stock_kg - bill.from_stock_kg
    left = max(0.0, offer.stock_kg + bill.bought_kg - bill.used_kg)
    worth = old * offer.price + bill.value_left
    return offer._replace(stock_kg=left, price=worth / left if left > CRUMB else offer.price)


def weighed_cost(found: Allotted, supply: Supply) -> float:
    """What the fats of a plan cost that are used."""
    return sum(one.cost_used for one in supply.once_bought(found).bills_for(supply.used(found)))
