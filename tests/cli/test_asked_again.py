"""What stands at the end of a page: a command that asks the very same again, first aid that is there, and every own caution."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from optimiser.answers.swap import swap
from optimiser.cli.main import main

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"
RECIPE = ROOT / "examples" / "recipes" / "all-purpose.yaml"


def page(capsys: pytest.CaptureFixture[str], *asked: object) -> str:
    """What a command prints."""
    assert main([str(item) for item in asked]) == 0
    return capsys.readouterr().out


def last_command(told: str) -> list[str]:
    """The last command to be copied."""
    return shlex.split(next(line for line in reversed(told.splitlines()) if line.strip().startswith("barwright ")))[1:]


@pytest.mark.long
@pytest.mark.parametrize("command", [["blend"], ["choices", "--within", "5 %"]])
def test_the_command_that_saves_saves_what_was_shown(
    tmp_path: Path, command: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Run as printed it keeps the grams of the page, though recipe and shelf were named on the line."""
    monkeypatch.chdir(tmp_path)
    goals = tmp_path / "bar.yaml"
    goals.write_text("title: Bar\ngoals: {hardness: {at_least: 66}}\n", encoding="utf-8")
    name, *more = command
    told = page(capsys, name, goals, "--near", RECIPE, "--shelf", SHELF, *more)
    again = last_command(told)
    assert again[again.index("--near") + 1] == str(RECIPE)
    assert again[again.index("--shelf") + 1] == str(SHELF)
    page(capsys, *again)
    kept = Path(again[-1]).read_text(encoding="utf-8")
    alkali = next(line.split()[2] for line in kept.splitlines() if line.strip().startswith("sodium hydroxide"))
    assert f" {float(alkali):.1f}" in told


@pytest.mark.long
def test_swap_and_curves_name_the_shelf_again(capsys: pytest.CaptureFixture[str]) -> None:
    """The commands at their ends repeat the shelf that was named, and none where none was."""
    assert "--shelf" in last_command(page(capsys, "swap", RECIPE, "--out", "palm oil", "--shelf", SHELF))
    assert "--shelf" not in last_command(page(capsys, "swap", RECIPE, "--out", "palm oil"))
    goals = ROOT / "goals" / "budget.yaml"
    told = page(capsys, "tradeoff", goals, "--of", "hardness", "--shelf", SHELF, "--near", RECIPE)
    assert {"--shelf", "--near"} <= {*last_command(told)}


@pytest.mark.parametrize(
    "asked", [["swap", RECIPE, "--out", "palm oil"], ["compare", RECIPE, ROOT / "goals" / "budget.yaml"]]
)
def test_first_aid_is_named_where_it_is(asked: list[object], capsys: pytest.CaptureFixture[str]) -> None:
    """A command that has no steps sends nobody to them."""
    told = " ".join(page(capsys, *asked).split())
    assert "--steps" not in told
    assert "First aid: 'barwright explain lye'" in told


def test_each_answer_has_its_own_cautions(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An acid that is counted on, and a fat that seizes, are told though the old recipe had the same; what all share once for all."""
    recipe = tmp_path / "recipe.yaml"
    recipe.write_text(
        f"title: Bar\nshelf: {SHELF}\nfats: {{olive oil: 500 g, palm oil: 250 g, coconut oil: 200 g, stearic acid: 50 g}}\n"
        "superfat: 3 %\nlye_concentration: 33 %\nadditives: {citric acid: 20 g}\n",
        encoding="utf-8",
    )
    told = " ".join(page(capsys, "swap", recipe, "--out", "palm oil").replace("!", " ! ").split()).lower()
    found = swap(recipe, "palm oil")
    assert any("counted on" in item for item in found.old.cautions)
    cautions = {item for answer in found.answers for item in answer.story.cautions if "explain lye" not in item}
    kept = [item for item in cautions if "counted on" in item or item.startswith("Stearic")]
    assert len(kept) >= 2
    assert all(" ".join(item.split()).lower() in told for item in kept)


def test_the_goals_that_are_missed_are_named(tmp_path: Path) -> None:
    """Against a goal file an answer says which goals it does not keep, by their own words."""
    goals = tmp_path / "bar.yaml"
    goals.write_text("goals: {hardness: {at_least: 60}, quick_lather: {at_least: 60}}\n", encoding="utf-8")
    found = swap(RECIPE, "palm oil", shelf_file=SHELF, goal_file=goals)
    misses = [answer.misses for answer in found.answers if not answer.fits]
    assert misses
    assert all("quick lather" in item for item in misses)
    assert all("goals" not in item for item in misses)
