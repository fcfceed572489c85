"""Laws of the measures that hold for every blend."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import recipe_at

from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.measures.cure import cure_law, cured_water_at
from optimiser.measures.measures import Curve, Levers, levers, measures
from optimiser.measures.profiles import acid_shares, cure_gains, fat_values
from optimiser.recipe.bar_values import along
from optimiser.recipe.evaluation import judge

NAMES = [name for name in reference().names() if reference().get(name).kind not in {"wax", "fatty acid"}]
IDS = tuple(measures())
amounts = st.floats(0.0, 20.0)
blends = st.dictionaries(st.sampled_from(NAMES), st.floats(0.01, 1.0), min_size=1, max_size=6)


def mixed(blend: dict[str, float]) -> tuple[list[Fat], np.ndarray]:
    """The fats and their shares, summing to 1."""
    shares = np.array(list(blend.values()))
    return [reference().get(name) for name in blend], shares / shares.sum()


def moved(lever: Levers, *, superfat: float, water: float, potassium: float) -> float:
    """Points from a superfat above 5 %, tens of grams of water above 280 g and per cents of potassium."""
    return lever.free_oil * superfat + lever.water * water + lever.potassium * potassium


@given(blends)
def test_blend_lies_between_its_fats(blend: dict[str, float]) -> None:
    """No blend is harder than its hardest fat or milder than its mildest: measures are means."""
    fats, shares = mixed(blend)
    values = fat_values(fats, IDS)
    blended = values @ shares
    assert np.all(blended <= values.max(axis=1) + 1e-9)
    assert np.all(blended >= values.min(axis=1) - 1e-9)


@given(blends)
def test_soap_of_fats_stays_on_the_scale(blend: dict[str, float]) -> None:
    """Without waxes and free acids every index of a blend at reference levers lies between 0 and 100."""
    fats, shares = mixed(blend)
    blended = fat_values(fats, IDS) @ shares
    assert np.all(blended >= 0)
    assert np.all(blended <= 100)


@given(blends, blends, st.floats(0.0, 1.0))
def test_measures_and_acids_are_linear_in_the_shares(
    one: dict[str, float], other: dict[str, float], part: float
) -> None:
    """Half of one blend with half of another has half of each one's points and acids."""
    names = list(one | other)
    fats = [reference().get(name) for name in names]
    mixes = [np.array([blend.get(name, 0.0) for name in names]) for blend in (one, other)]
    first, second = (mix / mix.sum() for mix in mixes)
    between = part * first + (1 - part) * second
    for table in (fat_values(fats, IDS), acid_shares(fats, ["saturated", "C18:1"])):
        assert table @ between == pytest.approx(part * (table @ first) + (1 - part) * (table @ second), abs=1e-9)


@given(amounts, amounts, amounts, st.sampled_from(["hardness", "wear_life", "set_up"]))
def test_softeners_never_harden(superfat: float, water: float, potassium: float, measure: str) -> None:
    """More free oil, more water and more potassium never give a harder, longer lasting or faster setting bar."""
    assert moved(levers(measure), superfat=superfat, water=water, potassium=potassium) <= 0


@given(amounts, amounts)
def test_superfat_is_kind_and_spoils(superfat: float, more: float) -> None:
    """More free oil never makes a bar harsher, nor slower to go rancid."""
    little, much = superfat, superfat + more
    assert levers("harshness").free_oil * much <= levers("harshness").free_oil * little
    assert levers("rancidity").free_oil * much >= levers("rancidity").free_oil * little


@given(amounts)
def test_a_wet_cool_open_pour_ashes_more(amount: float) -> None:
    """Water brings ash; heat and cover take it away."""
    ash = levers("ash_risk")
    assert ash.water * amount >= 0 >= ash.batter * amount
    assert ash.gel < 0


AMOUNTS = st.floats(0.0, 60.0)
KNOTS = [(name, lever, curve) for name in IDS for lever, curve in levers(name).curves.items()]


@given(st.sampled_from(KNOTS), AMOUNTS, AMOUNTS)
def test_levers_that_level_off_run_one_way(known: tuple[str, str, Curve], one: float, other: float) -> None:
    """More of an additive never turns round what less of it does, and beyond its last end does nothing more."""
    _, lever, curve = known
    few, many = sorted((one, other))
    sign = math.copysign(1.0, curve[-1][1])
    assert sign * along(curve, few) <= sign * along(curve, many) + 1e-9
    assert along(curve, curve[-1][0] + few) == curve[-1][1], lever


@given(blends, st.floats(1.0, 260.0), st.floats(1.0, 260.0))
def test_a_longer_cure_never_softens(blend: dict[str, float], one: float, other: float) -> None:
    """Hardness and wear life rise with the weeks, and stand still before 2 and after 104 of them."""
    short, long = sorted((one, other))
    early, late = (judge(recipe_at(blend, cure_weeks=weeks)).values for weeks in (short, long))
    for name in ("hardness", "wear_life"):
        assert late[name] >= early[name] - 1e-9
    assert (late == early) or long > 2.0
    assert judge(recipe_at(blend, cure_weeks=104.0)).values == judge(recipe_at(blend, cure_weeks=104.0 + one)).values


@given(blends, st.floats(1.0, 260.0))
def test_oleic_soap_gains_most_by_the_cure(blend: dict[str, float], weeks: float) -> None:
    """No blend gains more by the same cure than oleic acid alone would."""
    fats, shares = mixed(blend)
    gains = cure_gains(fats, "hardness") @ shares
    law = cure_law("hardness")
    assert law.flat - 1e-9 <= gains <= law.flat + law.of_oleic + 1e-9
    assert cured_water_at(weeks) >= 0.06


@given(blends, st.floats(0.0, 25.0))
def test_nothing_with_a_floor_is_told_below_it(blend: dict[str, float], superfat: float) -> None:
    """Rancidity, scum and ash are never below nothing, however lean, salted, chelated and covered the bar is."""
    extra = {"salt": 30.0, "citric acid": 2.0, "sodium citrate": 3.0, "sodium lactate": 3.0}
    made = judge(recipe_at(blend, superfat=superfat, extra=extra, gel=True, batter_temperature=60.0)).values
    assert all(made[name] >= 0.0 for name, known in measures().items() if known.floor is not None)
