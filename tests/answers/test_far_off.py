"""Answers that are bars on paper alone say so first, with what brings a bar back; designs that clash offer one of the two."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest

from optimiser.answers.asked import read_question
from optimiser.answers.blend import answer, answered
from optimiser.answers.results import Blend, Concession, NoBlend
from optimiser.report.json import documents as data
from optimiser.report.terminal import text

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
HARD = """\
goals:
  hardness: {at_least: 58}
  rancidity: {at_most: 1.5}
  trace_speed: {at_most: 36}
  set_up: {at_least: 50}
  quick_lather: {at_least: 50}
  lye_concentration: {between: [25 %, 40 %]}
"""
Told = Callable[[str], Blend | NoBlend]


@pytest.fixture
def told(tmp_path: Path) -> Told:
    """The answer to a goal file's text over the demo shelf."""

    def made(written: str) -> Blend | NoBlend:
        path = tmp_path / "bar.yaml"
        path.write_text(textwrap.dedent(written), encoding="utf-8")
        return answer(path, SHELF)

    return made


def lines_of(way: Concession) -> list[str]:
    """The lines to write for a way."""
    return [change.paste for change in way.changes]


def test_a_bar_that_nobody_pours_says_so_at_the_top(told: Told) -> None:
    """A sixth of wax is told before the title, with one or two wishes and the lines which bring every house rule back."""
    story = told(HARD)
    assert isinstance(story, Blend)
    (house,) = story.far_off
    assert house.whom == ""
    assert house.missed[0].rule == "practice.waxes.at_most"
    assert house.ways
    assert all(len(way.changes) <= 2 for way in house.ways)
    page = text.blend(story, 100)
    assert page.startswith("! Nobody would pour this: ")
    assert page.index("What brings every rule back:") < page.index("Stood aside:")
    for way in house.ways:
        assert all(line in page for line in lines_of(way))
    (part,) = data.blend(story)["far_off"]
    assert part["whom"] is None
    assert part["missed"][0] == "practice.waxes.at_most"
    assert [change["paste"] for change in part["ways_back"][0]["change"]] == lines_of(house.ways[0])


def test_the_lines_bring_the_rules_back(told: Told) -> None:
    """Written into the file, the lines of the first way leave no rule aside, at the cost that was told."""
    story = told(HARD)
    assert isinstance(story, Blend)
    way = story.far_off[0].ways[0]
    kept = HARD.splitlines()
    for line in lines_of(way):
        key = line.partition(":")[0]
        kept = [f"  {line}" if known.strip().startswith(f"{key}:") else known for known in kept]
    again = told("\n".join(kept) + "\n")
    assert isinstance(again, Blend)
    assert not again.far_off
    assert not [item for item in again.stood_aside if item.at is not None]
    assert again.cost.per_kg == pytest.approx(way.cost_per_kg, rel=1e-3)


@pytest.mark.parametrize(
    "written",
    [
        "shares: {olive oil: 100 %}\n",
        "shares: {coconut oil: {at_least: 80 %}}\ngoals: {superfat: 1 %}\n",
        "goals: {cost: {at_most: 1.90 / kg}, hardness: {at_least: 55}}\n",
        "goals: {hardness: {at_least: 60}}\n",
    ],
)
def test_what_the_maker_names_and_a_little_off_is_no_alarm(told: Told, written: str) -> None:
    """An all-olive bar, a coconut bar, and a cheap bar a little off the house's rules are bars: nothing loud is said."""
    story = told(written)
    assert isinstance(story, Blend)
    assert not story.far_off
    assert "Nobody would pour" not in text.blend(story, 100)
    assert data.blend(story)["far_off"] == []


def test_scarce_money_says_what_it_lost(told: Told) -> None:
    """A bar for mature skin without its butters and fine oils says so, and the cost told is the least at which it has them."""
    story = told("for: mature skin\ngoals: {cost: {at_most: 2.2 / kg}}\n")
    assert isinstance(story, Blend)
    (whom,) = story.far_off
    assert whom.whom == "mature skin"
    assert {"for.mature skin.fine.at_least", "for.mature skin.butters.at_least"} <= {item.rule for item in whom.missed}
    free = told("for: mature skin\n")
    assert isinstance(free, Blend)
    assert whom.cost_per_kg == pytest.approx(free.cost.per_kg, rel=1e-6)
    page = text.blend(story, 100)
    assert page.startswith("! For mature skin is not met: fine oils at least 10 %")
    assert " ".join(page.split("\n\n")[0].split()).count("for mature skin:") == 0
    assert "With 3.15 EUR / kg it would be." in " ".join(page.split())
    assert data.blend(story)["far_off"][0]["cost_per_kg"] == pytest.approx(free.cost.per_kg, rel=1e-4)


