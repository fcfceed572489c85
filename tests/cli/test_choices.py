"""`barwright choices`: exit codes, streams, files, and a figure typed with or without blanks."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from optimiser.cli.main import main
from optimiser.cli.usage import together

ROOT = Path(__file__).parents[2]
BUDGET = str(ROOT / "goals" / "budget.yaml")
SALT_BAR = str(ROOT / "goals" / "design-salt-bar.yaml")
CANNOT = str(ROOT / "goals" / "cannot-be.yaml")


def test_blends_are_zero_and_none_is_one(capfd: pytest.CaptureFixture[str]) -> None:
    """A few blends are exit 0 on stdout alone; clashing goals are exit 1 with the page of why."""
    assert main(["choices", BUDGET, "--count", "2"]) == 0
    told = capfd.readouterr()
    assert "swaps more than" in told.out
    assert told.err == ""
    assert main(["choices", CANNOT]) == 1
    assert "No blend meets these goals together." in capfd.readouterr().out


@pytest.mark.parametrize(
    "typed", [["--within", "5", "%", BUDGET], [BUDGET, "--within", "5 %"], [BUDGET, "--within=5%"], [BUDGET]], ids=str
)
def test_five_per_cent_may_be_typed_in_many_ways(typed: list[str], capfd: pytest.CaptureFixture[str]) -> None:
    """With a blank, without, before the file or behind it, or not at all: the answer is the same to the byte."""
    assert main(["choices", BUDGET, "--count", "2", "--within", "5%"]) == 0
    usual = capfd.readouterr().out
    assert main(["choices", "--count", "2", *typed]) == 0
    assert capfd.readouterr().out == usual


@pytest.mark.parametrize(
    ("typed", "joined"),
    [
        (["--within", "5", "%", "a"], ["--within", "5 %", "a"]),
        (["--within", "0.3", "/", "kg", "a"], ["--within", "0.3 / kg", "a"]),
        (["--within", "0.3", "/kg", "a"], ["--within", "0.3 /kg", "a"]),
        (["--within", "5", "%", "/shop/goals.yaml"], ["--within", "5 %", "/shop/goals.yaml"]),
        (["--within", "5%", "/goals"], ["--within", "5%", "/goals"]),
        (["--within", "0.3/kg", "/", "a"], ["--within", "0.3/kg", "/", "a"]),
        (["a", "--within"], ["a", "--within"]),
        (["--count", "5", "%"], ["--count", "5", "%"]),
    ],
)
def test_parts_of_a_figure_are_put_together(typed: list[str], joined: list[str]) -> None:
    """What belongs to the figure goes to it, and nothing else."""
    assert together(typed, ("--within",)) == joined


def test_json_is_as_agreed(capfd: pytest.CaptureFixture[str]) -> None:
    """One document with the blends in the shape of a blend, how much dearer, a phrase, and the limit rounded up."""
    assert main(["choices", BUDGET, "--within", "5%", "--json"]) == 0
    told = json.loads(capfd.readouterr().out)
    assert told["format"] == "barwright/1"
    assert told["status"] == "choices"
    assert told["within"] == 5.0
    assert len(told["choices"]) == 4
    assert told["most_swapped"]["proved"] is True
    assert told["choices"][0]["dearer"] == 0.0
    for choice in told["choices"]:
        assert {"fats", "alkali", "water", "measures", "cost", "cautions", "to_weigh"} <= choice["blend"].keys()
        assert "goals" not in choice["blend"]
        assert isinstance(choice["says"], str)
        assert choice["says"]
        assert choice["dearer"] <= told["within"]
        assert choice["swapped"] <= told["most_swapped"]["share"]
        assert choice["apart"] >= told["smallest_swap"]
        assert any("burns skin" in caution for caution in choice["blend"]["cautions"])


@pytest.mark.parametrize(
    "typed",
    [
        ["--within", "0"],
        ["--within", "-3 %"],
        ["--within", "a bit"],
        ["--within", "400 %"],
        ["--within", "0.05"],
        ["--count", "1"],
        ["--count", "99"],
        ["--save", "9", "x.yaml"],
        ["--save", "two", "x.yaml"],
        ["--save", "2", BUDGET],
    ],
    ids=" ".join,
)
def test_what_cannot_be_asked_is_two(
    typed: list[str], capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Told on stderr, nothing on stdout, and nothing written; as data where data was asked for."""
    monkeypatch.chdir(tmp_path)
    assert main(["choices", BUDGET, *typed]) == 2
    told = capfd.readouterr()
    assert told.out == ""
    assert "help:" in told.err
    assert list(tmp_path.iterdir()) == []
    assert main(["choices", BUDGET, *typed, "--json"]) == 2
    assert json.loads(capfd.readouterr().out)["status"] == "bad-input"


