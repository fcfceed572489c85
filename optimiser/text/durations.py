"""Lengths of time as people write them: "4 min 30 s", "90 s", "20 h", "1 day 6 h"."""

from __future__ import annotations

import re

from optimiser.maths.units import FROM_DAYS
from optimiser.text.codes import Code
from optimiser.text.names import nearest, shown
from optimiser.text.quantities import MOST_LETTERS, Misread, read_number, refuse_long, write_number

SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0, "day": 86400.0}
_LONG_FORMS = {
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("hr", "hrs", "hour", "hours"), "h"),
    **dict.fromkeys(("d", "days"), "day"),
}
_WORDS = (*SECONDS, *_LONG_FORMS)
_PART = re.compile(r"\s*(?P<figure>[+\-\u2212]?[\d.](?:[\d.,:' ]*[\d.])?)\s*(?P<unit>[^\W\d_]*)\.?\s*(?:,|\band\b)?")
_TIME = re.compile(rf"\d\s*(?:{'|'.join(_WORDS)}|m)\b", re.IGNORECASE)


def is_duration(text: str) -> bool:
    """Whether the text speaks of a length of time at all, well or badly written."""
    return bool(_TIME.search(text[:MOST_LETTERS]))


def read_duration(text: str, what: str = "this") -> float:
    """A length of time in seconds: parts from the longest unit to the shortest, each with its unit.

    Raises:
        Misread: no figure, no unit, a unit that is no time, parts out of order, or no time at all.
    """
    refuse_long(text)
    plain = " ".join(text.split())
    total, last, place = 0.0, float("inf"), 0
    while place < len(plain):
        found = _PART.match(plain, place)
        if found is None:
            try:
                read_number(plain[place:])  # says what is wrong with a word, a sign or nothing at all
            except Misread as fault:
                raise Misread(fault.code, fault.message, fault.help or "write it like 4 min 30 s") from None
            raise Misread(Code.NOT_A_FIGURE, f"{shown(plain)} is no length of time", "write it like 4 min 30 s")
        figure, unit = _figure(found["figure"], plain), _unit(found["unit"], plain, what)
        if SECONDS[unit] >= last:
            raise Misread(
                Code.ODD_TIME, f"the parts of {shown(plain)} are out of order", "the longest unit comes first"
            )
        total, last, place = total + figure * SECONDS[unit], SECONDS[unit], found.end()
    if not plain:
        raise Misread(Code.NO_FIGURE, "a length of time is missing here", "write it like 4 min 30 s")
    if total <= 0:
        raise Misread(Code.OUT_OF_RANGE, f"{what} of {shown(plain)} is no length of time", "it is above 0")
    return total


def _figure(written: str, whole: str) -> float:
    if re.search(r"\d:\d", written):
        message = f"{shown(whole)} could be minutes and seconds, or hours and minutes"
        raise Misread(Code.ODD_TIME, message, "write it like 4 min 30 s, or 4 h 30 min")
    number = read_number(written)
    if number.value < 0:
        raise Misread(Code.OUT_OF_RANGE, f"{shown(whole)} is no length of time", "it is above 0")
    return number.value


def _unit(word: str, whole: str, what: str) -> str:
    folded = word.casefold()
    unit = _LONG_FORMS.get(folded, folded)
    if unit in SECONDS:
        return unit
    digits = whole.removesuffix(word).strip() if word else whole
    if not word:
        raise Misread(
            Code.NO_UNIT,
            f"{what} is a length of time, and {shown(whole)} lacks a unit",
            f"write {digits} min, or {digits} h",
        )
    near = "min" if folded == "m" else "".join(nearest(folded, _WORDS, most=1))
    hint = f"did you mean '{near}'? " if near else ""
    message = f"{what} is a length of time; {shown(word)} is no unit for it"
    raise Misread(Code.WRONG_UNIT, message, f"{hint}units: {', '.join(SECONDS)}")


DAYS = 365.25
LEAST_WEEKS, MOST_WEEKS = 1.0, 5.0 * DAYS / 7.0  # weeks: nobody uses soap sooner, and nobody waits longer than 5 years
IN_WEEKS = {
    **dict.fromkeys(("d", "day", "days"), 1.0 / 7.0),
    **dict.fromkeys(("week", "weeks", "wk", "wks"), 1.0),
    **dict.fromkeys(("month", "months"), DAYS / 84.0),
    **dict.fromkeys(("year", "years"), DAYS / 7.0),
}


def read_weeks(text: str, what: str = "cure") -> float:
    """A length of cure in weeks.

    Raises:
        Misread: no figure, no unit, another unit than days to years, or no time that a bar is cured.
    """
    number = read_number(text)
    unit = number.rest.strip().rstrip(".").casefold()
    if not unit:
        message = f"{what} is a length of time, and {number.digits} lacks a unit"
        raise Misread(Code.NO_UNIT, message, f"write {number.digits} weeks")
    if unit not in IN_WEEKS:
        message = f"{what} is told in days, weeks, months or years, not in '{number.rest.strip()}'"
        raise Misread(Code.WRONG_UNIT, message, "write it like 6 weeks")
    weeks = number.value * IN_WEEKS[unit]
    if not LEAST_WEEKS <= weeks <= MOST_WEEKS:
        what_of_it = "no cure" if weeks < LEAST_WEEKS else "longer than anyone cures a bar"
        help_ = "from 1 week to 5 years are taken; 6 weeks are usual"
        raise Misread(Code.OUT_OF_RANGE, f"{' '.join(text.split())} is {what_of_it}", help_)
    return weeks


def write_duration(seconds: float) -> str:
    """A length of time in the two units that suit it, to about three figures: "4 min 30 s", "20 h", "5 days 6 h".

    Days begin at four whole ones, since "36 h" and "72 h" are how a soaper counts.
    """
    if seconds < 1.0:
        return f"{write_number(float(f'{seconds:.2g}'))} s"
    steps = (
        (FROM_DAYS, "day", 86400.0, "h", 3600.0),
        (7200.0, "h", 3600.0, "min", 60.0),
        (90.0, "min", 60.0, "s", 1.0),
    )
    for least, big, size, small, part in steps:
        if seconds >= least - part / 2:
            whole = round(seconds / part)
            per = round(size / part)
            rest = f" {whole % per} {small}" if whole % per else ""
            name = "days" if big == "day" else big
            return f"{whole // per} {name}{rest}"
    return f"{round(seconds)} s"
