"""What a curve is asked of: a name and a side as typed, and from where to where; nothing of it stands in a file."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, NoReturn, TypeVar

from optimiser.files.keys import Known, find_fat_name, share_names
from optimiser.files.limit_values import Subject, read_bound
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.liquids import find_liquid
from optimiser.measures.quantities import find_quantity, quantities
from optimiser.measures.shares import share_named
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.moved_limit import limit_on, of_key, without_key
from optimiser.problem.shelf import Shelf
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import offer, shown
from optimiser.text.quantities import Misread

NOT_LIMITS = ("weeks", "fats")  # units of what is chosen, and is no limit on the blend
SIDES = (Side.AT_LEAST, Side.AT_MOST)
T = TypeVar("T")


class Typed(NamedTuple):
    """What was typed of a curve: the name, and the side and the two ends where they were told."""

    of: str
    side: str | None = None
    start: str | None = None
    stop: str | None = None
    option: str = "--side"  # how the side is told


class CurveKey(NamedTuple):
    """A limit that is to move, its range, and whether each end of it was named; and the goals with the limit in them, if any.

    `goals` are those of the file, without an exact figure on the key where one side of it is asked for in its place.
    """

    goals: GoalSheet
    limit: Limit
    low: float
    high: float
    low_named: bool
    high_named: bool


def read_curve_key(typed: Typed, goals: GoalSheet, shelf: Shelf) -> CurveKey:
    """The limit that a name means for some goals over a shelf.

    Raises:
        BadInput: no such name, a side that is not plain, figures that nothing can have or that are the wrong way round.
    """
    subject = subject_of(typed.of, goals, shelf)
    held = of_key(goals, subject.key, subject.kind)
    side = side_of(typed, subject, held)
    low, high = ends_of(typed, subject, side)
    own = next((limit for limit in held if limit.side == side), None)
    if own is None and side != Side.EXACTLY:
        goals = without_key(goals, subject.key, subject.kind, Side.EXACTLY)
    limit = own or limit_on(subject.key, subject.kind, side, subject.unit, subject.words)
    named = (typed.start is not None, typed.stop is not None)
    if typed.start is not None and typed.stop is not None and low > high:
        low, high = high, low
    elif low >= high:
        refuse(f"from {low:g} to {high:g} there is nothing to draw", "write the lower figure after --from")
    return CurveKey(goals, limit, low, high, *named)


def subject_of(name: str, goals: GoalSheet, shelf: Shelf) -> Subject:
    """What a name means: a figure that a goal is on, else a share, else a figure."""
    known = Known(own_fats=lambda: {fold_fat(item.fat.name): item.fat.name for item in shelf.fats})
    quantity = find_quantity(name)
    share = share_named(name)
    if share is None and (own := find_fat_name(name, known)) is not None:
        share = own, SubjectKind.FAT
    if quantity is not None and (share is None or of_key(goals, quantity.id, SubjectKind.QUANTITY)):
        if quantity.id == "cost":
            refuse("the curve is of what it costs to ask for something else", "name a measure, a figure or a share")
        if quantity.unit in NOT_LIMITS:
            refuse(
                f"{quantity.words} is chosen, and no limit that a blend keeps", "name a measure, a figure or a share"
            )
        return Subject(
            *(quantity.id, SubjectKind.QUANTITY, quantity.words, quantity.unit, quantity.bands),
            lowest=quantity.lowest,
            highest=quantity.highest,
            only_at_least=quantity.only_at_least,
        )
    if share is not None:
        return Subject(share[0], share[1], share[0], "%")
    if find_additive(name) is not None or find_liquid(name) is not None:
        refuse(
            f"a curve of how much {shown(name)} goes in is not drawn", "name a measure, a figure or a share of the fats"
        )
    figures = dict.fromkeys(called for one in quantities().values() for called in (one.id, one.words))
    help_ = offer(name, (*figures, *share_names(known)), "'barwright measures' and 'barwright fats' list what there is")
    message = f"{shown(name)} is no measure, figure, fat, kind or tag that is known here"
    raise BadInput([Diagnostic(Code.UNKNOWN_KEY, message, help_)])


def side_of(typed: Typed, subject: Subject, held: tuple[Limit, ...]) -> Side:
    """The side that was told, or that the file has alone."""
    if typed.side is not None:
        side = Side(typed.side)
        if subject.only_at_least and side != Side.AT_LEAST:
            refuse(f"{subject.words} can be asked for at least, and not {side.words}", "leave the side out")
        return side
    if len(held) == 1:
        return held[0].side
    if subject.only_at_least:
        return Side.AT_LEAST
    both = " or ".join(f"{typed.option} {side}" for side in SIDES)
    why = "has a limit on both sides in the file" if held else "has no limit in the file, so the curve is of one more"
    message = f"{subject.words} {why}: it is not plain which side is meant"
    raise BadInput([Diagnostic(Code.USAGE, message, f"say {both}")])


def ends_of(typed: Typed, subject: Subject, side: Side) -> tuple[float, float]:
    """From where to where, as told or as far as may be asked."""
    low = subject.lowest if typed.start is None else read_figure(subject, typed.start, side)
    high = subject.highest if typed.stop is None else read_figure(subject, typed.stop, side)
    return low, high


def read_figure(subject: Subject, text: str, side: Side) -> float:
    """A figure or a word as it was typed."""
    told = side if side != Side.EXACTLY else Side.AT_LEAST
    return reading(lambda: read_bound(subject, text, told).value)


def reading(read: Callable[[], T]) -> T:
    """What is read, a slip told as a fault of what was typed."""
    try:
        return read()
    except Misread as error:
        raise BadInput([Diagnostic(error.code, error.message, error.help)]) from None


def refuse(message: str, help_: str) -> NoReturn:
    """Raise a fault of what was typed."""
    raise BadInput([Diagnostic(Code.USAGE, message, help_)])
