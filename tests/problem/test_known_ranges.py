"""What is asked for beyond what is known: which levers, what stands aside, and what is a fault."""

from __future__ import annotations

import math

import pytest
from strategies import at_least, at_most, exactly, sheet_of, shelf_of, with_practice

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.measures.practice import rules
from optimiser.problem.goals import PracticeChange
from optimiser.problem.known_ranges import known_of, levers_beyond, unknown_measures
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.text.diagnostics import BadInput

PRICES = {"olive oil": 2.0, "coconut oil": 3.0}


@pytest.mark.parametrize(
    ("limit", "lever"),
    [
        (at_least("superfat", 30.0), "free oil"),
        (exactly("superfat", 25.0), ""),
        (at_most("superfat", 40.0), ""),
        (at_least("likely_superfat", 26.0), "free oil"),
        (exactly("potassium_share", 100.0), "potassium"),
        (at_least("potassium_share", 60.0), ""),
        (at_most("potassium_share", 100.0), ""),
        (exactly("lye_concentration", 18.0), "water"),
        (exactly("lye_concentration", 20.0), ""),
        (at_least("lye_concentration", 15.0), ""),
        (at_least("water_to_alkali", 5.0), "water"),
        (at_most("water_to_alkali", 5.0), ""),
        (at_least("water_share_of_fats", 80.0), "water"),
        (exactly("water_share_of_fats", 8.0), "water"),
    ],
)
def test_what_lies_beyond(limit: Limit, lever: str) -> None:
    """Only what is asked for at the least puts a lever beyond what is known of it."""
    assert levers_beyond(sheet_of(limit)) == ({lever} if lever else set())


def test_rules_on_what_is_unknown_stand_aside() -> None:
    """The house's least hardness does not hold for a paste, its most harshness does; without potassium both hold."""
    named = {rule.name: rule for rule in rules()}
    paste, bar = with_practice(exactly("potassium_share", 100.0)), with_practice()
    assert paste.stands_aside(named["hardness"])
    assert not paste.stands_aside(named["harshness"])
    assert not bar.stands_aside(named["hardness"])
    assert {"hardness", "wear_life", "set_up"} <= unknown_measures(paste)
    assert not {"rancidity", "scum", "harshness", "trace_speed"} & unknown_measures(paste)


def test_a_goal_on_what_is_unknown_is_a_fault() -> None:
    """A goal, a preference or a changed rule on the hardness of a paste cannot be held, and says for which other wish."""
    paste, hard = exactly("potassium_share", 100.0), at_least("hardness", 50.0)
    change = PracticeChange("hardness", (hard,), NOWHERE)
    for sheet in (sheet_of(paste, hard), sheet_of(paste, prefer=((hard,),)), with_practice(paste, practice=(change,))):
        with pytest.raises(BadInput) as caught:
            known_of(sheet)
        assert (
            "nobody knows the hardness of a soap with potassium_share exactly 100"
            in caught.value.diagnostics[0].message
        )
    assert known_of(sheet_of(paste, at_most("rancidity", 3.0))) is not None
    with pytest.raises(BadInput):
        answer_for(sheet_of(paste, hard), shelf_of(PRICES, potassium=True))


def test_a_paste_is_blended_without_the_figures_of_a_bar() -> None:
    """A potash paste is answered, its hardness is not known, and its keeping is."""
    found = answer_for(sheet_of(exactly("potassium_share", 100.0)), shelf_of(PRICES, potassium=True))
    assert isinstance(found, Blend)
    assert math.isnan(found.figures["hardness"])
    assert found.figures["rancidity"] > 0.0


def test_no_more_superfat_than_is_known_unless_it_is_asked_for() -> None:
    """Where alkali is dear the cheapest bar has 25 % superfat and no more; with at least 30 % asked for it has that."""
    shelf = shelf_of(PRICES, alkali_price=400.0)
    free = answer_for(sheet_of(at_least("superfat", 3.0)), shelf)
    rich = answer_for(sheet_of(at_least("superfat", 30.0)), shelf)
    assert isinstance(free, Blend)
    assert isinstance(rich, Blend)
    assert free.alkali.superfat == pytest.approx(25.0)
    assert not math.isnan(free.figures["hardness"])
    assert rich.alkali.superfat == pytest.approx(40.0)
    assert math.isnan(rich.figures["hardness"])


def test_coconut_at_a_quarter_superfat_lies_within() -> None:
    """All of coconut with 25 % superfat is still told; a weak lye of 20 % too."""
    found = answer_for(
        sheet_of(exactly("superfat", 25.0), exactly("lye_concentration", 20.0)), shelf_of({"coconut oil": 3.0})
    )
    assert isinstance(found, Blend)
    assert not any(math.isnan(value) for value in found.figures.values())
