"""The commands on trials: record, list, fit."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from benches import SPREAD, written

from optimiser.cli.main import main
from optimiser.cli.trial_options import DEFAULT_FOLDER
from optimiser.cli.trials import COMMANDS
from optimiser.files.scale_file import read_scales
from optimiser.files.trial_file import Reading, Trial, read_trial, read_trials
from optimiser.files.workspace import FOLDER
from optimiser.measures.scales import MEASURES
from optimiser.trials.calibration import reading_words
from optimiser.trials.observations import made

FULL = "recipe: ../recipe.yaml\nash: no\n"


def add(shop: Path, *options: str, recipe: str = "recipe.yaml") -> int:
    """`trial add` in the workshop."""
    return main(["trial", "add", str(shop / recipe), "--folder", str(shop / "trials"), *options])


def test_add_writes_one_file_and_says_where_it_is(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The trial is written with what was said, and the answer tells file, indices and how far the trials have come."""
    options = ["--trace", "4 min 30 s", "--unmould", "20 h", "--hardness", "41", "--hardness-unit", "Shore D"]
    assert add(shop, *options, "--ash", "no", "--note", "lavender", "--note", "cold room", "--date", "2026-11-25") == 0
    out, err = capfd.readouterr()
    assert err == ""
    told = " ".join(out.split())
    assert "001-thirds.yaml" in told
    values = made(read_trials(shop / "trials")[0][0]).values
    assert f"Predicted for this batch: trace speed {values['trace_speed']:.0f}, set-up {values['set_up']:.0f}" in told
    assert "1 with a time to trace" in told
    trial = read_trial(shop / "trials" / "001-thirds.yaml")
    assert (trial.trace, trial.unmould, trial.hardness, trial.ash) == (270.0, 20.0, Reading(41.0, "Shore D"), False)
    assert (trial.notes, trial.date, trial.linked) == (("lavender", "cold room"), "2026-11-25", False)
    assert add(shop, "--link", "--hardness", "41 Shore D") == 0
    assert read_trial(shop / "trials" / "002-thirds.yaml").linked
    capfd.readouterr()
    assert add(shop, "--ash", "yes", "--json") == 0
    data = json.loads(capfd.readouterr().out)
    assert (data["format"], data["trials"][0]["ash"], data["trials"][0]["trial"]) == ("barwright/1", True, "003-thirds")


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], "says nothing of how the batch went"),
        (["--trace", "4"], "--trace is a length of time, and '4' lacks a unit"),
        (["--trace", "4:30"], "could be minutes and seconds"),
        (["--unmould", "soon"], "'soon' is not a figure"),
        (["--hardness", "41"], "has no unit"),
        (["--hardness", "hard", "--hardness-unit", "Shore D"], "'hard' is not a figure"),
        (["--hardness-unit", "Shore D"], "no reading"),
        (["--hardness", "41 Shore A", "--hardness-unit", "Shore D"], "keep one of the two"),
        (["--date", "yesterday", "--ash", "no"], "no day that is known"),
        (["--date", "9999-01-01", "--ash", "no"], "9999-01-01 is still to come"),
    ],
)
def test_add_refuses_in_words_and_writes_nothing(
    options: list[str], words: str, shop: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Bad options are exit 2 with the option named, nothing on stdout and no file."""
    assert add(shop, *options) == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert words in " ".join(err.split())
    assert list((shop / "trials").iterdir()) == []


def test_add_tells_every_bad_option_at_once(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Two slips are two faults."""
    assert add(shop, "--trace", "4", "--unmould", "5") == 2
    assert "2 faults" in capfd.readouterr().err


def test_add_needs_a_recipe_that_can_be_read(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """No recipe file, or a faulty one, is exit 2 and nothing is written."""
    assert add(shop, "--ash", "no", recipe="nowhere.yaml") == 2
    (shop / "recipe.yaml").write_text("fats: {lard: 1000}\nsuperfat: 5 %\n", encoding="utf-8")
    assert add(shop, "--ash", "no") == 2
    assert "no such file" in " ".join(capfd.readouterr().err.split())
    assert list((shop / "trials").iterdir()) == []


def workbench(shop: Path, number: int = 6) -> Path:
    """Trials recorded by the command itself, with times by a law of the test's own."""
    for place in range(number):
        fats = ", ".join(f"{name}: {10 * share} g" for name, share in SPREAD[place % len(SPREAD)].items())
        text = f"title: Bar {place}\nfats: {{{fats}}}\nsuperfat: 5 %\n"
        (shop / "recipe.yaml").write_text(text, encoding="utf-8")
        index = made(Trial("", "", read_trial(written(shop, FULL, "x.yaml")).recipe, linked=True)).values
        (shop / "trials" / "x.yaml").unlink()
        times = ["--trace", f"{500 * 2 ** ((40 - index['trace_speed']) / 12) * (1.05 if place % 2 else 0.97):.0f} s"]
        times += ["--unmould", f"{20 * 2 ** ((45 - index['set_up']) / 18) * (1.02 if place % 3 else 0.95):.1f} h"]
        assert add(shop, *times, "--hardness", f"{40 + place % 2}", "--hardness-unit", "Shore D", "--ash", "no") == 0
    return shop / "trials"


def test_list_shows_readings_beside_indices(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Every trial by name; as data too."""
    folder = workbench(shop)
    capfd.readouterr()
    assert main(["trial", "list", "--folder", str(folder)]) == 0
    out = capfd.readouterr().out
    assert "6 trials" in out
    assert "006-bar-5" in out
    assert main(["trial", "list", "--folder", str(folder), "--json"]) == 0
    data = json.loads(capfd.readouterr().out)
    assert [item["trial"] for item in data["trials"]] == [f"{place + 1:03d}-bar-{place}" for place in range(6)]
    assert data["trials"][0]["measures"]["trace_speed"] == pytest.approx(28, abs=1)
    assert data["trials"][0]["levers"]["gel"] == 0


def test_fit_saves_what_goals_then_understand(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """From six trials to a goal file in minutes and hours that `blend` answers."""
    folder = workbench(shop)
    capfd.readouterr()
    assert main(["trial", "fit", "--folder", str(folder), "--save"]) == 0
    out = " ".join(capfd.readouterr().out.split())
    assert "holds trace_speed, set_up." in out
    assert "Left out one at a time" in out
    assert "The time halves every" in out
    assert "log2" not in out
    assert "by the book" not in out
    scales = read_scales(folder / "scales.yaml")
    assert set(scales) == {"trace_speed", "set_up"}
    assert -1 / scales["trace_speed"].slope == pytest.approx(12, rel=0.15)
    (shop / "goals").mkdir()
    goals = shop / "goals" / "mine.yaml"
    shelf = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
    goals.write_text(
        f"shelf: {shelf}\ngoals: {{trace_speed: {{at_least: 9 min}}, set_up: {{at_most: 30 h}}}}\n", encoding="utf-8"
    )
    assert main(["blend", str(goals), "--json"]) == 0
    data: dict[str, Any] = json.loads(capfd.readouterr().out)
    told = {goal["id"]: goal for goal in data["goals"] if goal["id"].startswith("goals.")}
    assert set(told) == {"goals.trace_speed.at_most", "goals.set_up.at_least"}
    assert scales["trace_speed"].reading(data["measures"]["trace_speed"]["value"]) >= 540 * 0.995
    assert scales["set_up"].reading(data["measures"]["set_up"]["value"]) <= 30 * 1.005
    assert told["goals.trace_speed.at_most"]["says"].startswith("trace speed at least 9 min (trace speed at most ")


def test_fit_of_one_measure_leaves_the_others_saved(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A scale that is fitted again replaces the old one or takes it away; the others stay."""
    folder = workbench(shop)
    assert main(["trial", "fit", "--folder", str(folder), "--save"]) == 0
    before = read_scales(folder / "scales.yaml")
    for path in folder.glob("00*.yaml"):
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        path.write_text(
            "".join(line for line in lines if not line.startswith(("trace:", "unmould:"))), encoding="utf-8"
        )
    capfd.readouterr()
    assert main(["trial", "fit", "trace_speed", "--folder", str(folder), "--save"]) == 1
    assert "can no longer be used" in " ".join(capfd.readouterr().out.split())
    assert read_scales(folder / "scales.yaml") == {"set_up": before["set_up"]}
    assert main(["trial", "fit", "set up", "--folder", str(folder), "--save"]) == 1
    assert read_scales(folder / "scales.yaml") == {}


def test_fit_without_a_scale_is_one(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Too few trials: exit 1, told on stdout, nothing written; the same as data."""
    folder = workbench(shop, 3)
    capfd.readouterr()
    assert main(["trial", "fit", "hardness", "--folder", str(folder), "--save"]) == 1
    out, err = capfd.readouterr()
    assert (err, (folder / "scales.yaml").exists()) == ("", False)
    assert "3 trials have a hardness reading, and a scale takes 5" in " ".join(out.split())
    assert "Nothing to save" in out
    assert main(["trial", "fit", "hardness", "--folder", str(folder), "--json"]) == 1
    data = json.loads(capfd.readouterr().out)
    assert (data["status"], data["saved"], [item["verdict"] for item in data["scales"]]) == (
        "no scale",
        None,
        ["too few"],
    )


def test_fit_as_data_holds_the_whole_fit(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Slope with error and interval, left-out error, and every trial; the same bytes when asked again."""
    folder = workbench(shop)
    capfd.readouterr()
    answers = []
    for _ in range(2):
        assert main(["trial", "fit", "trace_speed", "--folder", str(folder), "--json"]) == 0
        answers.append(capfd.readouterr().out)
    assert answers[0] == answers[1]
    (fit,) = json.loads(answers[0])["scales"]
    low, high = fit["line"]["slope_95"]
    assert low < fit["line"]["slope"] < high < 0
    assert fit["line"]["slope_standard_error"] > 0
    assert fit["line"]["left_out"] > 0
    assert fit["line"]["residual"] > 0
    assert 0.5 < fit["line"]["own_slope"] < 1.0
    assert fit["line"]["penalty"] is None
    assert len(fit["trials"]) == 6
    assert fit["trials"][0]["without_it"] != fit["trials"][0]["fitted"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["fit", "sparkle"], "no measure that is known"),
        (["fit", "ash risk"], "seen or not"),
        (["fit", "wear_life"], "trials have no reading for it"),
    ],
)
def test_measures_without_readings_are_refused(
    arguments: list[str], words: str, shop: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """What cannot be fitted is exit 2, with what can be."""
    written(shop, FULL)
    assert main(["trial", *arguments, "--folder", str(shop / "trials")]) == 2
    err = " ".join(capfd.readouterr().err.split())
    assert words in err
    assert "trace_speed, set_up, hardness" in err


@pytest.mark.parametrize("action", ["list", "fit"])
@pytest.mark.parametrize("folder", ["trials", "nowhere"])
def test_no_trials_are_told_in_words(action: str, folder: str, shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """An empty or missing folder is exit 2 and says how to begin."""
    assert main(["trial", action, "--folder", str(shop / folder)]) == 2
    assert "trial add RECIPE" in " ".join(capfd.readouterr().err.split())


def test_every_action_has_its_command(capfd: pytest.CaptureFixture[str]) -> None:
    """The actions offered are those that are there, and the folder is the one that goals look for scales in."""
    with pytest.raises(SystemExit) as stopped:
        main(["trial", "--help"])
    assert stopped.value.code == 0
    out = capfd.readouterr().out
    assert all(f"    {name} " in out for name in COMMANDS)
    assert str(DEFAULT_FOLDER) == FOLDER
    assert MEASURES == ("trace_speed", "set_up", "hardness")


def test_a_later_change_of_the_recipe_leaves_the_record_alone(shop: Path) -> None:
    """What was copied stays what was made."""
    assert add(shop, "--ash", "no") == 0
    before = made(read_trials(shop / "trials")[0][0]).values["trace_speed"]
    (shop / "recipe.yaml").write_text("fats: {lard: 1 kg}\nsuperfat: 5 %\n", encoding="utf-8")
    assert made(read_trials(shop / "trials")[0][0]).values["trace_speed"] == before


@pytest.mark.parametrize("width", ["60", "79", "80", "120"])
def test_no_figure_is_cut_on_a_narrow_page(
    width: str, shop: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every reading is whole at any width, however long its unit is called; only a command to copy runs over the page."""
    folder = workbench(shop)
    for path in folder.glob("*.yaml"):
        path.write_text(
            path.read_text(encoding="utf-8").replace("Shore D", "tenths of a mm, big cone"), encoding="utf-8"
        )
    monkeypatch.setenv("COLUMNS", width)
    for arguments in (["list"], ["fit"]):
        capfd.readouterr()
        assert main(["trial", *arguments, "--folder", str(folder)]) == 0
        lines = capfd.readouterr().out.splitlines()
        assert max(len(line) for line in lines if not line.startswith("  barwright ")) <= int(width)
        assert "…" not in "".join(lines)
        for trial in read_trials(folder)[0]:
            assert trial.trace is not None
            assert trial.unmould is not None
            rows = [line for line in lines if line.strip().startswith(trial.name)]
            told_of = [reading_words("trace_speed", "", trial.trace)]
            if arguments == ["list"]:  # a fit sets the hours of bars aside that are cut while warm
                told_of.append(reading_words("set_up", "", trial.unmould))
            for told in told_of:
                assert any(f"  {told}  " in row for row in rows), (told, rows)


def test_a_batch_without_measures_is_no_trial(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A reading is set against a measure by the book, and a fat of a saponification value alone has none."""
    (shop / "shelf.yaml").write_text("fats: [{fat: mystery butter, saponification_value: 186, price: 8 / kg}]\n")
    (shop / "mystery.yaml").write_text("shelf: shelf.yaml\nfats: {mystery butter: 500 g}\nsuperfat: 5 %\n")
    assert add(shop, "--trace", "4 min", recipe="mystery.yaml") == 2
    err = " ".join(capfd.readouterr().err.split())
    assert "of mystery butter a saponification value alone is known" in err
    assert "[untold-fat]" in err
    assert not list((shop / "trials").glob("*mystery*"))


def times_told(recipe: Path, capfd: pytest.CaptureFixture[str]) -> Any:
    """The times that `weigh` tells of a recipe."""
    capfd.readouterr()
    assert main(["weigh", str(recipe), "--json"]) == 0
    return json.loads(capfd.readouterr().out)["times"]


def test_one_trial_shifts_the_times_and_equal_ones_are_welcome(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Five batches of a minute and a half each are believed: from the first on, and the surer the more of them there are."""
    before = times_told(shop / "recipe.yaml", capfd)["blend_to_trace"]
    assert (before["own_scale"], before["high_s"] < 90.0) == (False, True)
    widths = []
    for number in range(1, 6):
        assert add(shop, "--trace", "1 min 30 s") == 0
        capfd.readouterr()
        assert main(["trial", "fit", "--folder", str(shop / "trials"), "--save"]) == 0
        out = " ".join(capfd.readouterr().out.split())
        assert "too close together" not in out
        assert f"its height is by {number} trial{'s' if number > 1 else ''} of yours" in out
        assert "still the general rule (half as long for every 15 points)" in out
        told = times_told(shop / "recipe.yaml", capfd)["blend_to_trace"]
        assert (told["own_scale"], told["status"], told["trace"]) == (True, "your trials", None)
        assert f"{number} trial" in told["basis"]
        assert 80.0 < (told["low_s"] * told["high_s"]) ** 0.5 < 92.0
        widths.append(told["high_s"] / told["low_s"])
    assert widths == sorted(widths, reverse=True)
    assert widths[0] > 2.0
    assert widths[-1] < 1.8
    assert read_scales(shop / "trials" / "scales.yaml")["trace_speed"].slope == pytest.approx(-1 / 15)


def test_a_salt_bar_among_the_trials_is_left_out_of_the_hours(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A bar that is cut within hours says nothing of the others, and the words name it."""
    (shop / "salt.yaml").write_text(
        "title: Salt\nfats: {coconut oil: 1 kg}\nsuperfat: 20 %\nadditives: {salt: 500 g}\n", encoding="utf-8"
    )
    assert add(shop, "--unmould", "2 h", recipe="salt.yaml") == 0
    capfd.readouterr()
    assert main(["trial", "fit", "set_up", "--folder", str(shop / "trials")]) == 1
    assert "a salt bar has hours of its own: 001-salt" in " ".join(capfd.readouterr().out.split())
    assert add(shop, "--unmould", "30 h") == 0
    capfd.readouterr()
    assert main(["trial", "fit", "set_up", "--folder", str(shop / "trials"), "--json"]) == 0
    (fit,) = json.loads(capfd.readouterr().out)["scales"]
    assert [line["trial"] for line in fit["trials"]] == ["002-thirds"]
