"""What two bars differ in: which differences are told, in which words, and on which side they are for the worse."""

from __future__ import annotations

import math

import pytest

from optimiser.measures.differences import changes, differences, functions, is_worse, within
from optimiser.measures.measures import measures
from optimiser.reference import rows

SAME = dict.fromkeys(functions(), 40.0)


def test_every_function_has_words_both_ways() -> None:
    """Each measure that a fat may be there for has words for more and for less of it, and both sides say where it shows."""
    assert len(functions()) == 8
    assert set(changes()) == {(name, goes) for name in functions() for goes in ("up", "down")}
    for change in changes().values():
        assert change.shows in ("bench", "bar")
        assert change.words
        assert change.little
        assert change.words != change.little
    assert {row["status"] for row in rows("difference_words")} == {"common practice"}


def test_less_lather_is_worse_and_more_is_not() -> None:
    """Sides of a measure differ: a harsher bar is worse, a milder one is not; of trace both sides are."""
    assert is_worse("quick_lather", "down")
    assert not is_worse("quick_lather", "up")
    assert is_worse("harshness", "up")
    assert not is_worse("harshness", "down")
    assert is_worse("trace_speed", "up")
    assert is_worse("trace_speed", "down")


@pytest.mark.parametrize(
    ("part", "told", "large"), [(0.0, False, False), (0.4, False, False), (0.6, True, False), (1.2, True, True)]
)
def test_a_difference_is_told_from_half_its_room_on(part: float, told: bool, large: bool) -> None:  # noqa: FBT001
    """Below half of its own +/- nobody finds it; beyond all of it the plain words stand, and between the little ones."""
    room = within(measures()["quick_lather"])
    found = {item.measure.id: item for item in differences(SAME, SAME | {"quick_lather": 40.0 - part * room})}[
        "quick_lather"
    ]
    assert found.is_told == told
    assert found.is_large == large
    assert found.words.startswith("lather slower to start" if large else "lather a little") or part == 0.0
    assert found.steps == pytest.approx(part)


def test_the_largest_difference_stands_first_and_the_unknown_nowhere() -> None:
    """They are sorted by their own +/-, not by points; a measure that is not known of both is left out."""
    after = SAME | {"hardness": 44.0, "rancidity": 41.0, "wear_life": math.nan}
    found = differences(SAME, after)
    assert [item.measure.id for item in found][:2] == ["rancidity", "hardness"]
    assert "wear_life" not in {item.measure.id for item in found}
