"""Why there is no blend, in words."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
from strategies import wish_id

from optimiser.answers.results import Change
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Said, Whose
from optimiser.report import words
from optimiser.report.json import documents as data
from optimiser.report.terminal import text
from optimiser.report.terminal.no_blend import sentence, written
from optimiser.report.terminal.ways_out import change_words
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.answers.results import Blend, ClashMember, NoBlend


B = Said("b")


def member(no_blend_story: NoBlend, said: Said) -> ClashMember:
    """A member of a clash that says so."""
    return no_blend_story.clashes[0][0]._replace(said=said)


@pytest.mark.parametrize(
    ("says", "told"),
    [
        (
            [Said("hardness at least 60")],
            "Hardness at least 60 is out of reach of this shelf, whatever else is given up.",
        ),
        (
            [Said("a", Side.AT_LEAST, "1"), Said("b", Side.AT_MOST, "2")],
            "A at least 1 and b at most 2 cannot both hold.",
        ),
        ([Said("a"), B, Said("c")], "A, b and c cannot all hold."),
        (
            [Said("lauric and myristic acids", Side.AT_MOST, "9 %"), B],
            "Lauric and myristic acids at most 9 %, and b cannot both hold.",
        ),
        ([Said("a and x"), B, Said("c")], "A and x; b; and c cannot all hold."),
        (
            [Said("waxes", Side.AT_MOST, "2 %", whose=Whose.HOUSE), B],
            "The house rule of waxes at most 2 % and b cannot both hold.",
        ),
        (
            [Said("superfat", Side.AT_LEAST, "3 %", between=("3 %", "6 %")), B],
            "Superfat at least 3 % and b cannot both hold.",
        ),
        (
            [Said("trace speed", Side.AT_MOST, "33", band="slow"), B],
            "Trace speed slow (at most 33) and b cannot both hold.",
        ),
        (
            [Said("beeswax", Side.AT_MOST, "0.01 kg", whose=Whose.STOCK), B],
            "Only 0.01 kg of beeswax in stock and b cannot both hold.",
        ),
    ],
)
def test_clash_sentence(no_blend_story: NoBlend, says: list[Said], told: str) -> None:
    """Wishes that clash make a sentence with its commas and its "and" where they belong."""
    assert sentence([member(no_blend_story, one) for one in says]).replace(words.GLUE, " ") == told


def test_lines_as_written(no_blend_story: NoBlend) -> None:
    """A clash shows the maker's lines with their numbers, each once, and names a second file."""
    answer = text.no_blend(no_blend_story)
    assert "     7 | hardness: {at_least: 66}\n    11 | hard oils: {at_most: 20 %}\n" in answer
    assert "  inventory/kittiwake.yaml:\n    12 | - {fat: beeswax" in answer
    assert answer.count("free_from: [palm, animal]") == 1


def test_unfinished_search_says_so(no_blend_story: NoBlend) -> None:
    """Where the search stopped at its limit, more clashes are not ruled out and none is counted out of a total."""
    answer = text.no_blend(no_blend_story._replace(complete=False))
    assert "There may be more clashes: the search stopped after 2 clashes." in answer
    assert "Clash 1 of" not in answer
    assert "There may be more" not in text.no_blend(no_blend_story)


def test_many_clashes_are_not_a_wall(no_blend_story: NoBlend) -> None:
    """Three clashes are told in full, three more in a sentence each, and the rest counted; --full tells each in full."""
    first = no_blend_story.clashes[0]
    clashes = tuple((first[0]._replace(id=wish_id(f"shares.fat {place}.at_least")), *first[1:]) for place in range(12))
    story = no_blend_story._replace(clashes=clashes)
    answer = text.no_blend(story)
    assert "Clash 3 of 12" in answer
    assert "Clash 4 of 12" not in answer
    assert "\n  6. " in answer
    assert "\n  7. " not in answer
    assert "\n6 more." in answer
    assert "--full tells every clash by itself." in answer
    answer = text.no_blend(story, full=True)
    assert "Clash 12 of 12" in answer
    assert "--full" not in answer


def test_clashes_that_differ_in_rules_alone_are_one(no_blend_story: NoBlend) -> None:
    """Of clashes with the same lines of the maker's one is told, and how many more differ only in rules of the house."""
    mine = member(no_blend_story, Said("hardness", Side.AT_LEAST, "66"))
    house = [
        mine._replace(
            id=wish_id(f"practice.{name}.at_most"), said=Said(name, Side.AT_MOST, "9 %", whose=Whose.HOUSE), line=None
        )
        for name in ("waxes", "butters", "castor oil")
    ]
    story = no_blend_story._replace(clashes=tuple((mine, rule) for rule in house), complete=True, loose=())
    answer = " ".join(text.no_blend(story).split())
    assert "Clash 1 of 1" in answer
    assert "Hardness at least 66 and the house rule of waxes at most 9 % cannot both hold." in answer
    assert (
        "And 2 more that differ only in rules of the house: butters at most 9 % and castor oil at most 9 %." in answer
    )
    assert "Clash 3 of 3" in text.no_blend(story, full=True)


