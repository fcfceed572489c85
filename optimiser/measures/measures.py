"""What a bar will be like: one linear figure per measure, from the acids of its fats and a few levers of the batch.

A fat's own value is the mean of its acids' weights (per cent by mass of the fatty acids), halved where only half of it
becomes soap, plus what acids do not tell. A blend's value is the mean of its fats' values plus the levers. The figures
compare bars, they do not measure one; all of them are data in ``reference/measure*.csv``, each with its status.
"""

from __future__ import annotations

from functools import cache, cached_property, reduce
from itertools import chain
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.fatty_acids import acids
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy import float64
    from numpy.typing import NDArray

    from optimiser.materials.fat import Fat


class Band(NamedTuple):
    """A word for a stretch of a measure: low <= value < high; None is open."""

    word: str
    low: float | None
    high: float | None


class Levers(NamedTuple):
    """Points that the batch adds to a measure, per unit.

    free_oil: +1 % of the fats unreacted, above 5 %. water: +10 g per kg fats, above 280 g. potassium: +1 % of the
    alkali's moles. batter: +10 degC above 35 degC. gel: covered and gelled, 0 or 1. additives: +1 % of the fats.
    """

    free_oil: float
    water: float
    potassium: float
    batter: float
    gel: float
    additives: Mapping[str, float]


class Measure(NamedTuple):
    """One bar measure: what it is, how far it is to be trusted, its bands and its weights.

    `scale` is the step a maker would call a small change. `uncertainty` is the half-width on a blend in points, None
    where nobody can say; `coarse` is empty, "coarse" or "advice". `weights` are points by acid id: what the soap of
    that acid alone would have, with every lever at its reference.
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

    def band(self, value: float) -> str:
        """The band's word at this value; empty where the measure has no bands."""
        for band in self.bands:
            if (band.low is None or value >= band.low) and (band.high is None or value < band.high):
                return band.word
        return ""


_SATURATED = (
    *("C4:0", "C6:0", "C8:0", "C10:0", "C12:0", "C14:0", "C15:0", "C16:0", "C17:0", "C18:0", "C18:0-diOH"),
    *("C20:0", "C22:0", "C24:0", "C26:0", "C28:0", "C30:0", "C32:0"),
)
ACID_GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "lauric_and_myristic": ("C12:0", "C14:0"),
        "palmitic_and_stearic": ("C16:0", "C18:0"),
        "short_chain": ("C4:0", "C6:0"),
        "saturated": _SATURATED,
        "monounsaturated": (
            *("C10:1", "C14:1", "C16:1", "C17:1", "C18:1", "C18:1t", "C18:1-OH", "C20:1", "C22:1", "C24:1"),
        ),
        "polyunsaturated": ("C18:2", "C18:3", "C18:3g", "C18:4", "C20:2", "C20:4", "C22:2"),
        "linolenic": ("C18:3", "C18:3g"),
    },
)
"""Groups of acids that a goal may speak of; a hydroxyl group does not move an acid to another group."""


class _Part(NamedTuple):
    """A derived measure takes `factor` times (another measure less `counted_from`)."""

    of: str
    factor: float
    counted_from: float


@cache
def _parts() -> Mapping[str, tuple[_Part, ...]]:
    table: dict[str, tuple[_Part, ...]] = {}
    for row in rows("measure_derived"):
        part = _Part(row["of"], float(row["factor"]), float(row["counted_from"]))
        table[row["measure"]] = (*table.get(row["measure"], ()), part)
    return table


@cache
def _constants() -> Mapping[str, float]:
    return {row["measure"]: float(row["constant"]) for row in rows("measures")}


@cache
def _acid_weights(id: str) -> Mapping[str, float]:  # noqa: A002  # the id is what the tables call it
    """Points by acid for a measure that rests on acids; all 0 for one that does not."""
    weights = {}
    for row in rows("measure_weights"):
        for name in row["acids"].split("; "):
            weights[name] = float(row.get(id) or 0)
    return MappingProxyType({name: weights[name] for name in acids()})


