"""Rules of the house that gave way, as an answer tells them."""

from __future__ import annotations

from pathlib import Path

import pytest
from strategies import at_least, at_most, shelf_of, with_practice

from optimiser.analysis.giving_way import GaveWay
from optimiser.answers.blend import answer, answer_for
from optimiser.answers.results import Blend, NoBlend
from optimiser.answers.stood_aside import of_several, to_pinches, why_of
from optimiser.measures.sides import Side
from optimiser.problem.limits import Limit
from optimiser.problem.wishes import Said, Section, WishId
from optimiser.report.json import documents as data
from optimiser.report.terminal import text

KITTIWAKE = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})


@pytest.mark.parametrize(
    ("wish", "at_end"),
    [(at_most("worst_case_superfat", -1.0), "low"), (at_least("worst_case_superfat", 7.0), "high")],
)
def test_an_exact_rule_is_told_to_stand_where_it_was_moved_to(wish: Limit, at_end: str) -> None:
    """A superfat that gives way downwards is told at the low end, one that does upwards at the high end: as the bar has it."""
    story = answer_for(with_practice(wish), SHELF)
    assert isinstance(story, Blend)
    told = {item.rule: item.at for item in story.stood_aside}
    stands = told["practice.superfat.exactly"]
    assert stands is not None
    assert (stands < 5.0) == (at_end == "low")
    assert stands == pytest.approx(story.alkali.superfat, abs=0.11)


def test_a_pinch_that_is_left_is_told() -> None:
    """A fat of a fifth of a per cent that could not be tidied away is told with why; one that the maker names is not."""
    story = answer_for(with_practice(), SHELF)
    assert isinstance(story, Blend)
    assert not list(to_pinches(with_practice(), story.recipe))
    castor = next(item.fat for item in SHELF.fats if item.fat.name == "castor oil")
    others = [(fat, weight) for fat, weight in story.recipe.fats if fat.name != "castor oil"]
    whole = sum(weight for _, weight in others)
    recipe = story.recipe._replace(fats=(*others, (castor, whole * 0.002 / 0.998)))
    (told,) = to_pinches(with_practice(), recipe)
    assert (told.rule, str(told.said)) == ("pinches", "no pinches")
    assert told.why.startswith("0.2 % castor oil is left, since without it, or with 3 % of it, no blend found")
    named = with_practice()._replace(shares=(at_least("castor oil", 0.2, "fat"),))
    assert not list(to_pinches(named, recipe))


@pytest.mark.parametrize(("number", "more"), [(4, " and d at least 1"), (5, ", d at least 1 and 1 more")])
def test_four_culprits_are_named(number: int, more: str) -> None:
    """Up to four wishes that leave a rule no room are named; of more than that the number of the rest."""
    against = tuple(
        (WishId(Section.GOALS, name, Side.AT_LEAST), Said(name, Side.AT_LEAST, "1")) for name in "abcdefg"[:number]
    )
    why = why_of(GaveWay(against[0][0], against[0][1], "", 1.0, against))
    named = "a at least 1, b at least 1, c at least 1"
    assert why == f"{named}{more} leave no room for it"


def test_a_makers_own_pinch_that_is_left_is_the_makers(tmp_path: Path) -> None:
    """`pinches: 20 %` that cannot be kept is told as the maker's own wish, with the line that asks it for certain."""
    path = tmp_path / "bar.yaml"
    goals = "goals: {rancidity: {at_most: 1.2}, hardness: {at_least: 60}, quick_lather: {at_least: 46}, mildness: {at_least: 66}}\n"
    path.write_text(f"practice: {{pinches: 20 %}}\n{goals}", encoding="utf-8")
    story = answer(path, KITTIWAKE)
    assert isinstance(story, Blend)
    (told,) = [item for item in story.stood_aside if item.rule == "pinches"]
    assert told.own
    assert str(told.said) == "pinches at least 20 %"
    page = " ".join(text.blend(story, 100).split())
    assert "Not kept, though you ask it: pinches at least 20 %." in page
    assert "fats: {each_at_least: 20 %}" in page
    assert "Stood aside: no pinches" not in page
    assert [item["own"] for item in data.blend(story)["stood_aside"] if item["rule"] == "pinches"] == [True]


@pytest.mark.parametrize(
    ("why", "several"),
    [
        ("olive oil exactly 100 % leaves no room for it", "olive oil exactly 100 % leaves no room for them"),
        ("it is not for a salt bar", "they are not for a salt bar"),
        ("salt exactly 80 % stands in its place", "salt exactly 80 % stands in its place"),
    ],
)
def test_a_reason_of_several_rules_speaks_of_several(why: str, several: str) -> None:
    """What is said of one rule as "it" is said of several as "them"."""
    assert of_several(why) == several


def test_rules_of_one_reason_are_them_on_the_page(tmp_path: Path) -> None:
    """A bar of olive oil alone leaves several rules no room, told in one sentence."""
    path = tmp_path / "goals.yaml"
    path.write_text(f"shelf: {KITTIWAKE}\nshares: {{olive oil: 100 %}}\n", encoding="utf-8")
    story = answer(path)
    assert isinstance(story, Blend)
    told = " ".join(text.blend(story, 100).split())
    assert "leaves no room for them." in told
    assert "no room for it." not in told


def test_designs_that_clash_with_each_other_are_told_on_one_screen(tmp_path: Path) -> None:
    """Two designs that cannot both be are one choice: one clash whole, few in brief, the ways out first."""
    path = tmp_path / "goals.yaml"
    path.write_text(f"shelf: {KITTIWAKE}\ndesign: [fine swirl, chequer of blocks]\n", encoding="utf-8")
    story = answer(path)
    assert isinstance(story, NoBlend)
    page = text.no_blend(story, 100)
    assert len(page.splitlines()) <= 48
    assert page.count("cannot both hold") + page.count("cannot all hold") == 3
    assert "leave out design fine swirl" in page
    assert text.no_blend(story, 100, full=True).count(" hold.") == len(story.clashes) > 3


def test_an_end_of_the_shelf_that_practice_goes_beyond_is_told(tmp_path: Path) -> None:
    """8 % of a scent to which the shelf sets 3 % as its end goes in where the file says so by name, and is told."""
    path = tmp_path / "bar.yaml"
    rest = "batch: {fats: 500 g}\nadditives: {lavender scent: 40 g}\npractice: {lavender scent: 8 %}\n"
    path.write_text(rest, encoding="utf-8")
    story = answer(path, KITTIWAKE)
    assert isinstance(story, Blend)
    (told,) = [item for item in story.stood_aside if item.rule == "lavender scent"]
    assert "lavender scent at most 3 %" in str(told.said)
