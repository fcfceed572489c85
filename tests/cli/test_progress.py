"""The line that tells what a long search does: late, short, wiped, and never part of an answer."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from optimiser.cli import progress
from optimiser.cli.main import main
from optimiser.cli.progress import LATE, PAUSE, WIPE, Line, shown_on
from optimiser.solve.progress import about, tell

ROOT = Path(__file__).parents[2]
CANNOT = str(ROOT / "goals" / "cannot-be.yaml")


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """It is."""
        return True


class Gone(Terminal):
    """A terminal that went away."""

    def write(self, text: str) -> int:
        """Not any more."""
        raise OSError(text)


class Clock:
    """A clock that is set by hand."""

    now = 0.0

    def __call__(self) -> float:
        """Seconds."""
        return self.now


def test_it_waits_then_tells_now_and_then() -> None:
    """Nothing in the first half second, then one saying at a time with a pause between, over the one before."""
    stream, clock = Terminal(), Clock()
    line = Line(stream, clock)
    line.tell(lambda: "too soon")
    clock.now = LATE
    line.tell(lambda: "one")
    clock.now += PAUSE / 2
    line.tell(lambda: "between")
    clock.now += PAUSE
    line.tell(lambda: "two")
    assert stream.getvalue() == f"{WIPE}one{WIPE}two"
    line.wipe()
    assert stream.getvalue().endswith(WIPE)
    line.tell(lambda: "the next waits too")
    assert stream.getvalue().endswith(WIPE)


def test_it_is_no_wider_than_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """A long saying is cut, so that it never runs into a second line which could not be wiped."""
    monkeypatch.setenv("COLUMNS", "20")
    stream, clock = Terminal(), Clock()
    line = Line(stream, clock)
    clock.now = LATE
    line.tell(lambda: "x" * 50)
    assert stream.getvalue() == WIPE + "x" * 19


@pytest.mark.parametrize("stream", [io.StringIO(), None])
def test_nobody_is_told_where_nobody_watches(stream: io.StringIO | None) -> None:
    """On a pipe, and without a stream, the words are not even put together."""
    asked: list[bool] = []

    def words() -> str:
        asked.append(True)
        return "counting"

    with shown_on(stream):
        tell(words)
    tell(words)
    assert asked == []


def test_a_terminal_that_cannot_wipe_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """TERM=dumb gets nothing."""
    monkeypatch.setattr(progress, "LATE", 0.0)
    monkeypatch.setenv("TERM", "dumb")
    stream = Terminal()
    with shown_on(stream):
        tell(lambda: "hello")
    assert stream.getvalue() == ""


def test_a_terminal_that_went_away_ends_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A write that fails is no reason to stop the search."""
    monkeypatch.setattr(progress, "LATE", 0.0)
    monkeypatch.setenv("TERM", "xterm")
    asked: list[bool] = []

    def hello() -> str:
        asked.append(True)
        return "hello"

    with shown_on(Gone()):
        tell(hello)
        tell(hello)
    assert asked == [True]


def test_what_it_is_all_about_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Inside a purpose its words are told, as they are then; after it those of whoever tells."""
    monkeypatch.setattr(progress, "LATE", 0.0)
    monkeypatch.setattr(progress, "PAUSE", 0.0)
    monkeypatch.setenv("TERM", "xterm")
    stream, found = Terminal(), [0]
    with shown_on(stream):
        with about(lambda: f"looking: {found[0]} found"), about(lambda: "within"):
            found[0] = 3
            tell(lambda: "counting")
        tell(lambda: "counting")
    assert stream.getvalue().split(WIPE)[1:] == [
        "looking: 0 found",
        "looking: 0 found",
        "looking: 3 found",
        "counting",
        "",
    ]


@pytest.mark.parametrize("as_json", [False, True])
def test_the_answer_is_the_same_watched_or_not(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *, as_json: bool
) -> None:
    """On a terminal the search tells of clashes, unless JSON was asked for; the answer is the same to the byte."""
    arguments = ["blend", CANNOT, *(["--json"] if as_json else [])]
    assert main(arguments) == 1
    unwatched = capsys.readouterr().out
    monkeypatch.setattr(progress, "LATE", 0.0)
    monkeypatch.setattr(progress, "PAUSE", 0.0)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("NO_COLOR", "1")
    terminal = Terminal()
    monkeypatch.setattr("sys.stderr", terminal)
    assert main(arguments) == 1
    assert capsys.readouterr().out == unwatched
    told = terminal.getvalue()
    if as_json:
        assert told == ""
    else:
        assert "looking for clashes: 1 found" in told
        assert "looking for ways out" in told
        assert told.endswith(WIPE)
