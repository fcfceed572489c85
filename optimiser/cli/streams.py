"""Standard output and standard error: an answer that cannot be written is told, and a letter they cannot carry is spelt otherwise."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import Any

from optimiser.cli import progress
from optimiser.text.opening import reason
from optimiser.text.signs import filled


class Unwritten(Exception):
    """The answer could not be written to standard output; `why` is a part of a sentence."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


def hold() -> None:
    """Put the null device in the place of streams that are closed, so that no file ever takes their numbers.

    Raises:
        Unwritten: standard output is closed, and so there is nowhere to answer.
    """
    closed = sys.stdout is None
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            with suppress(OSError):
                os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free, which is this one
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
    if closed:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
        raise Unwritten("standard output is closed")


def say(text: str, **names: object) -> None:
    """Write an answer to standard output: as its renderer has set it, or words of ours around `names` made fit to be shown.

    Raises:
        BrokenPipeError: the reader has left.
        Unwritten: it cannot be written.
    """
    progress.wipe()
    whole = filled(text, **names) if names else text
    ended = whole if whole.endswith("\n") else f"{whole}\n"
    try:
        sys.stdout.write(carried(ended, sys.stdout.encoding))
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Unwritten(reason(error)) from None


def finish() -> None:
    """See that all that was said has left the program.

    Raises:
        BrokenPipeError: the reader has left.
        Unwritten: it cannot be written.
    """
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Unwritten(reason(error)) from None


def tell(text: str, **names: object) -> None:
    """Write a line to standard error, as far as it goes, with `names` made fit to be shown."""
    progress.wipe()
    with suppress(OSError, ValueError):
        print(filled(text, **names) if names else text, file=sys.stderr, flush=True)


def give_up() -> None:
    """Let what is left of an answer go, so that Python does not complain of it at its end."""
    with suppress(OSError, ValueError):
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, sys.stdout.fileno())
        os.close(null)


def wants_colour(stream: Any) -> bool:
    """Colour only on a terminal that has not said no."""
    quiet = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return bool(stream.isatty()) and not quiet


def speaks_unicode(stream: Any) -> bool:
    """Whether a stream can carry more than ASCII."""
    try:
        "±█│→".encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def carried(text: str, encoding: Any) -> str:
    """The text with what an encoding cannot carry written as JSON writes it, which people can read too."""
    try:
        text.encode(encoding or "utf-8")
    except UnicodeEncodeError:
        return "".join(mark if _fits(mark, encoding or "utf-8") else _spelt(mark) for mark in text)
    except LookupError:
        pass
    return text


def _fits(mark: str, encoding: str) -> bool:
    try:
        mark.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def _spelt(mark: str) -> str:
    if ord(mark) <= 0xFFFF:
        return f"\\u{ord(mark):04x}"
    high, low = divmod(ord(mark) - 0x10000, 0x400)
    return f"\\u{0xD800 + high:04x}\\u{0xDC00 + low:04x}"
