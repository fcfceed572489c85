"""The files of a question read, and goals that are near to a recipe begun from it."""

from __future__ import annotations

from pathlib import Path

from optimiser.files import question as reading
from optimiser.problem.goals import GoalSheet
from optimiser.problem.places import Span
from optimiser.problem.question import InHand, Question
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units


def read_question(
    goal_file: Path, shelf_file: Path | None = None, near_file: Path | None = None, *, units: Units | None = None
) -> Question:
    """A goal file, its shelf, the scales of the bench, and the recipe in hand that the blend is to be near to, if any.

    Args:
        goal_file: the maker's YAML.
        shelf_file: used in place of the file's own shelf.
        near_file: a recipe in hand, in place of the one that the file names.
        units: what weights are told in, in place of what the shelf says.

    Raises:
        BadInput: with every fault of the files.
    """
    return reading.read_question(goal_file, shelf_file, near_file, begin, units=units)


def read_in_hand(
    recipe_file: Path, shelf_file: Path | None = None, goal_file: Path | None = None, *, units: Units | None = None
) -> InHand:
    """A recipe, and the goals that it is held against; those that are near to another recipe begin from that.

    Raises:
        BadInput: with every fault of the files.
    """
    return reading.read_in_hand(recipe_file, shelf_file, goal_file, begin, units=units)


def begin(recipe: RecipeSheet, shelf: Shelf, goals: GoalSheet, span: Span) -> GoalSheet:
    """Goals that begin from a recipe in hand; the room that reckons it is loaded only for them."""
    from optimiser.recipe.in_hand import near_goals

    return near_goals(recipe, shelf, goals, span)
