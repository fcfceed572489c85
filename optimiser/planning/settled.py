"""A blend found, and what is bought for it: the bills, and the same question over a shelf on which all of that stands already.

Rounding and judging know nothing of buying: they get a shelf whose stock is what there is once everything is bought, at what a
kilo of each fat used cost on the average.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from optimiser.model import programme as plain
from optimiser.model.programme import Programme
from optimiser.planning.building import priced
from optimiser.planning.offers import Offer, Tin, offers
from optimiser.planning.orders import Bill, bill, told
from optimiser.problem.buying import Buying, Taken
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin

FINE = 1e-3  # kg: what is more than there is counts by the gram where it is rounded, not by the half kilo
NONE_LEFT = 1e-7  # kg


def bills_of(shelf: Shelf, buying: Buying, used_kg: Mapping[str, float], beyond_kg: float = 0.0) -> tuple[Bill, ...]:
    """What is bought for a blend, fat by fat.

    Args:
        shelf: as its maker wrote it.
        buying: what may be bought, or what is.
        used_kg: kilos of each fat that the blend takes.
        beyond_kg: so much more of a fat than there is is no reason to buy another pack.
    """
    every = offers(shelf.fats, buying.buy)
    return tuple(
        _bill(offer, used_kg[offer.fat], buying, beyond_kg) for offer in every if used_kg.get(offer.fat, 0.0) > 0.0
    )


def _bill(offer: Offer, used: float, buying: Buying, beyond: float) -> Bill:
    """One fat: out of what is bought for certain, or as is best for so much of it."""
    if buying.taken is not None:
        own = [one for one in buying.taken if one.fat == offer.fat]
        short = max(
            0.0, used - offer.stock_kg - sum(one.kilos for one in own)
        )  # what rounding adds is bought where it can be
        return told(
            offer,
            used,
            [(Tin(one.size_kg, one.per_kg), one.number + (0.0 if one.size_kg else short)) for one in own],
        )
    least = max(0.0, used - beyond)
    found = bill(
        offer, least if offer.orders or least < offer.stock_kg else min(least, offer.stock_kg), buying.left_counts
    )
    lines = [(line.tin, line.number) for line in found.lines]
    if any(line.tin.is_loose for line in found.lines):
        return bill(offer, used, buying.left_counts)
    return told(offer, used, lines)


def taken_of(bills: Iterable[Bill]) -> tuple[Taken, ...]:
    """What is bought, as what is bought for certain."""
    return tuple(Taken(line.fat, line.tin.size_kg, line.tin.per_kg, line.number) for one in bills for line in one.lines)


def shelf_once_bought(shelf: Shelf, buying: Buying, bills: Sequence[Bill]) -> Shelf:
    """The shelf with all that is bought on it, each fat that is used at what a kilo of it cost; loose goods have no end."""
    by_fat = {one.fat: one for one in bills}
    fats = []
    for item in priced(shelf, buying).fats:
        one = by_fat.get(item.fat.name)
        there = (item.stock_kg or 0.0) + (one.bought_kg if one is not None else 0.0)
        loose = one is None or any(line.tin.is_loose for line in one.lines) or math.isinf(there)
        price = item.price if one is None else one.cost_used / one.used_kg
        fats.append(item._replace(price=price, stock_kg=None if loose else max(there, one.used_kg if one else 0.0)))
    return shelf._replace(fats=tuple(fats))


def for_rounding(sheet: GoalSheet, shelf: Shelf) -> Programme:
    """The rows that a rounded blend is held against, over a shelf on which everything stands."""
    made = plain.build(sheet._replace(buying=None), shelf)
    rows = tuple(row._replace(scale=FINE) if row.origin == Origin.STOCK else row for row in made.rows)
    return replace(made, rows=rows)
