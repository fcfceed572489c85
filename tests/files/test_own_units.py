"""Goals in the maker's own units: minutes, hours and readings become limits on the index."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.files.goals import read_goals
from optimiser.files.scale_file import read_scales, scales_yaml
from optimiser.files.workspace import nearest_scales
from optimiser.measures.general_times import general
from optimiser.measures.scales import OwnLever, Scale
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.text.diagnostics import BadInput, Diagnostic

TRACE = Scale("trace_speed", "s", -1 / 12, 12.0, 8, 0.2, 6.0, 40.0, 20.0, 25.0, 60.0, 0.25)
HOURS = Scale("set_up", "h", -1 / 20, 6.5, 8, 0.2, 6.0, 40.0, 20.0, 25.0, 60.0, 0.25)
SHORE = Scale("hardness", "Shore D", 0.8, -5.0, 8, 1.5, 6.0, 55.0, 20.0, 40.0, 70.0, 1.7)
DEPTH = Scale("hardness", "0.1 mm", -2.0, 180.0, 8, 1.5, 6.0, 55.0, 20.0, 40.0, 70.0, 1.7)


def workshop(folder: Path, *scales: Scale) -> Path:
    """A folder with goals and trials beside each other; where goal files go is given back."""
    (folder / "goals").mkdir(exist_ok=True)
    (folder / "trials").mkdir(exist_ok=True)
    if scales:
        text = scales_yaml({scale.measure: scale for scale in scales})
        (folder / "trials" / "scales.yaml").write_text(text, encoding="utf-8")
    return folder / "goals"


def read(folder: Path, text: str) -> GoalSheet:
    """A goal file of the workshop."""
    path = folder / "goals.yaml"
    path.write_text(text, encoding="utf-8")
    return read_goals(path)


def one(folder: Path, text: str) -> Limit:
    """The only limit of a goal file."""
    (limit,) = read(folder, f"goals: {{{text}}}\n").goals
    return limit


def faults(folder: Path, text: str) -> tuple[Diagnostic, ...]:
    """What is wrong with a goal file."""
    with pytest.raises(BadInput) as caught:
        read(folder, text)
    return caught.value.diagnostics


@pytest.mark.parametrize(
    ("text", "side", "value", "said"),
    [
        ("trace_speed: {at_least: 6 min}", "at_most", 42.1, "trace speed at least 6 min (trace speed at most 42.1 on your scale)"),
        ("trace_speed: {at_most: 4 min 30 s}", "at_least", 47.1, "trace speed at most 4 min 30 s (trace speed at least 47.1 on your scale)"),
        ("trace_speed: '>= 360 s'", "at_most", 42.1, "trace speed at least 360 s (trace speed at most 42.1 on your scale)"),
        ("trace_speed: 6 min", "exactly", 42.1, "trace speed exactly 6 min (trace speed 42.1 on your scale)"),
        ("set_up: {at_most: 24 h}", "at_least", 38.3, "set-up at most 24 h (set-up at least 38.3 on your scale)"),
        ("set up: {at most: 1 day}", "at_least", 38.3, "set-up at most 1 day (set-up at least 38.3 on your scale)"),
        ("hardness: {at_least: 40 Shore D}", "at_least", 56.2, "hardness at least 40 Shore D (hardness at least 56.2 on your scale)"),
        ("hardness: {at_most: 40 shore d}", "at_most", 56.2, "hardness at most 40 shore d (hardness at most 56.2 on your scale)"),
        ("trace_speed: {at_least: 40 min}", "at_most", 9.3, "trace speed at least 40 min (trace speed at most 9.3 on your scale, beyond your trials)"),
    ],
)  # fmt: skip
def test_figures_become_limits_on_the_index(text: str, side: str, value: float, said: str, tmp_path: Path) -> None:
    """The side turns round where readings fall as the index rises, and the maker's words are kept."""
    limit = one(workshop(tmp_path, TRACE, HOURS, SHORE), text)
    assert (limit.side, limit.value, str(limit.said), limit.unit) == (side, value, said, "index")


def test_a_depth_turns_the_side_round(tmp_path: Path) -> None:
    """At most so deep means at least so hard."""
    limit = one(workshop(tmp_path, DEPTH), "hardness: {at_most: 60 0.1 mm}")
    assert (limit.side, limit.value) == ("at_least", 60.0)


