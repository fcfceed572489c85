"""Answers in words."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import pytest
from benches import blend_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from strategies import examples, wish_id

from optimiser.answers.results import StoodAside, UnusedLine
from optimiser.measures.sides import Side
from optimiser.measures.telling import keeps
from optimiser.problem.wishes import Said, Whose
from optimiser.recipe import cautions
from optimiser.report.terminal import text
from optimiser.report.terminal.house_lines import example, may_overrule
from optimiser.report.words import GLUE, as_it_stands
from optimiser.solve.proof import OptimalityProof

if TYPE_CHECKING:
    from collections.abc import Callable

    from optimiser.answers.results import Blend, NoBlend, WeighedRecipe
    from optimiser.answers.weighed_lines import FatLine

    Golden = Callable[[str, str], None]

WIDTHS = (80, 120)
MANY = settings(max_examples=examples(40), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


# -- as kept ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", WIDTHS)
def test_blend_as_kept(blend_story: Blend, golden: Golden, width: int) -> None:
    """A blend reads as it was approved."""
    golden(f"blend-{width}.txt", text.blend(blend_story, width))


@pytest.mark.parametrize("width", WIDTHS)
def test_no_blend_as_kept(no_blend_story: NoBlend, golden: Golden, width: int) -> None:
    """The reason why there is no blend reads as it was approved."""
    golden(f"no-blend-{width}.txt", text.no_blend(no_blend_story, width))


@pytest.mark.parametrize("width", WIDTHS)
def test_weighed_as_kept(weighed_story: WeighedRecipe, golden: Golden, width: int) -> None:
    """A recipe in hand reads as it was approved."""
    golden(f"weighed-{width}.txt", text.weighed(weighed_story, width))


def test_lye_heavy_as_kept(heavy_story: Blend, golden: Golden) -> None:
    """A blend that is likely lye-heavy reads as it was approved."""
    golden("blend-lye-heavy-80.txt", text.blend(heavy_story))


def test_ascii_as_kept(blend_story: Blend, no_blend_story: NoBlend, golden: Golden) -> None:
    """The answers for a pipe without UTF-8 read as they were approved."""
    golden("blend-ascii-80.txt", text.blend(blend_story, ascii=True))
    golden("no-blend-ascii-80.txt", text.no_blend(no_blend_story, ascii=True))


def test_colour_as_kept(blend_story: Blend, golden: Golden) -> None:
    """The answer in colour is the plain one with colours and nothing else."""
    coloured = text.blend(blend_story, colour=True)
    golden("blend-colour-80.txt", coloured)
    plain = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    assert [line.rstrip() for line in plain.splitlines()] == text.blend(blend_story).splitlines()


# -- laws ------------------------------------------------------------------------------------------------------------


@MANY
@given(width=st.integers(40, 160), ascii_only=st.booleans(), odd=st.text(max_size=90))
def test_no_line_too_long(
    blend_story: Blend, no_blend_story: NoBlend, weighed_story: WeighedRecipe, *, width: int, ascii_only: bool, odd: str
) -> None:
    """No line but a command to copy is longer than the page, whatever a title holds; ASCII means ASCII."""
    told = (
        text.blend(blend_story._replace(title=odd, notes=(odd,)), width, ascii=ascii_only),
        text.no_blend(no_blend_story._replace(title=odd, shelf_title=odd), width, ascii=ascii_only),
        text.weighed(weighed_story._replace(title=odd, recipe_file=odd), width, ascii=ascii_only),
    )
    for answer in told:
        prose = [line for line in answer.split("\n") if not line.startswith("  barwright ")]
        assert all(cell_len(line) <= width for line in prose)
        assert "\x1b" not in answer
        assert answer.isascii() or not ascii_only


@MANY
@given(name=st.from_regex(r"[a-z]{1,30}( [a-z]{1,30}){0,4}", fullmatch=True), width=st.integers(40, 120))
def test_weights_are_never_cut(blend_story: Blend, name: str, width: int) -> None:
    """However long a fat's name, its grams stand whole on the page."""
    first: FatLine = blend_story.fats[0]._replace(fat=name, to_weigh=12245.6, lot="KW-0000-117")
    answer = text.blend(blend_story._replace(fats=(first, *blend_story.fats[1:])), width)
    assert "12245.6" in answer
    assert all(re.search(rf" {grams}[\s,]", answer) for grams in ("460.0", "216.0", "100.0", "278.5", "540.0"))


