"""Nothing that others wrote steers the terminal: names of files, arguments, titles, names, lots, notes, and what is saved."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from optimiser.cli.main import main

ROOT = Path(__file__).parents[2]
SIGNS = "\x1b[31m\x9b\u202e\u2066\u200f\u200b\u2028\ue000\U000e0041\x7f"
ESCAPED = "\\x1b[31m\\x9b\\u202e\\u2066\\u200f\\u2028\\ue000\\U000e0041\\x7f"  # as YAML spells them in double quotes
SHELF = f"""\
title: "Shelf {ESCAPED}"
currency: "E{ESCAPED[:4]}"
fats:
  - {{fat: "mine {ESCAPED}", like: olive oil, price: 4 / kg, lot: {{number: "L{ESCAPED}", saponification_value: 190}}}}
  - {{fat: coconut oil, price: 3 / kg, stock: 9 kg}}
  - {{fat: palm oil, price: 2 / kg}}
"""
GOALS = f"""\
title: "Bar {ESCAPED}"
shelf: ../inventory/shelf.yaml
goals: {{hardness: {{at_least: 30}}}}
shares: {{"mine {ESCAPED}": {{at_least: 20 %}}}}
prefer: [{{"mine {ESCAPED}": {{at_least: 90 %}}}}]
"""
RECIPE = f"""\
title: "Bar {ESCAPED}"
fats: {{"mine {ESCAPED}": 700 g, coconut oil: 300 g}}
superfat: 5 %
"""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workshop in which every name and title is hostile; the working directory is in it."""
    folder = tmp_path / f"shop\n{SIGNS}"
    for name, text in (("inventory/shelf", SHELF), (f"goals/bar{SIGNS}", GOALS), (f"recipes/r{SIGNS}", RECIPE)):
        path = folder / f"{name}.yaml"
        path.parent.mkdir(parents=True)
        path.write_text(text, encoding="utf-8")
    broken = "title: 'x'\ngoals: {hardness: {at_least: 30}}\nshares: {\u202e\u2066x\u200f\ue000: 5 %}\n"
    (folder / "goals" / f"broken{SIGNS}.yaml").write_text(broken, encoding="utf-8")
    cannot = GOALS.replace("at_least: 30", "at_least: 95")
    (folder / "goals" / f"cannot{SIGNS}.yaml").write_text(cannot, encoding="utf-8")
    monkeypatch.chdir(folder)
    return folder


