"""Which rules of the house stand, for which fats, and at which figures where they gave way."""

from __future__ import annotations

import math

import pytest
from strategies import at_least, at_most, exactly, with_practice

from optimiser.measures.practice import rules
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.goals import Eased, PracticeChange
from optimiser.problem.house_rules import MOST_FATS, as_eased, least_share, names_fat, of_rule, standing
from optimiser.problem.limits import NOWHERE, as_limit
from optimiser.problem.wishes import Section, WishId

BASES = ("olive oil", "palm oil", "olive oil")


def test_a_rule_on_each_fat_stands_once_for_each() -> None:
    """Two columns of one fat are one fat; a fat that the maker names with as much as the rule allows is left alone."""
    found = [rule.key for wish, rule in standing(with_practice(), BASES) if wish.key == "one fat"]
    assert found == ["olive oil", "palm oil"]
    for own, left in (
        (exactly("olive oil", 100.0, "fat"), ["palm oil"]),
        (at_most("olive oil", 80.0, "fat"), ["palm oil"]),
        (at_least("olive oil", 30.0, "fat"), ["olive oil", "palm oil"]),
    ):
        named = with_practice(shares=(own,))
        assert [rule.key for wish, rule in standing(named, BASES) if wish.key == "one fat"] == left
    assert names_fat(with_practice(shares=(at_least("olive oil", 5.0, "fat"),)), "olive oil", 0.0)


def test_a_rule_on_each_fat_is_for_the_shelf_of_a_workshop() -> None:
    """Over more fats than any workshop has there is none."""
    many = [f"fat {place}" for place in range(MOST_FATS + 1)]
    assert not [wish for wish, _ in standing(with_practice(), many) if wish.key == "one fat"]
    assert len([wish for wish, _ in standing(with_practice(), many[1:]) if wish.key == "one fat"]) == MOST_FATS


@pytest.mark.parametrize(
    ("rule", "own", "stands"),
    [
        ("castor oil", at_most("castor oil", 15.0, "fat"), True),
        ("castor oil", at_least("castor oil", 15.0, "fat"), True),
        ("solid fats", at_most("solid fats", 90.0, "group"), False),
        ("lauric oils", at_most("coconut oil", 90.0, "fat"), True),
        ("waxes", at_most("waxes", 4.0, "kind"), False),
    ],
)
def test_a_makers_own_end_on_the_very_thing_takes_the_place_of_the_rule(
    rule: str, own: object, *, stands: bool
) -> None:
    """An end, and not a beginning, on the same fat, kind or tag; what is only part of it leaves the rule."""
    sheet = with_practice(shares=(own,))
    assert (rule in {wish.key for wish, _ in standing(sheet, BASES)}) is stands


def test_a_rule_on_a_fat_and_its_likes_moves_with_the_fat() -> None:
    """What the maker lets in of castor oil the rule lets in too, of all that is built on it; a narrower end leaves the rule."""
    for own, most in ((at_most("castor oil", 15.0, "fat"), 15.0), (exactly("castor oil", 0.0, "fat"), 10.0)):
        found = {wish.key: rule.value for wish, rule in standing(with_practice(shares=(own,)), BASES)}
        assert found["castor oil"] == most


def test_eased_limits_have_the_sides_of_their_rule() -> None:
    """At least and at most move to the figure; exactly becomes a range from the rule's own figure to the one reached."""
    by_name = {rule.name: rule for rule in rules()}
    low = as_eased(as_limit(by_name["hardness"]), Eased(41.5, math.inf))
    assert [(one.side, one.value) for one in low] == [(Side.AT_LEAST, 41.5)]
    high = as_eased(as_limit(by_name["castor oil"]), Eased(-math.inf, 20.0))
    assert [(one.side, one.value, str(one.said)) for one in high] == [
        (Side.AT_MOST, 20.0, "house practice: castor oil at most 20 %")
    ]
    both = as_eased(as_limit(by_name["superfat"]), Eased(5.0, 7.1))
    assert [(one.side, one.value) for one in both] == [(Side.AT_LEAST, 5.0), (Side.AT_MOST, 7.1)]
    assert as_eased(low[0], None) == [low[0]]


def test_an_eased_rule_is_read_from_the_goals() -> None:
    """What `eased` holds of a wish is what its rule's limits are."""
    rule = next(rule for rule in rules() if rule.name == "castor oil")
    wish = WishId(Section.PRACTICE, rule.name, rule.side)
    sheet = with_practice(eased={wish: Eased(-math.inf, 12.0)})
    assert [limit.value for limit in of_rule(sheet, wish, rule)] == [12.0]
    assert [limit.value for limit in of_rule(with_practice(), wish, rule)] == [rule.value]


def test_the_least_share_is_the_rules_or_the_makers() -> None:
    """No pinch is less than the rule says, or than the maker says; none is told where fats are counted or practice is off."""
    assert least_share(with_practice()) == 3.0
    own = at_least("", 5.0, "fat")._replace(subject=SubjectKind.PINCH)
    assert least_share(with_practice(practice=(PracticeChange("pinches", (own,), NOWHERE),))) == 5.0
    assert least_share(with_practice(practice=(PracticeChange("pinches", (), NOWHERE),))) is None
    assert least_share(with_practice(fat_count=(at_most("number of fats", 4.0, "count"),))) is None
    assert least_share(with_practice()._replace(practice_off=True)) is None


def test_pinches_stand_as_none_or_as_enough() -> None:
    """A fat that is left out has a row at nothing, one that is brought up has a row at the least share."""
    sheet = with_practice(no_pinch={"olive oil": Side.AT_MOST, "palm oil": Side.AT_LEAST})
    found = [
        (str(wish), rule.key, rule.side, rule.value) for wish, rule in standing(sheet, BASES) if wish.key == "pinches"
    ]
    assert found == [
        ("practice.olive oil.pinches.at_most", "olive oil", Side.AT_MOST, 0.0),
        ("practice.palm oil.pinches.at_least", "palm oil", Side.AT_LEAST, 3.0),
    ]