def test_cautions_beside_every_alkali_figure(blend_story: Blend, weighed_story: WeighedRecipe) -> None:
    """An answer that tells alkali tells the cautions in the same block, even when the story forgot them."""
    for answer in (
        text.blend(blend_story._replace(cautions=())),
        text.weighed(weighed_story._replace(cautions=())),
        text.weighed(weighed_story, 120, colour=True),
        text.blend(blend_story, ascii=True),
    ):
        flat = " ".join(re.sub(r"\x1b\[[0-9;]*m", "", answer).split())
        block = flat[flat.index("sodium hydroxide") :]
        brief = cautions.in_brief(blend_story.recipe)
        assert all(caution in block for caution in brief)
        assert block.index(brief[-1]) < block.index("What the bar will be")
        assert "safety data sheet" in block
        assert not any(caution in flat for caution in cautions.standing(blend_story.recipe))


def test_steps_bring_the_cautions_in_full(blend_story: Blend, weighed_story: WeighedRecipe) -> None:
    """With the making steps hazards, vessels and first aid stand in full ahead of them, even when the story forgot them."""
    for answer in (
        text.blend(blend_story._replace(cautions=()), steps=True),
        text.weighed(weighed_story._replace(cautions=(), steps=blend_story.steps), steps=True),
    ):
        flat = " ".join(answer.replace("! ", "").split())
        for caution in (*cautions.in_brief(blend_story.recipe), *cautions.standing(blend_story.recipe)):
            assert flat.index(caution) < flat.index("step by step")


def test_urgent_caution_leads(heavy_story: Blend, blend_story: Blend) -> None:
    """What is likely lye-heavy says so in the first line and once; an ordinary blend starts with its title."""
    answer = text.blend(heavy_story)
    assert answer.startswith("! LIKELY LYE-HEAVY")
    assert answer.count("LYE-HEAVY") == 1
    assert text.blend(blend_story).startswith("Estuary swirl")


def test_urgent_even_if_the_story_forgot(heavy_story: Blend) -> None:
    """The figures alone bring the urgent caution to the top."""
    assert text.blend(heavy_story._replace(cautions=())).startswith("! LIKELY LYE-HEAVY")


IN_ORDER = (
    "Fats \u2500",
    "sodium hydroxide",
    "  Superfat ",
    "! Sodium hydroxide",
    "What the bar will be",
    "Stick blender",
    "Ash risk",
    "What it costs",
    "Is it the cheapest?",
    "To keep this recipe",
    "--full tells more",
)
ORDINARY = ("everyday", "palm-free-vegetable", "budget", "mature-skin", "fine-swirl", "design-fine-swirl")
TWO_SCREENS = 100  # lines
USUAL = 90  # lines that an ordinary bar takes at most
NARROW = 108  # the same where a line holds a fifth less


def test_a_screenful_or_two(blend_story: Blend) -> None:
    """An ordinary answer is no wall: two screens at 80 columns, less at 100."""
    assert text.blend(blend_story).count("\n") <= TWO_SCREENS
    assert text.blend(blend_story, 100).count("\n") <= USUAL


@pytest.mark.long
@pytest.mark.parametrize("name", ORDINARY)
def test_a_bar_fits_two_screens_in_a_makers_order(name: str) -> None:
    """What to weigh, its cautions, what the bar will be, what it costs, how sure that is, and how to keep it."""
    story = blend_of(name)
    answer = text.blend(story, 100)
    assert answer.count("\n") <= USUAL
    assert text.blend(story, 80).count("\n") <= NARROW
    places = [answer.index(said) for said in IN_ORDER]
    assert places == sorted(places)


