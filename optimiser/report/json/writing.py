"""Plain dictionaries of numbers and words as the text of one JSON document."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any


def to_json(data: Mapping[str, Any]) -> str:
    """One JSON document, the same bytes for the same data; ASCII, so that it survives any pipe.

    A figure that is no number (not known, or without end) is null.
    """
    return json.dumps(_plain(data), indent=2, ensure_ascii=True, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:
    """Values that JSON can carry, numbers without minus zero, NaN or infinity."""
    if isinstance(value, Mapping):
        return {str(key): _plain(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(part) for part in value]
    if isinstance(value, bool) or value is None or isinstance(value, (int, str)):
        return value
    number = float(value)
    return number + 0.0 if math.isfinite(number) else None
