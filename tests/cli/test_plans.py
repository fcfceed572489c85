"""`barwright plan`: exit codes, streams, data, and the recipes that it writes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from benches import ROOT, laid

from optimiser.answers.weigh import weigh
from optimiser.cli.main import main

SHELF = """currency: EUR
fats:
  - {fat: olive oil, price: 7 / kg}
  - {fat: coconut oil, price: 3 / kg, stock: 1.2 kg}
  - {fat: palm oil, price: 2 / kg}
  - {fat: palm kernel oil, price: 2.9 / kg}
alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}
"""
BARS = {
    "goals/hard.yaml": "title: Hard\ngoals: {hardness: {at_least: 50}}\nshares: {coconut oil: {at_least: 15 %}}\n",
    "goals/mild.yaml": "title: Mild\ngoals: {mildness: {at_least: 60}}\nshares: {coconut oil: {at_least: 10 %}}\n",
}
PLAN = """title: October
shelf: inventory/shelf.yaml
bars:
  - {goals: goals/hard.yaml, batch: {fats: 3 kg}}
  - {goals: goals/mild.yaml, batch: {bars: 20}}
"""


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workshop with two bars and a plan, and the shell in it."""
    laid(tmp_path, {"plan.yaml": PLAN, "inventory/shelf.yaml": SHELF, **BARS})
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_plan_is_zero_and_none_is_one(here: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A plan is exit 0 on stdout alone; bars that cannot all be made are exit 1 with the page of why; a fault is exit 2."""
    assert main(["plan", "plan.yaml"]) == 0
    told = capfd.readouterr()
    assert "What the bars share" in told.out
    assert told.err == ""
    (here / "inventory" / "shelf.yaml").write_text(SHELF.replace("1.2 kg", "0.5 kg"), encoding="utf-8")
    assert main(["plan", "plan.yaml"]) == 1
    assert "together need" in capfd.readouterr().out
    (here / "plan.yaml").write_text(PLAN.replace("bars: 20", "bars: none"), encoding="utf-8")
    assert main(["plan", "plan.yaml"]) == 2
    told = capfd.readouterr()
    assert told.out == ""
    assert "plan.yaml:5:" in told.err


def test_data_has_the_shape_that_scripts_are_written_against(here: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """One JSON document: bars with their goal files and blends, the buying list, and the three figures of money."""
    assert here.exists()
    assert main(["plan", "plan.yaml", "--json"]) == 0
    found = json.loads(capfd.readouterr().out)
    assert (found["format"], found["status"], found["title"]) == ("barwright/1", "planned", "October")
    assert [bar["goals"] for bar in found["bars"]] == ["goals/hard.yaml", "goals/mild.yaml"]
    blend = found["bars"][0]["blend"]
    assert sum(line["share"] for line in blend["fats"]) == pytest.approx(100.0)
    assert blend["alkali"]["sodium_hydroxide_g"] > 0
    assert blend["cautions"]
    assert {"fat", "pack", "count", "cost"} <= found["buying"][0].keys()
    assert found["cash_out"] == pytest.approx(sum(line["cost"] for line in found["buying"]), abs=0.01)
    assert found["cost_used"] == pytest.approx(sum(bar["blend"]["cost"]["batch"] for bar in found["bars"]), abs=0.02)
    assert found["value_left"] == 0.0
    assert found["certificate"]["exact"]


def test_no_plan_as_data(here: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Clashes name the bars, what is needed and what is there; concessions name what moves from where to where."""
    (here / "inventory" / "shelf.yaml").write_text(SHELF.replace("1.2 kg", "0.5 kg"), encoding="utf-8")
    assert main(["plan", "plan.yaml", "--json"]) == 1
    found = json.loads(capfd.readouterr().out)
    assert found["status"] == "infeasible"
    assert found["clashes"][0]["bars"] == ["hard", "mild"]
    assert found["clashes"][0]["needs"][0]["there_kg"] == 0.5
    assert {way["id"] for way in found["concessions"]} >= {"stock.coconut oil", "goals.batch.at_least"}


def test_the_same_plan_is_the_same_to_the_byte(here: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Asked twice the answer is the same."""
    assert here.exists()
    pages = []
    for _ in range(2):
        assert main(["plan", "plan.yaml", "--json"]) == 0
        pages.append(capfd.readouterr().out)
    assert pages[0] == pages[1]


def test_recipes_are_written_and_can_be_weighed(here: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A recipe for each bar meets its goals when it is weighed, and is not written over unasked."""
    assert main(["plan", "plan.yaml", "--save", "recipes"]) == 0
    assert "Written: recipes/hard.yaml" in capfd.readouterr().err
    for name in ("hard", "mild"):
        found = weigh(here / "recipes" / f"{name}.yaml", goal_file=here / "goals" / f"{name}.yaml")
        assert found.meets_goals
    before = (here / "recipes" / "hard.yaml").read_text(encoding="utf-8")
    assert main(["plan", "plan.yaml", "--save", "recipes"]) == 2
    assert main(["plan", "plan.yaml", "--save", "recipes", "--force"]) == 0
    assert (here / "recipes" / "hard.yaml").read_text(encoding="utf-8") == before


def test_goal_files_are_never_written_over(here: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A folder in which a recipe would take the place of a goal file is refused, and nothing is written."""
    assert main(["plan", "plan.yaml", "--save", "goals", "--force"]) == 2
    assert "hard.yaml" in capfd.readouterr().err
    assert (here / "goals" / "hard.yaml").read_text(encoding="utf-8") == BARS["goals/hard.yaml"]
    assert (here / "goals" / "mild.yaml").read_text(encoding="utf-8") == BARS["goals/mild.yaml"]


def test_another_shelf_may_be_named(here: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--shelf takes the place of the plan's own."""
    (here / "other.yaml").write_text(SHELF.replace("1.2 kg", "0.5 kg"), encoding="utf-8")
    assert main(["plan", "plan.yaml", "--shelf", "other.yaml"]) == 1
    assert "other" in capfd.readouterr().out


def test_the_schema_of_a_plan_takes_the_example(capfd: pytest.CaptureFixture[str]) -> None:
    """The schema knows every key of the example of the tree, and its bars."""
    assert main(["schema", "plan"]) == 0
    made = json.loads(capfd.readouterr().out)
    text = (ROOT / "examples" / "october-plan.yaml").read_text(encoding="utf-8")
    keys = {line.partition(":")[0] for line in text.splitlines() if line[:1].isalpha()}
    assert keys <= made["properties"].keys()
    assert {"goals", "batch", "at_most_cost"} <= json.loads(json.dumps(made["properties"]["bars"]["items"]))[
        "properties"
    ].keys()
