"""Additives and liquids of a blend, line by line."""

from __future__ import annotations

from optimiser.answers.weighed_lines import AdditiveLine, LiquidLine
from optimiser.problem.money import Prices
from optimiser.recipe.evaluation import Recipe


def additive_lines(exact: Recipe, weighed: Recipe, money: Prices) -> tuple[AdditiveLine, ...]:
    """The additives of the blend."""
    on_balance = {item.name: grams for item, grams in weighed.additives}
    return tuple(
        AdditiveLine(
            additive=item.name,
            share=100.0 * grams / exact.fat_grams,
            grams=grams,
            to_weigh=on_balance.get(item.name, 0.0),
            cost=money.additives.get(item.name, 0.0) * grams / 1000.0,
        )
        for item, grams in exact.solids
    )


def liquid_lines(exact: Recipe, weighed: Recipe, money: Prices) -> tuple[LiquidLine, ...]:
    """What stands for water."""
    on_balance = {item.name: grams for item, grams in weighed.liquids}
    return tuple(
        LiquidLine(
            liquid=item.name,
            share=100.0 * grams / exact.jug,
            grams=grams,
            to_weigh=on_balance.get(item.name, 0.0),
            cost=money.additives.get(item.name, 0.0) * grams / 1000.0,
        )
        for item, grams in exact.liquids
    )
