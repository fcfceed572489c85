"""Scales: what is drawn on each is what the file, the house and the blend say, and the ways out write what they tell."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.page_answer import Page, page_of
from optimiser.answers.page_scales import Scale
from optimiser.answers.page_ways import TextEdit, edits_of
from optimiser.answers.results import Blend, Change, Concession, NoBlend
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Said, Section, WishId

GOALS = Path(__file__).parents[2] / "goals"


def scale_of(page: Page, name: str) -> Scale:
    """One scale."""
    return next(one for one in page.scales if one.id == name)


def test_scales_tell_what_the_file_says() -> None:
    """Limits of the maker's own are handles with their line, those of the house marks with reason and status."""
    page = page_of(GOALS / "palm-free-vegetable.yaml")
    assert isinstance(page.story, Blend)
    hardness = scale_of(page, "hardness")
    assert [(str(one.wish), one.value, one.line) for one in hardness.handles] == [("goals.hardness.at_least", 60.0, 7)]
    assert hardness.now == pytest.approx(page.story.figures["hardness"])
    assert hardness.unsure == "+/- 7"
    assert hardness.source
    assert hardness.step == 1.0
    assert {one.wish.side for one in scale_of(page, "superfat").handles} == {Side.AT_LEAST, Side.AT_MOST}
    marks = [mark for scale in page.scales for mark in scale.marks]
    assert marks
    assert all(mark.why and mark.status for mark in marks)
    castor = scale_of(page, "castor oil")
    assert castor.section == Section.SHARES
    assert castor.now == pytest.approx(next(line.share for line in page.story.fats if line.fat == "castor oil"))


def test_a_design_stands_as_marks() -> None:
    """What a design asks for is shown on the scales with its reason, and is no handle of the maker's."""
    page = page_of(GOALS / "design-fine-swirl.yaml")
    marks = [mark for scale in page.scales for mark in scale.marks if mark.said.startswith("design")]
    assert marks
    assert all(mark.why and mark.status for mark in marks)


def test_without_a_blend_scales_have_no_value() -> None:
    """Where no blend meets the goals the handles stand, and nothing is told of a blend."""
    page = page_of(GOALS / "cannot-be.yaml")
    assert isinstance(page.story, NoBlend)
    assert all(one.now is None for one in page.scales)
    assert any(one.handles for one in page.scales)
    assert len(page.ways) == len(page.story.concessions) > 0


def way(section: Section, key: str, paste: str, where: str, within: str = "") -> Concession:
    """A way out of one change."""
    wish = WishId(section, key, Side.AT_MOST, within)
    return Concession((Change(wish, Said(key), 1.0, 2.0, "%", paste, where),), 1.0)


@pytest.mark.parametrize(
    ("offered", "edits"),
    [
        (
            way(Section.GOALS, "hardness", "hardness: {at_least: 58}", "goals"),
            (TextEdit("put", ("goals", "hardness"), "{at_least: 58}"),),
        ),
        (
            way(Section.FREE_FROM, "palm", "palm: {at_most: 5 %}", "shares, with palm taken out of free_from"),
            (TextEdit("item out", ("free_from",), "palm"), TextEdit("put", ("shares", "palm"), "{at_most: 5 %}")),
        ),
        (
            way(Section.FATS, "number of fats", "fats: {at_most: 7}", "fats"),
            (TextEdit("put", ("fats",), "{at_most: 7}"),),
        ),
        (way(Section.DESIGN, "", "design: fade", "", "fine swirl"), (TextEdit("put", ("design",), "fade"),)),
        (way(Section.DESIGN, "", "", "", "fine swirl"), (TextEdit("out", ("design",)),)),
        (
            way(Section.DESIGN, "trace_speed", "trace_speed: {at_most: 42}", "goals", "fade"),
            (TextEdit("put", ("goals", "trace_speed"), "{at_most: 42}"),),
        ),
        (way(Section.STOCK, "olive oil", "stock: 3 kg", "the shelf"), None),
    ],
)
def test_a_way_out_becomes_edits(offered: Concession, edits: tuple[TextEdit, ...] | None) -> None:
    """Each kind of change is an edit of the goal file; what only the shelf can change is none."""
    assert edits_of(offered) == edits


def test_rulers_are_as_long_as_a_maker_may_meet() -> None:
    """An index goes from 0 to 100, rancidity to 5, a share to all: further only for what this bar has or is asked."""
    page = page_of(GOALS / "everyday.yaml")
    assert {one.id for one in page.scales} >= {
        "hardness",
        "harshness",
        "rancidity",
        "ash_risk",
        "superfat",
        "castor oil",
    }
    for scale in page.scales:
        told = [value for value in (scale.now, *(one.value for one in scale.handles)) if value is not None]
        natural = {"rancidity": (0.0, 5.0), "superfat": (0.0, 20.0), "lye_concentration": (20.0, 50.0)}
        usual = (0.0, 100.0) if scale.unit in ("index", "%") else None
        ends = natural.get(scale.id, usual)
        if ends is None:
            assert scale.low >= 0.0, scale.id
        else:
            assert (scale.low, scale.high) == (min(ends[0], *told), max(ends[1], *told)), scale.id
