"""The line to paste: it is read back as the very change that it stands for."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import pytest
import yaml
from strategies import SPAN, at_least, at_most, exactly, limit, sheet_of, shelf_of, wish_id, with_practice

from optimiser.answers.edit_lines import figure, of_designs, paste, sides
from optimiser.files.goals import read_goals
from optimiser.model.programme import build
from optimiser.problem.designs import Brought
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.limits import Limit
from optimiser.problem.wishes import Section, WishId

SHELF = shelf_of(
    {"palm oil": 2.0, "olive oil": 7.0, "castor oil": 5.0}, extra={"sodium lactate": 9.0}, stock={"olive oil": 0.5}
)


def pasted(
    sheet: GoalSheet, member: WishId, value: float, others: Mapping[WishId, float] = MappingProxyType({})
) -> tuple[str, str]:
    """Where and what, for one wish of a sheet, and other wishes that move along."""
    made = build(sheet, SHELF)
    return paste(sheet, made, made.row_of(member), dict(others) | {member: value})


@pytest.mark.parametrize(
    ("wish", "value", "line"),
    [
        (at_least("hardness", 60.0), 51.3, "hardness: {at_least: 51.3}"),
        (exactly("hardness", 60.0), 51.3, "hardness: 51.3"),
        (at_most("superfat", 6.0), 7.0, "superfat: {at_most: 7 %}"),
        (at_most("rancidity", 1.5), 1.62, "rancidity: {at_most: 1.62}"),
        (at_most("water_to_alkali", 2.0), 2.35, "water_to_alkali: {at_most: 2.35}"),
        (at_least("saponification_value", 250.0), 187.4, "saponification_value: {at_least: 187.4}"),
        (at_least("C18:1", 90.0), 44.1, "C18:1: {at_least: 44.1 %}"),
        (limit("cost", "at_most", 3.0, per="kg"), 3.5, "cost: {at_most: 3.50 / kg}"),
        (limit("cost", "at_most", 0.3, per="bar"), 0.41, "cost: {at_most: 0.41 / bar}"),
        (limit("cost", "at_most", 0.3, per="lb"), 0.3125, "cost: {at_most: 0.3125 / lb}"),
    ],
)
def test_a_goal_and_its_line(tmp_path: Path, wish: Limit, value: float, line: str) -> None:
    """A goal moves in its own unit, and the file that holds the line asks for just that figure."""
    assert pasted(sheet_of(wish), wish_id(f"goals.{wish.key}.{wish.side}"), value) == ("goals", line)
    path = tmp_path / "bar.yaml"
    path.write_text(f"goals:\n  {line}\n", encoding="utf-8")
    (read,) = read_goals(path).goals
    assert (read.key, read.side, read.per) == (wish.key, wish.side, wish.per)
    assert read.value == pytest.approx(value, abs=1e-12)


def test_the_other_side_is_kept() -> None:
    """Of a wish with two sides the one that does not move is written as it was, with all its digits."""
    both = sheet_of(limit("cost", "at_least", 2.505, per="kg"), limit("cost", "at_most", 3.0, per="kg"))
    assert pasted(both, wish_id("goals.cost.at_most"), 3.5)[1] == "cost: {at_least: 2.505 / kg, at_most: 3.50 / kg}"
    share = sheet_of(shares=(at_least("castor oil", 4.0, "fat"), at_most("castor oil", 8.0, "fat")))
    assert pasted(share, wish_id("shares.castor oil.at_least"), 2.5) == (
        "shares",
        "castor oil: {at_least: 2.5 %, at_most: 8 %}",
    )


def test_two_sides_that_move_share_a_line() -> None:
    """Where both sides of a wish move, the line of either holds both new figures."""
    sheet = sheet_of(shares=(at_least("castor oil", 4.0, "fat"), at_most("castor oil", 8.0, "fat")))
    moved = {wish_id("shares.castor oil.at_least"): 2.0, wish_id("shares.castor oil.at_most"): 9.0}
    lines = {pasted(sheet, member, value, moved)[1] for member, value in moved.items()}
    assert lines == {"castor oil: {at_least: 2 %, at_most: 9 %}"}


def test_an_exclusion_becomes_a_share() -> None:
    """A tag let in stands under shares, beside what was asked of it there; an exact share says it all."""
    free = sheet_of(free_from=("palm",))
    assert pasted(free, wish_id("free_from.palm"), 12.4) == (
        "shares, with palm taken out of free_from",
        "palm: {at_most: 12.4 %}",
    )
    asked = free._replace(shares=(at_least("palm", 10.0, "tag"),))
    assert pasted(asked, wish_id("free_from.palm"), 12.0)[1] == "palm: {at_least: 10 %, at_most: 12 %}"
    both = pasted(asked, wish_id("shares.palm.at_least"), 5.0, {wish_id("free_from.palm"): 5.0})[1]
    assert both == "palm: {at_least: 5 %, at_most: 5 %}"
    exact = free._replace(shares=(exactly("palm", 10.0, "tag"),))
    assert pasted(exact, wish_id("free_from.palm"), 10.0)[1] == "palm: 10 %"


def test_stock_and_practice_and_additives() -> None:
    """A stock belongs on the shelf, a rule under practice by its name, an additive under additives."""
    assert pasted(sheet_of(), wish_id("stock.olive oil"), 12345.67) == ("the shelf", "stock: 12345.67 kg")
    rules = with_practice()
    assert pasted(rules, wish_id("practice.castor oil.at_most"), 20.0) == ("practice", "castor oil: {at_most: 20 %}")
    named = pasted(rules, wish_id("practice.short saturated acids at least.at_least"), 8.0)
    assert named == ("practice", "short saturated acids at least: {at_least: 8 %}")
    lactate = sheet_of(additives=(at_least("sodium lactate", 2.0, "additive"),))
    assert pasted(lactate, wish_id("additives.sodium lactate.at_least"), 1.0)[0] == "additives"


@pytest.mark.parametrize(
    ("unit", "value", "line"),
    [
        ("g", 31.25, "sodium lactate: 31.25 g"),
        ("g/kg", 12.5, "sodium lactate: 12.5 g/kg"),
        ("%", 2.5, "sodium lactate: 2.5 %"),
    ],
)
def test_an_amount_is_pasted_in_its_own_unit(tmp_path: Path, unit: str, value: float, line: str) -> None:
    """Grams stay grams, and the file that holds the line asks for just that."""
    wish = exactly("sodium lactate", 1.0, "additive")._replace(unit=unit)
    told = pasted(sheet_of(additives=(wish,)), WishId(Section.ADDITIVES, wish.key, wish.side), value)
    assert told == ("additives", line)
    path = tmp_path / "bar.yaml"
    path.write_text(f"additives:\n  {line}\n", encoding="utf-8")
    (read,) = read_goals(path).additives
    assert (read.unit, read.value) == (unit, value)


def test_a_liquid_is_pasted_where_liquids_stand() -> None:
    """A share of what stands for the water moves under `liquids`."""
    wish = at_most("goat milk", 40.0, "liquid")
    told = pasted(sheet_of(liquids=(wish,)), WishId(Section.LIQUIDS, wish.key, wish.side), 55.0)
    assert told == ("liquids", "goat milk: {at_most: 55 %}")


def test_a_rule_under_practice_off_becomes_a_goal() -> None:
    """A line under practice would switch every other rule on again."""
    assert pasted(sheet_of(), wish_id("practice.superfat.exactly"), 3.0) == ("goals", "superfat: 3 %")


def test_an_overruled_rule_keeps_its_other_side() -> None:
    """A maker's own range for a rule of the house moves on one side only."""
    own = PracticeChange("castor oil", (at_least("castor oil", 5.0, "fat"), at_most("castor oil", 12.0, "fat")), SPAN)
    sheet = with_practice(practice=(own,))
    line = pasted(sheet, wish_id("practice.castor oil.at_most"), 15.0)[1]
    assert line == "castor oil: {at_least: 5 %, at_most: 15 %}"


