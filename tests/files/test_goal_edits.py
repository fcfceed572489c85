"""What the page does to a goal file: limits in each way that they are written, the batch, lists; by whatever name a fat goes."""

from __future__ import annotations

from pathlib import Path

import pages
import pytest

from optimiser.files.goal_edits import edited
from optimiser.files.goals import read_goals
from optimiser.text.edits import CannotEdit

TEXT = """\
title: Bar
batch: {bars: 36, cured_weight: 110 g}
goals:
  hardness: 60
  mildness: {between: [60, 70]}
  Quick Lather: {at_least: 42}
  superfat: {exactly: 5 %}
  trace_speed: slow
shares:
  canola oil: {at_most: 20 %}  # what the mill sells
"""


def after(text: str, edit: dict[str, object], tmp_path: Path) -> str:
    """The text with one edit made, read as a goal file before."""
    if not (tmp_path / "goals").is_dir():
        pages.workshop(tmp_path)
    path = tmp_path / "goals" / "bar.yaml"
    path.write_text(text, encoding="utf-8")
    found = edited(text, read_goals(path), edit)
    path.write_text(found, encoding="utf-8")
    read_goals(path)
    return found


def limit(section: str, key: str, side: str, value: float | None, unit: str = "index") -> dict[str, object]:
    """An edit of a limit."""
    return {"do": "limit", "section": section, "key": key, "side": side, "value": value, "unit": unit}


@pytest.mark.parametrize(
    ("edit", "line"),
    [
        (limit("goals", "hardness", "exactly", 62), "  hardness: 62"),
        (limit("goals", "hardness", "at_least", 55), "  hardness: {at_least: 55}"),
        (limit("goals", "mildness", "at_least", 61.5), "  mildness: {between: [61.5, 70]}"),
        (limit("goals", "mildness", "at_most", 72), "  mildness: {between: [60, 72]}"),
        (limit("goals", "mildness", "at_most", None), "  mildness: {at_least: 60}"),
        (limit("goals", "quick_lather", "at_least", 44), "  Quick Lather: {at_least: 44}"),
        (limit("goals", "quick_lather", "at_most", 48), "  Quick Lather: {at_least: 42, at_most: 48}"),
        (limit("goals", "superfat", "exactly", 6, "%"), "  superfat: {exactly: 6 %}"),
        (limit("goals", "superfat", "at_least", 4, "%"), "  superfat: {at_least: 4 %}"),
        (limit("goals", "trace_speed", "at_most", 31.5), "  trace_speed: {at_least: 25, at_most: 31.5}"),
        (limit("goals", "trace_speed", "at_least", None), "  trace_speed: {at_most: 33}"),
        (limit("goals", "cost", "at_most", 3, "EUR / kg"), "  cost: {at_most: 3.00 / kg}"),
        (limit("goals", "cost", "at_most", 2.65, "EUR / kg"), "  cost: {at_most: 2.65 / kg}"),
        (limit("shares", "rapeseed oil", "at_most", 25, "%"), "  canola oil: {at_most: 25 %}  # what the mill sells"),
        (
            limit("shares", "rapeseed oil", "at_least", 0, "%"),
            "  canola oil: {at_most: 20 %, at_least: 0 %}  # what the mill sells",
        ),
        (limit("shares", "hard oils", "at_least", 12.5, "%"), "  hard oils: {at_least: 12.5 %}"),
        ({"do": "size", "key": "bars", "value": "24"}, "batch: {bars: 24, cured_weight: 110 g}"),
        ({"do": "size", "key": "fats", "value": "2.5 kg"}, "batch: {cured_weight: 110 g, fats: 2.5 kg}"),
        ({"do": "put", "path": ["batch", "cured_weight"], "value": "95 g"}, "batch: {bars: 36, cured_weight: 95 g}"),
        ({"do": "text", "path": ["title"], "value": "Fine: #1"}, 'title: "Fine: #1"'),
        ({"do": "item", "path": ["free_from"], "value": "palm"}, "free_from: [palm]"),
        ({"do": "item", "path": ["design"], "value": "fine swirl"}, "design: [fine swirl]"),
        ({"do": "put", "path": ["fats", "at_most"], "value": "5"}, "  at_most: 5"),
    ],
)
def test_an_edit_is_a_line(edit: dict[str, object], line: str, tmp_path: Path) -> None:
    """The line is written as a person would, and the file still reads."""
    assert line in after(TEXT, edit, tmp_path).splitlines()


def test_the_last_side_takes_its_key_along(tmp_path: Path) -> None:
    """A limit that is dropped leaves no empty entry, and no empty section."""
    found = after(TEXT, limit("shares", "rapeseed oil", "at_most", None, "%"), tmp_path)
    assert "canola" not in found
    assert "shares" not in found
    assert "hardness" not in after(TEXT, limit("goals", "hardness", "exactly", None), tmp_path)


@pytest.mark.parametrize(
    "edit",
    [
        {"do": "magic"},
        {},
        limit("secrets", "hardness", "at_least", 5),
        {**limit("goals", "hardness", "at_least", 5), "value": "five"},
        {**limit("goals", "hardness", "at_least", 5), "value": True},
        {**limit("goals", "hardness", "sideways", 5)},
        {"do": "put", "path": [], "value": "1"},
        {"do": "put", "path": ["goals"], "value": "1\nshelf: x"},
        {"do": "item", "path": ["goals"], "value": "x"},
        {"do": "size", "key": "litres", "value": "3"},
    ],
)
def test_what_is_no_edit_is_refused(edit: dict[str, object]) -> None:
    """An edit that is none, or would write more than one line, changes nothing."""
    with pytest.raises((CannotEdit, ValueError)):
        edited(TEXT, None, edit)
