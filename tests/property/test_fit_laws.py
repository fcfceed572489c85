"""Laws of fitting: known lines are found again, and nothing depends on where or in what anything is counted."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from optimiser.maths.arrays import Matrix, Vector
from optimiser.maths.regression import PENALTIES, chosen, line, ridge
from optimiser.maths.student_t import incomplete_beta, t_cumulative, t_quantile
from optimiser.measures.scales import Scale
from optimiser.text.durations import read_duration, write_duration

PENALTY = st.sampled_from((*PENALTIES, math.inf))


@st.composite
def trials(draw: st.DrawFn, least: int = 5, most: int = 24, width: int = 3) -> tuple[Vector, Vector, Matrix]:
    """Indices with a spread, readings, and pulls of a few levers."""
    number = draw(st.integers(least, most))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    index = rng.uniform(15.0, 70.0, number)
    assume(float(np.ptp(index)) > 5.0)
    levers = rng.normal(size=(number, width))
    reading = 12.0 - 0.07 * index + 0.2 * levers[:, 0] + rng.normal(0.0, draw(st.floats(0.0, 0.5)), number)
    return index, reading, levers


@given(trials(), st.floats(-1.0, 1.0), st.floats(-50.0, 50.0))
def test_a_known_line_is_found_again(data: tuple[Vector, Vector, Matrix], slope: float, offset: float) -> None:
    """Readings that lie on a line give that line, no error, and every trial foretold by the others."""
    index, _, _ = data
    made = line(index, offset + slope * index)
    assert made.slope == pytest.approx(slope, abs=1e-9)
    assert made.offset == pytest.approx(offset, abs=1e-7)
    assert made.residual == pytest.approx(0.0, abs=1e-8)
    assert made.left_out == pytest.approx(0.0, abs=1e-7)


@given(trials(), PENALTY, st.floats(-100.0, 100.0))
def test_it_does_not_matter_where_the_index_starts(
    data: tuple[Vector, Vector, Matrix], penalty: float, shift: float
) -> None:
    """Counting the index from elsewhere changes the offset and nothing else."""
    index, reading, levers = data
    made, other = ridge(index, reading, levers, penalty), ridge(index + shift, reading, levers, penalty)
    assert other.slope == pytest.approx(made.slope, abs=1e-8)
    assert other.offset == pytest.approx(made.offset - made.slope * shift, abs=1e-6)
    assert other.left_out == pytest.approx(made.left_out, abs=1e-7)
    assert np.allclose(other.corrections, made.corrections, atol=1e-8)


@given(trials(), PENALTY, st.floats(0.01, 100.0), st.floats(-10.0, 10.0))
def test_it_does_not_matter_in_what_is_read(
    data: tuple[Vector, Vector, Matrix], penalty: float, factor: float, added: float
) -> None:
    """In a unit so many times smaller everything is so many times greater; what is added goes to the offset."""
    index, reading, levers = data
    made, other = ridge(index, reading, levers, penalty), ridge(index, factor * reading + added, levers, penalty)
    for name in ("slope", "slope_error", "residual", "left_out"):
        assert getattr(other, name) == pytest.approx(factor * getattr(made, name), rel=1e-6, abs=1e-8)
    assert other.offset == pytest.approx(factor * made.offset + added, rel=1e-6, abs=1e-6)


@given(trials(), PENALTY, st.randoms(use_true_random=False))
def test_it_does_not_matter_in_which_order_trials_stand(
    data: tuple[Vector, Vector, Matrix], penalty: float, chance: object
) -> None:
    """Trials shuffled give the same fit."""
    index, reading, levers = data
    order = list(range(len(index)))
    chance.shuffle(order)  # type: ignore[attr-defined]
    made, other = ridge(index, reading, levers, penalty), ridge(index[order], reading[order], levers[order], penalty)
    assert other.slope == pytest.approx(made.slope, abs=1e-9)
    assert np.allclose(other.unseen, made.unseen[order], atol=1e-8)


@given(trials(least=8))
def test_a_greater_penalty_holds_the_levers_tighter(data: tuple[Vector, Vector, Matrix]) -> None:
    """As the penalty grows corrections shrink and the fit to the trials at hand grows worse, up to the plain line."""
    made = [ridge(*data, penalty) for penalty in (*PENALTIES, math.inf)]
    sizes = [float(np.linalg.norm(item.corrections)) for item in made]
    errors = [float(np.linalg.norm(data[1] - item.fitted)) for item in made]
    assert all(after <= before + 1e-9 for before, after in pairwise(sizes))
    assert all(after >= before - 1e-9 for before, after in pairwise(errors))
    plain = line(data[0], data[1])
    assert sizes[-1] == 0.0
    assert made[-1].slope == plain.slope
    assert ridge(*data, 1e12).slope == pytest.approx(plain.slope, abs=1e-8)


@given(trials(least=15))
def test_choosing_never_foretells_worse_than_the_plain_line_did(data: tuple[Vector, Vector, Matrix]) -> None:
    """The penalty chosen has no greater left-out error than the plain line."""
    made = chosen(*data)
    assert ridge(*data, made.penalty).left_out <= line(data[0], data[1]).left_out + 1e-12


@given(st.floats(-0.2, -0.01), st.floats(0.0, 20.0), st.floats(0.0, 100.0), st.floats(0.01, 0.99))
def test_a_scale_turns_readings_back_into_indices(slope: float, offset: float, index: float, chance: float) -> None:
    """index(reading(x)) is x, and a range holds the reading in its middle, the wider the surer."""
    scale = Scale("trace_speed", "s", slope, offset, 8, 0.2, 6.0, 40.0, 20.0, 25.0, 60.0, 0.25)
    reading = scale.reading(index)
    assert scale.index_of(reading) == pytest.approx(index, abs=1e-6)
    low, high = scale.range(index, chance)
    assert low < reading < high
    assert low * high == pytest.approx(reading**2, rel=1e-9)
    wider = scale.range(index, (1.0 + chance) / 2.0)
    assert wider[0] < low
    assert wider[1] > high


@given(st.floats(0.001, 0.999), st.floats(0.5, 1e4))
def test_a_quantile_is_exceeded_as_often_as_it_says(chance: float, freedom: float) -> None:
    """The distribution at the quantile gives the chance back, and the two tails mirror each other."""
    t = t_quantile(chance, freedom)
    assert t_cumulative(t, freedom) == pytest.approx(chance, abs=1e-9)
    assert t_quantile(1.0 - chance, freedom) == pytest.approx(-t, rel=1e-6, abs=1e-9)


@given(st.floats(0.1, 50.0), st.floats(0.1, 50.0), st.floats(0.0, 1.0))
def test_the_incomplete_beta_mirrors_itself(a: float, b: float, x: float) -> None:
    """I_x(a, b) + I_1-x(b, a) is 1, and both lie between 0 and 1."""
    value = incomplete_beta(a, b, x)
    assert -1e-12 <= value <= 1.0 + 1e-12
    assert value + incomplete_beta(b, a, 1.0 - x) == pytest.approx(1.0, abs=1e-9)


@given(st.floats(1.0, 1e6))
def test_a_duration_written_reads_back(seconds: float) -> None:
    """What is written of a length of time is that time again, to half of its smaller unit."""
    text = write_duration(seconds)
    part = {"s": 1.0, "min": 60.0, "h": 3600.0, "days": 86400.0}[text.split()[-1]]
    finest = 1.0 if seconds < 7199.0 else 60.0 if seconds < 345570.0 else 3600.0
    assert abs(read_duration(text) - seconds) <= min(part, finest) / 2 + 1e-6
    assert len(text.split()) in (2, 4)
