"""The command line: exit codes, streams, and files left alone."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from optimiser.cli.main import main

ROOT = Path(__file__).parents[2]
EVERYDAY = str(ROOT / "goals" / "everyday.yaml")
BUDGET = str(ROOT / "goals" / "budget.yaml")
CANNOT = str(ROOT / "goals" / "cannot-be.yaml")
BROKEN = {
    "not yaml": "goals: {hardness: [",
    "empty": "",
    "a list": "- one\n- two\n",
    "a word": "hello\n",
    "unknown key": "goles: {hardness: 40}\n",
    "unknown measure": "goals: {sparkle: 40}\n",
    "no unit": "goals: {superfat: 0.05}\n",
    "lye-heavy": "goals: {superfat: -3 %}\n",
    "not a number": "goals: {hardness: .nan}\n",
    "infinite": "goals: {hardness: .inf}\n",
    "tabs": "goals:\n\thardness: 40\n",
    "deep": "goals: " + "[" * 2000,
    "twice": "goals: {hardness: 40, hardness: 50}\n",
    "unknown tag": "free_from: [sunshine]\n",
    "unknown shelf": "shelf: nowhere.yaml\ngoals: {hardness: 40}\n",
    "a folder": "shelf: .\ngoals: {hardness: 40}\n",
    "control": "title: \x07\n",
    "anchors": "a: &a [*a]\n",
    "upside down": "goals: {hardness: {between: [60, 40]}}\n",
}


def run(*arguments: str, environment: dict[str, str] | None = None) -> subprocess.CompletedProcess[bytes]:
    """The program as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "optimiser", *arguments],
        capture_output=True,
        cwd=ROOT,
        check=False,
        env=os.environ | (environment or {}),
    )


def test_a_blend_is_zero_and_speaks_on_stdout(capfd: pytest.CaptureFixture[str]) -> None:
    """A blend found is exit 0, told on stdout, with nothing on stderr and no colour into a pipe."""
    assert main(["blend", BUDGET]) == 0
    out, err = capfd.readouterr()
    assert "palm" in out
    assert err == ""
    assert "\x1b" not in out


@pytest.mark.parametrize("command", ["blend", "feasible", "reach"])
def test_no_blend_is_one(command: str, capfd: pytest.CaptureFixture[str]) -> None:
    """Goals that clash are exit 1, told on stdout: an answer, not an error."""
    assert main([command, CANNOT]) == 1
    out, err = capfd.readouterr()
    assert "cost" in out
    assert err == ""


@pytest.mark.parametrize("command", ["blend", "feasible", "reach"])
@pytest.mark.parametrize("goals", [BUDGET, CANNOT])
def test_json_is_one_document_and_nothing_else(command: str, goals: str, capfd: pytest.CaptureFixture[str]) -> None:
    """With --json stdout is one JSON document in the format barwright/1, byte for byte the same when asked again."""
    first = (main([command, goals, "--json"]), capfd.readouterr())
    second = (main([command, goals, "--json"]), capfd.readouterr())
    assert first == second
    data = json.loads(first[1].out)
    assert data["format"] == "barwright/1"
    assert first[1].err == ""
    assert (data["status"] == "infeasible") == (first[0] == 1)


def test_json_from_a_true_process_is_clean() -> None:
    """Not even a library writing to file descriptor 1 gets a line into the JSON, and two processes write the same bytes."""
    one, other = run("blend", EVERYDAY, "--json"), run("blend", EVERYDAY, "--json", environment={"PYTHONHASHSEED": "7"})
    assert one.returncode == 0
    assert json.loads(one.stdout)["status"] == "optimal"
    assert one.stdout == other.stdout
    assert one.stderr == b""


def test_no_clash_changes_with_the_hash_seed() -> None:
    """What cannot be is told in the same bytes by every process."""
    one, other = (run("blend", CANNOT, environment={"PYTHONHASHSEED": seed}) for seed in ("1", "2"))
    assert one.returncode == other.returncode == 1
    assert b"cost" in one.stdout
    assert one.stdout == other.stdout


