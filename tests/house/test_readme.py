"""The README shows what the program really says, and its examples can be followed."""

from __future__ import annotations

import os
import re
import shlex
from pathlib import Path

import pytest

from optimiser.cli.main import build_parser, main

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
SHOWN = re.compile(r"(<!-- shown: barwright (.*?) -->\n```text\n)(.*?)(```\n)", re.DOTALL)


def answer_to(command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> str:
    """What a command prints at 80 columns."""
    monkeypatch.chdir(ROOT)
    monkeypatch.setenv("COLUMNS", "80")
    main(shlex.split(command))
    return capsys.readouterr().out


def test_answers_shown_are_real(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Every answer printed in the README is the program's own, to the letter."""
    text = README.read_text(encoding="utf-8")
    shown = {command: body for _, command, body, _ in SHOWN.findall(text)}
    assert len(shown) >= 2
    real = {command: answer_to(command, capsys, monkeypatch) for command in shown}
    if os.environ.get("BARWRIGHT_WRITE_GOLDEN"):
        text = SHOWN.sub(lambda found: found[1] + real[found[2]] + found[4], text)
        README.write_text(text, encoding="utf-8")
        shown = {command: body for _, command, body, _ in SHOWN.findall(text)}
    assert shown == real


def test_the_goal_file_shown_can_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The goal file in the README is a goal file: it answers, with a blend or with why there is none."""
    text = README.read_text(encoding="utf-8")
    (goals,) = re.findall(r"```yaml\n(title: .*?)```", text, re.DOTALL)
    path = tmp_path / "goals" / "shown.yaml"
    path.parent.mkdir()
    path.write_text(goals.replace("../inventory/kittiwake.yaml", str(ROOT / "inventory" / "kittiwake.yaml")), "utf-8")
    assert main(["blend", str(path)]) in (0, 1)
    assert capsys.readouterr().err == ""


def test_the_way_to_the_bench_can_be_walked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Blend, sheet, record and recall, as the README has them, work one after the other in a new workspace, on the same grams."""
    section = README.read_text(encoding="utf-8").partition("## From goal file to the bench")[2]
    (block, *_) = re.findall(r"```sh\n(.*?)```", section, re.DOTALL)
    lines = [shlex.split(line, comments=True)[1:] for line in block.splitlines()]
    assert [line[0] for line in lines] == ["blend", "sheet", "batch", "batch"]
    main(["new", str(tmp_path / "workshop")])
    monkeypatch.chdir(tmp_path / "workshop")
    for line in lines:
        assert main([*line, "--json"] if line[0] == "batch" else line) == 0, line
        told = capsys.readouterr().out
    assert "EV1" in told
    main(["batch", "show", "EV1", "--recipe"])
    kept = capsys.readouterr().out
    page = Path("everyday.html").read_text(encoding="utf-8")
    on_page = {float(value) for value in re.findall(r'<data value="([\d.]+)"', page)}
    weighed = {float(grams) for grams in re.findall(r"^  [a-z ]+: ([\d.]+) g$", kept, re.MULTILINE)}
    assert len(weighed) >= 6
    assert weighed <= on_page


def test_every_command_is_in_the_readme() -> None:
    """The README's table names every command, and names none that does not exist."""
    text = README.read_text(encoding="utf-8")
    table = set(re.findall(r"`barwright (\w+)", text))
    (commands,) = [action.choices for action in build_parser()._actions if action.dest == "command"]
    assert commands is not None
    assert table == set(commands)


def test_both_commands_are_marked() -> None:
    """The two commands that everything else relies on stand in the README, each complete in one line."""
    text = README.read_text(encoding="utf-8")
    for name in ("answer", "tests"):
        (command,) = re.findall(rf"<!-- command: {name} -->\n```sh\n(.*)\n```", text)
        assert command.startswith("python3 -m venv .venv && .venv/bin/pip install")
