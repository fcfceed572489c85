"""The day by which lots are in date, as it is typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.cli.main import main

SHELF = """fats:
  - {fat: lard, price: 2 / kg}
  - {fat: coconut oil, price: 3 / kg, lots: [{number: A, stock: 2 kg, best_before: 2027-03-01}]}
  - {fat: olive oil, price: 6.90 / kg}
"""


@pytest.fixture
def bar(tmp_path: Path) -> str:
    """A goal file over a shelf with a lot that keeps until March."""
    (tmp_path / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    (tmp_path / "bar.yaml").write_text("shelf: shelf.yaml\nmade: 2026-11-28\n", encoding="utf-8")
    return str(tmp_path / "bar.yaml")


@pytest.mark.parametrize("command", ["blend", "feasible", "reach", "choices"])
def test_every_command_on_goals_takes_a_day(bar: str, command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The warning of what is out on that day goes to stderr; on the day of the file there is none."""
    assert main([command, bar, "--on", "2027-03-02"]) == 0
    assert "left out on 2027-03-02" in " ".join(capsys.readouterr().err.split())
    assert main([command, bar]) == 0
    assert "left out" not in capsys.readouterr().err


def test_what_is_no_day_is_a_fault(bar: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With how to write one."""
    assert main(["blend", bar, "--on", "2nd of March"]) == 2
    err = " ".join(capsys.readouterr().err.split())
    assert "--on: '2nd of March' is no day" in err
    assert "as in 2026-11-25" in err


def test_the_command_to_ask_again_keeps_the_day(bar: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What is to be copied answers the same."""
    assert main(["blend", bar, "--on", "2027-03-02"]) == 0
    assert "--on 2027-03-02 --save" in " ".join(capsys.readouterr().out.split())
