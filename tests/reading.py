"""A question read from files, as the pair that most tests want."""

from __future__ import annotations

from pathlib import Path

from optimiser.answers.asked import read_question
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf


def read(goal_file: Path, shelf_file: Path | None = None) -> tuple[GoalSheet, Shelf]:
    """The goals of a file and the shelf that they are to be met from."""
    question = read_question(goal_file, shelf_file)
    return question.goals, question.shelf
