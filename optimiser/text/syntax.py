"""What is wrong with a text that is no YAML, in words for the one who wrote it.

The reader stops at its first fault. So that all faults are told at once, each explanation also mends the text by a
guess that keeps lines and columns; the mended line itself is not judged again.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

import yaml

from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import shown
from optimiser.text.spans import Span

MOST_DEPTH = 40
TOO_DEEP = f"more than {MOST_DEPTH} brackets or lists inside each other"

SURE_MENDINGS = frozenset({"greater-than", "open-bracket"})  # the rest of such a line is read as it stands

_NUMBER = re.compile(r"[\d.][\d.,]*(\s*%)?")
_GLUED_KEY = re.compile(r"^\s*(- +)?[^\s:#'\"{\[][^:#]*:(?=[^\s:/])")
_GLUED_DASH = re.compile(r"^\s*-(?=[^\s\-\d.])")


class _Slip(NamedTuple):
    """Where reading stopped. Lines and columns count from 0 here, as YAML's own marks do."""

    file: str
    lines: Sequence[str]  # as the maker wrote them
    working: list[str]  # as read: blanks made plain, earlier slips mended
    problem: str
    context: str
    line: int
    column: int
    from_line: int  # where the thing began that could not be read to its end
    from_column: int

    def span(self, line: int, column: int, end: int | None = None) -> Span:
        """A stretch of a line; to the end of what stands there if no end is given."""
        text = self.lines[min(line, len(self.lines) - 1)]
        start = min(column, len(text))
        stop = len(text.rstrip()) if end is None else min(end, len(text))
        return Span(self.file, min(line, len(self.lines) - 1) + 1, start + 1, max(stop, start) + 1, text)

    def at(self, line: int, column: int) -> str:
        """One character, or nothing past the end."""
        return self.working[line][column : column + 1] if line < len(self.working) else ""

    def before(self) -> int | None:
        """The last line above the fault that holds something."""
        above = [n for n in range(min(self.line, len(self.working))) if self.working[n].split("#")[0].strip()]
        return above[-1] if above else None

    def with_line(self, line: int, text: str) -> str:
        """The whole text with one line replaced."""
        return "\n".join([*self.working[:line], text, *self.working[line + 1 :]])

    def with_mark(self, line: int, column: int, mark: str) -> str:
        """The whole text with one character replaced."""
        old = self.working[line]
        return self.with_line(line, old[:column] + mark + old[column + 1 :])


_Finding = tuple[Diagnostic, str | None]


def tabs(file: str, lines: Sequence[str]) -> list[Diagnostic]:
    """Every line that is indented by a tab."""
    found = []
    for number, line in enumerate(lines, start=1):
        indent = line[: len(line) - len(line.lstrip(" \t"))]
        if "\t" in indent and line.strip() and not line.lstrip().startswith("#"):
            column = indent.index("\t") + 1
            span = Span(file, number, column, column + 1, line)
            found.append(Diagnostic(Code.TAB, "a tab; YAML wants spaces", "indent with two spaces for each step", span))
    return found


def explain(
    error: yaml.MarkedYAMLError, file: str, lines: Sequence[str], working: list[str]
) -> tuple[list[Diagnostic], str | None]:
    """The fault in plain words, and the text with that fault mended by a guess (None where none is safe).

    Args:
        error: what the YAML reader said.
        file: the file's name for the span.
        lines: the text as written.
        working: the text as it was read, of the same lines.
    """
    problem, context = error.problem_mark, error.context_mark or error.problem_mark
    line, column = (problem.line, problem.column) if problem else (0, 0)
    start = (context.line, context.column) if context else (line, column)
    slip = _Slip(file, lines, working, str(error.problem), str(error.context), line, column, *start)
    for rule in _RULES:
        found = rule(slip)
        if found is not None:
            return [found[0]], found[1]
    return [_unreadable(slip)], None


# -- one kind of slip each, told by what stands there rather than by the reader's words ---------------------------


def _too_deep(slip: _Slip) -> _Finding | None:
    """The reader has a bound of its own, and may meet it before ours is looked at."""
    if "nesting depth" not in slip.problem:
        return None
    span = slip.span(slip.line, slip.column, slip.column + 1)
    return Diagnostic(Code.TOO_DEEP, TOO_DEEP, "", span), None


def _greater(slip: _Slip) -> _Finding | None:
    line, column = (slip.from_line, slip.from_column) if "block scalar" in slip.context else (slip.line, slip.column)
    if slip.at(line, column) != ">":
        return None
    rest = slip.working[line][column:].split(" #")[0].rstrip()
    figure = rest.strip("}], ").lstrip(">= ")
    figure = figure if 0 < len(figure) <= 40 else "45"
    message = f"{shown(rest.rstrip('}], '))} cannot stand here as it is: a '>' means something else in YAML"
    help_ = f'write {{at_least: {figure}}}, or put quotes around it: ">= {figure}"'
    end = column + len(rest.rstrip("}], "))
    return Diagnostic(Code.GREATER_THAN, message, help_, slip.span(line, column, end)), slip.with_mark(
        line, column, "≥"
    )


