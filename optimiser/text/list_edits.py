"""Small changes of a list in a YAML text by the place of an item: one put in, one in place of another, one out, one moved up.

As in `edits`, comments, order and the way the list is laid out stay, and every change is read back.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import yaml

from optimiser.text.edits import CannotEdit, entry_in, plain_of, put
from optimiser.text.names import fold
from optimiser.text.source import LOADER


class Item(NamedTuple):
    """Where an item stands in the text: what is written of it, and with its dash the whole of its lines."""

    start: int
    end: int
    first: int
    last: int


def item_added(text: str, key: str, entry: str, order: tuple[str, ...] = ()) -> str:
    """The text with one more item, "key: value" on one line, at the end of the list under an outermost key.

    Raises:
        CannotEdit: the text is no YAML, or is written in a way that this cannot change.
    """
    node = _list(text, key)
    if node is None:
        return put(text, (key,), f"[{{{entry}}}]", order)
    items = _items(text, node)
    expected = [*plain_of(text)[_written(text, key)], _plain(entry)]
    if node.flow_style:
        at = items[-1].end if items else node.start_mark.index + 1
        found = f"{text[:at]}{', ' if items else ''}{{{entry}}}{text[at:]}"
    else:
        last = items[-1]
        lead = text[last.first : text.index("-", last.first)]
        found = f"{text[: last.last]}\n{lead}- {entry}{text[last.last :]}"
    return _confirmed(text, found, key, expected)


def item_replaced(text: str, key: str, place: int, entry: str) -> str:
    """The text with another item, "key: value" on one line, at a place of the list. Raises as `item_added` does."""
    node, items, now = _there(text, key, place)
    one = items[place]
    found = f"{text[: one.start]}{f'{{{entry}}}' if node.flow_style else entry}{text[one.end :]}"
    return _confirmed(text, found, key, [*now[:place], _plain(entry), *now[place + 1 :]])


def item_taken_out(text: str, key: str, place: int) -> str:
    """The text without the item at a place, of several. Raises as `item_added` does."""
    node, items, now = _there(text, key, place)
    one = items[place]
    if not node.flow_style:
        found = text[: one.first] + text[one.last + 1 :]
    elif place + 1 < len(items):
        found = text[: one.start] + text[items[place + 1].start :]
    else:
        found = text[: items[place - 1].end] + text[one.end :]
    return _confirmed(text, found, key, [*now[:place], *now[place + 1 :]])


def item_moved_up(text: str, key: str, place: int) -> str:
    """The text with the item at a place before the one that stood before it. Raises as `item_added` does."""
    node, items, now = _there(text, key, place)
    if place == 0:
        return text
    start, end = ("start", "end") if node.flow_style else ("first", "last")
    (a, b), (c, d) = ((getattr(items[at], start), getattr(items[at], end)) for at in (place - 1, place))
    found = text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]
    return _confirmed(text, found, key, [*now[: place - 1], now[place], now[place - 1], *now[place + 1 :]])


def count(text: str, key: str) -> int:
    """How many items the list under an outermost key has."""
    node = _list(text, key)
    return 0 if node is None else len(node.value)


def _there(text: str, key: str, place: int) -> tuple[Any, list[Item], list[Any]]:
    node = _list(text, key)
    items = [] if node is None else _items(text, node)
    if not 0 <= place < len(items):
        raise CannotEdit(f"the list under '{key}' has no such item")
    return node, items, plain_of(text)[_written(text, key)]


def _list(text: str, key: str) -> Any:
    """The list under an outermost key; None where there is nothing yet."""
    plain_of(text)
    root = yaml.compose(text, Loader=LOADER)
    pairs = root.value if isinstance(root, yaml.MappingNode) else ()
    node = next((value for name, value in pairs if fold(str(name.value)) == fold(key)), None)
    if node is None or (isinstance(node, yaml.ScalarNode) and node.start_mark.index == node.end_mark.index):
        return None
    if not isinstance(node, yaml.SequenceNode):
        raise CannotEdit(f"'{key}' holds no list")
    return node


def _items(text: str, node: Any) -> list[Item]:
    out = []
    for one in node.value:
        start, end = one.start_mark.index, _end(one)
        first = start if node.flow_style else text.rfind("\n", 0, text.rindex("-", 0, start)) + 1
        line_end = text.find("\n", end)
        out.append(Item(start, end, first, end if node.flow_style else len(text) if line_end < 0 else line_end))
    return out


def _end(node: Any) -> int:
    """Where a node ends, without blank lines and comments that follow a block."""
    while not isinstance(node, yaml.ScalarNode) and not node.flow_style and node.value:
        last = node.value[-1]
        node = last[1] if isinstance(last, tuple) else last
    return int(node.end_mark.index)


def _written(text: str, key: str) -> str:
    return next(name for name in plain_of(text) if fold(name) == fold(key))


def _plain(entry: str) -> Any:
    entry_in(entry)
    return plain_of(entry)


def _confirmed(before: str, found: str, key: str, expected: list[Any]) -> str:
    if plain_of(found) != {**plain_of(before), _written(before, key): expected}:
        raise CannotEdit("this list is written in a way that cannot be changed from here: change it in the file itself")
    return found
