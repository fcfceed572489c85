"""Saving a recipe says so and tells what comes next; what `practice: off` leaves is said in the answer."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.cli.main import main

BUDGET = str(Path(__file__).parents[2] / "goals" / "budget.yaml")
SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"


def test_saving_says_where(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--save tells on stderr what was written, and the answer goes on to judging the recipe, not to saving it again."""
    path = tmp_path / "recipe.yaml"
    assert main(["blend", BUDGET, "--save", str(path)]) == 0
    out, err = capfd.readouterr()
    assert err == f"Written: {path}\n"
    assert "--save" not in out
    assert f"barwright weigh {path} --against {BUDGET}" in out


def test_saving_leaves_json_alone(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """With --json the note stays on stderr and stdout is one document."""
    assert main(["blend", BUDGET, "--json", "--save", str(tmp_path / "recipe.yaml")]) == 0
    out, err = capfd.readouterr()
    assert json.loads(out)["status"] == "optimal"
    assert err.startswith("Written: ")


def test_nothing_written_nothing_said(capfd: pytest.CaptureFixture[str]) -> None:
    """Without --save the answer tells how to keep the recipe."""
    assert main(["blend", BUDGET]) == 0
    out, err = capfd.readouterr()
    assert err == ""
    assert f"barwright blend {BUDGET} --save budget-recipe.yaml\n" in out


def test_practice_off_is_said(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A goal file that switches house practice off is told which defaults stay, and one that does not is told nothing."""
    path = tmp_path / "free.yaml"
    path.write_text(f"shelf: {SHELF}\ngoals: {{hardness: {{at_least: 40}}}}\npractice: off\n", encoding="utf-8")
    assert main(["blend", str(path)]) == 0
    told = " ".join(capfd.readouterr().out.split())
    kept = "superfat 5 %, lye concentration 33 % and likely superfat at least 0 %"
    assert f"House practice is off; {kept} stay until a goal says otherwise." in told
    assert main(["blend", BUDGET]) == 0
    assert "practice is off" not in capfd.readouterr().out


def test_a_shelf_without_a_currency_leaves_no_hole(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Where no currency is named no sentence about money has two blanks in its place."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(
        "title: s\nfats:\n  - {fat: olive oil, price: 4 / kg}\n  - {fat: coconut oil, price: 3 / kg}\n",
        encoding="utf-8",
    )
    path = tmp_path / "dear.yaml"
    path.write_text(f"shelf: {shelf}\ngoals: {{cost: {{at_most: 1.00 / kg}}}}\n", encoding="utf-8")
    assert main(["blend", str(path)]) == 1
    out = capfd.readouterr().out
    assert "cost comes down to" in out
    assert "  / kg" not in out


OUNCES = """units: oz
fats: [{fat: olive oil, price: 6.90 / kg}, {fat: coconut oil, price: 3.10 / kg}]
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
"""


def test_the_bars_of_a_blend_are_those_of_the_recipe_saved(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """24 bars of 4 oz are 24 bars of 4 oz (113.3980925 g) of the file that keeps them, in the record and on the label too."""
    (tmp_path / "shelf.yaml").write_text(OUNCES, encoding="utf-8")
    goals, recipe = tmp_path / "goals.yaml", tmp_path / "recipe.yaml"
    goals.write_text(
        "shelf: shelf.yaml\nbatch: {bars: 24, cured_weight: 4 oz}\nshares: {olive oil: 70 %}\n", encoding="utf-8"
    )
    assert main(["blend", str(goals), "--save", str(recipe)]) == 0
    text = recipe.read_text(encoding="utf-8")
    assert "cured_weight: 113.3980925 g\n" in text
    assert "bars: 24\n" in text
    capfd.readouterr()
    labels = []
    for path in (goals, recipe):
        assert main(["label", str(path), "--json"]) == 0
        labels.append(json.loads(capfd.readouterr().out)["net_weight"])
    assert labels[0] == labels[1]
    assert main(["batch", "add", str(recipe), "--store", str(tmp_path / "r.sqlite")]) == 0
    assert "24 bars, " in capfd.readouterr().out
