"""What heats a batter by itself comes before a design that would cover it or warm it more."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.weigh import weigh
from optimiser.files.goals import read_goals
from optimiser.problem.batch import DEFAULT_BATTER

FATS = "fats: {olive oil: 450 g, coconut oil: 300 g, palm oil: 250 g}\nsuperfat: 5 %\nlye_concentration: 33 %\n"
MILK, HONEY = "liquids: {goat milk: 50 %}\n", "additives: {honey: 2 %}\n"


@pytest.mark.parametrize("heating", [MILK, HONEY])
@pytest.mark.parametrize("design", ["chequer of blocks", "stamped bar"])
def test_a_design_does_not_gel_what_heats_by_itself(tmp_path: Path, design: str, heating: str) -> None:
    """With milk or honey a design's gel stands aside: cool, uncovered, no warmer than usual; without them it is covered."""
    path = tmp_path / "r.yaml"
    path.write_text(f"design: {design}\n{FATS}{heating}", encoding="utf-8")
    found = weigh(path)
    told = " ".join(found.steps)
    assert not found.recipe.gel
    assert found.recipe.batter_temperature <= DEFAULT_BATTER
    assert "Keep it cool and uncovered" in told
    assert "gels through" not in told
    path.write_text(f"design: {design}\n{FATS}", encoding="utf-8")
    assert "gels through" in " ".join(weigh(path).steps)


def test_the_makers_own_gel_stands_and_is_watched(tmp_path: Path) -> None:
    """Who writes gel: yes beside milk gets it, with the words to watch it."""
    path = tmp_path / "r.yaml"
    path.write_text(f"design: stamped bar\ngel: yes\n{FATS}{MILK}", encoding="utf-8")
    told = " ".join(weigh(path).steps)
    assert "so that it gels through. Goat milk may overheat it: look at it every quarter" in told


@pytest.mark.parametrize("heating", [MILK, HONEY])
def test_a_goal_file_says_why_a_design_is_not_covered(tmp_path: Path, heating: str) -> None:
    """The batch of a goal file is kept cool too, and a note says why."""
    path = tmp_path / "g.yaml"
    path.write_text(f"design: chequer of blocks\n{heating}", encoding="utf-8")
    sheet = read_goals(path)
    assert not sheet.batch.gel
    assert sheet.batch.batter_temperature == DEFAULT_BATTER
    assert any("stands aside, since" in note and "kept cool and uncovered" in note for note in sheet.design_notes)
    path.write_text("design: chequer of blocks\n", encoding="utf-8")
    assert read_goals(path).batch.gel
