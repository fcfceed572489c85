"""Commands that write: an answer first, then the file whole, and never over what the answer is worked out from."""

from __future__ import annotations

import errno
import json
import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from benches import SPREAD, laid, written

from optimiser.cli.main import main
from optimiser.files.recipe_file import read_recipe
from optimiser.files.trial_file import read_trial, read_trials
from optimiser.files.trial_writing import Entry, record
from optimiser.text.source import one_line

ROOT = Path(__file__).parents[2]
GOALS = "shelf: {}\ngoals: {{hardness: {{at_least: 40}}}}\n"
TRIAL = "recipe: ../recipe.yaml\nash: no\n"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A workshop with a goal file and the shelf that it names."""
    shelf = (ROOT / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8")
    return laid(tmp_path, {"inventory/shelf.yaml": shelf, "goals.yaml": GOALS.format("inventory/shelf.yaml")})


def held(folder: Path) -> dict[Path, bytes]:
    """Every file of a folder and what it holds; anything else by name alone."""
    return {path: path.read_bytes() if path.is_file() else b"" for path in folder.rglob("*")}


def small_files() -> None:
    """In a process to be: no file may grow beyond 64 bytes."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (64, 64))


# -- blend --save --------------------------------------------------------------------------------------------------


def test_a_size_limit_leaves_the_old_recipe(bench: Path) -> None:
    """A recipe that the system will not take whole: exit 2 in words, the old one as it was, and nothing beside it."""
    (bench / "recipe.yaml").write_text("mine\n", encoding="utf-8")
    before = held(bench)
    for name in ("recipe.yaml", "new.yaml"):
        done = subprocess.run(
            [sys.executable, "-B", "-m", "optimiser", "blend", bench / "goals.yaml", "--save", bench / name, "--force"],
            capture_output=True,
            cwd=ROOT,
            check=False,
            preexec_fn=small_files,
        )
        assert done.returncode == 2
        assert b"larger than files may be" in b" ".join(done.stderr.split())
        assert done.stdout == b""
        assert held(bench) == before


