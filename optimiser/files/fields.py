"""Readers of single fields that several files share."""

from __future__ import annotations

from datetime import date
from typing import Any

from optimiser.problem.units import Units, units_called
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, scalar
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Row, Text, kind_of
from optimiser.text.quantities import Misread

ON = frozenset({"yes", "true", "on"})
OFF = frozenset({"no", "false", "off", "none"})

TEXT: dict[str, Any] = {"type": "string"}
FIGURE: dict[str, Any] = {"type": ["number", "string"]}
SWITCH: dict[str, Any] = {"type": ["boolean", "string"]}
MOST_NAME = 120  # letters of a name or a title: what stands in a table and in a line to paste


def within(value: float, low: float, high: float, message: str, help_: str = "") -> float:
    """The value, if it lies above `low` and not above `high`.

    Raises:
        Misread: it does not.
    """
    if not low < value <= high:
        raise Misread(Code.OUT_OF_RANGE, message, help_)
    return value


def read_switch(node: Node, what: str, _: Any = None) -> bool:
    """Yes or no, in the words that YAML has for it."""
    text = scalar(node, what)
    word = fold(text)
    if word not in ON | OFF:
        raise Misread(
            Code.NOT_A_SWITCH, f"{what} is yes or no, and not {shown(text)}", f"write {what}: yes, or {what}: no"
        )
    return word in ON


def as_units(node: Node, what: str, _: Any = None) -> Units:
    """The units that weights are told in.

    Raises:
        Misread: there are no such units.
    """
    return units_of(scalar(node, what), what)


def units_of(text: str, what: str) -> Units:
    """The same of a text.

    Raises:
        Misread: there are no such units.
    """
    found = units_called(text)
    if found is None:
        known = ", ".join(Units)
        raise Misread(Code.WRONG_UNIT, f"{what}: {shown(text)} is nothing that weights are told in", f"one of: {known}")
    return found


def listed(node: Node, what: str, example: str) -> list[Node]:
    """The entries of a list; a single value is a list of one.

    Raises:
        Faults: a mapping.
    """
    if isinstance(node, Row):
        return node
    if isinstance(node, Text):
        return [scalar(node, what)]
    raise Faults(
        Diagnostic(Code.WRONG_SHAPE, f"'{what}' is a list, and this is {kind_of(node)}", f"write {example}", node.span)
    )


def as_path(node: Node, what: str, _: Any) -> Text:
    """A path to a file, as written."""
    text = scalar(node, what)
    if "\0" in text or len(text) > 1000:
        raise Faults(Diagnostic(Code.BAD_PATH, f"{shown(text)} is no path to a file", "", text.span))
    return text


def as_name(node: Node, what: str, _: Any) -> Text:
    """A name on one line, blanks in it told once.

    Raises:
        Misread: it is too long for a table.
    """
    text = scalar(node, what)
    flat = " ".join(text.split())
    if len(flat) > MOST_NAME:
        raise Misread(Code.TOO_LONG, f"{what} is longer than {MOST_NAME} letters", "shorten it")
    return Text(flat, text.span, quoted=text.quoted)


def as_title(node: Node, what: str, _: Any = None) -> str:
    """A line of text."""
    return str(as_name(node, what, None))


def as_date(text: str, what: str) -> str:
    """A day as ISO 8601 has it.

    Raises:
        Misread: no such day, or written otherwise.
    """
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        help_ = "write year, month and day, as in 2026-11-25"
        raise Misread(Code.NO_DATE, f"{what}: {shown(text)} is no day that is known here", help_) from None


def read_date(node: Node, what: str, _: Any = None) -> str:
    """The same of a field."""
    return as_date(scalar(node, what), what)
