"""Where something was said: a place in a file, carried as a value by what is asked and told back by whoever shows it.

Rooms that know no files take the value from here; only `text/` makes one from a text.
"""

from __future__ import annotations

from optimiser.text.spans import Span

__all__ = ["Span", "in_file"]


def in_file(span: Span) -> Span | None:
    """The place, if it is one in a file: what the house or a Python caller asks for stands in no line of any."""
    return span if span.line else None
