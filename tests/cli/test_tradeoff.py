"""`barwright tradeoff`: exit codes, streams, the file it writes, and what stops it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.cli.main import main

ROOT = Path(__file__).parents[2]
GOALS = str(ROOT / "goals" / "fine-swirl.yaml")
SWIRL = [GOALS, "--of", "superfat", "--side", "at_least"]


def test_a_curve_is_found(capsys: pytest.CaptureFixture[str]) -> None:
    """A curve exits 0, with its chart on stdout and nothing on stderr."""
    assert main(["tradeoff", *SWIRL]) == 0
    out, err = capsys.readouterr()
    assert "what superfat at least costs" in out
    assert "soybean oil goes" in out
    assert "harm if swallowed" in out
    assert err == ""


def test_json_is_one_document(capsys: pytest.CaptureFixture[str]) -> None:
    """With --json stdout is one document of status curve, the same to the byte each time."""
    assert main(["tradeoff", *SWIRL, "--json"]) == 0
    first = capsys.readouterr().out
    told = json.loads(first)
    assert (told["status"], told["of"], told["exact"]) == ("curve", "goals.superfat.at_least", True)
    assert main(["tradeoff", *SWIRL, "--json"]) == 0
    assert capsys.readouterr().out == first


def test_a_range_is_kept_to(capsys: pytest.CaptureFixture[str]) -> None:
    """With --from and --to the curve begins and ends there."""
    assert main(["tradeoff", *SWIRL, "--from", "3 %", "--to", "4 %", "--json"]) == 0
    points = json.loads(capsys.readouterr().out)["points"]
    assert (points[0]["limit"], points[-1]["limit"]) == (3.0, 4.0)


def test_none_exits_1_with_reasons(capsys: pytest.CaptureFixture[str]) -> None:
    """Goals that clash, or a first limit that no blend has, exit 1 with the clash as `blend` tells it."""
    assert main(["tradeoff", str(ROOT / "goals" / "cannot-be.yaml"), "--of", "hardness"]) == 1
    assert "No blend meets these goals together" in capsys.readouterr().out
    assert main(["tradeoff", *SWIRL, "--from", "7 %", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["status"] == "infeasible"
    assert any("goals.superfat.at_most" in clash for clash in told["clashes"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--of", "superfatt"], "superfat"),
        (["--of", "superfat"], "--side at_least or --side at_most"),
        (["--of", "cost"], "name a measure"),
        (["--of", "hardness", "--and-side", "at_least"], "--and"),
        (["--of", "hardness", "--and", "superfat"], "--and-side at_least or --and-side at_most"),
        (["--of", "hardness", "--from", "much"], "is no word for hardness"),
    ],
)
def test_slips_exit_2(words: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What was typed wrong exits 2, with what to write on stderr and nothing on stdout."""
    assert main(["tradeoff", GOALS, *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in " ".join(err.split())


@pytest.mark.parametrize(("words", "says"), [(["--of", "superfat", "--side", "sideways"], "at_least"), ([], "--of")])
def test_usage_exits_2(words: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    """An option that is missing, or a side that is none, is told before anything is read."""
    with pytest.raises(SystemExit) as left:
        main(["tradeoff", GOALS, *words])
    assert left.value.code == 2
    assert says in capsys.readouterr().err


def test_the_chart_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--svg writes the chart, over a file that is there only with --force, and never over the goals."""
    path = tmp_path / "chart.svg"
    assert main(["tradeoff", *SWIRL, "--svg", str(path)]) == 0
    out, err = capsys.readouterr()
    assert path.read_text(encoding="utf-8").startswith("<svg ")
    assert str(path) in out.replace("\n", "")
    assert "Written:" in err
    before = path.read_bytes()
    assert main(["tradeoff", *SWIRL, "--svg", str(path)]) == 2
    assert path.read_bytes() == before
    assert main(["tradeoff", *SWIRL, "--svg", str(path), "--force"]) == 0
    assert path.read_bytes() == before
    goals = Path(GOALS).read_bytes()
    assert main(["tradeoff", *SWIRL, "--svg", GOALS, "--force"]) == 2
    assert Path(GOALS).read_bytes() == goals


def test_no_chart_without_a_blend(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where there is no blend nothing is written."""
    path = tmp_path / "chart.svg"
    assert main(["tradeoff", str(ROOT / "goals" / "cannot-be.yaml"), "--of", "hardness", "--svg", str(path)]) == 1
    assert list(tmp_path.iterdir()) == []
    assert capsys.readouterr().err == ""


def test_two_limits_are_a_grid(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """With --and the costs of both stand in a table that says that it is a grid; the chart is written as well."""
    path = tmp_path / "grid.svg"
    words = ["tradeoff", *SWIRL, "--and", "hardness", "--and-side", "at_least", "--svg", str(path)]
    assert main(words) == 0
    assert "A grid of 64 answers" in capsys.readouterr().out
    assert "<svg" in path.read_text(encoding="utf-8")


@pytest.mark.long
def test_a_curve_near_to_a_recipe_says_whose_cost_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nearness is no wish that gives way: in words it is told once, and what it means for the cost."""
    goals = tmp_path / "near.yaml"
    goals.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\nnear: {ROOT / 'examples' / 'house-bar.yaml'}\n"
        "goals: {hardness: {at_least: 60}}\n",
        encoding="utf-8",
    )
    for more in ([], ["--and", "quick_lather", "--and-side", "at_least"]):
        assert main(["tradeoff", str(goals), "--of", "hardness", "--to", "64", *more]) == 0
        told = " ".join(capsys.readouterr().out.split())
        assert "Each limit is answered by the blend nearest to House bar there" in told
        assert "as little of the fats changed as can be" not in told


def test_a_dash_is_no_file_to_write(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """--svg - writes no file called "-": it is refused before any work is done."""
    monkeypatch.chdir(tmp_path)
    assert main(["tradeoff", *SWIRL, "--svg", "-"]) == 2
    assert "name a file" in " ".join(capfd.readouterr().err.split())
    assert not (tmp_path / "-").exists()