@pytest.mark.parametrize("case", sorted(BROKEN))
@pytest.mark.parametrize("command", ["blend", "weigh", "feasible"])
def test_broken_files_are_two_and_told_in_words(
    command: str, case: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Whatever is wrong with a file: exit 2, words on stderr that name the file, the same as data on stdout."""
    path = tmp_path / "bar.yaml"
    path.write_text(BROKEN[case], encoding="utf-8")
    assert main([command, str(path), "--json"]) == 2
    out, err = capfd.readouterr()
    told = json.loads(out)
    assert told["status"] == "bad-input"
    assert told["faults"]
    flat = " ".join(err.split())
    for item in told["faults"]:
        assert set(item) == {"code", "message", "help", "file", "line", "column"}
        assert " ".join(item["message"].split()) in flat
        assert item["file"] is None or f"{item['file']}:{item['line']}:{item['column']}:" in flat
    assert "Traceback" not in err
    assert "bar.yaml" in err or "nowhere.yaml" in err or str(tmp_path) in err
    assert "pydantic" not in err.lower()


@pytest.mark.parametrize("content", [b"\xff\xfe\x00g", b"\x00\x00", "goals: {hardness: 40}".encode("utf-16")])
def test_bytes_that_are_no_text_are_bad_input(
    content: bytes, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A file that is no UTF-8 text is told so."""
    path = tmp_path / "bar.yaml"
    path.write_bytes(content)
    assert main(["blend", str(path)]) == 2
    assert "Traceback" not in capfd.readouterr().err


@pytest.mark.parametrize("command", ["blend", "weigh", "feasible", "reach"])
def test_a_missing_file_is_bad_input(command: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A file that is not there, or is a folder, is exit 2 with its name."""
    for path in (tmp_path / "nothing.yaml", tmp_path):
        assert main([command, str(path)]) == 2
        assert path.name in capfd.readouterr().err


@pytest.mark.parametrize("arguments", [["blend"], ["bake", "x"], ["blend", "x", "--loud"], ["schema", "cake"]])
def test_bad_usage_is_two(arguments: list[str], capfd: pytest.CaptureFixture[str]) -> None:
    """A command or option that does not exist is exit 2 with usage on stderr."""
    with pytest.raises(SystemExit) as stopped:
        main(arguments)
    assert stopped.value.code == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert "usage" in err


@pytest.mark.parametrize("length", [1, 40, 55, 60, 66, 73, 80, 150])
def test_without_json_nothing_of_a_fault_is_on_stdout(
    length: int, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Faults for people are on stderr alone, and say the same however long the path is that breaks their lines."""
    monkeypatch.chdir(tmp_path)
    name = "n" * length + ".yaml"
    assert main(["blend", name]) == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert " ".join(err.split()).startswith(f"{name}: there is no such file")


def test_an_unknown_command_offers_the_nearest_within_the_width(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A command that does not exist is answered with the one that was meant, and no line is wider than the terminal."""
    monkeypatch.setenv("COLUMNS", "80")
    for arguments, words in (
        (["blned", "x"], "there is no command 'blned'; did you mean 'blend'?"),
        (["bogus"], "known: blend, feasible, reach"),
        (["trial", "lst"], "there is no action 'lst'; did you mean 'list'?"),
        (["schema", "gaols"], "did you mean 'goals'?"),
    ):
        with pytest.raises(SystemExit) as stopped:
            main(arguments)
        assert stopped.value.code == 2
        err = capfd.readouterr().err
        assert words in " ".join(err.split())
        assert max(map(len, err.splitlines())) <= 80


@pytest.mark.parametrize("command", ["", "blend", "feasible", "reach", "weigh", "fats", "trial", "schema", "new"])
def test_help_keeps_to_the_width(
    command: str, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The help of every command, examples included, fits into 80 columns."""
    monkeypatch.setenv("COLUMNS", "80")
    with pytest.raises(SystemExit):
        main([*command.split(), "--help"])
    assert max(map(len, capfd.readouterr().out.splitlines())) <= 80


@pytest.mark.long
@pytest.mark.parametrize("columns", [20, 40, 53, 60])
def test_a_narrow_terminal_is_kept_to(
    columns: int, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """From 40 columns on nothing but a command to copy is wider than the terminal; a narrower one counts as 40."""
    monkeypatch.setenv("COLUMNS", str(columns))
    for arguments in (
        ["blend", EVERYDAY, "--steps"],
        ["blend", CANNOT],
        ["reach", BUDGET],
        ["fats"],
        ["fats", "olive oil"],
        ["measures"],
        ["measures", "hardness"],
        ["designs", "fine swirl"],
        ["additives"],
        ["additives", "borax"],
        ["additives", "goat milk"],
        ["fats", "olve oil"],
    ):
        main(arguments)
        out, err = capfd.readouterr()
        prose = [line for line in (out + err).splitlines() if not line.startswith("  barwright ")]
        assert max(map(len, prose)) <= max(columns, 40), arguments


def test_a_fault_of_ours_is_three(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    """A fault of the program is exit 3, owned up to on stderr, without a traceback unless one is asked for."""
    from importlib import import_module

    def broken(*_: object) -> None:
        raise RuntimeError("a tooth of the wheel is gone")

    monkeypatch.setattr(import_module("optimiser.answers.blend"), "answered", broken)
    monkeypatch.delenv("BARWRIGHT_TRACEBACK", raising=False)
    assert main(["blend", BUDGET]) == 3
    out, err = capfd.readouterr()
    assert out == ""
    assert "fault of the program" in err
    assert "Traceback" not in err
    monkeypatch.setenv("BARWRIGHT_TRACEBACK", "1")
    with pytest.raises(RuntimeError):
        main(["blend", BUDGET])


def test_nothing_is_overwritten_unasked(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--save writes a new file, leaves an old one as it was with exit 2, and overwrites with --force."""
    path = tmp_path / "recipe.yaml"
    assert main(["blend", BUDGET, "--save", str(path)]) == 0
    written = path.read_text(encoding="utf-8")
    assert "sodium hydroxide" in written
    path.write_text("mine\n", encoding="utf-8")
    capfd.readouterr()
    assert main(["blend", BUDGET, "--save", str(path)]) == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert "recipe.yaml" in err
    assert "--force" in err
    assert path.read_text(encoding="utf-8") == "mine\n"
    assert main(["blend", BUDGET, "--save", str(path), "--force"]) == 0
    assert path.read_text(encoding="utf-8") == written


def test_nothing_is_saved_of_what_cannot_be(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Where there is no blend, no recipe is written."""
    assert main(["blend", CANNOT, "--save", str(tmp_path / "recipe.yaml")]) == 1
    assert list(tmp_path.iterdir()) == []
    assert main(["blend", BUDGET, "--save", str(tmp_path / "no" / "folder" / "recipe.yaml")]) == 2
    assert "folder" in capfd.readouterr().err


def test_a_saved_recipe_is_weighed_against_its_goals(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What blend saves, weigh reads and finds good: exit 0; held against goals it fails: exit 1."""
    path = tmp_path / "recipe.yaml"
    assert main(["blend", BUDGET, "--save", str(path)]) == 0
    capfd.readouterr()
    assert main(["weigh", str(path), "--against", BUDGET, "--json"]) == 0
    data = json.loads(capfd.readouterr().out)
    assert data["meets_goals"] is True
    assert data["alkali"]["sodium_hydroxide_g"] > 0
    assert main(["weigh", str(path), "--against", str(ROOT / "goals" / "salt-water.yaml"), "--json"]) == 1
    assert json.loads(capfd.readouterr().out)["meets_goals"] is False


def test_no_color_says_no(monkeypatch: pytest.MonkeyPatch) -> None:
    """NO_COLOR and a dumb terminal turn colour off where a terminal would have it (no-color.org)."""
    from optimiser.cli.streams import wants_colour

    class Terminal:
        """A stream that says it is a terminal."""

        def isatty(self) -> bool:
            """It says so."""
            return True

    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    assert wants_colour(Terminal())
    monkeypatch.setenv("NO_COLOR", "1")
    assert not wants_colour(Terminal())
    monkeypatch.setenv("NO_COLOR", "")
    assert wants_colour(Terminal())
    monkeypatch.setenv("TERM", "dumb")
    assert not wants_colour(Terminal())


def test_a_pipe_without_unicode_gets_ascii() -> None:
    """Into a stream that carries only ASCII the answer is plain ASCII and complete."""
    done = run("blend", BUDGET, environment={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert done.returncode == 0
    assert done.stdout.decode("ascii")
    assert done.stderr == b""


def test_a_reader_that_leaves_is_no_fault() -> None:
    """A pipe closed early ends the program without complaint."""
    with subprocess.Popen(
        [sys.executable, "-m", "optimiser", "fats", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.read(10)
        running.stdout.close()
        err = running.stderr.read()
    assert b"Traceback" not in err
    assert b"BrokenPipe" not in err


def test_a_shelf_by_hand_is_used(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--shelf takes the place of the file's shelf."""
    shelf = tmp_path / "small.yaml"
    shelf.write_text(
        "title: s\ncurrency: EUR\nfats:\n"
        + "".join(f"  - {{fat: {name}, price: 3 / kg}}\n" for name in ("palm oil", "coconut oil", "olive oil")),
        encoding="utf-8",
    )
    loose = tmp_path / "loose.yaml"
    loose.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\ngoals: {{hardness: {{at_least: 45}}}}\n", encoding="utf-8"
    )
    assert main(["blend", str(loose), "--shelf", str(shelf), "--json"]) == 0
    data = json.loads(capfd.readouterr().out)
    assert len(data["fats"]) >= 2
    assert {line["fat"] for line in data["fats"]} <= {"palm oil", "coconut oil", "olive oil"}
    assert data["shelf"] == "s"


@pytest.mark.parametrize(
    "arguments",
    [["fats"], ["fats", "olive oil"], ["measures"], ["measures", "hardness"], ["additives"], ["additives", "beer"]],
)
def test_the_reference_is_told_as_text_and_as_data(arguments: list[str], capfd: pytest.CaptureFixture[str]) -> None:
    """Fats and measures are printed for people and, with --json, as one document."""
    assert main(arguments) == 0
    assert len(capfd.readouterr().out) > 200
    assert main([*arguments, "--json"]) == 0
    assert json.loads(capfd.readouterr().out)["format"] == "barwright/1"


def test_an_unknown_fat_offers_its_neighbours(capfd: pytest.CaptureFixture[str]) -> None:
    """A misspelt fat is exit 2 and the nearest name is offered."""
    assert main(["fats", "olve oil"]) == 2
    assert "olive oil" in capfd.readouterr().err


def test_an_unknown_additive_offers_its_neighbours(capfd: pytest.CaptureFixture[str]) -> None:
    """A misspelt additive or liquid is exit 2 and the nearest name is offered."""
    assert main(["additives", "gaot milk"]) == 2
    err = capfd.readouterr().err
    assert "goat milk" in err
    assert "unknown-additive" in err


@pytest.mark.parametrize("kind", ["goals", "shelf", "recipe"])
def test_schemas_are_schemas(kind: str, capfd: pytest.CaptureFixture[str]) -> None:
    """Each schema is valid by its own meta-schema (JSON Schema, json-schema.org)."""
    import jsonschema

    assert main(["schema", kind]) == 0
    made = json.loads(capfd.readouterr().out)
    jsonschema.validators.validator_for(made).check_schema(made)


def test_without_a_command_there_is_help(capfd: pytest.CaptureFixture[str]) -> None:
    """The bare program prints its help, and every command has a line in it."""
    assert main([]) == 0
    out = capfd.readouterr().out
    for command in ("blend", "feasible", "reach", "weigh", "fats", "additives", "measures", "schema", "new"):
        assert f"  {command} " in out.replace("\n", " \n")
    with pytest.raises(SystemExit) as stopped:
        main(["--version"])
    assert stopped.value.code == 0


def test_a_search_that_ends_undecided_is_told_as_that(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Work that did not suffice is neither "no blend" nor a fault to report: exit 3, and what helps."""
    from optimiser.solve.outcomes import Undecided

    def undecided(*_: object) -> None:
        raise Undecided

    monkeypatch.setattr(import_module("optimiser.answers.blend"), "answered", undecided)
    assert main(["blend", str(ROOT / "goals" / "everyday.yaml")]) == 3
    out, err = capsys.readouterr()
    assert out == ""
    assert "ended before it found one" in err
    assert "fault of the program" not in err


@pytest.mark.parametrize(("name", "words"), [("soy wax", "paraffin"), ("Aloe_Butter", "which one and how much")])
def test_a_name_that_says_too_little_is_explained(name: str, words: str, capfd: pytest.CaptureFixture[str]) -> None:
    """`fats` tells why such a name has no figures, and what to put on the shelf."""
    assert main(["fats", name]) == 2
    out, err = capfd.readouterr()
    told = " ".join(err.split())
    assert out == ""
    assert "[needs-certificate]" in told
    assert words in told
    assert "lot: {saponification_value: ..., tolerance: ...}" in told


@pytest.mark.parametrize(
    ("arguments", "more"),
    [
        (["blend", "goals/budget.yaml"], "Left on the shelf"),
        (["reach", "goals/budget.yaml"], "harshness"),
        (["feasible", "goals/cannot-be-three.yaml"], "  e. "),
    ],
)
def test_full_tells_more(arguments: list[str], more: str, capfd: pytest.CaptureFixture[str]) -> None:
    """With --full an answer holds what the short page leaves out."""
    root = Path(__file__).parents[2]
    asked = [arguments[0], str(root / arguments[1])]
    code = main(asked)
    short = capfd.readouterr().out
    assert main([*asked, "--full"]) == code
    assert more in capfd.readouterr().out
    assert more not in short


def test_full_of_a_recipe_in_hand(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A recipe in hand tells the acids of its fats with --full."""
    path = tmp_path / "recipe.yaml"
    path.write_text("fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n", encoding="utf-8")
    assert main(["weigh", str(path)]) == 0
    assert "iodine value" not in capfd.readouterr().out
    assert main(["weigh", str(path), "--full"]) == 0
    assert "iodine value" in capfd.readouterr().out


def test_no_line_of_the_help_is_told_twice(capsys: pytest.CaptureFixture[str]) -> None:
    """Each command typed as an example stands there once."""
    with pytest.raises(SystemExit):
        main(["--help"])
    typed = [line for line in capsys.readouterr().out.splitlines() if line.startswith("  barwright ")]
    assert typed
    assert len(typed) == len(set(typed))
