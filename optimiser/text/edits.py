"""Small changes of a YAML text: one value set, one entry or item put in or taken out; all else stays to the letter.

Comments, order, quotes and the way a mapping is laid out are the maker's and stay so. Every change is read back: should the
new text say anything else than the old one with that change, nothing is changed and the reason is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeAlias

import yaml

from optimiser.text.names import fold
from optimiser.text.nodes import Node, Row, Table
from optimiser.text.source import LOADER, parse_yaml, with_plain_blanks
from optimiser.text.writing import scalar

Path: TypeAlias = tuple[str, ...]
STEP = 2  # columns that an entry is set in by
BLOCK_STYLES = ("|", ">")


class CannotEdit(ValueError):
    """A text that is not changed from here, and why."""


def put(text: str, path: Path, value: str, order: Sequence[str] = ()) -> str:
    r"""The text with what stands at a path being `value`; sections on the way are made where they are not there.

    Args:
        text: the YAML, with line feeds for breaks.
        path: keys from the outermost on, known regardless of case, blanks and underscores.
        value: YAML on one line.
        order: of the outermost keys, for where a new one goes.

    Raises:
        CannotEdit: the text is no YAML, or is written in a way that this cannot change.

    >>> put("goals:\n  hardness: {at_least: 60}  # firm\n", ("goals", "hardness", "at_most"), "70")
    'goals:\n  hardness: {at_least: 60, at_most: 70}  # firm\n'
    """
    before = plain_of(text)
    found = _with_value(text, path, value, order)
    expected = _set(before, path, plain_of(f"x: {value}")["x"])
    return _confirmed(found, expected)


def taken_out(text: str, path: Path) -> str:
    """The text without the entry at a path; a section that it leaves empty goes with it. The same text where there is none.

    Raises:
        CannotEdit: as `put` does.
    """
    before = plain_of(text)
    trail = _trail(_composed(text), path)
    if len(trail) <= len(path):
        return text
    keys = [key.value for key, _ in trail[1:]]
    while len(keys) > 1 and len(trail[len(keys) - 1][1].value) == 1:
        keys.pop()
    parent = trail[len(keys) - 1][1]
    place = next(place for place, (key, _) in enumerate(parent.value) if key.value == keys[-1])
    spans = [(key.start_mark.index, _end(text, value, key)) for key, value in parent.value]
    found = _without(text, parent, spans, place)
    return _confirmed(found, _dropped(before, tuple(keys)))


def with_item(text: str, key: str, item: str, order: Sequence[str] = ()) -> str:
    """The text with one more item in the list under an outermost key; the list is made where there is none.

    Raises:
        CannotEdit: as `put` does.
    """
    before = plain_of(text)
    trail = _trail(_composed(text), (key,))
    if len(trail) == 1 or _is_blank(trail[1][1]):
        return put(text, (key,), f"[{scalar(item)}]", order)
    name, node = trail[1]
    if isinstance(node, yaml.ScalarNode):
        return put(text, (key,), f"[{text[node.start_mark.index : node.end_mark.index]}, {scalar(item)}]")
    if not isinstance(node, yaml.SequenceNode):
        raise CannotEdit(f"'{name.value}' holds no list")
    items = before[name.value]
    if node.flow_style:
        at = _end(text, node.value[-1]) if node.value else node.start_mark.index + 1
        found = f"{text[:at]}{', ' if node.value else ''}{scalar(item)}{text[at:]}"
    else:
        dash = text.rindex("-", 0, node.value[-1].start_mark.index)
        at = _line_end(text, _end(text, node))
        found = f"{text[:at]}\n{text[_line_start(text, dash) : dash]}- {scalar(item)}{text[at:]}"
    return _confirmed(found, {**before, name.value: [*items, item]})


def without_item(text: str, key: str, item: str) -> str:
    """The text without an item of the list under an outermost key; an empty list goes with its key.

    Raises:
        CannotEdit: as `put` does.
    """
    before = plain_of(text)
    trail = _trail(_composed(text), (key,))
    if len(trail) == 1:
        return text
    name, node = trail[1]
    if isinstance(node, yaml.ScalarNode):
        return taken_out(text, (key,)) if fold(node.value) == fold(item) else text
    if not isinstance(node, yaml.SequenceNode):
        raise CannotEdit(f"'{name.value}' holds no list")
    words = [fold(one.value) if isinstance(one, yaml.ScalarNode) else None for one in node.value]
    place = words.index(fold(item)) if fold(item) in words else None
    if place is None:
        return text
    if len(node.value) == 1:
        return taken_out(text, (key,))
    spans = [(one.start_mark.index, _end(text, one)) for one in node.value]
    found = _without(text, node, spans, place)
    rest = [one for at, one in enumerate(before[name.value]) if at != place]
    return _confirmed(found, {**before, name.value: rest})


def plain_of(text: str) -> dict[str, Any]:
    """A text as plain dictionaries, lists and texts; nothing for one without entries.

    Raises:
        CannotEdit: it is no YAML, or no set of entries.
    """
    if not any(line.split("#")[0].strip() for line in text.splitlines()):
        return {}
    source = parse_yaml(text, "")
    if source.faults or not isinstance(source.root, Table):
        raise CannotEdit("the file has faults: mend them first, in the file itself")
    return {str(key): _plain(value) for key, value in source.root.items()}


# -- how the text is changed ---------------------------------------------------------------------------------------


def _with_value(text: str, path: Path, value: str, order: Sequence[str]) -> str:
    root = _composed(text)
    if root is None:
        return f"{text.rstrip()}\n{_block(path, value, 0)}\n".lstrip("\n")
    trail = _trail(root, path)
    if len(trail) > len(path) and not _is_blank(trail[-1][1]):
        return _replaced(text, *trail[-1], value)
    if _is_blank(trail[-1][1]):
        return _filled(text, trail[-1][0], path[len(trail) - 1 :], value)
    parent, rest = trail[-1][1], path[len(trail) - 1 :]
    if not isinstance(parent, yaml.MappingNode):
        raise CannotEdit(f"'{path[len(trail) - 2]}' is a single value, and has no entries")
    if parent.flow_style:
        at = _end(text, *reversed(parent.value[-1])) if parent.value else parent.start_mark.index + 1
        return f"{text[:at]}{', ' if parent.value else ''}{_flow(rest, value)}{text[at:]}"
    last = _comes_after(parent, rest[0], order) if parent is root else len(parent.value) - 1
    block = _block(rest, value, parent.value[0][0].start_mark.column)
    at = (
        _line_end(text, _end(text, *reversed(parent.value[last]))) if last >= 0 else parent.value[0][0].start_mark.index
    )
    return f"{text[:at]}\n{block}{text[at:]}" if last >= 0 else f"{text[:at]}{block}\n{text[at:]}"


def _filled(text: str, key: Any, rest: Path, value: str) -> str:
    """The text with something under a key that has nothing yet."""
    at = text.index(":", key.end_mark.index) + 1
    if not rest:
        return f"{text[:at]} {value}{text[at:]}"
    at = _line_end(text, at)
    return f"{text[:at]}\n{_block(rest, value, key.start_mark.column + STEP)}{text[at:]}"


def _comes_after(parent: Any, key: str, order: Sequence[str]) -> int:
    """The place of the entry that a new one goes behind; -1 for the front."""
    if key not in order:
        return len(parent.value) - 1
    before = {fold(name) for name in order[: order.index(key)]}
    return max((at for at, (other, _) in enumerate(parent.value) if fold(other.value) in before), default=-1)


def _replaced(text: str, key: Any, node: Any, value: str) -> str:
    if isinstance(node, yaml.ScalarNode) or node.flow_style:
        return text[: node.start_mark.index] + value + text[_end(text, node) :]
    at = text.index(":", key.end_mark.index) + 1
    line = _line_end(text, at)
    return f"{text[:at]} {value}{text[at:line]}{text[_end(text, node) :]}"


def _without(text: str, parent: Any, spans: Sequence[tuple[int, int]], place: int) -> str:
    start, end = spans[place]
    if not parent.flow_style:
        first, last = _line_start(text, start), _line_end(text, end)
        lead = text[first:start].strip()
        if lead not in ("", "-") or (lead and isinstance(parent, yaml.MappingNode)):
            raise CannotEdit("another entry stands on the same line: take it out in the file itself")
        return text[:first] + text[last + 1 :]
    if place + 1 < len(spans):
        return text[:start] + _of_the_next(text[end : spans[place + 1][0]]) + text[spans[place + 1][0] :]
    if not place:
        return text[:start] + text[end:]
    before = spans[place - 1][1]
    return text[:before] + _of_the_last(text[before:start]) + text[end:]


def _of_the_next(between: str) -> str:
    """Of what stands between an entry in braces and the next one, the remarks on lines of their own, which are the next one's."""
    _, _, below = between.partition("\n")
    return below.lstrip() if "#" in below else ""