@pytest.mark.parametrize("name", ORDINARY)
def test_full_tells_what_the_short_page_leaves_out(name: str) -> None:
    """With --full the fats left on the shelf, every rule of the house and the acids stand too, and no word of more."""
    story = blend_of(name)
    short, full = text.blend(story, 100), text.blend(story, 100, full=True)
    for told in ("Left on the shelf", "Of the fats: saponification value", "House practice at no cost:"):
        assert told in full
        assert told not in short
    assert "--full" not in full
    assert full.count("\n") > short.count("\n")
    flat = " ".join(full.split())
    assert [line.fat for line in story.unused if line.fat not in flat] == []


def test_a_lye_that_moved_is_told_beside_the_usual_one() -> None:
    """What the alkali and the water stand at is told as the figure it moved to, instead of the usual one."""
    said = Said("lye concentration", Side.EXACTLY, "33 %", whose=Whose.HOUSE)
    line = as_it_stands(StoodAside("practice.lye concentration.exactly", said, "trace speed leaves no room", 31.0, "%"))
    assert line.replace(GLUE, " ") == "lye concentration 31 % instead of the usual 33 %"


def test_what_stood_aside_stands_under_the_title(blend_story: Blend) -> None:
    """House rules that gave way are told at once, a line each, three of them; the others in full."""
    rules = tuple(
        StoodAside(name, Said(name, Side.AT_MOST, "9 %", whose=Whose.HOUSE), f"reason of {name}")
        for name in ("waxes", "butters", "castor oil", "lauric oils")
    )
    story = blend_story._replace(stood_aside=rules)
    answer = text.blend(story, 100)
    assert "  Stood aside: waxes at most 9 %. Reason of waxes.\n" in answer
    assert answer.index("castor oil at most 9 %") < answer.index("Fats \u2500")
    assert "lauric oils at most 9 %" not in answer
    assert "1 more house rule stood aside (--full)." in answer
    alike = text.blend(story._replace(stood_aside=tuple(rule._replace(why="one reason") for rule in rules)), 100)
    assert "Stood aside: waxes at most 9 %; butters at most 9 %; castor oil at most 9 %; lauric oils" in alike
    assert alike.count("One reason.") == 1
    assert "lauric oils at most 9 %" in text.blend(story, 100, full=True)


def test_harshness_and_mildness_are_one(blend_story: Blend, weighed_story: WeighedRecipe) -> None:
    """The one that a goal names is told, harshness where none does."""
    mild = next(line for line in blend_story.measures if line.id == "mildness")
    both = (mild._replace(id="harshness", words="harshness"), mild)
    for goals, kept, left in (((), "harshness", "mildness"), (("mildness",), "mildness", "harshness")):
        mine = tuple(blend_story.goals[0]._replace(figure=figure) for figure in goals)
        bar = text.blend(blend_story._replace(measures=both, goals=mine, preferences=()))
        hand = text.weighed(weighed_story._replace(measures=both, goals=mine, preferences=()))
        for answer in (bar, hand):
            assert rows(answer, f"  {kept} ")
            assert not rows(answer, f"  {left} ")


def test_said_once(blend_story: Blend) -> None:
    """How far measures are to be trusted is said, and said once."""
    flat = " ".join(text.blend(blend_story).split())
    assert flat.count("Rank order is trusted, absolute figures are comparative.") == 1


def test_no_words_of_the_workshop(blend_story: Blend, no_blend_story: NoBlend) -> None:
    """A maker reads of goals and clashes, never of what the mathematics calls them."""
    told = (text.blend(blend_story) + text.no_blend(no_blend_story)).casefold()
    assert not re.search(r"\b(infeasible|constraint|dual|slack|variable|nan|none|inf|true|false)\b", told)


# -- goals -----------------------------------------------------------------------------------------------------------


def rows(answer: str, word: str) -> list[str]:
    """The lines of an answer that hold a word."""
    return [line for line in answer.splitlines() if word in line]


