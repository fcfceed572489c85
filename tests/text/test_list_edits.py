"""Lists changed by the place of an item: put in, replaced, taken out, moved up; comments and layout stay to the letter."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from optimiser.text.edits import CannotEdit
from optimiser.text.list_edits import count, item_added, item_moved_up, item_replaced, item_taken_out

BLOCK = """\
title: Bar
prefer:
  # the dearest first
  - mildness: {at_least: 60}  # for hands
  - quick_lather:
      at_least: 40  # in hard water
  - {scum: {at_most: 70}}

practice: off
"""
FLOW = "title: Bar\nprefer: [{mildness: {at_least: 60}}, {scum: {at_most: 70}}]  # both\n"


def test_an_item_is_put_at_the_end() -> None:
    """A new item goes behind the last, in the list's own layout; where there is no list one is made."""
    found = item_added(BLOCK, "prefer", "hardness: {at_least: 50}")
    assert "  - {scum: {at_most: 70}}\n  - hardness: {at_least: 50}\n\npractice: off" in found
    found = item_added(FLOW, "prefer", "hardness: {at_least: 50}")
    assert "{scum: {at_most: 70}}, {hardness: {at_least: 50}}]  # both" in found
    made = item_added(
        "title: Bar\npractice: off\n", "prefer", "hardness: {at_least: 50}", ("title", "prefer", "practice")
    )
    assert made == "title: Bar\nprefer: [{hardness: {at_least: 50}}]\npractice: off\n"
    assert item_added("prefer: []\n", "prefer", "scum: {at_most: 7}") == "prefer: [{scum: {at_most: 7}}]\n"


def test_an_item_is_replaced_and_its_comment_stays() -> None:
    """What is written of an item gives way to the new entry, the comment beside it stays; in flow style too."""
    found = item_replaced(BLOCK, "prefer", 0, "mildness: {at_least: 62}")
    assert found == BLOCK.replace("{at_least: 60}", "{at_least: 62}")
    found = item_replaced(BLOCK, "prefer", 1, "quick_lather: {at_least: 45}")
    assert "  - quick_lather: {at_least: 45}  # in hard water\n  - {scum" in found
    assert item_replaced(FLOW, "prefer", 1, "scum: {at_most: 65}") == FLOW.replace("70", "65")


def test_an_item_goes_out_with_its_lines() -> None:
    """The lines of an item go, and no other; of a list on one line the item with its comma."""
    found = item_taken_out(BLOCK, "prefer", 1)
    assert found == BLOCK.replace("  - quick_lather:\n      at_least: 40  # in hard water\n", "")
    assert item_taken_out(FLOW, "prefer", 0) == "title: Bar\nprefer: [{scum: {at_most: 70}}]  # both\n"
    assert item_taken_out(FLOW, "prefer", 1) == "title: Bar\nprefer: [{mildness: {at_least: 60}}]  # both\n"


def test_an_item_moves_up_with_its_comment() -> None:
    """Two neighbours change places with their comments; the first stays where it is."""
    found = item_moved_up(BLOCK, "prefer", 1)
    assert (
        "  - quick_lather:\n      at_least: 40  # in hard water\n  - mildness: {at_least: 60}  # for hands\n" in found
    )
    assert item_moved_up(BLOCK, "prefer", 0) == BLOCK
    assert "[{scum: {at_most: 70}}, {mildness: {at_least: 60}}]  # both" in item_moved_up(FLOW, "prefer", 1)


@pytest.mark.parametrize("text", ["prefer: 5\n", "prefer: [a\n", "prefer:\n  - &a {x: 1}\n  - *a\n"])
def test_what_cannot_be_changed_is_refused(text: str) -> None:
    """No list, no YAML, and entries that stand for each other are left as they are, in words."""
    with pytest.raises(CannotEdit):
        item_moved_up(text, "prefer", 1)
    with pytest.raises(CannotEdit):
        item_taken_out(BLOCK, "prefer", 3)


NAMES = st.sampled_from(["mildness", "scum", "hardness", "castor oil", "ash_risk"])
ITEMS = st.lists(st.tuples(NAMES, st.integers(0, 99)), min_size=2, max_size=5)


@given(ITEMS, st.sampled_from(["block", "flow"]), st.data())
def test_every_change_is_that_of_the_list(items: list[tuple[str, int]], style: str, data: st.DataObject) -> None:
    """PyYAML reads of each changed text what the same change of the list gives."""
    wishes = [{name: {"at_least": value}} for name, value in items]
    text = yaml.safe_dump({"title": "Bar", "prefer": wishes}, default_flow_style=style == "flow", width=4000)
    place = data.draw(st.integers(0, len(wishes) - 1))

    def read(found: str) -> list[object]:
        return list(yaml.safe_load(found)["prefer"])

    new = {"scum": {"at_most": 7}}
    assert count(text, "prefer") == len(wishes)
    assert read(item_added(text, "prefer", "scum: {at_most: 7}")) == [*wishes, new]
    assert read(item_replaced(text, "prefer", place, "scum: {at_most: 7}")) == [
        *wishes[:place],
        new,
        *wishes[place + 1 :],
    ]
    assert read(item_taken_out(text, "prefer", place)) == [*wishes[:place], *wishes[place + 1 :]]
    moved = wishes[:] if not place else [*wishes[: place - 1], wishes[place], wishes[place - 1], *wishes[place + 1 :]]
    assert read(item_moved_up(text, "prefer", place)) == moved
