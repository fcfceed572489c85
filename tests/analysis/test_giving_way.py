"""What leaves no room for a rule of the house: the fewest wishes, the house beside them, or the house by itself."""

from __future__ import annotations

from strategies import at_least, exactly, shelf_of, with_practice

from optimiser.analysis.giving_way import GaveWay, gave_way
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.yielding import cheapest

FATS = {"palm oil": 20.0, "olive oil": 70.0, "coconut oil": 30.0, "castor oil": 48.0, "sunflower oil": 19.0}
FATS |= {"high oleic sunflower oil": 26.0, "beef tallow": 23.0}


def told(sheet: GoalSheet, shelf: Shelf) -> dict[str, GaveWay]:
    """What is told of each rule that gave way, by the rule."""
    asked = cheapest(sheet, shelf)
    assert asked.found is not None
    return {item.wish.key: item for item in gave_way(asked.sheet, shelf)}


def test_nothing_is_told_where_nothing_gave_way() -> None:
    """An ordinary bar has no rule to excuse."""
    assert told(with_practice(at_least("hardness", 52.0)), shelf_of(FATS)) == {}


def test_the_wish_that_leaves_no_room_is_named_and_no_other() -> None:
    """A fifth of castor oil is why the rule on castor oil moved; a goal on the hardness beside it is not."""
    sheet = with_practice(at_least("hardness", 52.0), shares=(at_least("castor oil", 20.0, "fat"),))
    found = told(sheet, shelf_of(FATS))
    assert set(found) == {"castor oil"}
    assert [str(name) for name, _ in found["castor oil"].against] == ["shares.castor oil.at_least"]
    assert not found["castor oil"].beside_house


def test_what_only_the_other_rules_make_impossible_is_told_so() -> None:
    """Three fifths of tallow leave room for the rule on solid fats by themselves, and not beside the one on lather."""
    found = told(with_practice(shares=(at_least("beef tallow", 62.0, "fat"),)), shelf_of(FATS))
    assert found
    assert all([str(name) for name, _ in item.against] == ["shares.beef tallow.at_least"] for item in found.values())
    assert any(item.beside_house for item in found.values())


def test_a_house_at_odds_with_itself_says_so() -> None:
    """Over a shelf of coconut alone no wish of the maker's is to blame."""
    found = told(with_practice(), shelf_of({"coconut oil": 30.0}))
    assert found
    assert all(item.by_itself and not item.against for item in found.values())


def test_an_exact_share_is_to_blame_for_all_that_it_moves() -> None:
    """All olive is why there is little lather, early rancidity and no short acid."""
    found = told(with_practice(shares=(exactly("olive oil", 100.0, "fat"),)), shelf_of(FATS))
    assert {"quick lather", "short saturated acids at least"} <= set(found)
    assert all(str(item.against[0][0]) == "shares.olive oil.exactly" for item in found.values())
