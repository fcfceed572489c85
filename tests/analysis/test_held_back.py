"""What holds back what was to be used up: a smallest set of wishes, and nothing where the batch is too small."""

from __future__ import annotations

from strategies import at_most, sheet_of, shelf_of

from optimiser.analysis.held_back import held_back
from optimiser.problem.batch import Batch
from optimiser.problem.goals import GoalSheet, UseUp
from optimiser.problem.limits import NOWHERE

SHELF = shelf_of({"olive oil": 7.0, "lard": 2.0, "castor oil": 6.0})
LARD, CASTOR = UseUp("lard", 3.0, NOWHERE), UseUp("castor oil", 1.0, NOWHERE)


def asked(**parts: object) -> GoalSheet:
    """Goals for two kilos of fats."""
    return sheet_of(batch=Batch(fats_kg=2.0), **parts)


def test_the_wish_that_stands_in_the_way_is_named() -> None:
    """And no other, be there a tighter one on another fat."""
    sheet = asked(use_up=(LARD,), shares=(at_most("lard", 40.0, "fat"), at_most("castor oil", 5.0, "fat")))
    (said,) = held_back(sheet, SHELF, LARD, {"lard": 0.8})
    assert str(said).startswith("lard at most 40")


def test_a_batch_too_small_is_no_wish() -> None:
    """All of the fats are that fat already."""
    assert held_back(asked(use_up=(LARD,)), SHELF, LARD, {"lard": 2.0}) == ()


def test_what_is_used_up_before_may_hold_back() -> None:
    """The first of two takes the room of the second, and is told."""
    sheet = asked(use_up=(LARD, CASTOR))
    (said,) = held_back(sheet, SHELF, CASTOR, {"lard": 1.8, "castor oil": 0.2})
    assert "lard" in str(said)
    assert held_back(sheet, SHELF, LARD, {"lard": 1.8}) == ()
