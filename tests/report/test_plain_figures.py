"""Figures, names, paths and commands as a maker can use them: nothing cut, nothing silly, nothing to patch together."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.answers.reach_results import Reach, ReachLine
from optimiser.cli import reference
from optimiser.measures.sides import Side
from optimiser.problem.units import Units
from optimiser.problem.wishes import Said, Section, Whose, WishId
from optimiser.recipe.weights import Weights
from optimiser.report import words
from optimiser.report.json import documents as data
from optimiser.report.terminal import text
from optimiser.report.terminal.goals import as_far_as
from optimiser.report.terminal.page import Column, Line, Paper, Table, printed

if TYPE_CHECKING:
    from optimiser.answers.results import Blend, GoalLine, NoBlend, WeighedRecipe

LONG_NAME = "goals/a-guest-house-bar-with-a-name-that-is-rather-longer-than-most-of-them.yaml"


# -- commands --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [60, 80])
def test_commands_are_never_broken(
    blend_story: Blend, no_blend_story: NoBlend, weighed_story: WeighedRecipe, width: int
) -> None:
    """A command to paste stands on a line of its own and whole, however long its file's name."""
    told = (
        (text.blend(blend_story._replace(goal_file=LONG_NAME), width), f"  barwright blend {LONG_NAME} --save "),
        (text.no_blend(no_blend_story._replace(goal_file=LONG_NAME), width), f"  barwright blend {LONG_NAME}\n"),
        (
            text.weighed(weighed_story._replace(meets_goals=None, recipe_file=LONG_NAME), width),
            f"  barwright weigh {LONG_NAME} --against GOALS\n",
        ),
        (
            text.reach(Reach("x", "EUR", LONG_NAME, "y", ()), width),
            f"  barwright blend {LONG_NAME}\n",
        ),
    )
    for answer, command in told:
        assert f"\n{command}" in answer
    assert f"--save {LONG_NAME.removeprefix('goals/').removesuffix('.yaml')}-recipe.yaml\n" in told[0][0]


def test_whole_line_in_colour_is_whole() -> None:
    """Colour breaks a whole line no more than plain text does."""
    answer = printed(Paper(60, colour=True), [Line("x" * 70 + " " + "y" * 70, style="bold", whole=True)])
    assert answer.count("\n") == 1


def test_what_comes_after_saving(blend_story: Blend) -> None:
    """Once the recipe is written the answer does not ask to write it, but tells how to judge it."""
    answer = text.blend(blend_story, saved="kept/my recipe.yaml")
    assert "--save" not in answer
    assert "\n  barwright weigh 'kept/my recipe.yaml' --against goals/estuary.yaml\n" in answer


# -- paths and clashes -----------------------------------------------------------------------------------------------


def test_paths_without_detours(no_blend_story: NoBlend) -> None:
    """A shelf named by way of the goals' folder is shown where it is."""
    first = no_blend_story.clashes[1][1]
    assert first.span is not None
    roundabout = first._replace(span=first.span._replace(file="goals/../inventory/kittiwake.yaml"))
    answer = text.no_blend(no_blend_story._replace(clashes=((roundabout,),)))
    assert "\n  inventory/kittiwake.yaml:\n" in answer
    assert ".." not in answer


def test_held_says_what_is_held(no_blend_story: NoBlend) -> None:
    """To what a wish would have to give way is said to be with all the other lines of the clash kept."""
    answer = text.no_blend(no_blend_story)
    assert "One of these must give way, as far as this at least (a way out may ask more):" in answer
    assert "With the others held" not in answer


def test_changes_in_the_data_say_where(no_blend_story: NoBlend) -> None:
    """A change in the data names the section of the file that its line belongs to."""
    way = no_blend_story.concessions[0]
    story = no_blend_story._replace(concessions=(way._replace(changes=(way.changes[0]._replace(where="goals"),)),))
    assert data.no_blend(story)["concessions"][0]["change"][0]["where"] == "goals"


# -- money -----------------------------------------------------------------------------------------------------------


