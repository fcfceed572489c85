"""Blending problems with known answers, stated through our arrays and solved by our live model.

Source of the first two: the PuLP documentation, case study "A Blending Problem" (coin-or/pulp,
doc/source/CaseStudies/a_blending_problem.rst): six ingredients of a can of cat food. Source of the third: the R package
LIM, help page LIMBlending, "A blending problem specification": a feeding mix of two ingredients and filler.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from strategies import bare_programme

from optimiser.model.programme import Programme
from optimiser.solve.proof import lower_bound
from optimiser.solve.solver import Live

INGREDIENTS = ("chicken", "beef", "mutton", "rice", "wheat bran", "gel")
COST = (0.013, 0.008, 0.010, 0.002, 0.005, 0.001)  # dollars per gram
PROTEIN = (0.100, 0.200, 0.150, 0.000, 0.040, 0.000)
FAT = (0.080, 0.100, 0.110, 0.010, 0.010, 0.000)
FIBRE = (0.001, 0.005, 0.003, 0.100, 0.150, 0.000)
SALT = (0.002, 0.005, 0.007, 0.002, 0.008, 0.000)
INF = float("inf")


def can(names: tuple[str, ...]) -> Programme:
    """A can of 100 g as shares: at least 8 % protein and 6 % fat, at most 2 % fibre and 0.4 % salt."""
    chosen = [INGREDIENTS.index(name) for name in names]
    rows = [[1.0] * len(chosen), *([table[i] for i in chosen] for table in (PROTEIN, FAT, FIBRE, SALT))]
    low, high = [1.0, 0.08, 0.06, -INF, -INF], [1.0, INF, INF, 0.02, 0.004]
    return bare_programme(rows, low, high, [100.0 * COST[i] for i in chosen])


def test_the_full_problem() -> None:
    """60 % beef and 40 % gel at 52 cents a can, as the documentation says."""
    outcome = Live(can(INGREDIENTS)).minimise()
    assert outcome.objective == pytest.approx(0.52)
    assert dict(zip(INGREDIENTS, outcome.point.tolist(), strict=True)) == pytest.approx(
        {"chicken": 0.0, "beef": 0.6, "mutton": 0.0, "rice": 0.0, "wheat bran": 0.0, "gel": 0.4}, abs=1e-9
    )


def test_the_simplified_problem() -> None:
    """33.33 % chicken and 66.67 % beef at 96 cents and two thirds, as the documentation says."""
    outcome = Live(can(("chicken", "beef"))).minimise()
    assert outcome.point == pytest.approx([1.0 / 3.0, 2.0 / 3.0])
    assert outcome.objective == pytest.approx(0.9667, abs=1e-4)


def test_52_cents_are_proved() -> None:
    """No can is cheaper than 52 cents, by the exact bound from the solver's own prices."""
    made = can(INGREDIENTS)
    bound = lower_bound(made, made.money, Live(made).minimise().row_dual)
    assert isinstance(bound, Fraction)
    assert float(bound) == pytest.approx(0.52, abs=1e-9)
    assert bound <= Fraction(52, 100) + Fraction(1, 10**12)


def test_the_feeding_mix() -> None:
    """0.5909 and 0.1364 of the two ingredients and 0.2727 filler, as the help page says.

    Needs per kilogram: 80, 50, 25 and 5 g of four nutrients; contents 100, 50, 40, 10 and 200, 150, 10, 0; costs 40, 60.
    """
    table = [[1.0, 1.0, 1.0], [100.0, 200.0, 0.0], [50.0, 150.0, 0.0], [40.0, 10.0, 0.0], [10.0, 0.0, 0.0]]
    made = bare_programme(table, [1.0, 80.0, 50.0, 25.0, 5.0], [1.0, INF, INF, INF, INF], [40.0, 60.0, 0.0])
    outcome = Live(made).minimise()
    assert np.round(outcome.point, 4).tolist() == [0.5909, 0.1364, 0.2727]
