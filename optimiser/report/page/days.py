"""The days of a batch in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from datetime import date

    from optimiser.answers.cure_calendar import Event
    from optimiser.report.page.setting import Setting

MONTHS = (
    "Jan",
    "Feb",
    "Mar",
    "Apr",
    "May",
    "Jun",
    "Jul",
    "Aug",
    "Sep",
    "Oct",
    "Nov",
    "Dec",
)  # in every locale the same


class Day(NamedTuple):
    """A row of the calendar: what, after how many days, and the dates ("" where they are to be written in)."""

    what: str
    after: str
    dates: str
    about: str


def day_row(event: Event, setting: Setting) -> Day:
    """A row of the calendar."""
    return Day(
        event.what, setting.own(after_words(event.first, event.last)), dates_told(event), setting.own(event.about)
    )


def after_words(first: int, last: int | None) -> str:
    """Days after the making: "day 1 to 2", "the same day", "from day 30"."""
    if last is None:
        return f"from day {first}"
    if first == last:
        return f"day {first}" if first else "the same day"
    return f"day {first} to {last}"


def dates_told(event: Event) -> str:
    """Its dates; "" where they are not known."""
    if event.dates is None:
        return ""
    first, last = event.dates
    if last is None:
        return f"from {day_words(first)}"
    return day_words(first) if first == last else f"{day_words(first)} to {day_words(last)}"


def day_words(day: date) -> str:
    """A date that nobody takes for another: "28 Nov 2026"."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
