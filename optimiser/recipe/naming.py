"""Names as a person lists them."""

from __future__ import annotations


def listed(names: list[str]) -> str:
    """Names as a person lists them."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
