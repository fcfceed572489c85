"""Lines on the rules of the house: how one is overruled, what stays where they are off, which pinches are left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.report import words
from optimiser.report.terminal.page import Line, Part

if TYPE_CHECKING:
    from optimiser.answers.results import GoalLine

PINCHES = "pinches"
MOST_GONE = 4  # fats of which there would be but a pinch, named
GUARDS = ("superfat", "likely_superfat", "worst_case_superfat", "rancidity", "harshness", "mildness", "keeping")
WORTH_IT = 0.02  # of the cost: what a rule must save before overruling it is suggested


def switched_off(house: Sequence[GoalLine]) -> Iterator[Part]:
    """What `practice: off` leaves standing: what alkali and water cannot be worked out without, and what is there for safety."""
    exact = [f"{goal.id.key} {words.amount(goal.limit, goal.unit)}" for goal in house if goal.id.side == Side.EXACTLY]
    safe = [
        f"{goal.id.key} {goal.side.words} {words.amount(goal.limit, goal.unit)}"
        for goal in house
        if goal.figure == "likely_superfat"
    ]
    kept = [*exact, *safe]
    rest = f"{words.joined(kept)} stay{'s' if len(kept) == 1 else ''} until a goal says otherwise" if kept else ""
    told = "" if exact else "superfat and lye are as your goals say"
    yield Line(f"House practice is off{'; ' if exact else ': '}{'; '.join(filter(None, (told, rest)))}.", hang=2)


def may_overrule(goal: GoalLine, cost: float) -> bool:
    """Whether overruling a rule is worth suggesting: it guards neither skin nor keeping, gave no way, and saves enough."""
    saved = goal.saves_if_dropped or 0.0
    return goal.figure not in GUARDS and not goal.eased_from and saved > 0.0 and saved >= WORTH_IT * cost


def left_out(goals: Sequence[GoalLine]) -> str:
    """The pinches that are left out, in one line, the dearest to do without first."""
    ordered = sorted(goals, key=lambda goal: -(goal.saves_if_dropped or 0.0))
    fats = [words.without_house(goal.said).removeprefix("no pinch of ") for goal in ordered]
    more = len(fats) - MOST_GONE
    named = words.joined(fats if more <= 1 else [*fats[:MOST_GONE], f"{more} more (--full)"])
    most = max(goal.saves_if_dropped or 0.0 for goal in goals)
    saves = f"at most {words.money(most)}" if most >= words.CENT else f"less than {words.money(words.CENT)}"
    saved = f"; a pinch of one saves {saves}" if most > 0.0 else ""
    return f"house: no pinch of {named}{saved}."


def overruling(felt: Sequence[GoalLine]) -> str:
    """A line under `practice` that overrules a rule, one with a figure before the one on pinches."""
    goal = next((one for one in felt if one.id.key != PINCHES), None)
    return f"{PINCHES}: off" if goal is None else f"{goal.id.key}: {example(goal)}"


def example(goal: GoalLine) -> str:
    """A figure a step easier than the rule, as it is written in the file."""
    from optimiser.measures.quantities import quantities

    known = quantities().get(goal.figure)
    step = known.scale if known is not None else 5.0
    moved = goal.limit - step if goal.side == Side.AT_LEAST else goal.limit + step
    sign = " %" if goal.unit == "%" else ""
    limit = f"{moved:g}{sign}"
    return f"{{{goal.side}: {limit}}}" if goal.side != Side.EXACTLY else limit
