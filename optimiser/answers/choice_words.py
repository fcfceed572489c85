"""What each of a few blends is beside the cheapest, in a phrase that tells it from the others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from optimiser.answers.results import Blend
from optimiser.measures.differences import dearer, of_kinds, of_measures, of_one_fat

CHEAPEST = "the cheapest"


def phrases(blends: Sequence[Blend], more: Sequence[float]) -> tuple[str, ...]:
    """A phrase for each blend: kinds of fats, measures, cost; a fat by name where kinds do not tell it from the others.

    Args:
        blends: the first is the cheapest.
        more: by how many per cent of its cost each is dearer.
    """
    if not blends:
        return ()
    first, others = blends[0], blends[1:]
    shares = [shares_of(blend) for blend in blends]
    kinds = {line.fat: line.kind for blend in blends for line in blend.fats}
    by_kind = [of_kinds(share, shares[0], kinds) for share in shares[1:]]
    told = [CHEAPEST]
    for place, blend in enumerate(others):
        beside = [share for at, share in enumerate(shares) if at != place + 1]
        alike = not by_kind[place] or [set(one) for one in by_kind].count(set(by_kind[place])) > 1
        fat = of_one_fat(shares[place + 1], shares[0], beside) if alike else ()
        measures = of_measures(blend.figures, first.figures)
        told.append(", ".join((*by_kind[place], *fat, *measures, dearer(more[place + 1]))))
    return tuple(told)


def shares_of(blend: Blend) -> Mapping[str, float]:
    """Per cent of each fat."""
    return {line.fat: line.share for line in blend.fats}
