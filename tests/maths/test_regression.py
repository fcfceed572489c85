"""Lines through few points: the arithmetic, the error bars, and what is refused in words."""

from __future__ import annotations

import math
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from benches import bench, plain_recipes, varied_recipes
from strategies import recipe_at

from optimiser.files.trial_file import Reading
from optimiser.maths.regression import PENALTIES, chosen, line, ridge
from optimiser.maths.student_t import t_quantile
from optimiser.measures.measures import LEVER_FIELDS as BATCH
from optimiser.measures.scales import LEAST_TRIALS, Scale
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.levers import KINDS, book, known_levers
from optimiser.reference import rows
from optimiser.report.terminal.page import Paper
from optimiser.report.terminal.trials import fitted
from optimiser.trials.calibration import KEEPING, LEVER_TRIALS, MeasureFit, fit_measure, moved_levers
from optimiser.trials.observations import Made, observations

WAVE = np.array([0.11, -0.08, 0.05, -0.13, 0.09, -0.04, 0.02, -0.06, 0.12, -0.1, 0.07, -0.05, 0.03, 0.0, -0.02, 0.04])


def seconds(item: Made, per_halving: float = 15.0) -> float:
    """Time to trace by a law of the test's own."""
    return float(500.0 * 2.0 ** ((40.0 - item.values["trace_speed"]) / per_halving))


def wavering(item: Made) -> float:
    """The same with a small error that depends on the trial's number alone."""
    return float(seconds(item) * 2.0 ** WAVE[int(item.trial.name) % len(WAVE)])


def of_trace(recipes: list[Recipe], folder: Path) -> MeasureFit:
    """Trials of the recipes, read with a small error, and what they say of trace."""
    return fit_measure("trace_speed", bench(recipes, folder, lambda item: {"trace": wavering(item)}))


def of_hardness(recipes: list[Recipe], folder: Path) -> MeasureFit:
    """Trials of the recipes, read off an instrument, and what they say of hardness."""
    law = {"hardness": Reading(40.0, "Shore D")}
    return fit_measure("hardness", bench(recipes, folder, lambda _: law))


# -- the arithmetic --------------------------------------------------------------------------------------------


def test_left_out_needs_no_refitting() -> None:
    """What a line without each trial says is what a line fitted anew without it says, with levers and without."""
    rng = np.random.default_rng(5)
    index, levers = rng.uniform(20, 60, 16), rng.normal(size=(16, 3))
    reading = 10 - 0.06 * index + levers @ np.array([0.3, 0.0, -0.2]) + rng.normal(0, 0.1, 16)
    for penalty in (0.5, 10.0, math.inf):
        made = ridge(index, reading, levers, penalty)
        for out in range(16):
            rest = np.arange(16) != out
            other = ridge(index[rest], reading[rest], levers[rest], penalty)
            says = other.offset + other.slope * index[out]
            says += float(np.array(other.corrections) @ (levers[out] - np.array(other.pulled)))
            assert made.unseen[out] == pytest.approx(says, abs=1e-9)


def test_the_penalty_is_the_one_that_foretells_best() -> None:
    """No other penalty of the list has a smaller left-out error, and the error told is not the flattered one."""
    rng = np.random.default_rng(6)
    index, levers = rng.uniform(20, 60, 24), rng.normal(size=(24, 4))
    reading = 10 - 0.06 * index + levers @ np.array([0.5, -0.4, 0.0, 0.0]) + rng.normal(0, 0.2, 24)
    made = chosen(index, reading, levers)
    errors = {penalty: ridge(index, reading, levers, penalty).left_out for penalty in (*PENALTIES, math.inf)}
    assert math.isfinite(made.penalty)
    assert errors[made.penalty] == min(errors.values())
    assert made.left_out == pytest.approx(float(np.sqrt(np.mean((reading - made.unseen) ** 2))))
    assert made.left_out >= errors[made.penalty]


