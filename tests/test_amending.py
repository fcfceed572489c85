"""A sheet and a shelf with some figures moved: just those, and the wish is still known by its name."""

from __future__ import annotations

from dataclasses import replace

import pytest
from strategies import SPAN, at_least, at_most, exactly, sheet_of, shelf_of, with_practice

from optimiser.amending import AMEND, amended
from optimiser.goals import GoalSheet, PracticeChange
from optimiser.programme import Programme, build
from optimiser.shelf import Shelf

SHELF = shelf_of(
    {"palm oil": 2.0, "olive oil": 7.0, "castor oil": 5.0}, extra={"sodium lactate": 9.0}, stock={"olive oil": 0.5}
)
EACH = replace(at_least("each fat", 4.0, "count"), unit="%")
FULL = with_practice(
    at_least("hardness", 40.0),
    at_most("hardness", 80.0),
    exactly("trace", 30.0),
    shares=(at_least("olive oil", 10.0, "fat"), at_most("palm", 60.0, "tag")),
    additives=(at_most("sodium lactate", 2.0, "additive"),),
    free_from=("animal", "lauric"),
    fat_count=(at_most("number of fats", 4.0, "count"), EACH),
    practice=(PracticeChange("waxes", (at_most("waxes", 3.0, "kind"),), SPAN),),
    prefer=((at_least("mildness", 60.0),),),
)


def limits(made: Programme) -> dict[str, tuple[float, ...]]:
    """The limits of every wish."""
    return {name: tuple(made.rows[place].limit for place in places) for name, places in made.members.items()}


def moved(sheet: GoalSheet, shelf: Shelf, member: str, value: float) -> tuple[Programme, Programme]:
    """The programmes before and after one wish has moved."""
    before = build(sheet, shelf)
    after = build(*amended(sheet, shelf, [before.row_of(member)], {member: value}))
    return before, after


@pytest.mark.parametrize(
    ("member", "value"),
    [
        ("goals.hardness.at_least", 35.0),
        ("goals.hardness.at_most", 85.0),
        ("shares.olive oil.at_least", 5.0),
        ("shares.palm.at_most", 70.0),
        ("additives.sodium lactate.at_most", 2.5),
        ("fats.at_most", 5.0),
        ("fats.each_at_least", 2.0),
        ("practice.waxes.at_most", 4.0),
        ("practice.castor oil.at_most", 15.0),
        ("practice.superfat.exactly", 4.0),
        ("stock.olive oil", 0.9),
    ],
)
def test_one_wish_moves_and_no_other(member: str, value: float) -> None:
    """The wish that moves has its new figure under its old name; every other wish is as it was."""
    before, after = moved(FULL, SHELF, member, value)
    old, new = limits(before), limits(after)
    assert set(new) == set(old)
    assert set(new.pop(member)) == {value}
    assert old.pop(member) != (value,)
    assert new == old


def test_a_bare_figure_moves_as_a_band() -> None:
    """Trace exactly 30 moved to 34 is a band of half a point round 34."""
    _, after = moved(FULL, SHELF, "goals.trace.exactly", 34.0)
    assert limits(after)["goals.trace.exactly"] == (33.5, 34.5)


def test_an_exclusion_becomes_a_share_of_its_tag() -> None:
    """What was excluded is let in up to a share; other exclusions stay."""
    before, after = moved(FULL, SHELF, "free_from.lauric", 7.5)
    old, new = limits(before), limits(after)
    assert "free_from.lauric" not in new
    assert new["shares.lauric.at_most"] == (7.5,)
    assert new["free_from.animal"] == old["free_from.animal"]


def test_what_stands_under_practice_off_gives_way_to_a_goal() -> None:
    """The superfat of practice moves as a goal, and no rule comes back."""
    before, after = moved(sheet_of(), SHELF, "practice.superfat.exactly", 3.0)
    old, new = limits(before), limits(after)
    assert new["goals.superfat.exactly"] == (3.0,)
    assert set(new) - {"goals.superfat.exactly"} == set(old) - {"practice.superfat.exactly"}


def test_several_move_at_once() -> None:
    """Moves of several wishes add up, whatever their kind."""
    made = build(FULL, SHELF)
    wanted = {"goals.hardness.at_least": 30.0, "stock.olive oil": 0.7, "fats.each_at_least": 1.5}
    after = build(*amended(FULL, SHELF, [made.row_of(member) for member in wanted], wanted))
    for member, value in wanted.items():
        assert set(limits(after)[member]) == {value}


def test_every_kind_of_wish_can_move() -> None:
    """There is a way to move whatever can be a member of a clash."""
    origins = {row.origin for row in build(FULL, SHELF).rows} - {"physics", "preference"}
    assert origins <= set(AMEND)
