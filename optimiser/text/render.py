"""Diagnostics as text for a terminal: where, what, the line with a caret under it, and what to write instead.

Each message ends with its code, by which `barwright explain` tells more; a warning says that it is one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from optimiser.text.diagnostics import Diagnostic
from optimiser.text.signs import columns, excerpt, visible, wrapped
from optimiser.text.spans import Span

LEAST_WIDTH = 40
MOST_TOLD = 20  # faults told in full: whoever has more mends these and asks again
MOST_LETTERS = 4000  # of a message or a help; a list of all names has about half as many
LONG_HELP = 200  # letters of a help from which it is told in full once
AS_ABOVE = "as told above"
_CODES = {"bold": "1", "red": "1;31", "blue": "34", "green": "32"}


def render(diagnostics: Iterable[Diagnostic], width: int = 80, *, colour: bool = False) -> str:
    """The first diagnostics, at most 20, one after another, and how many there are; empty for none.

    Args:
        diagnostics: in the order in which they are to be told.
        width: how many columns there are; fewer than 40 are taken as 40.
        colour: whether to write ANSI colours.
    """
    found = tuple(diagnostics)
    if not found:
        return ""
    paint = _Paint(colour=colour)
    told = found[:MOST_TOLD]
    helps = _each_once([item.help for item in told])
    width = max(width, LEAST_WIDTH)
    blocks = ["\n".join(_block(item, help_, width, paint)) for item, help_ in zip(told, helps, strict=True)]
    last = "\n".join(paint("bold", line) for line in _wrapped(_total(found, len(told)), width, "  "))
    return "\n\n".join([*blocks, last]) + "\n"


def _total(found: Sequence[Diagnostic], told: int) -> str:
    """How many there are, and where more can be read of them."""
    warnings = sum(item.code.severity == "warning" for item in found)
    faults = len(found) - warnings
    counts = [
        f"{count} {word}{'s' * (count != 1)}" for count, word in ((faults, "fault"), (warnings, "warning")) if count
    ]
    total = " and ".join(counts)
    if len(found) > told:
        more = f"and {len(found) - told} more {'faults' if faults else 'warnings'} ({total} in all)"
        return f"{more}; mend these first" if faults else more
    codes = {item.code for item in found}
    return f"{total}; 'barwright explain {min(codes) if len(codes) == 1 else 'CODE'}' tells more"


def _each_once(helps: Iterable[str]) -> list[str]:
    """Helps as they are told: a long one, such as every name that is known, in full once."""
    told: set[str] = set()
    out = []
    for help_ in helps:
        out.append(AS_ABOVE if help_ in told else help_)
        told |= {help_} if len(help_) > LONG_HELP else set()
    return out


class _Paint:
    def __init__(self, *, colour: bool) -> None:
        self.colour = colour

    def __call__(self, style: str, text: str) -> str:
        return f"\x1b[{_CODES[style]}m{text}\x1b[0m" if self.colour and text else text


def _block(item: Diagnostic, help_: str, width: int, paint: _Paint) -> list[str]:
    where = f"{visible(str(item.span))}: " if item.span else ""
    grave = "warning: " if item.code.severity == "warning" else ""
    head = _wrapped(f"{where}{grave}{_short(item.message)} [{item.code}]", width, "  ")
    if where and head[0].startswith(where.rstrip()):
        head[0] = paint("bold", where.rstrip()) + head[0][len(where.rstrip()) :]
    lines = head
    gutter = max((len(str(span.line)) for span in (item.span, *(span for _, span in item.notes)) if span), default=0)
    if item.span is not None and item.span.text.strip():
        lines += _shown(item.span, gutter, width, paint, "red", "^")
    for words, span in item.notes:
        lines += [f"  {line}" for line in _wrapped(f"note: {words}", width - 2, "      ")]
        if span is not None and span.text.strip():
            lines += _shown(span, gutter, width, paint, "blue", "-")
    if help_:
        helped = _wrapped(f"help: {help_}", width - 2, "      ")
        helped[0] = paint("green", "help:") + helped[0][len("help:") :]
        lines += [f"  {line}" for line in helped]
    return lines


def _wrapped(text: str, width: int, indent: str) -> list[str]:
    return wrapped(visible(_short(text)), width, indent)


def _short(text: str) -> str:
    return text if len(text) <= MOST_LETTERS else f"{text[:MOST_LETTERS]}…"


def _shown(span: Span, gutter: int, width: int, paint: _Paint, style: str, mark: str) -> list[str]:
    """The line as written with marks under the span; a long line is cut to what surrounds it."""
    start = min(span.column - 1, len(span.text))
    end = max(min(span.end_column - 1, len(span.text)), start)
    shown, left, marked = excerpt(span.text, start, end, width - gutter - 5)
    number = f"{span.line:>{gutter}}"
    marks = mark * max(1, columns(marked))
    return [
        f"  {paint('blue', f'{number} |')} {shown}",
        f"  {paint('blue', ' ' * gutter + ' |')} {' ' * columns(left)}{paint(style, marks)}",
    ]