def _of_the_last(between: str) -> str:
    """Of what stands between two entries in braces, the remarks, where the second one goes; its comma goes with it."""
    if "#" not in between:
        return ""
    lines = between.split("\n")
    comma = next((at for at, line in enumerate(lines) if "," in line.split("#")[0]), None)
    return "\n".join(line.replace(",", "", 1) if at == comma else line for at, line in enumerate(lines))


def _block(path: Path, value: str, indent: int) -> str:
    *outer, last = path
    lines = [f"{' ' * (indent + STEP * depth)}{scalar(key)}:" for depth, key in enumerate(outer)]
    return "\n".join([*lines, f"{' ' * (indent + STEP * len(outer))}{scalar(last)}: {value}"])


def _flow(path: Path, value: str) -> str:
    key, *rest = path
    return f"{scalar(key)}: {{{_flow(tuple(rest), value)}}}" if rest else f"{scalar(key)}: {value}"


# -- where things stand --------------------------------------------------------------------------------------------


def _composed(text: str) -> Any:
    try:
        root = yaml.compose(with_plain_blanks(text), Loader=LOADER)
    except yaml.YAMLError:
        raise CannotEdit("the file has faults: mend them first, in the file itself") from None
    if root is not None and not isinstance(root, yaml.MappingNode):
        raise CannotEdit("the file is no set of 'key: value' entries")
    return root


