"""What was to be used up, as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.problem.units import Units
from optimiser.recipe.weights import Weights
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import UseUpLine

MOST_TOLD = 3  # wishes that hold something back


def block(lines: Sequence[UseUpLine], currency: str, units: Units) -> Iterator[Part]:
    """Each fat that was to be used up: how much of it is, what that costs, and what holds the rest back."""
    if not lines:
        return
    yield Heading("To use up, as far as the goals allow", words.heading_per(currency, "kg of cured bar"))
    yield Table(
        (
            Column("line", "right"),
            Column("", wraps=True),
            Column("here", "right"),
            Column(""),
            Column("costs", "right"),
        ),
        [
            (
                str(line.line or words.NOTHING),
                str(line.said),
                mass(line.used_kg, units),
                "met" if line.met else f"{mass(line.asked_kg - line.used_kg, units)} short",
                words.price_of_having(line.costs),
            )
            for line in lines
        ],
    )
    for line in lines:
        if not line.met:
            yield Line(held_back(line), hang=2)
    yield Gap()


def mass(kilograms: float, units: Units) -> str:
    """Kilograms or pounds, to the gram or thereabouts."""
    return Weights(Units.KILOGRAMS if units.is_metric else Units.POUNDS, 3).told(1000.0 * kilograms, words.GLUE)


def held_back(line: UseUpLine) -> str:
    """What leaves no room for more of it."""
    told = [str(said) for said in line.held_back[:MOST_TOLD]]
    more = len(line.held_back) - len(told)
    told += [f"{words.counted(more, 'more wish', 'more wishes')}"] if more else []
    if not told:
        return f"No more {line.fat} goes into a batch of this size."
    return f"No more {line.fat} goes in beside: {'; '.join(told)}."
