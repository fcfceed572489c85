"""Weights on every page are told in the units of the shelf, or those asked for, and never in two kinds at once."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from optimiser.cli.main import main
from optimiser.problem.units import Units, units_of_scale

ROOT = Path(__file__).parents[2]
GRAMS = re.compile(r"\b(?:\d[\d.]*|from|to) ?g\b|\bgrams\b|\d kg\b")
OF_BARS = re.compile(r"/ kg\b|g I2/100 g")
QUESTIONS = {
    "swap": ("swap", "house-bar.yaml", "--out", "palm oil"),
    "choices": ("choices", "goals.yaml", "--count", "3", "--full"),
    "near": ("blend", "near.yaml"),
}


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A workspace whose shelf is in ounces and short of one fat, with a recipe in hand and goal files."""
    shelf = (
        (ROOT / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8").replace("currency:", "units: oz\ncurrency:")
    )
    (tmp_path / "shelf.yaml").write_text(shelf.replace("stock: 60 kg", "stock: 3 oz"), encoding="utf-8")
    (tmp_path / "house-bar.yaml").write_text(
        "shelf: shelf.yaml\ntitle: House bar\nsuperfat: 5 %\nlye_concentration: 32 %\n"
        "fats: {olive oil: 16 oz, coconut oil: 9 oz, palm oil: 9 oz, castor oil: 2 oz}\n",
        encoding="utf-8",
    )
    (tmp_path / "goals.yaml").write_text("shelf: shelf.yaml\ngoals: {hardness: {at_least: 50}}\n", encoding="utf-8")
    (tmp_path / "near.yaml").write_text(
        "shelf: shelf.yaml\nnear: house-bar.yaml\ngoals: {wear_life: +4}\n", encoding="utf-8"
    )
    return tmp_path


def page_of(place: Path, capfd: pytest.CaptureFixture[str], name: str, *more: str) -> str:
    """What a question prints."""
    command, file, *options = QUESTIONS[name]
    assert main([command, str(place / file), *options, *more]) in {0, 1}
    return capfd.readouterr().out


def in_metric(page: str) -> list[str]:
    """The lines that tell a weight in grams or kilograms, prices aside."""
    return [line for line in page.splitlines() if GRAMS.search(OF_BARS.sub("", line))]


@pytest.mark.long
@pytest.mark.parametrize("name", QUESTIONS)
def test_a_shelf_in_ounces_makes_pages_in_ounces(place: Path, capfd: pytest.CaptureFixture[str], name: str) -> None:
    """No weight of such a page is in grams, and its alkali is told in ounces; the same with --units, whatever the shelf says."""
    page = page_of(place, capfd, name)
    assert in_metric(page) == []
    assert re.search(r"\d oz\b|ounces", page)
    pounds = page_of(place, capfd, name, "--units", "lb oz")
    assert in_metric(pounds) == []
    assert page_of(place, capfd, name, "--units", "oz") == page
    assert in_metric(page_of(place, capfd, name, "--units", "g"))


def test_alkali_and_its_change_are_cut_off(place: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What a swap tells of the alkali is no more than the recipe holds, and what it has changed by adds up."""
    page = page_of(place, capfd, "swap")
    data = json.loads(page_of(place, capfd, "swap", "--json"))
    old = float(re.search(r"([\d.]+) oz of sodium hydroxide", " ".join(page.split()))[1])  # type: ignore[index]
    told = re.findall(r"Sodium hydroxide ([\d.]+) oz \((?:([\d.]+) oz (more|less)|as before)\)", " ".join(page.split()))
    unlike = [answer for answer in data["answers"] if not answer.get("same_as")]
    assert len(told) == len(unlike) >= 3
    for (figure, by, side), answer in zip(told, unlike, strict=True):
        held = answer["blend"]["alkali"]["sodium_hydroxide_g"] / 28.349523125
        assert float(figure) <= held + 1e-4
        assert float(figure) == pytest.approx(old + float(by or 0.0) * (-1 if side == "less" else 1), abs=1e-9)


def test_the_next_step_rounds_to_the_same_steps(place: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Units named on the line stand in the command that keeps an answer."""
    assert "--units 'lb oz' --save 1 FILE" in page_of(place, capfd, "swap", "--units", "lb oz")
    assert "--units lb" in page_of(place, capfd, "choices", "--units", "lb")
    assert "--units" not in page_of(place, capfd, "swap", "--units", "g")


@pytest.mark.parametrize("name", ["blend", "weigh", "resize", "sheet", "plan"])
def test_a_balance_in_ounces_makes_weights_in_ounces(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], name: str
) -> None:
    """`scale: 0.1 oz` over a shelf that says nothing of units is enough, for goals, recipes, plans and sheets; --units goes before it."""
    shelf = (ROOT / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8")
    (tmp_path / "shelf.yaml").write_text(shelf, encoding="utf-8")
    batch = "batch: {fats: 5 lb, scale: 0.1 oz}\n"
    (tmp_path / "goals.yaml").write_text(f"shelf: shelf.yaml\n{batch}goals: {{hardness: 40}}\n", encoding="utf-8")
    (tmp_path / "bar.yaml").write_text(
        "shelf: shelf.yaml\nbatch: {scale: 0.1 oz}\nsuperfat: 5 %\nfats: {olive oil: 30 oz, coconut oil: 10 oz}\n",
        encoding="utf-8",
    )
    (tmp_path / "plan.yaml").write_text(f"shelf: shelf.yaml\nbars: [{{goals: goals.yaml, {batch.strip()}}}]\n", "utf-8")
    asked = {
        "blend": ["blend", "goals.yaml"],
        "weigh": ["weigh", "bar.yaml"],
        "resize": ["resize", "bar.yaml", "--to", "60 oz fats"],
        "sheet": ["sheet", "bar.yaml", "-o", str(tmp_path / "s.html")],
        "plan": ["plan", "plan.yaml"],
    }[name]
    asked[1] = str(tmp_path / asked[1])

    def told(*more: str) -> str:
        assert main([*asked, *more]) == 0
        out = capfd.readouterr().out
        return re.sub("<[^>]*>", " ", (tmp_path / "s.html").read_text("utf-8")) if name == "sheet" else out

    page = told()
    assert re.search(r"\d oz\b|ounces", page)
    assert not re.search(r"\d g of|\bgrams\b", page)
    assert re.search(r"\d g\b|grams", told("--units", "g", *(["--force"] if name == "sheet" else [])))


def test_a_balance_in_pounds_is_known_by_its_step() -> None:
    """0.01 lb is 4.5359237 g and 0.1 oz 2.8349523125 g, by the definition of the pound; 0.5 g and no step at all are grams."""
    told = {0.1 * 28.349523125: "oz", 0.005 * 28.349523125: "oz", 0.01 * 453.59237: "lb", 0.5: "g", 0.002: "g"}
    assert {step: str(units_of_scale(step)) for step in told} == told
    assert units_of_scale(None) == Units.GRAMS
