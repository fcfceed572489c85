"""The lye jug: limits of the tables, and what must hold between them."""

from __future__ import annotations

import pytest

from optimiser.materials import lye


def rise(w: float, *, potassium: float = 0.0) -> tuple[float, float]:
    """No-loss rise from 20 degC of a lye of mass fraction `w`, of which a share by mass is potassium hydroxide."""
    return lye.lye_temperature_rise(sodium_g=w * (1 - potassium), potassium_g=w * potassium, water_g=1 - w)


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


@pytest.mark.parametrize("potassium", [0.0, 0.3, 1.0])
def test_low_estimate_of_the_rise_is_below_the_high_one(potassium: float) -> None:
    """The bracket is the right way round and warms for every lye in use."""
    for w in (0.1, 0.25, 0.33, 0.4, 0.5):
        low, high = rise(w, potassium=potassium)
        assert 0 < low < high


def test_rise_of_plain_water_is_nothing() -> None:
    """Where nothing dissolves nothing warms."""
    assert rise(0.0) == (0.0, 0.0)


def test_more_water_cools() -> None:
    """Up to 35 % a stronger lye gets hotter."""
    rises = [rise(w)[0] for w in (0.05, 0.1, 0.2, 0.25, 0.3, 0.35)]
    assert rises == sorted(rises)


def test_mixed_lye_warms_between_the_two_pure_ones() -> None:
    """A mixed lye of 28 % warms more than that of the cooler alkali and less than that of the hotter."""
    low, high = sorted((rise(0.28)[1], rise(0.28, potassium=1.0)[1]))
    assert low < rise(0.28, potassium=0.5)[1] < high


def test_rise_too_strong_or_from_a_strange_start_is_refused() -> None:
    """Above the tables, and from a start that no workshop has, no figure is given."""
    with pytest.raises(ValueError, match="known"):
        rise(0.51)
    with pytest.raises(ValueError, match="start"):
        lye.lye_temperature_rise(sodium_g=30, potassium_g=0, water_g=70, start=80.0)
    with pytest.raises(ValueError, match="water"):
        lye.lye_temperature_rise(sodium_g=30, potassium_g=0, water_g=0)


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