def test_a_full_disk_leaves_the_old_recipe_and_tells_programs(
    bench: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Where the last step fails the one document on stdout is of the fault."""
    (bench / "recipe.yaml").write_text("mine\n", encoding="utf-8")
    before = held(bench)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("optimiser.files.writing.os.replace", full)
    command = ["blend", str(bench / "goals.yaml"), "--save", str(bench / "recipe.yaml"), "--force", "--json"]
    assert main(command) == 2
    out, err = capfd.readouterr()
    assert json.loads(out)["faults"][0]["code"] == "cannot-write"
    assert "Written" not in err
    assert held(bench) == before


@pytest.mark.parametrize("name", ["goals.yaml", "inventory/shelf.yaml", "trials/scales.yaml", "designs/ours.yaml"])
@pytest.mark.parametrize("spelling", ["straight", "soft link", "hard link", "detour"])
def test_what_an_answer_is_worked_out_from_is_never_written_over(
    name: str, spelling: str, bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Not even with --force: goals, shelf, own scales and designs stay, by whatever path they are named."""
    for folder in ("trials", "designs"):
        (bench / folder).mkdir()
    (bench / "trials" / "scales.yaml").write_text("# none yet\n", encoding="utf-8")
    (bench / "designs" / "ours.yaml").write_text("designs: []\n", encoding="utf-8")
    target = bench / name
    if spelling == "soft link":
        target = bench / "link.yaml"
        target.symlink_to(bench / name)
    elif spelling == "hard link":
        target = bench / "hard.yaml"
        os.link(bench / name, target)
    elif spelling == "detour":
        target = bench / "inventory" / ".." / name
    before = held(bench)
    assert main(["blend", str(bench / "goals.yaml"), "--save", str(target), "--force"]) == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert "never written over" in " ".join(err.split())
    assert held(bench) == before


def test_a_link_to_nothing_is_refused(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--save does not make a file at the far end of a link that nobody sees, with --force or without."""
    (bench / "link.yaml").symlink_to(bench / "inventory" / "elsewhere.yaml")
    for options in ([], ["--force"]):
        assert main(["blend", str(bench / "goals.yaml"), "--save", str(bench / "link.yaml"), *options]) == 2
        assert "leads to nothing" in " ".join(capfd.readouterr().err.split())
    assert [path.name for path in (bench / "inventory").iterdir()] == ["shelf.yaml"]


def test_a_recipe_saved_through_a_link_weighs_by_either_name(bench: Path) -> None:
    """The shelf that it names is found from the link's folder and from the file's own."""
    (bench / "far" / "away").mkdir(parents=True)
    (bench / "far" / "away" / "recipe.yaml").write_text("old\n", encoding="utf-8")
    (bench / "link.yaml").symlink_to(bench / "far" / "away" / "recipe.yaml")
    assert main(["blend", str(bench / "goals.yaml"), "--save", str(bench / "link.yaml"), "--force"]) == 0
    assert (bench / "link.yaml").is_symlink()
    for path in (bench / "link.yaml", bench / "far" / "away" / "recipe.yaml"):
        assert main(["weigh", str(path), "--against", str(bench / "goals.yaml")]) == 0


ODD = {
    "a newline": "bar\nfats: {lard: 1 kg}\n#.yaml",
    "a carriage return": "bar\rfats: x.yaml",
    "a line of YAML": "a: b # c.yaml",
    "an escape": "bar\x1b[31m.yaml",
    "a next line": "bar\x85x: y.yaml",
    "no UTF-8": os.fsdecode(b"b\xe4r.yaml"),
    "a quote": 'it\'s "so".yaml',
}


@pytest.mark.parametrize("case", sorted(ODD))
def test_a_saved_recipe_reads_back_whatever_the_goals_are_called(
    case: str, bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Odd letters in the goal file's name stay in a comment and a title, on one line each."""
    goals = bench / ODD[case]
    (bench / "goals.yaml").rename(goals)
    path = bench / "recipe.yaml"
    assert main(["blend", str(goals), "--save", str(path)]) == 0
    assert read_recipe(path).shelf == bench / "inventory" / "shelf.yaml"
    assert read_recipe(path).title == one_line(goals.stem)
    assert main(["weigh", str(path), "--against", str(goals)]) == 0
    capfd.readouterr()


@pytest.mark.parametrize("folder", ["two  blanks", "a: b # c", "it's", "größer", "new\nline", " led", "#1"])
def test_a_saved_recipe_finds_its_shelf(folder: str, bench: Path) -> None:
    """The path to the shelf keeps every letter and blank."""
    (bench / folder).mkdir()
    shutil.move(bench / "inventory" / "shelf.yaml", bench / folder / "s.yaml")
    shelf = ["--shelf", str(bench / folder / "s.yaml")]
    (bench / "goals.yaml").write_text("goals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    assert main(["blend", str(bench / "goals.yaml"), *shelf, "--save", str(bench / "r.yaml")]) == 0
    assert main(["weigh", str(bench / "r.yaml"), "--against", str(bench / "goals.yaml")]) == 0


@pytest.mark.parametrize("folder", ["hid\u00adden", "un\u00a0broken", "bi\u202edi"])
def test_a_shelf_with_letters_nobody_sees_is_named_all_the_same(folder: str, bench: Path) -> None:
    """Letters that do not show are spelt out in the saved recipe, which finds its shelf by them."""
    shutil.move(bench / "inventory", bench / folder)
    (bench / "goals.yaml").write_text("goals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    command = ["blend", str(bench / "goals.yaml"), "--shelf", str(bench / folder / "shelf.yaml")]
    assert main([*command, "--save", str(bench / "r.yaml")]) == 0
    assert folder not in (bench / "r.yaml").read_text(encoding="utf-8")
    assert main(["weigh", str(bench / "r.yaml"), "--against", str(bench / "goals.yaml"), *command[2:]]) == 0
    assert main(["weigh", str(bench / "r.yaml")]) == 0


def test_a_shelf_that_no_recipe_can_name_is_told(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Letters that a file cannot hold: exit 2, nothing written; without --save there is an answer."""
    place = bench / os.fsdecode(b"b\xe4r")
    shutil.move(bench / "inventory", place)
    (bench / "goals.yaml").write_text("goals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    command = ["blend", str(bench / "goals.yaml"), "--shelf", str(place / "shelf.yaml")]
    before = held(bench)
    assert main([*command, "--save", str(bench / "r.yaml")]) == 2
    assert "not UTF-8" in " ".join(capfd.readouterr().err.split())
    assert held(bench) == before
    assert main(command) == 0


# -- new -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("is_there", [False, True])
@pytest.mark.parametrize(
    ("call", "number"), [("os.fsync", 0), ("os.fsync", 20), ("Path.rename", 0), ("Path.rename", 3)]
)
def test_a_workspace_that_cannot_be_finished_leaves_nothing(
    call: str, number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, is_there: bool
) -> None:
    """A disk that fills up on the way: exit 2, no folder that was not there, an empty one empty, and the next try works."""
    folder = tmp_path / "deep" / "workshop"
    if is_there:
        folder.mkdir(parents=True)
    room = "optimiser.files.writing" if call == "os.fsync" else "optimiser.cli.new"  # every other sync is of a folder
    known: dict[str, Callable[..., object]] = {"os.fsync": os.fsync, "Path.rename": Path.rename}
    true, calls = known[call], iter(range(1000))

    def fills_up(*given: Any) -> object:
        if next(calls) == number:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return true(*given)

    monkeypatch.setattr(f"{room}.{call}", fills_up)
    assert main(["new", str(folder)]) == 2
    monkeypatch.undo()
    assert list(tmp_path.rglob("*")) == ([tmp_path / "deep", folder] if is_there else [])
    assert main(["new", str(folder)]) == 0
    assert not list(folder.rglob(".barwright*"))


def test_a_size_limit_leaves_no_workspace(tmp_path: Path) -> None:
    """The same with a true limit of the system."""
    done = subprocess.run(
        [sys.executable, "-B", "-m", "optimiser", "new", tmp_path / "workshop"],
        capture_output=True,
        cwd=ROOT,
        check=False,
        preexec_fn=small_files,
    )
    assert done.returncode == 2
    assert b"larger than files may be" in b" ".join(done.stderr.split())
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_use_is_told_by_what_is_in_it(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What is in the way is named; an empty folder is taken as it is, also by whoever stands in it."""
    for name in ("a.txt", "b.txt", "c.txt", "d.txt"):
        (tmp_path / name).write_text("")
    assert main(["new", str(tmp_path)]) == 2
    assert "a.txt, b.txt, c.txt and 1 more" in " ".join(capfd.readouterr().err.split())
    (tmp_path / "loose").symlink_to(tmp_path / "nothing")
    assert main(["new", str(tmp_path / "loose")]) == 2
    assert main(["new", str(tmp_path / "a.txt")]) == 2
    assert main(["new", str(tmp_path / "a.txt" / "sub")]) == 2
    empty = tmp_path / "empty"
    empty.mkdir()
    identity = empty.stat().st_ino
    assert main(["new", str(empty)]) == 0
    assert empty.stat().st_ino == identity


# -- trials --------------------------------------------------------------------------------------------------------


def odd_neighbours(shop: Path) -> set[str]:
    """Faulty files of every kind among the trials, by name."""
    trials = shop / "trials"
    written(shop, "recipe: 1\nash: no\n", "101-wrong.yaml")
    written(shop, "recipe: {fats: {lard: 1 kg}, shelf: nowhere.yaml, superfat: 5 %}\nash: no\n", "102-no-shelf.yaml")
    written(shop, f"recipe: {'x' * 300}.yaml\nash: no\n", "103-long.yaml")
    (trials / "104-loose.yaml").symlink_to(trials / "nothing.yaml")
    (trials / "105-folder.yaml").mkdir()
    os.mkfifo(trials / "106-pipe.yaml")
    (trials / "107-bytes.yaml").write_bytes(b"\xff\x00")
    return {path.name for path in trials.iterdir() if path.name.startswith("10")}


def test_adding_beside_faulty_trials_is_done_once(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The trial is written, exit 0, and the faulty files are told on stderr and to programs; they hold nothing up."""
    names = odd_neighbours(shop)
    before = held(shop)
    command = ["trial", "add", str(shop / "recipe.yaml"), "--folder", str(shop / "trials"), "--ash", "no"]
    assert main(command) == 0
    out, err = capfd.readouterr()
    assert "Written: " in out
    flat = " ".join(err.split())
    assert all(f"{name} is left out until this is mended" in flat for name in names)
    new = set(held(shop)) - set(before)
    assert [path.name for path in new] == ["108-thirds.yaml"]
    assert main([*command, "--json"]) == 0
    data = json.loads(capfd.readouterr().out)
    assert [item["trial"] for item in data["trials"]] == ["109-thirds"]
    assert {Path(item["file"]).name for item in data["left_out"]} == names
    assert all(item["faults"] for item in data["left_out"])


@pytest.mark.parametrize("action", ["list", "fit"])
def test_faulty_trials_hold_nothing_up(action: str, shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The others are listed and fitted as if the faulty ones were not there, which are told by name."""
    for place, shares in enumerate(SPREAD):
        fats = ", ".join(f"{name}: {10 * share} g" for name, share in shares.items())
        trace = round(500 * 0.8**place * (1.02 if place % 2 else 0.97))
        written(shop, f"recipe: {{fats: {{{fats}}}, superfat: 5 %}}\ntrace: {trace} s\n", f"{place:03d}.yaml")
    command = ["trial", action, "--folder", str(shop / "trials")]
    code = main(command)
    clean = capfd.readouterr()
    assert clean.err == ""
    names = odd_neighbours(shop)
    assert main(command) == code == 0
    out, err = capfd.readouterr()
    assert out == clean.out
    assert all(f"{name} is left out" in " ".join(err.split()) for name in names)
    assert main([*command, "--json"]) == 0
    assert {Path(item["file"]).name for item in json.loads(capfd.readouterr().out)["left_out"]} == names


def test_only_faulty_trials_are_bad_input(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Where nothing is left to list, the faults are the answer: exit 2."""
    written(shop, "recipe: 1\nash: no\n")
    assert main(["trial", "list", "--folder", str(shop / "trials")]) == 2
    assert "left out" in " ".join(capfd.readouterr().err.split())


def test_a_trial_that_cannot_be_written_leaves_nothing(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """A full disk: exit 2, no file, and no folder that was not there before."""

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("optimiser.files.writing.os.fsync", full)
    before = held(shop)
    for folder in ("trials", "new/trials"):
        assert main(["trial", "add", str(shop / "recipe.yaml"), "--folder", str(shop / folder), "--ash", "no"]) == 2
        assert "no room left" in " ".join(capfd.readouterr().err.split())
    assert held(shop) == before


def test_two_hands_at_once_lose_nothing(shop: Path) -> None:
    """Trials recorded in the same moment each get a file of their own, whole."""
    sheet = read_recipe(shop / "recipe.yaml")
    with ThreadPoolExecutor(8) as pool:
        jobs = [pool.submit(record, shop / "trials", sheet, Entry(notes=(f"n{number}",))) for number in range(24)]
    paths = [job.result() for job in jobs]
    assert len(set(paths)) == 24
    assert [read_trial(path).notes for path in paths] == [(f"n{number}",) for number in range(24)]
    assert {path.name for path in (shop / "trials").iterdir()} == {path.name for path in paths}


@pytest.mark.parametrize("link", [False, True])
@pytest.mark.parametrize("name", ["two  blanks", "a: b # c", "new\nline", "größer"])
def test_a_trial_of_an_oddly_named_recipe_reads_back(name: str, shop: Path, *, link: bool) -> None:
    """Every letter and blank of its path is kept, also where the folder of trials is made for it or is a link."""
    (shop / name).mkdir()
    recipe = shop / name / "recipe.yaml"
    (shop / "recipe.yaml").rename(recipe)
    (shop / "far" / "away").mkdir(parents=True)
    (shop / "link").symlink_to(shop / "far" / "away")
    for folder in ("brand-new", "link"):
        command = ["trial", "add", str(recipe), "--folder", str(shop / folder), "--ash", "no"]
        assert main([*command, *(["--link"] if link else [])]) == 0
        (trial,), left = read_trials(shop / folder)
        assert (trial.linked, left) == (link, ())


def test_a_recipe_that_no_trial_can_name_is_not_recorded(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A path that is no UTF-8 cannot be linked to: exit 2 before anything is written; a copy can be kept."""
    recipe = shop / os.fsdecode(b"b\xe4r.yaml")
    (shop / "recipe.yaml").rename(recipe)
    command = ["trial", "add", str(recipe), "--folder", str(shop / "trials"), "--ash", "no"]
    assert main([*command, "--link"]) == 2
    assert "not UTF-8" in " ".join(capfd.readouterr().err.split())
    assert list((shop / "trials").iterdir()) == []
    assert main(command) == 0
    assert len(read_trials(shop / "trials")[0]) == 1


def test_scales_never_replace_what_they_are_fitted_to(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Where scales.yaml is another name of a trial or of its recipe, nothing is written over."""
    for place, shares in enumerate(SPREAD):
        fats = ", ".join(f"{name}: {10 * share} g" for name, share in shares.items())
        trace = round(500 * 0.8**place * (1.02 if place % 2 else 0.97))
        written(shop, f"recipe: {{fats: {{{fats}}}, superfat: 5 %}}\ntrace: {trace} s\n", f"{place:03d}.yaml")
    scales = shop / "trials" / "scales.yaml"
    for hard, other in ((False, "trials/000.yaml"), (True, "trials/001.yaml")):
        if hard:
            scales.hardlink_to(shop / other)
        else:
            scales.symlink_to(shop / other)
        before = held(shop)
        assert main(["trial", "fit", "--folder", str(shop / "trials"), "--save"]) == 2
        assert capfd.readouterr().out == ""
        assert held(shop) == before
        scales.unlink()
    scales.symlink_to(shop / "trials" / "nothing")
    assert main(["trial", "fit", "--folder", str(shop / "trials"), "--save"]) == 2
    assert "leads to nothing" in " ".join(capfd.readouterr().err.split())
    scales.unlink()
    assert main(["trial", "fit", "--folder", str(shop / "trials"), "--save"]) == 0
    assert scales.is_file()
