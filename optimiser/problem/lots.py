"""Lots of one fat on a shelf: which go first, which have had their day, and what stands for all of them where none is named."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.fat import Fat, lot_name
from optimiser.measures.sides import SubjectKind
from optimiser.problem.limits import AT_MOST, Limit
from optimiser.problem.shelf import turn

if TYPE_CHECKING:
    from optimiser.problem.goals import GoalSheet
    from optimiser.problem.shelf import Shelf, Stocked


def older_first(lots: Iterable[Stocked]) -> tuple[Stocked, ...]:
    """Lots in the order in which they are to be used: by the day up to which they keep, those without one last."""
    return tuple(sorted(lots, key=turn))


def several(shelf: Shelf) -> Mapping[str, tuple[Stocked, ...]]:
    """The fats of which there is more than one lot, by name, each with its lots in the order in which they are to be used."""
    lots = {name: shelf.of_fat(name) for name in shelf.fat_names}
    return {name: older_first(items) for name, items in lots.items() if len(items) > 1}


def by_known_name(fats: Iterable[tuple[Fat, float]]) -> dict[str, float]:
    """How much there is of each fat, its lots together, by the name that goals know it by."""
    found: dict[str, float] = {}
    for fat, amount in fats:
        found[fat.known_as] = found.get(fat.known_as, 0.0) + amount
    return found


def whichever(lots: Sequence[Stocked]) -> Stocked:
    """What stands for the lots of a fat where none is named: all that there is, reckoned with the lowest value among them.

    Less alkali is the safe side. The price is that of the lot that goes first, and its figures reach as low as any lot's. Tins
    that are empty do not count, unless all are.
    """
    lots = in_stock(lots)
    lowest = min(lots, key=lambda item: (item.fat.saponification.value, item.fat.saponification.low))
    first = older_first(lots)[0]
    fat, low = lowest.fat, min(item.fat.saponification.low for item in lots)
    figure = fat.saponification._replace(low=low)
    plain = fat._replace(
        name=fat.known_as,
        lot="",
        lot_of="",
        own_spread="",
        base="" if fat.group == fat.known_as else fat.base,
        saponification=figure,
        spread=max(fat.spread, figure.value - low if lowest.lot is not None else 0.0),
    )
    stocks = [item.stock_kg for item in lots if item.stock_kg is not None]
    whole = math.fsum(stocks) if len(stocks) == len(lots) else None
    return lowest._replace(fat=plain, price=first.price, stock_kg=whole, best_before=first.best_before)


def in_stock(lots: Sequence[Stocked]) -> Sequence[Stocked]:
    """The lots of which there is any, or all of them where there is none of any."""
    return [item for item in lots if item.stock_kg is None or item.stock_kg > 0.0] or lots


def with_named_lots(shelf: Shelf, named: Collection[str] = ()) -> Shelf:
    """The shelf with lots by themselves where they are named, and with all others of a fat as one.

    Those others are reckoned as where none is named, so that what is worked out with them holds for a recipe that says no lot.
    """
    fats: list[Stocked] = []
    for name in shelf.fat_names:
        lots = shelf.of_fat(name)
        own = [item for item in lots if item.fat.name in named or not item.fat.lot_of]
        others = [item for item in in_stock(lots) if item not in own]
        fats += own
        if others and (not own or any(item.stock_kg != 0.0 for item in others)):
            endless = any(item.stock_kg is None for item in others)
            stock = None if endless else math.fsum(item.stock_kg or 0.0 for item in others)
            fats.append(whichever(lots)._replace(stock_kg=stock))
    return shelf._replace(fats=tuple(fats))


def named_lots_first(shelf: Shelf, grams: Mapping[str, float], out: Collection[str] = ()) -> dict[str, float]:
    """Grams by name with lots that stand by themselves taken before what stands for others of the same fat, as far as they go.

    To a model a lot of fewer milligrams a gram is a little cheaper, which is no reason to open another tin.

    Args:
        shelf: see `with_named_lots`.
        grams: of each fat.
        out: lots that are not to be had.
    """
    taken = dict(grams)
    for item in shelf.fats:
        others = taken.get(item.fat.lot_of, 0.0)
        if not others or item.fat.name in out:
            continue
        own = taken.get(item.fat.name, 0.0)
        more = others if item.stock_kg is None else min(others, max(0.0, 1000.0 * item.stock_kg - own))
        taken |= {item.fat.name: round(own + more, 6), item.fat.lot_of: round(others - more, 6)}
    return {name: weight for name, weight in taken.items() if weight > 0.0}


def unnamed_lots(shelf: Shelf, names: Iterable[str]) -> tuple[str, ...]:
    """A sentence for each fat that a recipe has of no lot, where the shelf has several."""
    told = []
    for name in dict.fromkeys(names):
        lots = [item for item in shelf.of_fat(name) if item.fat.lot_of == name]
        if lots:
            lots = list(in_stock(lots))
            fat, numbers = whichever(lots), ", ".join(item.number for item in lots)
            many = f"of several lots ({numbers})" if len(lots) > 1 else f"of lot {numbers}"
            told.append(
                f"The shelf has {name} {many}, and the recipe names none: its alkali is reckoned with the lowest "
                f"saponification value there is, {fat.fat.saponification.value:g} mg KOH/g. To have that of a lot, name it: "
                f"{lots[0].fat.name}."
            )
    return tuple(told)


class Sorted(NamedTuple):
    """The shelf without what has had its day, and what was left out, or kept since the goals name it."""

    shelf: Shelf
    out: tuple[Stocked, ...] = ()
    kept: tuple[Stocked, ...] = ()


def in_date(sheet: GoalSheet, shelf: Shelf, day: str) -> Sorted:
    """The shelf on a day (ISO 8601): without lots that were best before it, but for those that the goals ask for by number."""
    past = [item for item in shelf.fats if item.best_before and item.best_before < day]
    if not past:
        return Sorted(shelf)
    asked = {limit.key for limit in sheet.shares if limit.subject == SubjectKind.FAT and asks_for(limit)}
    asked |= {wish.key for wish in sheet.use_up}
    kept = tuple(item for item in past if lot_name(item.fat.known_as, item.number) in asked)
    out = tuple(item for item in past if item not in kept)
    return Sorted(shelf._replace(fats=tuple(item for item in shelf.fats if item not in out)), out, kept)


def asks_for(limit: Limit) -> bool:
    """Whether a limit on a share asks for any of it."""
    return limit.side != AT_MOST and limit.value > 0.0
