"""When a fat left on the shelf would come in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.answer import answer_for, read
from optimiser.story import Blend

ROOT = Path(__file__).parents[1]
NEAR = 1e-4


def shares_at(goal_file: str, fat: str, price: float) -> dict[str, float]:
    """The cheapest blend with one fat at another price."""
    sheet, shelf = read(ROOT / "goals" / goal_file)
    fats = tuple(replace(item, price=price) if item.fat.name == fat else item for item in shelf.fats)
    found = answer_for(sheet, replace(shelf, fats=fats))
    assert isinstance(found, Blend)
    return {line.fat: line.share for line in found.fats}


@pytest.mark.parametrize("goal_file", ["palm-free-vegetable.yaml", "everyday.yaml"])
def test_a_fat_enters_just_below_its_price(goal_file: str) -> None:
    """Each fat told to enter below a price is in the blend a little below it, whether fats are counted or not."""
    found = answer_for(*read(ROOT / "goals" / goal_file))
    assert isinstance(found, Blend)
    told = [line for line in found.unused if line.enters_below is not None]
    assert len(told) > 5
    for line in told[:: max(1, len(told) // 4)]:
        assert line.enters_below is not None
        assert shares_at(goal_file, line.fat, line.enters_below - NEAR).get(line.fat, 0.0) > 0.0, line.fat


def test_without_counts_a_fat_stays_out_just_above_its_price() -> None:
    """Where fats are not counted the price is exact: a little above it the fat stays on the shelf."""
    found = answer_for(*read(ROOT / "goals" / "palm-free-vegetable.yaml"))
    assert isinstance(found, Blend)
    told = [line for line in found.unused if line.enters_below is not None]
    for line in told[:: max(1, len(told) // 4)]:
        assert line.enters_below is not None
        assert line.fat not in shares_at("palm-free-vegetable.yaml", line.fat, line.enters_below + NEAR), line.fat