def test_goals_that_cost_have_rows(blend_story: Blend) -> None:
    """A goal that binds stands under that heading: where it stands, what a step easier saves, what dropping it saves."""
    answer = text.blend(blend_story)
    assert "What it costs, and which goals bind" in answer
    (row,) = rows(answer, "hardness at least 60")
    assert row.split() == ["8", "hardness", "at", "least", "60", "60.0", "0.041", "a", "point", "-", "0.22"]


def test_goals_at_no_cost_stand_in_a_line(blend_story: Blend) -> None:
    """Goals that cost nothing share a sentence; stock and rules that do nothing are not told one by one."""
    answer = " ".join(text.blend(blend_story).split())
    assert "At no cost: hardness at most 70, here 60.0;" in answer
    assert "in stock" not in answer
    assert "castor oil at most 10 %" not in answer
    assert "2 other rules of house practice cost nothing here." in answer


def test_house_rule_tells_how_to_overrule_it(blend_story: Blend) -> None:
    """A house rule that costs is named as the house's, with the line that overrules it, and in full with its reason."""
    answer = text.blend(blend_story)
    assert "house, solid fats at most 33.8 %: " not in answer
    assert "house, solid fats at most 33.8 %: " in text.blend(blend_story, full=True)
    assert rows(answer, "solid fats at most 33.8 %")[0].split()[0] == "house"
    assert "    practice: {solid fats: {at_most: 38.8 %}}" in answer
    rule = next(goal for goal in blend_story.goals if goal.figure == "solid fats")
    assert example(rule._replace(side=Side.EXACTLY)) == "38.8 %"
    assert example(rule._replace(side=Side.AT_LEAST)) == "{at_least: 28.8 %}"


def test_overruled_rule_is_the_makers(blend_story: Blend) -> None:
    """A house rule that the maker gave a figure for stands under its line, and the house has no more to say of it."""
    rule = next(goal for goal in blend_story.goals if goal.figure == "solid fats")
    mine = rule._replace(said=Said("solid fats", Side.AT_MOST, "80 %"), line=20, why="the maker's own figure")
    answer = text.blend(blend_story._replace(goals=(mine,)))
    assert rows(answer, "solid fats at most 80 %")[0].split()[0] == "20"
    assert "The house" not in answer
    assert "house practice" not in answer


def test_broken_by_rounding_is_marked(blend_story: Blend) -> None:
    """A goal that the balance's step breaks has a row and a mark of its own, even if it cost nothing."""
    broken = blend_story.goals[3]._replace(holds_when_weighed=False, when_weighed=1.74)
    (row,) = rows(text.blend(blend_story._replace(goals=(broken,))), "rancidity at most 1.7")
    assert row.split()[5:7] == ["1.74", "broken"]


def test_tenths_where_a_unit_is_large(blend_story: Blend) -> None:
    """A rancidity index is eased by a tenth of a point, and the saving told is for that tenth."""
    dear = blend_story.goals[3]._replace(binding=True, price_per_unit=0.9)
    (row,) = rows(text.blend(blend_story._replace(goals=(dear,))), "rancidity at most 1.7")
    assert "0.090 a tenth" in row


def test_two_sides_of_one_wish(blend_story: Blend) -> None:
    """Of a wish for a stretch the side that costs is told by itself; both sides at no cost are told once."""
    floor = blend_story.goals[4]._replace(said=Said("superfat", Side.AT_LEAST, "4 %", between=("4 %", "6 %")))
    ceiling = floor._replace(
        id=wish_id("goals.superfat.at_most"),
        side=Side.AT_MOST,
        limit=6.0,
        said=Said("superfat", Side.AT_MOST, "6 %", between=("4 %", "6 %")),
    )
    answer = text.blend(blend_story._replace(goals=(floor, ceiling)))
    assert "At no cost: superfat between 4 % and 6 %, here 5.8 %." in answer
    answer = text.blend(blend_story._replace(goals=(floor._replace(binding=True, price_per_unit=0.03), ceiling)))
    assert rows(answer, "superfat at least 4 %")
    assert "At no cost: superfat at most 6 %, here 5.8 %." in answer


