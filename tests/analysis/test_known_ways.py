"""Ways out stay within what is known of the bars that they open."""

from __future__ import annotations

import pytest
from strategies import at_least, at_most, exactly, sheet_of, shelf_of

from optimiser.analysis.conflicts import all_clashes
from optimiser.analysis.known_ways import within_known
from optimiser.analysis.relaxations import concessions
from optimiser.model.programme import build
from optimiser.problem.known_ranges import is_refused
from optimiser.problem.limits import Limit

SHELF = shelf_of({"olive oil": 7.0, "sunflower oil": 2.0, "coconut oil": 9.0})
SOFT = at_most("hardness", 30.0)


@pytest.mark.parametrize(
    ("goals", "figures"),
    [
        ((exactly("lye_concentration", 30.0), SOFT), {"lye_concentration", "superfat"}),
        ((exactly("water_to_alkali", 2.0), SOFT), {"water_to_alkali", "superfat"}),
        ((exactly("lye_concentration", 30.0), at_most("iodine_value", 90.0)), set[str]()),
        ((at_least("lye_concentration", 30.0), exactly("superfat", 4.0), SOFT), {"superfat"}),
        ((exactly("lye_concentration", 15.0), exactly("superfat", 4.0), SOFT), {"superfat"}),
    ],
)
def test_what_is_asked_exactly_stays_within_what_is_known(goals: tuple[Limit, ...], figures: set[str]) -> None:
    """A row for each figure that may move where a goal rests on it; none for a goal that anything is known of."""
    sheet = sheet_of(*goals)
    made = build(sheet, SHELF)
    known = within_known(sheet, made)
    assert {row.figure for row in known.rows[len(made.rows) :]} == figures
    assert len(known.rows) == len(known.matrix) == len(known.row_low) == len(known.row_high)
    assert known.members == made.members


def test_a_file_that_would_be_refused_is_told() -> None:
    """A lye of 13 % beside a goal on hardness is refused, beside one on the iodine value it is not."""
    weak = exactly("lye_concentration", 13.0)
    assert is_refused(sheet_of(weak, SOFT))
    assert not is_refused(sheet_of(weak, at_most("iodine_value", 90.0)))


def test_no_way_out_leads_to_what_nobody_knows() -> None:
    """A lye of 17 % would make peace between coconut and a soft bar, if anybody knew how soft; the others are offered."""
    hard, lye, superfat = at_most("hardness", 40.0), exactly("lye_concentration", 33.0), exactly("superfat", 5.0)
    sheet = sheet_of(hard, lye, superfat, shares=(at_least("coconut oil", 30.0, "fat"),))
    made = build(sheet, SHELF)
    clashes = all_clashes(made)
    assert any({str(name) for name in way} == {"goals.lye_concentration.exactly"} for way in clashes.ways_out)
    ways = concessions(sheet, SHELF, made, clashes).ways
    assert {move.row.figure for way in ways for move in way.moves} == {"hardness", "coconut oil", "superfat"}
