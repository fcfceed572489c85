"""Diagnostics on a terminal."""

from __future__ import annotations

import re

import pytest

from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.render import render
from optimiser.text.signs import columns
from optimiser.text.spans import Span

LINE = "  hardness: {at_least: 45, at_most: 40}"
SECOND = Diagnostic(
    Code.CONTRADICTION,
    "hardness: at_least is above at_most",
    "turn them round",
    Span("goals/a.yaml", 12, 24, 26, LINE),
    (("the other end is here", Span("goals/a.yaml", 9, 37, 39, LINE)),),
)


def test_a_diagnostic_shows_place_line_caret_note_and_help() -> None:
    """The whole of one diagnostic, letter by letter."""
    assert render([SECOND]) == (
        "goals/a.yaml:12:24: hardness: at_least is above at_most [contradiction]\n"
        "  12 |   hardness: {at_least: 45, at_most: 40}\n"
        "     |                        ^^\n"
        "  note: the other end is here\n"
        "   9 |   hardness: {at_least: 45, at_most: 40}\n"
        "     |                                     --\n"
        "  help: turn them round\n"
        "\n"
        "1 fault; 'barwright explain contradiction' tells more\n"
    )


def test_a_warning_says_that_it_is_one() -> None:
    """In words, whatever the colours; and it is counted by itself."""
    odd = Diagnostic(Code.ODD_PRICE, "so dear?", "look again", Span("s.yaml", 3, 1, 2, "x: 1"))
    assert render([odd]) == (
        "s.yaml:3:1: warning: so dear? [odd-price]\n"
        "  3 | x: 1\n"
        "    | ^\n"
        "  help: look again\n"
        "\n"
        "1 warning; 'barwright explain odd-price' tells more\n"
    )
    assert render([SECOND, odd, odd]).endswith("\n\n1 fault and 2 warnings; 'barwright explain CODE' tells more\n")
    assert render([odd] * 25).endswith("\n\nand 5 more warnings (25 warnings in all)\n")


def test_several_faults_are_counted() -> None:
    """The last line tells how many there are and what explains them; none give nothing."""
    assert render([SECOND, SECOND]).endswith("\n\n2 faults; 'barwright explain contradiction' tells more\n")
    other = Diagnostic(Code.USAGE, "m")
    assert render([SECOND, other]).endswith("\n\n2 faults; 'barwright explain CODE' tells more\n")
    assert render([]) == ""


def test_a_fault_without_a_place_stands_alone() -> None:
    """A missing file has no line to show."""
    assert (
        render([Diagnostic(Code.NO_SUCH_FILE, "a.yaml: there is no such file")])
        == "a.yaml: there is no such file [no-such-file]\n\n1 fault; 'barwright explain no-such-file' tells more\n"
    )


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_lines_keep_to_the_width(width: int) -> None:
    """Long messages wrap, and a long line is cut around its fault."""
    line = "key: " + "x" * 300 + " HERE " + "y" * 300
    start = line.index("HERE") + 1
    item = Diagnostic(
        Code.USAGE, "a message of many words " * 9, "some help " * 20, Span("f.yaml", 3, start, start + 4, line)
    )
    told = render([item], width).splitlines()
    assert all(columns(row) <= width for row in told)
    shown, marks = next((row, told[place + 1]) for place, row in enumerate(told) if "HERE" in row)
    assert marks.index("^") == shown.index("HERE")
    assert marks.count("^") == 4


def test_carets_stand_under_wide_and_combining_letters() -> None:
    """A wide letter takes two columns and an accent of its own none."""
    line = "名前: e\u0301 here"
    start = line.index("here") + 1
    told = render([Diagnostic(Code.USAGE, "m", "", Span("f", 1, start, start + 4, line))]).splitlines()
    before = told[1][: told[1].index("here")]
    assert told[2].index("^") == columns(before)


def test_nothing_that_was_written_can_steer_the_terminal() -> None:
    """Tabs are one blank and control characters are shown as such, in lines, messages and helps."""
    item = Diagnostic(Code.USAGE, "bad \x1b[2J word", "try \x07", Span("f", 1, 2, 3, "\tx\x1b[31m"))
    told = render([item])
    assert "\x1b" not in told
    assert "\x07" not in told
    assert "1 |  x" in told


def test_colour_changes_nothing_but_colour() -> None:
    """Without its escapes, the coloured text is the plain one."""
    assert re.sub(r"\x1b\[[0-9;]*m", "", render([SECOND, SECOND], colour=True)) == render([SECOND, SECOND])
    assert "\x1b[" in render([SECOND], colour=True)


@pytest.mark.parametrize("before", ["\u202e", "\x07", "\U000e0041", "\u200b\u200b", "石\x1b", "e\u0301\ufeff"])
def test_carets_stand_under_what_was_spelt_out(before: str) -> None:
    """Where a sign that acts is spelt out, the caret moves along."""
    line = f"{before}x: here"
    start = line.index("here") + 1
    told = render([Diagnostic(Code.USAGE, "m", "", Span("f", 1, start, start + 4, line))]).splitlines()
    assert told[2].index("^") == columns(told[1][: told[1].index("here")])
    assert told[2].count("^") == 4


@pytest.mark.parametrize(
    "sign", ["\x1b", "\x9b", "\u202e", "\u2066", "\u200f", "\u2028", "\udcff", "\ue000", "\n", "\x7f"]
)
def test_no_sign_that_acts_passes(sign: str) -> None:
    """In the file's name, the message, the help, a note and the line itself such a sign is spelt out."""
    span = Span(f"a{sign}b.yaml", 1, 1, 2, f"x{sign}y")
    told = render([Diagnostic(Code.USAGE, f"m{sign}m", f"h{sign}h", span, ((f"n{sign}n", span),))])
    assert sign not in told.replace("\n", "" if sign == "\n" else "\n")
    assert sign != "\n" or "a\\nb.yaml:1:1: m\\nm" in told


def test_many_faults_are_counted_not_told() -> None:
    """Of very many faults the first are told and the rest counted."""
    line = "x: 1"
    faults = [Diagnostic(Code.USAGE, f"fault {n}", "help", Span("f", n, 1, 2, line)) for n in range(1, 991)]
    told = render(faults)
    assert "fault 20 [usage]\n" in told
    assert "fault 21" not in told
    assert told.endswith("\n\nand 970 more faults (990 faults in all); mend these first\n")
    assert len(told.splitlines()) < 120


def test_a_long_help_is_told_once() -> None:
    """A list of all that is known is told at the first fault that wants it."""
    known = f"known: {', '.join(f'name {n}' for n in range(45))}"
    faults = [
        Diagnostic(Code.USAGE, "m", known),
        Diagnostic(Code.USAGE, "n", "short"),
        Diagnostic(Code.USAGE, "o", known),
    ] * 2
    told = render(faults)
    assert told.count("known: name 0") == 1
    assert told.count("short") == 2
    assert told.count("help: as told above") == 3


def test_a_very_long_line_is_shown_in_part() -> None:
    """A line of a hundred thousand letters takes one line of the terminal."""
    line = "k: " + "x" * 100_000
    told = render([Diagnostic(Code.USAGE, "m", "", Span("f", 1, 4, 100_004, line))], 80)
    assert max(map(columns, told.splitlines())) <= 80


def test_wide_letters_wrap_by_columns() -> None:
    """A message in wide letters keeps to the columns of the terminal."""
    assert max(map(columns, render([Diagnostic(Code.USAGE, "石鹸石鹸石 " * 20)], 40).splitlines())) <= 40
