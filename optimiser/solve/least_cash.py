"""The least cash: which packs are paid for, found together with the blend that they do for.

The search is over kilograms (`planning.kilos`), with every rule and preference held as the cheapest blend to make has
them; where there is a blend at all, any of it could be bought. Its ratio is the cash, less the share of what is left, per kilo of
cured bar, by the same iteration as the cost (`optimum.least_ratio`). Then what is bought is settled, and which blend is made of
it is asked like any other.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model import programme as plain
from optimiser.model.programme import Programme, eased
from optimiser.planning.kilos import Ends, InKilos, per_kilo_of_fats, with_purchases
from optimiser.planning.orders import Bill
from optimiser.planning.settled import bills_of, taken_of
from optimiser.problem.buying import Taken
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.optimum import GIVES, Cheapest, least_ratio, spared
from optimiser.solve.outcomes import SolverFault, Undecided, Work
from optimiser.solve.solver import Live

GIVE = GIVES[2]  # room left when a preference is held: that of a blend found already, and what searches need
DUST = 1e-7  # kg: no pack is bought for less
WIDER = 1e-7  # relative: room about the ends of the kilos of fats


class CashProof(NamedTuple):
    """What counts of a purchase per kilo of cured bar, and what no purchase for these goals comes below; `gap` is relative.

    `is_limited`: the search ended before it was done.
    """

    per_kg: float
    least_possible_per_kg: float
    gap: float
    is_limited: bool = False


class Purchase(NamedTuple):
    """What is bought, and what is proved of it."""

    taken: tuple[Taken, ...]
    proof: CashProof


def least_cash(sheet: GoalSheet, shelf: Shelf, found: Cheapest, work: Work) -> Purchase:
    """The purchase that costs the least cash, less the stated share of what is left.

    Args:
        sheet: the goals with rules as they stand for the cheapest blend to make, and what may be bought.
        shelf: as its maker wrote it.
        found: that blend; its preferences are met no worse.
        work: what may be spent.

    Raises:
        SolverFault: the solver failed, or loses what it was given.
    """
    if sheet.buying is None:
        raise ValueError("nothing is said of buying")
    programme = plain.build(sheet, shelf)
    for preference, short in zip(programme.soft, found.short, strict=False):
        most = max(abs(programme.rows[place].limit) for place in preference.rows)
        programme = eased(programme, preference, short + spared(programme, preference, short) + GIVE * max(1.0, most))
    ends = kilos_of_fats(programme, work)
    made = with_purchases(programme, programme.columns.stocked, sheet.buying, ends)
    known = known_point(made, programme, shelf, sheet, found.point)
    live = Live(made.programme, work)
    live.suggest(known)
    start = float(made.programme.money @ known) / float(made.programme.cured @ known)
    best = _searched(live, start, known)
    used = used_kilos(programme, best.point)
    bills = bills_of(shelf, sheet.buying, used, DUST)
    return Purchase(taken_of(bills), proof_of(made.programme, best, ends))


def _searched(live: Live, start: float, known: Vector) -> Cheapest:
    """The least ratio, or the purchase in hand where the work ends before there is another."""
    try:
        best = least_ratio(live, start)
    except Undecided:
        best = None
        limited = True
    else:
        limited = best is not None and best.is_limited
    if best is None:
        if not limited:
            raise SolverFault("there is a purchase, and the solver loses it")
        outcome = live.minimise_in_part(live.programme.money - start * live.programme.cured)
        return Cheapest(start, known, outcome, is_limited=True)
    return best


def kilos_of_fats(programme: Programme, work: Work) -> Ends:
    """The least and the most kilos of fats that the batch can take, over the blends of a programme."""
    batch = programme.columns.batch
    if batch.fats_kg is not None:
        return Ends(batch.fats_kg, batch.fats_kg)
    one = per_kilo_of_fats(programme)
    live = Live(programme, work)
    least, most = live.minimise_in_part(one), live.minimise_in_part(-one)
    if not (least.feasible and most.feasible):
        raise SolverFault("there is a blend, and the solver loses it")
    return Ends((1.0 - WIDER) / -most.objective, (1.0 + WIDER) / least.objective)


def used_kilos(programme: Programme, point: Vector) -> Mapping[str, float]:
    """Kilos of each fat at a point of the programme in kilograms."""
    names = [fat.name for fat in programme.columns.fats]
    return {
        name: max(0.0, kilos) for name, kilos in zip(names, point[: len(names)].tolist(), strict=True) if kilos > DUST
    }


def known_point(made: InKilos, programme: Programme, shelf: Shelf, sheet: GoalSheet, blend: Vector) -> Vector:
    """A point of the programme in kilograms: a blend with the best purchase for it."""
    assert sheet.buying is not None
    columns, size = programme.columns, programme.columns.size
    kilos = 1.0 / float(per_kilo_of_fats(programme)[:size] @ blend[:size])
    point = np.zeros(len(made.programme.money))
    point[: len(programme.money)] = np.where(programme.integer, 1.0, kilos) * blend[: len(programme.money)]
    used = {
        fat.name: float(part) for fat, part in zip(columns.fats, point[: columns.count], strict=True) if part > DUST
    }
    bills = {one.fat: one for one in bills_of(shelf, sheet.buying, used, DUST)}
    own = np.arange(made.bought.first, len(point))
    placed = dict.fromkeys(used, False)
    for place, column in zip(own.tolist(), made.bought.columns, strict=True):
        bill = bills.get(column.fat)
        number = 0.0 if bill is None else sum(line.number for line in bill.lines if line.tin == column.tin)
        if column.kind in ("count", "mass"):
            point[place] = number
            placed[column.fat] = placed.get(column.fat, False) or number > 0.0
        elif column.kind == "drawn" and bill is not None:
            point[place] = drawn_from(bill).get(column.tin, 0.0)
        elif column.kind == "on":
            point[place], placed[column.fat] = float(placed.get(column.fat, False)), False
    if made.extra is not None:
        point[made.extra.place] = made.extra.value(point)
    return point


def drawn_from(bill: Bill) -> dict[object, float]:
    """Kilos used out of each tin of a bill, the cheapest first."""
    rest, out = bill.used_kg - bill.from_stock_kg, dict[object, float]()
    for line in sorted(bill.lines, key=lambda line: line.tin.per_kg):
        out[line.tin] = min(rest, line.kilos)
        rest -= out[line.tin]
    return out


def proof_of(programme: Programme, best: Cheapest, ends: Ends) -> CashProof:
    """What no purchase comes below: the ratio, less what the search left open over the lightest batch."""
    lightest = float(programme.cured[: programme.columns.count].min()) * ends.low
    bound = best.outcome.bound if np.isfinite(best.outcome.bound) else -np.inf
    least = max(0.0, best.ratio + min(0.0, bound) / lightest)
    gap = (best.ratio - least) / best.ratio if best.ratio > 0.0 else 0.0
    return CashProof(best.ratio, least, max(0.0, gap), best.is_limited)
