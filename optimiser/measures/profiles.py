"""The measures of fats, worked out for all of them side by side."""

from __future__ import annotations

from functools import cache, cached_property, reduce
from itertools import chain
from typing import TYPE_CHECKING

from optimiser.materials.fatty_acids import acids
from optimiser.measures.cure import cure_law
from optimiser.measures.measures import (
    ACID_GROUPS,
    Measure,
    acid_weights_of,
    constants,
    levers,
    measures,
    offsets_of,
    parts_of,
)
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy import float64
    from numpy.typing import NDArray

    from optimiser.materials.fat import Fat


class Profiles:
    """The acids of n fats side by side, so that a figure of them all is worked out at once, and once.

    A fat of unknown acids has nan for every figure.
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
        self._untold = ["acids" in fat.untold for fat in self._fats]

    def values(self, id: str) -> NDArray[float64]:  # noqa: A002
        """Points of a bar of each fat alone (n entries), every lever at its reference.

        Raises:
            KeyError: no such measure.
        """
        if id not in self._values:
            import numpy as np

            own = constants()[id] + np.zeros(len(self._fats))
            taken = np.zeros(len(self._fats))
            for part in parts_of().get(id, ()):
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

        out = np.divide(sums, self._total, out=np.zeros_like(sums), where=self._total != 0.0)
        out[self._untold] = np.nan
        return out

    def _offsets(self, id: str) -> NDArray[float64]:  # noqa: A002
        """What each fat adds beyond its acids: the first row of the table that speaks of it."""
        import numpy as np

        out = np.zeros(len(self._fats))
        for match, keys, offset in reversed(offsets_of(id)):
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
            for match, borne in (
                ("kind", {fat.kind}),
                ("tag", fat.tags),
                ("fat", {fat.known_as} | told[id(fat.facts)]),
            ):
                for key in wanted & borne:
                    found[match].setdefault(key, []).append(place)
        return found


@cache
def _weight_of(id: str) -> NDArray[float64]:  # noqa: A002
    """Points by the place of an acid, and none for no acid."""
    import numpy as np

    return np.array([*acid_weights_of(id).values(), 0.0])


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
    """What a bar of each fat alone would measure, levers at their reference, and told of no measure below its floor.

    A hard wax alone has all that its lever gives.
    """
    known = measures()
    columns = fat_values(chosen, list(known)).T.tolist()
    return [
        {
            name: floored(known[name], value + (level_points(name, HARD_WAXES) if waxy else 0.0))
            for name, value in zip(known, column, strict=True)
        }
        for column, waxy in zip(columns, pulling(chosen, HARD_WAXES), strict=True)
    ]


def floored(measure: Measure, value: float) -> float:
    """The figure as it is told: never below the measure's floor; what is not known stays so."""
    return value if measure.floor is None or not value < measure.floor else measure.floor


HARD_WAXES = "hard waxes"


def level_points(id: str, lever: str) -> float:  # noqa: A002
    """Points of a measure where a lever has levelled off."""
    curve = levers(id).curves.get(lever)
    return curve[-1][1] if curve is not None else 0.0


def pulling(fats: Sequence[Fat], lever: str) -> list[float]:
    """How much of each fat counts towards a lever on fats, by the first row of ``lever_fats.csv`` that speaks of it."""
    table = lever_fats(lever)
    return [_counts(table, fat) for fat in fats]


Counts = tuple[bool, frozenset[str], float]


@cache
def lever_fats(lever: str) -> tuple[Counts, ...]:
    """The rows of the table for a lever: whether it is on kinds, of which kinds or fats, and how much of one counts."""
    return tuple(
        (row["match"] == "kind", frozenset(row["key"].split("; ")), float(row["counts"]))
        for row in rows("lever_fats")
        if row["lever"] == lever
    )


def _counts(table: Sequence[Counts], fat: Fat) -> float:
    """How much of a fat counts, by the first row that speaks of it."""
    for is_kind, keys, counts in table:
        if fat.kind in keys if is_kind else fat.known_as in keys or any(fact.told_of in keys for fact in fat.facts):
            return counts
    return 0.0


def cure_gains(fats: Sequence[Fat], id: str) -> NDArray[float64]:  # noqa: A002
    """Points that a bar of each fat alone gains with each doubling of the cure (n entries)."""
    import numpy as np

    profiles = Profiles(fats)
    soap = np.array([fat.soap_yield for fat in fats])
    law = cure_law(id)
    return soap * (law.flat + law.of_oleic * profiles.shares(("C18:1",)) / 100.0)
