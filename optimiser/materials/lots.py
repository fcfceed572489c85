"""How far under its working saponification value real lots of a fat lie: from measured lots where there are any, else by class of fat.

Published limits say what a lot may be; this says what lots are. The figures are data: ``reference/lot_spreads.csv``, one row
a fat (mg KOH/g) and one row a class (per cent of the working value; empty where the published ends are all there is), each with its source and reason.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.composition import MUCH_UNSAPONIFIABLE
from optimiser.materials.fatty_acids import acid
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping

    from optimiser.materials.composition import Figure

LONG_CHAIN, MANY_LONG_CHAINS = 20, 20.0
"""Carbons from which a chain is long, and the per cent of such acids from which a fat is one of long chains."""
CLASSES = (
    *(
        "wax",
        "fatty acid",
        "few samples",
        "much unsaponifiable",
        "lauric",
        "animal fat",
        "long chains",
        "recalled",
        "read",
    ),
)
"""A fat is of the first class that fits."""
PER_CENT = "% of the value"


class Known(NamedTuple):
    """What decides the class of a fat: kind, tags, typical acids (%), unsaponifiable matter (g/kg), and how well it is known."""

    kind: str
    tags: frozenset[str]
    acids: Mapping[str, float]
    unsaponifiable: float
    few_samples: bool
    recalled: bool


@cache
def _told() -> Mapping[str, Mapping[str, str]]:
    return {row["about"]: row for row in rows("lot_spreads")}


def class_of(known: Known) -> str:
    """The class of a fat, one of `CLASSES`."""
    long = sum(share for name, share in known.acids.items() if acid(name).carbons >= LONG_CHAIN)
    fits = {
        "wax": known.kind == "wax",
        "fatty acid": known.kind == "fatty acid",
        "few samples": known.few_samples,
        "much unsaponifiable": known.unsaponifiable > MUCH_UNSAPONIFIABLE,
        "lauric": "lauric" in known.tags,
        "animal fat": "animal" in known.tags,
        "long chains": long >= MANY_LONG_CHAINS,
        "recalled": known.recalled,
    }
    return next((name for name in CLASSES if fits.get(name)), "read")


def spread_of(name: str, known: Known, worst: Figure) -> tuple[float, str]:
    """How far under the working value 95 % of lots lie at most, in mg KOH/g, and a sentence that says from where.

    `worst` is the working value with its published ends; a wax has no narrower figure than those.

    Raises:
        KeyError: a class without a row (a fault of the data).
    """
    row = _told().get(name) or _told()[class_of(known)]
    if not row["spread"]:
        spread = worst.value - worst.low
    elif row["unit"] == PER_CENT:
        spread = float(row["spread"]) / 100 * worst.value
    else:
        spread = float(row["spread"])
    return spread, f"Likely spread of lots, {spread:.1f} mg KOH/g: {row['note']}"


def holding(worst: Figure, spread: float) -> Figure:
    """The working value with ends that hold the likely spread too: the worst case is never the narrower of the two."""
    low, high = worst.value - spread, worst.value + spread
    return worst._replace(low=min(worst.low, low), high=max(worst.high, high))
