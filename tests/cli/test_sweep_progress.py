"""The bar of a sweep: drawn on a terminal, and nowhere else."""

from __future__ import annotations

import io
import sys

import pytest

from optimiser.cli.sweep_progress import shown


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Yes."""
        return True


def told(monkeypatch: pytest.MonkeyPatch, stream: io.StringIO, *, wanted: bool = True, term: str = "xterm") -> str:
    """What is drawn while a sweep is half done."""
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setenv("TERM", term)
    with shown(wanted=wanted) as watch:
        watch(0, 400, "scenarios")
        watch(200, 400, "scenarios")
    return stream.getvalue()


def test_a_terminal_is_told_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is done, how much of how much; and the line is wiped at the end."""
    text = told(monkeypatch, Terminal())
    assert "scenarios" in text
    assert "/400" in text
    assert text.rstrip().endswith(("\x1b[2K", "\x1b[?25h"))


def test_nobody_else_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file, a terminal that cannot wipe a line, or one whose user wants JSON alone."""
    assert told(monkeypatch, io.StringIO()) == ""
    assert told(monkeypatch, Terminal(), term="dumb") == ""
    assert told(monkeypatch, Terminal(), wanted=False) == ""
