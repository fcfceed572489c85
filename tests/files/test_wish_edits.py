"""What the page does to what is wished for: a wish set, its figure moved, dropped, and sooner; every text is read as a goal file."""

from __future__ import annotations

import math
from pathlib import Path

import pages
import pytest

from optimiser.files.goal_edits import edited
from optimiser.files.goals import read_goals
from optimiser.text.edits import CannotEdit


def wishes(path: Path) -> list[str]:
    """The wishes of a goal file by their ids and figures."""
    return [f"{limit.key} {limit.side} {limit.value:g}" for found in read_goals(path).prefer for limit in found]


def test_wishes_are_set_moved_and_dropped(tmp_path: Path) -> None:
    """Figures, fats and kinds are wished for with their units; the order changes; the last wish takes its key along."""
    path = pages.workshop(tmp_path)
    text = path.read_text(encoding="utf-8")
    steps: list[tuple[dict[str, object], list[str]]] = [
        (
            {"key": "quick_lather", "side": "at_least", "value": 50, "unit": "index"},
            ["lasting_lather at_least 58", "quick_lather at_least 50"],
        ),
        (
            {"key": "castor oil", "side": "at_most", "value": 4.5, "unit": "%"},
            ["lasting_lather at_least 58", "quick_lather at_least 50", "castor oil at_most 4.5"],
        ),
        (
            {"do": "wish up", "place": 1},
            ["quick_lather at_least 50", "lasting_lather at_least 58", "castor oil at_most 4.5"],
        ),
        (
            {"place": 0, "key": "quick_lather", "side": "at_least", "value": 52.5, "unit": "index"},
            ["quick_lather at_least 52.5", "lasting_lather at_least 58", "castor oil at_most 4.5"],
        ),
        ({"do": "wish out", "place": 1}, ["quick_lather at_least 52.5", "castor oil at_most 4.5"]),
        ({"do": "wish out", "place": 0}, ["castor oil at_most 4.5"]),
        ({"do": "wish out", "place": 0}, []),
    ]
    for edit, expected in steps:
        text = edited(text, read_goals(path), {"do": "wish", **edit})
        path.write_text(text, encoding="utf-8")
        assert wishes(path) == expected
    assert "prefer" not in text
    assert "# A hard bar without palm" in text


@pytest.mark.parametrize(
    "edit",
    [
        {"do": "wish", "key": "hardness", "side": "at_least", "value": math.nan},
        {"do": "wish", "key": "hardness", "side": "at_least", "value": "5"},
        {"do": "wish", "key": "a\nb", "side": "at_least", "value": 5},
        {"do": "wish", "key": "hardness", "side": "at_least", "value": 5, "place": -1},
        {"do": "wish", "key": "hardness", "side": "at_least", "value": 5, "place": 9},
        {"do": "wish up", "place": True},
        {"do": "wish out"},
    ],
)
def test_what_is_no_wish_is_refused(edit: dict[str, object], tmp_path: Path) -> None:
    """Figures that are none, keys of two lines and places that are not there change nothing."""
    path = pages.workshop(tmp_path)
    with pytest.raises(CannotEdit):
        edited(path.read_text(encoding="utf-8"), read_goals(path), edit)
