"""Room while a limit is moved is the room that is worked out afresh, and the room that `reach` tells."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.page_answer import rooms_of
from optimiser.answers.page_drag import Bench
from optimiser.answers.page_room import Ends, room
from optimiser.answers.reach import reach
from optimiser.answers.reach_results import Reach
from optimiser.files.question import read_question
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Section

GOALS = Path(__file__).parents[2] / "goals"
CLOSE = 1e-6
MOVES = [
    ("palm-free-vegetable.yaml", Section.GOALS, "hardness", Side.AT_LEAST, (60.0, 61.0, 66.0, 58.0)),
    ("palm-free-vegetable.yaml", Section.GOALS, "superfat", Side.AT_MOST, (4.0, 3.0, 5.5)),
    ("budget.yaml", Section.GOALS, "cost", Side.AT_MOST, (2.6, 2.3, 3.0)),
    ("fine-swirl.yaml", Section.GOALS, "mildness", Side.AT_LEAST, (68.0, 69.0, 71.0)),
]


@pytest.mark.parametrize(("file", "section", "key", "side", "values"), MOVES)
def test_room_that_is_carried_on_is_room_worked_out_afresh(
    file: str, section: Section, key: str, side: Side, values: tuple[float, ...]
) -> None:
    """Ends that are kept from one figure to the next are those of the programme at that figure, to rounding."""
    bench = Bench(read_question(GOALS / file))
    limit = bench.limit(section, key, side)
    assert limit is not None
    kept = 0
    for value in values:
        assert bench.at(section, limit, value).blend is not None, value
        carried = bench.room()
        assert carried is not None
        assert bench._last is not None
        sheet, found = bench._last
        afresh = room(sheet, bench.question.shelf, found)
        assert isinstance(afresh, Ends)
        kept += afresh.asked - carried.asked
        assert [one.id for one in carried.rooms] == [one.id for one in afresh.rooms]
        for ours, theirs in zip(carried.rooms, afresh.rooms, strict=True):
            for mine, other in zip(ours[1:], theirs[1:], strict=True):
                assert (mine is None) == (other is None), (value, ours, theirs)
                assert mine == pytest.approx(other, rel=CLOSE, abs=CLOSE), (value, ours, theirs)
    assert kept > 0, "some ends were kept"


@pytest.mark.parametrize("file", ["palm-free-vegetable.yaml", "budget.yaml", "fine-swirl.yaml"])
def test_room_is_that_of_reach(file: str) -> None:
    """The page shades what `reach` tells."""
    told = reach(GOALS / file)
    assert isinstance(told, Reach)
    found = rooms_of(read_question(GOALS / file))
    assert found is not None
    assert [one.id for one in found.rooms] == [line.id for line in told.lines]
    for one, line in zip(found.rooms, told.lines, strict=True):
        assert one.low == pytest.approx(line.low, abs=CLOSE), one.id
        assert one.high == pytest.approx(line.high, abs=CLOSE), one.id


def test_room_ends_where_nobody_waits() -> None:
    """Asked on and on whether anybody waits, it ends at the first no, and what was found before stays."""
    bench = Bench(read_question(GOALS / "budget.yaml"))
    limit = bench.limit(Section.GOALS, "cost", Side.AT_MOST)
    assert limit is not None
    bench.at(Section.GOALS, limit, 2.6)
    first = bench.room()
    answers = iter([True, True, False])
    assert bench.room(lambda: next(answers)) is None
    assert bench._ends is first


def test_counted_fats_are_held_while_a_limit_moves() -> None:
    """With the choice of fats held no other fat comes in, and where those few cannot do it there is no blend until the end."""
    bench = Bench(read_question(GOALS / "everyday.yaml"))
    limit = bench.limit(Section.GOALS, "hardness", Side.AT_LEAST)
    assert limit is not None
    first = bench.at(Section.GOALS, limit, 60.0)
    assert first.held
    assert first.blend is not None
    names = {line.fat for line in first.blend.fats}
    seen = 0
    for value in (61.0, 62.5, 63.0):
        moved = bench.at(Section.GOALS, limit, value)
        assert moved.held
        if moved.blend is not None:
            seen += 1
            assert {line.fat for line in moved.blend.fats} <= names
    assert seen > 0
    assert bench.at(Section.GOALS, limit, 70.0).blend is None