def test_what_is_left_out_has_no_say_in_the_penalty() -> None:
    """Each trial is foretold under the penalty that the others alone would choose, which is not always the same."""
    rng = np.random.default_rng(3)
    index, levers = rng.uniform(20, 60, 15), rng.normal(size=(15, 3))
    reading = 10 - 0.06 * index + levers @ np.array([0.15, 0.0, 0.0]) + rng.normal(0, 0.3, 15)
    made, inner = chosen(index, reading, levers), []
    for out in range(15):
        rest = np.arange(15) != out
        other = chosen(index[rest], reading[rest], levers[rest])
        says = other.offset + other.slope * index[out]
        says += float(np.array(other.corrections) @ (levers[out] - np.array(other.pulled)))
        assert made.unseen[out] == pytest.approx(says, abs=1e-9)
        inner.append(other.penalty)
    assert len(set(inner)) > 1


def test_levers_that_are_right_by_the_book_are_left_alone() -> None:
    """Where the book foretells every trial, the penalty is without end and no lever is corrected."""
    rng = np.random.default_rng(7)
    index, levers = rng.uniform(20, 60, 20), rng.normal(size=(20, 3))
    made = chosen(index, 10 - 0.06 * index, levers)
    assert made.penalty == math.inf
    assert made.corrections == (0.0, 0.0, 0.0)
    assert made.slope == pytest.approx(line(index, 10 - 0.06 * index).slope)


def test_error_bars_hold_as_often_as_they_say() -> None:
    """Over 3000 benches of six trials, 95 % intervals hold the slope and 80 % ranges a new batch, as often as they say.

    Counted with a fixed seed; the bounds are four standard errors of the count.
    """
    rng = np.random.default_rng(11)
    index = np.array([24.0, 30.0, 37.0, 41.0, 50.0, 57.0])
    held = foretold = 0
    for _ in range(3000):
        made = line(index, 12 - 0.066 * index + rng.normal(0, 0.2, 6))
        low, high = made.interval()
        held += low <= -0.066 <= high
        figures = (made.slope, made.offset, 6, made.residual, made.freedom, made.centre, made.spread, 24.0, 57.0, 0.0)
        least, most = Scale("hardness", "of its own", *figures).range(45.0, 0.8)
        foretold += least <= 12 - 0.066 * 45 + rng.normal(0, 0.2) <= most
    assert abs(held / 3000 - 0.95) < 4 * math.sqrt(0.95 * 0.05 / 3000)
    assert abs(foretold / 3000 - 0.80) < 4 * math.sqrt(0.8 * 0.2 / 3000)


@pytest.mark.parametrize("index", [[1.0, 2.0], [3.0, 3.0, 3.0], [1e6, 1e6, 1e6 + 1e-6]])
def test_no_line_without_spread(index: list[float]) -> None:
    """Two points, or points over each other, make no line."""
    with pytest.raises(ValueError, match="spread"):
        line(np.array(index), np.arange(len(index), dtype=float))


def test_a_penalty_is_above_nothing() -> None:
    """A penalty of 0 is refused: the levers would be free of the book."""
    with pytest.raises(ValueError, match="above 0"):
        ridge(np.arange(5.0), np.arange(5.0), np.ones((5, 1)), 0.0)


@pytest.mark.parametrize(("chance", "freedom"), [(0.0, 3.0), (1.0, 3.0), (0.9, 0.0), (0.9, -1.0)])
def test_no_quantile_outside(chance: float, freedom: float) -> None:
    """There is no t for certainty, nor without degrees of freedom."""
    with pytest.raises(ValueError, match="no t"):
        t_quantile(chance, freedom)


# -- from trials to a scale ------------------------------------------------------------------------------------


def test_five_trials_make_a_scale(tmp_path: Path) -> None:
    """The law that the readings follow is all but found again, and a scale turns readings into indices and back."""
    made = fit_measure("trace_speed", bench(plain_recipes(5), tmp_path, lambda item: {"trace": seconds(item, 12.0)}))
    assert (made.verdict, made.why, len(made.trials)) == ("usable", "", 5)
    assert made.scale is not None
    assert made.scale.slope == pytest.approx(-1 / 12, rel=0.06)  # the general scale has -1/15
    assert made.scale.index_of(500.0) == pytest.approx(40.0, abs=0.5)
    assert made.scale.reading(made.scale.index_of(321.0)) == pytest.approx(321.0)


