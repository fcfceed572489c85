"""Scales of times from few trials: one shifts, two tilt, five narrow, and what is not yet the maker's own is said."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import pytest
from benches import bench
from strategies import recipe_at

from optimiser.measures.general_times import general
from optimiser.measures.scales import Scale
from optimiser.recipe.evaluation import Recipe
from optimiser.report.terminal.page import Paper
from optimiser.report.terminal.trials import fitted
from optimiser.trials.calibration import MeasureFit, fit_measure
from optimiser.trials.observations import Made

OLIVE = recipe_at({"olive oil": 100.0})
EVERYDAY = recipe_at({"olive oil": 45.0, "coconut oil": 25.0, "palm oil": 25.0, "castor oil": 5.0})
COCONUT = recipe_at({"coconut oil": 100.0})
BETWEEN = (OLIVE, recipe_at({"olive oil": 75.0, "coconut oil": 25.0}), EVERYDAY)
APART = (*BETWEEN, recipe_at({"palm oil": 55.0, "coconut oil": 45.0}), COCONUT)


def law(item: Made) -> float:
    """Seconds at a bench that takes twice as long as the general rule at 40, and halves every 10 points."""
    return float(80.0 * 2.0 ** ((40.0 - item.values["trace_speed"]) / 10.0))


def fit_of(recipes: Sequence[Recipe], folder: Path) -> MeasureFit:
    """What trials of these recipes by the law say of trace."""
    return fit_measure("trace_speed", bench(recipes, folder, lambda item: {"trace": law(item)}))


def scale_of(recipes: Sequence[Recipe], folder: Path) -> Scale:
    """The same, where a scale comes of it."""
    made = fit_of(recipes, folder)
    assert made.verdict == "usable"
    assert made.scale is not None
    return made.scale


def width(scale: Scale, index: float) -> float:
    """How many times the longest likely reading is the shortest."""
    low, high = scale.range(index)
    return high / low


def test_no_trial_leaves_the_general_rule(tmp_path: Path) -> None:
    """Nothing to fit, and the words say what stands and what one trial would do."""
    made = fit_of((), tmp_path)
    assert (made.verdict, made.scale, made.fit) == ("too few", None, None)
    assert "the general rule stands" in made.why
    assert "record one" in made.advice


def test_one_trial_shifts_and_does_not_tilt(tmp_path: Path) -> None:
    """Twice as long at one blend is taken for about twice as long at all, with wide bars."""
    scale, rule = scale_of([EVERYDAY], tmp_path), general()["trace_speed"]
    assert scale.slope == pytest.approx(-1.0 / rule.halves_every)
    at = scale.centre
    factor = 80.0 * 2.0 ** ((40.0 - at) / 10.0) / rule.expected(at)
    for index in (at, at - 10.0, at + 10.0):
        assert scale.reading(index) / rule.expected(index) == pytest.approx(factor, rel=0.05)
    assert width(scale, at) > 2.0
    assert width(scale, at + 15.0) > 1.5 * width(scale, at)


def test_two_apart_tilt_and_five_narrow(tmp_path: Path) -> None:
    """With trials that lie apart the slope comes nearer to the bench's own, and ranges become narrower."""
    scales = [scale_of(recipes, tmp_path) for recipes in ((EVERYDAY,), (OLIVE, COCONUT), APART)]
    off = [abs(scale.slope + 1.0 / 10.0) for scale in scales]
    assert off[0] > 2.0 * off[1]
    assert off[2] < 0.01
    widths = [width(scale, 40.0) for scale in scales]
    assert widths == sorted(widths, reverse=True)
    assert [scale.own_slope for scale in scales] == sorted(scale.own_slope for scale in scales)
    assert scales[0].own_slope == pytest.approx(0.0, abs=1e-9)


def test_the_words_say_on_how_many_trials_it_rests(tmp_path: Path) -> None:
    """One trial, several alike, and several apart: what is still the general rule is named, or how much of a say it has."""
    paper = Paper(200)
    one, apart = (" ".join(fitted([fit_of(recipes, tmp_path)], "", paper).split()) for recipes in ((EVERYDAY,), APART))
    assert "by the general rule still; its height is by 1 trial of yours" in one
    assert "The general rule was off by" in one
    assert "since there is one trial" in one
    assert "log2" not in one
    assert "it rests on 5 trials, the general rule having" in apart
    assert "Left out one at a time" in apart
    assert "still the general rule" not in apart


def test_trials_that_run_against_the_rule_are_not_believed(tmp_path: Path) -> None:
    """Two trials apart of which the fast batter took far longer make no scale."""
    readings = {"001": 30.0, "002": 600.0}
    made = fit_measure(
        "trace_speed", bench([OLIVE, COCONUT], tmp_path, lambda item: {"trace": readings[item.trial.name]})
    )
    assert made.scale is None
    assert made.verdict in ("wrong way", "unsure")


def test_hours_of_one_trial_lie_between_the_rule_and_the_trial(tmp_path: Path) -> None:
    """The general rule of hours is surer than that of seconds, since everybody's hours are the same thing."""
    made = fit_measure("set_up", bench([EVERYDAY], tmp_path, lambda _: {"unmould": 60.0}))
    assert made.scale is not None
    rule = general()["set_up"].expected(made.scale.centre)
    assert rule < made.scale.reading(made.scale.centre) < 60.0
    assert math.log2(60.0 / made.scale.reading(made.scale.centre)) < 0.5 * math.log2(60.0 / rule)
