"""What goes into the batter beside fats, alkali and water: salts, acids, sugar, clays, scent.

An acid takes alkali, which is met in full before any fat gets some. Free fatty acids (stearic acid) are fats here, see
`optimiser.fats`. The data are ``reference/additives.csv``.
"""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.fat_table import fold
from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Mapping


class Additive(NamedTuple):
    """One additive as it is weighed.

    `alkali_mol_per_kg` is the alkali it takes, in mol per kg, and `alkali_low_mol_per_kg` the same at its weakest. `dry_fraction` stays in the bar, `water_fraction` counts as
    water. `usual_high` is the usual most, per cent of the fats (common practice, no source). `goes_in` says where it is
    put at the bench: "water" (before the alkali), "hot lye" (as made), "lye" (once cooled), "fats" or "trace".
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


@cache
def additives() -> Mapping[str, Additive]:
    """Every additive by its name, sorted."""
    return MappingProxyType({row["additive"]: _additive(row) for row in rows("additives")})


def find(name: str) -> Additive | None:
    """The additive of this name or synonym, whatever its case, blanks, hyphens and underscores; None when unknown."""
    return _index().get(fold(name))


@cache
def _index() -> Mapping[str, Additive]:
    index: dict[str, Additive] = {}
    for additive in additives().values():
        for called in (additive.name, *additive.synonyms):
            if index.setdefault(fold(called), additive) is not additive:
                raise ValueError(f"{called!r} names both {index[fold(called)].name} and {additive.name}")
    return index


def _additive(row: Mapping[str, str]) -> Additive:
    return Additive(
        name=row["additive"],
        synonyms=_cells(row["synonyms"]),
        alkali_mol_per_kg=_alkali(row),
        dry_fraction=float(row["dry_fraction"]),
        water_fraction=float(row["water_fraction"]),
        tags=frozenset(_cells(row["tags"])),
        effect=row["effect"],
        source=row["source"],
        how=row["how"],
        note=row["note"],
        usual_high=float(row["usual_high"]),
        goes_in=row["goes_in"],
        alkali_low_mol_per_kg=_alkali(row),
    )


def _alkali(row: Mapping[str, str]) -> float:
    """Moles of alkali per kg: acid equivalents x strength / molar mass x 1000 (stoichiometry)."""
    if not row["molar_mass"]:
        return 0.0
    return float(row["acid_equivalents"]) * float(row["strength"]) / float(row["molar_mass"]) * 1000


def _cells(cell: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in cell.split(";") if part.strip())
