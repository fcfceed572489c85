"""A cost curve told: in words for any width, as a chart of letters and as SVG, and as data."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from strategies import examples, wish_id

from optimiser.answers.curve_values import Curve, CurveEnd, CurveGrid, CurvePiece, CurvePoint, Drawn, GridAxis
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Said, Whose
from optimiser.report import curve_words as said
from optimiser.report.json import documents as data
from optimiser.report.json.writing import to_json
from optimiser.report.svg.curve import curve_svg, grid_svg
from optimiser.report.terminal import text
from optimiser.report.terminal.chart import PLAIN, Frame, plotted, ticks
from optimiser.report.words import GLUE

if TYPE_CHECKING:
    from collections.abc import Callable

    Golden = Callable[[str, str], None]


def line(limit: float, cost: float) -> Drawn:
    """A place of the line where it is followed."""
    return Drawn(limit, cost, is_laid=False)


def laid(limit: float, cost: float) -> Drawn:
    """A place from which on it is laid."""
    return Drawn(limit, cost, is_laid=True)


def parsed(picture: str) -> ET.Element:
    """A picture of our own, read back."""
    return ET.fromstring(picture)  # noqa: S314  # written by this very test


RULE = Said("butters", Side.AT_MOST, "30 %", whose=Whose.HOUSE)
MILD = Said("mildness", Side.AT_LEAST, "66")
STORY = Curve(
    title="Estuary swirl (invented)",
    currency="EUR",
    goal_file="goals/estuary.yaml",
    shelf_title="Kittiwake Soapworks, autumn shelf (invented)",
    of=wish_id("goals.hardness.at_least"),
    says="hardness",
    unit="index",
    side=Side.AT_LEAST,
    points=(
        CurvePoint(
            50.0, 3.0, breakpoint=False, exact=True, fats=(("olive oil", 60.0), ("soybean oil", 40.0)), each_more=0.0
        ),
        CurvePoint(
            55.0, 3.0, breakpoint=False, exact=True, fats=(("olive oil", 60.0), ("soybean oil", 40.0)), each_more=0.05
        ),
        CurvePoint(
            *(60.0, 3.25, True, True, (("olive oil", 70.0), ("palm stearin", 30.0)), 0.12),
            *(("palm stearin",), ("soybean oil",), (RULE,), (MILD,)),
            poured=3.26,
        ),
        CurvePoint(
            68.0,
            4.21,
            breakpoint=True,
            exact=False,
            fats=(("olive oil", 50.0), ("palm stearin", 50.0)),
            gives_way=(RULE,),
        ),
        CurvePoint(71.3, 6.5, breakpoint=False, exact=False, fats=(("palm stearin", 100.0),)),
    ),
    pieces=(
        CurvePiece(50.0, 60.0, 50.0, (3.0, 0.025), (1.0, 0.0), exact=True),
        CurvePiece(60.0, 71.3, 60.0, (3.25, 0.28), (1.0, 0.0), exact=False),
    ),
    drawn=(
        *(line(50.0, 3.0), line(55.0, 3.0), line(60.0, 3.25), line(68.0, 4.21)),
        *(laid(68.0, 4.21), laid(71.3, 6.5)),
    ),
    ends=(CurveEnd(71.3, "blend", (MILD, Said("free from palm"))),),
    free=55.0,
    now=55.0,
    exact=False,
    is_counted=False,
    solves=9,
    cautions=("Lye burns: goggles, gloves.",),
)
ONWARD = (
    "Above 71.3 the house rule of butters at most 30 % gives way. With that there are blends up to 75, and --to 75 draws "
    "it; above that mildness at least 66 stops it."
)
GRID = CurveGrid(
    title="Estuary swirl (invented)",
    currency="EUR",
    goal_file="goals/estuary.yaml",
    shelf_title="Kittiwake Soapworks (invented)",
    axes=(
        GridAxis(wish_id("goals.hardness.at_least"), "hardness", "index", Side.AT_LEAST, (50.0, 60.0)),
        GridAxis(wish_id("goals.mildness.at_least"), "mildness", "index", Side.AT_LEAST, (60.0, 70.0, 80.0)),
    ),
    costs=((3.0, 3.2, 3.9), (3.1, 3.05, None)),
    as_written=((True, True, True), (True, False, False)),
    cautions=("Lye burns: goggles, gloves.",),
)


@pytest.mark.parametrize("width", [80, 120])
def test_a_curve_as_kept(golden: Golden, width: int) -> None:
    """A curve reads as it was approved."""
    golden(f"curve-{width}.txt", text.curve(STORY, width))


def test_a_curve_in_ascii_as_kept(golden: Golden) -> None:
    """Without Unicode it has the same words, and signs that any terminal has."""
    told = text.curve(STORY, 80, ascii=True, full=True)
    assert told.isascii()
    golden("curve-ascii-80.txt", told)


def test_a_grid_as_kept(golden: Golden) -> None:
    """Two limits read as they were approved."""
    golden("curve-grid-80.txt", text.grid(GRID, 80))


@settings(max_examples=examples(30))
@given(st.integers(20, 160), st.booleans(), st.booleans())
def test_no_line_is_wider_than_the_page(width: int, ascii: bool, full: bool) -> None:  # noqa: A002, FBT001
    """At every width that a terminal has a line of a curve fits it, but for what is to be copied."""
    for told in (text.curve(STORY, width, ascii=ascii, full=full), text.grid(GRID, width, ascii=ascii)):
        kept = [line for line in told.splitlines() if "barwright blend" not in line]
        assert kept
        assert max(map(cell_len, kept)) <= max(width, 44)


def test_colour_says_nothing_by_itself() -> None:
    """With its colours taken away a coloured page is the plain one."""
    import re

    coloured = text.curve(STORY, 80, colour=True)
    assert "\x1b[" in coloured
    plain = [row.rstrip() for row in re.sub(r"\x1b\[[0-9;]*m", "", coloured).splitlines()]
    assert plain == text.curve(STORY, 80).splitlines()


def test_what_changes_is_a_sentence() -> None:
    """Fats that come and go, wishes reached and left, and what gives way are told in this order."""
    assert said.changes(STORY.points[2]).replace(GLUE, " ") == (
        "palm stearin comes in; soybean oil goes; the house rule of butters at most 30 % is reached; "
        "mildness at least 66 no longer binds"
    )
    assert "gives way" in said.changes(STORY.points[3])
    assert said.changes(STORY.points[0]) == ""


@pytest.mark.parametrize(
    ("end", "says"),
    [
        (CurveEnd(71.3, "blend", (MILD,)), "Above 71.3 there is no blend: mildness at least 66 stops it."),
        (CurveEnd(71.3, "blend"), "Above 71.3 there is no blend."),
        (CurveEnd(71.3, "asked"), "It was asked as far as 71.3."),
        (CurveEnd(71.3, "scale"), "71.3 is the end of what may be asked."),
        (CurveEnd(71.3, "unknown"), "Above 71.3 not all that these goals ask is known of such a soap."),
        (CurveEnd(50.0, "blend"), "Below 50 there is no blend."),
        (
            CurveEnd(71.3, "rules", (MILD,), (RULE,), 75.0),
            ONWARD,
        ),
    ],
)
def test_why_a_curve_ends(end: CurveEnd, says: str) -> None:
    """Each end says where and why in a sentence."""
    assert said.ended(STORY, end).replace(GLUE, " ") == says


def test_a_chart_is_cut_where_its_last_tenth_would_flatten_the_rest() -> None:
    """A cliff does not take the height from the rest; an even slope is drawn whole."""
    assert said.shown_top([1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8, 20.0]) < 3.0
    assert said.shown_top([1.0, 1.5, 2.0, 2.5, 3.0]) == 3.0


def test_letters_stand_where_the_line_is() -> None:
    """In a chart of letters each column has its mark in the row of its cost, breakpoints over the line."""
    drawn = [line(0.0, 0.0), laid(4.0, 4.0), laid(9.0, 4.0)]
    rows = plotted(drawn, [(4.0, 4.0)], Frame(0.0, 9.0, 0.0, 4.0, 10, 5), PLAIN)
    assert rows == ["    o.....", "   =      ", "  =       ", " =        ", "=         "]


def test_what_is_dearer_than_the_chart_is_marked_at_its_top() -> None:
    """Beyond the top of a chart stands the sign for it."""
    drawn = [line(0.0, 0.0), line(2.0, 9.0)]
    rows = plotted(drawn, [], Frame(0.0, 2.0, 0.0, 4.0, 3, 3), PLAIN)
    assert rows[0] == " ^^"


@settings(max_examples=examples(60))
@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.integers(2, 12))
def test_ticks_are_round_and_few(low: float, width: float, most: int) -> None:
    """Figures beside a chart lie inside it, rise, and are no more than asked for and one."""
    found = list(ticks(low, low + width, most))
    assert len(found) <= most + 1
    assert found == sorted(found)
    assert all(low - 1e-6 <= tick <= low + width + 1e-6 for tick in found)


@pytest.mark.parametrize("picture", [curve_svg(STORY), grid_svg(GRID)], ids=["curve", "grid"])
def test_a_picture_is_plain_svg(picture: str) -> None:
    """A picture is well-formed, has a title and a description that it points to, and nothing that acts or is fetched."""
    root = parsed(picture)
    space = "{http://www.w3.org/2000/svg}"
    assert root.tag == f"{space}svg"
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "title about"
    assert {one.get("id") for one in root if one.tag in (f"{space}title", f"{space}desc")} == {"title", "about"}
    assert not {one.tag for one in root.iter()} & {
        f"{space}script",
        f"{space}image",
        f"{space}foreignObject",
        f"{space}a",
    }
    assert not [name for one in root.iter() for name in one.attrib if name.startswith("on") or "href" in name]


@pytest.mark.parametrize("picture", [curve_svg(STORY), grid_svg(GRID)], ids=["curve", "grid"])
def test_a_picture_has_no_colour_to_lose(picture: str) -> None:
    """Every colour of a picture is a grey, so that nothing is said by colour."""
    import re

    hexes = re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})\b", picture)
    assert hexes
    assert all(red == green == blue for red, green, blue in hexes)
    assert all(len(set(one.split(","))) == 1 for one in re.findall(r"rgb\(([\d,]+)\)", picture))


def test_a_picture_tells_its_breakpoints() -> None:
    """What changes, where it ends and that part of it is laid are told in words in the picture too."""
    words = " ".join(parsed(curve_svg(STORY)).itertext()).replace("\u00a0", " ")
    assert "palm stearin comes in" in words
    assert "Above 71.3 there is no blend" in words
    assert "dashed line" in words


def test_a_title_cannot_break_out_of_a_picture() -> None:
    """What a maker wrote is text in the picture, whatever signs it has."""
    story = STORY._replace(title='<script>alert("x")</script>&\x1b[31m')
    root = parsed(curve_svg(story))
    assert not [one for one in root.iter() if one.tag.endswith("script")]
    assert "<script>" in "".join(root.itertext())


def test_the_data_of_a_curve() -> None:
    """JSON has status, what it is of, every point with limit, cost and whether it is a breakpoint, and whether it is exact."""
    told = json.loads(to_json(data.curve(STORY)))
    assert (told["format"], told["status"], told["of"], told["exact"]) == (
        *("barwright/1", "curve", "goals.hardness.at_least", False),
    )
    assert [(one["limit"], one["cost_per_kg"], one["breakpoint"]) for one in told["points"]][:3] == [
        *((50.0, 3.0, False), (55.0, 3.0, False), (60.0, 3.25, True)),
    ]
    assert told["points"][2]["without_pinches_per_kg"] == 3.26
    assert told["ends"][0]["why"] == "blend"
    assert told["pieces"][0]["money"] == [3.0, 0.025]
    assert told["cautions"]


def test_the_data_of_a_grid() -> None:
    """A grid says that it is one, is never exact, and has null where there is no blend."""
    told = json.loads(to_json(data.grid(GRID)))
    assert (told["status"], told["grid"], told["exact"], told["and"]) == (
        "curve",
        True,
        False,
        "goals.mildness.at_least",
    )
    assert len(told["points"]) == 6
    assert told["points"][5] == {
        "limit": 60.0,
        "and_limit": 80.0,
        "cost_per_kg": None,
        "breakpoint": False,
        "rules_give_way": False,
    }
    assert told["points"][4]["rules_give_way"] is True
