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


def saponification_figure(made_of: Composition, published: Ends, *, ends: str) -> tuple[Figure, str]:
    """The saponification value that counts towards alkali (mg KOH/g), and a sentence where acids and sources disagree.

    The working value comes from the typical acids less typical unsaponifiables, held inside the published range: that range
    is often wider than the composition can produce. Low and high end are what the acids' ranges allow at their
    worst, less the published unsaponifiables, met with the published range; `ends` = "published" takes that range as it
    stands, where the acids are too few samples' to bound anything.
    """
    unsaponifiable = made_of.unsaponifiable
    own = saponification_value(made_of.acids, unsaponifiable=unsaponifiable.value, free=made_of.free)
    reached = saponification_range(
        made_of.ranges,
        unsaponifiable=(unsaponifiable.low, unsaponifiable.high),
        free=made_of.free,
    )
    outer = (reached[0] if published[0] is None else published[0], reached[1] if published[1] is None else published[1])
    low, high = (max(reached[0], outer[0]), min(reached[1], outer[1])) if ends == "acids" else outer
    if low > high:
        low, high = outer
    value = clamped(clamped(own, *outer), low, high)
    return Figure(value, low, high), _disagreement("a saponification value of", own, outer)


def iodine_figure(made_of: Composition, published: Ends) -> tuple[Figure, str]:
    """Iodine value (g I2/100 g) from the typical acids, held inside the published range, which gives the ends."""
    own = iodine_value(made_of.acids, free=made_of.free)
    low = min(own, published[1] or own) if published[0] is None else published[0]
    high = max(own, low) if published[1] is None else published[1]
    return Figure(clamped(own, low, high), low, high), _disagreement("an iodine value of", own, (low, high))


def _disagreement(what: str, own: float, outer: Range) -> str:
    if outer[0] <= own <= outer[1]:
        return ""
    return f"Its typical acids stand for {what} {own:.1f}, outside {outer[0]:g}-{outer[1]:g}: the nearer end is used."


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
