"""Standard output and standard error that are closed, full, gone or of few letters: the exit code stays true."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from optimiser.cli.streams import carried

ROOT = Path(__file__).parents[2]
BUDGET = str(ROOT / "goals" / "budget.yaml")
CANNOT = str(ROOT / "goals" / "cannot-be.yaml")
ASCII = {"PYTHONIOENCODING": "ascii", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
SHELF = """\
title: Größe
currency: EUR
fats:
  - {fat: Süßmandel 🌰, like: sweet almond oil, price: 3 / kg}
  - {fat: coconut oil, price: 3 / kg}
"""


def run(redirected: str, *arguments: str, environment: dict[str, str] | None = None) -> tuple[int, str, str]:
    """The program in a shell that redirects its streams: exit code, stdout, stderr."""
    done = subprocess.run(
        ["sh", "-c", f'"$@" {redirected}', "sh", sys.executable, "-B", "-m", "optimiser", *arguments],
        capture_output=True,
        cwd=ROOT,
        check=False,
        env={**os.environ, **(environment or {})},
    )
    return done.returncode, done.stdout.decode(), " ".join(done.stderr.decode().split())


@pytest.mark.parametrize(
    "arguments",
    [["blend", BUDGET], ["blend", BUDGET, "--json"], ["blend", CANNOT], ["schema"], ["--version"], ["--help"], []],
    ids=" ".join,
)
@pytest.mark.parametrize(
    ("redirected", "why"), [(">&-", "standard output is closed"), (">/dev/full", "no room left on the disk")]
)
def test_an_answer_that_cannot_be_written_is_told(redirected: str, why: str, arguments: list[str]) -> None:
    """Exit 2 and one line of words, whatever the answer would have been."""
    code, out, err = run(redirected, *arguments)
    assert (code, out) == (2, "")
    assert err == f"barwright: the answer cannot be written: {err.rsplit(': ', 1)[-1]}"
    assert why in err


def test_nothing_is_done_where_nobody_can_be_answered(tmp_path: Path) -> None:
    """With standard output closed no recipe is saved, no workspace laid out; no file takes the stream's number."""
    assert run(">&-", "blend", BUDGET, "--save", str(tmp_path / "r.yaml"))[0] == 2
    assert run(">&-", "new", str(tmp_path / "shop"))[0] == 2
    assert list(tmp_path.iterdir()) == []
    assert run("<&- 2>&-", "blend", BUDGET, "--save", str(tmp_path / "r.yaml"))[0] == 0
    assert "sodium hydroxide" in (tmp_path / "r.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("redirected", ["2>&-", "2>/dev/full", "<&- 2>&-"])
@pytest.mark.parametrize(
    ("arguments", "expected"),
    [(["blend", "nosuch.yaml"], 2), (["blned"], 2), (["blend", CANNOT], 1), (["blend", BUDGET], 0)],
    ids=lambda given: " ".join(given) if isinstance(given, list) else str(given),
)
def test_without_standard_error_the_exit_code_is_the_same(redirected: str, arguments: list[str], expected: int) -> None:
    """A fault that nobody can be told is still exit 2, and is not told on standard output instead."""
    code, out, _ = run(redirected, *arguments)
    assert code == expected
    assert (out == "") == (expected == 2)


def test_faults_as_data_reach_whoever_closed_standard_error() -> None:
    """With --json the document is on stdout, and a full stdout leaves the words on stderr."""
    code, out, _ = run("2>&-", "blend", "nosuch.yaml", "--json")
    assert (code, json.loads(out)["status"]) == (2, "bad-input")
    code, _, err = run(">/dev/full", "blend", "nosuch.yaml", "--json")
    assert code == 2
    assert "there is no such file" in err
    assert "cannot be written" in err


@pytest.mark.parametrize("kind", ["goals", "shelf", "recipe"])
def test_a_schema_of_own_fats_survives_ascii(kind: str, tmp_path: Path) -> None:
    """Letters that stdout cannot carry are written as JSON escapes them, and mean the same."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(SHELF, encoding="utf-8")
    code, out, err = run("", "schema", kind, "--shelf", str(shelf), environment=ASCII)
    assert (code, err) == (0, "")
    assert out.isascii()
    plain = run("", "schema", kind, "--shelf", str(shelf), environment={"PYTHONUTF8": "1"})[1]
    assert json.loads(out) == json.loads(plain)
    assert ("Süßmandel 🌰" in json.dumps(json.loads(plain), ensure_ascii=False)) == (kind != "shelf")


def test_every_command_survives_ascii(tmp_path: Path) -> None:
    """Odd letters in names, titles and paths are no fault of the program under a locale that knows none."""
    goals, recipe = tmp_path / "größe.yaml", tmp_path / "recipe.yaml"
    (tmp_path / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    goals.write_text("title: Größe\nshelf: shelf.yaml\ngoals: {hardness: {at_least: 20}}\n", encoding="utf-8")
    recipe.write_text("title: Größe 🌰\nfats: {olive oil: 1 kg}\nsuperfat: 5 %\n", encoding="utf-8")
    trial = ["--folder", str(tmp_path / "prüfung")]
    for arguments in (
        *(["blend", str(goals), "--save", str(tmp_path / "ü.yaml")], ["weigh", str(tmp_path / "ü.yaml")]),
        *(["feasible", str(goals)], ["reach", str(goals)], ["blend", str(goals), "--json"]),
        *(["weigh", str(recipe)], ["fats"], ["designs"], ["measures"], ["new", str(tmp_path / "läden")]),
        *(["trial", "add", str(recipe), "--ash", "no", "--note", "größer", *trial], ["trial", "list", *trial]),
    ):
        code, out, err = run("", *arguments, environment=ASCII)
        assert code == 0, (arguments, err)
        assert out.isascii()
    assert run("", "blend", str(tmp_path / "grösse.yaml"), environment=ASCII)[0] == 2
    assert run("", "schema", "--shelf", str(tmp_path / "grösse.yaml"), environment=ASCII)[0] == 2


def test_names_in_files_are_found_in_any_locale(tmp_path: Path) -> None:
    """A file is UTF-8 whatever the locale: what it names is found, and what was typed is kept in its own letters."""
    (tmp_path / "läden.yaml").write_text(SHELF, encoding="utf-8")
    goals, recipe = tmp_path / "goals.yaml", tmp_path / "r.yaml"
    goals.write_text("shelf: läden.yaml\ngoals: {hardness: {at_least: 20}}\n", encoding="utf-8")
    assert run("", "blend", str(goals), "--save", str(recipe), environment=ASCII)[0] == 0
    assert "shelf: läden.yaml\n" in recipe.read_text(encoding="utf-8")
    for environment in (ASCII, {"PYTHONUTF8": "1"}):
        assert run("", "weigh", str(recipe), environment=environment)[0] == 0
    options = ["--note", "größer", "--hardness", "4", "--hardness-unit", "Härte", "--folder", str(tmp_path / "trials")]
    assert run("", "trial", "add", str(recipe), *options, environment=ASCII)[0] == 0
    text = (tmp_path / "trials" / "001-goals.yaml").read_text(encoding="utf-8")
    assert "größer" in text
    assert "4 Härte" in text


def test_letters_are_spelt_only_where_they_must() -> None:
    """What an encoding carries stays; beyond it each letter is escaped as JSON does it (RFC 8259, section 7)."""
    assert carried("ü€🌰", "utf-8") == "ü€🌰"
    assert carried("ü€🌰\udcff", "latin-1") == "ü\\u20ac\\ud83c\\udf30\\udcff"
    assert json.loads(f'"{carried("ü€🌰", "ascii")}"') == "ü€🌰"
    assert carried("ü", "no such encoding") == "ü"


@pytest.mark.parametrize("arguments", [["--shelf", "nosuch.yaml"], ["--shelf", BUDGET], ["--shelf", "."]])
def test_a_schema_needs_the_shelf_that_it_is_given(arguments: list[str]) -> None:
    """A shelf that is not there, or is none, is exit 2 in words and not a schema without it."""
    code, out, err = run("", "schema", *arguments)
    assert (code, out) == (2, "")
    assert "1 fault" in err
