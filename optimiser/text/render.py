"""Diagnostics as text for a terminal: where, what, the line with a caret under it, and what to write instead."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable

from optimiser.text.diagnostics import Diagnostic
from optimiser.text.spans import Span

LEAST_WIDTH = 40
_CODES = {"bold": "1", "red": "1;31", "blue": "34", "green": "32"}


def render(diagnostics: Iterable[Diagnostic], width: int = 80, *, colour: bool = False) -> str:
    """All diagnostics and their number, one after another; empty for none.

    Args:
        diagnostics: in the order in which they are to be told.
        width: how many columns there are; fewer than 40 are taken as 40.
        colour: whether to write ANSI colours.
    """
    found = tuple(diagnostics)
    if not found:
        return ""
    paint = _Paint(colour=colour)
    blocks = ["\n".join(_block(item, max(width, LEAST_WIDTH), paint)) for item in found]
    total = "1 fault" if len(found) == 1 else f"{len(found)} faults"
    return "\n\n".join([*blocks, paint("bold", total)]) + "\n"


class _Paint:
    def __init__(self, *, colour: bool) -> None:
        self.colour = colour

    def __call__(self, style: str, text: str) -> str:
        return f"\x1b[{_CODES[style]}m{text}\x1b[0m" if self.colour and text else text


def _block(item: Diagnostic, width: int, paint: _Paint) -> list[str]:
    where = f"{_clean(str(item.span))}: " if item.span else ""
    head = _wrapped(f"{where}{_clean(item.message)}", width, "  ")
    if where and head[0].startswith(where.rstrip()):
        head[0] = paint("bold", where.rstrip()) + head[0][len(where.rstrip()) :]
    lines = head
    gutter = max((len(str(span.line)) for span in (item.span, *(span for _, span in item.notes)) if span), default=0)
    if item.span is not None and item.span.text.strip():
        lines += _shown(item.span, gutter, width, paint, "red", "^")
    for words, span in item.notes:
        lines += [f"  {line}" for line in _wrapped(f"note: {_clean(words)}", width - 2, "      ")]
        if span is not None and span.text.strip():
            lines += _shown(span, gutter, width, paint, "blue", "-")
    if item.help:
        helped = _wrapped(f"help: {_clean(item.help)}", width - 2, "      ")
        helped[0] = paint("green", "help:") + helped[0][len("help:") :]
        lines += [f"  {line}" for line in helped]
    return lines


def _wrapped(text: str, width: int, indent: str) -> list[str]:
    """Words on lines of at most `width`; a word that is longer stays whole, so that a path can be clicked."""
    wrapped = textwrap.wrap(text, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
    return wrapped or [""]


def _shown(span: Span, gutter: int, width: int, paint: _Paint, style: str, mark: str) -> list[str]:
    """The line as written with marks under the span; a long line is cut to what surrounds it."""
    room = width - gutter - 5
    start = min(span.column - 1, len(span.text))
    end = max(min(span.end_column - 1, len(span.text)), start)
    text, start, end = _window(_clean(span.text), start, end, room)
    left, right = text[:start], text[start:end]
    marks = mark * max(1, columns(right))
    number = f"{span.line:>{gutter}}"
    return [
        f"  {paint('blue', f'{number} |')} {text.rstrip()}",
        f"  {paint('blue', ' ' * gutter + ' |')} {' ' * columns(left)}{paint(style, marks)}",
    ]


def _window(text: str, start: int, end: int, room: int) -> tuple[str, int, int]:
    """The part of a line around the stretch from `start` to `end` that fits into the room."""
    if columns(text.rstrip()) <= room:
        return text, start, end
    left = max(0, min(start - room // 4, len(text) - room // 2))
    head = "…" if left else ""
    right = left
    used = len(head)
    while right < len(text) and used + columns(text[right]) < room:
        used += columns(text[right])
        right += 1
    tail = "…" if right < len(text.rstrip()) else ""
    shift = len(head) - left
    cut = head + text[left:right] + tail
    return cut, start + shift, min(end + shift, len(cut))


def columns(text: str) -> int:
    """How many columns of a terminal a text takes: wide letters two, marks that sit on others none."""
    if text.isascii():
        return len(text)
    wide = sum(1 for mark in text if unicodedata.east_asian_width(mark) in ("W", "F"))
    none = sum(1 for mark in text if unicodedata.combining(mark) or unicodedata.category(mark) in ("Mn", "Me", "Cf"))
    return len(text) + wide - none


def _clean(text: str) -> str:
    """A text that cannot steer the terminal: a tab is one blank, a control character a question mark."""
    if text.isprintable():
        return text
    return "".join(" " if mark == "\t" else "\ufffd" if unicodedata.category(mark) == "Cc" else mark for mark in text)
