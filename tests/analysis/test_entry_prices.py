"""When a fat left on the shelf would come in."""

from __future__ import annotations

from pathlib import Path

import pytest
from reading import read
from strategies import limit

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.model.programme import build
from optimiser.solve.optimum import solve

ROOT = Path(__file__).parents[2]
NEAR = 1e-4


def shares_at(goal_file: str, fat: str, price: float) -> dict[str, float]:
    """The cheapest blend with one fat at another price."""
    sheet, shelf = read(ROOT / "goals" / goal_file)
    fats = tuple(item._replace(price=price) if item.fat.name == fat else item for item in shelf.fats)
    found = answer_for(sheet, shelf._replace(fats=fats))
    assert isinstance(found, Blend)
    return {line.fat: line.share for line in found.fats}


@pytest.mark.long
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


def cost_at(goal_file: Path, fat: str, price: float) -> float:
    """What a kilo costs with one fat at another price."""
    sheet, shelf = read(goal_file)
    fats = tuple(item._replace(price=price) if item.fat.name == fat else item for item in shelf.fats)
    _, found = solve(build(sheet, shelf._replace(fats=fats)))
    assert found is not None
    return found.ratio


def counted_file(folder: Path) -> Path:
    """The everyday bar with its fats counted and no smallest share."""
    text = (ROOT / "goals" / "everyday.yaml").read_text(encoding="utf-8")
    file = folder / "counted.yaml"
    shelf = f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}"
    text = text.replace("shelf: ../inventory/kittiwake.yaml", shelf)
    file.write_text(text.replace("fats: {at_most: 6, each_at_least: 4 %}", "fats: {at_most: 6}"), encoding="utf-8")
    return file


def test_where_fats_are_counted_every_word_on_entry_is_true(tmp_path: Path) -> None:
    """Below a price told the answer is cheaper than today's; of a fat that never enters it is not, even as a gift."""
    file = counted_file(tmp_path)
    found = answer_for(*read(file))
    assert isinstance(found, Blend)
    free = [line for line in found.unused if not line.barred_by]
    assert {line.enters for line in free} <= {"at the latest below", "never", "unknown"}
    told = [line for line in free if line.enters_below is not None]
    never = [line for line in free if line.enters == "never"]
    assert len(told) > len(free) / 2
    for line in told[::3]:
        assert line.enters_below is not None
        assert cost_at(file, line.fat, 0.999 * line.enters_below) < found.cost.per_kg, line.fat
    for line in never[:3]:
        assert cost_at(file, line.fat, 0.0) >= found.cost.per_kg - 1e-8, line.fat


def test_a_budget_spent_to_the_last_keeps_no_fat_out() -> None:
    """A cost goal as low as the cheapest blend, or a preference on the cost, is no reason for a fat never to enter."""
    file = ROOT / "goals" / "palm-free-vegetable.yaml"
    sheet, shelf = read(file)
    plain = answer_for(sheet, shelf)
    assert isinstance(plain, Blend)
    goals = tuple(one for one in sheet.goals if one.key != "cost")
    tight = limit("cost", "at_most", plain.cost.per_kg * (1.0 + 1e-9))._replace(per="kg")
    bound = answer_for(sheet._replace(goals=(*goals, tight)), shelf)
    wished = answer_for(sheet._replace(prefer=(*sheet.prefer, (tight._replace(value=0.5),))), shelf)
    assert isinstance(bound, Blend)
    assert isinstance(wished, Blend)
    before = {line.fat: line.enters_below for line in plain.unused}
    for told in (bound, wished):
        for line in told.unused:
            assert (line.enters_below is None) == (before[line.fat] is None), line.fat
            if line.enters_below is not None:
                assert line.enters_below == pytest.approx(before[line.fat], abs=1e-4)
    assert {line.enters for line in wished.unused if line.enters_below} == {"at the latest below"}


def test_without_counts_a_fat_stays_out_just_above_its_price() -> None:
    """Where fats are not counted the price is exact: a little above it the fat stays on the shelf."""
    found = answer_for(*read(ROOT / "goals" / "palm-free-vegetable.yaml"))
    assert isinstance(found, Blend)
    told = [line for line in found.unused if line.enters_below is not None]
    assert len(told) >= 4
    for line in told[:: max(1, len(told) // 4)]:
        assert line.enters_below is not None
        assert line.fat not in shares_at("palm-free-vegetable.yaml", line.fat, line.enters_below + NEAR), line.fat


def test_of_a_cost_that_may_not_fall_nothing_is_told() -> None:
    """With a least cost asked for no price changes what the answer costs, and none is told at which a fat comes in."""
    sheet, shelf = read(ROOT / "goals" / "palm-free-vegetable.yaml")
    goals = (*(one for one in sheet.goals if one.key != "cost"), limit("cost", "at_least", 4.0)._replace(per="kg"))
    found = answer_for(sheet._replace(goals=goals), shelf)
    assert isinstance(found, Blend)
    assert {line.enters for line in found.unused if not line.barred_by} == {"unknown"}
