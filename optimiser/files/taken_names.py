"""Names that stand for something already: a fat of a maker's own that bore one would be taken for it, or it for the fat."""

from __future__ import annotations

from optimiser.files.keys import find_alkali, find_kind
from optimiser.files.pointers import SECTIONS
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.liquids import find_liquid
from optimiser.measures.quantities import find_quantity
from optimiser.measures.shares import tag_called
from optimiser.text.names import fold

SIDES = ("at_least", "at_most", "exactly", "between", "each_at_least")
COUNTED = ("number of fats", "each fat", "all fats", "fat")
_PARTS = frozenset(map(fold, (*SECTIONS, *SIDES, *COUNTED)))


def stands_for(name: str) -> str | None:
    """What a name stands for besides a fat, in words; None where it is free."""
    for called in dict.fromkeys((name, fold_fat(name))):
        found = _stands_for(called)
        if found is not None:
            return found
    return None


def _stands_for(name: str) -> str | None:
    alkali, additive, kind, quantity = find_alkali(name), find_additive(name), find_kind(name), find_quantity(name)
    liquid = find_liquid(name)
    tag = tag_called(name)
    meanings = (
        ("the water of every batch", fold(name) == "water"),
        (f"the alkali {alkali}", alkali),
        (f"the additive {additive.name if additive else ''}", additive),
        (f"the liquid {liquid.name if liquid else ''}", liquid),
        (f"all {kind} together", kind),
        (f"everything with the tag '{tag}'", tag),
        (f"a goal: {quantity.words if quantity else ''}", quantity),
        ("a part of a goal file or a recipe", fold(name) in _PARTS),
    )
    return next((words for words, found in meanings if found), None)
