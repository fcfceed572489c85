"""The files of a question read, and goals that are near to a recipe begun from it."""

from __future__ import annotations

from pathlib import Path

from optimiser.files import question as reading
from optimiser.files.kinds import INSTEAD, NAMED, file_kind
from optimiser.problem.goals import GoalSheet
from optimiser.problem.places import Span
from optimiser.problem.question import InHand, Question
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.source import read_yaml


def is_recipe(path: Path) -> bool:
    """Whether a file that may be either is a recipe; else it is taken for a goal file.

    Raises:
        BadInput: it cannot be read, or is neither.
    """
    kind = file_kind(read_yaml(path).root)
    if kind is not None and kind not in ("goals", "recipe"):
        message = f"{path} is {NAMED[kind]}, and neither a recipe nor a goal file"
        raise BadInput([Diagnostic(Code.WRONG_FILE, message, INSTEAD[kind].format(path))])
    return kind == "recipe"


def read_question(
    goal_file: Path,
    shelf_file: Path | None = None,
    near_file: Path | None = None,
    *,
    units: Units | None = None,
    on: str = "",
) -> Question:
    """A goal file, its shelf, the scales of the bench, and the recipe in hand that the blend is to be near to, if any.

    Args:
        goal_file: the maker's YAML.
        shelf_file: used in place of the file's own shelf.
        near_file: a recipe in hand, in place of the one that the file names.
        units: what weights are told in, in place of what the shelf says.
        on: the day by which lots are in date (ISO 8601), in place of the one that the file tells; today where neither does.

    Raises:
        BadInput: with every fault of the files.
    """
    return reading.read_question(goal_file, shelf_file, near_file, begin, units=units, on=on)


def read_in_hand(
    recipe_file: Path,
    shelf_file: Path | None = None,
    goal_file: Path | None = None,
    *,
    units: Units | None = None,
    on: str | None = None,
) -> InHand:
    """A recipe, and the goals that it is held against; those that are near to another recipe begin from that.

    Its lots are to be in date on the day `on` (ISO 8601; "" for today), where one is asked after.

    Raises:
        BadInput: with every fault of the files.
    """
    return reading.read_in_hand(recipe_file, shelf_file, goal_file, begin, units=units, on=on)


def begin(recipe: RecipeSheet, shelf: Shelf, goals: GoalSheet, span: Span) -> GoalSheet:
    """Goals that begin from a recipe in hand; the room that reckons it is loaded only for them."""
    from optimiser.recipe.in_hand import near_goals

    return near_goals(recipe, shelf, goals, span)
