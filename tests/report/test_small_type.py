"""Gauges, figures and lines: what answers are set with."""

from __future__ import annotations

import math
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from optimiser.answers.weighed_lines import MeasureLine
from optimiser.recipe.balance import places
from optimiser.report import words
from optimiser.report.terminal.gauges import BOX, PLAIN, gauge
from optimiser.report.terminal.page import Column, Heading, Paper, Table, printed, to_ascii, wrapped
from optimiser.text.signs import columns

FREE = MeasureLine("x", "x", 50.0, "index", "", (), "", "", None, None)


@pytest.mark.parametrize(
    ("line", "drawn"),
    [
        (FREE, "|---------O---------|"),
        (FREE._replace(value=120.0), "|------------------->"),
        (FREE._replace(value=-3.0), "<-------------------|"),
        (FREE._replace(low_limit=50.0), "|--------[O=========|"),
        (FREE._replace(low_limit=60.0), "|---------O-[=======|"),
        (FREE._replace(low_limit=51.0), "|---------O[========|"),
        (FREE._replace(low_limit=49.5, high_limit=50.5), "|--------[O]--------|"),
        (FREE._replace(low_limit=30.0, high_limit=70.0), "|-----[===O===]-----|"),
        (FREE._replace(bands=(("low", None, 20.0), ("high", 20.0, None))), "|---+-----O---------|"),
        (FREE._replace(value=1.5, bands=(("keeps", None, 1.0), ("short", 1.0, None))), "|---------+----O----|"),
        (FREE._replace(value=math.nan, low_limit=20.0), "|---[===============|"),
    ],
)
def test_gauge(line: MeasureLine, drawn: str) -> None:
    """A gauge shows bands, limits and the bar; a bracket never hides behind the pointer and tells if the limit holds."""
    ends = {"width": 21, "marks": PLAIN}
    told = gauge(line, **ends)  # type: ignore[arg-type]
    assert told == drawn


@given(
    value=st.floats(-20, 130),
    low=st.none() | st.floats(0, 100),
    high=st.none() | st.floats(0, 100),
    width=st.integers(17, 61),
)
def test_gauge_always_points(value: float, low: float | None, high: float | None, width: int) -> None:
    """A gauge is as wide as asked and always has one pointer, in letters of either set."""
    line = FREE._replace(value=value, low_limit=low, high_limit=high)
    for marks in (BOX, PLAIN):
        told = gauge(line, width, marks)
        assert cell_len(told) == width
        assert sum(told.count(mark) for mark in (marks.here, marks.below, marks.above)) == 1


@given(st.lists(st.integers(0, 10**7).map(lambda count: count / 100), max_size=8))
def test_weights_shown_as_weighed(values: list[float]) -> None:
    """A column of weights has the decimals that its finest one needs; long figures are parted in thousands."""
    decimals = places(values)
    for value in values:
        assert float(words.grams(value, decimals).replace(words.GLUE, "")) == pytest.approx(value, abs=5e-4)


@given(st.floats(0.01, 1e4))
def test_bound_printed_is_true(value: float) -> None:
    """A lower bound in print is never above the one proved, but for the last digit of a float."""
    assert float(words.floor_money(value)) <= value + 1e-9


@given(st.text(max_size=80), st.integers(10, 60), st.integers(0, 8))
def test_wrapping_loses_nothing(said: str, width: int, hang: int) -> None:
    """Wrapped text holds every sign of the text, in lines no wider than asked."""
    clean = Paper().say(said).replace("\n", " ").replace("\t", " ")
    lines = wrapped(clean, width, hang)
    assert "".join("".join(lines).split()) == "".join(clean.split())
    assert all(cell_len(line) <= width for line in lines)


def test_ascii_is_readable() -> None:
    """Signs beyond ASCII are spelt out, not lost."""
    assert to_ascii("± 7 · Café «№ 5» → Zürich") == "+/- 7 - Cafe ?No 5? -> Zurich"


COLUMNS = (Column("line", "right"), Column("goal", wraps=True), Column("here", "right"), Column("saves", "right"))
ROWS = [("12", "castor oil at least 5 %", "5.0 %", "0.123 a point"), ("house", "hardness", "61.0", "-")]


def test_a_table_too_wide_for_the_page_is_told_row_by_row() -> None:
    """On a narrow page no cell is cut: what a row is about stands first, and each other cell with its head."""
    wide = printed(Paper(60), [Table(COLUMNS, ROWS)])
    assert wide.splitlines()[0].split() == ["line", "goal", "here", "saves"]
    assert printed(Paper(40), [Table((*COLUMNS, Column("as far as", "right")), [(*row, "44.1") for row in ROWS])]) == (
        "  castor oil at least 5 %\n"
        "    line 12, here 5.0 %, saves 0.123 a\n"
        "      point, as far as 44.1\n"
        "  hardness\n"
        "    line house, here 61.0, saves -, as\n"
        "      far as 44.1\n"
    )


def test_heads_of_several_lines_stand_on_the_same_foot() -> None:
    """Long heads are stacked, short ones stand beside their last line; told row by row a head is one line again."""
    stacked = (*COLUMNS[:3], Column("saved\nper point", "right"))
    assert printed(Paper(60), [Table(stacked, ROWS[:1])]) == (
        "                                                saved\n"
        "  line  goal                      here      per point\n"
        "    12  castor oil at least 5 %  5.0 %  0.123 a point\n"
    )
    narrow = printed(Paper(40), [Table((*stacked, *stacked[2:]), [(*ROWS[0], *ROWS[0][2:])])])
    assert "saved per point 0.123" in " ".join(narrow.split())


@given(st.text(max_size=120), st.text(max_size=60), st.integers(40, 120))
def test_headings_keep_to_the_width(title: str, remark: str, width: int) -> None:
    """However long a title and its remark, the heading wraps, loses nothing and ends in a rule."""
    paper = Paper(width)
    told = printed(paper, [Heading(title, remark)])
    assert all(cell_len(line) <= width for line in told.splitlines())
    assert paper.marks.line * 3 in told
    kept = "".join(told.replace(paper.marks.line, "").split())
    assert kept == "".join(f"{paper.say(title)} {paper.say(remark)}".replace(paper.marks.line, "").split())


def test_a_joined_picture_is_two_columns_wide() -> None:
    """Names in wide letters and pictures keep the columns of a table in line."""
    names = ("石鹸 oil", "👩\u200d🔬", "❤\ufe0f oil", "plain oil")
    told = printed(Paper(60), [Table((Column("fat"), Column("grams", "right")), [(name, "100.0") for name in names])])
    ends = {columns(line) for line in told.splitlines()[1:]}
    assert len(ends) == 1


def test_a_very_long_word_is_cut_in_one_pass() -> None:
    """A word of a hundred thousand letters is set in time that grows with its length and no faster."""
    begun = time.process_time()
    assert max(map(cell_len, wrapped("x" * 100_000 + "石" * 100_000, 40))) <= 40
    assert time.process_time() - begun < 5.0
