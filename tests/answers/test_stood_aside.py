"""Rules of the house that gave way, as an answer tells them."""

from __future__ import annotations

import pytest
from strategies import at_least, at_most, shelf_of, with_practice

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.problem.limits import Limit

SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})


@pytest.mark.parametrize(
    ("wish", "at_end"),
    [(at_most("worst_case_superfat", -1.0), "low"), (at_least("worst_case_superfat", 7.0), "high")],
)
def test_an_exact_rule_is_told_to_stand_where_it_was_moved_to(wish: Limit, at_end: str) -> None:
    """A superfat that gives way downwards is told at the low end, one that does upwards at the high end: as the bar has it."""
    story = answer_for(with_practice(wish), SHELF)
    assert isinstance(story, Blend)
    told = {item.rule: item.at for item in story.stood_aside}
    stands = told["practice.superfat.exactly"]
    assert stands is not None
    assert (stands < 5.0) == (at_end == "low")
    assert stands == pytest.approx(story.alkali.superfat, abs=0.11)
