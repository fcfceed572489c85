"""How a bar stands against preferences, and a recipe in hand against goals: met, or missed by how much."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.measures.telling import agrees, in_digits
from optimiser.report import words
from optimiser.report.terminal.goals import here, is_house, place
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import GoalLine, PreferenceLine
    from optimiser.problem.wishes import WishId


def preferences(lines: Sequence[PreferenceLine], currency: str = "") -> Iterator[Part]:
    """Preferences in their order, met or short by how much, and what having each costs where that was worked out."""
    if not lines:
        return
    is_priced = any(line.costs is not None for line in lines)
    priced = (Column("costs", "right"),) if is_priced else ()
    yield Heading("Preferences, in order", words.heading_per(currency, "kg of cured bar") if is_priced else "")
    yield Table(
        (Column("line", "right"), Column("", wraps=True), Column("here", "right"), Column(""), *priced),
        [
            (
                str(line.line or words.NOTHING),
                words.without_house(line.said),
                preferred(line),
                "met" if line.met else short_words(line),
                *((words.price_of_having(line.costs),) if is_priced else ()),
            )
            for line in lines
        ],
    )
    if is_priced and len(lines) > 1:
        yield Line("Each is priced with the others kept.")
    if any(line.id.key == words.HARD_OILS for line in lines):
        yield Line(words.ON_HARD_OILS)
    yield Gap()


def alike(goals: Sequence[GoalLine]) -> dict[WishId, str]:
    """Where a recipe stands for each goal; for those on one figure in the same digits, where these say what the verdicts say."""
    out = {goal.id: here(goal) for goal in goals}
    for goal in goals:
        same = [out[other.id] for other in goals if (other.figure, other.unit) == (goal.figure, goal.unit)]
        shortest = min(same, key=len)
        number = shortest.removesuffix("%").strip(words.GLUE + " ")
        if shortest != out[goal.id] and agrees(number, goal.limit, goal.side, met=goal.holds_when_weighed):
            out[goal.id] = shortest
    return out


def preferred(line: PreferenceLine) -> str:
    """Where a preference stands; its side is that on which it falls short."""
    side = line.said.side or (Side.AT_MOST if line.value > line.limit else Side.AT_LEAST)
    return words.column_against(line.value, line.limit, side, line.unit, met=line.met)


def short_words(line: PreferenceLine) -> str:
    """By how much a preference falls short, or is gone over: "short by 3.7 points", "over by 1.40"."""
    if math.isnan(line.value):
        return "not known"
    by = "over by" if line.value > line.limit else "short by"
    if "/" in line.unit:
        return f"{by} {words.in_column(line.short_by, line.unit)}"
    least = 0.1  # the smallest miss that is told as a figure
    if line.short_by < least / 2.0:
        return f"{by} less than {words.amount(least, line.unit)}"
    return f"{by} {words.amount(round(line.short_by, 1), line.unit)}"


def verdict(
    goals: Sequence[GoalLine],
    meets: bool | None,  # noqa: FBT001  # three answers, not a switch
    *,
    full: bool = False,
) -> Iterator[Part]:
    """How a recipe in hand stands against goals: each with its value, met or missed by how much."""
    if meets is None:
        return
    own_goals = [goal for goal in goals if not goal.gives_way]
    untold = sum(math.isnan(goal.value) for goal in own_goals)
    missed = sum(not goal.holds_when_weighed for goal in own_goals) - untold
    unknown = f", {untold} not known" if untold else ""
    beyond = sum(goal.gives_way and not goal.holds_when_weighed and not math.isnan(goal.value) for goal in goals)
    house = f"; goes beyond {words.counted(beyond, 'house rule')}" if beyond else ""
    told = "meets them all" if meets else f"{missed} of {len(own_goals)} missed{unknown}"
    yield Heading("Against the goals", f"{told}{house}")
    own = [goal for goal in goals if full or not is_house(goal) or not goal.holds_when_weighed]
    here_of = alike(own)
    yield Table(
        (
            Column("line", "right"),
            Column("goal", wraps=True),
            Column("here", "right"),
            Column(""),
            Column("by", "right"),
        ),
        [
            (
                place(goal),
                words.without_house(goal.said),
                here_of[goal.id],
                verdict_word(goal),
                missed_by(goal),
            )
            for goal in own
        ],
    )
    if len(goals) > len(own):
        kept = words.counted(len(goals) - len(own), "rule")
        yield Line(f"{kept} of house practice {'is' if len(goals) - len(own) == 1 else 'are'} kept.")
    if any(goal.figure == words.HARD_OILS for goal in own):
        yield Line(words.ON_HARD_OILS)
    yield Gap()


def verdict_word(goal: GoalLine) -> str:
    """Met or missed; where the figure lies further off than print can hide, that it is met as near as a balance weighs."""
    if math.isnan(goal.value):
        return "not known"
    if not goal.holds_when_weighed:
        return "gives way" if goal.gives_way else "missed"
    shown = here(goal).split(words.GLUE)[0]
    return "met" if agrees(shown, goal.limit, goal.side, met=True) else "met as weighed"


def missed_by(goal: GoalLine) -> str:
    """By how much a goal is missed, between the figures as they are printed."""
    if goal.holds_when_weighed or math.isnan(goal.value):
        return ""
    shown = here(goal).split(words.GLUE)[0]
    digits = len(shown) - 1 - shown.find(".") if "." in shown and shown[-1:].isdigit() else 0
    by = abs(goal.value - goal.limit)
    if not digits:
        return words.in_column(by, goal.unit)
    unit = "" if words.is_long(goal.unit) or goal.unit in words.BARE_UNITS else f"{words.GLUE}{goal.unit.strip()}"
    return f"{in_digits(by, digits)}{unit}"
