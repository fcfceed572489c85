"""How unsure a figure is that was not measured on the fat itself: borrowed from another, or told without a certificate."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from optimiser.materials.composition import Figure
from optimiser.reference import rows
from optimiser.text.names import COMMON, fold

if TYPE_CHECKING:
    from collections.abc import Mapping

INFUSED = frozenset(("infusion", "infused", "macerate", "macerated", "maceration"))


def is_infusion(name: str, oil: str) -> bool:
    """Whether a name says that it is an oil with herbs in it ("calendula olive infusion"): that oil by another name."""
    words = set(fold(name).split())
    return bool(words & INFUSED) and set(fold(oil).split()) - COMMON <= words


def widened(figure: Figure, case: str) -> Figure:
    """The figure with ends at least as far off as the case calls for, which stands in `reference/borrowed_ends.csv`.

    Args:
        figure: a saponification value with the ends that it has.
        case: a kind of fat whose figure is borrowed, "infusion", "told" (without a certificate) or "alone".

    Raises:
        KeyError: no such case.
    """
    off = _parts()[case] * figure.value
    return Figure(figure.value, max(0.0, min(figure.low, figure.value - off)), max(figure.high, figure.value + off))


@cache
def _parts() -> Mapping[str, float]:
    """By case, how far off as a part of the figure."""
    return {row["case"]: float(row["per_cent"]) / 100.0 for row in rows("borrowed_ends")}