def test_one_is_kept_and_weighs_as_told(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A blend that was kept meets the goals when it is weighed against them, and is the one that was told."""
    path = tmp_path / "two.yaml"
    assert main(["choices", BUDGET, "--save", "2", str(path), "--json"]) == 0
    told = capfd.readouterr()
    choice = json.loads(told.out)["choices"][1]
    assert f"Written: {path}" in told.err
    assert main(["weigh", str(path), "--against", BUDGET, "--json"]) == 0
    weighed = json.loads(capfd.readouterr().out)
    assert weighed["meets_goals"] is True
    assert {line["fat"]: line["grams"] for line in weighed["fats"]} == {
        line["fat"]: line["to_weigh_g"] for line in choice["blend"]["fats"]
    }
    assert weighed["alkali"]["sodium_hydroxide_g"] == choice["blend"]["alkali"]["sodium_hydroxide_to_weigh_g"]
    before = path.read_bytes()
    assert main(["choices", BUDGET, "--save", "3", str(path)]) == 2
    assert path.read_bytes() == before
    assert main(["choices", BUDGET, "--save", "3", str(path), "--force"]) == 0
    assert path.read_bytes() != before


def test_one_blend_alone_is_said(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Where there is but one it is told once, and a second cannot be kept."""
    assert main(["choices", SALT_BAR]) == 0
    told = " ".join(capfd.readouterr().out.split())
    assert "There is but this one blend: none other meets these goals" in told
    assert " 2 " not in told.split("Fats")[0]
    assert main(["choices", SALT_BAR, "--save", "2", str(tmp_path / "two.yaml")]) == 2
    assert "there is but one blend" in capfd.readouterr().err
    assert not (tmp_path / "two.yaml").exists()


def test_a_shelf_by_hand_is_used(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """`--shelf` takes the place of the file's own."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(
        "title: small (invented)\ncurrency: EUR\nfats:\n"
        "  - {fat: palm oil, price: 2.0 / kg}\n  - {fat: olive oil, price: 7.0 / kg}\n"
        "  - {fat: coconut oil, price: 3.0 / kg}\n  - {fat: lard, price: 2.1 / kg}\n"
        "alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}\n",
        encoding="utf-8",
    )
    goals = tmp_path / "bar.yaml"
    goals.write_text("goals: {hardness: {at_least: 45}}\n", encoding="utf-8")
    assert main(["choices", str(goals), "--shelf", str(shelf), "--json"]) == 0
    told = json.loads(capfd.readouterr().out)
    names = {line["fat"] for choice in told["choices"] for line in choice["blend"]["fats"]}
    assert names <= {"palm oil", "olive oil", "coconut oil", "lard"}
    assert told["shelf"] == "small (invented)"


@pytest.mark.long
def test_the_same_bytes_in_every_process() -> None:
    """Two processes with other hash seeds print the same bytes."""
    printed = {
        subprocess.run(
            [sys.executable, "-m", "optimiser", "choices", BUDGET, "--full"],
            capture_output=True,
            cwd=ROOT,
            check=True,
            env=os.environ | {"PYTHONHASHSEED": seed, "COLUMNS": "80"},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(printed) == 1
