"""What a kilo counts in the goals on cost of a plan: what it is bought for, which is only known once the plan is.

A plan is asked first with every kilo at the least that it can cost: no plan that keeps its goals on cost is lost so, and what is proved then is
proved of every plan. If a goal does not hold at what the plan found really pays for a kilo, it is asked anew with the dearer
of both, and in the end with the dearest tin there is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from optimiser.answers.plan_shares import Supply
from optimiser.model.programme import build
from optimiser.planning.building import on_cost
from optimiser.solve.several import Allotted, Bar

if TYPE_CHECKING:
    from optimiser.answers.plan import Shared

REPRICINGS = 6  # of a plan; the last at the dearest tins
COST_HAIR = 1e-6  # of a limit on the cost


class Priced(NamedTuple):
    """A plan at its own prices, with the bars and the supply as it was asked; None where there is no such plan."""

    bars: list[Bar]
    supply: Supply
    shared: Shared | None


def at_true_prices(bars: list[Bar], supply: Supply, share_out: Callable[[list[Bar], Supply], Shared | None]) -> Priced:
    """A plan whose goals on cost hold at what is paid for it.

    Args:
        bars: what is asked, with every kilo at the least it can cost.
        supply: what there is, at those prices.
        share_out: the cheapest plan of some bars, at the prices of a supply.
    """
    first = shared = share_out(bars, supply)
    for turn in range(REPRICINGS):
        if shared is None or first is None:
            return Priced(bars, supply, None)
        paid = supply.with_purchases(sums(shared.found), len(bars)).prices
        if cost_holds(shared.bars, shared.found, paid):
            break
        more = supply.dearest if turn == REPRICINGS - 1 else paid
        supply = replace(supply, prices={fat: max(price, more[fat]) for fat, price in supply.prices.items()})
        bars = [bar._replace(shelf=supply.shelf(bar.shelf)) for bar in bars]
        shared = share_out(bars, supply)
    return Priced(bars, supply, None if shared is None or first is None else shared._replace(before=first.before))


def sums(found: Allotted) -> dict[str, float]:
    """What a plan uses of each fat, kg."""
    return {fat: sum(kilos) for fat, kilos in found.plan.drawn(found.point).items()}


def cost_holds(bars: Sequence[Bar], found: Allotted, prices: Mapping[str, float]) -> bool:
    """Whether every goal on the cost of every bar holds where kilos cost so much."""
    for bar, block in zip(bars, found.plan.blocks, strict=True):
        point = block.alone(found.point)
        stocked = [item._replace(price=prices[item.fat.name]) for item in bar.shelf.fats]
        programme = build(bar.sheet, bar.shelf._replace(fats=tuple(stocked)))
        wished = {place for preference in programme.soft for place in preference.rows}
        for place in set(on_cost(programme.rows)) - wished:
            row = programme.rows[place]
            if row.shortfall(point) > COST_HAIR * max(1.0, abs(row.limit)):
                return False
    return True
