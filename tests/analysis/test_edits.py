"""A sheet and a shelf with some figures moved: just those, and the wish is still known by its name."""

from __future__ import annotations

import pytest
from strategies import SPAN, at_least, at_most, exactly, sheet_of, shelf_of, wish_id, with_practice

from optimiser.analysis.edits import AMEND, amended
from optimiser.measures.sides import SubjectKind
from optimiser.model.programme import Programme, build
from optimiser.problem.designs import Brought
from optimiser.problem.goals import GoalSheet, MayUse, PracticeChange
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import WishId

SHELF = shelf_of(
    {"palm oil": 2.0, "olive oil": 7.0, "castor oil": 5.0}, extra={"sodium lactate": 9.0}, stock={"olive oil": 0.5}
)
EACH = at_least("each fat", 4.0, "count")._replace(unit="%")
FULL = with_practice(
    at_least("hardness", 40.0),
    at_most("hardness", 80.0),
    exactly("trace_speed", 30.0),
    shares=(at_least("olive oil", 10.0, "fat"), at_most("palm", 60.0, "tag")),
    additives=(at_most("sodium lactate", 2.0, "additive"),),
    free_from=("animal", "lauric"),
    fat_count=(at_most("number of fats", 4.0, "count"), EACH),
    practice=(PracticeChange("waxes", (at_most("waxes", 3.0, "kind"),), SPAN),),
    prefer=((at_least("mildness", 60.0),),),
)


def limits(made: Programme) -> dict[WishId, tuple[float, ...]]:
    """The limits of every wish."""
    return {name: tuple(made.rows[place].limit for place in places) for name, places in made.members.items()}


def moved(sheet: GoalSheet, shelf: Shelf, member: WishId, value: float) -> tuple[Programme, Programme]:
    """The programmes before and after one wish has moved."""
    before = build(sheet, shelf)
    after = build(*amended(sheet, shelf, [before.row_of(member)], {member: value}))
    return before, after


@pytest.mark.parametrize(
    ("member", "value"),
    [
        (wish_id("goals.hardness.at_least"), 35.0),
        (wish_id("goals.hardness.at_most"), 85.0),
        (wish_id("shares.olive oil.at_least"), 5.0),
        (wish_id("shares.palm.at_most"), 70.0),
        (wish_id("additives.sodium lactate.at_most"), 2.5),
        (wish_id("fats.at_most"), 5.0),
        (wish_id("fats.each_at_least"), 2.0),
        (wish_id("practice.waxes.at_most"), 4.0),
        (wish_id("practice.castor oil.at_most"), 15.0),
        (wish_id("practice.superfat.exactly"), 4.0),
        (wish_id("stock.olive oil"), 0.9),
    ],
)
def test_one_wish_moves_and_no_other(member: WishId, value: float) -> None:
    """The wish that moves has its new figure under its old name; every other wish is as it was."""
    before, after = moved(FULL, SHELF, member, value)
    old, new = limits(before), limits(after)
    assert set(new) == set(old)
    assert set(new.pop(member)) == {value}
    assert old.pop(member) != (value,)
    assert new == old


def test_a_bare_figure_moves_as_a_band() -> None:
    """Trace exactly 30 moved to 34 is a band of half a point round 34."""
    _, after = moved(FULL, SHELF, wish_id("goals.trace_speed.exactly"), 34.0)
    assert limits(after)[wish_id("goals.trace_speed.exactly")] == (33.5, 34.5)


def test_an_exclusion_becomes_a_share_of_its_tag() -> None:
    """What was excluded is let in up to a share; other exclusions stay."""
    before, after = moved(FULL, SHELF, wish_id("free_from.lauric"), 7.5)
    old, new = limits(before), limits(after)
    assert wish_id("free_from.lauric") not in new
    assert new[wish_id("shares.lauric.at_most")] == (7.5,)
    assert new[wish_id("free_from.animal")] == old[wish_id("free_from.animal")]


def test_what_stands_under_practice_off_gives_way_to_a_goal() -> None:
    """The superfat of practice moves as a goal, and no rule comes back."""
    before, after = moved(sheet_of(), SHELF, wish_id("practice.superfat.exactly"), 3.0)
    old, new = limits(before), limits(after)
    assert new[wish_id("goals.superfat.exactly")] == (3.0,)
    assert set(new) - {wish_id("goals.superfat.exactly")} == set(old) - {wish_id("practice.superfat.exactly")}


def test_several_move_at_once() -> None:
    """Moves of several wishes add up, whatever their kind."""
    made = build(FULL, SHELF)
    wanted = {
        wish_id("goals.hardness.at_least"): 30.0,
        wish_id("stock.olive oil"): 0.7,
        wish_id("fats.each_at_least"): 1.5,
    }
    after = build(*amended(FULL, SHELF, [made.row_of(member) for member in wanted], wanted))
    for member, value in wanted.items():
        assert set(limits(after)[member]) == {value}


