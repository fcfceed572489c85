"""What one blend is beside another, in a phrase: the kinds of its fats, its measures, and how much dearer it is.

A kind is told where so much of the fats more or less is of it, a measure where the difference is felt
(`measures.differences`), both the greatest first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from optimiser.measures.differences import differences
from optimiser.reference import rows

OF_KIND = 5.0  # % of the fats: less is no character
MOST_KINDS = 2
MOST_MEASURES = 3
EVEN = 0.05  # per cent of the cost: no dearer


@cache
def kind_words() -> Mapping[str, tuple[str, str]]:
    """For each kind of fats what is said of more of it, and of less."""
    return {row["kind"]: (row["more"], row["less"]) for row in rows("kind_words")}


def of_kinds(this: Mapping[str, float], beside: Mapping[str, float], kinds: Mapping[str, str]) -> tuple[str, ...]:
    """The kinds of fats of which there is clearly more or less in one blend than in another.

    Args:
        this: per cent of each fat.
        beside: the same of the other.
        kinds: the kind of each fat.
    """
    by_kind: dict[str, float] = {}
    for fat, change in changes(this, beside).items():
        by_kind[kinds[fat]] = by_kind.get(kinds[fat], 0.0) + change
    named = sorted(
        (kind for kind, change in by_kind.items() if abs(change) >= OF_KIND),
        key=lambda kind: (-abs(by_kind[kind]), kind),
    )
    return tuple(kind_words()[kind][by_kind[kind] < 0.0] for kind in named[:MOST_KINDS])


def of_one_fat(
    this: Mapping[str, float], beside: Mapping[str, float], others: Sequence[Mapping[str, float]]
) -> tuple[str, ...]:
    """Which fat takes most of another's place: the one that no other blend has as much of, or the two that grow the most.

    Args:
        this: per cent of each fat.
        beside: the same of the blend that it stands beside.
        others: the same of further blends, from which it should be told apart.
    """
    change = changes(this, beside)
    if not change:
        return ()
    own = {fat: this.get(fat, 0.0) - max((other.get(fat, 0.0) for other in others), default=0.0) for fat in change}
    telling = [fat for fat in change if own[fat] >= OF_KIND and change[fat] >= OF_KIND]
    grown = sorted((fat for fat in change if change[fat] > 0.0), key=lambda fat: (-change[fat], fat))
    more = [max(telling, key=lambda fat: own[fat])] if telling else grown[:2] if others else grown[:1]
    less = min(change, key=lambda fat: change[fat])
    return (f"{' and '.join(more)} for {less}",) if more and change[less] < 0.0 else ()


def changes(this: Mapping[str, float], beside: Mapping[str, float]) -> Mapping[str, float]:
    """How much more there is of each fat, in points of per cent; by name."""
    return {fat: this.get(fat, 0.0) - beside.get(fat, 0.0) for fat in sorted({*this, *beside})}


def of_measures(this: Mapping[str, float], beside: Mapping[str, float]) -> tuple[str, ...]:
    """The measures of which the difference is felt; what only mirrors another is not told twice."""
    felt = [item.change.brief for item in differences(beside, this) if item.is_felt]
    return tuple(felt[:MOST_MEASURES])


def dearer(percent: float) -> str:
    """How much dearer a blend is than the cheapest, in words."""
    if abs(percent) < EVEN:
        return "as cheap"
    digits = 0 if abs(percent) >= 1.0 else 1
    return f"{abs(percent):.{digits}f} % {'dearer' if percent > 0.0 else 'cheaper'}"
