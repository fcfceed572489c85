"""How long a bar is cured, as people write it: "6 weeks", "40 days", "3 months"."""

from __future__ import annotations

from typing import Any

from optimiser.files.fields import TEXT
from optimiser.text.durations import read_weeks
from optimiser.text.forms import Read, scalar
from optimiser.text.names import fold
from optimiser.text.nodes import Node

KEY = "cure"
UNIT = "weeks"


def is_cure(key: str) -> bool:
    """Whether a key under `goals` speaks of the cure."""
    return fold(key) in {"cure", "cured for", "curing", "curing time", "cure time"}


def _weeks(node: Node, what: str, _: Any) -> float:
    return read_weeks(scalar(node, what), what)


CURE: Read[float | None] = Read(KEY, _weeks, TEXT)