def test_every_kind_of_wish_can_move() -> None:
    """There is a way to move whatever can be a member of a clash."""
    origins = {row.origin for row in build(FULL, SHELF).rows} - {"physics", "preference"}
    assert origins <= set(AMEND)


def test_the_smallest_share_moves_without_the_count() -> None:
    """At most four fats stay four when the smallest share moves, and the other way round; at least and at most are two."""
    counts = (at_least("number of fats", 2.0, "count"), at_most("number of fats", 4.0, "count"), EACH)
    sheet = sheet_of(fat_count=counts)
    for member, value, expected in (
        (wish_id("fats.each_at_least"), 2.0, [2.0, 4.0, 2.0]),
        (wish_id("fats.at_least"), 1.0, [1.0, 4.0, 4.0]),
        (wish_id("fats.at_most"), 5.0, [2.0, 5.0, 4.0]),
    ):
        made = build(sheet, SHELF)
        after, _ = amended(sheet, SHELF, [made.row_of(member)], {member: value})
        assert [wish.value for wish in after.fat_count] == expected


def test_an_own_range_for_a_rule_moves_on_one_side() -> None:
    """Of a maker's own figures for a rule the side that moves moves; other rules that were changed are kept as they are."""
    own = PracticeChange("castor oil", (at_least("castor oil", 5.0, "fat"), at_most("castor oil", 12.0, "fat")), SPAN)
    other = PracticeChange("waxes", (at_most("waxes", 3.0, "kind"),), SPAN)
    sheet = with_practice(practice=(own, other))
    for member, expected in (("at_least", (4.0, 12.0)), ("at_most", (5.0, 4.0))):
        name = wish_id(f"practice.castor oil.{member}")
        after, _ = amended(sheet, SHELF, [build(sheet, SHELF).row_of(name)], {name: 4.0})
        changed = {change.rule: tuple(wish.value for wish in change.limits) for change in after.practice}
        assert changed == {"castor oil": expected, "waxes": (3.0,)}


def test_a_rule_moved_beside_one_that_was_changed_keeps_both() -> None:
    """Moving a rule that the maker has left alone adds to the maker's own changes and takes none away."""
    own = PracticeChange("waxes", (at_most("waxes", 3.0, "kind"),), SPAN)
    sheet = with_practice(practice=(own,))
    name = wish_id("practice.castor oil.at_most")
    after, _ = amended(sheet, SHELF, [build(sheet, SHELF).row_of(name)], {name: 15.0})
    changed = {change.rule: tuple(wish.value for wish in change.limits) for change in after.practice}
    assert changed == {"waxes": (3.0,), "castor oil": (15.0,)}


def test_an_additive_that_may_be_used_moves_as_an_additive_where_practice_is_off() -> None:
    """With practice off the usual most of what may be used becomes a limit under additives, where it was asked for."""
    lever = MayUse("sodium lactate", SubjectKind.ADDITIVE, SPAN)
    sheet = sheet_of(may_use=(lever,))
    name = wish_id("practice.sodium lactate.at_most")
    before = build(sheet, SHELF)
    after, shelf = amended(sheet, SHELF, [before.row_of(name)], {name: 4.5})
    assert after.goals == ()
    assert [(wish.key, wish.side, wish.value) for wish in after.additives] == [("sodium lactate", "at_most", 4.5)]
    assert limits(build(after, shelf))[wish_id("additives.sodium lactate.at_most")] == (4.5,)


def test_a_designs_limit_moves_alone() -> None:
    """Of two designs on one key the one that gives is moved, on the side that gives."""
    wishes = (at_least("superfat", 4.0), at_most("superfat", 7.0))
    sheet = sheet_of(
        brought=tuple(Brought(name, "design", wish, "why", "prior") for name in ("one", "two") for wish in wishes)
    )
    before, after = moved(sheet, SHELF, wish_id("design.two.superfat.at_least"), 3.0)
    old, new = limits(before), limits(after)
    assert new.pop(wish_id("design.two.superfat.at_least")) == (3.0,)
    assert old.pop(wish_id("design.two.superfat.at_least")) == (4.0,)
    assert new == old


def test_an_exclusion_let_in_says_so() -> None:
    """The share that takes the place of an exclusion is told in words and stands where the exclusion stood."""
    sheet = sheet_of(free_from=("animal", "lauric"), shares=(at_most("olive oil", 60.0, "fat"),))
    made = build(sheet, SHELF)
    after, _ = amended(sheet, SHELF, [made.row_of(wish_id("free_from.lauric"))], {wish_id("free_from.lauric"): 7.5})
    assert [item.tag for item in after.free_from] == ["animal"]
    kept, let_in = after.shares
    assert kept == sheet.shares[0]
    assert (let_in.key, let_in.subject, let_in.side, let_in.value) == ("lauric", "tag", "at_most", 7.5)
    assert str(let_in.said) == "lauric at most 7.5 %"