def test_preferences(blend_story: Blend) -> None:
    """A preference is met, or short by so much in its own unit."""
    answer = text.blend(blend_story)
    assert "74.4  met" in rows(answer, "mildness at least 72")[0]
    assert "short by 3.7 points" in rows(answer, "wear life at least 26")[0]


def test_counted_blend_tells_entry_at_the_latest(blend_story: Blend) -> None:
    """Where fats are counted what was not ruled out is said to be open, and nothing is called impossible that is not."""
    unused = tuple(
        line._replace(enters="at the latest below" if line.enters_below else "unknown")
        for line in blend_story.unused
        if not line.barred_by
    )
    proof = OptimalityProof(5.4, 0.004, exact=False)
    story = blend_story._replace(is_counted=True, proof=proof, unused=unused)
    answer = " ".join(text.blend(story, full=True).split())
    assert "At no price" not in answer
    assert "Not known at what price, if any: hemp seed oil, stearic acid." in answer
    assert "Each would come in below the price told for certain; a higher price is not ruled out." in answer
    assert "by the solver's bound, since fats are counted" in answer
    assert "within 0.400 % of it" in answer
    assert "exact arithmetic" not in answer
    assert "preference" not in answer.partition("Is it the cheapest?")[2]


def test_the_proof_names_the_preferences_it_rests_on(blend_story: Blend) -> None:
    """Cheapest is proved among the blends that meet the preferences as far as can be; of a search cut short only as here."""
    answer = " ".join(text.blend(blend_story).split())
    assert "meets these goals, with the preferences met as far as they can be, can be cheaper than 5.4227" in answer
    cut = blend_story.proof._replace(exact=False, preferences=1, is_limited=True)
    answer = " ".join(text.blend(blend_story._replace(proof=cut)).split())
    assert "with the preference met as far as here, can be cheaper" in answer
    assert answer.partition("Is it the cheapest?")[2].count("the search ended there") == 1


def test_what_a_preference_costs(blend_story: Blend) -> None:
    """Each preference has its price; one that is met by the cheapest blend anyhow costs nothing."""
    answer = text.blend(blend_story)
    assert rows(answer, "wear life at least 26")[0].endswith("0.21")
    assert rows(answer, "mildness at least 72")[0].endswith("nothing")
    saved = tuple(line._replace(costs=-0.3) for line in blend_story.preferences)
    assert rows(text.blend(blend_story._replace(preferences=saved)), "wear life at least 26")[0].endswith("saves 0.30")
    unknown = tuple(line._replace(costs=None) for line in blend_story.preferences)
    assert rows(text.blend(blend_story._replace(preferences=unknown)), "mildness at least")[0].endswith("met")


def test_what_is_gone_over_is_not_short(blend_story: Blend) -> None:
    """A cost above its wish is over, not short; a miss too small for a figure is told as less than the smallest."""
    (first, second) = blend_story.preferences
    dear = first._replace(
        id=wish_id("prefer.0.cost.at_most"),
        said=Said("cost", Side.AT_MOST, "3.20 / kg"),
        met=False,
        value=4.94,
        limit=3.2,
        short_by=1.74,
        unit="EUR / kg",
    )
    near = second._replace(met=False, value=61.96, limit=62.0, short_by=0.04, said=Said("x", Side.AT_LEAST, "62"))
    answer = " ".join(text.blend(blend_story._replace(preferences=(dear, near))).split())
    assert "4.94 over by 1.74" in answer
    assert "x at least 62 61.96 short by less than 0.1 points" in answer
    assert "Each is priced with the others kept." in answer


def test_a_house_rule_that_keeps_a_preference_is_told(blend_story: Blend) -> None:
    """A rule of the house without which a preference would be met further, at a cost, is no silent rule."""
    goals = tuple(
        goal._replace(price_per_unit=None, binding=False, saves_if_dropped=-0.02, at_limit=True)
        if goal.origin == "practice"
        else goal
        for goal in blend_story.goals
    )
    answer = " ".join(text.blend(blend_story._replace(goals=goals)).split())
    assert "(0.02 dearer without it)." in answer
    away = tuple(goal._replace(at_limit=False) for goal in goals)
    assert "dearer without it" not in text.blend(blend_story._replace(goals=away))