def test_no_currency_leaves_no_hole(blend_story: Blend, no_blend_story: NoBlend) -> None:
    """Where the shelf names no currency money has a head, and no sentence has a gap where the currency would stand."""
    cost = ReachLine("cost", "cost", " / kg", 1.9, 14.2, 3.8, None, 4.0, is_share=False)
    told = (
        text.blend(blend_story._replace(currency="")),
        text.no_blend(no_blend_story._replace(currency="")),
        text.reach(Reach("x", "", "g.yaml", "y", (cost,))),
    )
    assert re.search(r"share +grams +money\n", told[0])
    assert "5.42 / kg of cured bar" in told[0]
    assert "money / kg of cured bar" in told[0]
    assert "0.60 a bar, 13.84 the" in told[0]
    assert "cost, money / kg" in told[2]
    assert not any(re.search(r"\d  / (kg|bar|lb)", answer) for answer in told)


def test_water_of_a_cured_bar_is_told(blend_story: Blend) -> None:
    """Beside the price of a bar stands how much water a bar is reckoned to keep."""
    story = blend_story._replace(recipe=blend_story.recipe._replace(cured_water=0.12))
    assert "bars of 110 g and 22 g over, cured to 12 % water: 0.60 EUR a bar" in text.blend(story)


def test_a_crumb_is_not_nothing(blend_story: Blend) -> None:
    """A saving too small for three decimals is said to be less than the last of them, not nothing."""
    tiny = blend_story.goals[3]._replace(binding=True, price_per_unit=0.001)
    answer = text.blend(blend_story._replace(goals=(tiny,)))
    assert "< 0.001 a tenth" in answer
    assert "0.000" not in answer.partition("Is it the cheapest?")[0]


# -- house practice --------------------------------------------------------------------------------------------------


def test_practice_off_says_what_stays(blend_story: Blend) -> None:
    """Where house practice is switched off the answer says which defaults stay, and does not ask to overrule a rule."""
    kept = tuple(goal for goal in blend_story.goals if goal.id.key == "lye concentration")
    answer = " ".join(text.blend(blend_story._replace(goals=kept, practice_off=True)).split())
    assert "House practice is off; lye concentration 33 % stays until a goal says otherwise." in answer
    assert "To overrule" not in answer
    assert "practice is off" not in text.blend(blend_story)


def test_practice_off_says_that_safety_stays(blend_story: Blend) -> None:
    """The rule that keeps the likely superfat at 0 % or above is never switched off by the word, and the answer says so."""
    lye = next(goal for goal in blend_story.goals if goal.id.key == "lye concentration")
    likely = lye._replace(
        id=lye.id._replace(key="likely superfat", side=Side.AT_LEAST),
        side=Side.AT_LEAST,
        limit=0.0,
        value=1.0,
        figure="likely_superfat",
    )

    def footer(*kept: GoalLine) -> str:
        return " ".join(text.blend(blend_story._replace(goals=kept, practice_off=True)).split())

    assert (
        "House practice is off; lye concentration 33 % and likely superfat at least 0 % stay until a goal says otherwise."
        in footer(lye, likely)
    )
    assert (
        "House practice is off: superfat and lye are as your goals say; likely superfat at least 0 % stays until a goal says "
        "otherwise." in footer(likely)
    )
    assert "House practice is off: superfat and lye are as your goals say." in footer(blend_story.goals[0])


# -- tables ----------------------------------------------------------------------------------------------------------


def test_long_units_stay_out_of_columns(blend_story: Blend) -> None:
    """A goal on iodine fits 80 columns: its unit stands in its words, and its words break between words."""
    iodine = blend_story.goals[0]._replace(
        said=Said("iodine value", Side.AT_MOST, "65 g I2/100 g"),
        value=65.0,
        limit=65.0,
        unit="g I2/100 g",
        side=Side.AT_MOST,
        figure="iodine_value",
        holds_to=71.2,
    )
    answer = text.blend(blend_story._replace(goals=(iodine,)))
    (row,) = [line for line in answer.splitlines() if "a unit" in line]
    assert row.split()[-6:] == ["65.0", "0.041", "a", "unit", "71.2", "0.22"]
    assert "iodine value at most" in answer


def test_grams_for_a_kilo_are_told_with_their_unit(blend_story: Blend) -> None:
    """Kaolin at 10 g for a kilo of fats is told in g/kg wherever a figure of it stands, and priced by one of them."""
    kaolin = blend_story.goals[0]._replace(
        said=Said("kaolin", Side.EXACTLY, "10 g / kg"),
        value=10.0,
        limit=10.0,
        unit="g/kg",
        side=Side.EXACTLY,
        figure="kaolin",
        holds_to=None,
    )
    answer = text.blend(blend_story._replace(goals=(kaolin,)))
    (row,) = [line for line in answer.splitlines() if "exactly 10 g / kg" in line]
    assert row.split()[-7:-2] == ["10.0", "g/kg", "0.041", "a", "g/kg"]
    assert "a unit" not in answer


