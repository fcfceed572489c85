"""What a file holds once it is read: text, tables and rows, each knowing where it was written.

Nothing is resolved: ``NO``, ``12:30`` and ``010`` stay the text that the maker wrote, and the rooms that know what is
wanted there read the figure out of it.
"""

from __future__ import annotations

from typing import Self, TypeAlias

from optimiser.text.spans import Span


class Text(str):
    """One scalar as written, without its quotes."""

    __slots__ = ("quoted", "span")
    span: Span
    quoted: bool

    def __new__(cls, value: str, span: Span, *, quoted: bool = False) -> Self:
        """The text `value`, written at `span`, in quotes or not."""
        made = super().__new__(cls, value)
        made.span = span
        made.quoted = quoted
        return made

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written at all (an empty pair of quotes is something)."""
        return not self.quoted and not self.strip()


class Table(dict[Text, "Node"]):
    """A mapping. Its keys carry their own spans; look up with plain strings."""

    __slots__ = ("span",)

    def __init__(self, span: Span) -> None:
        super().__init__()
        self.span = span


class Row(list["Node"]):
    """A list."""

    __slots__ = ("span",)

    def __init__(self, span: Span) -> None:
        super().__init__()
        self.span = span


Node: TypeAlias = Text | Table | Row


def kind_of(node: Node) -> str:
    """What a person would call the node."""
    if isinstance(node, Table):
        return "a set of 'key: value' entries"
    return "a list" if isinstance(node, Row) else "a single value"
