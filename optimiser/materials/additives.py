"""What goes into the batter beside fats, alkali and water: salts, acids, sugar, clays, scent.

An acid takes alkali, which is met in full before any fat gets some. Free fatty acids (stearic acid) are fats here, see
`optimiser.fats`. The data are ``reference/additives.csv``; what stands for water is in `materials.liquids`.
"""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.batter import SOLIDS_OFF, SOLIDS_VOLUME
from optimiser.materials.fat_table import fold
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


class Additive(NamedTuple):
    """One additive as it is weighed, or one liquid that stands for water.

    `alkali_mol_per_kg` is the alkali it takes, in mol per kg, and `alkali_low_mol_per_kg` the same at its weakest.
    `dry_fraction` stays in the bar, `water_fraction` counts as water. `usual_high` is the usual most, per cent of the
    fats (common practice, no source). `goes_in` says where it is put at the bench: "water" (before the alkali), "hot lye"
    (as made), "lye" (once cooled), "fats", "trace", "colour" (at trace, or into the parts of a batter that is split) or "last"
    (scent, when all else is in); of a liquid "split" says that it may be the water the alkali is dissolved in, and
    had better not be.

    `like` names the additive of the table that one of the maker's own is like, and `most` is the maker's own end to it,
    per cent of the fats. Of a liquid `sugar_fraction` counts as sugar, and `fat_mol_per_kg` are the moles of alkali that
    its fat could take at its lowest: nothing counts on them, see `materials.liquids`. `advice` is how it is made ready for
    the alkali, and `advice_late` the same where it waits for trace, as warm as the batter then; of an additive `advice` is how it
    is made ready for its place. `heats` says whether it warms the batter by itself: "yes", "may" or "". `seizes`: it
    brings a batter to trace within seconds to minutes, so that no time told of the fats holds. `made_first` says of a liquid
    that it is made ready before it is weighed: "boiled" where water goes off in that, "yes" where none does, else "".
    `litres` is the room that a kilo of what it holds beside water takes up in a batter, right to within `litres_off`.
    `inci` is its name for an ingredient list where the shelf states one, and `allergens` what its supplier's paper states of
    it, each by name and in per cent of it; None where nothing is stated.
    """

    name: str
    synonyms: tuple[str, ...]
    alkali_mol_per_kg: float
    dry_fraction: float
    water_fraction: float
    tags: frozenset[str]
    effect: str
    source: str
    how: str
    note: str
    usual_high: float
    goes_in: str = "trace"
    alkali_low_mol_per_kg: float = 0.0
    caution: str = ""
    like: str = ""
    most: float | None = None
    is_liquid: bool = False
    sugar_fraction: float = 0.0
    fat_fraction: float = 0.0
    fat_mol_per_kg: float = 0.0
    locator: str = ""
    advice: str = ""
    advice_late: str = ""
    heats: str = ""
    seizes: bool = False
    made_first: str = ""
    litres: float = SOLIDS_VOLUME
    litres_off: float = SOLIDS_OFF
    inci: str = ""
    allergens: tuple[tuple[str, float], ...] | None = None

    @property
    def base(self) -> str:
        """The name of the table that it goes by: its own, or that of what it is like."""
        return self.like or self.name

    @property
    def dissolves_alkali(self) -> bool:
        """Whether the alkali may be dissolved in its water."""
        return self.goes_in in ("water", "split")

    def acts_as(self, lever: str) -> float:
        """How much of an additive that the measures know a gram of it is: all of what it is like, and its sugar."""
        return float(self.base == lever) + (self.sugar_fraction if lever == "sugar" else 0.0)


@cache
def additives() -> Mapping[str, Additive]:
    """Every additive by its name, sorted."""
    return MappingProxyType({row["additive"]: _additive(row) for row in rows("additives")})


def find(name: str) -> Additive | None:
    """The additive of this name or synonym, whatever its case, blanks, hyphens and underscores; None when unknown."""
    return _index().get(fold(name))


@cache
def _index() -> Mapping[str, Additive]:
    return by_name(additives().values())


def by_name(items: Iterable[Additive]) -> Mapping[str, Additive]:
    """Additives or liquids by every folded name of theirs.

    Raises:
        ValueError: two share a name (a fault of the data).
    """
    index: dict[str, Additive] = {}
    for item in items:
        for called in (item.name, *item.synonyms):
            if index.setdefault(fold(called), item) is not item:
                raise ValueError(f"{called!r} names both {index[fold(called)].name} and {item.name}")
    return index


def _additive(row: Mapping[str, str]) -> Additive:
    return Additive(
        name=row["additive"],
        synonyms=cells(row["synonyms"]),
        alkali_mol_per_kg=_alkali(row, row["strength"]),
        dry_fraction=float(row["dry_fraction"]),
        water_fraction=float(row["water_fraction"]),
        tags=frozenset(cells(row["tags"])),
        effect=row["effect"],
        source=row["source"],
        how=row["how"],
        note=row["note"],
        usual_high=float(row["usual_high"]),
        goes_in=row["goes_in"],
        alkali_low_mol_per_kg=_alkali(row, row["strength_low"] or row["strength"]),
        caution=row["caution"],
        advice=row["advice"],
        heats=row["heats"],
        seizes=row["seizes"] == "yes",
        litres=float(row["litres"]),
        litres_off=float(row["litres_off"]),
    )


def _alkali(row: Mapping[str, str], strength: str) -> float:
    """Moles of alkali per kg: acid equivalents x strength / molar mass x 1000 (stoichiometry)."""
    if not row["molar_mass"]:
        return 0.0
    return float(row["acid_equivalents"]) * float(strength) / float(row["molar_mass"]) * 1000


def own_additive(name: str, model: Additive, most: float | None) -> Additive:
    """One of the maker's own that borrows everything of its likeness but the name; `most` is in per cent of the fats."""
    return model._replace(
        name=name,
        synonyms=(),
        like=model.base,
        most=most,
        usual_high=model.usual_high if most is None else most,
        heats="yes" if model.heats == "may" and _known_scents(name) else model.heats,
        seizes=model.seizes or (model.heats == "may" and any(row["seizes"] for row in _known_scents(name))),
    )


def _known_scents(name: str) -> list[Mapping[str, str]]:
    """What is known of the words in a scent's own name: those of flowers and spices, which heat the batter."""
    told = set(fold(name).split())
    return [row for row in rows("heating_scents") if row["word"] in told]


def cells(cell: str) -> tuple[str, ...]:
    """The parts of a cell that holds several, parted by semicolons."""
    return tuple(part.strip() for part in cell.split(";") if part.strip())