@given(st.lists(st.text("abcdefgh", min_size=1, max_size=14), min_size=1, max_size=9))
def test_words_break_only_where_they_must(names: list[str]) -> None:
    """A name that wraps in a table wraps between words as long as its longest word fits."""
    table = Table((Column("name", wraps=True), Column("figure", "right")), [(" ".join(names), "9" * 30)])
    told = printed(Paper(60), [table]).replace("9" * 30, "").split()
    assert told[2:] == names


@pytest.mark.parametrize("width", [60, 80])
def test_long_names_of_files_part_at_hyphens(width: int) -> None:
    """The name of a trial that is longer than its column is parted after a hyphen, never inside a word."""
    name = "2025-11-03-everyday-with-a-rather-long-name-for-a-trial-of-one-batch"
    table = Table((Column("trial", wraps=True, least=10), Column("read", "right")), [(name, "9" * 30)])
    told = printed(Paper(width), [table]).replace("9" * 30, "").split()
    assert "".join(told[2:]) == name
    assert all(part.endswith("-") for part in told[2:-1])


def test_fats_are_listed_whole() -> None:
    """At 80 columns no tag and no name of the list of fats is cut, and a narrow range has decimals."""
    answer = reference.fats(width=80)
    assert "hydrogenated," in answer
    assert re.search(r"unsaturated\b", answer)
    assert not re.search(r"unsatura\n", answer)
    assert re.search(r"lanolin +\S+ +\d\.\d-\d\.\d ", answer)


def test_off_the_scale() -> None:
    """Of stearic acid alone no figure is told that no bar could have."""
    answer = " ".join(
        reference.fats("stearic acid").partition("A bar of it alone")[2].partition("No such bar")[0].split()
    )
    assert "trace speed off the scale (very fast)" in answer
    assert "ash risk 0.0" in answer
    assert not re.search(r"-\d|\d{3}\.\d", answer)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (Said("coconut oil", Side.AT_MOST, "0 %"), "no coconut oil"),
        (Said("coconut oil", Side.AT_MOST, "0.5 %"), "coconut oil at most 0.5 %"),
        (Said("coconut oil", Side.AT_LEAST, "0 %"), "coconut oil at least 0 %"),
        (Said("superfat", Side.AT_MOST, "0 %"), "superfat at most 0 %"),
    ],
)
def test_none_is_said_as_none(said: Said, told: str) -> None:
    """What may have no share at all is not in the pot; a figure of the batch may still be nothing."""
    assert words.one_side(said).replace(words.GLUE, " ") == told


def test_degrees_have_their_sign_where_there_is_one() -> None:
    """Degrees are printed with their sign, in ASCII spelt; what is quoted from a file or is to be copied is left alone."""
    line = Line("Pour at 45 degC")
    assert "at 45 \u00b0C" in printed(Paper(60), [line])
    assert "at 45 degC" in printed(Paper(60, ascii=True), [line])
    for kept in (line._replace(quoted=True), line._replace(whole=True)):
        assert "at 45 degC" in printed(Paper(60), [kept])


# -- weights and volumes ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (words.bars(15.1, 110.0), "15 bars of 110 g and 11 g over"),
        (words.bars(23.97, 100.0), "24 bars of 100 g"),
        (words.bars(24.01, 100.0), "24 bars of 100 g"),
        (words.bars(1.0, 100.0), "1 bar of 100 g"),
        (words.bars(0.6, 100.0), "less than a bar of 100 g (60 g)"),
        (words.bars(315876.2, 100.0), "315 876 bars of 100 g and 20 g over"),
        (words.volume(611.4), "611 mL"),
        (words.volume(12225.0), "12.2 L"),
        (words.volume(7658966.0), "7660 L"),
        (words.grams(3428854.2, 0), "3 428 854"),
        (words.grams(12245.6, 1), "12245.6"),
    ],
)
def test_sensible_digits(said: str, told: str) -> None:
    """Bars, volumes and large weights have the digits that a maker can use, and units stay with their figures."""
    assert said.replace(words.GLUE, " ") == told
    assert not re.search(r"\d (g|mL|L|bars?)\b", said)


