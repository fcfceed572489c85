"""What two bars differ in: which differences are told, in which words, and on which side they are for the worse."""

from __future__ import annotations

import math

import pytest

from optimiser.measures.differences import changes, differences, drift, functions, is_felt, is_worse, told, within
from optimiser.measures.measures import measures
from optimiser.reference import rows

SAME = dict.fromkeys(functions(), 40.0)


def test_every_measure_has_words_both_ways() -> None:
    """Each has words for more and for less, and both sides say where it shows; harshness and mildness are one figure twice."""
    assert set(told()) == set(measures()) - {"mildness"}
    assert set(changes()) == {(name, goes) for name in told() for goes in ("up", "down")}
    for (name, _), change in changes().items():
        assert change.shows in ("bench", "bar")
        assert change.brief
        assert change.words
        assert change.little
        assert change.words != change.little
        assert changes()[name, "up"].brief != changes()[name, "down"].brief
    assert {row["status"] for row in rows("difference_words")} == {"common practice"}


def test_functions_are_what_a_fat_is_in_a_bar_for() -> None:
    """Nobody keeps a fat for its scum or for soda ash; all that a bar does at the bench, in the hand and on the shelf counts."""
    assert set(told()) - set(functions()) == {"scum", "ash_risk"}
    assert len(functions()) == 8


@pytest.mark.parametrize(("by", "felt"), [(7.0, False), (7.1, False), (7.3, True), (-7.1, False), (-7.3, True)])
def test_a_difference_is_felt_beyond_what_the_measure_is_sure_to(by: float, felt: bool) -> None:  # noqa: FBT001
    """Hardness is sure to 7 points, and a balance blurs 0.2; the risk of ash, of which nobody is sure, counts by its small change."""
    assert is_felt("hardness", by) == felt
    found = differences(SAME, SAME | {"hardness": 40.0 + by}, ("hardness",))[0]
    assert (found.is_felt, found.change.brief) == (felt, "harder" if by > 0 else "softer")
    assert not is_felt("ash_risk", 10.0)
    assert is_felt("ash_risk", 10.3)
    assert not is_felt("hardness", math.nan)


def test_drift_adds_what_is_more_than_each_measure_is_sure_to() -> None:
    """By hand: of 14 points of hardness (+/- 7) one step is beyond it, and of 2 of wear life (+/- 4) none."""
    after = SAME | {"hardness": 54.0, "wear_life": 38.0}
    assert drift(differences(SAME, after, functions())) == pytest.approx(1.0)
    assert drift(differences(SAME, SAME)) == 0.0


def test_less_lather_is_worse_and_more_is_not() -> None:
    """Sides of a measure differ: a harsher bar is worse, a milder one is not; of trace both sides are."""
    assert is_worse("quick_lather", "down")
    assert not is_worse("quick_lather", "up")
    assert is_worse("harshness", "up")
    assert not is_worse("harshness", "down")
    assert is_worse("trace_speed", "up")
    assert is_worse("trace_speed", "down")


@pytest.mark.parametrize(
    ("part", "found_out", "large"), [(0.0, False, False), (0.4, False, False), (0.6, True, False), (1.2, True, True)]
)
def test_a_difference_is_told_from_half_its_room_on(part: float, found_out: bool, large: bool) -> None:  # noqa: FBT001
    """Below half of its own +/- nobody finds it; beyond all of it the plain words stand, and between the little ones."""
    room = within("quick_lather")
    found = {item.measure.id: item for item in differences(SAME, SAME | {"quick_lather": 40.0 - part * room})}[
        "quick_lather"
    ]
    assert found.is_told == found_out
    assert found.is_felt == large
    assert found.words.startswith("lather slower to start" if large else "lather a little") or part == 0.0
    assert found.steps == pytest.approx(part)


def test_the_largest_difference_stands_first_and_the_unknown_nowhere() -> None:
    """They are sorted by their own +/-, not by points; a measure that is not known of both is left out."""
    after = SAME | {"hardness": 44.0, "rancidity": 41.0, "wear_life": math.nan}
    found = differences(SAME, after)
    assert [item.measure.id for item in found][:2] == ["rancidity", "hardness"]
    assert "wear_life" not in {item.measure.id for item in found}
