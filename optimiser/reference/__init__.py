"""Facts as data: one table per file, every row with its status and its source."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of the table `name` (``"acids"`` reads acids.csv), in file order, every cell as text.

    The rows are shared between callers: read them, do not change them.

    Raises:
        FileNotFoundError: there is no such table.
    """
    text = (FOLDER / f"{name}.csv").read_text(encoding="utf-8")
    return _told(text.splitlines())


@cache
def _chapters(name: str) -> tuple[str, dict[str, list[str]]]:
    """The head line of a long table and its unparsed lines by their first cell, which is never quoted."""
    text = (FOLDER / f"{name}.csv").read_text(encoding="utf-8")
    head, *lines = text.splitlines()
    chapters: dict[str, list[str]] = {}
    for line in lines:
        chapters.setdefault(line.partition(",")[0], []).append(line)
    return head, chapters


def chapter(name: str, first_cell: str) -> tuple[dict[str, str], ...]:
    """The rows of a long table whose first cell is `first_cell`; only those lines are parsed. Empty when there are none.

    Raises:
        FileNotFoundError: there is no such table.
    """
    head, chapters = _chapters(name)
    return _told([head, *chapters.get(first_cell, ())])


def _told(lines: list[str]) -> tuple[dict[str, str], ...]:
    """Lines of a table, its head first, as one mapping each.

    Raises:
        ValueError: a line has other cells than the head names.
    """
    head, *told = csv.reader(lines)
    return tuple(dict(zip(head, cells, strict=True)) for cells in told)
