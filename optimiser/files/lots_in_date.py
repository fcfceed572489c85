"""The shelf on the day of a batch: what is past its day is left out, and that is said."""

from __future__ import annotations

from datetime import date

from optimiser.materials.fat import lot_name
from optimiser.problem.goals import GoalSheet
from optimiser.problem.lots import in_date
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic


def on_its_day(goals: GoalSheet, shelf: Shelf, on: str = "") -> tuple[GoalSheet, Shelf, tuple[Diagnostic, ...]]:
    """The goals with their day, the shelf without what is past it, and a warning for each lot that is.

    Args:
        goals: what is asked; they may tell a day.
        shelf: what there is; where it tells no day of any lot, none is looked up.
        on: the day (ISO 8601) in place of theirs; where neither tells one it is today.

    Raises:
        BadInput: nothing on the shelf is in date.
    """
    if not any(item.best_before for item in shelf.fats):
        return goals._replace(made=on or goals.made), shelf, ()
    day = on or goals.made or date.today().isoformat()  # noqa: DTZ011  the maker's day
    told = day if on or goals.made else f"{day} (today)"
    found = in_date(goals, shelf, day)
    warned = (*(left_out(item, told) for item in found.out), *(kept(item, told) for item in found.kept))
    if not found.shelf.fats:
        raise BadInput([Diagnostic(Code.NO_FATS, f"no fat on the shelf is in date on {told}", HOW, found.out[0].span)])
    return goals._replace(made=day), found.shelf, warned


def past_in_recipe(recipe: RecipeSheet, shelf: Shelf | None, on: str) -> tuple[Diagnostic, ...]:
    """A warning of each fat of a recipe of which all that the shelf has under its name is past its day.

    Args:
        recipe: as read; a fat that names a lot is that lot.
        shelf: None where there is none, and then no day is known.
        on: the day (ISO 8601); today where it is "".
    """
    if shelf is None or not any(item.best_before for item in shelf.fats):
        return ()
    day = on or date.today().isoformat()  # noqa: DTZ011  the maker's day
    told = on or f"{day} (today)"
    warned = []
    for name in dict.fromkeys(item.name for item in recipe.fats):
        lots = [item for item in shelf.fats if name in (item.fat.name, item.fat.known_as)]
        exact = [item for item in lots if item.fat.name == name] or lots
        if exact and all(item.best_before and item.best_before < day for item in exact):
            warned += [past(item, told) for item in exact]
    return tuple(warned)


def past(item: Stocked, told: str) -> Diagnostic:
    """The warning of a lot that a recipe takes past its day."""
    name = lot_name(item.fat.known_as, item.number) if item.number else item.fat.known_as
    message = f"{name} was best before {item.best_before}, and the recipe takes it on {told}"
    return Diagnostic(Code.EXPIRED_LOT, message, "smell it, and expect the bars to go rancid sooner", item.span)


HOW = "correct the days on the shelf, or tell another day: made: in the goal file, or --on"


def left_out(item: Stocked, told: str) -> Diagnostic:
    """The warning of a lot that is past its day."""
    name = lot_name(item.fat.known_as, item.number) if item.number else item.fat.known_as
    message = f"{name} was best before {item.best_before}, and is left out on {told}"
    help_ = f"to use it nonetheless name it, as in shares: {{{name}: {{at_least: 1 %}}}}" if item.number else HOW
    return Diagnostic(Code.EXPIRED_LOT, message, help_, item.span)


def kept(item: Stocked, told: str) -> Diagnostic:
    """The warning of one that the goals ask for nonetheless."""
    name = lot_name(item.fat.known_as, item.number)
    message = f"{name} was best before {item.best_before}; on {told} it stays, since the goals name it"
    return Diagnostic(Code.EXPIRED_LOT, message, "smell it, and expect the bars to go rancid sooner", item.span)
