"""A few blends side by side, in words: what is marked, what is proved, and how wide it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from rich.cells import cell_len

from optimiser.answers.choice_results import Choice, Choices
from optimiser.answers.results import StoodAside
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Said
from optimiser.report.json import documents as data
from optimiser.report.json.writing import to_json
from optimiser.report.terminal import text
from optimiser.report.terminal.choices import up
from optimiser.solve.far_proof import Bound

if TYPE_CHECKING:
    from collections.abc import Callable

    from optimiser.answers.results import Blend

    Golden = Callable[[str, str], None]


def other(blend: Blend, palm: float, lard: float, hardness: float) -> Blend:
    """The blend with lard in the place of a part of one fat, and another hardness."""
    first, *rest = blend.fats
    moved = first._replace(share=palm)
    new = first._replace(fat="lard", kind="hard oil", share=lard)
    lines = tuple(line._replace(value=hardness) if line.id == "hardness" else line for line in blend.measures)
    return blend._replace(fats=(moved, new, *rest), measures=lines)


@pytest.fixture
def story(blend_story: Blend) -> Choices:
    """Three blends by hand: the cheapest, one with lard, and one that is much softer."""
    share = blend_story.fats[0].share
    hardness = next(line.value for line in blend_story.measures if line.id == "hardness")
    blends = (
        blend_story,
        other(blend_story, share - 12.5, 12.5, hardness + 1.0),
        other(blend_story, share - 30.0, 30.0, hardness - 14.0),
    )
    return Choices(
        title="Estuary swirl (invented)",
        currency="EUR",
        goal_file="goals/estuary.yaml",
        shelf_title="Kittiwake Soapworks, autumn shelf (invented)",
        within=5.0,
        said="5 %",
        ceiling=4.035,
        choices=(
            Choice(blends[0], 0.0, 0.0, 12.5, "the cheapest"),
            Choice(blends[1], 2.1, 12.5, 12.5, "lard for olive oil, 2 % dearer"),
            Choice(blends[2], 4.9, 30.0, 17.5, "more hard oils, fewer liquid oils, softer, 5 % dearer"),
        ),
        asked=3,
        most=Bound(0.3141592, exact=True),
        complete=True,
        is_counted=False,
        has_preferences=False,
    )


@pytest.mark.parametrize("width", [80, 120])
def test_choices_as_kept(golden: Golden, story: Choices, width: int) -> None:
    """The page reads as it was approved."""
    golden(f"choices-{width}.txt", text.choices(story, width))


def test_choices_in_full_as_kept(golden: Golden, story: Choices) -> None:
    """The grams of the fats, every measure and every caution too."""
    golden("choices-full-80.txt", text.choices(story, full=True))


def test_choices_in_ascii_as_kept(golden: Golden, story: Choices) -> None:
    """For a pipe without UTF-8 the arrows are ASCII too."""
    told = text.choices(story, ascii=True)
    assert told.isascii()
    golden("choices-ascii-80.txt", told)


def test_choices_as_data_as_kept(golden: Golden, story: Choices) -> None:
    """The document of the blends is as agreed."""
    golden("choices.json", to_json(data.choices(story)))


def test_nothing_is_said_by_colour_alone(story: Choices) -> None:
    """Without its codes the coloured page is the plain one."""
    import re

    assert re.sub(r"\x1b\[[0-9;]*m", "", text.choices(story, colour=True)) == text.choices(story)


@pytest.mark.parametrize("width", [40, 60, 80, 100])
def test_the_width_is_kept_to(story: Choices, width: int) -> None:
    """No line but a command to copy is wider than the page."""
    lines = text.choices(story, width, full=True).splitlines()
    assert max(cell_len(line) for line in lines if "barwright choices" not in line) <= width


def test_marks_are_where_a_point_is_between(story: Choices) -> None:
    """A share that differs by a point has an arrow, and a measure that differs beyond its uncertainty."""
    lines = {line.split("  ")[1].strip(): line for line in text.choices(story).splitlines() if line.startswith("  ")}
    lard = next(line for line in lines.values() if line.strip().startswith("lard "))
    assert lard.split()[1:] == ["-", "↑", "12.5", "↑", "30.0"]
    hardness = next(line for line in lines.values() if line.strip().startswith("hardness"))
    assert hardness.count("↓") == 1
    assert "↑" not in hardness


def test_a_limit_is_rounded_up(story: Choices) -> None:
    """What no blend goes beyond is never told as less than it is."""
    assert up(31.41592) == 31.5
    assert up(42.0000000000004) == 42.0
    assert "swaps more than 31.5" in " ".join(text.choices(story).split())
    assert data.choices(story)["most_swapped"]["share"] == 31.41592


def test_a_limit_that_is_not_reached_is_told_so(story: Choices) -> None:
    """Where the search ended, where fats are counted, and where an amount can be read in two ways, the sentence says so."""
    cut = story._replace(most=Bound(0.5, exact=False, ended=False), complete=False, asked=6, is_counted=True)
    told = " ".join(text.choices(cut).split())
    assert "by the solver's bound, since fats are counted" in told
    assert "the search ended there" in told
    assert "The search ended before it found more" in told
    unsure = story._replace(most=Bound(0.5, exact=True, holds=False))
    assert "nothing is proved" in " ".join(text.choices(unsure).split())
    assert data.choices(unsure)["most_swapped"]["proved"] is False
    assert data.choices(cut)["complete"] is False


def test_fewer_than_asked_is_said(story: Choices) -> None:
    """That there are no more blends which differ is said, and that there is but one."""
    assert "No further blend differs" in " ".join(text.choices(story._replace(asked=5)).split())
    one = story._replace(choices=story.choices[:1], asked=4, most=Bound(0.004, exact=True))
    told = " ".join(text.choices(one).split())
    assert "No other blend within that price that differs by as much as 1 % of the fats" in told
    none = one._replace(most=Bound(1e-12, exact=True))
    assert "There is but this one blend" in " ".join(text.choices(none).split())


def test_the_usual_cautions_stand_once(story: Choices) -> None:
    """Beside the alkali stand the usual cautions, once for all; urgent ones come first with the blends they are of."""
    told = " ".join(text.choices(story).split())
    assert told.count("burns and blinds (H314)") == 1
    assert "safety data sheet" in told
    assert "barwright explain lye" in told
    heavy = story.choices[1]
    weighed = heavy.blend.weighed._replace(superfat_likely_low=-1.5)
    alarmed = heavy._replace(blend=heavy.blend._replace(weighed=weighed))
    page = text.choices(story._replace(choices=(story.choices[0], alarmed, story.choices[2])))
    assert page.startswith("! 2: LIKELY LYE-HEAVY")


def test_what_rounding_broke_is_told(story: Choices) -> None:
    """A wish that the balance breaks stands under its blend."""
    broken = story.choices[1]._replace(broken=("cost at most 4.00 / kg",))
    told = text.choices(story._replace(choices=(story.choices[0], broken, story.choices[2])))
    assert "no longer holds: cost at most 4.00 / kg" in " ".join(told.split())


def test_a_rule_that_stood_aside_for_one_alone_stands_under_it(story: Choices) -> None:
    """What stood aside for all is told once, above; what did for one blend, under that one and in its data."""
    rule = StoodAside(
        "practice.pinches.at_least", Said("lard", Side.AT_LEAST, "3 %"), "it would cost more than it is worth"
    )
    one = story.choices[1]._replace(blend=story.choices[1].blend._replace(stood_aside=(rule,)))
    told = story._replace(choices=(story.choices[0], one, story.choices[2]))
    assert "stood aside: lard at least 3 %. It would cost more" in " ".join(text.choices(told).split())
    assert [len(item["stood_aside"]) for item in data.choices(told)["choices"]] == [0, 1, 0]
    shared = told._replace(stood_aside=(rule,))
    assert "   stood aside: lard" not in text.choices(shared)
    assert data.choices(shared)["stood_aside"][0]["rule"] == rule.rule


def test_the_fats_of_all_blends_are_in_the_pot(story: Choices) -> None:
    """A warning about a fat of any of the blends is told, and not counted with those of the rest of the shelf."""
    assert {"olive oil", "lard"} <= {line.fat for line in story.fats}


def test_near_to_a_recipe_the_limit_is_of_blends_as_near(story: Choices) -> None:
    """What is proved is of blends that change as little of the recipe, and a cost below the first has its sign."""
    cheaper = story.choices[1]._replace(dearer=-1.04)
    told = " ".join(text.choices(story._replace(near_to="House bar", choices=(story.choices[0], cheaper))).split())
    assert "No blend that meets these goals, changes as little of House bar as can be" in told
    assert "beside 1, % - -1.0" in told
    assert "dearer, %" not in told
