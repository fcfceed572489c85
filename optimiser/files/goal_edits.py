"""What the page may do to a goal file, as changes of its text: a limit set or dropped, a tag, a design, the batch, any entry."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from optimiser.files.wish_edits import wish_out, wish_set, wish_up
from optimiser.measures.sides import Side
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import GRAMS, PER_KILO, Limit
from optimiser.problem.wishes import Section
from optimiser.text.edits import CannotEdit, plain_of, put, taken_out, with_item, without_item
from optimiser.text.nodes import Table
from optimiser.text.quantities import write_number
from optimiser.text.source import parse_yaml
from optimiser.text.spans import Span
from optimiser.text.writing import scalar

ORDER = (
    *(
        "title",
        "shelf",
        "batch",
        "design",
        "for",
        "near",
        "buy",
        "water_hardness",
        "goals",
        "shares",
        "free_from",
        "fats",
    ),
    *("use_up", "additives", "liquids", "may_use", "prefer", "practice"),
)
SIZES = ("bars", "fats", "mould", "batter")
LISTS = ("free_from", "design", "for", "may_use")
WITH_LIMITS = (Section.GOALS, Section.SHARES, Section.ADDITIVES, Section.LIQUIDS)
DIGITS = 6


def edited(text: str, sheet: GoalSheet | None, edit: Mapping[str, Any]) -> str:
    """The text with one change made.

    Args:
        text: the goal file's.
        sheet: the goals that it says, where it can be read: tells by which of its names a fat or a figure is written.
        edit: `do` and what that takes: "limit" (section, key, side, value or None, unit), "put" (path, value), "text" (path,
            value as words), "out" (path), "item" and "item out" (path of one key, value), "size" (key, value), "wish" (key, side,
            value, unit, and the place of one that stands), "wish out" and "wish up" (place).

    Raises:
        CannotEdit: it cannot be made, or is no change that is known.
    """
    done: Mapping[str, Callable[[], str]] = {
        "limit": lambda: _limit(text, sheet, edit),
        "put": lambda: put(text, _named(text, sheet, _path(edit)), _word(edit, "value"), ORDER),
        "text": lambda: put(text, _path(edit), scalar(_word(edit, "value")), ORDER),
        "out": lambda: taken_out(text, _named(text, sheet, _path(edit))),
        "item": lambda: with_item(text, _list(edit), _word(edit, "value"), ORDER),
        "item out": lambda: without_item(text, _list(edit), _word(edit, "value")),
        "size": lambda: _size(text, edit),
        "wish": lambda: wish_set(text, edit, _wished(edit), ORDER),
        "wish out": lambda: wish_out(text, edit),
        "wish up": lambda: wish_up(text, edit),
    }
    make = done.get(str(edit.get("do")))
    if make is None:
        raise CannotEdit(f"{edit.get('do')} is no change that can be made")
    return make()


def _limit(text: str, sheet: GoalSheet | None, edit: Mapping[str, Any]) -> str:
    section, side = Section(_word(edit, "section")), Side(_word(edit, "side"))
    if section not in WITH_LIMITS:
        raise CannotEdit(f"there are no limits under {section}")
    path = _named(text, sheet, (str(section), _word(edit, "key")))
    there = plain_of(text)
    for key in path:
        there = there.get(key) if isinstance(there, dict) else None  # type: ignore[assignment]
    value = edit.get("value")
    if value is None:
        others: dict[Side, str] = {} if isinstance(there, dict) else _others(sheet, section, path, edit, side)
        return put(text, path, _sides(others), ORDER) if others else _without_side(text, path, there, side)
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise CannotEdit("a limit is a number")
    told = figure(float(value), str(edit.get("unit", "")))
    if isinstance(there, dict) and "between" in there and side != Side.EXACTLY:
        ends = list(there["between"])
        ends[0 if side == Side.AT_LEAST else 1] = told
        return put(text, (*path, "between"), f"[{', '.join(ends)}]", ORDER)
    if side == Side.EXACTLY:
        inner = isinstance(there, dict) and "exactly" in there
        return put(text, (*path, "exactly") if inner else path, told, ORDER)
    if isinstance(there, dict) and "exactly" not in there:
        return put(text, (*path, str(side)), told, ORDER)
    return put(text, path, _sides({side: told, **_others(sheet, section, path, edit, side)}), ORDER)


def _others(
    sheet: GoalSheet | None, section: Section, path: tuple[str, ...], edit: Mapping[str, Any], side: Side
) -> dict[Side, str]:
    """What a word in place of figures sets on the other side: it is written out where one side of it is moved."""
    if sheet is None or side == Side.EXACTLY or len(path) < 2:
        return {}
    ends = (Side.AT_LEAST, Side.AT_MOST)
    limits = [one for one in _limits(sheet, section) if one.key == edit["key"] and one.side in ends]
    return {one.side: figure(one.value, one.unit) for one in limits if one.side != side}


def _wished(edit: Mapping[str, Any]) -> str:
    value = edit.get("value")
    is_number = isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < math.inf
    return figure(float(value), str(edit.get("unit", ""))) if is_number else ""  # type: ignore[arg-type]


def _sides(told: Mapping[Side, str]) -> str:
    return f"{{{', '.join(f'{side}: {told[side]}' for side in Side if side in told)}}}"


def _without_side(text: str, path: tuple[str, ...], there: Any, side: Side) -> str:
    if isinstance(there, dict) and "between" in there and side != Side.EXACTLY:
        low, high = there["between"]
        other, kept = (Side.AT_MOST, high) if side == Side.AT_LEAST else (Side.AT_LEAST, low)
        return put(text, path, f"{{{other}: {kept}}}", ORDER)
    if isinstance(there, dict) and str(side) in there:
        return taken_out(text, (*path, str(side)))
    return taken_out(text, path)


def figure(value: float, unit: str) -> str:
    """A figure with the unit that the file wants."""
    told = write_number(round(value, DIGITS))
    if unit in ("%", GRAMS, PER_KILO):
        return f"{told} {'g / kg' if unit == PER_KILO else unit}"
    if unit.endswith("/ kg"):
        return f"{told} / kg" if "." in told else f"{told}.00 / kg"
    return told


def _size(text: str, edit: Mapping[str, Any]) -> str:
    key = _word(edit, "key")
    if key not in SIZES:
        raise CannotEdit(f"a batch has no {key}")
    batch = plain_of(text).get("batch")
    for other in SIZES:
        if other != key and isinstance(batch, dict) and other in batch and len(batch) > 1:
            text = taken_out(text, ("batch", other))
            batch = {name: value for name, value in batch.items() if name != other}
        elif other != key and isinstance(batch, dict) and other in batch:
            return put(text, ("batch",), f"{{{key}: {_word(edit, 'value')}}}", ORDER)
    return put(text, ("batch", key), _word(edit, "value"), ORDER)


def _named(text: str, sheet: GoalSheet | None, path: tuple[str, ...]) -> tuple[str, ...]:
    """The path with its key as the file writes it: a fat may go by another of its names there."""
    if sheet is None or len(path) < 2:
        return path
    limits = _limits(sheet, path[0])
    span = next((one.span for one in limits if one.key == path[1] and one.span.line), None)
    found = None if span is None else _key_at(text, path[0], span)
    return path if found is None else (path[0], found, *path[2:])


def _limits(sheet: GoalSheet, section: str) -> tuple[Limit, ...]:
    own: dict[str, tuple[Limit, ...]] = {
        "goals": sheet.goals,
        "shares": sheet.shares,
        "additives": sheet.additives,
        "liquids": sheet.liquids,
    }
    return own.get(str(section), ())


def _key_at(text: str, section: str, span: Span) -> str | None:
    """The key of the entry in which a place lies."""
    root = parse_yaml(text, "").root
    entries = (
        next((value for key, value in root.items() if str(key) == section), None) if isinstance(root, Table) else None
    )
    if not isinstance(entries, Table):
        return None
    before = [key for key in entries if (key.span.line, key.span.column) <= (span.line, span.column)]
    return str(before[-1]) if before else None


def _path(edit: Mapping[str, Any]) -> tuple[str, ...]:
    path = edit.get("path")
    if not isinstance(path, list | tuple) or not path or not all(isinstance(key, str) and key for key in path):
        raise CannotEdit("a change needs the path of an entry")
    return tuple(path)


def _list(edit: Mapping[str, Any]) -> str:
    (key, *more) = _path(edit)
    if more or key not in LISTS:
        raise CannotEdit(f"'{key}' holds no list")
    return key


def _word(edit: Mapping[str, Any], name: str) -> str:
    word = edit.get(name)
    if not isinstance(word, str) or not word.strip() or "\n" in word:
        raise CannotEdit(f"a change needs its {name}")
    return word
