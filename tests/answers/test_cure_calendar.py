"""The days of a batch, as days after the making and as dates."""

from __future__ import annotations

from datetime import date

from benches import blend_of

from optimiser.answers.cure_calendar import LAST_YEAR, calendar, days
from optimiser.recipe.times import NO_TIMES, BatchTimes, ExpectedTime


def expected(time: str, unit: str, low: float, high: float) -> ExpectedTime:
    """A time of so much to so much."""
    return ExpectedTime(time, time, unit, low, high, "prior", "a rule of thumb")


SOME = BatchTimes(unmould=expected("unmould", "h", 18.0, 42.0), cure=expected("cure", "weeks", 4.0, 6.0))


def test_a_cure_begins_when_the_bars_are_cut() -> None:
    """Cut on day 1 to 2, turned from a week later, tried after the shortest cure, ready over the range of both."""
    events = {event.key: event for event in calendar(SOME)}
    assert list(events) == ["unmould", "turn", "try", "ready"]
    assert [(event.first, event.last) for event in events.values()] == [(1, 2), (8, None), (29, None), (29, 44)]
    assert all(event.dates is None for event in events.values())


def test_dates_are_those_of_the_calendar() -> None:
    """Over the end of a month, a year and a leap day, by Python's own calendar."""
    told = {event.key: event.dates for event in calendar(SOME, date(2026, 11, 28))}
    assert told["unmould"] == (date(2026, 11, 29), date(2026, 11, 30))
    assert told["turn"] == (date(2026, 12, 6), None)
    assert told["ready"] == (date(2026, 12, 27), date(2027, 1, 11))
    leap = {event.key: event.dates for event in calendar(SOME, date(2028, 2, 28))}
    assert leap["unmould"] == (date(2028, 2, 29), date(2028, 3, 1))


def test_a_salt_bar_is_cut_on_its_own_day() -> None:
    """Hours to unmould are no days: one to four hours is the day of the making."""
    assert days(expected("unmould", "h", 1.0, 4.0)) == (0, 0)
    assert days(expected("unmould", "h", 36.0, 84.0)) == (2, 4)
    assert days(expected("cure", "weeks", 4.5, 6.0)) == (32, 42)


def test_a_short_cure_is_not_turned() -> None:
    """Bars that cure for no more than a week are never told to be turned after it."""
    short = SOME._replace(cure=expected("cure", "weeks", 1.0, 1.0))
    assert [event.key for event in calendar(short)] == ["unmould", "try", "ready"]


def test_what_is_neither_unmoulded_nor_cured_has_no_calendar() -> None:
    """A paste has none; without a cure there is the unmoulding alone; a year that no date can follow has no dates."""
    assert calendar(NO_TIMES, date(2026, 1, 1)) == ()
    assert [event.key for event in calendar(SOME._replace(cure=None))] == ["unmould"]
    assert calendar(SOME, date(LAST_YEAR + 1, 1, 1))[0].dates is None


def test_the_calendar_is_that_of_the_answer() -> None:
    """Of a goal file of the tree the range of the cure lies between its calendar's ends."""
    times = blend_of("everyday").times
    assert times.cure is not None
    ready = calendar(times)[-1]
    assert ready.first >= 7 * times.cure.low
    assert ready.last is not None
    assert ready.last >= 7 * times.cure.high
