"""The lye jug: limits of the tables, and what must hold between them."""

from __future__ import annotations

import pytest

from optimiser.materials import lye


def density(w: float, *, potassium: float = 0.0, temperature: float = 20.0) -> float:
    """Density of a lye of mass fraction `w`, kg/m3."""
    return lye.lye_density(
        sodium_g=w * (1 - potassium),
        potassium_g=w * potassium,
        water_g=1 - w,
        temperature=temperature,
    )


def test_water_alone_has_the_density_of_water() -> None:
    """With no alkali the lye is water: 998.2 kg/m3 at 20 degC."""
    assert density(0.0) == pytest.approx(998.2, abs=0.05)


def test_mixed_lye_lies_between_the_two_pure_ones() -> None:
    """A lye of half and half is denser than the one, lighter than the other of the same strength."""
    low, high = sorted((density(0.3), density(0.3, potassium=1.0)))
    assert low < density(0.3, potassium=0.5) < high


@pytest.mark.parametrize(
    ("w", "potassium", "temperature"),
    [(0.51, 0.0, 20.0), (0.52, 1.0, 20.0), (0.51, 0.5, 20.0), (0.3, 0.0, 3.0), (0.3, 0.0, 121.0), (0.3, 0.1, 96.0)],
)
def test_density_outside_the_fit_is_refused(w: float, potassium: float, temperature: float) -> None:
    """Too strong, too cold or too hot for the published fit is an error, not an extrapolation."""
    with pytest.raises(ValueError, match="known"):
        density(w, potassium=potassium, temperature=temperature)


def test_concentration_is_alkali_over_the_whole_lye() -> None:
    """One part of alkali to two of water is a 33.3 % lye; negative amounts and an empty jug have none."""
    assert lye.lye_concentration(1.0, 2.0) == pytest.approx(1 / 3)
    for alkali, water in ((-1.0, 2.0), (1.0, -2.0), (0.0, 0.0)):
        with pytest.raises(ValueError, match="concentration"):
            lye.lye_concentration(alkali, water)


def test_half_dissolves_at_room_temperature_and_not_in_the_cold() -> None:
    """A 50 % lye is clear at 20 degC and cannot be at 10 degC; outside 0-100 degC the table is silent."""
    assert lye.sodium_hydroxide_solubility(20.0) > 0.5 > lye.sodium_hydroxide_solubility(10.0)
    for temperature in (-1.0, 101.0):
        with pytest.raises(ValueError, match="solubility"):
            lye.sodium_hydroxide_solubility(temperature)


def test_solubility_never_falls_with_warmth() -> None:
    """Warmer water holds more sodium hydroxide, at every step of the table."""
    values = [lye.sodium_hydroxide_solubility(float(t)) for t in range(101)]
    assert values == sorted(values)