def test_a_rule_away_from_its_limit_has_no_row(blend_story: Blend) -> None:
    """A rule of the house that the blend does not stand at costs nothing, whatever the file without it would come to."""
    rule = next(goal for goal in blend_story.goals if goal.figure == "solid fats")
    away = rule._replace(value=0.0, binding=False, price_per_unit=None, saves_if_dropped=0.02)
    assert not rows(text.blend(blend_story._replace(goals=(away,))), "solid fats at most")
    assert rows(text.blend(blend_story._replace(goals=(away._replace(at_limit=True),))), "solid fats at most")


def test_a_cost_at_its_limit_is_not_at_no_cost(blend_story: Blend) -> None:
    """A cost that preferences are met up to is told to be spent, not to cost nothing."""
    cost = next(goal for goal in blend_story.goals if goal.id.key == "cost")
    answer = " ".join(text.blend(blend_story._replace(goals=(cost._replace(value=6.4, at_limit=True),))).split())
    assert "At its limit: cost at most 6.40 / kg, here 6.40" in answer
    assert "At no cost" not in answer


def test_an_eased_rule_says_what_it_asked(blend_story: Blend) -> None:
    """A rule that gave way tells both figures, in the table, above it and under the gauges, and is not to be overruled."""
    rule = next(goal for goal in blend_story.goals if goal.figure == "solid fats")._replace(eased_from="30 %")
    aside = StoodAside("solid fats", Said("solid fats", Side.AT_MOST, "30 %", whose=Whose.HOUSE), "why", 33.8, "%")
    measures = (blend_story.measures[0]._replace(gave_way=True, low_limit=40.0), *blend_story.measures[1:])
    story = blend_story._replace(goals=(rule,), stood_aside=(aside,), measures=measures)
    answer = " ".join(text.blend(story, 120).split())
    assert "solid fats at most 33.8 % (for 30 %)" in answer
    assert "Stood aside: solid fats at most 30 % (stands at 33.8 %). Why." in answer
    assert f"(that of {measures[0].words} as far as it gave way)" in answer
    assert "To overrule it" not in answer


@pytest.mark.parametrize("figure", ["rancidity", "harshness", "superfat", "likely_superfat", "worst_case_superfat"])
def test_no_rule_that_guards_is_to_be_overruled(blend_story: Blend, figure: str) -> None:
    """Nobody is shown how to overrule what keeps skin or the bar, nor anything that saves less than a fiftieth."""
    rule = next(goal for goal in blend_story.goals if goal.figure == "solid fats")._replace(saves_if_dropped=0.2)
    assert may_overrule(rule, 10.0)
    assert not may_overrule(rule, 10.1)
    assert not may_overrule(rule._replace(figure=figure), 5.0)


def test_a_long_list_of_what_is_not_known_is_for_who_asks(blend_story: Blend) -> None:
    """Many fats whose price of entry is not known are named where all is told, and nowhere else."""
    many = tuple(UnusedLine(f"oil {place}", "liquid oil", 3.0, None, enters="unknown") for place in range(40))
    story = blend_story._replace(unused=many)
    assert "oil 38, oil 39." in " ".join(text.blend(story, full=True).split())
    assert "oil 1" not in text.blend(story)


def test_a_line_without_which_the_bar_is_dearer_says_so(blend_story: Blend) -> None:
    """A goal that keeps a dearer default away costs nothing, and the answer says what deleting it would cost."""
    goals = tuple(
        goal._replace(price_per_unit=None, binding=False, saves_if_dropped=-0.25) if goal.id.key == "cost" else goal
        for goal in blend_story.goals
    )
    assert "(0.25 dearer without it)" in " ".join(text.blend(blend_story._replace(goals=goals)).split())