def _reserved(slip: _Slip) -> _Finding | None:
    scanning = "block scalar" in slip.context or "anchor" in slip.context or "alias" in slip.context
    inside = scanning or "directive" in slip.context
    line, column = (slip.from_line, slip.from_column) if inside else (slip.line, slip.column)
    mark = slip.at(line, column)
    if not mark or mark not in "%@`|&*!":
        return None
    word = slip.working[line][column:].split(" #")[0].rstrip("}], ")
    help_ = f'put quotes around it: "{word}"' if len(word) <= 40 else "put quotes around it"
    if mark == "%":
        number = _NUMBER.search(word)
        help_ = f"write the sign after the figure: {number.group().strip()} %" if number else help_
    message = f"a value cannot start with '{mark}' in YAML"
    stand_in = {"%": "٪", "@": "©", "`": "´", "|": "¦", "&": "＆", "*": "＊", "!": "¡"}[mark]
    diagnostic = Diagnostic(Code.RESERVED_MARK, message, help_, slip.span(line, column, column + len(word)))
    return diagnostic, slip.with_mark(line, column, stand_in)


def _quote(slip: _Slip) -> _Finding | None:
    if "quoted scalar" not in slip.context:
        return None
    if "escape" in slip.problem or "expected escape" in slip.problem:
        return _backslash(slip)
    mark = slip.at(slip.from_line, slip.from_column)
    message = "this quote is never closed"
    help_ = f"close it with {mark} at the end of the text, on the same line"
    if mark not in ("'", '"'):
        return None
    diagnostic = Diagnostic(Code.OPEN_QUOTE, message, help_, slip.span(slip.from_line, slip.from_column))
    return diagnostic, slip.with_mark(slip.from_line, slip.from_column, "’")


def _backslash(slip: _Slip) -> _Finding | None:
    column = slip.working[slip.line].rfind("\\", 0, slip.column + 1)
    if column < 0:
        return None
    message = "inside double quotes a backslash has a meaning of its own"
    diagnostic = Diagnostic(Code.BACKSLASH, message, "use single quotes", slip.span(slip.line, column, column + 2))
    return diagnostic, slip.with_mark(slip.line, column, "/")


def _after_quote(slip: _Slip) -> _Finding | None:
    left = slip.working[slip.line][: slip.column].rstrip() if slip.line < len(slip.working) else ""
    if not left or left[-1] not in "'\"" or not re.search("did not find|expected", slip.problem):
        return None
    mark = left[-1]
    opening = left.rfind(mark, 0, len(left) - 1)
    above = [n for n in range(slip.line) if slip.working[n].count(mark) % 2]
    if above and left.count(mark) % 2:
        column = slip.working[above[-1]].index(mark)
        diagnostic = Diagnostic(
            Code.OPEN_QUOTE,
            "this quote is never closed on its line",
            f"close it with {mark}",
            slip.span(above[-1], column),
        )
        return diagnostic, slip.with_mark(above[-1], column, "’")
    message = "the text goes on after its closing quote"
    diagnostic = Diagnostic(Code.AFTER_QUOTE, message, "put quotes around all of it", slip.span(slip.line, slip.column))
    if opening < 0:
        return diagnostic, None
    return diagnostic, slip.with_line(slip.line, slip.working[slip.line].replace(mark, "’"))


def _bracket(slip: _Slip) -> _Finding | None:
    opening = slip.at(slip.from_line, slip.from_column)
    if "flow" not in slip.context or opening not in ("{", "["):
        return None
    closing = "}" if opening == "{" else "]"
    if slip.line == slip.from_line and slip.column < len(slip.working[slip.line].rstrip()):
        message = "something is missing between two entries here"
        help_ = f"put a comma between entries, and close with '{closing}'"
        return Diagnostic(Code.MISSING_COMMA, message, help_, slip.span(slip.line, slip.column, slip.column + 1)), None
    message = f"this '{opening}' is never closed"
    diagnostic = Diagnostic(
        Code.OPEN_BRACKET, message, f"close it with '{closing}'", slip.span(slip.from_line, slip.from_column)
    )
    return diagnostic, slip.with_line(
        slip.from_line, slip.working[slip.from_line].split(" #")[0].rstrip(", ") + closing
    )


def _stray_bracket(slip: _Slip) -> _Finding | None:
    mark = slip.at(slip.line, slip.column)
    if mark not in ("}", "]", ",") or not mark:
        return None
    message = f"a '{mark}' too many" if mark == "," else f"this '{mark}' closes nothing"
    diagnostic = Diagnostic(
        Code.STRAY_BRACKET, message, "take it out", slip.span(slip.line, slip.column, slip.column + 1)
    )
    return diagnostic, slip.with_mark(slip.line, slip.column, " ")


