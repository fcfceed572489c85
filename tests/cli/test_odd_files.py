"""Whatever lies at a path that is given, or has a name that no file can have: exit 2 in words, at once."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from optimiser.cli.main import main
from optimiser.files.designs import design_files, own_designs
from optimiser.files.workspace import nearest_scales, nearest_shelf
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"
GOALS = f"shelf: {SHELF}\ngoals: {{hardness: {{at_least: 40}}}}\n"
RECIPE = "fats: {lard: 1 kg}\nsuperfat: 5 %\n"
COMMANDS = {
    "goals": ["blend", "{}"],
    "feasible": ["feasible", "{}"],
    "reach": ["reach", "{}"],
    "shelf": ["blend", "goals.yaml", "--shelf", "{}"],
    "recipe": ["weigh", "{}"],
    "against": ["weigh", "recipe.yaml", "--against", "{}"],
    "weigh's shelf": ["weigh", "recipe.yaml", "--shelf", "{}"],
    "trial": ["trial", "add", "{}", "--ash", "no"],
    "schema": ["schema", "--shelf", "{}"],
}
FOLDERS = {
    "add": ["trial", "add", "recipe.yaml", "--ash", "no", "--folder", "{}"],
    "list": ["trial", "list", "--folder", "{}"],
    "fit": ["trial", "fit", "--folder", "{}", "--save"],
    "new": ["new", "{}"],
    "save": ["blend", "goals.yaml", "--force", "--save", "{}"],
    "lp": ["blend", "goals.yaml", "--force", "--lp", "{}"],
}
NAMED = {
    "a goal file's shelf": ("blend", "shelf: PATH\ngoals: {hardness: {at_least: 40}}\n"),
    "a recipe's shelf": ("weigh", f"shelf: PATH\n{RECIPE}"),
    "a trial's recipe": ("trial list --folder", "recipe: PATH\nash: no\n"),
    "a trial's shelf": ("trial list --folder", "recipe: {shelf: PATH, fats: {lard: 1 kg}, superfat: 5 %}\nash: no\n"),
}
ODD = ("pipe.yaml", "folder.yaml", "/dev/zero", "/dev/null", "loose.yaml", "round.yaml", "x" * 300, "plain.yaml/x")


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to stand in that holds odd things beside good ones."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "goals.yaml").write_text(GOALS, encoding="utf-8")
    (tmp_path / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    (tmp_path / "plain.yaml").write_text("", encoding="utf-8")
    (tmp_path / "folder.yaml").mkdir()
    (tmp_path / "loose.yaml").symlink_to("nothing.yaml")
    (tmp_path / "round.yaml").symlink_to("round.yaml")
    os.mkfifo(tmp_path / "pipe.yaml")
    return tmp_path


def refused(arguments: list[str], capfd: pytest.CaptureFixture[str]) -> None:
    """Bad input, with its words on stderr and nothing on stdout; the same as data."""
    assert main(arguments) == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert "fault" in err
    assert "a fault of the program" not in err
    if arguments[0] not in ("new", "schema"):
        assert main([*arguments, "--json"]) == 2
        assert json.loads(capfd.readouterr().out)["faults"]


@pytest.mark.parametrize("odd", [*ODD, "nul\0name"], ids=lambda name: name[:12].replace("\0", "0"))
@pytest.mark.parametrize("command", COMMANDS)
def test_what_is_no_plain_file_is_refused(
    command: str, odd: str, bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Pipes, devices, folders, links to nothing and names of no file are never waited for, never read without end."""
    refused([part.format(odd) for part in COMMANDS[command]], capfd)
    assert not (bench / "trials").exists()


