"""What was to be used up, line by line: how much of it goes into this batch, and what holds the rest back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from optimiser.analysis.drop_savings import cost_of
from optimiser.analysis.held_back import held_back
from optimiser.answers.results import UseUpLine
from optimiser.materials.fat import lot_name
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.lots import several
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.problem.wishes import Section
from optimiser.recipe.evaluation import Recipe
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Work

MET = 1e-6  # relative: what rounding may leave of a mass
A_YEAR = 52  # weeks that a bar is kept about, for a note: common practice, no source


def use_up_lines(
    question: tuple[GoalSheet, Shelf], programme: Programme, found: Cheapest, work: Work
) -> tuple[UseUpLine, ...]:
    """Each fat that was to be used up, in order, with how much of it is, what that costs, and what holds back the rest."""
    sheet, shelf = question
    rows = [programme.rows[one.rows[0]] for one in programme.soft]
    rows = [row for row in rows if row.wish.section == Section.USE_UP]
    reached: dict[str, float] = {}
    lines = []
    for wish, row in zip(sheet.use_up, rows, strict=True):
        used = row.value(found.point)
        reached[wish.key] = used
        asked = row.limit if wish.kilograms is None else wish.kilograms
        met = used >= asked - MET * max(1.0, asked)
        without = tuple(item for item in sheet.use_up if item is not wish)
        lines.append(
            UseUpLine(
                fat=wish.key,
                asked_kg=asked,
                is_all=wish.kilograms is None,
                used_kg=used,
                met=met,
                said=row.said,
                line=row.span.line if row.span else None,
                costs=cost_of((sheet._replace(use_up=without), shelf), found, work),
                held_back=() if met else held_back(sheet, shelf, wish, reached),
            )
        )
    return tuple(lines)


def lot_remarks(sheet: GoalSheet, shelf: Shelf, recipe: Recipe) -> Iterator[str]:
    """What is to be said of the lots in a batch: used before an older one, or best before the bars are cured or have been kept."""
    grams = {fat.name: weight for fat, weight in recipe.fats}
    for name, lots in several(shelf).items():
        yield from out_of_turn(name, lots, grams)
    yield from (new_tin_of(item) for item in shelf.fats if item.fat.to_buy and grams.get(item.fat.name, 0.0) > 0.0)
    if not sheet.made:
        return
    day = date.fromisoformat(sheet.made)
    weeks = sheet.batch.cure_weeks
    cured = (day + timedelta(weeks=weeks)).isoformat()
    kept = (day + timedelta(weeks=weeks + A_YEAR)).isoformat()
    for item in shelf.fats:
        if item.best_before and grams.get(item.fat.name, 0.0) > 0.0 and item.best_before < kept:
            lot = lot_name(item.fat.known_as, item.number) if item.number else item.fat.known_as
            by = f"{lot} is best before {item.best_before}"
            if item.best_before < cured:
                yield f"{by}, and bars made on {sheet.made} are cured on {cured}: they may go rancid early."
            else:
                yield f"{by}, within a year of the cure of bars made on {sheet.made}: sell these bars first."


def new_tin_of(item: Stocked) -> str:
    """What is to be said of a tin that is still to be bought: no certificate tells its figure yet."""
    name, value = item.fat.known_as, item.fat.saponification.value
    return (
        f"{item.fat.name.capitalize()} is a new tin, and no certificate in hand speaks of it: its part of the alkali is reckoned "
        f"with the usual {value:g} mg KOH/g of {name}, of which lots may lie {item.fat.spread:g} short. When it is here put it on "
        "the shelf as a lot, with its own certificate, and ask again before you weigh."
    )


def out_of_turn(name: str, lots: tuple[Stocked, ...], grams: dict[str, float]) -> Iterator[str]:
    """A newer lot that goes in while there is some left of an older one."""
    for place, older in enumerate(lots):
        used = grams.get(older.fat.name, 0.0) / 1000.0
        is_left = older.stock_kg is None or used < older.stock_kg - max(1e-3, 1e-3 * older.stock_kg)
        newer = [
            item.number for item in lots[place + 1 :] if not item.fat.to_buy and grams.get(item.fat.name, 0.0) > 0.0
        ]
        if is_left and lots[-1].fat.to_buy and grams.get(lots[-1].fat.name, 0.0) > 0.0 and not older.fat.to_buy:
            yield (
                f"Of {name} a new tin is bought before {f'lot {older.number}' if older.number else 'what is there'} is used up: "
                "with that first the batch would cost more, or a goal would not hold."
            )
            return
        if is_left and newer and older.best_before:
            yield (
                f"Of {name}, lot {newer[0]} goes in before the older {older.number} is used up: with {older.number} first the batch "
                "would cost more, or a goal would not hold."
            )
            return