def _glued(slip: _Slip) -> _Finding | None:
    """A colon or a dash with no space after it, on this line or the one above."""
    for line in {slip.before(), min(slip.line, len(slip.working) - 1)} - {None}:
        text = slip.working[line or 0]
        for pattern, code, word in ((_GLUED_KEY, Code.GLUED_COLON, "colon"), (_GLUED_DASH, Code.GLUED_DASH, "dash")):
            found = pattern.match(text)
            if found:
                end = found.end()
                message = f"a space is missing after the {word}"
                help_ = f"write {shown(text[:end].strip() + ' ' + text[end:].strip())}"
                diagnostic = Diagnostic(code, message, help_, slip.span(line or 0, end - 1, end))
                return diagnostic, slip.with_line(line or 0, f"{text[:end]} {text[end:]}")
    return None


def _no_key(slip: _Slip) -> _Finding | None:
    if slip.at(slip.line, slip.column) != ":" or slip.working[slip.line][: slip.column].strip():
        return None
    span = slip.span(slip.line, slip.column)
    return Diagnostic(Code.ODD_KEY, "a key is missing before the colon", "write 'name: value'", span), None


def _second_colon(slip: _Slip) -> _Finding | None:
    if slip.at(slip.line, slip.column) != ":" or "not allowed" not in slip.problem:
        return None
    left = slip.working[slip.line][: slip.column]
    colon = left.find(":")
    if not left[: max(colon, 0)].strip(" -") or not left[colon + 1 : colon + 2].isspace():
        return None
    message = "a second colon in one line"
    value = slip.working[slip.line][colon + 1 :].lstrip().split(" #")[0].rstrip()
    help_ = (
        f'put quotes around the text: "{value}"'
        if len(value) <= 60 and '"' not in value
        else "put quotes around the text"
    )
    diagnostic = Diagnostic(Code.SECOND_COLON, message, help_, slip.span(slip.line, slip.column, slip.column + 1))
    return diagnostic, slip.with_mark(slip.line, slip.column, "꞉")


def _no_colon(slip: _Slip) -> _Finding | None:
    if "expected ':'" in slip.problem or "simple key" in slip.context:
        line: int | None = slip.from_line
    else:
        line = slip.before() if "not allowed" in slip.problem else None
    if line is None or re.search(r":(\s|$)", slip.working[line]):
        return None
    text = slip.working[line].split(" #")[0].rstrip()
    word = text.strip().removeprefix("- ")
    diagnostic = Diagnostic(
        Code.MISSING_COLON,
        f"a colon is missing after {shown(word)}",
        f"write {shown(word)[:-1]}: …'",
        slip.span(line, len(text) - len(text.lstrip()), len(text)),
    )
    return diagnostic, slip.with_line(line, text + ":")


def _indent(slip: _Slip) -> _Finding | None:
    if slip.line >= len(slip.working):
        return None
    text = slip.working[slip.line]
    indent = len(text) - len(text.lstrip())
    above = slip.before()
    if above is None or "document start" in slip.problem or text.lstrip()[:1] in ("'", '"', ""):
        return None
    step = len(slip.working[above]) - len(slip.working[above].lstrip())
    if indent == step:
        return None
    deeper = "deeper" if indent > step else "less deep"
    message = f"this line is indented {deeper} than the line above in a way that fits no entry"
    span = slip.span(slip.line, indent)
    note = (f"the line above starts at column {step + 1}", slip.span(above, step))
    levels = {len(t) - len(t.lstrip()) for t in slip.working[: slip.line] if t.strip()}
    level = min(levels, key=lambda n: (abs(n - indent), -n))
    help_ = "line the entries that belong together up under each other, with spaces"
    return Diagnostic(Code.INDENT, message, help_, span, (note,)), slip.with_line(
        slip.line, " " * level + text.lstrip()
    )


def _unreadable(slip: _Slip) -> Diagnostic:
    line = min(slip.line, len(slip.lines) - 1)
    help_ = "look for a missing colon, quote or bracket here or on the line above"
    if any(mark in slip.lines[line] for mark in "\u200b\u2060\ufeff\u00ad"):
        help_ = "an invisible character stands in this line: write the line afresh"
    elif any(mark in slip.lines[line] for mark in "“”„‘’"):
        help_ = "curly quotes are plain letters to YAML: use straight ones"
    return Diagnostic(Code.NOT_YAML, "this line cannot be read", help_, slip.span(line, slip.column))


_RULES: tuple[Callable[[_Slip], _Finding | None], ...] = (
    _too_deep,
    _greater,
    _quote,
    _bracket,
    _reserved,
    _after_quote,
    _stray_bracket,
    _no_key,
    _second_colon,
    _glued,
    _no_colon,
    _indent,
)