def test_hours_and_hardness_have_scales_of_their_own(tmp_path: Path) -> None:
    """Hours to unmould fall as set-up rises, durometer readings rise with the hardness."""

    def law(item: Made) -> dict[str, Any]:
        hours = 18.0 * 2.0 ** (-(item.values["set_up"] - 45.0) / 18.0) * 2.0 ** WAVE[int(item.trial.name)]
        return {"unmould": hours, "hardness": Reading(0.9 * item.values["hardness"] - 10, "Shore D")}

    batches = bench(plain_recipes(), tmp_path, law)
    hours, hardness = fit_measure("set_up", batches).scale, fit_measure("hardness", batches).scale
    assert hours is not None
    assert hours.slope == pytest.approx(-1 / 18, rel=0.1)
    assert hardness is not None
    assert hardness.unit == "Shore D"
    assert hardness.index_of(44.0) == pytest.approx(60.0)


def test_a_depth_falls_as_the_bar_hardens(tmp_path: Path) -> None:
    """A cone goes less deep into a harder bar: the scale falls, and that is the right way."""
    batches = bench(
        plain_recipes(), tmp_path, lambda item: {"hardness": Reading(20 - item.values["hardness"] / 5, "mm")}
    )
    made = fit_measure("hardness", batches)
    assert made.verdict == "usable"
    assert made.fit is not None
    assert made.fit.slope == pytest.approx(-0.2)


@pytest.mark.parametrize("number", range(LEAST_TRIALS))
def test_too_few_are_refused_in_words(number: int, tmp_path: Path) -> None:
    """Below five trials an instrument has no scale, and the words count what there is and what is wanting."""
    made = of_hardness(plain_recipes(number), tmp_path)
    assert (made.verdict, made.fit, made.scale) == ("too few", None, None)
    assert "hardness reading, and a scale takes 5" in made.why
    assert f"record {LEAST_TRIALS - number} more" in made.advice


def test_trials_without_spread_are_refused_with_recipes_to_try(tmp_path: Path) -> None:
    """Ten batches of nearly the same bar tell no slope; the advice names a slow fat and a fast one with their figures."""
    recipes = [recipe_at({"olive oil": 60 + place / 10, "coconut oil": 30, "lard": 10}) for place in range(10)]
    made = of_hardness(recipes, tmp_path)
    assert (made.verdict, made.fit) == ("no spread", None)
    assert "too close together" in made.why
    (told,) = (remark for remark in of_trace(recipes, tmp_path).remarks if "one recipe mostly" in remark)
    assert "mostly of olive oil (trace speed 26 alone)" in told
    assert "coconut oil (57 alone)" in told


@pytest.mark.parametrize("measure", ["trace_speed", "set_up", "hardness"])
def test_recipes_to_try_are_of_fats_that_keep(measure: str, tmp_path: Path) -> None:
    """Nobody is sent to make a bar mostly of an oil that goes rancid, whatever oils the trials were made with."""
    recipes = [recipe_at({"hemp seed oil": 30 + place / 10, "soybean oil": 30, "olive oil": 40}) for place in range(8)]
    law: dict[str, Any] = {"trace": 300.0, "unmould": 20.0, "hardness": Reading(40.0, "Shore D")}
    made = fit_measure(measure, bench(recipes, tmp_path, lambda _: law))
    assert made.verdict == ("no spread" if measure == "hardness" else "usable")
    told = " ".join((made.advice, *made.remarks))
    assert "mostly of" in told
    assert "hemp" not in told
    assert "soybean" not in told
    assert any(name in told for name in KEEPING)


@pytest.mark.parametrize(
    ("near", "far"),
    [
        (("olive oil", "lard"), "coconut oil"),
        (("palm stearin", "cocoa butter"), "olive oil"),
    ],
)
def test_one_trial_far_off_is_told(near: tuple[str, str], far: str, tmp_path: Path) -> None:
    """Where all but one lie together, below or above it, the words say that the slope rests on that one; the rest are named."""
    recipes = [recipe_at({near[0]: 60 + place / 10, near[1]: 40}) for place in range(6)]
    indices = [judge(recipe).values["trace_speed"] for recipe in recipes]
    made = of_trace([*recipes, recipe_at({far: 100})], tmp_path)
    assert made.verdict == "usable"
    why = f"ll trials but one lie at trace speed {min(indices):.0f} to {max(indices):.0f}: that one alone"
    assert any(why in remark for remark in made.remarks)