@pytest.mark.parametrize("odd", [*ODD, "nul\0name"], ids=lambda name: name[:12].replace("\0", "0"))
@pytest.mark.parametrize("command", FOLDERS)
def test_what_cannot_be_written_to_is_refused(
    command: str, odd: str, bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """The same for places to write to; what lies there stays what it is, and nothing is made beside it."""
    if command in ("add", "list", "fit", "new") and odd == "folder.yaml":
        odd = "folder.yaml/../pipe.yaml"
    before = {path: path.lstat().st_mode for path in bench.rglob("*")}
    refused([part.format(odd) for part in FOLDERS[command]], capfd)
    assert {path: path.lstat().st_mode for path in bench.rglob("*")} == before


@pytest.mark.parametrize("odd", ODD, ids=lambda name: name[:12])
@pytest.mark.parametrize("named", NAMED)
def test_what_a_file_names_is_refused_alike(
    named: str, odd: str, bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A shelf or recipe that a file names is told at the line that names it."""
    command, text = NAMED[named]
    (bench / "trials").mkdir()
    path = bench / "trials" / "001.yaml"
    path.write_text(text.replace("PATH", odd if odd.startswith("/") else f"../{odd}"), encoding="utf-8")
    given = str(path.parent if "list" in command else path)
    assert main([*command.split(), given, "--json"]) == 2
    out, err = capfd.readouterr()
    (fault,) = json.loads(out)["faults"]
    assert fault["file"] is not None
    assert (Path(fault["file"]).name, fault["line"]) == ("001.yaml", 1)
    assert "001.yaml:1:" in err


def test_folders_in_the_inventory_are_no_shelves(bench: Path) -> None:
    """A folder with a shelf's suffix makes a single shelf no less single; one that cannot be looked into is not passed by."""
    (bench / "inventory" / "old.yaml").mkdir(parents=True)
    shutil.copy(SHELF, bench / "inventory" / "shelf.yaml")
    assert nearest_shelf(bench / "goals.yaml") == bench / "inventory" / "shelf.yaml"
    (bench / "deep").mkdir()
    (bench / "deep" / "inventory").symlink_to("inventory")
    with pytest.raises(BadInput, match="circle"):
        nearest_shelf(bench / "deep" / "goals.yaml")


def test_odd_files_among_the_designs_are_told_or_passed_over(bench: Path) -> None:
    """A folder and a hidden file are no designs; a pipe among designs is refused in words and never waited for."""
    designs = bench / "designs"
    (designs / "old.yaml").mkdir(parents=True)
    (designs / "._ours.yaml").write_bytes(b"\x00\x05")
    os.mkfifo(designs / "pipe.yaml")
    assert own_designs(bench) == ()
    (designs / "ours.yaml").write_text("designs: []\n", encoding="utf-8")
    assert design_files(bench) == (designs / "ours.yaml", designs / "pipe.yaml")
    with pytest.raises(BadInput, match="named pipe"):
        own_designs(bench)


def test_a_pipe_in_the_place_of_scales_is_passed_over(bench: Path) -> None:
    """What is no plain file is no file of scales."""
    (bench / "trials").mkdir()
    os.mkfifo(bench / "trials" / "scales.yaml")
    assert nearest_scales(bench / "goals.yaml") is None


def test_a_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    """Whoever stands in a folder that was deleted is told so in words by every command."""
    for arguments in (
        ["blend", "bar.yaml"],
        ["designs"],
        ["trial", "list"],
        ["new", "shop"],
        ["blend", "b", "--watch"],
    ):
        here = tmp_path / "here"
        here.mkdir()
        code = (
            "import os, sys; os.rmdir(os.getcwd()); from optimiser.cli.main import main; sys.exit(main(sys.argv[1:]))"
        )
        done = subprocess.run(
            [sys.executable, "-P", "-c", code, *arguments],
            capture_output=True,
            cwd=here,
            check=False,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        assert done.returncode == 2, (arguments, done.stderr)
        assert b"fault of the program" not in done.stderr


def test_what_is_piped_in_is_answered(tmp_path: Path) -> None:
    """Goals and shelf that come through pipes are read as files are."""
    goals = tmp_path / "goals.yaml"
    goals.write_text(GOALS, encoding="utf-8")
    script = 'cat "$1" | "$3" -m optimiser blend /dev/stdin --shelf "$2" --json'
    done = subprocess.run(
        ["sh", "-c", script, "sh", goals, SHELF, sys.executable], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout)["status"] == "optimal"
    script = 'cat "$2" | "$3" -m optimiser blend "$1" --shelf /dev/stdin --json'
    own = tmp_path / "own.yaml"
    own.write_text("fats:\n  - {fat: my oil, like: olive oil, price: 3 / kg}\n", encoding="utf-8")
    goals.write_text("shares: {my oil: {at_least: 20 %}}\n", encoding="utf-8")  # the shelf is asked twice for its fats
    done = subprocess.run(
        ["sh", "-c", script, "sh", goals, own, sys.executable], capture_output=True, cwd=ROOT, check=False
    )
    assert json.loads(done.stdout)["status"] in ("optimal", "infeasible")


def test_a_recipe_cut_short_is_told_as_a_recipe(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A recipe that ends before its first unit, given to `blend`: it is a recipe with brackets open, and no faulty goal file."""
    cut = tmp_path / "cut.yaml"
    cut.write_text("title: Bar\nfats: {olive oil: 1", encoding="utf-8")
    assert main(["blend", str(cut)]) == 2
    told = " ".join(capfd.readouterr().err.split())
    assert "this is a recipe, not a goal file" in told
    assert "never closed" in told
