"""Every goal file of the tree is answered as its header says, and the figures stand up to a hand calculation."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml
from benches import answer_as_data

from optimiser.cli.main import main
from optimiser.materials.fat_table import reference
from optimiser.solve.pinches import MOST_DEARER

ROOT = Path(__file__).parents[2]
GOALS = sorted((ROOT / "goals").glob("*.yaml"))
SHELF = yaml.safe_load((ROOT / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8"))
NAOH, KOH = 39.997, 56.106  # g/mol


def cannot(path: Path) -> bool:
    """Whether a file's header says that it cannot be met."""
    header = [line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("#")]
    return path.name.startswith("cannot") or any("cannot" in line for line in header)


def blend(path: Path, code: int) -> dict[str, Any]:
    """The answer as data, worked out once."""
    told, words = answer_as_data(path)
    assert told == code
    data: dict[str, Any] = json.loads(words)
    return data


def check_again(path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Asked again, the command says the same to the letter, and nothing on stderr."""
    assert (main(["blend", str(path), "--json"]), *capfd.readouterr()) == (*answer_as_data(path), "")


def saponification(name: str) -> float:
    """A fat's saponification value: its lot's, or the reference's (of what it is like)."""
    entry = next(item for item in SHELF["fats"] if item["fat"] == name)
    if "lot" in entry:
        return float(entry["lot"]["saponification_value"])
    return reference().get(entry.get("like", name)).saponification.value


MET = [path for path in GOALS if not cannot(path)]
UNMET = [path for path in GOALS if cannot(path)]


def test_there_are_both_kinds() -> None:
    """Some files can be met and at least one cannot, whose answer is the reason."""
    assert len(MET) >= 8
    assert UNMET


@pytest.mark.long
@pytest.mark.parametrize("path", MET, ids=lambda path: path.stem)
def test_a_file_that_can_be_met_is(path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Exit 0, shares of 100 %, a gap of nothing, all wishes kept, and the same bytes when asked again.

    The proof is of the goals without the rule on pinches, which may cost a little.
    """
    data = blend(path, 0)
    assert data["status"] == "optimal"
    assert round(sum(line["share"] for line in data["fats"]), 6) == 100.0
    pinches = any(".pinches." in line["id"] for line in data["goals"])
    assert data["certificate"]["gap"] < (MOST_DEARER if pinches else 1e-6)
    assert data["certificate"]["cheapest_possible_per_kg"] <= data["cost"]["per_kg"]
    for line in data["goals"]:
        room = 1e-5 * max(1.0, abs(line["limit"])) + (
            0.5 if line["unit"] == "index" and line["side"] == "exactly" else 0
        )
        assert line["side"] == "at_most" or line["value"] >= line["limit"] - room, line["id"]
        assert line["side"] == "at_least" or line["value"] <= line["limit"] + room, line["id"]
    check_again(path, capfd)


@pytest.mark.parametrize("path", MET, ids=lambda path: path.stem)
def test_alkali_agrees_with_a_hand_calculation(path: Path) -> None:
    """Sodium hydroxide is (1 - superfat) x sum of g x SV / 56.106 x 39.997 / purity, to 0.01 % (ISO 3657 for SV)."""
    data = blend(path, 0)
    moles = sum(line["grams"] * saponification(line["fat"]) / KOH for line in data["fats"]) / 1000.0
    superfat = data["alkali"]["superfat"] / 100.0
    acids = {"citric acid": 3.0 / 192.124}
    acid = sum(line["grams"] * acids.get(line["additive"], 0.0) for line in data["additives"])
    grams = ((1.0 - superfat) * moles + acid) * NAOH / 0.98
    assert data["alkali"]["potassium_hydroxide_g"] == 0.0
    assert data["alkali"]["sodium_hydroxide_g"] == pytest.approx(grams, rel=1e-4)
    water = data["water"]["grams"]
    pure = data["alkali"]["sodium_hydroxide_pure_g"]
    brought = sum(0.4 * line["grams"] for line in data["additives"] if line["additive"] == "sodium lactate")
    assert data["water"]["lye_concentration"] == pytest.approx(100.0 * pure / (pure + water + brought), rel=1e-4)


@pytest.mark.parametrize("path", MET, ids=lambda path: path.stem)
def test_cost_agrees_with_the_price_list(path: Path) -> None:
    """The batch costs what the shelf's own figures say, summed here."""
    data = blend(path, 0)
    listed = {item["fat"]: float(item["price"].split("/")[0]) for item in SHELF["fats"]}
    extra = {item["additive"]: float(item["price"].split("/")[0]) for item in SHELF["additives"]}
    money = (
        sum(line["grams"] * listed[line["fat"]] for line in data["fats"]) + data["alkali"]["sodium_hydroxide_g"] * 2.40
    )
    money += sum(line["grams"] * extra.get(line["additive"], 0.0) for line in data["additives"])
    assert data["cost"]["batch"] == pytest.approx(money / 1000.0, rel=1e-4)
    assert data["cost"]["per_kg"] == pytest.approx(money / data["cost"]["cured_g"], rel=1e-4)


@pytest.mark.parametrize("path", UNMET, ids=lambda path: path.stem)
def test_a_file_that_cannot_be_met_says_why(path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Exit 1, at least one clash of known wishes, a proof with a margin, no blend; the same bytes when asked again."""
    data = blend(path, 1)
    assert data["status"] == "infeasible"
    assert data["clashes"]
    assert all(clash for clash in data["clashes"])
    assert "fats" not in data
    assert data["certificate"]["proves"] == "infeasible"
    assert data["certificate"]["margin"] > 0 or not data["certificate"]["exact"]
    check_again(path, capfd)


@pytest.mark.parametrize("path", GOALS, ids=lambda path: path.stem)
def test_a_goal_file_says_what_it_is_for(path: Path) -> None:
    """The second line is a sentence for people, and the file has a title."""
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[1].startswith("# ")
    assert len(lines[1]) > 30
    assert yaml.safe_load("\n".join(lines))["title"]