def test_a_slope_the_wrong_way_is_told_and_not_used(tmp_path: Path) -> None:
    """Times that grow with the index are told with their slope, and no scale comes of them."""
    made = fit_measure("trace_speed", bench(plain_recipes(), tmp_path, lambda item: {"trace": 1e5 / seconds(item)}))
    assert (made.verdict, made.scale) == ("wrong way", None)
    assert made.fit is not None
    assert made.fit.slope > 0
    assert "wrong way" in made.why


def test_a_slope_that_could_be_none_is_not_used(tmp_path: Path) -> None:
    """Where the interval of the slope reaches to both sides of nothing, there is no scale yet."""
    noise = {1: 900.0, 2: 60.0, 3: 800.0, 4: 50.0, 5: 700.0, 6: 100.0}
    made = fit_measure(
        "trace_speed", bench(plain_recipes(), tmp_path, lambda item: {"trace": noise[int(item.trial.name)]})
    )
    assert (made.verdict, made.scale) == ("unsure", None)
    assert made.fit is not None
    low, high = made.fit.interval()
    assert low < 0 < high


def test_readings_in_another_unit_are_left_out_and_named(tmp_path: Path) -> None:
    """The unit that most trials use is fitted, however it is written; the others are named."""

    def law(item: Made) -> dict[str, Any]:
        unit = {"002": "shore d", "004": "Shore A"}.get(item.trial.name, "Shore D")
        return {"hardness": Reading(0.9 * item.values["hardness"] - 10, unit)}

    made = fit_measure("hardness", bench(plain_recipes(), tmp_path, law))
    assert (made.unit, len(made.trials), made.verdict) == ("Shore D", 5, "usable")
    assert "another unit than Shore D: 004" in made.remarks[0]


# -- levers ----------------------------------------------------------------------------------------------------


def stronger_gel(item: Made) -> float:
    """Hours to unmould at a bench where gel hurries twice as much as the book has it, and water nothing at all."""
    index = item.values["set_up"] + 15.0 * item.units["gel"] + 1.2 * item.units["water"]
    return float(18.0 * 2.0 ** (-(index - 45.0) / 18.0) * 2.0 ** (WAVE[int(item.trial.name) % len(WAVE)] / 2))


def test_levers_are_fitted_from_fifteen_trials_on(tmp_path: Path) -> None:
    """With fourteen trials the book's levers stand; with thirty the bench's own show through the penalty."""
    few = fit_measure(
        "set_up", bench(varied_recipes(LEVER_TRIALS - 1), tmp_path, lambda item: {"unmould": stronger_gel(item)})
    )
    assert few.levers == ()
    batches = bench(varied_recipes(30), tmp_path, lambda item: {"unmould": stronger_gel(item)})
    made = fit_measure("set_up", batches)
    own = {lever.name: lever for lever in made.levers}
    assert own["gel"].book == 15
    assert abs(own["gel"].points - 30) < 5
    assert abs(own["gel"].points - 30) <= own["gel"].give_or_take * 1.5
    assert abs(own["water"].points) < 0.5
    assert made.fit is not None
    assert math.isfinite(made.fit.penalty)
    assert made.scale is not None
    assert made.scale.error == max(made.fit.residual, made.fit.left_out) > made.fit.residual
    pulls = np.array([item.values["set_up"] for item in batches])
    plain = line(pulls, np.log2([item.trial.unmould or 0.0 for item in batches]))
    assert made.fit.left_out < 0.6 * plain.left_out


def test_own_levers_count_when_a_batch_is_foretold(tmp_path: Path) -> None:
    """Times foretold with the maker's levers come nearer to a batch than those without them."""
    batches = bench(varied_recipes(36), tmp_path, lambda item: {"unmould": stronger_gel(item)})
    scale = fit_measure("set_up", batches[:30]).scale
    assert scale is not None
    assert "gel" in scale.levers
    errors: dict[bool, float] = {True: 0.0, False: 0.0}
    for item in batches[30:]:
        for own in (True, False):
            index = item.values["set_up"]
            low, high = scale.range(scale.corrected(index, item.units) if own else index)
            errors[own] += math.log2(math.sqrt(low * high) / (item.trial.unmould or 0.0)) ** 2
    assert errors[True] < 0.25 * errors[False]


