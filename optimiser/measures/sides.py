"""Which side of a figure a wish or a rule keeps to, and what kind of thing the figure is of."""

from __future__ import annotations

from enum import StrEnum


class Side(StrEnum):
    """The side of a figure, as files and JSON write it."""

    AT_LEAST = "at_least"
    AT_MOST = "at_most"
    EXACTLY = "exactly"

    @property
    def words(self) -> str:
        """As a person says it: "at least"."""
        return self.replace("_", " ")


class SubjectKind(StrEnum):
    """What a limit may be on."""

    QUANTITY = "quantity"
    FAT = "fat"
    BASE = "base"  # a fat and all that are built on it
    EACH = "each"  # every fat by itself
    PINCH = "pinch"  # every fat of which there is any
    KIND = "kind"
    GROUP = "group"
    TAG = "tag"
    ADDITIVE = "additive"
    LIQUID = "liquid"
    COUNT = "count"
