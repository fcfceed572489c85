"""The fit against other people's: certified values, scikit-learn's ridge, scipy's regression and Student's t."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.stats
from sklearn.linear_model import Ridge

from optimiser.maths.regression import PENALTIES, chosen, line, ridge
from optimiser.maths.student_t import incomplete_beta, t_cumulative, t_quantile

# NIST Statistical Reference Datasets, linear regression, "Norris": y x; the data from memory, borne out by the certified
# values below, which they give to every digit.
NORRIS = np.array(
    [
        *[(0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5), (668.5, 666.3)],
        *[(998.5, 996.3), (449.1, 448.6), (778.9, 777.0), (559.2, 558.2), (0.3, 0.4), (0.1, 0.6), (778.1, 775.5)],
        *[(668.8, 666.9), (339.3, 338.0), (448.9, 447.5), (10.8, 11.6), (557.7, 556.0), (228.3, 228.1)],
        *[(998.0, 995.8), (888.8, 887.6), (119.6, 120.2), (0.3, 0.3), (0.6, 0.3), (557.6, 556.8), (339.3, 339.1)],
        *[(888.0, 887.2), (998.5, 999.0), (778.9, 779.0), (10.2, 11.1), (117.6, 118.3), (228.9, 229.2)],
        *[(668.4, 669.1), (449.2, 448.9), (0.2, 0.5)],
    ]
)


def test_a_line_against_certified_values() -> None:
    """Slope, offset, their standard errors and the residual are NIST's for the Norris data (StRD, 36 observations)."""
    made = line(NORRIS[:, 1], NORRIS[:, 0])
    assert len(NORRIS) == 36
    assert made.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert made.offset == pytest.approx(-0.262323073774029, rel=1e-10)
    assert made.slope_error == pytest.approx(0.429796848199937e-03, rel=1e-10)
    assert made.offset_error == pytest.approx(0.232818234301152, rel=1e-10)
    assert made.residual == pytest.approx(0.884796396144373, rel=1e-10)
    assert made.freedom == pytest.approx(34.0)


@pytest.mark.parametrize("seed", range(5))
def test_a_line_against_scipy(seed: int) -> None:
    """Slope, offset and both standard errors agree with scipy.stats.linregress, and so does the interval."""
    rng = np.random.default_rng(seed)
    index = rng.uniform(20, 60, 5 + seed)
    reading = 12 - 0.07 * index + rng.normal(0, 0.3, len(index))
    made, other = line(index, reading), scipy.stats.linregress(index, reading)
    assert made.slope == pytest.approx(other.slope)
    assert made.offset == pytest.approx(other.intercept)
    assert made.slope_error == pytest.approx(other.stderr)
    assert made.offset_error == pytest.approx(other.intercept_stderr)
    half = scipy.stats.t.ppf(0.975, len(index) - 2) * other.stderr
    assert made.interval() == pytest.approx((other.slope - half, other.slope + half))


@pytest.mark.parametrize("penalty", PENALTIES)
def test_levers_against_scikit_learn(penalty: float) -> None:
    """Corrections are those of scikit-learn's ridge on what the plain line leaves of readings and levers.

    The penalty falls on the corrections alone, so by Frisch, Waugh and Lovell it is a ridge on the residuals of both on
    the free columns.
    """
    rng = np.random.default_rng(17)
    index, levers = rng.uniform(20, 60, 22), rng.normal(size=(22, 4))
    reading = 12 - 0.07 * index + levers @ np.array([0.4, -0.3, 0.0, 0.1]) + rng.normal(0, 0.2, 22)
    free = np.column_stack([np.ones(22), index])
    rest = np.eye(22) - free @ np.linalg.pinv(free)
    made = ridge(index, reading, levers, penalty)
    other = Ridge(alpha=penalty, fit_intercept=False, solver="cholesky").fit(rest @ levers, rest @ reading)
    assert np.allclose(made.corrections, other.coef_, rtol=1e-8, atol=1e-10)


