"""Laws of a line that is held to the one expected: what few trials may move, and what must not matter."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from optimiser.maths.arrays import Vector
from optimiser.maths.prior import Prior
from optimiser.maths.regression import Fit, line
from optimiser.maths.shrunk_line import shrunk
from optimiser.maths.student_t import t_quantile
from optimiser.measures.general_times import general

PRIORS = [item.prior for item in general().values() if item.prior is not None]
INDEX = st.floats(15.0, 70.0)
READING = st.floats(3.0, 12.0)  # log2 of 8 seconds to an hour, or of 8 hours to weeks
TRIALS = st.lists(st.tuples(INDEX, READING), min_size=1, max_size=9)


def fit_of(trials: list[tuple[float, float]], prior: Prior) -> Fit:
    """The line of trials told as pairs."""
    index, reading = (np.array(side) for side in zip(*trials, strict=True))
    return shrunk(index, reading, prior)


def half_width(fit: Fit, at: float, chance: float = 0.8) -> float:
    """Half of the interval in which a new trial falls with this chance."""
    away = math.sqrt(1.0 + 1.0 / fit.behind + ((at - fit.centre) / fit.spread) ** 2)
    return t_quantile((1.0 + chance) / 2.0, fit.freedom) * fit.residual * away


def height(fit: Fit | Prior, at: float) -> float:
    """Where a line stands."""
    return fit.offset + fit.slope * at


@given(st.sampled_from(PRIORS), INDEX, READING, INDEX, st.integers(1, 12))
def test_more_equal_trials_narrow_the_interval(prior: Prior, at: float, read: float, there: float, number: int) -> None:
    """One more trial like the others makes what is told of any batch narrower."""
    few, more = (fit_of([(at, read)] * count, prior) for count in (number, number + 1))
    assert half_width(more, there) < half_width(few, there)


@given(st.sampled_from(PRIORS), INDEX, READING, st.integers(1, 12))
def test_equal_trials_move_the_level_towards_them_and_leave_the_slope(
    prior: Prior, at: float, read: float, number: int
) -> None:
    """The line comes to lie between the one expected and the trials, the nearer to them the more there are."""
    before, made, more = (
        height(prior, at),
        fit_of([(at, read)] * number, prior),
        fit_of([(at, read)] * (number + 1), prior),
    )
    low, high = sorted((before, read))
    assert low - 1e-9 <= height(made, at) <= high + 1e-9
    assert abs(height(more, at) - read) <= abs(height(made, at) - read) + 1e-9
    assert made.slope == pytest.approx(prior.slope, abs=1e-12)
    assert made.own_slope == pytest.approx(0.0, abs=1e-12)


@given(st.sampled_from(PRIORS), TRIALS)
def test_the_mean_is_shrunk_and_the_slope_lies_between(prior: Prior, trials: list[tuple[float, float]]) -> None:
    """At their mean index the line lies between what was expected and the mean reading; so does its slope."""
    made = fit_of(trials, prior)
    mean = float(np.mean([read for _, read in trials]))
    low, high = sorted((height(prior, made.centre), mean))
    assert low - 1e-9 <= height(made, made.centre) <= high + 1e-9
    index = np.array([at for at, _ in trials])
    assume(len(trials) > 2 and float(np.ptp(index)) > 1.0)
    plain = line(index, np.array([read for _, read in trials])).slope
    least, most = sorted((prior.slope, plain))
    assert least - 1e-9 <= made.slope <= most + 1e-9


@given(st.sampled_from(PRIORS), TRIALS, st.randoms(use_true_random=False))
def test_the_order_of_trials_does_not_matter(
    prior: Prior, trials: list[tuple[float, float]], chance: random.Random
) -> None:
    """Trials shuffled give the same line to the last bit, and each trial what it had."""
    mixed = trials.copy()
    chance.shuffle(mixed)
    made, other = fit_of(trials, prior), fit_of(mixed, prior)
    for name in ("slope", "offset", "residual", "spread", "behind", "own_slope"):
        assert getattr(made, name) == getattr(other, name), name
    told = sorted(zip(trials, made.fitted.tolist(), made.unseen.tolist(), strict=True))
    assert told == sorted(zip(mixed, other.fitted.tolist(), other.unseen.tolist(), strict=True))


@given(st.sampled_from(PRIORS), TRIALS, st.floats(-5.0, 5.0), st.floats(-20.0, 20.0))
def test_it_does_not_matter_in_what_time_is_told_nor_where_the_index_starts(
    prior: Prior, trials: list[tuple[float, float]], factor: float, start: float
) -> None:
    """All times multiplied move the line up by the logarithm of it; an index counted from elsewhere changes the offset alone."""
    made = fit_of(trials, prior)
    moved = prior._replace(offset=prior.offset + factor - prior.slope * start)
    other = fit_of([(at + start, read + factor) for at, read in trials], moved)
    assert other.slope == pytest.approx(made.slope, abs=1e-9)
    assert height(other, 40.0 + start) == pytest.approx(height(made, 40.0) + factor, abs=1e-8)
    assert half_width(other, 40.0 + start) == pytest.approx(half_width(made, 40.0), abs=1e-8)


@given(st.sampled_from(PRIORS), TRIALS)
def test_it_is_the_posterior_of_the_textbook(prior: Prior, trials: list[tuple[float, float]]) -> None:
    """Level, slope, scale and freedom are those of the normal-inverse-gamma posterior in matrices.

    O'Hagan, Kendall's Advanced Theory of Statistics 2B, ch. 11 (from memory): V = (V0^-1 + X'X)^-1, m = V (V0^-1 m0 + X'y),
    a = a0 + n, b = b0 + y'y + m0'V0^-1 m0 - m'V^-1 m.
    """
    index, y = (np.array(side) for side in zip(*trials, strict=True))
    design = np.column_stack([np.ones(len(y)), index - index.mean()])
    before = np.diag([(prior.noise / prior.level_error) ** 2, (prior.noise / prior.slope_error) ** 2])
    mean0 = np.array([height(prior, float(index.mean())), prior.slope])
    after = before + design.T @ design
    mean = np.linalg.solve(after, before @ mean0 + design.T @ y)
    scale = prior.worth * prior.noise**2 + y @ y + mean0 @ before @ mean0 - mean @ after @ mean
    made = shrunk(index, y, prior)
    assert [height(made, made.centre), made.slope] == pytest.approx(mean.tolist(), abs=1e-7)
    assert made.freedom == prior.worth + len(y)
    assert made.residual**2 * made.freedom == pytest.approx(float(scale), rel=1e-6, abs=1e-7)
    there = np.array([1.0, 10.0])
    variance = made.residual**2 * (1.0 + float(there @ np.linalg.solve(after, there)))
    assert half_width(made, made.centre + 10.0) == pytest.approx(
        t_quantile(0.9, made.freedom) * math.sqrt(variance), rel=1e-6
    )


@given(st.lists(st.tuples(INDEX, READING), min_size=5, max_size=12))
def test_where_little_is_expected_it_is_the_plain_line(trials: list[tuple[float, float]]) -> None:
    """A prior that knows next to nothing leaves the line of least squares."""
    index, reading = (np.array(side) for side in zip(*trials, strict=True))
    assume(float(np.std(index)) > 3.0)
    made, plain = shrunk(index, reading, Prior(-1.0, 0.0, 1e4, 1e4, 1e-2, 1e-6)), line(index, reading)
    assert made.slope == pytest.approx(plain.slope, abs=1e-6)
    assert made.offset == pytest.approx(plain.offset, abs=1e-4)


@given(st.sampled_from(PRIORS), st.lists(st.tuples(INDEX, READING), min_size=2, max_size=7))
def test_what_is_unseen_is_foretold_by_the_others(prior: Prior, trials: list[tuple[float, float]]) -> None:
    """Each trial is set against the line that the others and the prior alone would give."""
    made = fit_of(trials, prior)
    for place, (at, _) in enumerate(trials):
        rest = trials[:place] + trials[place + 1 :]
        assert made.unseen[place] == pytest.approx(height(fit_of(rest, prior), at), abs=1e-9)


def test_a_line_needs_a_trial() -> None:
    """Without any the line expected is all there is."""
    none: Vector = np.zeros(0)
    with pytest.raises(ValueError, match="without a trial"):
        shrunk(none, none, PRIORS[0])


@pytest.mark.long
@pytest.mark.parametrize("number", [1, 2, 5])
@pytest.mark.parametrize("apart", [0.0, 8.0])
def test_ranges_hold_as_often_as_they_say(number: int, apart: float) -> None:
    """Over 3000 benches drawn from what is expected, 80 % ranges hold a new batch as often as they say.

    Counted with a fixed seed; the bound is four standard errors of the count.
    """
    prior, rng, held = PRIORS[0], np.random.default_rng(7), 0
    index: Vector = 40.0 + apart * np.arange(number, dtype=np.float64)
    for _ in range(3000):
        noise = prior.noise * math.sqrt(prior.worth / rng.chisquare(prior.worth))
        wider = noise / prior.noise  # the conjugate prior: the less even the bench, the less sure of its line too
        slope = prior.slope + prior.slope_error * wider * rng.normal()
        level = height(prior, float(index.mean())) + prior.level_error * wider * rng.normal()
        centre = float(index.mean())
        made = shrunk(
            index,
            np.asarray(level + slope * (index - centre) + noise * rng.normal(size=number), dtype=np.float64),
            prior,
        )
        new = level + slope * (50.0 - centre) + noise * rng.normal()
        held += abs(new - height(made, 50.0)) <= half_width(made, 50.0)
    assert abs(held / 3000 - 0.8) < 4 * math.sqrt(0.8 * 0.2 / 3000)


@given(st.sampled_from(PRIORS), INDEX, READING)
def test_one_trial_alone_is_foretold_by_what_was_expected(prior: Prior, at: float, read: float) -> None:
    """Without its only trial the line is the one expected."""
    made = fit_of([(at, read)], prior)
    assert made.unseen[0] == pytest.approx(height(prior, at), abs=1e-12)
    assert made.left_out == pytest.approx(abs(read - height(prior, at)), abs=1e-12)


def test_five_trials_well_apart_outweigh_what_was_expected() -> None:
    """At a bench whose times halve sooner than the general rule's, five trials come out as a plain line would have them.

    Means of 300 benches, fixed seed: slope and time within 5 %, the width of a new batch's interval within 15 %.
    """
    prior, rng = PRIORS[0], np.random.default_rng(3)
    index: Vector = np.array([26.0, 33.0, 38.0, 44.0, 52.0])
    told = []
    for _ in range(300):
        reading = 6.5 - (index - 40.0) / 12.0 + rng.normal(0.0, 0.2, 5)
        plain, made = line(index, reading), shrunk(index, reading, prior)
        width = t_quantile(0.9, plain.freedom) * plain.residual * math.sqrt(1.0 + 1.0 / 5.0)
        told.append(
            (
                made.slope / plain.slope,
                height(made, 40.0) - plain.offset - 40.0 * plain.slope,
                half_width(made, made.centre),
                width,
            )
        )
    slopes, heights, mine, theirs = np.mean(np.array(told), axis=0)
    assert slopes == pytest.approx(1.0, abs=0.05)
    assert abs(heights) < math.log2(1.05)
    assert mine == pytest.approx(theirs, rel=0.15)