def test_counts_stand_in_one_line() -> None:
    """Everything under fats is one line, as moved."""
    each = at_least("each fat", 4.0, "count")._replace(unit="%")
    sheet = sheet_of(fat_count=(at_most("number of fats", 2.0, "count"), each))
    where, line = pasted(sheet, wish_id("fats.at_most"), 3.0, {wish_id("fats.each_at_least"): 2.5})
    assert where == "fats"
    assert yaml.safe_load(line) == {"fats": {"at_most": 3, "each_at_least": "2.5 %"}}


@pytest.mark.parametrize("value", [1e-6, 0.1, 1 / 3, 66.6, 1234567.89, 100.0])
def test_no_digit_is_lost(value: float) -> None:
    """A figure is written to the millionth, never in powers of ten."""
    made = build(sheet_of(at_least("hardness", 60.0)), SHELF)
    text = figure(made.row_of(wish_id("goals.hardness.at_least")), value)
    assert "e" not in text
    assert float(text) == pytest.approx(value, abs=1e-6)


def brought(design: str, wish: Limit) -> Brought:
    """A limit as a design brings it."""
    return Brought(design, "design", wish, "the picture asks for it", "prior")


def test_a_designs_bare_figure_is_pasted_as_it_was_or_as_moved() -> None:
    """Of two designs that ask a bare figure of one key the maker writes one: the higher, and as it was if it stays."""
    sheet = sheet_of(
        brought=(brought("one", exactly("trace_speed", 30.0)), brought("two", exactly("trace_speed", 32.0)))
    )
    assert pasted(sheet, wish_id("design.one.trace_speed.exactly"), 31.0) == ("goals", "trace_speed: 32")
    assert pasted(sheet, wish_id("design.two.trace_speed.exactly"), 31.0) == ("goals", "trace_speed: 31")
    assert pasted(sheet, wish_id("design.one.trace_speed.exactly"), 34.0) == ("goals", "trace_speed: 34")


