"""One side of one wish, as a value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from optimiser.measures.practice import Rule
from optimiser.text.spans import Span

Side = Literal["at_least", "at_most", "exactly"]

AT_LEAST: Side = "at_least"
AT_MOST: Side = "at_most"
EXACTLY: Side = "exactly"
NOWHERE = Span("", 0, 0, 0, "")


def as_limit(rule: Rule) -> Limit:
    """A rule of the house as a limit."""
    words = f"house practice: {rule.name.removesuffix(' at least').removesuffix(' at most')}"
    sign = " %" if rule.unit == "%" else ""
    said = f"{words} {rule.side.replace('_', ' ')} {rule.value:g}{sign}"
    side = rule.side
    return Limit(rule.key, rule.subject, side, rule.value, rule.unit, said, NOWHERE)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class Limit:
    """One side of one wish.

    `key` is the canonical name (a quantity's id, a fat, "hard oils", "solid fats", a tag, an additive); `subject` says
    which of these it is: "quantity", "fat", "kind", "group", "tag", "additive" or "count". `said` are the maker's own
    words with the unit. `per` ("kg", "bar" or "lb") and `currency` (as written, or "") belong to the cost alone.
    """

    key: str
    subject: str
    side: Side
    value: float
    unit: str
    said: str
    span: Span
    per: str = ""
    currency: str = ""
