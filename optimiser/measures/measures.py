"""What a bar will be like: one linear figure per measure, from the acids of its fats and a few levers of the batch.

A fat's own value is the mean of its acids' weights (per cent by mass of the fatty acids), a half of it where only half
becomes soap, plus what acids do not tell. A blend's value is the mean of its fats' values plus the levers, each as far as
it is known. The figures
compare bars, they do not measure one; all of them are data in ``reference/measure*.csv``, each with its status.
"""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.fatty_acids import acids
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping


class Band(NamedTuple):
    """A word for a stretch of a measure: low <= value < high; None is open."""

    word: str
    low: float | None
    high: float | None


Curve = tuple[tuple[float, float], ...]
"""Points of a measure at amounts of something in per cent of the fats: from nothing on, straight in between, level beyond."""


class Levers(NamedTuple):
    """Points that the batch adds to a measure, per unit.

    free_oil: +1 % of the fats unreacted, above 5 %. water: +10 g per kg fats, above 280 g. potassium: +1 % of the
    alkali's moles. batter: +10 degC above 35 degC. gel: covered and gelled, 0 or 1. additives: +1 % of the fats of an
    additive, or of all hard waxes, as far as the first end of its curve. How far the others reach: `lever_ranges`.
    """

    free_oil: float
    water: float
    potassium: float
    batter: float
    gel: float
    additives: Mapping[str, float]
    curves: Mapping[str, Curve]


class Measure(NamedTuple):
    """One bar measure: what it is, how far it is to be trusted, its bands and its weights.

    `scale` is the step a maker would call a small change. `uncertainty` is the half-width on a blend in points, None
    where nobody can say; `coarse` is empty, "coarse" or "advice". `weights` are points by acid id: what the soap of
    that acid alone would have, with every lever at its reference. No figure is told below `floor`.
    """

    id: str
    words: str
    unit: str
    predicts: str
    high_means: str
    observed_by: str
    uncertainty: float | None
    coarse: str
    scale: float
    bands: tuple[Band, ...]
    weights: Mapping[str, float]
    status: str
    source: str
    floor: float | None = None

    def band(self, value: float) -> str:
        """The band's word at this value; empty where the measure has no bands."""
        for band in self.bands:
            if (band.low is None or value >= band.low) and (band.high is None or value < band.high):
                return band.word
        return ""


_TO_C14 = ("C4:0", "C6:0", "C8:0", "C10:0", "C12:0", "C14:0")
_FROM_C15 = (
    *("C15:0", "C16:0", "C17:0", "C18:0", "C18:0-OH", "C18:0-diOH"),
    *("C20:0", "C22:0", "C24:0", "C26:0", "C28:0", "C30:0", "C32:0"),
)
ACID_GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "short_saturated": _TO_C14,
        "long_saturated": _FROM_C15,
        "butyric_and_caproic": ("C4:0", "C6:0"),
        "saturated": (*_TO_C14, *_FROM_C15),
        "monounsaturated": (
            *("C10:1", "C14:1", "C16:1", "C17:1", "C18:1", "C18:1t", "C18:1-OH", "C20:1", "C22:1", "C24:1"),
        ),
        "polyunsaturated": ("C18:2", "C18:3", "C18:3g", "C18:3c", "C18:4", "C20:2", "C20:4", "C22:2"),
        "linolenic": ("C18:3", "C18:3g"),
    },
)
"""Groups of acids that a goal may speak of; a hydroxyl group does not move an acid to another group."""


class Part(NamedTuple):
    """A derived measure takes `factor` times (another measure less `counted_from`)."""

    of: str
    factor: float
    counted_from: float


@cache
def parts_of() -> Mapping[str, tuple[Part, ...]]:
    """What each derived measure takes of others."""
    table: dict[str, tuple[Part, ...]] = {}
    for row in rows("measure_derived"):
        part = Part(row["of"], float(row["factor"]), float(row["counted_from"]))
        table[row["measure"]] = (*table.get(row["measure"], ()), part)
    return table


@cache
def constants() -> Mapping[str, float]:
    """The constant of each measure, in points."""
    return {row["measure"]: float(row["constant"]) for row in rows("measures")}


@cache
def acid_weights_of(id: str) -> Mapping[str, float]:  # noqa: A002  # the id is what the tables call it
    """Points by acid for a measure that rests on acids; all 0 for one that does not."""
    weights = {}
    for row in rows("measure_weights"):
        for name in row["acids"].split("; "):
            weights[name] = float(row.get(id) or 0)
    return MappingProxyType({name: weights[name] for name in acids()})


