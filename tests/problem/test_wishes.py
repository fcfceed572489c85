"""Ids of wishes and their words: values with one text each, and no text that is taken apart again."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import SPAN, at_least, at_most, exactly, recipe_at, shelf_of, with_practice

from optimiser.files.goals import read_goals
from optimiser.measures.practice import rules
from optimiser.measures.sides import Side
from optimiser.model.programme import build
from optimiser.problem.batch import Batch
from optimiser.problem.designs import Brought
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.limits import Limit, as_limit
from optimiser.problem.wishes import EACH_FAT, NUMBER_OF_FATS, ORIGINS, Origin, Said, Section, Whose, WishId
from optimiser.recipe.compliance import verdicts, wishes
from optimiser.recipe.evaluation import judge
from optimiser.report import words

LEAST, MOST, JUST = Side.AT_LEAST, Side.AT_MOST, Side.EXACTLY


# -- ids -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wish", "text", "origin"),
    [
        (WishId(Section.GOALS, "hardness", LEAST), "goals.hardness.at_least", "goal"),
        (WishId(Section.GOALS, "C18:1-OH", JUST), "goals.C18:1-OH.exactly", "goal"),
        (WishId(Section.SHARES, "olive oil", MOST), "shares.olive oil.at_most", "share"),
        (WishId(Section.SHARES, "Mr. Pell's no. 2", MOST), "shares.Mr. Pell's no. 2.at_most", "share"),
        (WishId(Section.ADDITIVES, "sodium lactate", JUST), "additives.sodium lactate.exactly", "additive"),
        (WishId(Section.FREE_FROM, "palm", MOST), "free_from.palm", "exclusion"),
        (WishId(Section.FATS, NUMBER_OF_FATS, MOST), "fats.at_most", "count"),
        (WishId(Section.FATS, NUMBER_OF_FATS, JUST), "fats.exactly", "count"),
        (WishId(Section.FATS, EACH_FAT, LEAST), "fats.each_at_least", "count"),
        (WishId(Section.PRACTICE, "castor oil", MOST), "practice.castor oil.at_most", "practice"),
        (
            WishId(Section.PRACTICE, "short saturated acids at least", LEAST),
            "practice.short saturated acids at least.at_least",
            "practice",
        ),
        (WishId(Section.DESIGN, "trace_speed", MOST, "fine swirl"), "design.fine swirl.trace_speed.at_most", "design"),
        (WishId(Section.FOR, "superfat", LEAST, "mature skin"), "for.mature skin.superfat.at_least", "design"),
        (WishId(Section.PREFER, "cost", MOST, "0"), "prefer.0.cost.at_most", "preference"),
        (WishId(Section.STOCK, "olive oil", MOST), "stock.olive oil", "stock"),
        (WishId(Section.STOCK, "no. 2 tallow", MOST), "stock.no. 2 tallow", "stock"),
        (WishId(Section.PHYSICS, "lye solubility", MOST), "physics.lye solubility", "physics"),
    ],
)
def test_every_kind_of_wish_has_its_text(wish: WishId, text: str, origin: str) -> None:
    """The text is what JSON has always had, names with dots and blanks as they are; the origin follows from the section."""
    assert str(wish) == f"{wish}" == text
    assert wish.origin == origin


def test_every_section_has_an_origin() -> None:
    """Each section is of one origin, and no origin is left without one."""
    assert set(ORIGINS) == set(Section)
    assert set(ORIGINS.values()) == set(Origin)


names = st.text(st.characters(codec="ascii", categories=("L", "N", "P", "Zs")), min_size=1, max_size=12)
ids = st.builds(WishId, st.sampled_from(Section), names, st.sampled_from(Side), names)


@given(ids, ids)
def test_ids_are_equal_by_their_parts(one: WishId, other: WishId) -> None:
    """Two ids are one if all their parts are, whatever their texts look like; then they hash and sort alike."""
    same = (one.section, one.key, one.side, one.within) == (other.section, other.key, other.side, other.within)
    assert (one == other) is same
    assert one == made_anew(one)
    assert len({one, made_anew(one), other}) == (1 if same else 2)
    assert sorted([one, other]) == sorted([other, one])


def made_anew(wish: WishId) -> WishId:
    """An id made anew of the same parts."""
    return WishId(Section(str(wish.section)), wish.key, Side(str(wish.side)), wish.within)


def test_names_with_dots_are_not_mixed_up() -> None:
    """Where two texts are one because a name holds a dot, the wishes are still two."""
    one = WishId(Section.DESIGN, "trace_speed", MOST, "no. 2")
    other = WishId(Section.DESIGN, " 2.trace_speed", MOST, "no")
    assert str(one) == str(other)
    assert one != other


@pytest.mark.parametrize("side", list(Side))
def test_another_side_of_the_same_wish(side: Side) -> None:
    """The other sides of a key are the same wish but for the side."""
    assert WishId(Section.DESIGN, "trace_speed", MOST, "no. 2").on(side) == WishId(
        Section.DESIGN, "trace_speed", side, "no. 2"
    )


def every_kind() -> GoalSheet:
    """A sheet with a wish of every kind, one on a fat whose name holds dots."""
    brought = (
        Brought("no. 2 veil", "design", at_least("trace_speed", 4.0), "why", "prior"),
        Brought("no. 2 veil", "for", at_least("set_up", 4.0), "why", "prior"),
    )
    return with_practice(
        at_least("hardness", 40.0),
        at_most("cost", 9.0),
        shares=(at_most(DOTTED, 30.0, "fat"), exactly("butters", 0.0, "kind")),
        additives=(at_most("sodium lactate", 2.0, "additive"),),
        liquids=(at_most("goat milk", 50.0, "liquid"),),
        free_from=("palm",),
        fat_count=(at_most("number of fats", 4.0, "count"), at_least("each fat", 4.0, "count")._replace(unit="%")),
        practice=(PracticeChange("waxes", (at_most("waxes", 3.0, "kind"),), SPAN),),
        prefer=((at_least("mildness", 60.0),),),
        brought=brought,
        batch=Batch(fats_kg=1.0),
    )


DOTTED = "no. 2 olive oil v1.5"


def test_model_and_judge_know_a_wish_by_the_same_id() -> None:
    """Of every kind of wish, names with dots among them, the rows and the judge have the same id."""
    shelf = shelf_of({"olive oil": 7.0, "coconut oil": 3.0}, extra={"sodium lactate": 9.0}, stock={"olive oil": 2.0})
    own = shelf.fats[0]._replace(fat=shelf.fats[0].fat._replace(name=DOTTED))
    made = build(every_kind(), shelf._replace(fats=(own, shelf.fats[1])))
    judged = {wish.id for wish in wishes(every_kind(), (DOTTED, "coconut oil"))}
    judged |= {WishId(Section.FREE_FROM, "palm", MOST)}
    judged |= {limit.wish(Section.FATS) for limit in every_kind().fat_count}
    assert set(made.members) - {WishId(Section.STOCK, DOTTED, MOST)} <= judged
    texts = {str(wish) for wish in made.members}
    assert {f"shares.{DOTTED}.at_most", f"stock.{DOTTED}", "design.no. 2 veil.trace_speed.at_least"} <= texts
    assert len(texts) == len(made.members)
    others = {
        Origin.PHYSICS,
        Origin.PREFERENCE,
        Origin.BUYING,
    }  # no wishes, and one for a shelf on which something is bought
    assert {wish.origin for wish in made.members} == set(Origin) - others


# -- words ---------------------------------------------------------------------------------------------------------


def read(folder: Path, text: str) -> GoalSheet:
    """A goal file of this text."""
    path = folder / "bar.yaml"
    path.write_text(text, encoding="utf-8")
    return read_goals(path)


def told(said: Said) -> tuple[str, str, str, str]:
    """The words in JSON, in a table, in a sentence, and of both sides at once."""
    every = (str(said), words.without_house(said), words.in_sentence(said), words.both_sides(said))
    return tuple(text.replace(words.GLUE, " ") for text in every)  # type: ignore[return-value]


@pytest.mark.parametrize(
    ("text", "plain", "in_table", "whole"),
    [
        ("hardness: {at_least: 45}", *["hardness at least 45"] * 3),
        ("superfat: 5 %", *["superfat exactly 5 %"] * 3),
        ("cost: {at_most: 6.40 / kg}", *["cost at most 6.40 / kg"] * 3),
        (
            "trace_speed: very slow",
            "trace speed very slow (at most 25)",
            "trace speed very slow (at most 25)",
            "trace speed very slow",
        ),
        ("trace_speed: {at_most: slow}", *["trace speed at most slow (33)"] * 3),
    ],
)
def test_words_of_the_makers_own(tmp_path: Path, text: str, plain: str, in_table: str, whole: str) -> None:
    """One side of a wish is told as it was written; a word alone is told with what it means, but not of both sides."""
    (limit,) = read(tmp_path, f"goals: {{{text}}}\n").goals
    assert told(limit.said) == (plain, in_table, in_table, whole)


@pytest.mark.parametrize(
    ("ends", "least", "most", "whole"),
    [
        ("[60, 70]", "hardness at least 60", "hardness at most 70", "hardness between 60 and 70"),
        (
            "[medium, 70]",
            "hardness between medium (48) and 70 (at least medium (48))",
            "hardness at most 70",
            "hardness between medium (48) and 70",
        ),
    ],
)
def test_words_of_both_ends(tmp_path: Path, ends: str, least: str, most: str, whole: str) -> None:
    """Where a maker wrote both ends the parts know the other one; an end in a word is told with both."""
    low, high = (limit.said for limit in read(tmp_path, f"goals: {{hardness: {{between: {ends}}}}}\n").goals)
    assert low.between == high.between
    assert (words.one_side(low), words.one_side(high)) == (least, most)
    assert str(high) == f"{whole} (at most 70)"
    assert words.both_sides(high) == whole


def test_words_of_counts_exclusions_and_additives(tmp_path: Path) -> None:
    """Numbers of fats, the smallest share, a tag left out, and the usual most of an additive."""
    sheet = read(
        tmp_path, "fats: {at_most: 6, each_at_least: 4 %}\nfree_from: [palm]\nadditives: {kaolin: {at_least: 1 %}}\n"
    )
    most, each = (limit.said for limit in sheet.fat_count)
    assert (told(most)[0], told(each)[2]) == ("number of fats at most 6", "each fat at least 4 %")
    assert set(told(sheet.free_from[0].said)) == {"free from palm"}
    (usual,) = [limit.said for limit in sheet.additives if limit.side == MOST]
    assert str(usual) == f"kaolin at most {usual.figure} (as is usual, for want of a word)"


@pytest.mark.parametrize(
    ("said", "plain", "in_table", "in_sentence"),
    [
        (
            Said("castor oil", MOST, "10 %", whose=Whose.HOUSE),
            "house practice: castor oil at most 10 %",
            "castor oil at most 10 %",
            "the house rule of castor oil at most 10 %",
        ),
        (
            Said("no. 2: olive oil", MOST, "2 kg", whose=Whose.STOCK),
            "no. 2: olive oil in stock: 2 kg",
            "no. 2: olive oil in stock: 2 kg",
            "only 2 kg of no. 2: olive oil in stock",
        ),
        (
            Said("superfat", LEAST, "4 %", between=("4 %", "6 %"), whose=Whose.DESIGN, owner="fine swirl"),
            "design fine swirl: superfat between 4 % and 6 % (at least 4 %)",
            "design fine swirl: superfat at least 4 %",
            "design fine swirl: superfat at least 4 %",
        ),
        (
            Said("superfat", MOST, "6 %", whose=Whose.FOR, owner="mature skin"),
            *["for mature skin: superfat at most 6 %"] * 3,
        ),
        (
            Said("set-up", MOST, "24 h", meaning="at least 38.3 on your scale"),
            *["set-up at most 24 h (set-up at least 38.3 on your scale)"] * 3,
        ),
        (
            Said("trace speed", LEAST, "9 min", between=("9 min", "20 min"), meaning="at most 33 on your scale"),
            "trace speed between 9 min and 20 min (at most 33 on your scale)",
            *["trace speed at most 33 on your scale"] * 2,
        ),
    ],
)
def test_words_of_whoever_asks(said: Said, plain: str, in_table: str, in_sentence: str) -> None:
    """House practice, stock and designs are told as whose they are; a figure in a unit of one's own as what it means."""
    assert told(said)[:3] == (plain, in_table, in_sentence)


