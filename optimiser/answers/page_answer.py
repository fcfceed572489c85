"""A text in hand answered for the page: the blend or why there is none, every figure as a scale, and what the file may name."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from optimiser.answers.asked import read_question
from optimiser.answers.blend import answered, settled
from optimiser.answers.page_room import Room, room
from optimiser.answers.page_scales import Scale, scales
from optimiser.answers.page_ways import TextEdit, edits_of
from optimiser.answers.results import Blend, NoBlend
from optimiser.problem.goals import GoalSheet
from optimiser.problem.question import Question
from optimiser.problem.shelf import Shelf
from optimiser.solve.yielding import cheapest


class Page(NamedTuple):
    """What a goal file answers, with its figures as scales; of each way out the changes of the text that it asks for."""

    story: Blend | NoBlend
    sheet: GoalSheet
    shelf: Shelf
    scales: tuple[Scale, ...]
    ways: tuple[tuple[TextEdit, ...] | None, ...] = ()


class Rooms(NamedTuple):
    """How far each figure could go beside the others."""

    rooms: tuple[Room, ...]


def page_of(goal_file: Path) -> Page:
    """The answer to a goal file, or to the text that is held for it.

    Raises:
        BadInput: with every fault of the files.
        SolverFault: the solver failed.
    """
    return page_for(read_question(goal_file))


def page_for(question: Question) -> Page:
    """The same for a question that was read."""
    found = answered(question)
    story = found.story
    blend = story if isinstance(story, Blend) else None
    ways = () if isinstance(story, Blend) else tuple(edits_of(way) for way in story.concessions)
    return Page(story, question.goals, question.shelf, scales(question.goals, found.programme, blend), ways)


def rooms_of(question: Question) -> Rooms | None:
    """The room of every figure; None where no blend meets the goals."""
    asked = cheapest(question.goals, question.shelf)
    if asked.found is None:
        return None
    found = settled(asked.live, asked.found)
    ends = room(asked.sheet, question.shelf, found)
    return Rooms(() if ends is None else ends.rooms)