@cache
def _resolved_weights(id: str) -> Mapping[str, float]:  # noqa: A002
    """The same with the constant and the other measures that a derived one takes."""
    own = acid_weights_of(id)
    parts = [(part, _resolved_weights(part.of)) for part in parts_of().get(id, ())]
    return MappingProxyType(
        {
            name: constants()[id]
            + own[name]
            + sum(part.factor * (weights[name] - part.counted_from) for part, weights in parts)
            for name in own
        },
    )


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


@cache
def _bands() -> Mapping[str, tuple[Band, ...]]:
    table: dict[str, tuple[Band, ...]] = {}
    for row in rows("measure_bands"):
        band = Band(row["word"], _number(row["low"]), _number(row["high"]))
        table[row["measure"]] = (*table.get(row["measure"], ()), band)
    return table


@cache
def measures() -> Mapping[str, Measure]:
    """Every bar measure by its id, in the order in which they are told."""
    table = {}
    for row in rows("measures"):
        name = row["measure"]
        table[name] = Measure(
            id=name,
            words=row["words"],
            unit=row["unit"],
            predicts=row["predicts"],
            high_means=row["high_means"],
            observed_by=row["observed_by"],
            uncertainty=_number(row["uncertainty"]),
            coarse=row["coarse"],
            scale=float(row["scale"]),
            bands=_bands().get(name, ()),
            weights=_resolved_weights(name),
            status=row["status"],
            source=row["source"],
            floor=_number(row["floor"]),
        )
    return MappingProxyType(table)


LEVER_FIELDS: Mapping[str, str] = MappingProxyType(
    {"free oil": "free_oil", "water": "water", "potassium": "potassium", "batter": "batter", "gel": "gel"}
)
"""Levers that are not amounts of something, by the field that holds their points."""


@cache
def levers(id: str) -> Levers:  # noqa: A002
    """What the batch adds to this measure; a derived one carries the levers of those it is made of.

    Raises:
        KeyError: no such measure.
    """
    points = _points("measure_levers", measures()[id].id)
    batch = {field: points[name] for name, field in LEVER_FIELDS.items()}
    additives = {name: value for name, value in points.items() if name not in LEVER_FIELDS}
    curves = {name: _curve(id, name, value) for name, value in additives.items() if value or _moved_later(id, name)}
    return Levers(**batch, additives=MappingProxyType(additives), curves=MappingProxyType(curves))


def _points(table: str, id: str) -> dict[str, float]:  # noqa: A002
    """Points by lever from a table, a measure's own and those of its parts."""
    points = {row["lever"]: float(row.get(id) or 0) for row in rows(table)}
    for part in parts_of().get(id, ()):
        for name, value in _points(table, part.of).items():
            points[name] += part.factor * value
    return points


def _moved_later(id: str, lever: str) -> bool:  # noqa: A002
    return bool(_points("lever_knots", id).get(lever))


def _curve(id: str, lever: str, slope: float) -> Curve:  # noqa: A002
    """From nothing to the end of the lever's range, and on to the knots that stand beyond it."""
    high = lever_ranges()[lever].high
    later = [float(row["at"]) for row in rows("lever_knots") if row["lever"] == lever]
    return ((0.0, 0.0), (high, slope * high), *((at, _points("lever_knots", id)[lever]) for at in later))


class LeverRange(NamedTuple):
    """How far a lever is known, from `low` to `high` in `unit`; `beyond` it is "level", or the measure is "unknown"."""

    lever: str
    unit: str
    low: float
    high: float
    beyond: str
    status: str
    note: str


@cache
def lever_ranges() -> Mapping[str, LeverRange]:
    """The range of every lever that has one, by name."""
    return MappingProxyType(
        {
            row["lever"]: LeverRange(
                *(row["lever"], row["unit"], float(row["low"]), float(row["high"]), row["beyond"]),
                *(row["status"], row["note"]),
            )
            for row in rows("lever_ranges")
        }
    )


@cache
def rests_on(lever: str) -> frozenset[str]:
    """The measures that a lever moves and that nobody knows beyond its range; none where they are level there."""
    known = lever_ranges()[lever]
    if known.beyond != "unknown":
        return frozenset()
    return frozenset(name for name in measures() if getattr(levers(name), LEVER_FIELDS[lever]))


@cache
def offsets_of(id: str) -> tuple[tuple[str, frozenset[str], float], ...]:  # noqa: A002
    """(what of the fat is compared, with which names, points) in the order of the table."""
    listed = [row for row in rows("measure_offsets") if row["measure"] == id]
    return tuple((row["match"], frozenset(row["key"].split("; ")), float(row["offset"])) for row in listed)
