"""From the facts told of a fat to its working figures: typical acids, saponification value, iodine value, density.

Sources give ranges; a blend needs one figure and how far it may be off. Every function here is pure, and knows no fat.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.fatty_acids import fat_density, iodine_value, saponification_range, saponification_value

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

Range = tuple[float, float]
Ends = tuple[float | None, float | None]


class Figure(NamedTuple):
    """A working value and the low and high end that a lot may have."""

    value: float
    low: float
    high: float


class Fact(NamedTuple):
    """One published figure. `told_of` is the name the fat carried in the source; `how` is read, memory or computed.

    An `alternative` is a second source or edition for a figure that already has one.
    """

    property: str
    low: float | None
    high: float | None
    unit: str
    source: str
    locator: str
    how: str
    note: str
    alternative: bool
    told_of: str


def picked(facts: Iterable[Fact], choice: str) -> dict[str, Fact]:
    """The facts of a chosen set, one per property.

    `choice` is a name the fat was told of ("peanut oil"), or that name and a word of the alternatives that take the
    place of the first figures ("peanut oil + older edition"); several choices are parted by semicolons, the first wins.
    """
    facts = tuple(facts)
    found: dict[str, Fact] = {}
    for one in choice.split(";"):
        told_of, _, word = one.partition(" + ")
        own = [fact for fact in facts if fact.told_of == told_of]
        preferred = [fact for fact in own if word and fact.alternative and word in f"{fact.note} {fact.source}"]
        for fact in (*preferred, *(fact for fact in own if not fact.alternative)):
            found.setdefault(fact.property, fact)
    return found


def acid_facts(facts: Mapping[str, Fact]) -> dict[str, Fact]:
    """Those of the facts that tell of an acid, by its id."""
    return {name: fact for name, fact in facts.items() if re.match(r"C\d", name)}


def acid_range(fact: Fact) -> Range:
    """The range an acid may lie in, per cent. A single figure is taken a tenth either way (our judgement)."""
    low, high = fact.low or 0.0, fact.high if fact.high is not None else 100.0
    return (0.9 * low, 1.1 * high) if low == high else (low, high)


def middle(fact: Fact) -> float:
    """The middle of a fact's range; 0 for an acid that is not detectable (Codex CXS 210: 0.05 % or less)."""
    low, high = fact.low or 0.0, fact.high if fact.high is not None else fact.low or 0.0
    return 0.0 if high <= 0.05 and not low else (low + high) / 2


def typical_acids(starts: Mapping[str, float], ranges: Mapping[str, Range]) -> dict[str, float]:
    """A profile that sums to 100 %, as near the starting shares as the ranges let it be.

    In proportion where every acid then stays inside its range; otherwise each acid present gives or takes in proportion to
    the room it has. Where the ranges leave no such profile, in proportion, and some acids lie outside.
    """
    held = {name: min(max(share, ranges[name][0]), ranges[name][1]) for name, share in starts.items()}
    total = sum(held.values())
    scaled = {name: 100 * share / total for name, share in held.items()}
    if inside(scaled, ranges):
        return scaled
    missing = 100 - total
    room = {
        name: (ranges[name][1] - share if missing > 0 else share - ranges[name][0]) if share else 0.0
        for name, share in held.items()
    }
    if sum(room.values()) < abs(missing):
        return scaled
    return {name: share + missing * room[name] / sum(room.values()) for name, share in held.items()}


def widened(ranges: Mapping[str, Range], typical: Mapping[str, float]) -> dict[str, Range]:
    """The ranges, each as wide as it must be to hold the typical share: a measured oil is one that lots may be."""
    return {name: (min(low, typical[name]), max(high, typical[name])) for name, (low, high) in ranges.items()}


def inside(profile: Mapping[str, float], ranges: Mapping[str, Range], slack: float = 1e-9) -> bool:
    """Whether every acid of the profile lies in its range."""
    return all(ranges[name][0] - slack <= share <= ranges[name][1] + slack for name, share in profile.items())


def clamped(value: float, low: float, high: float) -> float:
    """`value`, or the nearer end where it lies outside low to high."""
    return min(max(value, low), high)


def unsaponifiable_figure(fact: Fact | None, *, ends: Ends, typical: float | None) -> tuple[Figure, str]:
    """Unsaponifiable matter in g/kg, and a sentence where its value is our judgement.

    The middle of the published range; half of the maximum, which is the same, where only a maximum is published.
    """
    low, high = (fact.low or 0.0, fact.high or 0.0) if fact else (0.0, 0.0)
    low, high = (low if ends[0] is None else ends[0]), (high if ends[1] is None else ends[1])
    if typical is not None:
        return Figure(typical, low, high), ""
    said = f"Only a maximum of unsaponifiable matter is published ({high:g} g/kg): half of it is taken as typical."
    return Figure((low + high) / 2, low, high), said if high and not low else ""


class Composition(NamedTuple):
    """What a fat is made of: typical acids and their ranges (%), unsaponifiable matter (g/kg), free acids or glycerides."""

    acids: Mapping[str, float]
    ranges: Mapping[str, Range]
    unsaponifiable: Figure
    free: bool = False


