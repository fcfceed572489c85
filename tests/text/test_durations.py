"""Lengths of time as people write them."""

from __future__ import annotations

import pytest

from optimiser.recipe.rough_durations import rough_duration, rough_range, weeks_in, weeks_range
from optimiser.text.durations import is_duration, read_duration, write_duration
from optimiser.text.quantities import Misread


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        *[("4 min 30 s", 270), ("4min30s", 270), ("90 s", 90), ("1.5 h", 5400), ("20 h", 72000), ("6 min.", 360)],
        *[("1 day 6 h", 108000), ("2 days", 172800), ("1 h and 5 mins", 3900), ("1 Hour, 2 minutes", 3720)],
        *[("45 sec", 45), ("0 min 30 s", 30), ("  3   min ", 180), ("1 h 0.5 min", 3630)],
    ],
)
def test_times_are_read_in_seconds(text: str, seconds: float) -> None:
    """Parts with their units add up, however they are spaced."""
    assert read_duration(text) == pytest.approx(seconds)
    assert is_duration(text)


@pytest.mark.parametrize(
    ("text", "code", "help_"),
    [
        *[
            ("5", "no-unit", "write 5 min"),
            ("5 m", "wrong-unit", "did you mean 'min'?"),
            ("", "no-figure", "4 min 30 s"),
        ],
        *[("4:30", "odd-time", "4 min 30 s"), ("4,5 min", "comma", "4.5"), ("soon", "not-a-figure", "")],
        *[
            ("-3 min", "out-of-range", "above 0"),
            ("0 s", "out-of-range", "above 0"),
            ("20 grams", "wrong-unit", "units:"),
        ],
        *[("30 s 4 min", "odd-time", "longest unit comes first"), ("3 min 4 min", "odd-time", "longest unit")],
        *[("4 min 30", "no-unit", ""), ("3 min !", "not-a-figure", ""), ("20 hurs", "wrong-unit", "hours")],
    ],
)
def test_what_is_no_time_is_told_in_words(text: str, code: str, help_: str) -> None:
    """A missing or odd unit, a colon, a comma and a turned order each have their own words and way out."""
    with pytest.raises(Misread) as caught:
        read_duration(text, "time to trace")
    assert caught.value.code == code
    assert help_ in caught.value.help


@pytest.mark.parametrize("text", ["45", "45 %", "41 Shore D", "slow", "45 points"])
def test_other_figures_are_no_times(text: str) -> None:
    """An index, a share, a reading and a word do not speak of time."""
    assert not is_duration(text)


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        *[(0.25, "0.25 s"), (5, "5 s"), (89, "89 s"), (90, "1 min 30 s"), (119.7, "2 min"), (270, "4 min 30 s")],
        *[
            (3599.9, "60 min"),
            (7200, "2 h"),
            (72000, "20 h"),
            (129600, "36 h"),
            (259200, "72 h"),
            (437000, "5 days 1 h"),
        ],
    ],
)
def test_times_are_written_as_a_soaper_counts(seconds: float, text: str) -> None:
    """Two units at most; hours up to four days."""
    assert write_duration(seconds) == text


def test_expected_times_carry_two_figures() -> None:
    """What is only expected is not told to the second, and a range names its unit once."""
    assert [rough_duration(value) for value in (47.4, 491, 1530, 97000, 400000)] == [
        *("47 s", "8.2 min", "26 min", "27 h", "4.6 days"),
    ]
    assert rough_range(476, 756) == "8 to 13 min"
    assert rough_range(50, 120) == "50 to 120 s"
    assert rough_range(50, 190) == "50 s to 3 min"
    assert rough_range(36 * 3600, 110 * 3600) == "1.5 to 4.5 days"
    assert rough_range(22.3 * 3600, 54.4 * 3600) == "22 to 54 h"
    assert rough_range(3600, float("inf")) == "60 min or longer"
    assert rough_range(600, 601) == "about 10 min"
    assert rough_duration(float("inf")) == "very many days"


def test_a_cure_is_told_in_weeks_or_months() -> None:
    """Half a year and more is told in months."""
    assert weeks_range(4, 6) == "4 to 6 weeks"
    assert weeks_range(4, 4) == "4 weeks"
    assert weeks_range(26, 52) == "6 to 12 months"


@pytest.mark.parametrize(
    ("text", "weeks"),
    [
        ("Four weeks or longer.", 4.0),
        ("Stamp after three to seven days; cure four weeks or longer.", 4.0),
        ("8 to 12 weeks", 8.0),
        ("Six months at the least.", 26.0),
        ("Until it is dry.", None),
        ("", None),
    ],
)
def test_weeks_are_read_out_of_advice(text: str, weeks: float | None) -> None:
    """The first weeks that the words of a design tell."""
    assert weeks_in(text) == weeks
