"""Ids of batches and numbers of lots as they are typed: one line that any file can hold, the same whenever it is typed again."""

from __future__ import annotations

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import shown
from optimiser.text.opening import typed
from optimiser.text.signs import holdable

MOST_NUMBER = 120  # letters


def number_told(text: str) -> str:
    """A lot's number, or a batch's id, on one line.

    Raises:
        BadInput: it is longer than any.
    """
    flat = holdable(" ".join(typed(text).split()))
    if len(flat) > MOST_NUMBER:
        raise BadInput([Diagnostic(Code.TOO_LONG, f"{shown(flat)} is longer than {MOST_NUMBER} letters", "shorten it")])
    return flat
