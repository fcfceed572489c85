"""What the page may do to what is wished for (`prefer`), as changes of a goal file's text: a wish set, dropped, or sooner."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from optimiser.measures.sides import Side
from optimiser.text.edits import CannotEdit, taken_out
from optimiser.text.list_edits import count, item_added, item_moved_up, item_replaced, item_taken_out
from optimiser.text.writing import scalar

WISHES = "prefer"


def wish_set(text: str, edit: Mapping[str, Any], figure: str, order: tuple[str, ...] = ()) -> str:
    """The text with a wish for one figure: a new one at the end of all, or another limit at a place.

    Args:
        text: the goal file's.
        edit: `key` and `side` of the wish, its `value`, and `place` where it stands already.
        figure: the value with the unit that the file wants.
        order: of the outermost keys, for where the first wish goes.

    Raises:
        CannotEdit: it cannot be made.
    """
    key, value = edit.get("key"), edit.get("value")
    if not isinstance(key, str) or not key.strip() or "\n" in key:
        raise CannotEdit("a change needs its key")
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise CannotEdit("a wish is a number")
    entry = f"{scalar(key)}: {{{Side(str(edit.get('side')))}: {figure}}}"
    if edit.get("place") is None:
        return item_added(text, WISHES, entry, order)
    return item_replaced(text, WISHES, _place(edit), entry)


def wish_out(text: str, edit: Mapping[str, Any]) -> str:
    """The text without the wish at a place; the last one takes its key along. Raises as `wish_set` does."""
    place = _place(edit)
    if count(text, WISHES) == 1 and place == 0:
        return taken_out(text, (WISHES,))
    return item_taken_out(text, WISHES, place)


def wish_up(text: str, edit: Mapping[str, Any]) -> str:
    """The text with the wish at a place before the one before it. Raises as `wish_set` does."""
    return item_moved_up(text, WISHES, _place(edit))


def _place(edit: Mapping[str, Any]) -> int:
    place = edit.get("place")
    if not isinstance(place, int) or isinstance(place, bool) or place < 0:
        raise CannotEdit("a change needs the place of a wish")
    return place