NEAREST, NEAREST_UNCERTAIN = 0.01, 0.02
"""How near the ends of a saponification value ever come to its working value, as shares of it: where the acids are read
from many lots, and where they are recalled from memory or those of few samples (our judgement)."""
MUCH_UNSAPONIFIABLE = 20.0
"""g/kg: above it acids and unsaponifiable matter alone say too little, since part of the matter is esters that take alkali
(our judgement; in shea butter esters of triterpene alcohols)."""


def saponification_figure(
    made_of: Composition,
    published: Ends,
    *,
    nearest: float = NEAREST,
    measured: float | None = None,
) -> tuple[Figure, str]:
    """The saponification value that counts towards alkali (mg KOH/g), and a sentence where acids and sources disagree.

    The working value is what the typical acids less typical unsaponifiables take, or what was `measured`, which is counted
    only where the unsaponifiables exceed 20 g/kg. It is brought down to the highest published value and never up to the
    lowest. The low end, the worst case, is the lower of the lowest published value and of the least that the acids'
    ranges allow, less the most unsaponifiables (of the published alone where a measured value is counted, since what the
    acids leave is then too little); `nearest` keeps it that share away from the working value at least. The high end is
    its mirror image.
    """
    unsaponifiable = made_of.unsaponifiable
    own = saponification_value(made_of.acids, unsaponifiable=unsaponifiable.value, free=made_of.free)
    reached = saponification_range(
        made_of.ranges,
        unsaponifiable=(unsaponifiable.low, unsaponifiable.high),
        free=made_of.free,
    )
    trusted = measured is not None and unsaponifiable.value > MUCH_UNSAPONIFIABLE
    value = measured if trusted and measured is not None else own
    said = "" if trusted else _disagreement(own, published)
    value = value if published[1] is None else min(value, published[1])
    bounds = (published,) if trusted and None not in published else (published, reached)
    return _around(value, bounds, nearest), " ".join(filter(None, (said, _matter(made_of, trusted=trusted))))


def acid_value_figure(published: Ends, *, nearest: float = NEAREST) -> Figure:
    """The acid value of a wax (mg KOH/g), all of it that counts towards alkali: the middle of the published range."""
    low, high = published[0] or 0.0, published[1] or 0.0
    return _around((low + high) / 2, (published,), nearest)


def _around(value: float, ranges: Iterable[Ends], nearest: float) -> Figure:
    """The working value, and the outermost ends that any of the ranges gives it."""
    told = tuple(ranges)
    lows = [low for low, _ in told if low is not None]
    highs = [high for _, high in told if high is not None]
    return Figure(value, min([*lows, value * (1 - nearest)]), max([*highs, value * (1 + nearest)]))


def _disagreement(own: float, published: Ends) -> str:
    """What is done where the typical acids stand for a saponification value outside the published ones."""
    low, high = published
    told = f"Its typical acids stand for a saponification value of {own:.1f}, {{}}"
    if low is not None and own < low:
        return told.format(f"under the lowest published, {low:g}: the lower one is worked with.")
    if high is not None and own > high:
        return told.format(f"over the highest published, {high:g}, which is worked with instead.")
    return ""


def _matter(made_of: Composition, *, trusted: bool) -> str:
    """What must be said of a fat with much unsaponifiable matter."""
    if made_of.free or made_of.unsaponifiable.value <= MUCH_UNSAPONIFIABLE:
        return ""
    if trusted:
        return (
            f"It holds more than {MUCH_UNSAPONIFIABLE:g} g/kg of unsaponifiable matter, part of it esters that take alkali: "
            "the working saponification value is that of real lots, not what the acids leave."
        )
    return (
        f"It holds more than {MUCH_UNSAPONIFIABLE:g} g/kg of unsaponifiable matter, and no measured saponification value that "
        "could be trusted is at hand: if part of the matter is esters, lots take more alkali than is worked with."
    )


def iodine_figure(made_of: Composition, published: Ends) -> tuple[Figure, str]:
    """Iodine value (g I2/100 g) from the typical acids, held inside the published range, which gives the ends."""
    own = iodine_value(made_of.acids, free=made_of.free)
    low = min(own, published[1] or own) if published[0] is None else published[0]
    high = max(own, low) if published[1] is None else published[1]
    said = (
        f"Its typical acids stand for an iodine value of {own:.1f}, outside {low:g}-{high:g}: the nearer end is used."
    )
    return Figure(clamped(own, low, high), low, high), "" if low <= own <= high else said


_WATER = {"15.5": 0.9990, "20": 0.9982, "25": 0.9970}
"""Density of water, kg/L, at the temperatures that relative densities refer to (CRC Handbook, memory)."""
_TEMPERATURES = re.compile(r"x=([\d.]+) degC / water ([\d.]+) degC")
_BELIEVED = 0.008


def density_at_40(fact: Fact | None, saponification: float, iodine: float) -> float:
    """Density at 40 degC, kg/L.

    The middle of the published relative density, brought to 40 degC at -0.00068 kg/L per kelvin, where it names both its
    temperatures and comes within 0.008 of what Lund's relation expects; otherwise Lund's.
    """
    expected = fat_density(saponification, iodine, 40)
    told = _TEMPERATURES.search(fact.note) if fact else None
    if fact is None or told is None or fact.low is None or fact.high is None:
        return expected
    published = (fact.low + fact.high) / 2 * _WATER[told[2]] - 0.00068 * (40 - float(told[1]))
    return published if abs(published - expected) <= _BELIEVED else expected
