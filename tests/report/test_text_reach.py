"""The room that the goals leave, in words and drawn bands."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from strategies import examples

from optimiser.answers.reach_results import Reach, ReachLine
from optimiser.report.json import documents as data
from optimiser.report.terminal import text
from optimiser.report.terminal.gauges import BOX, PLAIN, Marks
from optimiser.report.terminal.reach import NARROW, WIDE, band, top_of

if TYPE_CHECKING:
    from collections.abc import Callable

    Golden = Callable[[str, str], None]

HARDNESS = ReachLine("hardness", "hardness", "index", 31.5, 71.8, 55.0, 55.0, 65.0, is_share=False)
STORY = Reach(
    title="Estuary swirl (invented)",
    currency="EUR",
    goal_file="goals/estuary.yaml",
    shelf_title="Kittiwake Soapworks, autumn shelf (invented)",
    lines=(
        HARDNESS,
        ReachLine("trace_speed", "trace_speed", "index", 22.0, 48.2, 31.0, None, 33.0, is_share=False),
        ReachLine("rancidity", "rancidity", "index", 0.42, 3.1, 1.5, None, 1.5, is_share=False),
        ReachLine("mildness", "mildness", "index", None, None, 61.0, None, None, is_share=False),
        ReachLine("superfat", "superfat", "%", 0.0, 40.0, 5.0, 4.0, 7.0, is_share=False),
        ReachLine("lye_concentration", "lye concentration", "%", 33.0, 33.0, 33.0, 33.0, 33.0, is_share=False),
        ReachLine("cost", "cost", "EUR / kg", 1.91, 14.2, 3.84, None, 4.0, is_share=False),
        ReachLine("castor oil", "castor oil", "%", 0.0, 10.0, 5.0, 5.0, 5.0, is_share=True),
        ReachLine("solid fats", "solid fats", "%", 21.4, 75.0, 55.0, None, 60.0, is_share=True),
    ),
)


@pytest.mark.parametrize("width", [80, 120])
def test_reach_as_kept(golden: Golden, width: int) -> None:
    """The room that the goals leave reads as it was approved."""
    golden(f"reach-{width}.txt", text.reach(STORY, width))


def test_reach_in_ascii_as_kept(golden: Golden) -> None:
    """The same for a pipe without UTF-8, in ASCII alone."""
    told = text.reach(STORY, ascii=True)
    assert told.isascii()
    golden("reach-ascii-80.txt", told)


FIGURES = st.one_of(st.none(), st.floats(-50.0, 500.0))


@st.composite
def lines(draw: st.DrawFn) -> ReachLine:
    """A line of any figures, in any unit."""
    unit = draw(st.sampled_from(("index", "%", "EUR / kg", "ratio", "mg KOH/g")))
    words = draw(st.sampled_from(("hardness", "lauric and myristic acids", "calendula olive infusion", "x")))
    ends = [draw(FIGURES) for _ in range(4)]
    now = draw(st.floats(-50.0, 500.0))
    return ReachLine("any", words, unit, ends[0], ends[1], now, ends[2], ends[3], is_share=draw(st.booleans()))


@settings(max_examples=examples(60))
@given(st.lists(lines(), min_size=1, max_size=5), st.integers(60, 160), st.booleans())
def test_no_line_is_longer_than_the_page(drawn: list[ReachLine], width: int, ascii_only: bool) -> None:  # noqa: FBT001
    """Whatever the figures and the page, every line fits it."""
    told = text.reach(STORY._replace(lines=tuple(drawn)), width, ascii=ascii_only)
    assert max(cell_len(line) for line in told.splitlines()) <= width
    assert told.isascii() or not ascii_only


@settings(max_examples=examples(60))
@given(lines(), st.sampled_from((NARROW, WIDE)), st.sampled_from((BOX, PLAIN)))
def test_a_band_has_its_width_and_shows_where_the_blend_is(line: ReachLine, width: int, marks: Marks) -> None:
    """A band is as wide as its column whatever it shows, and the blend is always on it."""
    drawn = band(line, width, marks)
    assert cell_len(drawn) == width
    assert drawn.count(marks.here) == 1
    assert math.isfinite(top_of(line))


def test_a_band_is_drawn_to_scale() -> None:
    """On a scale from 0 to 100 over 51 cells a figure of 50 stands in the middle, and the room is filled end to end."""
    line = ReachLine("hardness", "hardness", "index", 20.0, 80.0, 50.0, 30.0, 70.0, is_share=False)
    drawn = band(line, 51, PLAIN)
    assert drawn[25] == PLAIN.here
    assert (drawn[15], drawn[35]) == (PLAIN.low, PLAIN.high)
    assert {drawn[place] for place in (10, 20, 30, 40)} == {PLAIN.allowed}
    assert drawn[9] == drawn[41] == PLAIN.line


def test_a_limit_that_the_blend_stands_on_is_still_seen() -> None:
    """Where the blend stands at its limit both marks are drawn, the blend on the side that holds."""
    at_low = band(HARDNESS._replace(high_limit=None), 51, PLAIN)
    assert at_low.index(PLAIN.here) == at_low.index(PLAIN.low) + 1
    at_high = band(HARDNESS._replace(low_limit=None, now=65.0), 51, PLAIN)
    assert at_high.index(PLAIN.here) == at_high.index(PLAIN.high) - 1


def test_what_is_not_known_is_a_dash() -> None:
    """A figure without an end has a dash for it, and no band."""
    told = text.reach(STORY, full=True)
    (row,) = [line for line in told.splitlines() if line.strip().startswith("mildness")]
    assert row.split()[1] == "-"


def test_the_data_say_the_same() -> None:
    """Every line has its figures in the JSON document, with null for what is not known."""
    document = data.reach(STORY)
    assert document["status"] == "feasible"
    assert [entry["id"] for entry in document["reach"]] == [line.id for line in STORY.lines]
    first = document["reach"][0]
    assert (first["low"], first["high"], first["now"]) == (31.5, 71.8, 55.0)
    assert (first["low_limit"], first["high_limit"]) == (55.0, 65.0)
    assert document["reach"][3]["low"] is None
