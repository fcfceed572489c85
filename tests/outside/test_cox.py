"""Cox value against compositions worked out by hand from the factors of Fatemi & Hammond, Lipids 15 (1980) 379-385.

The factors (1, 10.3, 21.6) are from memory.
"""

from __future__ import annotations

import pytest

from optimiser.materials.fat_table import reference
from optimiser.materials.fatty_acids import cox_value
from optimiser.measures.profiles import fat_values

# Oleic, linoleic and linolenic acid in per cent; Cox value worked out by hand.
OILS = {
    "olive": (72.0, 10.0, 0.7, 1.90),
    "sunflower": (27.0, 61.0, 0.1, 6.57),
    "linseed": (20.0, 16.0, 55.0, 13.73),
    "tallow": (40.0, 3.0, 0.7, 0.86),
}


def profile(oil: str) -> dict[str, float]:
    """The three unsaturated acids, and palmitic acid for the rest."""
    oleic, linoleic, linolenic, _ = OILS[oil]
    return {
        "C18:1": oleic,
        "C18:2": linoleic,
        "C18:3": linolenic,
        "C16:0": 100 - oleic - linoleic - linolenic,
    }


@pytest.mark.parametrize("oil", OILS)
def test_cox_value(oil: str) -> None:
    """Four oils have the Cox value worked out by hand."""
    assert cox_value(profile(oil)) == pytest.approx(OILS[oil][3], abs=0.006)


@pytest.mark.parametrize("oil", OILS)
def test_rancidity_of_a_bar_is_the_cox_value(oil: str) -> None:
    """The measure `rancidity` of such an oil is the published index."""
    fat = reference().get("lard")._replace(acids=profile(oil))
    assert fat_values([fat], ["rancidity"])[0, 0] == pytest.approx(OILS[oil][3], abs=0.006)


def test_order_of_oxidation_rates_as_taught() -> None:
    """Oleic : linoleic : linolenic about 1 : 10 : 20 (as taught after Fennema, Food Chemistry)."""
    rates = [cox_value({name: 100.0}) for name in ("C18:1", "C18:2", "C18:3")]
    assert rates[1] / rates[0] == pytest.approx(10, rel=0.1)
    assert rates[2] / rates[0] == pytest.approx(20, rel=0.1)
    assert cox_value({"C18:0": 60.0, "C16:0": 40.0}) == 0