@cache
def _resolved_weights(id: str) -> Mapping[str, float]:  # noqa: A002
    """The same with the constant and the other measures that a derived one takes."""
    own = _acid_weights(id)
    parts = [(part, _resolved_weights(part.of)) for part in _parts().get(id, ())]
    return MappingProxyType(
        {
            name: _constants()[id]
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
        )
    return MappingProxyType(table)


_LEVERS = {"free oil": "free_oil", "water": "water", "potassium": "potassium", "batter": "batter", "gel": "gel"}


@cache
def levers(id: str) -> Levers:  # noqa: A002
    """What the batch adds to this measure; a derived one carries the levers of those it is made of.

    Raises:
        KeyError: no such measure.
    """
    points = _lever_points(measures()[id].id)
    batch = {field: points[name] for name, field in _LEVERS.items()}
    additives = {name: value for name, value in points.items() if name not in _LEVERS}
    return Levers(**batch, additives=MappingProxyType(additives))


def _lever_points(id: str) -> dict[str, float]:  # noqa: A002
    """Points per unit by lever, its own and those of its parts."""
    points = {row["lever"]: float(row.get(id) or 0) for row in rows("measure_levers")}
    for part in _parts().get(id, ()):
        for name, value in _lever_points(part.of).items():
            points[name] += part.factor * value
    return points


@cache
def _offsets(id: str) -> tuple[tuple[str, frozenset[str], float], ...]:  # noqa: A002
    """(what of the fat is compared, with which names, points) in the order of the table."""
    listed = [row for row in rows("measure_offsets") if row["measure"] == id]
    return tuple((row["match"], frozenset(row["key"].split("; ")), float(row["offset"])) for row in listed)


class Profiles:
    """The acids of n fats side by side, so that a figure of them all is worked out at once, and once.

    A sum runs over a fat's acids in their own order, one after the other: no figure depends on the fats beside it.
    """

    def __init__(self, fats: Sequence[Fat]) -> None:
        import numpy as np  # here, since most commands need a measure's words and never its figures

        self._fats = tuple(fats)
        self._values: dict[str, NDArray[float64]] = {}
        self._place = {name: place for place, name in enumerate(acids())}
        lengths = np.fromiter((len(fat.acids) for fat in self._fats), np.intp, len(self._fats))
        held = np.arange(lengths.max(initial=0)) < lengths[:, None]
        acid = np.full(held.shape, len(self._place))  # where a fat has fewer acids than another: of none
        acid[held] = [self._place[name] for fat in self._fats for name in fat.acids]
        share = np.zeros(held.shape)
        share[held] = list(chain.from_iterable(fat.acids.values() for fat in self._fats))
        self._acid, self._share = np.ascontiguousarray(acid.T), np.ascontiguousarray(share.T)
        self._total = _added(self._share)
        self._soap = np.array([fat.soap_yield for fat in self._fats])

    def values(self, id: str) -> NDArray[float64]:  # noqa: A002
        """Points of a bar of each fat alone (n entries), every lever at its reference.

        Raises:
            KeyError: no such measure.
        """
        if id not in self._values:
            import numpy as np

            own = _constants()[id] + np.zeros(len(self._fats))
            taken = np.zeros(len(self._fats))
            for part in _parts().get(id, ()):
                taken += part.factor * (self.values(part.of) - part.counted_from)
            mean = self._of_total(_added(self._share * _weight_of(id)[self._acid]))
            self._values[id] = own + taken + self._soap * mean + self._offsets(id)
        return self._values[id]

    def shares(self, group: Iterable[str]) -> NDArray[float64]:
        """Per cent of each fat's fatty acids (n entries) that are of a group.

        Raises:
            KeyError: no such acid.
        """
        return self._of_total(100 * _added(self._by_acid[[self._place[name] for name in group]]))

    @cached_property
    def _by_acid(self) -> NDArray[float64]:
        """How much each fat has of each acid, a row for an acid."""
        import numpy as np

        out = np.zeros((len(self._place) + 1, len(self._fats)))
        out[self._acid, np.arange(len(self._fats))] = self._share
        return out

    def _of_total(self, sums: NDArray[float64]) -> NDArray[float64]:
        import numpy as np

        return np.divide(sums, self._total, out=np.zeros_like(sums), where=self._total != 0.0)

    def _offsets(self, id: str) -> NDArray[float64]:  # noqa: A002
        """What each fat adds beyond its acids: the first row of the table that speaks of it."""
        import numpy as np

        out = np.zeros(len(self._fats))
        for match, keys, offset in reversed(_offsets(id)):
            for key in self._bearing[match].keys() & keys:
                out[self._bearing[match][key]] = offset
        return out

    @cached_property
    def _bearing(self) -> Mapping[str, Mapping[str, list[int]]]:
        """Where the fats stand that are of a kind, bear a tag or answer to a name, for every key that has an offset.

        A maker's own fat keeps the facts, and with them the name, of the one it is built on.
        """
        wanted = {key for row in rows("measure_offsets") for key in row["key"].split("; ")}
        facts = {id(fat.facts): fat.facts for fat in self._fats}
        told = {shared: {fact.told_of for fact in some} for shared, some in facts.items()}
        found: dict[str, dict[str, list[int]]] = {"kind": {}, "tag": {}, "fat": {}}
        for place, fat in enumerate(self._fats):
            for match, borne in (("kind", {fat.kind}), ("tag", fat.tags), ("fat", {fat.name} | told[id(fat.facts)])):
                for key in wanted & borne:
                    found[match].setdefault(key, []).append(place)
        return found


@cache
def _weight_of(id: str) -> NDArray[float64]:  # noqa: A002
    """Points by the place of an acid, and none for no acid."""
    import numpy as np

    return np.array([*_acid_weights(id).values(), 0.0])


def _added(table: NDArray[float64]) -> NDArray[float64]:
    """The sums down a (k, n) table, one row after the other: another order would give other digits."""
    import numpy as np

    return reduce(np.add, table, np.zeros(table.shape[1]))


def fat_values(fats: Sequence[Fat], ids: Sequence[str]) -> NDArray[float64]:
    """Points of a bar of each fat alone: one row per measure of `ids`, one column per fat.

    Levers stand at their reference (5 % superfat, 280 g water per kg fats, all sodium hydroxide, batter at 35 degC, not
    gelled). Constants and what a fat brings beyond its acids are in; so a blend's value is the mean by share of fats.

    Raises:
        KeyError: no such measure, or an acid without weights.
    """
    profiles = Profiles(fats)
    return _table([profiles.values(name) for name in ids], len(fats))


def acid_shares(fats: Sequence[Fat], ids: Sequence[str]) -> NDArray[float64]:
    """Per cent of each fat's fatty acids: one row per acid or group of `ids`, one column per fat.

    Raises:
        KeyError: neither an acid nor a group of `ACID_GROUPS`.
    """
    profiles = Profiles(fats)
    return _table([profiles.shares(group_of(name)) for name in ids], len(fats))


def group_of(name: str) -> tuple[str, ...]:
    """The acids that a group, or an acid by itself, stands for.

    Raises:
        KeyError: neither an acid nor a group of `ACID_GROUPS`.
    """
    return ACID_GROUPS[name] if name in ACID_GROUPS else (acids()[name].id,)


def _table(lines: Sequence[NDArray[float64]], width: int) -> NDArray[float64]:
    import numpy as np

    return np.array(lines, dtype=np.float64).reshape(len(lines), width)


def own_measures(chosen: Sequence[Fat]) -> list[dict[str, float]]:
    """What a bar of each fat alone would measure, levers at their reference."""
    from optimiser.measures.measures import fat_values
    from optimiser.measures.measures import measures as known

    ids = list(known())
    columns = fat_values(chosen, ids).T.tolist()
    return [dict(zip(ids, column, strict=True)) for column in columns]