def test_a_designs_range_keeps_its_strictest_sides() -> None:
    """Naming a key puts every design aside, so the line holds the strictest of what they ask, one side moved."""
    both = (
        *(brought("one", at_least("superfat", 4.0)), brought("one", at_most("superfat", 7.0))),
        *(brought("two", at_least("superfat", 3.0)), brought("two", at_most("superfat", 6.0))),
    )
    line = pasted(sheet_of(brought=both), wish_id("design.one.superfat.at_least"), 3.5)
    assert line == ("goals", "superfat: {at_least: 3.5 %, at_most: 6 %}")
    share = sheet_of(brought=(brought("one", at_most("butters", 5.0, "kind")),))
    assert pasted(share, wish_id("design.one.butters.at_most"), 8.0) == ("shares", "butters: {at_most: 8 %}")


def test_a_bare_measure_beside_a_move_is_pasted_whole() -> None:
    """The bare figure of a measure, which is two rows, is written as the one figure that the maker wrote."""
    sheet = sheet_of(exactly("hardness", 60.0))
    made = build(sheet, SHELF)
    assert sides(made, wish_id("goals.hardness.exactly"), {}) == {"exactly": "60"}


def test_an_exact_figure_of_a_design_is_pasted_as_it_is() -> None:
    """A design's exact index stands for a band of two rows; the line to paste holds the figure in its middle, once."""
    wish = Brought("slab", "design", exactly("hardness", 44.0), "because", "prior")
    made = build(sheet_of(brought=(wish,)), SHELF)
    (member,) = [name for name in made.members if name.section == Section.DESIGN]
    assert paste(sheet_of(brought=(wish,)), made, made.row_of(member), {member: 41.5}) == ("goals", "hardness: 41.5")
    assert (
        paste(
            sheet_of(brought=(wish,)),
            made,
            made.row_of(member),
            {wish_id("goals.trace_speed.at_most"): 1.0, member: 44.0},
        )[1]
        == "hardness: 44"
    )
    assert of_designs(made, made.row_of(member), {}) == "44"
