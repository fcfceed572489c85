"""What deleting a line saves where freeing its row alone would promise a saving that nobody gets.

Most wishes simply go when their line does. But a goal on the superfat, say, keeps the house's own default at bay: without
the line the default is back. And an additive without its line does not go in at all, where a freed row would let it fill
the pot.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from optimiser.cheapest import Cheapest, solve
from optimiser.goals import GoalSheet
from optimiser.prices import CRUMB, Price
from optimiser.programme import build
from optimiser.shelf import Shelf


def with_defaults_back(costs: Mapping[str, Price], sheet: GoalSheet, shelf: Shelf, found: Cheapest) -> dict[str, Price]:
    """Prices in which the savings of such goals and additives are those of the file without their lines."""
    out = dict(costs)
    for member, without in lines_away(sheet):
        if member in out and out[member].saving > CRUMB:
            _, other = solve(build(without, shelf))
            out[member] = priced(out[member], found.ratio - other.ratio if other is not None else 0.0)
    capped = [name for name in out if name.startswith("practice.") and rule_on_additive(sheet, name)]
    return out | {name: priced(out[name], 0.0) for name in capped}


def priced(price: Price, saved: float) -> Price:
    """A price with another saving."""
    saving = saved if saved > CRUMB else 0.0
    return replace(price, saving=saving, binding=bool(price.per_unit or saving))


def lines_away(sheet: GoalSheet) -> Iterator[tuple[str, GoalSheet]]:
    """Each goal that keeps a default at bay, and each additive, with the sheet without its line."""
    for place, limit in enumerate(sheet.goals):
        without = replace(sheet, goals=(*sheet.goals[:place], *sheet.goals[place + 1 :]))
        if brings_back(sheet, without):
            yield f"goals.{limit.key}.{limit.side}", without
    for limit in sheet.additives:
        kept = tuple(item for item in sheet.additives if item.key != limit.key)
        yield f"additives.{limit.key}.{limit.side}", replace(sheet, additives=kept)


def rule_on_additive(sheet: GoalSheet, member: str) -> bool:
    """Whether a member is a rule of the house on how much of an additive goes in: nobody saves by a pot full of it."""
    name = member.removeprefix("practice.").rpartition(".")[0]
    return any(rule.name == name and rule.subject == "additive" for rule in sheet.rules)


def brings_back(sheet: GoalSheet, without: GoalSheet) -> bool:
    """Whether a rule of the house that stands aside now would stand again."""
    return any(sheet.stands_aside(rule) and not without.stands_aside(rule) for rule in sheet.rules)
