"""What each of a few blends is beside the cheapest, in a phrase that tells it from the others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from optimiser.answers.results import Blend
from optimiser.measures.characters import changes, dearer, of_kinds, of_measures, of_one_fat

CHEAPEST, NEAREST = "the cheapest", "the nearest"
FEW_TOUCHED = "the nearest that touches few fats"
SAME = 0.05  # per cent of the fats: no further from a recipe


def phrases(blends: Sequence[Blend], more: Sequence[float], changed: Sequence[float] = ()) -> tuple[str, ...]:
    """A phrase for each blend: kinds of fats, measures, cost; a fat by name where kinds do not tell it from the others.

    Args:
        blends: the first is the cheapest, or the nearest to a recipe in hand.
        more: by how many per cent of its cost each is dearer.
        changed: how much of the fats of that recipe each changes, per cent; nothing where there is none.
    """
    if not blends:
        return ()
    first, others = blends[0], blends[1:]
    shares = [shares_of(blend) for blend in blends]
    kinds = {line.lot_of or line.fat: line.kind for blend in blends for line in blend.fats}
    by_kind = [of_kinds(share, shares[0], kinds) for share in shares[1:]]
    far = [f"{share:.1f} % of the fats changed" if share >= SAME else "nothing changed" for share in changed]
    nearest = NEAREST if far and changed[0] <= min(changed) + SAME else FEW_TOUCHED
    told = [f"{nearest}, {far[0]}" if far else CHEAPEST]
    before: list[tuple[str, ...]] = [("",)]
    for place, blend in enumerate(others, start=1):
        beside = [share for at, share in enumerate(shares) if at != place]
        own = by_kind[place - 1]
        alike = not own or [set(one) for one in by_kind].count(set(own)) > 1
        fat = of_one_fat(shares[place], shares[0], beside) if alike else ()
        words = (*own, *fat, *of_measures(blend.figures, first.figures))
        same = before.index(words) if words in before else 0
        more_than = (f"more {most_more(shares[place], shares[same])} than {same + 1}",) if same else ()
        before.append(words)
        told.append(", ".join((*words, *more_than, *far[place : place + 1], dearer(more[place]))))
    return tuple(told)


def most_more(this: Mapping[str, float], beside: Mapping[str, float]) -> str:
    """The fat of which there is the most more."""
    change = changes(this, beside)
    return max(change, key=lambda fat: change[fat])


def shares_of(blend: Blend) -> Mapping[str, float]:
    """Per cent of each fat, its lots together."""
    found: dict[str, float] = {}
    for line in blend.fats:
        found[line.lot_of or line.fat] = found.get(line.lot_of or line.fat, 0.0) + line.share
    return found