def _trail(root: Any, path: Path) -> list[tuple[Any, Any]]:
    """The root and the entries on the way along a path, as far as there are any: key and value."""
    trail: list[tuple[Any, Any]] = [(None, root)]
    for name in path:
        node = trail[-1][1]
        pairs = node.value if isinstance(node, yaml.MappingNode) else ()
        entry = next((pair for pair in pairs if fold(str(pair[0].value)) == fold(name)), None)
        if entry is None:
            break
        trail.append(entry)
    return trail


def _is_blank(node: Any) -> bool:
    return isinstance(node, yaml.ScalarNode) and node.start_mark.index == node.end_mark.index


def _end(text: str, node: Any, key: Any = None) -> int:
    """Where a node ends, without what follows a block; of an empty value where its colon does."""
    if isinstance(node, yaml.ScalarNode) and node.style in BLOCK_STYLES:
        whole = text[: node.end_mark.index]
        keeps = "+" in text[node.start_mark.index : _line_end(text, node.start_mark.index)].split("#", maxsplit=1)[0]
        return len(whole.removesuffix("\n") if keeps else whole.rstrip())
    if isinstance(node, yaml.ScalarNode) or node.flow_style or not node.value:
        return int(node.end_mark.index if key is None else max(node.end_mark.index, key.end_mark.index))
    last = node.value[-1]
    return _end(text, last[1], last[0]) if isinstance(last, tuple) else _end(text, last)


def _line_start(text: str, at: int) -> int:
    return text.rfind("\n", 0, at) + 1


def _line_end(text: str, at: int) -> int:
    found = text.find("\n", at)
    return len(text) if found < 0 else found


# -- reading back --------------------------------------------------------------------------------------------------


def _confirmed(found: str, expected: Any) -> str:
    if plain_of(found) != expected:
        raise CannotEdit("this line is written in a way that cannot be changed from here: change it in the file itself")
    return found


def _plain(node: Node) -> Any:
    if isinstance(node, Row):
        return [_plain(item) for item in node]
    return {str(key): _plain(value) for key, value in node.items()} if isinstance(node, Table) else str(node)


def _named(entries: dict[str, Any], name: str) -> str:
    return next((key for key in entries if fold(key) == fold(name)), name)


def _set(entries: Any, path: Path, value: Any) -> Any:
    if not path:
        return value
    inner = entries if isinstance(entries, dict) else {}
    key = _named(inner, path[0])
    return {**inner, key: _set(inner.get(key), path[1:], value)}


def _dropped(entries: Any, path: Path) -> Any:
    key = _named(entries, path[0])
    if len(path) == 1:
        return {name: value for name, value in entries.items() if name != key}
    return {**entries, key: _dropped(entries[key], path[1:])}


def entry_in(line: str) -> tuple[str, str]:
    """The key of a line "key: value", and the YAML of its value.

    Raises:
        CannotEdit: it is none.
    """
    root = _composed(line)
    if root is None or len(root.value) != 1:
        raise CannotEdit(f"'{line}' is no entry")
    key, value = root.value[0]
    return str(key.value), line[value.start_mark.index : _end(line, value, key)]
