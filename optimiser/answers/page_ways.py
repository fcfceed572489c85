"""A way out of a clash as changes of the file's text, one after another, each as plain data that can be sent and sent back."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.answers.results import Change, Concession
from optimiser.problem.wishes import Origin, Section
from optimiser.text.edits import entry_in


class TextEdit(NamedTuple):
    """A change of the text: `do` is "put" (a value at a path), "out" (the entry at a path) or "item out" (of a list)."""

    do: str
    path: tuple[str, ...]
    value: str = ""


IN_FILE = (Section.GOALS, Section.SHARES, Section.ADDITIVES, Section.LIQUIDS, Section.PRACTICE)


def edits_of(way: Concession) -> tuple[TextEdit, ...] | None:
    """The changes of the goal file that a way out asks for; None where one of them is none of that file's."""
    found: list[TextEdit] = []
    for change in way.changes:
        edits = _edits(change)
        if edits is None:
            return None
        found += [edit for edit in edits if edit not in found]
    return tuple(found)


def _edits(change: Change) -> tuple[TextEdit, ...] | None:
    wish = change.id
    if not change.paste:  # a line, or the only design, that is left out
        return (TextEdit("out", (str(wish.section), wish.key) if wish.key else (str(wish.section),)),)
    key, value = entry_in(change.paste)
    if not wish.key or wish.section == Section.FATS:  # a design that is left out: the line names those which are kept
        return (TextEdit("put", (key,), value),)
    if wish.origin == Origin.EXCLUSION:
        return TextEdit("item out", ("free_from",), wish.key), TextEdit("put", ("shares", key), value)
    is_in_file = wish.origin != Origin.STOCK and change.where in map(str, IN_FILE)
    return (TextEdit("put", (change.where, key), value),) if is_in_file else None
