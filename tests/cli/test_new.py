"""A folder to start from."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest
import yaml

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.cli.new import lay_out, starter
from optimiser.text.diagnostics import BadInput


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A folder laid out."""
    folder = tmp_path / "workshop"
    lay_out(folder)
    return folder


def test_everything_laid_out_works_at_once(workshop: Path) -> None:
    """The first goal file answers from its own shelf, and the recipe in hand weighs."""
    assert isinstance(answer(workshop / "goals" / "everyday.yaml"), Blend)
    told = weigh(workshop / "recipes" / "in-hand.yaml")
    assert 5.0 - 1e-7 <= told.judgement.superfat < 5.01
    assert told.cost is not None
    assert sorted(set(told.judgement.shares.values())) == pytest.approx([100.0 / 3.0])


def test_the_welcome_keeps_to_the_width(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is told of a new folder fits into 80 columns."""
    monkeypatch.chdir(tmp_path)
    assert max(map(len, lay_out(Path("workshop")).splitlines())) <= 80


def test_every_file_is_checked_by_the_schema_beside_it(workshop: Path) -> None:
    """Goal files, shelf and recipe laid out are valid under the schemas that the editor is told to use."""
    import jsonschema

    settings = json.loads((workshop / ".vscode" / "settings.json").read_text(encoding="utf-8"))
    seen = 0
    for schema_path, pattern in settings["yaml.schemas"].items():
        schema = json.loads((workshop / schema_path).read_text(encoding="utf-8"))
        for path in workshop.glob(pattern):
            jsonschema.validate(yaml.safe_load(path.read_text(encoding="utf-8")), schema)
            seen += 1
    assert seen >= 10


def test_goal_files_name_the_schema_that_lies_there(workshop: Path) -> None:
    """Each file's first line leads an editor to a schema in its folder."""
    for folder in ("goals", "inventory", "recipes", "designs", "plans"):
        assert list((workshop / folder).glob("*.yaml")), folder
        for path in (workshop / folder).glob("*.yaml"):
            first = path.read_text(encoding="utf-8").splitlines()[0]
            assert first.startswith("# yaml-language-server: $schema=")
            assert (path.parent / first.split("=", 1)[1]).is_file(), path.name


def commands_of(text: str) -> list[list[str]]:
    """The commands of a text that stand on lines of their own, set in."""
    return [shlex.split(line) for line in re.findall(r"^    barwright (.+)$", text, re.MULTILINE)]


def test_every_line_of_the_start_works_in_the_folder(
    workshop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """From a goal file to a sheet, a label, a record and a recall: each line as it stands, one after the other, nothing left out."""
    monkeypatch.chdir(workshop)
    commands = commands_of((workshop / "START-HERE.txt").read_text(encoding="utf-8"))
    assert {line[0] for line in commands} >= {
        "blend",
        "sheet",
        "label",
        "batch",
        "trial",
        "weigh",
        "swap",
        "resize",
        "plan",
    }
    for line in commands:
        assert main(line) == 0, line
        told = capsys.readouterr().out
        if line[:2] == ["batch", "recall"]:
            assert ("EV1" if "--lot" in line else "KW-PA-208") in told
            assert "harbour shop" in told or "--batch" in line
        if line[0] == "label":
            assert "Sodium Palmate" in told
        if line[0] == "sheet":
            page = (workshop / line[line.index("-o") + 1]).read_text(encoding="utf-8")
            assert "sodium hydroxide" in page.lower()


def test_the_start_is_80_columns_of_plain_text(workshop: Path) -> None:
    """It opens in anything, and every folder and file of the tree that it names is there."""
    text = (workshop / "START-HERE.txt").read_text(encoding="ascii")
    assert max(map(len, text.splitlines())) <= 80
    named = set(re.findall(r"\b(?:goals|inventory)/[\w.-]+", text))
    assert named
    assert all((workshop / name.rstrip(".")).is_file() for name in named)


def test_words_beside_trials_are_no_trial(
    workshop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The folder for trials is there from the first day, and holds none."""
    monkeypatch.chdir(workshop)
    assert (workshop / "trials").is_dir()
    assert main(["trial", "list"]) == 2
    assert "there are no trials in trials" in capsys.readouterr().err


def test_what_the_welcome_says_is_there(tmp_path: Path) -> None:
    """Folders and files that the welcome names exist, and the command it ends with works."""
    folder = tmp_path / "workshop"
    words = lay_out(folder)
    assert (folder / "goals").is_dir()
    if "CSV" in words:
        assert list((folder / "inventory").glob("*.csv"))
    command = words.strip().splitlines()[-1].split("barwright ", 1)[1].split()
    assert main(command) == 0


def test_a_folder_in_use_is_left_alone(workshop: Path) -> None:
    """Laying out over anything changes nothing and is bad input; an empty folder is fine."""
    before = {path: path.read_bytes() for path in workshop.rglob("*") if path.is_file()}
    with pytest.raises(BadInput, match="not empty"):
        lay_out(workshop)
    assert before == {path: path.read_bytes() for path in workshop.rglob("*") if path.is_file()}
    empty = workshop.parent / "empty"
    empty.mkdir()
    lay_out(empty)
    a_file = workshop.parent / "file"
    a_file.write_text("", encoding="utf-8")
    with pytest.raises(BadInput):
        lay_out(a_file)


def test_the_starter_is_what_the_tree_holds(workshop: Path) -> None:
    """Goal files laid out are those of the tree, byte for byte."""
    listed = sorted((starter() / "goals").glob("*.yaml"))
    assert len(listed) >= 8
    for path in listed:
        assert (workshop / "goals" / path.name).read_text(encoding="utf-8") == path.read_text(encoding="utf-8")