def told(capfd: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """The exit code, and everything on both streams, held to have nothing in it that acts."""
    try:
        code = main(arguments)
    except SystemExit as stopped:
        code = int(stopped.code or 0)
    out, err = capfd.readouterr()
    assert not {mark for mark in out + err if mark in SIGNS and mark not in "[31m"}
    return code, out + err


@pytest.mark.parametrize("command", [["blend"], ["blend", "--steps"], ["feasible"], ["reach"], ["blend", "--json"]])
@pytest.mark.parametrize(("name", "code"), [("bar", 0), ("cannot", 1), ("broken", 2), ("nowhere", 2)])
def test_goals(shop: Path, command: list[str], name: str, code: int, capfd: pytest.CaptureFixture[str]) -> None:
    """Blends, clashes and faults of a hostile goal file are told, and tell nothing to the terminal."""
    found, said = told(capfd, *command, str(shop / "goals" / f"{name}{SIGNS}.yaml"))
    assert found == code
    assert "x1b" in said or "\\u001b" in said or name == "bar"


def test_what_is_saved_hides_nothing(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A saved recipe is told on stderr, its comment stays one comment, and it reads back to the same fats."""
    path = shop / "recipes" / f"saved\n{SIGNS}.yaml"
    code, said = told(capfd, "blend", str(shop / "goals" / f"bar{SIGNS}.yaml"), "--save", str(path))
    assert code == 0
    assert "Written: " in said
    assert "saved\\n\\x1b" in said
    written = path.read_text(encoding="utf-8")
    assert not set(written) & (set(SIGNS) - set("[31m"))
    code, said = told(capfd, "weigh", str(path), "--json")
    assert code == 0
    assert f"mine {SIGNS}".replace("\u200b", "").replace("\u2028", " ") in [
        line["fat"] for line in json.loads(said)["fats"]
    ]


@pytest.mark.parametrize(("name", "expected"), [("bar", 0), ("cannot", 1)])
def test_what_other_solvers_read_hides_nothing(
    name: str, expected: int, shop: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """An LP file of hostile names has none of their signs in it, and beyond its comments plain letters alone."""
    path = shop / "recipes" / "bar.lp"
    code, _ = told(capfd, "blend", str(shop / "goals" / f"{name}{SIGNS}.yaml"), "--lp", str(path))
    assert code == expected
    written = path.read_text(encoding="utf-8")
    assert not set(written) & (set(SIGNS) - set("[31m"))
    assert "".join(line for line in written.splitlines() if not line.startswith("\\")).isascii()


@pytest.mark.parametrize("more", [[], ["--steps"], ["--json"], ["--against", "goals"]])
def test_recipes(shop: Path, more: list[str], capfd: pytest.CaptureFixture[str]) -> None:
    """A hostile recipe is judged in plain signs."""
    goals = str(shop / "goals" / f"bar{SIGNS}.yaml")
    code, _ = told(
        capfd, "weigh", str(shop / "recipes" / f"r{SIGNS}.yaml"), *(goals if m == "goals" else m for m in more)
    )
    assert code == 0


def test_trials(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Trials with hostile notes, units and folders are kept and listed in plain signs."""
    recipe, folder = str(shop / "recipes" / f"r{SIGNS}.yaml"), str(shop / f"trials\n{SIGNS}")
    options = ("--hardness", f"41 Shore{SIGNS}", "--note", f"note {SIGNS}\nnext", "--trace", "5 min")
    for linked in ([], ["--link"]):
        code, said = told(capfd, "trial", "add", recipe, "--folder", folder, *options, *linked)
        assert code == 0, said
    for path in Path(folder).iterdir():
        assert not set(path.read_text(encoding="utf-8")) & (set(SIGNS) - set("[31m"))
    assert told(capfd, "trial", "list", "--folder", folder)[0] == 0
    assert told(capfd, "trial", "fit", "--folder", folder)[0] in (0, 1)
    assert told(capfd, "trial", "fit", f"odd{SIGNS}", "--folder", folder)[0] == 2
    assert told(capfd, "trial", "add", recipe, "--trace", f"soon{SIGNS}")[0] == 2


@pytest.mark.parametrize(
    "arguments",
    [
        [f"bake{SIGNS}"],
        ["blend", "x", f"--loud{SIGNS}"],
        ["blend", "x", f"y\n{SIGNS}"],
        ["fats", f"odd{SIGNS}"],
        ["designs", f"odd{SIGNS}"],
        ["measures", f"odd{SIGNS}"],
        ["schema", f"odd{SIGNS}"],
        ["blend", f"gone{SIGNS}\n.yaml"],
        ["blend", "gone.yaml", "--shelf", f"gone{SIGNS}"],
        ["trial", "add", "x.yaml", "--ash", f"odd{SIGNS}"],
        ["new", "inventory"],
    ],
)
def test_arguments(shop: Path, arguments: list[str], capfd: pytest.CaptureFixture[str]) -> None:  # noqa: ARG001
    """What was typed is told back in plain signs."""
    assert told(capfd, *arguments)[0] == 2


def test_a_new_folder(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The words about a new workshop keep their own lines, and the command to copy names the folder for a shell."""
    code, said = told(capfd, "new", str(shop / f"w\n{SIGNS}"))
    assert code == 0
    assert "Next: barwright blend $'" in said
    assert said.count("\n") < 20


def test_a_fault_of_ours(shop: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """An exception that quotes a hostile name is told in plain signs."""
    from importlib import import_module

    def broken(*_: object) -> None:
        raise RuntimeError(f"in {SIGNS}\nhere")

    monkeypatch.setattr(import_module("optimiser.answers.blend"), "answered", broken)
    monkeypatch.delenv("BARWRIGHT_TRACEBACK", raising=False)
    code, said = told(capfd, "blend", str(shop / "goals" / f"bar{SIGNS}.yaml"))
    assert code == 3
    assert "\\nhere" in said


def test_a_schema_of_hostile_names_is_ascii(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A schema carries every name and is plain ASCII."""
    code, said = told(capfd, "schema", "--shelf", str(shop / "inventory" / "shelf.yaml"))
    assert code == 0
    assert said.isascii()
    assert "\u202e" in json.dumps(json.loads(said), ensure_ascii=False)


def test_a_name_that_is_no_text(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A goal file whose name is not UTF-8 is answered, in words and as data; where its name must be written, it is refused."""
    path = os.fsdecode(os.fsencode(str(shop / "goals")) + b"/b\xff.yaml")
    try:
        shutil.copy(shop / "goals" / f"bar{SIGNS}.yaml", path)
    except OSError:
        pytest.skip("a file system that takes only UTF-8 cannot hold such a name")
    Path(path).write_text(GOALS.replace(f'title: "Bar {ESCAPED}"\n', ""), encoding="utf-8")
    code, said = told(capfd, "blend", path)
    assert code == 0
    assert "b<U+DCFF>" in said
    assert json.loads(told(capfd, "blend", path, "--json")[1])["status"] == "optimal"
    code, said = told(capfd, "blend", path, "--save", str(shop / "saved.yaml"))
    assert code == 0
    assert "b<U+DCFF>.yaml" in (shop / "saved.yaml").read_text(encoding="utf-8")
