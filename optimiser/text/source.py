"""YAML text into nodes with spans; every fault of the text is a diagnostic in plain words.

The file is read as a stream of events and never resolved, so no tag, number or date of YAML's own can get in. Depth,
size and aliases are bounded, and a repeated key is a fault.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from optimiser.text.build import Builder
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.nodes import Node
from optimiser.text.opening import read_bytes
from optimiser.text.spans import Span
from optimiser.text.syntax import SURE_MENDINGS, explain, tabs

MOST_MENDINGS = 30  # faults of writing that are told one after another before reading stops

LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_BLANKS = dict.fromkeys(
    map(ord, "\t\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000"), " "
)
_BREAKS = re.compile("\r\n|[\r\x85\u2028\u2029]")
_UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


class Source(NamedTuple):
    """A file as read.

    `root` is None where the text could not be read to its end. `mended` holds the lines (from 1) that were guessed at
    after a fault, so that one slip is not told twice.
    """

    file: str
    lines: tuple[str, ...]
    root: Node | None
    faults: tuple[Diagnostic, ...] = ()
    mended: frozenset[int] = frozenset()

    def all_faults(self, further: list[Diagnostic]) -> tuple[Diagnostic, ...]:
        """The faults of the text and those found later, in file order, none told twice."""
        later = [item for item in further if item.span is None or item.span.line not in self.mended]
        return in_file_order([*self.faults, *later])


def in_file_order(diagnostics: list[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Sorted by place, without repeats; faults of the file as a whole come first."""
    unique = list(dict.fromkeys(diagnostics))
    return tuple(sorted(unique, key=lambda item: (item.span.line, item.span.column) if item.span else (0, 0)))


def read_text(path: Path) -> str:
    """A file's text, line breaks made plain and a byte order mark taken off.

    Raises:
        BadInput: no such file, no plain file, too large, not UTF-8 or not text.
    """
    return decode(read_bytes(path), str(path))


def decode(data: bytes, name: str) -> str:
    """Bytes as text.

    Raises:
        BadInput: not UTF-8, or holding characters that are no text.
    """
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise BadInput([Diagnostic(Code.NOT_UTF_8, f"{name} is saved as UTF-16", "save it as UTF-8")])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        plain = _BREAKS.sub("\n", _UNPRINTABLE.sub("\ufffd", data[: error.start].decode("utf-8-sig") + "\ufffd"))
        span = span_at(plain, len(plain) - 1, name)
        message = f"byte 0x{data[error.start]:02x} is not UTF-8 text"
        raise BadInput([Diagnostic(Code.NOT_UTF_8, message, "save the file as UTF-8", span)]) from None
    text = _BREAKS.sub("\n", text)
    odd = _UNPRINTABLE.search(text)
    if odd:
        message = f"a control character (U+{ord(odd.group()):04X}) stands here; this is not plain text"
        raise BadInput(
            [
                Diagnostic(
                    Code.NOT_TEXT,
                    message,
                    "delete it, or check that this is the right file",
                    span_at(text, odd.start(), name),
                )
            ]
        )
    return text


def one_line(text: str) -> str:
    """Any text as one line that can stand in a file of text: breaks are blanks, and what is no text is a mark for that."""
    return " ".join(_UNPRINTABLE.sub("\ufffd", _BREAKS.sub(" ", text)).split())


def span_at(text: str, index: int, file: str) -> Span:
    """The span of one character of a text."""
    line = text.count("\n", 0, index)
    start = text.rfind("\n", 0, index) + 1
    return Span(file, line + 1, index - start + 1, index - start + 2, text.split("\n")[line])


def read_yaml(path: Path) -> Source:
    """A YAML file as nodes.

    Raises:
        BadInput: the file cannot be read as text at all.
    """
    return parse_yaml(read_text(path), str(path))


def with_plain_blanks(text: str) -> str:
    """The text with blanks for tabs and for other signs that look like one: as long, so that every column stays where it is."""
    return text.translate(_BLANKS)


def parse_yaml(text: str, file: str) -> Source:
    """YAML text as nodes; what is wrong with it stands in `faults`."""
    lines = tuple(text.split("\n"))
    faults = tabs(file, lines)
    tabbed = bool(faults)
    mended = {item.span.line for item in faults if item.span}
    working = with_plain_blanks(text)
    builder = Builder(file, lines)
    for _ in range(MOST_MENDINGS):
        builder = Builder(file, lines)
        try:
            builder.take(_events(working))
            break
        except yaml.MarkedYAMLError as error:
            found, mending = explain(error, file, lines, working.split("\n"))
            places = {item.span.line for item in found if item.span and item.code not in SURE_MENDINGS}
            again = tabbed or bool(places & mended)  # a guess went wrong: say no more than is sure
            if not again:
                faults.extend(found)
                mended |= places
            if again or mending is None or mending == working:
                return Source(file, lines, None, in_file_order(faults), frozenset(mended))
            working = mending
    else:
        return Source(file, lines, None, in_file_order(faults), frozenset(mended))
    faults.extend(builder.faults)
    if builder.root is None and not faults:
        faults.append(Diagnostic(Code.EMPTY_FILE, "the file is empty", "", Span(file, 1, 1, 1, lines[0])))
    return Source(file, lines, builder.root, in_file_order(faults), frozenset(mended))


def _events(text: str) -> Iterator[yaml.Event]:
    return iter(yaml.parse(text, Loader=LOADER))
