"""Parts of a sweep as they are kept in its folder: each says what it is a part of, and one that is not whole is done anew."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from optimiser.analysis.sweep_parts import PartAnswer

COUNTS = ("first", "last", "solved", "alone")


class Place(NamedTuple):
    """Where a part belongs: the hash of what it is worked out from, its scenarios from one number to another, and how many columns there are."""

    case: str
    first: int
    last: int
    width: int


def arrays_of(answer: PartAnswer, place: Place) -> dict[str, Any]:
    """A part as it is kept."""
    counts = {"solved": answer.solved, "alone": answer.alone, "first": place.first, "last": place.last}
    of = {name: np.array(count, dtype=np.int64) for name, count in counts.items()}
    return answer._asdict() | of | {"case": np.array(place.case)}


def unpacked(arrays: Mapping[str, Any] | None, place: Place) -> PartAnswer | None:
    """A part that was kept; None where there is none, or it is no whole part that belongs there."""
    if arrays is None or not belongs(arrays, place) or not is_whole(arrays, place):
        return None
    numbers, costs, kept, points = (arrays[name] for name in ("numbers", "costs", "kept", "points"))
    return PartAnswer(numbers.astype(np.intp), costs, kept, points, int(arrays["solved"]), int(arrays["alone"]))


def belongs(arrays: Mapping[str, Any], place: Place) -> bool:
    """Whether it has all that a part has, and says that it is of this place."""
    if set(arrays) != {*PartAnswer._fields, "first", "last", "case"}:
        return False
    if any(arrays[name].shape or arrays[name].dtype.kind != "i" for name in COUNTS) or arrays["case"].shape:
        return False
    return (str(arrays["case"]), int(arrays["first"]), int(arrays["last"])) == place[:3]


def is_whole(arrays: Mapping[str, Any], place: Place) -> bool:
    """Whether its arrays have the shapes and kinds of a part, and figures where there must be some."""
    numbers, costs, kept, points = (arrays[name] for name in ("numbers", "costs", "kept", "points"))
    if numbers.dtype.kind != "i" or any(one.dtype != np.float64 for one in (costs, kept, points)):
        return False
    if any(one.shape != (place.last - place.first,) for one in (numbers, costs, kept)):
        return False
    if points.ndim != 2 or points.shape[1] != place.width or (numbers >= len(points)).any():
        return False
    return all(bool(np.isfinite(one).all()) for one in (costs[numbers >= 0], kept, points))
