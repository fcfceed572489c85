"""What is bought for a blend: the buying list, and cash out, cost used and value left told apart."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from optimiser.model.columns import Columns
from optimiser.planning.orders import Bill, Line
from optimiser.planning.settled import bills_of, shelf_once_bought
from optimiser.problem.buying import NOTHING, Buying
from optimiser.problem.money import Prices
from optimiser.problem.shelf import Shelf
from optimiser.recipe.balance import steps
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.rounding import Grams

if TYPE_CHECKING:
    from optimiser.solve.least_cash import CashProof

HAIR = 1e-9  # of a step
CRUMB = 0.005  # money: less is none


class BuyingFigures(NamedTuple):
    """The buying list of a blend, and money: paid for it, for what is used (alkali and additives too), and what remains.

    `least_cash` is the buying list of the same blend that is paid with the least, where that is another one, with what
    is used then. `proof` is what is proved where the least cash was asked for. `packs` are
    the sizes of the lines as the shelf has them, "" where that is not known.
    """

    buying: Buying
    lines: tuple[Line, ...]
    cash_out: float
    cost_used: float
    value_left: float
    least_cash: BuyingFigures | None = None
    proof: CashProof | None = None
    packs: tuple[str, ...] = ()

    @property
    def sizes(self) -> tuple[str, ...]:
        """What a pack of each line holds, as the shelf has it ("16 oz"), else in kilos; "" of what is sold loose."""
        said = self.packs or ("",) * len(self.lines)
        return tuple(
            "" if line.tin.is_loose else pack or f"{line.tin.size_kg:.6g} kg"
            for line, pack in zip(self.lines, said, strict=True)
        )


def kilos_of(recipe: Recipe) -> dict[str, float]:
    """Kilos of each fat of a recipe."""
    return {fat.name: grams / 1000.0 for fat, grams in recipe.fats}


def shelf_for(shelf: Shelf, buying: Buying | None, recipe: Recipe) -> Shelf:
    """The shelf with what is bought for a recipe on it; the very shelf where nothing is said of buying."""
    return shelf if buying is None else shelf_once_bought(shelf, buying, bills_of(shelf, buying, kilos_of(recipe)))


def within_stock(columns: Columns, grams: Grams) -> Grams:
    """A blend of whose fats no more can be weighed out than there is: what is there to the last gram goes down to a step.

    Packs in pounds are no whole steps of a balance in grams. What that takes away goes to the fat of which the most is left.

    Args:
        columns: over a shelf on which all that is bought stands.
        grams: the blend.
    """
    step = steps(columns.batch, grams.total)[0]
    there = np.array([np.inf if item.stock_kg is None else 1000.0 * item.stock_kg for item in columns.stocked])
    whole = np.floor(there / step + HAIR) * step
    fats = np.minimum(grams.fats, whole)
    room = np.where(fats > 0.0, whole - fats, 0.0)
    most = int(np.argmax(room))
    fats[most] += min(float(room[most]), grams.total - float(fats.sum()))
    return grams._replace(fats=fats)


def buying_figures(shelf: Shelf, buying: Buying, weighed: Recipe, prices: Prices) -> BuyingFigures:
    """What is bought for a recipe as it is weighed.

    Args:
        shelf: as its maker wrote it.
        buying: what may be bought, or what is.
        weighed: the recipe for the balance.
        prices: of what is no fat.
    """
    step, other = weighed.fat_step / 1000.0, cost_of_the_rest(weighed, prices)
    found = _figures(shelf, bills_of(shelf, buying, kilos_of(weighed), step), buying, other)
    if buying.left_counts <= NOTHING or buying.taken is not None:
        return found
    lean = buying._replace(left_counts=NOTHING)
    least = _figures(shelf, bills_of(shelf, lean, kilos_of(weighed), step), lean, other)
    return found._replace(least_cash=least if least.cash_out < found.cash_out - CRUMB else None)


def cost_of_the_rest(recipe: Recipe, prices: Prices) -> float:
    """Money for the alkali, additives and liquids of a recipe, by the gram."""
    alkali = recipe.sodium_hydroxide * prices.sodium_hydroxide + recipe.potassium_hydroxide * prices.potassium_hydroxide
    added = sum(grams * prices.additives.get(item.name, 0.0) for item, grams in recipe.additives)
    return (alkali + added) / 1000.0


def _figures(shelf: Shelf, bills: tuple[Bill, ...], buying: Buying, other: float) -> BuyingFigures:
    lines = tuple(line for one in bills for line in one.lines)
    return BuyingFigures(
        buying,
        lines,
        sum(one.cash for one in bills),
        sum(one.cost_used for one in bills) + other,
        sum(one.value_left for one in bills),
        packs=tuple(shelf.pack_of(line.called or line.fat, line.tin.size_kg) for line in lines),
    )