@pytest.mark.parametrize("text", ["{between: [6 min, 10 min]}", "{at_least: 6 min, at_most: 10 min}"])
def test_two_sides_become_two_sides(text: str, tmp_path: Path) -> None:
    """The shorter time is the higher index."""
    limits = read(workshop(tmp_path, TRACE), f"goals: {{trace_speed: {text}}}\n").goals
    assert {limit.side: limit.value for limit in limits} == {"at_most": 42.1, "at_least": 33.3}


def test_indices_and_words_stay_what_they_were(tmp_path: Path) -> None:
    """A bare figure, points and a band word are indices, scale or no scale."""
    goals = workshop(tmp_path, TRACE, SHORE)
    assert one(goals, "trace_speed: {at_most: 31}").value == 31
    assert one(goals, "hardness: {at_least: 45 points}").value == 45
    assert len(read(goals, "goals: {trace_speed: slow}\n").goals) == 2


def test_preferences_and_practice_take_own_units_too(tmp_path: Path) -> None:
    """Wherever a measure may be limited, the maker's unit may stand."""
    sheet = read(
        workshop(tmp_path, TRACE, SHORE),
        "prefer:\n  - trace_speed: {at_least: 6 min}\npractice: {hardness: 40 Shore D}\n",
    )
    assert sheet.prefer[0][0].value == 42.1
    assert sheet.practice[0].limits[0].value == 56.2


@pytest.mark.parametrize(
    ("text", "code", "place", "message"),
    [
        ("goals: {trace_speed: {at_least: 6 min}}", "no-scale", (1, 33), "there is no scale yet"),
        ("goals: {hardness: 40 Shore D}", "no-scale", (1, 19), "needs a scale of your own"),
        ("goals: {trace_speed: 45 %}", "wrong-unit", (1, 22), "plain figure"),
        ("goals: {wear_life: 6 min}", "wrong-unit", (1, 20), "plain figure"),
    ],
)
def test_without_a_scale_the_way_to_one_is_told(
    text: str, code: str, place: tuple[int, int], message: str, tmp_path: Path
) -> None:
    """The fault stands where the figure does, and says how to come by a scale or what to write instead."""
    (fault,) = faults(workshop(tmp_path), text)
    assert fault.span is not None
    assert (fault.code, (fault.span.line, fault.span.column)) == (code, place)
    assert message in fault.message
    if code == "no-scale":
        record = "record 5 trials" if "hardness" in text else "record a trial"
        assert f"{record} with 'barwright trial add'" in fault.help
        assert "write an index" in fault.help


def test_a_rule_of_thumb_is_offered_for_times(tmp_path: Path) -> None:
    """Without a scale the help names the index that the time has on the general scale."""
    (fault,) = faults(workshop(tmp_path), "goals: {set_up: {at_most: 36 h}}")
    index = general()["set_up"].index_of(36.0)
    assert f"by rule of thumb 36 h is set-up {index:.0f}" in fault.help


@pytest.mark.parametrize(
    ("time", "told"),
    [
        ("50 s", "50 s of blender to a light trace is trace speed 35"),
        ("15 min", "15 min of workable batter is trace speed 35"),
        ("9 h", ""),
    ],
)
def test_a_rule_of_thumb_tells_the_two_times_round_trace_apart(time: str, told: str, tmp_path: Path) -> None:
    """Seconds can only be of the blender and a quarter of an hour only of the batter; nine hours are neither."""
    (fault,) = faults(workshop(tmp_path), f"goals: {{trace_speed: {{at_least: {time}}}}}")
    assert (told or "write an index") in fault.help
    assert ("by rule of thumb" in fault.help) == bool(told)


def test_one_trial_makes_own_units_and_says_how_wide_they_are(tmp_path: Path) -> None:
    """A scale of one trial is used, its width told as a factor; from five trials on no more is said."""
    few = TRACE._replace(trials=1, behind=1.02, own_slope=0.0, freedom=5.0, error=0.3, spread=6.7)
    low, high = few.range(42.1)
    limit = one(workshop(tmp_path, few), "trace_speed: {at_least: 6 min}")
    wide = f"on your scale of 1 trial, good to a factor of {(high / low) ** 0.5:.1f}"
    assert str(limit.said) == f"trace speed at least 6 min (trace speed at most 42.1 {wide})"
    assert limit.value == 42.1
    assert "factor" not in str(one(workshop(tmp_path, few._replace(trials=5)), "trace_speed: 6 min").said)


