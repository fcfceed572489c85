"""What may be used goes in where it helps, and never to pad the bar with what is cheaper than soap.

Sugar, salt or clay at a third of the price of oil make every kilo of soap cheaper by their weight alone, so the cheapest
blend holds as much of them as it may. How much of each helps is found by asking for the cheapest blend as if their weight did
not count: then nothing goes in that does not save more than it costs, or make a goal or a rule hold. No more goes in.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace

from optimiser.measures.sides import SubjectKind
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.solve.optimum import Cheapest

DUST = 1e-7  # of the fats: what a solver leaves of nothing
STEP = 0.1  # per cent of the fats: ends are such as a person would weigh
NEAR = 1e-4  # of that step
LEAST_PRICE = 1e-3  # of the middle price of the fats: what costs nothing goes in only where it helps, too
Solve = Callable[[Programme], Cheapest | None]


def most_that_helps(sheet: GoalSheet, programme: Programme, found: Cheapest, solve: Solve) -> Mapping[str, float]:
    """How much (% of the fats) of each additive that may be used does something for the bar; nothing where none is in it.

    Args:
        sheet: the goals.
        programme: their rows.
        found: the cheapest blend.
        solve: the cheapest blend of a programme.
    """
    index = programme.columns.index
    names = [item.name for item in sheet.may_use if item.subject == SubjectKind.ADDITIVE]
    if not any(found.point[index[name]] > DUST for name in names):
        return {}
    again = solve(weightless(programme, [index[name] for name in names]))
    if again is None:
        return {}
    return {name: rounded_up(100.0 * float(again.point[index[name]])) for name in names}


def weightless(programme: Programme, places: list[int]) -> Programme:
    """The programme with some columns that weigh nothing in the bar, and cost something."""
    count = programme.columns.count
    money, cured = programme.money.copy(), programme.cured.copy()
    least = LEAST_PRICE * float(sorted(money[:count])[count // 2])
    cured[places] = 0.0
    money[places] = [max(least, price) for price in money[places]]
    return replace(programme, money=money, cured=cured)


def rounded_up(share: float) -> float:
    """A share (%) that a person would weigh, no less than this one."""
    return 0.0 if share <= 100.0 * DUST else round(math.ceil(share / STEP - NEAR) * STEP, 6)
