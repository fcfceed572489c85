"""When a batch is unmoulded, turned, tried and ready, as days after it is made, or as dates where it is told when that is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from optimiser.recipe.times import BatchTimes, ExpectedTime

TURN_EVERY = 7  # days: bars on a rack are turned once a week (common practice, no source)
IN_A_DAY = {"s": 86400.0, "min": 1440.0, "h": 24.0}
DAYS_A_WEEK = 7
LAST_YEAR = 9900
"""Batches of later years have no calendar: their dates would run over what a date can be."""


class Event(NamedTuple):
    """One thing to do: `first` and `last` in days after the batch is made, `last` None where it goes on; the dates if known."""

    key: str
    what: str
    first: int
    last: int | None
    about: str
    dates: tuple[date, date | None] | None = None


def calendar(times: BatchTimes, made: date | None = None) -> tuple[Event, ...]:
    """The days of a batch, in order; none of a soap that is neither unmoulded nor cured.

    Hours to unmould are told to the nearest day, for a salt bar is cut on the day on which it is made; weeks of cure begin when the
    bars are cut, and parts of a day are rounded up, for a bar is never ready before its time.

    Args:
        times: how long it is likely to take.
        made: the day on which the batch is made.

    >>> from optimiser.recipe.times import NO_TIMES
    >>> calendar(NO_TIMES)
    ()
    """
    return tuple(dated(event, made) for event in events(times))


def events(times: BatchTimes) -> Iterator[Event]:
    """The same in days."""
    out = (0, 0)
    if times.unmould is not None:
        out = days(times.unmould)
        yield Event("unmould", "Unmould and cut" if times.cut else "Unmould", *out, times.unmould.said())
    if times.cure is None:
        return
    low, high = days(times.cure)
    first, last = out[0] + low, out[1] + high
    if low > TURN_EVERY:
        yield Event("turn", "Turn the bars, then every week", out[0] + TURN_EVERY, None, "common practice")
    yield Event("try", "Test for free alkali, then wash", first, None, "after the shortest cure")
    yield Event("ready", "Ready", first, last, f"cured {times.cure.said()}")


def days(item: ExpectedTime) -> tuple[int, int]:
    """A time in whole days: hours to the nearest, weeks rounded up."""
    if item.unit == "weeks":
        return math.ceil(round(DAYS_A_WEEK * item.low, 6)), math.ceil(round(DAYS_A_WEEK * item.high, 6))
    whole = IN_A_DAY[item.unit]
    return math.floor(item.low / whole + 0.5), math.floor(item.high / whole + 0.5)


def dated(event: Event, made: date | None) -> Event:
    """An event with its dates, where the batch has one."""
    if made is None or made.year > LAST_YEAR:
        return event
    last = None if event.last is None else made + timedelta(days=event.last)
    return event._replace(dates=(made + timedelta(days=event.first), last))