@pytest.mark.parametrize(
    ("text", "code", "message"),
    [
        ("hardness: 40 Shore A", "wrong-unit", "your scale of hardness is in Shore D, not in 'Shore A'"),
        ("trace_speed: {at_least: 5 m}", "wrong-unit", "no unit"),
        ("hardness: {at_least: 400 Shore D}", "out-of-range", "which nothing can be"),
        ("trace_speed: {between: [10 min, 6 min]}", "contradiction", "the first figure is above the second"),
        ("trace_speed: {at_least: 10 min, at_most: 6 min}", "contradiction", "at_least is above at_most"),
        ("trace_speed: {at_least: 6 min, at_most: 40}", "contradiction", "one side is an index"),
        ("hardness: {at_least: 40 Shore D and more}", "wrong-unit", "Shore D and more"),
    ],
)
def test_what_cannot_be_meant_is_told(text: str, code: str, message: str, tmp_path: Path) -> None:
    """Another unit, a figure off the scale, turned or mixed sides."""
    (fault,) = faults(workshop(tmp_path, TRACE, SHORE), f"goals: {{{text}}}")
    assert fault.code == code
    assert message in fault.message


def test_the_nearest_scales_count(tmp_path: Path) -> None:
    """Scales beside the goal file come before those further up."""
    goals = workshop(tmp_path, TRACE)
    assert nearest_scales(goals / "x.yaml") == tmp_path / "trials" / "scales.yaml"
    (goals / "trials").mkdir()
    assert nearest_scales(goals / "x.yaml") == tmp_path / "trials" / "scales.yaml"
    (goals / "trials" / "scales.yaml").write_text(scales_yaml({"hardness": SHORE}), encoding="utf-8")
    assert nearest_scales(goals / "x.yaml") == goals / "trials" / "scales.yaml"
    assert faults(goals, "goals: {trace_speed: 6 min}")[0].code == "no-scale"


def test_scales_read_back_as_written(tmp_path: Path) -> None:
    """A file of scales holds every figure of them, levers and odd units too."""
    odd = SHORE._replace(
        behind=5.5, own_slope=0.25, unit='my "tester": \\1', levers={"free oil": OwnLever(-0.5, -1.0, 0.25)}
    )
    path = tmp_path / "scales.yaml"
    path.write_text(scales_yaml({"hardness": odd, "trace_speed": TRACE, "set_up": HOURS}), encoding="utf-8")
    found = read_scales(path)
    assert list(found) == ["trace_speed", "set_up", "hardness"]
    assert found["hardness"] == odd
    assert found["trace_speed"].slope == pytest.approx(TRACE.slope, rel=1e-11)
    path.write_text("# nothing yet\n", encoding="utf-8")
    assert read_scales(path) == {}


@pytest.mark.parametrize(
    ("before", "after", "code", "line"),
    [
        ("slope: -0.08", "slope: 0.08", "wrong-slope", 3),
        ("unit: s", "unit: min", "wrong-unit", 3),
        ("trials: 8", "trials: 0", "out-of-range", 7),
        ("spread: 20", "spread: 0", "out-of-range", 11),
        ("freedom: 6", "freedom: much", "not-a-figure", 9),
        ("trials: 8", "runs: 8", "unknown-key", 7),
        ("trace_speed:", "sparkle:", "unknown-key", 3),
        ("trace_speed:", "trace:", "unknown-key", 3),
        ("trace_speed:\n  unit: s", "hardness:\n  unit: Shore D", "wrong-slope", 3),
    ],
)
def test_a_faulty_file_of_scales_is_told_with_its_place(
    before: str, after: str, code: str, line: int, tmp_path: Path
) -> None:
    """A goal that needs the scales shows what is wrong with them, in their own file."""
    goals = workshop(tmp_path, TRACE)
    path = tmp_path / "trials" / "scales.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(before, after, 1), encoding="utf-8")
    found = faults(goals, "goals: {trace_speed: {at_least: 6 min}}")
    assert code in {fault.code for fault in found}
    fault = next(fault for fault in found if fault.code == code)
    assert fault.span is not None
    assert (Path(fault.span.file).name, fault.span.line in (line, line + 1)) == ("scales.yaml", True)
