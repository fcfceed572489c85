"""The cells of a spreadsheet's text, each with its place: what parts them, quotes, rows that hold something."""

from __future__ import annotations

import re

from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.nodes import Text
from optimiser.text.spans import Span

MOST_ROWS = 1_000
MOST_CELLS = 200  # of one row


def delimiter_of(lines: tuple[str, ...]) -> tuple[str, int]:
    """What parts the cells, and the first line that holds any (from 0)."""
    for number, line in enumerate(lines):
        marked = re.fullmatch(r"\s*sep=(.)\s*", line, re.IGNORECASE)
        if marked:
            return marked.group(1), number + 1
        if line.strip() and not line.startswith("#"):
            outside = re.sub(r'"[^"]*"', "", line)
            return max(",;\t", key=outside.count), number
    return ",", len(lines)


def rows_of(
    lines: tuple[str, ...], file: str, delimiter: str, first: int, most: int = MOST_ROWS
) -> tuple[list[list[Text]], list[Diagnostic]]:
    """Every row that holds something, cell by cell with its place; of more than `most` one that says so."""
    records: list[list[Text]] = []
    number = first
    while number < len(lines) and len(records) <= most + 1:
        if lines[number].startswith("#"):
            number += 1
            continue
        cells: list[Text] = []
        column: int | None = 0
        while column is not None and len(cells) <= MOST_CELLS:
            cell, number, column = _cell(lines, file, number, column, delimiter)
            if cell is None:
                span = Span(file, number + 1, (column or 0) + 1, len(lines[number]) + 1, lines[number])
                return records, [Diagnostic(Code.OPEN_QUOTE, "this quote is never closed", 'close it with "', span)]
            cells.append(cell)
        cut = column is not None and lines[number].strip(f"{delimiter} \t")
        if cut or any(cell.strip() for cell in cells):
            records.append(cells)
        number += 1
    return records, []


def _cell(
    lines: tuple[str, ...], file: str, number: int, column: int, delimiter: str
) -> tuple[Text | None, int, int | None]:
    """One cell from a place on; then the line it ends on, and the column of the next cell if there is one.

    For a quote that is never closed the cell is None and the place is that of the quote.
    """
    line = lines[number]
    start = column
    while line[start : start + 1] == " ":
        start += 1
    if line[start : start + 1] != '"':
        end = line.find(delimiter, column)
        stop = len(line) if end < 0 else end
        raw = line[column:stop]
        lead = len(raw) - len(raw.lstrip())
        left = column + (lead if raw.strip() else 0)
        span = Span(file, number + 1, left + 1, max(left + len(raw.strip()), left) + 1, line)
        return Text(raw.strip(), span), number, None if end < 0 else end + 1
    parts, at, here = [], start + 1, number
    while True:
        close = lines[here].find('"', at)
        if close < 0:
            parts.append(lines[here][at:] + " ")
            here, at = here + 1, 0
            if here >= len(lines):
                return None, number, start
        elif lines[here][close + 1 : close + 2] == '"':
            parts.append(lines[here][at : close + 1])
            at = close + 2
        else:
            parts.append(lines[here][at:close])
            break
    end = lines[here].find(delimiter, close + 1)
    tail = lines[here][close + 1 : len(lines[here]) if end < 0 else end].rstrip()
    span = Span(file, number + 1, start + 1, (close + 2) if here == number else len(line) + 1, line)
    return Text(("".join(parts) + tail).strip(), span), here, None if end < 0 else end + 1