def test_a_penalty_towards_the_book_is_a_ridge_on_what_the_book_leaves() -> None:
    """Levers shrunk towards prior values are those values plus scikit-learn's ridge on readings less what they foretell."""
    rng = np.random.default_rng(23)
    index, levers = rng.uniform(20, 60, 30), rng.normal(size=(30, 3))
    prior, slope = np.array([5.0, -3.0, 2.0]), -0.07
    truth = prior + np.array([4.0, 0.0, -2.0])
    reading = 12 + slope * (index + levers @ truth) + rng.normal(0, 0.05, 30)
    made = ridge(
        index + levers @ prior, reading, levers, 1.0
    )  # as trials are fitted: the book's levers are in the index
    free = np.column_stack([np.ones(30), index + levers @ prior])
    rest = np.eye(30) - free @ np.linalg.pinv(free)
    other = Ridge(alpha=1.0, fit_intercept=False, solver="cholesky").fit(rest @ levers, rest @ reading)
    own = prior + np.array(made.corrections) / made.slope
    assert np.allclose(own, prior + other.coef_ / made.slope)
    assert np.allclose(own, truth, atol=0.8)


def test_the_choice_against_scikit_learn_refitted() -> None:
    """The left-out error of each penalty is that of scikit-learn's ridge refitted without each trial, and the least is chosen.

    The free slope and offset are given to that ridge as columns so great that its penalty does not reach them.
    """
    rng = np.random.default_rng(29)
    index, levers = rng.uniform(20, 60, 18), rng.normal(size=(18, 3))
    reading = 12 - 0.07 * index + levers @ np.array([0.5, 0.0, -0.3]) + rng.normal(0, 0.25, 18)
    great = 1e5
    columns = np.column_stack([great * np.ones(18), great * (index - 40.0), levers])
    errors = {}
    for penalty in PENALTIES:
        off = []
        for out in range(18):
            kept = np.arange(18) != out
            other = Ridge(alpha=penalty, fit_intercept=False, solver="svd").fit(columns[kept], reading[kept])
            off.append(float(reading[out] - other.predict(columns[out : out + 1])[0]))
        errors[penalty] = math.sqrt(float(np.mean(np.square(off))))
        assert ridge(index, reading, levers, penalty).left_out == pytest.approx(errors[penalty], rel=1e-5)
    assert chosen(index, reading, levers).penalty == min(errors, key=lambda name: errors[name])


@pytest.mark.parametrize("freedom", [0.5, 1.0, 2.0, 3.0, 4.7, 10.0, 30.0, 120.0, 1e4])
@pytest.mark.parametrize("chance", [0.001, 0.025, 0.1, 0.5, 0.8, 0.9, 0.95, 0.975, 0.995, 0.9995])
def test_quantiles_against_scipy(chance: float, freedom: float) -> None:
    """Student's t agrees with scipy.stats.t, both ways."""
    expected = float(scipy.stats.t.ppf(chance, freedom))
    assert t_quantile(chance, freedom) == pytest.approx(expected, rel=1e-7, abs=1e-9)
    assert t_cumulative(expected, freedom) == pytest.approx(chance, rel=1e-9)


@pytest.mark.parametrize(("freedom", "value"), [(1, 12.706), (3, 3.182), (5, 2.571), (10, 2.228), (30, 2.042)])
def test_quantiles_against_the_printed_table(freedom: float, value: float) -> None:
    """The 97.5 % points are those of any printed t table (from memory)."""
    assert t_quantile(0.975, freedom) == pytest.approx(value, abs=5e-4)


@pytest.mark.parametrize(("a", "b", "x"), [(0.5, 0.5, 0.3), (2.0, 3.0, 0.5), (50.0, 0.5, 0.99), (0.3, 40.0, 0.001)])
def test_the_incomplete_beta_against_scipy(a: float, b: float, x: float) -> None:
    """The regularised incomplete beta agrees with scipy.stats.beta."""
    assert incomplete_beta(a, b, x) == pytest.approx(float(scipy.stats.beta.cdf(x, a, b)), rel=1e-10)
