"""What a kilo of each fat costs each bar of a plan: what all kilos of it cost on the average, or else those the bar itself draws."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from optimiser.answers.plan_shares import Supply
from optimiser.model.programme import build
from optimiser.planning.building import on_cost
from optimiser.planning.orders import Bill
from optimiser.planning.paid import paid_apart
from optimiser.solve.several import Allotted, Bar

COST_HAIR = 1e-6  # of a limit on the cost


def prices_by_bar(bars: Sequence[Bar], found: Allotted, supply: Supply) -> list[dict[str, float]]:
    """What a kilo of each fat costs each bar, so that every goal on the cost holds.

    Where goals hold at what a kilo costs on the average of all that is used of it, that is what every bar is told. Where they do not, the
    bars with a goal on the cost are weighed out of the tins that the plan has for them, and the others out of the rest.

    Args:
        bars: the bars of the plan.
        found: the plan.
        supply: what there is, once it is bought, with what a kilo costs on the average.
    """
    average = dict(supply.prices)
    if not found.plan.draws or cost_holds(bars, found, average):
        return [average for _ in bars]
    drawn = found.plan.drawn(found.point)
    apart = paid_apart(found.plan.draws, found.point, drawn)
    out = [dict(average) for _ in bars]
    for bill in supply.bills_for(supply.used(found)):
        if bill.fat in apart and bill.used_kg > 0.0:
            for place, price in enumerate(shared(bill, drawn[bill.fat], apart[bill.fat])):
                out[place][bill.fat] = price
    return out


def shared(bill: Bill, kilos: Sequence[float], paid: Mapping[int, float]) -> list[float]:
    """What a kilo of a fat costs each bar: what some pay is known, the others share what is left of the bill.

    Never more than the bill in all, and no kilo below the cheapest of it: what is drawn out of dear tins while cheap ones are left is
    told at what it costs out of those.
    """
    average = bill.cost_used / bill.used_kg
    cheapest = min([line.tin.per_kg for line in bill.lines] + [average])
    rest = sum(part for place, part in enumerate(kilos) if place not in paid)
    left = bill.cost_used - sum(paid.values())
    least = rest * cheapest
    of_paid = 1.0
    if paid and (left < least or not rest):
        of_paid = (bill.cost_used - least) / sum(paid.values())
        left = least
    for_others = left / rest if rest > 0.0 else average
    return [
        of_paid * paid[place] / part if place in paid and part > 0.0 else for_others for place, part in enumerate(kilos)
    ]


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