@given(st.floats(0.0, 1e7), st.integers(0, 2))
def test_alkali_on_the_page_is_never_more(value: float, decimals: int) -> None:
    """Alkali as printed is never more than was worked out, and by less than a step less."""
    shown = float(Weights(Units.GRAMS, decimals).alkali(value, "").replace(words.GLUE, ""))
    assert shown <= value + 2e-6
    assert value - shown < 10.0**-decimals + 1e-6


def test_weights_of_a_recipe_in_hand(weighed_story: WeighedRecipe) -> None:
    """A recipe in pounds is told in tenths of a gram, the alkali as its maker wrote it; the data keep all digits."""
    pound = 453.59237
    fats = tuple((fat, 2.0 * pound) for fat, _ in weighed_story.recipe.fats)
    story = weighed_story._replace(recipe=weighed_story.recipe._replace(fats=fats, sodium_hydroxide=223.09))
    answer = text.weighed(story)
    assert "907.2" in answer
    assert "907.18" not in answer
    assert re.search(r"sodium hydroxide +223\.09 ", answer)
    assert data.weighed(story)["alkali"]["sodium_hydroxide_g"] == 223.09


@pytest.mark.parametrize(
    "phrase",
    ["2.3 % at best", "2.60 EUR / kg", "0.86 / kg", "58.3 g I2/100 g", "203 mg KOH/g", "45 degC", "40 g", "3.2 points"],
)
def test_units_stay_with_their_figures(phrase: str) -> None:
    """Wherever a line breaks, a figure and its unit stand on the same line."""
    unit = phrase.removesuffix(" at best")
    for lead in range(30, 62):
        answer = printed(Paper(60, ascii=True), [Line(f"{'x' * lead} {phrase}", indent=0)])
        assert unit in answer, answer
    assert math.isclose(float(unit.split()[0]), float(words.glued(unit).split(words.GLUE)[0]))


def test_no_figure_off_its_scale(blend_story: Blend) -> None:
    """An index below 0 or above 100 means nothing as a figure, and is told to be off its scale."""
    first, second, *rest = blend_story.measures
    odd = (first._replace(value=-29.3), second._replace(value=234.1, bands=()), *rest)
    answer = text.blend(blend_story._replace(measures=odd))
    assert re.search(r"hardness +< 0 ", answer)
    assert re.search(r"wear life +> 100 ", answer)
    assert "234.1" not in answer


def test_easing_ends_where_print_can_tell(blend_story: Blend) -> None:
    """Up to what limit easing saves is printed in digits that differ from the limit as it is, or not at all."""
    dear = blend_story.goals[0]._replace(holds_from=59.96)
    assert re.search(r"0\.041 a point +59\.96 ", text.blend(blend_story._replace(goals=(dear,))))
    dear = dear._replace(holds_from=60.0 - 1e-7)
    assert re.search(r"0\.041 a point +- ", text.blend(blend_story._replace(goals=(dear,))))


def test_a_hair_beyond_the_limit_is_no_end_to_ease_to(blend_story: Blend) -> None:
    """How far easing goes on saving is told in a digit more than usual at the most: 33.004 % beside 33 % says nothing."""
    goal = blend_story.goals[0]._replace(
        figure="lye_concentration",
        side=Side.AT_MOST,
        limit=33.0,
        unit="%",
        value=33.0,
        holds_to=33.004,
    )
    assert as_far_as(goal) == words.NOTHING
    assert as_far_as(goal._replace(holds_to=33.04)) == f"33.04{words.GLUE}%"
    assert as_far_as(goal._replace(holds_to=35.0)) == f"35.0{words.GLUE}%"


def test_many_pinches_are_a_line(blend_story: Blend) -> None:
    """Twenty fats of which there would be but a pinch are one line with the dearest named; in full each has a row."""
    one = blend_story.goals[0]
    pinches = [
        one._replace(
            id=WishId(Section.PRACTICE, "pinches", Side.AT_MOST, f"fat {number}"),
            said=Said(f"no pinch of fat {number}", whose=Whose.HOUSE),
            line=None,
            saves_if_dropped=0.01 * number,
            holds_when_weighed=True,
            binding=True,
            side=Side.AT_MOST,
        )
        for number in range(1, 21)
    ]
    story = blend_story._replace(goals=tuple(pinches))
    page = " ".join(text.blend(story, 100).split())
    assert page.count("no pinch of") == 1
    assert "no pinch of fat 20, fat 19" in page
    assert "16 more (--full)" in page
    assert "saves at most 0.20" in page
    assert text.blend(story, 100, full=True).count("no pinch of fat") >= 20
