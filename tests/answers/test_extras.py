"""Bars with additives by mass and liquids for water, from the files to the answer, the saved recipe and back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.answers.reach import reach
from optimiser.answers.reach_results import Reach
from optimiser.cli.main import main

SHELF = """\
currency: EUR
fats:
  - {fat: olive oil, price: 7.00 / kg}
  - {fat: coconut oil, price: 3.00 / kg}
  - {fat: palm oil, price: 2.00 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
additives: [{additive: lavender scent, like: essential oil, price: 60.00 / kg, at_most: 3 %}]
liquids: [{liquid: goat milk, water: 87 %, price: 1.20 / kg}]
"""
GOALS = """\
title: a milk bar
shelf: shelf.yaml
practice: off
batch: {bars: 24, cured_weight: 105 g}
shares: {olive oil: 50 %}
additives: {lavender scent: 30 g, kaolin: 10 g / kg}
liquids: {goat milk: MILK}
"""


def laid(folder: Path, milk: str = "50 %") -> Path:
    """The goal file beside its shelf."""
    (folder / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    (folder / "bar.yaml").write_text(GOALS.replace("MILK", milk), encoding="utf-8")
    return folder / "bar.yaml"


@pytest.mark.parametrize("milk", ["50 %", "100 %", "150 g", "{between: [20 %, 60 %]}"])
def test_a_saved_recipe_is_the_blend(tmp_path: Path, milk: str, capfd: pytest.CaptureFixture[str]) -> None:
    """What is saved is weighed as the same recipe, liquids by their mass and all wishes kept."""
    path, saved = laid(tmp_path, milk), tmp_path / "saved.yaml"
    assert main(["blend", str(path), "--json", "--save", str(saved)]) == 0
    blend = json.loads(capfd.readouterr().out)
    assert main(["weigh", str(saved), "--json", "--against", str(path)]) == 0
    recipe = json.loads(capfd.readouterr().out)
    assert recipe["meets_goals"] is True
    assert [(item["liquid"], item["grams"]) for item in recipe["liquids"]] == [
        (item["liquid"], item["to_weigh_g"]) for item in blend["liquids"]
    ]
    assert [item["additive"] for item in recipe["additives"]] == ["lavender scent", "kaolin"]
    assert recipe["water"]["total_g"] == pytest.approx(
        recipe["water"]["grams"] + 0.87 * recipe["liquids"][0]["grams"], abs=0.1
    )
    assert recipe["alkali"]["superfat"] == pytest.approx(5.0, abs=0.1)


def test_the_documents_list_liquids_apart(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Liquids stand under `liquids` with their grams and cost, and are not among the additives."""
    assert main(["blend", str(laid(tmp_path)), "--json"]) == 0
    told = json.loads(capfd.readouterr().out)
    (milk,) = told["liquids"]
    assert milk["liquid"] == "goat milk"
    assert milk["share_of_jug"] == pytest.approx(50.0, abs=1e-4)
    assert milk["grams"] == pytest.approx(told["water"]["grams"], abs=0.02)
    assert milk["cost"] == pytest.approx(milk["grams"] * 0.0012, abs=0.001)
    assert [item["additive"] for item in told["additives"]] == ["lavender scent", "kaolin"]
    assert told["additives"][0]["grams"] == pytest.approx(30.0)
    goal = next(goal for goal in told["goals"] if goal["id"] == "additives.lavender scent.exactly")
    assert (goal["value"], goal["unit"], goal["says"]) == (30.0, "g", "lavender scent exactly 30 g")


def test_a_clash_is_told_in_grams(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Too much scent clashes with the end on the shelf, and the way out is a line in grams."""
    path = laid(tmp_path)
    path.write_text(path.read_text(encoding="utf-8").replace("30 g, kaolin", "300 g, kaolin"), encoding="utf-8")
    assert main(["blend", str(path), "--json"]) == 1
    told = json.loads(capfd.readouterr().out)
    assert ["additives.lavender scent.exactly", "practice.lavender scent.at_most"] in [
        sorted(clash) for clash in told["clashes"]
    ]
    pastes = [change["paste"] for one in told["concessions"] for change in one["change"]]
    assert any(line.startswith("lavender scent: ") and line.endswith(" g") for line in pastes)


def test_reach_tells_a_liquid_in_its_own_unit(tmp_path: Path) -> None:
    """The room of a liquid, of an additive by mass, and of one whose sides are told in two units."""
    path = laid(tmp_path, "{at_most: 60 %}")
    text = path.read_text(encoding="utf-8").replace("kaolin: 10 g / kg", "kaolin: {at_least: 5 g / kg, at_most: 30 g}")
    path.write_text(text, encoding="utf-8")
    story = reach(path)
    assert isinstance(story, Reach)
    lines = {line.id: line for line in story.lines}
    milk, kaolin = lines["goat milk"], lines["kaolin"]
    assert (milk.unit, milk.high_limit) == ("%", 60.0)
    assert milk.low == pytest.approx(0.0, abs=1e-6)
    assert milk.high == pytest.approx(100.0)
    assert (kaolin.unit, kaolin.low_limit, kaolin.high_limit) == ("g/kg", 5.0, None)


def test_what_dropping_a_liquid_saves_is_the_bar_without_it(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Without its line there is no milk, so the saving is the cost of that bar less the cost of this one."""
    path = laid(tmp_path)
    assert main(["blend", str(path), "--json"]) == 0
    with_milk = json.loads(capfd.readouterr().out)
    path.write_text(path.read_text(encoding="utf-8").replace("liquids: {goat milk: 50 %}\n", ""), encoding="utf-8")
    assert main(["blend", str(path), "--json"]) == 0
    without = json.loads(capfd.readouterr().out)
    (told,) = [goal["saves_if_dropped"] for goal in with_milk["goals"] if goal["id"] == "liquids.goat milk.exactly"]
    assert told == pytest.approx(with_milk["cost"]["per_kg"] - without["cost"]["per_kg"], abs=2e-3)


def head_of(saved: Path) -> str:
    """The comment at the head of a saved recipe, as one line of words."""
    comment = [line for line in saved.read_text(encoding="utf-8").splitlines() if line.startswith("#")]
    assert max(map(len, comment)) <= 140
    return " ".join(line.removeprefix("# ") for line in comment)


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        ("", ()),
        ("goals: {superfat: 0.5 %}\n", ("LIKELY LYE-HEAVY", "likely superfat -")),
        ("may use: []\nacid: {citric acid: 1 %, vinegar: 5 %}\n", ("are counted on", "Weigh them, and put them in.")),
    ],
)
def test_a_saved_recipe_warns_at_its_head(tmp_path: Path, wish: str, says: tuple[str, ...]) -> None:
    """Whoever opens the saved recipe reads there that it is likely to be lye-heavy, and what must not be left out."""
    path, saved = laid(tmp_path), tmp_path / "saved.yaml"
    goals = path.read_text(encoding="utf-8")
    acid = wish.partition("acid: {")[2].rstrip("}\n")
    wish = "" if acid else wish
    path.write_text(goals.replace("kaolin: 10 g / kg", acid or "kaolin: 10 g / kg") + wish, encoding="utf-8")
    assert main(["blend", str(path), "--save", str(saved)]) == 0
    head = head_of(saved)
    for words in ("LIKELY LYE-HEAVY", "likely superfat -", "are counted on", "Weigh them, and put them in."):
        assert (words in head) is (words in says)
    assert "burn skin and blind" in head
    assert main(["weigh", str(saved)]) == 0


def test_only_what_the_shelf_has_not_is_free(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Kaolin without a price is told as free of charge; the milk, whose price stands under liquids, is not."""
    assert main(["blend", str(laid(tmp_path)), "--json"]) == 0
    notes = json.loads(capfd.readouterr().out)["notes"]
    free = [note for note in notes if "free of charge" in note]
    assert free == ["The shelf says nothing of kaolin: taken as free of charge."]
