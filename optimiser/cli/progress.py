"""One line on a terminal that says what a long search is doing, written over itself and wiped at the end."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

from optimiser.solve.progress import Words, heard_by

LATE = 0.5  # seconds before anything is said at all
PAUSE = 0.1  # seconds between two sayings
WIPE = "\r\x1b[K"


class Line:
    """The line: written over itself, wiped at the end."""

    def __init__(self, stream: TextIO, clock: Callable[[], float] = time.monotonic) -> None:
        self._stream, self._clock = stream, clock
        self._due = clock() + LATE
        self._is_shown = False

    def tell(self, words: Words) -> None:
        """Say something if it is time to; the words are only put together then."""
        now = self._clock()
        if now < self._due:
            return
        self._due = now + PAUSE
        width = shutil.get_terminal_size().columns
        self._write(WIPE + words()[: max(1, width - 1)])
        self._is_shown = True

    def wipe(self) -> None:
        """Leave the terminal as it was; what is begun next has its half second too."""
        self._due = self._clock() + LATE
        if self._is_shown:
            self._write(WIPE)
            self._is_shown = False

    def _write(self, text: str) -> None:
        try:
            self._stream.write(text)
            self._stream.flush()
        except OSError:  # the terminal went away: there is nobody left to tell
            self._is_shown = False


_shown: list[Line] = []


@contextmanager
def shown_on(stream: TextIO | None, *, wanted: bool = True) -> Iterator[None]:
    """While this lasts, searches tell what they do on a stream, if it is a terminal that can wipe a line."""
    if not wanted or stream is None or not stream.isatty() or os.environ.get("TERM") == "dumb":
        yield
        return
    line = Line(stream)
    _shown.append(line)
    try:
        with heard_by(line.tell):
            yield
    finally:
        line.wipe()
        _shown.remove(line)


def wipe() -> None:
    """Make room for something else on the terminal."""
    if _shown:
        _shown[-1].wipe()