def test_rules_are_told_without_the_side_in_their_name() -> None:
    """A rule whose name ends with its side is not told "at least at least"."""
    for rule in rules():
        said = as_limit(rule).said
        assert said.whose == Whose.HOUSE
        none = rule.side == Side.AT_MOST and rule.value == 0.0
        assert str(said).count(rule.side.words) == 1, rule.name
        assert words.one_side(said).startswith(f"no {rule.words}" if none else rule.words)


def test_a_designs_words_name_it_and_its_parts_stay(tmp_path: Path) -> None:
    """A design's limit keeps its own parts and knows who asks."""
    sheet = read(tmp_path, "design: fine swirl\n")
    for item in sheet.brought:
        said = item.limit.said
        assert (said.whose, said.owner) == (Whose.DESIGN, "fine swirl")
        assert str(said) == f"design fine swirl: {said._replace(whose=Whose.OWN, owner='')}"


def test_no_two_wishes_of_a_judged_recipe_share_an_id() -> None:
    """What one wish is known by no other is: all verdicts have ids of their own."""
    recipe = recipe_at({"olive oil": 60.0, "coconut oil": 40.0}, extra={"sodium lactate": 1.0})
    found = [item.id for item in verdicts(every_kind(), recipe, judge(recipe))]
    assert len(found) == len(set(found)) > len(Section) - 3


def test_a_limit_is_known_by_its_section() -> None:
    """The same limit under two sections is two wishes."""
    limit: Limit = at_least("hardness", 40.0)
    for one, other in product(Section, Section):
        assert (limit.wish(one) == limit.wish(other)) is (one == other)
