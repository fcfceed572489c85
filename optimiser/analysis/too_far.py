"""Whether rules gave way so far that nobody would pour the blend; one place decides, for answers and for ways out of a clash."""

from __future__ import annotations

from collections.abc import Sequence

from optimiser.analysis.giving_way import GaveWay, gave_way
from optimiser.measures.sides import Side
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Section

MOST_STEPS = (
    4.0  # of one rule: lauric oils past 55 %, waxes past 6 %; one step is a small change, four are another soap
)
MOST_TOGETHER = 8.0  # steps of all rules: several a little off are a bar still, eight steps of them are not
MOST_RULES = 5  # that gave way at all
MOST_OF_WHOM = 3.0  # steps of all that whom the bar is for asks: the fats it is sold for are gone
NAMES = (Section.SHARES, Section.ADDITIVES, Section.LIQUIDS)  # sections in which a maker names an amount


def nobody_would_pour(sheet: GoalSheet, shelf: Shelf) -> bool:
    """Whether an answer to some goals would say first that nobody would pour it.

    Args:
        sheet: the goals as answered.
        shelf: the shelf.
    """
    return bool(sheet.eased) and bool(missed_too_far(gave_way(sheet, shelf)))


def missed_too_far(given: Sequence[GaveWay]) -> list[tuple[str, tuple[GaveWay, ...]]]:
    """Whom the bar is for that is not met, each with what is missed, and then the house ("")."""
    asked = [item for item in given if not is_named(item)]
    whole = [(whom, too_far(of_whom(asked, whom), whom)) for whom in whoms(asked)]
    if any(missed for _, missed in whole):  # where one is not met, what the others lack is told as well
        lacking = [(whom, furthest_first(of_whom(asked, whom))) for whom, missed in whole if not missed]
        whole = [*((whom, missed) for whom, missed in whole if missed), *lacking]
    house = too_far([item for item in asked if item.wish.section == Section.PRACTICE], "")
    return [(whom, missed) for whom, missed in (*whole, ("", house)) if missed]


def is_named(item: GaveWay) -> bool:
    """Whether a rule gave way to an amount that the maker names."""
    return any(wish.section in NAMES and wish.side != Side.AT_MOST for wish, _ in item.against)


def whoms(given: Sequence[GaveWay]) -> tuple[str, ...]:
    """Whom the bar is for, of all whose limits gave way."""
    return tuple(dict.fromkeys(item.wish.within for item in given if item.wish.section == Section.FOR))


def of_whom(given: Sequence[GaveWay], whom: str) -> list[GaveWay]:
    """What one of those asks, and gave way."""
    return [item for item in given if item.wish.section == Section.FOR and item.wish.within == whom]


def too_far(given: Sequence[GaveWay], whom: str) -> tuple[GaveWay, ...]:
    """The rules that gave way, the furthest first, if that is too far; else none."""
    steps = [item.steps for item in given]
    if whom:
        is_far = sum(steps) > MOST_OF_WHOM
    else:
        is_far = max(steps, default=0.0) > MOST_STEPS or sum(steps) > MOST_TOGETHER or len(steps) >= MOST_RULES
    return furthest_first(given) if is_far else ()


def furthest_first(given: Sequence[GaveWay]) -> tuple[GaveWay, ...]:
    """Rules that gave way, by how far."""
    return tuple(sorted(given, key=lambda item: -item.steps))
