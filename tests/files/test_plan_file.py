"""The plan file: what it says, and every fault of it, its goal files and the shelf at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import laid

from optimiser.files.plan_file import read_plan
from optimiser.files.plan_question import names_of, read_plan_question
from optimiser.problem.buying import Buy
from optimiser.text.diagnostics import BadInput

SHELF = (
    "currency: EUR\nfats:\n  - {fat: olive oil, price: 7 / kg}\n  - {fat: coconut oil, price: 3 / kg, stock: 2 kg}\n"
)
BAR = "title: Bar\nbatch: {bars: 10, cured_weight: 90 g, scale: 5 g}\ngoals: {hardness: {at_least: 30}, cost: {at_most: 9 / kg}}\n"


def shop(folder: Path, plan: str, bar: str = BAR, shelf: str = SHELF) -> Path:
    """A workshop with a plan, a goal file and a shelf."""
    laid(folder, {"plan.yaml": plan, "goals/bar.yaml": bar, "inventory/shelf.yaml": shelf})
    return folder / "plan.yaml"


def faults(path: Path) -> list[tuple[str, str, int]]:
    """Code, file name and line of each fault of a plan."""
    with pytest.raises(BadInput) as bad:
        read_plan_question(path)
    return [
        (str(one.code), Path(one.span.file).name if one.span else "", one.span.line if one.span else 0)
        for one in bad.value.diagnostics
    ]


def test_a_plan_is_read(tmp_path: Path) -> None:
    """Title, shelf, what may be bought, and each bar with its batch and its cost."""
    text = """title: October
shelf: inventory/shelf.yaml
buy: packs
aim: least cash
bars:
  - {goals: goals/bar.yaml, batch: {bars: 200}, at_most_cost: 4.20 / kg}
  - goals: goals/bar.yaml
"""
    found = read_plan(shop(tmp_path, text))
    assert found.title == "October"
    assert found.shelf == tmp_path / "inventory" / "shelf.yaml"
    assert found.buying is not None
    assert (found.buying.buy, found.buying.left_counts) == (Buy.PACKS, 0.0)
    first, second = found.bars
    assert first.batch is not None
    assert first.batch.bars == 200
    assert [(limit.key, limit.value, limit.per) for limit in first.cost] == [("cost", 4.2, "kg")]
    assert (second.batch, second.cost) == (None, ())
    assert names_of(found.bars) == ("bar (1)", "bar (2)")


def test_a_bar_is_asked_as_the_plan_has_it(tmp_path: Path) -> None:
    """The plan's batch replaces how much is made and leaves the rest; of two costs the stricter counts; the shelf is the plan's."""
    text = "bars:\n  - {goals: goals/bar.yaml, batch: {fats: 2 kg}, at_most_cost: 4.20 / kg}\n  - {goals: goals/bar.yaml, at_most_cost: 12 / kg}\n"
    first, second = read_plan_question(shop(tmp_path, text)).bars
    assert (first.goals.batch.fats_kg, first.goals.batch.bars) == (2.0, None)
    assert first.goals.batch.cured_weight_kg == pytest.approx(0.09)
    assert first.goals.batch.scale_g == pytest.approx(5.0)
    assert [limit.value for limit in first.goals.goals if limit.key == "cost"] == [4.2]
    assert second.goals.batch.bars == 10
    assert [limit.value for limit in second.goals.goals if limit.key == "cost"] == [9.0]
    assert first.shelf.title == "shelf"


def test_without_a_word_nothing_is_said_of_buying(tmp_path: Path) -> None:
    """A plan that says nothing of buying has none, whatever its goal files say."""
    found = read_plan_question(shop(tmp_path, "bars: [{goals: goals/bar.yaml}]\n", BAR + "buy: packs\n"))
    assert found.sheet.buying is None
    assert found.bars[0].goals.buying is None


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    """What is wrong in the plan, in its goal file and on its shelf is told together, each at its line."""
    plan = "title: x\nbuy: pakcs\nbars:\n  - {goals: goals/bar.yaml, batch: {bars: none}}\n"
    assert faults(shop(tmp_path, plan))[0] == ("unknown-word", "plan.yaml", 2)
    good = "bars:\n  - {goals: goals/bar.yaml}\n  - {goals: goals/none.yaml}\n"
    found = faults(shop(tmp_path, good, BAR.replace("hardness", "hardnes"), SHELF.replace("olive oil", "olvie oil")))
    assert ("unknown-key", "bar.yaml", 3) in found
    assert ("unknown-fat", "shelf.yaml", 3) in found
    assert ("no-such-file", "plan.yaml", 3) in found


def test_a_fault_of_a_goal_file_says_where_the_plan_names_it(tmp_path: Path) -> None:
    """The fault stands in the goal file; a note leads back to the plan."""
    path = shop(tmp_path, "bars:\n  - {goals: goals/bar.yaml}\n", BAR.replace("hardness", "hardnes"))
    with pytest.raises(BadInput) as bad:
        read_plan_question(path)
    (fault,) = bad.value.diagnostics
    assert [(words, span.line if span else 0) for words, span in fault.notes] == [("the plan names this file here", 2)]


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("title: x\n", "missing-key", 1),
        ("bars: []\n", "no-value", 1),
        ("bars: everyday.yaml\n", "wrong-shape", 1),
        ("bars:\n  - {batch: {bars: 3}}\n", "missing-key", 2),
        ("bars:\n  - {goals: goals/bar.yaml, count: 3}\n", "unknown-key", 2),
        ("bars:\n  - {goals: goals/bar.yaml, batch: {bars: 3, fats: 2 kg}}\n", "contradiction", 2),
        ("bars:\n  - {goals: goals/bar.yaml, at_most_cost: 4.20 / litre}\n", "wrong-unit", 2),
        ("bars:\n  - {goals: goals/bar.yaml, at_most_cost: 4.20 USD / kg}\n", "other-currency", 2),
        ("bars:\n  - {goals: goals/bar.yaml}\naim: cash\n", "unknown-word", 3),
        ("bars:\n  - {goals: inventory/shelf.yaml}\n", "wrong-file", 1),
    ],
)
def test_a_faulty_plan_is_told_where(tmp_path: Path, text: str, code: str, line: int) -> None:
    """Each fault has its code and stands at the line that is wrong."""
    assert (code, line) in [(found, at) for found, _, at in faults(shop(tmp_path, text))]


def test_too_many_bars_are_refused(tmp_path: Path) -> None:
    """More than sixty bars are not asked at once."""
    text = "bars:\n" + "  - {goals: goals/bar.yaml}\n" * 61
    assert faults(shop(tmp_path, text)) == [("too-many-entries", "plan.yaml", 2)]


def test_a_plan_is_known_for_one(tmp_path: Path) -> None:
    """Where a goal file is wanted a plan is told by its name, and the other way round."""
    path = shop(tmp_path, "bars:\n  - {goals: goals/bar.yaml}\n")
    from optimiser.files.goals import read_goals

    with pytest.raises(BadInput, match="this is a plan, not a goal file"):
        read_goals(path)
    with pytest.raises(BadInput, match="this is a goal file, not a plan"):
        read_plan(tmp_path / "goals" / "bar.yaml")
