"""What deleting a goal's line saves where a default of the house then takes its place.

Most wishes simply go when their line does. A goal on the superfat, say, keeps the house's own default at bay: without the
line the default is back, and freeing the row alone would promise a saving that nobody gets.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from optimiser.cheapest import Cheapest, solve
from optimiser.goals import GoalSheet
from optimiser.prices import CRUMB, Price
from optimiser.programme import build
from optimiser.shelf import Shelf


def with_defaults_back(costs: Mapping[str, Price], sheet: GoalSheet, shelf: Shelf, found: Cheapest) -> dict[str, Price]:
    """Prices in which the saving of each goal that keeps a default at bay is that of the file without its line."""
    out = dict(costs)
    for place, limit in enumerate(sheet.goals):
        member = f"goals.{limit.key}.{limit.side}"
        without = replace(sheet, goals=(*sheet.goals[:place], *sheet.goals[place + 1 :]))
        if member not in out or out[member].saving <= CRUMB or not brings_back(sheet, without):
            continue
        _, other = solve(build(without, shelf))
        saved = found.ratio - other.ratio if other is not None else 0.0
        price = replace(out[member], saving=saved if saved > CRUMB else 0.0)
        out[member] = replace(price, binding=bool(price.per_unit or price.saving))
    return out


def brings_back(sheet: GoalSheet, without: GoalSheet) -> bool:
    """Whether a rule of the house that stands aside now would stand again."""
    return any(sheet.stands_aside(rule) and not without.stands_aside(rule) for rule in sheet.rules)
