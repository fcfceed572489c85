"""Ounces, pounds, inches, litres and degrees of Fahrenheit against a library of units and the standard's factors."""

from __future__ import annotations

import re
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.files.sizes import batch_of
from optimiser.problem.units import Units
from optimiser.recipe.weights import Weights
from optimiser.report.degrees import in_both_degrees
from optimiser.text.quantities import VOLUME, read_length, read_mass, read_volume

REGISTRY: Any = pint.UnitRegistry()
OF_PINT = {"oz": "ounce", "lb": "pound", "kg": "kilogram", "g": "gram", "mg": "milligram"}


def grams(figure: float, unit: str) -> float:
    """A mass in grams, by pint."""
    return float(REGISTRY.Quantity(figure, OF_PINT[unit]).to("gram").magnitude)


@settings(max_examples=examples(60), deadline=None)
@given(st.decimals(0, 9999, places=3), st.sampled_from(sorted(OF_PINT)))
def test_masses_are_read_as_pint_has_them(figure: object, unit: str) -> None:
    """Avoirdupois ounces and pounds, grams and kilograms."""
    assert 1000.0 * read_mass(f"{figure} {unit}") == pytest.approx(
        grams(float(str(figure)), unit), rel=1e-12, abs=1e-12
    )


@settings(max_examples=examples(60), deadline=None)
@given(st.integers(0, 200), st.decimals(0, 15, places=2))
def test_pounds_and_ounces_are_read_as_pint_has_them(pounds: int, ounces: object) -> None:
    """So many pounds and so many ounces are one mass."""
    expected = grams(pounds, "lb") + grams(float(str(ounces)), "oz")
    assert 1000.0 * read_mass(f"{pounds} lb {ounces} oz") == pytest.approx(expected, rel=1e-12, abs=1e-12)


@settings(max_examples=examples(100), deadline=None)
@given(st.floats(0.1, 1e5), st.sampled_from(list(Units)))
def test_weights_told_are_what_pint_makes_of_them(held: float, units: Units) -> None:
    """The figures on the page, turned back by pint, are the grams to half a digit."""
    said = Weights(units, 3).told(held)
    parts = re.findall(r"([\d. ]+) (kg|g|oz|lb)", said)
    back = sum(grams(float(figure.replace(" ", "")), unit) for figure, unit in parts)
    assert back == pytest.approx(held, abs=0.00051 * units.grams)


@pytest.mark.parametrize(
    ("text", "factor"),
    [
        # NIST SP 811 (2008), appendix B.8, factors to seven digits, and those marked exact (from memory):
        ("1 oz", 2.834952e-02),  # ounce (avoirdupois) to kilogram
        ("1 lb", 4.535924e-01),  # pound (avoirdupois) to kilogram; footnote 22: exactly 0.45359237
    ],
)
def test_masses_by_the_standard(text: str, factor: float) -> None:
    """NIST Special Publication 811, Guide for the Use of the International System of Units, appendix B.8."""
    assert read_mass(text) == pytest.approx(factor, rel=5e-7)
    assert read_mass("1 lb") == 0.45359237
    assert read_mass("16 oz") == pytest.approx(0.45359237, rel=1e-15)


def test_lengths_and_volumes_by_the_standard() -> None:
    """NIST SP 811, appendix B.8: an inch is 2.54 cm exactly, a cubic inch 1.638706 E-05 m3 (from memory); and by pint."""
    assert read_length("1 in") == 2.54
    assert read_volume("1 in3") == pytest.approx(16.38706, rel=5e-7)
    for unit, name in (
        ("ml", "milliliter"),
        ("cl", "centiliter"),
        ("dl", "deciliter"),
        ("l", "liter"),
        ("in3", "inch**3"),
    ):
        assert VOLUME[unit] == pytest.approx(float(REGISTRY.Quantity(1.0, name).to("milliliter").magnitude), rel=1e-12)


@settings(max_examples=examples(60), deadline=None)
@given(*[st.decimals(1, 60, places=2)] * 3)
def test_moulds_in_inches_hold_what_pint_says(length: object, width: object, depth: object) -> None:
    """Length, width and depth in inches are so many litres."""
    mould = batch_of(f"mould {length} x {width} x {depth} in").mould
    assert mould is not None
    inches = float(str(length)) * float(str(width)) * float(str(depth))
    assert mould.litres == pytest.approx(float(REGISTRY.Quantity(inches, "inch**3").to("liter").magnitude), rel=1e-9)


@settings(max_examples=examples(60), deadline=None)
@given(st.integers(0, 200))
def test_fahrenheit_is_told_as_pint_has_it(celsius: int) -> None:
    """To a degree; NIST SP 811, B.8: t/degF = 1.8 t/degC + 32."""
    told = re.search(r"\((-?\d+) degF\)", in_both_degrees(f"about {celsius} degC"))
    assert told is not None
    expected = REGISTRY.Quantity(celsius, REGISTRY.degC).to(REGISTRY.degF).magnitude
    assert abs(int(told.group(1)) - expected) <= 0.5 + 1e-9
    assert in_both_degrees("104-108 degC") == "104-108 degC (219-226 degF)"
    assert (
        in_both_degrees("to within 5 degrees of 35 degC")
        == "to within 5 degrees (9 of Fahrenheit) of 35 degC (95 degF)"
    )