def test_whom_a_little_off_is_no_alarm(told: Told) -> None:
    """A point or two off one of its limits is told under what stood aside, and no louder."""
    story = told("for: mature skin\ngoals: {cost: {at_most: 3.0 / kg}}\n")
    assert isinstance(story, Blend)
    assert story.stood_aside
    assert not story.far_off


def test_two_whom_a_bar_cannot_be_for_offer_one(told: Told) -> None:
    """A laundry bar for mature skin is neither: the answer says so, and offers each alone with its line and its cost."""
    story = told("for: [mature skin, laundry]\n")
    assert isinstance(story, Blend)
    ways = story.far_off[0].ways
    assert [lines_of(way) for way in ways] == [["for: laundry"], ["for: mature skin"]]
    for way in ways:
        alone = told(f"{lines_of(way)[0]}\n")
        assert isinstance(alone, Blend)
        assert alone.cost.per_kg == pytest.approx(way.cost_per_kg, rel=1e-6)
    assert "leave out for mature skin" in " ".join(text.blend(story, 100).split())


def test_designs_that_clash_offer_one_of_the_two_first(told: Told) -> None:
    """Straight layers and a fine swirl cannot be one bar: to keep one of them leads, each as one line with its cost."""
    story = told("design: [straight layers, fine swirl]\n")
    assert isinstance(story, NoBlend)
    first = story.concessions[:2]
    assert {lines_of(way)[0] for way in first} == {"design: straight layers", "design: fine swirl"}
    for way in first:
        alone = told(f"{lines_of(way)[0]}\n")
        assert isinstance(alone, Blend)
        assert alone.cost.per_kg == pytest.approx(way.cost_per_kg, rel=1e-6)
    page = text.no_blend(story, 100)
    assert page.index("a. leave out design") < page.index("write  design:") < page.index("b. leave out design")
    told_ways = page[: page.index("Clash 1")].count("under goals:") + page[: page.index("Clash 1")].count(
        "under shares:"
    )
    assert told_ways <= 4, "patchworks of many lines wait for --full"
    change = data.no_blend(story)["concessions"][0]["change"][0]
    assert change["id"] in ("design.fine swirl", "design.straight layers")


@pytest.mark.parametrize(
    ("goals", "offered"),
    [
        ("goals: {hardness: {at_least: 75}, quick_lather: {at_least: 60}}\n", True),
        ("shares: {beeswax: {at_least: 4 %}, castor oil: {at_least: 10 %}}\n", True),
    ],
)
def test_a_lone_design_may_be_left_out(told: Told, goals: str, *, offered: bool) -> None:
    """Where a design stands against the maker's own goals its line may go too, after what one figure does."""
    story = told(f"design: fine swirl\n{goals}")
    assert isinstance(story, NoBlend)
    assert any(way.changes[0].id.key == "" for way in story.concessions) == offered
    assert ("take out its line, design: fine swirl" in " ".join(text.no_blend(story, 100).split())) == offered


def test_a_clash_says_to_what_each_line_would_have_to_give_way(told: Told) -> None:
    """Two limits on one figure are told apart: each with the figure to which it alone would have to move."""
    story = told("design: [straight layers, fine swirl]\n")
    assert isinstance(story, NoBlend)
    page = text.no_blend(story, 100)
    assert "One of these must give way, as far as this at least (a way out may ask more):" in page
    assert "design straight layers: lye concentration at least 32 %, to 31.0 % or less" in page
    assert "design fine swirl: lye concentration at most 31 %, to 32.0 % or more" in page
    assert "at best" not in page


def test_what_one_wish_holds_back_is_told_in_one_line(told: Told) -> None:
    """Three levers against ash that one goal stands in the way of are one line of the page."""
    story = told(HARD)
    assert isinstance(story, Blend)
    page = text.blend(story, 100)
    assert page.count("Held back by trace speed at most 36:") == 1
    assert "points less); pour at 45" in " ".join(page.split())