def test_a_lever_that_never_moved_is_not_fitted(tmp_path: Path) -> None:
    """Twenty batches that differ in their fats alone say nothing of gel or lactate."""
    batches = bench(plain_recipes(20), tmp_path, lambda item: {"trace": wavering(item)})
    moved = {lever.name for lever in moved_levers(observations("trace_speed", batches))}
    assert moved == {"water"}  # at one strength of lye, fats that take more alkali bring more water
    made = fit_measure("trace_speed", batches)
    assert {lever.name for lever in made.levers} <= moved
    assert made.scale is not None


def test_the_pulls_are_those_that_the_measures_count(tmp_path: Path) -> None:
    """Points of the book times pulls are what the levers of the batch add to each measure."""
    plain = {"olive oil": 60.0, "coconut oil": 30.0, "shea butter": 10.0}
    still, pulled = (
        bench([recipe], tmp_path, lambda _: {})[0]
        for recipe in (
            recipe_at(plain),
            recipe_at(
                plain, superfat=8, lye=28, potassium=10, extra={"sodium lactate": 2}, batter_temperature=45, gel=True
            ),
        )
    )
    for name in ("trace_speed", "set_up", "hardness"):
        added = sum(book(name, lever) * (pulled.units[lever] - still.units[lever]) for lever in known_levers())
        assert pulled.values[name] - still.values[name] == pytest.approx(added, abs=1e-9)
    assert still.units["butter"] == pytest.approx(1.0)
    assert book("trace_speed", "butter") == pytest.approx(1.0)
    assert book("hardness", "hard waxes") == pytest.approx(1.5)


def test_every_lever_says_where_its_span_comes_from() -> None:
    """Each row of the table of spans has a span, a unit, a status and a source, and speaks of a lever that is known."""
    for row in rows("lever_spans"):
        assert float(row["span"]) > 0, row["lever"]
        assert row["unit"], row["lever"]
        assert row["status"] == "prior"
        assert row["source"]
    named = {row["lever"] for row in rows("lever_spans")}
    assert named == {*BATCH, *KINDS, "hard waxes", "additive"}
    assert set(known_levers()) == {row["lever"] for row in rows("measure_levers")} | set(KINDS)


# -- in words --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [60, 80, 120])
def test_a_fit_is_told_in_words(width: int, tmp_path: Path) -> None:
    """Slope with its interval, the left-out error, the trials and what to expect, on any page; plain letters if asked."""
    batches = bench(varied_recipes(30), tmp_path, lambda item: {"unmould": stronger_gel(item), "trace": 1e4})
    fits = [fit_measure(name, batches) for name in ("trace_speed", "set_up", "hardness")]
    text = fitted(fits, "Saved.", Paper(width, ascii=True))
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= width
    flat = " ".join(text.split())
    assert "cannot be told from none" in flat
    assert "Left out one at a time" in flat
    assert "gelled" in flat
    assert "no trial has a hardness reading" in flat.casefold()
    assert flat.endswith("Saved.")


def straight(item: Made, sign: float, unit: str) -> dict[str, Any]:
    """A hardness reading in proportion to the index."""
    return {"hardness": Reading(50 + sign * item.values["hardness"], unit)}


def test_which_way_a_reading_should_go_is_told(tmp_path: Path) -> None:
    """A time should fall as its index rises, a hardness reading rise and a depth fall; the refusal says which."""
    trace = fit_measure("trace_speed", bench(plain_recipes(), tmp_path, lambda item: {"trace": 1e5 / seconds(item)}))
    assert "a time to trace falls as trace speed goes up" in trace.why
    for unit, sign, should in (("Shore D", -0.5, "rises"), ("mm", 0.5, "falls")):
        made = fit_measure("hardness", bench(plain_recipes(), tmp_path, partial(straight, sign=sign, unit=unit)))
        assert made.verdict == "wrong way"
        assert f"a hardness reading {should} as hardness goes up" in made.why


@pytest.mark.parametrize("level", [1e4, math.log(1e4), 0.1, 1e-3])
def test_readings_all_alike_have_no_slope(level: float) -> None:
    """Whatever binary fractions make of the mean of equal readings, the line through them is level."""
    fit = line(np.linspace(20.0, 60.0, 30), np.full(30, level))
    assert fit.slope == 0.0
    assert fit.interval()[0] <= 0.0 <= fit.interval()[1]
    assert fit.offset == pytest.approx(level)
