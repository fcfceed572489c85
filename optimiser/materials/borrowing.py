"""How unsure a figure is that was not measured on the fat itself: borrowed from another, or told without a certificate."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from optimiser.materials.composition import Figure
from optimiser.reference import rows
from optimiser.text.names import COMMON, fold

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

INFUSED = frozenset(("infusion", "infused", "macerate", "macerated", "maceration"))
INFUSED_TAG = "infused"
"""The tag by which a maker says so where the name does not."""


def is_infusion(name: str, oil: str, tags: Iterable[str] = ()) -> bool:
    """Whether a name or a tag says that a fat is an oil with herbs in it ("calendula olive infusion"): that very oil.

    Args:
        name: what the maker calls it; where it names another fat of the table and not `oil`, it is no infusion of that.
        oil: the fat that it is like.
        tags: its own.
    """
    words = set(fold(name).split())
    if not INFUSED & (words | {fold(tag) for tag in tags}):
        return False
    return _set_apart(oil) <= words or not any(other <= words for other in _fats())


def widened(figure: Figure, case: str) -> Figure:
    """The figure with ends at least as far off as the case calls for, which stands in `reference/borrowed_ends.csv`.

    Args:
        figure: a saponification value with the ends that it has.
        case: a kind of fat whose figure is borrowed, "told" (without a certificate) or "alone".

    Raises:
        KeyError: no such case.
    """
    off = _parts()[case] * figure.value
    return Figure(figure.value, max(0.0, min(figure.low, figure.value - off)), max(figure.high, figure.value + off))


def _set_apart(name: str) -> frozenset[str]:
    return frozenset(fold(name).split()) - COMMON


@cache
def _fats() -> tuple[frozenset[str], ...]:
    """The words that set each fat of the table apart."""
    return tuple(words for row in rows("fats") if (words := _set_apart(row["fat"])))


@cache
def _parts() -> Mapping[str, float]:
    """By case, how far off as a part of the figure."""
    return {row["case"]: float(row["per_cent"]) / 100.0 for row in rows("borrowed_ends")}
