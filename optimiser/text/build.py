"""From the events of a YAML text to nodes, with the bounds that keep a hostile file harmless."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import yaml

from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.spans import Span
from optimiser.text.syntax import MOST_DEPTH, TOO_DEEP

MOST_NODES = 20_000
MOST_ENTRIES = 1_000  # of one list or mapping
MOST_ALIASED = 1_000  # nodes brought in again through aliases

_UNSEEN = frozenset("\u00ad\u200b\u2060\ufeff")
_INVISIBLE = dict.fromkeys(map(ord, _UNSEEN))


class _TooMuchError(Exception):
    """A bound was met: what was read so far is no use."""


@dataclass(slots=True)
class _Frame:
    node: Table | Row
    anchor: str | None
    before: int  # nodes built before this one
    key: Text | None = None
    skip: bool = False  # the next value belongs to a key that is no key


class Builder:
    """Builds one document; `root` and `faults` hold what came of it."""

    def __init__(self, file: str, lines: tuple[str, ...]) -> None:
        self.file = file
        self.lines = lines
        self.root: Node | None = None
        self.faults: list[Diagnostic] = []
        self._stack: list[_Frame] = []
        self._anchors: dict[str, tuple[Node | None, int]] = {}
        self._nodes = 0
        self._aliased = 0
        self._documents = 0

    def take(self, events: Iterator[yaml.Event]) -> None:
        """Reads all events.

        Raises:
            yaml.MarkedYAMLError: the text is no YAML.
        """
        try:
            for event in events:
                self._event(event)
        except _TooMuchError:
            self.root = None

    def _event(self, event: yaml.Event) -> None:
        if isinstance(event, yaml.ScalarEvent):
            self._scalar(event)
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            self._open(event)
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            self._close(event)
        elif isinstance(event, yaml.AliasEvent):
            self._alias(event)
        elif isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                message = "a second document starts here; one file holds one"
                self._stop(
                    Code.SEVERAL_DOCUMENTS, message, "take the line '---' out, or make two files", self._span(event)
                )

    # -- one event each ----------------------------------------------------------------------------------------

    def _scalar(self, event: yaml.ScalarEvent) -> None:
        span = self._span(event)
        self._no_tag(event.tag, span)
        text = Text(self._seen(event), span, quoted=bool(event.style))
        if event.anchor:
            self._anchors[event.anchor] = (text, 1)
        self._count(1, span)
        self._put(text)

    def _seen(self, event: yaml.ScalarEvent) -> str:
        """The text without what nobody saw in it; a sign that was written as an escape was meant."""
        seen = event.value.translate(_INVISIBLE)
        start, end = event.start_mark, event.end_mark
        if seen == event.value or start is None or end is None:
            return seen
        written = self.lines[start.line : end.line + 1]
        return seen if any(not _UNSEEN.isdisjoint(line) for line in written) else event.value

    def _open(self, event: yaml.MappingStartEvent | yaml.SequenceStartEvent) -> None:
        span = self._span(event)
        self._no_tag(event.tag, span)
        if len(self._stack) >= MOST_DEPTH:
            self._stop(Code.TOO_DEEP, TOO_DEEP, "", span)
        self._count(1, span)
        node: Table | Row = Table(span) if isinstance(event, yaml.MappingStartEvent) else Row(span)
        if event.anchor:
            self._anchors[event.anchor] = (None, 0)
        self._stack.append(_Frame(node, event.anchor, self._nodes - 1))

    def _close(self, event: yaml.Event) -> None:
        frame = self._stack.pop()
        start, end = frame.node.span, event.end_mark
        if end is not None and end.line + 1 == start.line and end.column + 1 > start.column:
            last = min(end.column, len(start.text))  # a mended line may be longer than what was written
            frame.node.span = Span(start.file, start.line, start.column, max(last + 1, start.column), start.text)
        if frame.anchor:
            self._anchors[frame.anchor] = (frame.node, self._nodes - frame.before)
        self._put(frame.node)

    def _alias(self, event: yaml.AliasEvent) -> None:
        span = self._span(event)
        name = str(event.anchor)
        node, size = self._anchors.get(name, (None, -1))
        if node is None:
            if size == -1:
                message = f"{shown(f'*{name}')} points to nothing; in YAML a star at the start of a value means 'the same as &...'"
                help_ = f'if the star is meant, put quotes around it: "*{name}"' if len(name) <= 40 else ""
                self._fault(Code.UNKNOWN_ALIAS, message, help_ or "put quotes around it if the star is meant", span)
            else:
                self._fault(Code.ALIAS_CYCLE, f"{shown(f'*{name}')} stands inside the very entry it repeats", "", span)
            node = Text("", span, quoted=True)
        self._aliased += max(size, 1)
        self._nodes += max(size, 0)
        if self._aliased > MOST_ALIASED:
            self._stop(
                Code.TOO_MANY_ALIASES, "aliases ('*name') repeat too much of the file", "write the entries out", span
            )
        self._put(node)

    # -- helpers -----------------------------------------------------------------------------------------------

    def _put(self, node: Node) -> None:
        if not self._stack:
            self.root = node
            return
        frame = self._stack[-1]
        if len(frame.node) >= MOST_ENTRIES:
            self._stop(
                Code.TOO_MANY_ENTRIES, f"more than {MOST_ENTRIES} entries here", "is this the right file?", node.span
            )
        if isinstance(frame.node, Row):
            frame.node.append(node)
        elif frame.skip:
            frame.skip = False
        elif frame.key is None:
            self._take_key(frame, frame.node, node)
        else:
            frame.node[frame.key] = node
            frame.key = None

    def _take_key(self, frame: _Frame, table: Table, node: Node) -> None:
        if not isinstance(node, Text) or not node.strip():
            message = "a key must be a word" if node else "a key is missing before the colon"
            self._fault(
                Code.ODD_KEY, message, "write 'name: value'; text with braces needs quotes around it", node.span
            )
            frame.skip = True
        elif node == "<<" and not node.quoted:
            self._fault(Code.MERGE_KEY, "'<<' does not merge entries here", "write the entries out", node.span)
            frame.skip = True
        elif node in table:
            first = next(key for key in table if key == node)
            self.faults.append(repeated(node, first))
            frame.skip = True
        else:
            frame.key = node

    def _no_tag(self, tag: str | None, span: Span) -> None:
        if tag is not None:
            written = tag.replace("tag:yaml.org,2002:", "!!")
            message = f"{shown(written)} is a YAML tag, and none are read here"
            self._fault(
                Code.TAG,
                message,
                "take the word with the exclamation mark out, or put quotes around the whole text",
                span,
            )

    def _count(self, nodes: int, span: Span) -> None:
        self._nodes += nodes
        if self._nodes > MOST_NODES:
            self._stop(Code.TOO_MANY_ENTRIES, "the file holds too many entries", "is this the right file?", span)

    def _fault(self, code: Code, message: str, help_: str, span: Span) -> None:
        self.faults.append(Diagnostic(code, message, help_, span))

    def _stop(self, code: Code, message: str, help_: str, span: Span) -> None:
        self._fault(code, message, help_, span)
        raise _TooMuchError

    def _span(self, event: yaml.Event) -> Span:
        start, end = event.start_mark, event.end_mark
        assert start is not None  # events of a text carry marks
        assert end is not None
        line = min(start.line, len(self.lines) - 1)
        text = self.lines[line]
        column = min(start.column, len(text))
        last = min(end.column, len(text)) if end.line == start.line else len(text.rstrip())
        return Span(self.file, line + 1, column + 1, max(last, column) + 1, text)


def repeated(second: Text, first: Text) -> Diagnostic:
    """The fault of a key that is there already."""
    same = second == first
    message = f"{shown(second)} is given twice" if same else f"{shown(second)} is {shown(first)} again"
    return Diagnostic(
        Code.REPEATED_KEY, message, "keep one of the two", second.span, (("first given here", first.span),)
    )
