"""The heat of the lye jug: what must hold between its tables, acids that add to it, and the boil that ends it."""

from __future__ import annotations

import pytest

from optimiser.materials import lye_heat
from optimiser.materials.additives import additives
from optimiser.materials.lye_heat import lye_boiling_point, made_at_once
from optimiser.reference import rows

STRENGTHS = [0.01 * percent for percent in range(1, 51)]


def jug(w: float, potassium: float = 0.0) -> dict[str, float]:
    """A lye of mass fraction `w`, of which a share by mass is potassium hydroxide."""
    return {"sodium_g": w * (1 - potassium), "potassium_g": w * potassium, "water_g": 1 - w}


def rise(w: float, potassium: float = 0.0) -> tuple[float, float]:
    """No-loss rise of it from 20 degC."""
    return lye_heat.lye_temperature_rise(**jug(w, potassium))


@pytest.mark.parametrize("potassium", [0.0, 0.3, 1.0])
def test_low_estimate_of_the_rise_is_below_the_high_one(potassium: float) -> None:
    """The bracket is the right way round and warms for every lye in use."""
    for w in STRENGTHS:
        low, high = rise(w, potassium)
        assert 0 < low <= high


def test_rise_of_plain_water_is_nothing() -> None:
    """Where nothing dissolves nothing warms, and it boils as water does."""
    assert rise(0.0) == (0.0, 0.0)
    assert lye_boiling_point(**jug(0.0)) == 100.0


def test_more_water_cools() -> None:
    """Up to 35 % a stronger lye gets hotter."""
    rises = [rise(w)[0] for w in (0.05, 0.1, 0.2, 0.25, 0.3, 0.35)]
    assert rises == sorted(rises)


def test_mixed_lye_warms_between_the_two_pure_ones() -> None:
    """A mixed lye of 28 % warms more than that of the cooler alkali and less than that of the hotter."""
    low, high = sorted((rise(0.28)[1], rise(0.28, 1.0)[1]))
    assert low < rise(0.28, 0.5)[1] < high


def test_rise_too_strong_or_from_a_strange_start_is_refused() -> None:
    """Above the tables, and from a start that no workshop has, no figure is given."""
    with pytest.raises(ValueError, match="known"):
        rise(0.51)
    with pytest.raises(ValueError, match="start"):
        lye_heat.lye_temperature_rise(sodium_g=30, potassium_g=0, water_g=70, start=80.0)
    with pytest.raises(ValueError, match="water"):
        lye_heat.lye_temperature_rise(sodium_g=30, potassium_g=0, water_g=0)
    with pytest.raises(ValueError, match="water"):
        lye_boiling_point(sodium_g=30, potassium_g=0, water_g=0)


@pytest.mark.parametrize("potassium", [0.0, 0.5, 1.0])
def test_a_stronger_lye_boils_hotter(potassium: float) -> None:
    """The boiling point rises at every step, from that of water."""
    points = [lye_boiling_point(**jug(w, potassium)) for w in STRENGTHS]
    assert points == sorted(points)
    assert 100.0 < points[0] < 100.5


def test_a_mixed_lye_boils_between_the_two_pure_ones_of_its_moles() -> None:
    """Half of the moles each: the mean of both alkalis alone at 10 mol/kg water."""
    sodium = lye_boiling_point(sodium_g=399.97, potassium_g=0, water_g=1000)
    potassium = lye_boiling_point(sodium_g=0, potassium_g=561.06, water_g=1000)
    mixed = lye_boiling_point(sodium_g=199.985, potassium_g=280.53, water_g=1000)
    assert mixed == pytest.approx((sodium + potassium) / 2)


@pytest.mark.parametrize("potassium", [0.0, 0.3, 1.0])
def test_no_lye_gets_hotter_than_its_boil(potassium: float) -> None:
    """Whatever its strength, what is told ends where the lye boils, and is what dissolving gives below that."""
    seen = set()
    for w in STRENGTHS:
        told = made_at_once(**jug(w, potassium))
        point = lye_boiling_point(**jug(w, potassium))
        assert (told.low, told.high) == tuple(min(20.0 + kelvin, point) for kelvin in rise(w, potassium))
        assert told.boils == (20.0 + rise(w, potassium)[1] >= point)
        seen.add(told.boils)
    assert seen == ({False} if potassium < 1.0 else {False, True})


def test_acids_heat_the_lye() -> None:
    """What acids give off warms the lye as so much more heat of dissolving, until it boils."""
    plain, sour = rise(0.33), lye_heat.lye_temperature_rise(**jug(0.33), acid_kj=0.05)
    kelvin = 0.05 * 1e6 / 3570  # J over the 1 g of the jug, by the specific heat of a 33 % lye
    assert sour[0] - plain[0] == pytest.approx(kelvin, rel=0.02)
    assert made_at_once(**jug(0.33), acid_kj=0.5).boils


def test_every_heat_of_neutralisation_is_of_an_acid_we_have() -> None:
    """The table names additives that take alkali, and one heat for all others; none gives more than acetic acid."""
    known = {row["additive"]: float(row["kJ_per_mol"]) for row in rows("neutralisation_heats")}
    every = known.pop("any acid")
    for name, heat in known.items():
        assert additives()[name].alkali_mol_per_kg > 0, name
        assert lye_heat.neutralisation_heat(name) == heat
    assert max(known.values()) <= every + 0.5
    assert lye_heat.neutralisation_heat("rosin") == every
