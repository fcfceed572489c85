"""YAML as we write it: a text in quotes only where another reader, or ours, would else take it for something else."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.signs import acts, holdable, spelt

_WORDS = frozenset({"true", "false", "yes", "no", "on", "off", "y", "n", "null"})
"""What YAML 1.1 takes for something other than a text."""
_FIGURE = re.compile(
    r"[0-9]+(?:\.[0-9]+)? (?:[A-Za-z][A-Za-z0-9 ]*|%|/ [A-Za-z]+)(?:/[A-Za-z]+)?"
)  # "700 g", "3.10 / kg"
_PLAIN_SIGNS = frozenset(" ._-+/()%&;!?=$")
_SHORT = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t"}
_MOST_PLAIN = 0x10000

Content = Mapping[str, "str | list[str] | Content"]


def scalar(text: str) -> str:
    """A text as a key or a value on one line, in a block or inside braces; it reads back as the same text.

    Lone surrogates, which no file can hold, are spelt out. A key may take 1,000 columns (YAML 1.1, 7.4.2: 1,024).
    """
    whole = holdable(text)
    return whole if _is_plain(whole) else f'"{"".join(map(_escaped, spelt(whole), whole))}"'


def nameable(path: str) -> str:
    """The path, if a file can name it at all.

    Raises:
        BadInput: it holds bytes that are no UTF-8, which a file of text cannot say.
    """
    if any("\ud800" <= mark <= "\udfff" for mark in path):
        message = f"{path} is no name that a file of text can hold: it is not UTF-8"
        raise BadInput([Diagnostic(Code.BAD_PATH, message, "rename it, or name another file")])
    return path


def lines(content: Content, indent: int = 0) -> Iterator[str]:
    """Texts under their keys, lists of texts in brackets, and such mappings under theirs, a line each, set in by two for each step."""
    for key, value in content.items():
        head = f"{' ' * indent}{scalar(key)}:"
        if isinstance(value, str):
            yield f"{head} {scalar(value)}"
        elif isinstance(value, list):
            yield f"{head} [{', '.join(map(scalar, value))}]"
        else:
            yield head
            yield from lines(value, indent + 2)


def _is_plain(text: str) -> bool:
    if _FIGURE.fullmatch(text):
        return True
    if not text or text.casefold() in _WORDS or not text[0].isalpha() or text[-1] == " ":
        return False
    return all(_is_plain_sign(mark) or _is_inner_colon(text, place) for place, mark in enumerate(text))


def _is_plain_sign(mark: str) -> bool:
    if mark.isascii():
        return mark.isalnum() or mark in _PLAIN_SIGNS
    return unicodedata.category(mark)[0] in "LMN" and ord(mark) < _MOST_PLAIN and not acts(mark)


def _is_inner_colon(text: str, place: int) -> bool:
    """A colon between letters and figures, as in C18:1."""
    beside = text[place - 1 : place] + text[place + 1 : place + 2] if place else ""
    return text[place] == ":" and len(beside) == 2 and beside.isascii() and beside.isalnum()


def _escaped(told: str, mark: str) -> str:
    if mark in _SHORT:
        return _SHORT[mark]
    if told == mark and (mark == " " or unicodedata.category(mark)[0] not in "ZC"):
        return mark
    code = ord(mark)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
