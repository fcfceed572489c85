"""What is wrong with a file, as values; printing them is somebody else's job."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple, Self

from optimiser.text.codes import Code
from optimiser.text.spans import Span


class Diagnostic(NamedTuple):
    """One fault, one cause.

    `code` is a stable short name (``unknown-fat``), `message` stands alone, `help` says what to write
    instead, `notes` hold the other half of the story (where the first of two duplicate keys stands). `about` is the fat
    of the shelf that a warning is on, where no goal and no recipe names it: of one that is not in the answer nobody asked.
    """

    code: Code
    message: str
    help: str = ""
    span: Span | None = None
    notes: tuple[tuple[str, Span | None], ...] = ()
    about: str = ""


def as_data(diagnostics: Iterable[Diagnostic]) -> list[dict[str, Any]]:
    """Faults as plain dictionaries, in the order given; `file`, `line` and `column` (from 1) are None without a place."""
    return [
        {
            "code": item.code,
            "message": item.message,
            "help": item.help,
            "file": item.span.file if item.span else None,
            "line": item.span.line if item.span else None,
            "column": item.span.column if item.span else None,
        }
        for item in diagnostics
    ]


class BadInput(Exception):
    """Every fault found in what the maker wrote, all at once.

    >>> from pathlib import Path
    >>> import optimiser
    >>> try:
    ...     optimiser.read_goals(Path("goals/not-there.yaml"))
    ... except optimiser.BadInput as bad:
    ...     print(bad.diagnostics[0].code)
    no-such-file
    """

    def __init__(self, diagnostics: Iterable[Diagnostic]) -> None:
        self.diagnostics = tuple(diagnostics)
        super().__init__("; ".join(item.message for item in self.diagnostics))


class Together:
    """Gathers the faults of several files: ``with faults: ...`` keeps what the block raised and goes on."""

    def __init__(self) -> None:
        self.found: list[Diagnostic] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        if isinstance(error, BadInput):
            self.found.extend(error.diagnostics)
            return True
        return False

    def settle(self) -> None:
        """Raises all that was kept, none of it twice.

        Raises:
            BadInput: there was any.
        """
        if self.found:
            raise BadInput(dict.fromkeys(self.found))
