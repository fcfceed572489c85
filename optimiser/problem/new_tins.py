"""Fats of which tested lots are in hand, and of which more may be bought: what is bought is another tin.

A certificate tells one lot. A kilo that is bought has none yet: it is the fat as the table has it, with the wider spread of its
lots, and so a fat of its own beside the lots in hand. Its packs, breaks and least order are those of the fat. A lot that tells no
stock can be bought as that very lot, and then no other tin is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.materials.fat import tin_name
from optimiser.problem.buying import Buy

if TYPE_CHECKING:
    from collections.abc import Iterable

    from optimiser.problem.buying import Buying
    from optimiser.problem.shelf import Shelf, Stocked


def with_new_tins(shelf: Shelf, buying: Buying | None) -> Shelf:
    """The shelf with a tin of each such fat that is still to be bought; without any where nothing may be.

    Args:
        shelf: what there is; the very shelf comes back where it has those tins and no others.
        buying: what may be bought; None where nothing is said of that.
    """
    none = buying is None or buying.buy == Buy.NONE
    endless = {item.fat.known_as for item in shelf.fats if item.stock_kg is None}
    wanted = () if none else tuple(item for item in shelf.to_buy if item.fat.known_as not in endless)
    kept = {item.fat.name for item in wanted}
    there = {item.fat.name for item in shelf.fats if item.fat.to_buy}
    if there == kept:
        return shelf
    in_hand = (item for item in shelf.fats if item.fat.name in kept or not item.fat.to_buy)
    return shelf._replace(fats=(*in_hand, *(item for item in wanted if item.fat.name not in there)))


def to_buy(lots: Iterable[Stocked]) -> tuple[Stocked, ...]:
    """A tin of each fat that has lots, as it would be bought: no certificate, and none of it there yet."""
    by_fat: dict[str, list[Stocked]] = {}
    for item in lots:
        if item.bought_as is not None:
            by_fat.setdefault(item.fat.known_as, []).append(item)
    return tuple(new_tin(items) for items in by_fat.values())


def new_tin(lots: list[Stocked]) -> Stocked:
    """The next tin of a fat with these lots; at what the dearest of them cost where the fat has no price of its own."""
    whole = lots[0].bought_as
    assert whole is not None  # or it were none of them
    fat = whole.fat._replace(name=tin_name(whole.fat.name), base=whole.fat.group, lot_of=whole.fat.name, to_buy=True)
    price = whole.price or max(item.price for item in lots)
    return whole._replace(fat=fat, price=price, stock_kg=0.0)


def is_kept_in_hand(item: Stocked, stocked: Iterable[Stocked]) -> bool:
    """Whether no more can be had of a lot but what is there, since what is bought is another tin or another lot."""
    if item.bought_as is None or item.fat.to_buy or item.stock_kg is None:
        return False
    others = [one for one in stocked if one.fat.known_as == item.fat.known_as]
    return any(one.fat.to_buy or one.stock_kg is None for one in others)
