"""Density of lye against the Laliberte & Cooper code of thermo, the coefficients of chemicals, and handbook figures."""

from __future__ import annotations

import csv
import warnings
from pathlib import Path

import pytest

from optimiser.materials.lye import lye_density, water_density
from optimiser.reference import rows

CAS = {"sodium hydroxide": "1310-73-2", "potassium hydroxide": "1310-58-3"}


def density(w: float, alkali: str, temperature: float) -> float:
    """Density of a lye of one alkali, kg/m3."""
    sodium = alkali == "sodium hydroxide"
    return lye_density(
        sodium_g=w if sodium else 0,
        potassium_g=0 if sodium else w,
        water_g=1 - w,
        temperature=temperature,
    )


@pytest.mark.parametrize("alkali", CAS)
@pytest.mark.parametrize("temperature", [5.0, 20.0, 40.0, 60.0, 90.0])
@pytest.mark.parametrize("w", [0.05, 0.25, 0.33, 0.40, 0.50])
def test_same_as_thermo(alkali: str, temperature: float, w: float) -> None:
    """Laliberte_density of thermo.electrochem gives the same figure to 0.1 kg/m3."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # those of the library's own dependencies
        from thermo.electrochem import Laliberte_density
    theirs = Laliberte_density(temperature + 273.15, [w], [CAS[alkali]])
    assert density(w, alkali, temperature) == pytest.approx(theirs, abs=0.1)


@pytest.mark.parametrize("temperature", [5.0, 20.0, 40.0])
def test_mixed_lye_is_the_same_as_thermo(temperature: float) -> None:
    """Both alkalis in one jug: their apparent volumes add, there as here."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # those of the library's own dependencies
        from thermo.electrochem import Laliberte_density
    theirs = Laliberte_density(temperature + 273.15, [0.2, 0.1], list(CAS.values()))
    ours = lye_density(sodium_g=20, potassium_g=10, water_g=70, temperature=temperature)
    assert ours == pytest.approx(theirs, abs=0.1)


def test_coefficients_are_those_that_chemicals_carries() -> None:
    """The five coefficients and their limits are those of Laliberte 2009 as shipped by chemicals."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # those of the library's own dependencies
        import chemicals
    path = Path(chemicals.__file__).parent / "Electrolytes" / "Laliberte2009.tsv"
    with path.open(encoding="utf-8", newline="") as table:
        published = {row[1]: row[4:12] for row in csv.reader(table, delimiter="\t")}
    columns = ("c0", "c1", "c2", "c3", "c4", "lowest_degC", "highest_degC")
    for row in rows("lye_density"):
        *theirs, strongest = (float(cell) for cell in published[CAS[row["alkali"]]])
        assert [float(row[column]) for column in columns] == pytest.approx(theirs, rel=1e-12)
        assert float(row["highest_fraction"]) == pytest.approx(strongest, abs=5e-4)


@pytest.mark.parametrize(("w", "handbook"), [(0.25, 1274), (0.30, 1328), (0.40, 1430), (0.50, 1525)])
def test_within_a_hundredth_of_the_handbook(w: float, handbook: float) -> None:
    """Sodium hydroxide at 20 degC: CRC Handbook of Chemistry and Physics, density of aqueous solutions (from memory)."""
    assert density(w, "sodium hydroxide", 20.0) == pytest.approx(handbook, rel=0.01)


@pytest.mark.parametrize(("temperature", "handbook"), [(4.0, 999.97), (20.0, 998.21), (25.0, 997.05), (60.0, 983.2)])
def test_water(temperature: float, handbook: float) -> None:
    """Water by Kell's equation: the density of water that every handbook prints (from memory)."""
    assert water_density(temperature) == pytest.approx(handbook, abs=0.05)
