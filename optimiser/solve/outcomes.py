"""What one question to the solver came to, and the work that questions may cost.

Work is counted in steps of the solver and never in seconds, so that a slow machine, a busy one and a fast one stop at the
same place and give the same answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector

EACH_QUESTION, EACH_NUMBER, EACH_STEP = 50.0, 0.03, 0.0003  # fitted to timed runs of 60 to 1,000 fats
SEARCH_NUMBER, SEARCH_STEP = 10.0, 0.012  # the same where 0/1 columns are searched: cuts and heuristics cost the most
NODE = 150  # steps that a node of a search is taken to need
MOST_WORK = 10e6  # for one answer: some 20 seconds of a machine of 2025


class SolverFault(RuntimeError):
    """The solver gave up or was handed figures that are not numbers: a fault of the program, not of the goals."""


class Undecided(SolverFault):
    """The work allowed ended before there was either a blend or a proof that there is none."""

    def __init__(self) -> None:
        super().__init__("the search for a blend of so few fats ended before it found one or showed that there is none")


NO_FIGURES = np.empty(0)


class Outcome(NamedTuple):
    """What one solve found.

    `point` has n entries, `row_dual` m, `reduced_cost` n; all empty when there is no blend, the last two where fats are
    counted. `bound` is a number below which the objective of no blend lies: for a linear programme, and for a search
    that ended, the objective itself. A search that was `limited` ran out of work: its point is allowed, its bound
    holds, and between the two there may be better.
    """

    feasible: bool
    objective: float = 0.0
    bound: float = 0.0
    point: Vector = NO_FIGURES
    row_dual: Vector = NO_FIGURES
    reduced_cost: Vector = NO_FIGURES
    limited: bool = False


@dataclass(slots=True)
class Work:
    """How much may be asked in all, and how much was: passed along by whoever asks, never shared by two answers.

    A unit is about two microseconds of a machine of 2025. A linear question is always answered, and counted; a search
    over 0/1 columns is given no more than what is left. `gave_up` says that something was left out for want of it. `cuts`
    counts the tangents of the cone of the lots that were added.
    """

    allowed: float = MOST_WORK
    done: float = 0.0
    gave_up: bool = False
    cuts: int = 0

    @property
    def left(self) -> float:
        """What may still be done; never below zero."""
        return max(0.0, self.allowed - self.done)

    def end(self) -> None:
        """Nothing more is to be asked: something was given up for want of work."""
        self.done = max(self.done, self.allowed)
        self.gave_up = True

    def count(self, *, rows: int, columns: int, entries: int, steps: int, search: bool = False) -> None:
        """Add one question: what it costs to put, and its steps.

        Args:
            rows: of the model.
            columns: of the model.
            entries: its coefficients that are not zero.
            steps: iterations of the simplex that it took.
            search: whether 0/1 columns were searched.
        """
        size = rows + columns + entries
        number, step = (SEARCH_NUMBER, SEARCH_STEP) if search else (EACH_NUMBER, EACH_STEP)
        self.done += EACH_QUESTION + size * (number + step * steps)

    def nodes(self, *, rows: int, columns: int, entries: int, each: float = NODE) -> int:
        """How many nodes a search may have, at least one: within half of what is left, so that others have their turn.

        Args:
            rows: of the model.
            columns: of the model.
            entries: its coefficients that are not zero.
            each: steps of the simplex that a node is taken to need.
        """
        return max(1, int(0.5 * self.left / ((rows + columns + entries) * SEARCH_STEP * each)))