def test_what_each_lacks_is_told_where_two_clash(told: Told) -> None:
    """Where oily and mature skin cannot both be had, the head tells what either of them misses."""
    story = told("for: [oily skin, mature skin]")
    assert isinstance(story, Blend)
    assert {one.whom for one in story.far_off} == {"mature skin", "oily skin"}
    assert all(one.missed for one in story.far_off)
    page = text.blend(story, 100)
    assert "For oily skin is not met: " in page
    assert "For mature skin is not met: " in page


def test_more_designs_than_one_are_left_out_where_they_must_be(told: Told) -> None:
    """Of four designs of which no three go together, what can be kept is offered, and the line opens a blend."""
    story = told("design: [salt bar, shaving bar, piped top, embeds]")
    assert isinstance(story, NoBlend)
    keeping = [way for way in story.concessions if not way.changes[0].id.key]
    assert "design: [piped top, embeds]" in lines_of(keeping[0])
    assert [change.id.within for change in keeping[0].changes] == ["salt bar", "shaving bar"]
    for way in keeping:
        (line,) = [line for line in lines_of(way) if line]
        other = told(line)
        assert isinstance(other, Blend)
        assert other.cost.per_kg == pytest.approx(way.cost_per_kg, abs=0.006)


def test_the_lye_moves_before_a_bar_is_wrecked(told: Told) -> None:
    """A very slow trace takes more water (common practice, no source), and the rules of the house all stand."""
    story = told("goals: {trace_speed: very slow}")
    assert isinstance(story, Blend)
    assert not story.far_off
    assert [item.rule for item in story.stood_aside] == ["practice.lye concentration.exactly"]
    named = told("goals: {trace_speed: very slow, lye_concentration: 28 %}")
    assert isinstance(named, Blend)
    assert story.cost.per_kg <= named.cost.per_kg + 1e-6
    assert story.alkali.superfat_likely_low >= 0.0


def test_a_slower_batter_never_costs_less_once_rules_are_far_off(told: Told) -> None:
    """The further trace speed is pushed beyond what the house allows, the dearer the bar, and the way back is one."""
    stories = [told(f"goals: {{trace_speed: {{at_most: {most}}}}}") for most in (20, 18, 16)]
    prices = [story.cost.per_kg for story in stories if isinstance(story, Blend)]
    assert len(prices) == len(stories)
    assert prices == sorted(prices)
    last = stories[-1]
    assert isinstance(last, Blend)
    ways = [way for one in last.far_off for way in one.ways]
    assert ways
    for way in ways:
        back = told(f"goals: {{{lines_of(way)[0]}}}")
        assert isinstance(back, Blend)
        assert {item.rule for item in back.stood_aside} <= set(way.eases) == {"practice.lye concentration.exactly"}


def test_a_free_acid_that_eats_alkali_moves_the_superfat_and_not_the_floor(told: Told) -> None:
    """15 % of citric acid: the superfat of the house's own goes up until ordinary lots leave no free alkali."""
    story = told("additives: {citric acid: 15 %}")
    assert isinstance(story, Blend)
    assert story.alkali.superfat_likely_low >= -1e-6
    assert story.alkali.superfat > 5.1
    assert "superfat 5.8 % instead of the usual 5 %" in " ".join(text.blend(story, 100).split())


def test_of_a_share_of_a_plan_no_ways_are_worked_out(tmp_path: Path) -> None:
    """With what other bars of a plan leave, no stock and no line is told as a way back: the bar's own answer tells that."""
    path = tmp_path / "bar.yaml"
    path.write_text(HARD, encoding="utf-8")
    question = read_question(path, SHELF)
    stocked = tuple(item._replace(stock_kg=40.0) for item in question.shelf.fats)
    story = answered(question._replace(shelf=question.shelf._replace(fats=stocked, is_share=True))).story
    assert isinstance(story, Blend)
    (house,) = story.far_off
    assert (house.of_share, house.ways) == (True, ())
    page = text.blend(story, 100)
    assert "with what the other bars leave" in page
    assert "What brings every rule back" not in page
    assert "barwright blend" in page
    assert " in stock" not in page