def test_rules_in_the_way_are_no_chemistry(no_blend_story: NoBlend) -> None:
    """Where each clash holds a rule of the house or a design's limit, these are said to stand in the way, not the fats."""
    mine = member(no_blend_story, Said("hardness", Side.AT_LEAST, "66"))
    rule = mine._replace(
        id=wish_id("practice.waxes.at_most"), said=Said("waxes", Side.AT_MOST, "9 %", whose=Whose.HOUSE), line=None
    )
    story = no_blend_story._replace(clashes=((mine, rule),), complete=True, exact=True, loose=())
    answer = " ".join(text.no_blend(story).split())
    assert "no combination of the fats" not in answer
    assert "Checked exactly. What stands in the way: rules of the house. Without them" in answer
    mixed = " ".join(text.no_blend(story._replace(clashes=((mine, rule), (mine._replace(id=rule.id),)))).split())
    assert "Checked exactly: no combination of the fats" in mixed
    assert "In 1 of these clashes rules of the house take part." in mixed


def test_the_ways_out_come_first(no_blend_story: NoBlend) -> None:
    """A page without a blend leads with what would make peace; the clashes follow."""
    answer = text.no_blend(no_blend_story)
    assert answer.index("Ways out") < answer.index("Clash 1")


def test_hard_oils_say_what_they_leave_out(no_blend_story: NoBlend, blend_story: Blend) -> None:
    """Where a wish uses hard oils the page says that butters are not among them."""
    assert words.ON_HARD_OILS in text.no_blend(no_blend_story)
    assert words.ON_HARD_OILS not in text.blend(blend_story)
    mine = blend_story.goals[0]._replace(figure="hard oils")
    assert words.ON_HARD_OILS in text.blend(blend_story._replace(goals=(mine,)))
    wished = blend_story.preferences[0]._replace(id=wish_id("prefer.0.hard oils.at_most"))
    assert words.ON_HARD_OILS in text.blend(blend_story._replace(preferences=(wished,)))


def test_checked_exactly_only_if_it_was(no_blend_story: NoBlend) -> None:
    """What was checked exactly is said to be, and the solver's word is called that."""
    assert "Checked exactly: no combination" in text.no_blend(no_blend_story)
    answer = text.no_blend(no_blend_story._replace(exact=False))
    assert "Checked exactly" not in answer
    assert "not proved in exact arithmetic" in answer


def test_ways_out(no_blend_story: NoBlend) -> None:
    """A way out tells what moves, how far, what the blend then costs, and the line to write."""
    answer = text.no_blend(no_blend_story)
    assert "a. hardness at least 66, moved to 51.3 (14.7 points lower): opens a blend at" in answer
    assert "write  hardness: {at_least: 51.3}" in answer
    assert "Ways out" not in text.no_blend(no_blend_story._replace(concessions=()))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (
            Change(wish_id("shares.x.at_most"), Said("x", Side.AT_MOST, "20 %"), 20.0, 44.02, "%", ""),
            "x at most 20 %, moved to 44.1 % (24.1 % higher)",
        ),
        (
            Change(wish_id("goals.x.at_least"), Said("x", Side.AT_LEAST, "66"), 66.0, 51.38, "index", ""),
            "x at least 66, moved to 51.3 (14.7 points lower)",
        ),
        (
            Change(wish_id("goals.x.at_least"), Said("x", Side.AT_LEAST, "66"), 66.0, 65.98, "index", ""),
            "x at least 66, moved to 65.9 (0.1 points lower)",
        ),
        (
            Change(wish_id("goals.x.exactly"), Said("x", Side.EXACTLY, "66"), 66.0, 65.98, "index", ""),
            "x exactly 66, moved to 65.98 (0.02 points lower)",
        ),
        (
            Change(wish_id("free_from.palm"), Said("free from palm"), math.nan, math.nan, "%", ""),
            "give up free from palm",
        ),
    ],
)
def test_change_never_told_too_tight(change: Change, told: str) -> None:
    """What a limit must move to is rounded to the side that opens a blend."""
    assert change_words(change).replace(words.GLUE, " ") == told


def test_of_a_very_long_line_the_wish_is_shown() -> None:
    """A line of the file that would fill the screen is shown around what is meant."""
    text = "goals: {" + "x" * 50_000 + ", hardness: 75, " + "y" * 50_000 + "}"
    start = text.index("hardness") + 1
    shown = written(Span("a.yaml", 1, start, start + 12, text))
    assert "hardness: 75" in shown
    assert len(shown) <= 200
    assert written(Span("a.yaml", 1, 3, 11, "  hardness: 75 ")) == "hardness: 75"


def test_a_clash_that_may_hold_too_much_says_so(no_blend_story: NoBlend) -> None:
    """What could not be tried for going is not called a part of the clash; without a way out the next step names one."""
    story = no_blend_story._replace(loose=(0,), complete=False, concessions=())
    answer = " ".join(text.no_blend(story).split())
    assert answer.count("Some of these may have no part in it") == 1
    assert "Next: ease or take out one of the lines of a clash above, then barwright feasible" in answer
    assert data.no_blend(story)["clashes_not_minimal"] == [0]
    assert "may have no part" not in text.no_blend(no_blend_story)


def test_clashes_of_designs_alone_stay_apart(no_blend_story: NoBlend) -> None:
    """Two designs that clash in two ways clash twice: without a wish of the maker's it is their limits that tell clashes apart."""
    mine = member(no_blend_story, Said("x"))
    lye, trace = (
        tuple(
            mine._replace(id=wish_id(f"design.{name}.{key}.{side}"), said=Said(key, owner=name, whose=Whose.DESIGN))
            for name, side in (("layers", "at_least"), ("swirl", "at_most"))
        )
        for key in ("lye_concentration", "trace_speed")
    )
    assert "Clash 2 of 2" in text.no_blend(no_blend_story._replace(clashes=(lye, trace), complete=True, loose=()))
