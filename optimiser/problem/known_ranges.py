"""What is asked for beyond what is known: much superfat, much water, a paste of potassium; and what then cannot be asked.

Of such a soap some measures are unknown. The house's rules on them stand aside, and so do those of designs; a goal of the
maker's own on one of them is a fault, since nobody could say whether it is met.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from optimiser.measures.measures import lever_ranges, rests_on
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from optimiser.problem.goals import GoalSheet
    from optimiser.problem.limits import Limit

SUPERFATS = ("superfat", "likely_superfat", "worst_case_superfat")
MOST_SUPERFAT = 25.0  # %: with more, free oil may lie beyond what is known
WEAKEST_LYE = 20.0  # %: with a weaker one, water may
MOST_TO_ALKALI = 4.0
WAYS = "take this goal away, or ask for less of the other"


def levers_beyond(sheet: GoalSheet) -> frozenset[str]:
    """The levers that a file asks for beyond what is known of them: of "free oil", "water" and "potassium"."""
    return frozenset(lever for lever, _ in beyond(sheet))


def beyond(sheet: GoalSheet) -> Iterator[tuple[str, Limit]]:
    """Each such lever with the limit that asks for it."""
    limits = (
        *sheet.goals,
        *(item.limit for item in sheet.brought),
        *(limit for change in sheet.practice for limit in change.limits),
    )
    for limit in limits:
        if limit.subject == SubjectKind.QUANTITY and (lever := lever_beyond(limit)):
            yield lever, limit


def lever_beyond(limit: Limit) -> str:
    """The lever that a limit asks for beyond what is known of it; "" where it does not."""
    low, high = limit.side != Side.AT_LEAST, limit.side != Side.AT_MOST
    ranges = lever_ranges()
    water = ranges["water"]
    asks = {
        "free oil": high and limit.key in SUPERFATS and limit.value > MOST_SUPERFAT,
        "potassium": high and limit.key == "potassium_share" and limit.value > ranges["potassium"].high,
        "water": (low and limit.key == "lye_concentration" and limit.value < WEAKEST_LYE)
        or (high and limit.key == "water_to_alkali" and limit.value > MOST_TO_ALKALI)
        or (high and limit.key == "water_share_of_fats" and limit.value > water.high / 10.0)
        or (low and limit.key == "water_share_of_fats" and limit.value < water.low / 10.0),
    }
    return next((lever for lever, asked in asks.items() if asked), "")


def unknown_measures(sheet: GoalSheet) -> frozenset[str]:
    """The measures of which nobody knows anything in a soap as it is asked for."""
    return frozenset().union(*(rests_on(lever) for lever in levers_beyond(sheet)))


def known_of(sheet: GoalSheet) -> GoalSheet:
    """The goals without what designs ask of measures that are unknown.

    Raises:
        BadInput: a goal, a preference or a rule of the maker's own asks for such a measure.
    """
    unknown = unknown_measures(sheet)
    if not unknown:
        return sheet
    faults = [fault(sheet, limit) for limit in own_limits(sheet) if is_on(limit, unknown)]
    if faults:
        raise BadInput(faults)
    dropped = dict.fromkeys(item.design for item in sheet.brought if is_on(item.limit, unknown))
    notes = tuple(
        f"{name.capitalize()}: its limits on measures that are not known of such a soap stand aside."
        for name in dropped
    )
    kept = tuple(item for item in sheet.brought if not is_on(item.limit, unknown))
    return sheet._replace(brought=kept, design_notes=(*sheet.design_notes, *notes))


def own_limits(sheet: GoalSheet) -> tuple[Limit, ...]:
    """What the maker's own goals, preferences and changed rules ask of the bar."""
    wishes = (limit for step in sheet.prefer for limit in step)
    return (*sheet.goals, *wishes, *(limit for change in sheet.practice for limit in change.limits))


def is_refused(sheet: GoalSheet) -> bool:
    """Whether the maker asks for what nobody could say is met."""
    unknown = unknown_measures(sheet)
    return any(is_on(limit, unknown) for limit in own_limits(sheet))


def is_on(limit: Limit, unknown: frozenset[str]) -> bool:
    """Whether a limit is on a measure that is unknown."""
    return limit.subject == SubjectKind.QUANTITY and limit.key in unknown


def fault(sheet: GoalSheet, limit: Limit) -> Diagnostic:
    """That nobody can say whether a limit is met, and for which other one."""
    other = next(asked for lever, asked in beyond(sheet) if limit.key in rests_on(lever))
    message = f"nobody knows the {quantities()[limit.key].words} of a soap with {other.said}"
    notes = (("this asks for it", other.span),) if other.span.line else ()
    return Diagnostic(Code.CONTRADICTION, message, WAYS, limit.span, notes)
