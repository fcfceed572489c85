"""Where something was written: file, line, column and the line itself."""

from __future__ import annotations

from typing import NamedTuple


class Span(NamedTuple):
    """A stretch of one line of a file. Lines and columns count from 1."""

    file: str
    line: int
    column: int
    end_column: int
    text: str  # the whole line as written, without its line break

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