def test_superfat_as_weighed(blend_story: Blend) -> None:
    """Where rounding moves the superfat, both figures stand."""
    story = blend_story._replace(alkali=blend_story.alkali._replace(superfat=5.0))
    assert "Superfat 5.8 % as weighed (5.0 % before rounding); likely low" in text.blend(story)


def test_lye_beyond_the_tables(blend_story: Blend) -> None:
    """Where no table gives a volume or a temperature none is printed."""
    judged = blend_story.weighed._replace(lye_volume_ml=math.nan, lye_temperature=(math.nan, math.nan))
    answer = text.blend(blend_story._replace(weighed=judged, cautions=()))
    assert "mL" not in answer
    assert "\u00b0C" not in answer
    assert "degC" not in answer


def test_heat_is_told_somewhere(blend_story: Blend) -> None:
    """What the lye could reach is told once: by the caution, or by the figures when no caution does."""
    for story in (blend_story, blend_story._replace(cautions=())):
        assert text.blend(story).count("104-108 \u00b0C") == 1


# -- recipe in hand --------------------------------------------------------------------------------------------------


def test_verdict(weighed_story: WeighedRecipe) -> None:
    """Each goal is met, or missed by so much; kept house rules are counted."""
    answer = text.weighed(weighed_story)
    assert rows(answer, "hardness at least 65")[0].split()[-3:] == ["60.0", "missed", "5.0"]
    assert rows(answer, "hardness at most 70")[0].endswith("met")
    assert "1 rule of house practice is kept." in answer
    assert "1 of 10 missed" in answer


def test_no_goals_no_verdict(weighed_story: WeighedRecipe) -> None:
    """A recipe that was held against nothing has no verdict, and is told how to get one."""
    answer = text.weighed(weighed_story._replace(goals=(), preferences=(), meets_goals=None, cost=None))
    assert "Against the goals" not in answer
    assert "barwright weigh recipes/estuary.yaml --against GOALS" in answer
    assert "2552 g of soap once cured to 10 % water." in answer


def test_colour_only_when_asked(blend_story: Blend, monkeypatch: pytest.MonkeyPatch) -> None:
    """The environment changes nothing: colour is the caller's to decide."""
    monkeypatch.setenv("FORCE_COLOR", "1")
    plain = text.blend(blend_story)
    assert "\x1b" not in plain
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setenv("TERM", "dumb")
    assert text.blend(blend_story) == plain
    assert "\x1b[1m" in text.blend(blend_story, colour=True)


@MANY
@given(
    limit=st.integers(0, 8000).map(lambda hundredths: hundredths / 100.0),
    gap=st.one_of(st.floats(-2.0, 2.0), st.floats(-0.04, 0.04)),
    side=st.sampled_from([Side.AT_LEAST, Side.AT_MOST]),
    unit=st.sampled_from(["index", "%", "ratio", "EUR / kg"]),
)
def test_a_verdict_agrees_with_its_figures(
    weighed_story: WeighedRecipe, *, limit: float, gap: float, side: Side, unit: str
) -> None:
    """No row says met of a figure printed on the wrong side of its limit, nor missed of one that is printed as it."""
    value = limit + gap
    met = keeps(value, limit, side) or abs(gap) < BLURRED
    goal = weighed_story.goals[0]._replace(
        said=Said("x", side, "y"), value=value, limit=limit, side=side, unit=unit, holds_when_weighed=met
    )
    (row,) = rows(
        text.weighed(weighed_story._replace(goals=(goal,), preferences=(), meets_goals=met)), f"x {side.words} y"
    )
    cells = row.partition(" y ")[2].replace("just under", "").replace("just over", "").replace("%", "").split()
    assert cells[1] == ("met" if met else "missed")
    assert keeps(float(cells[0]), limit, side) or not met
    assert met or not keeps(float(cells[0]), limit, side) or "just" in row
    assert met or float(cells[2]) > 0.0


BLURRED = 0.02  # what a balance blurs of a step of one
