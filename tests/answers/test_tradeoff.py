"""A cost curve says what `blend` says of the same file with that one limit rewritten, and where it changes it really does."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

import optimiser
from optimiser.answers.ask_tradeoff import grid, keyed, tradeoff_for
from optimiser.answers.curve_values import Curve, CurveGrid
from optimiser.answers.moved_question import MovedQuestion
from optimiser.answers.results import Blend, NoBlend
from optimiser.files.curve_key import Typed
from optimiser.files.question import read_question
from optimiser.measures.sides import Side
from optimiser.problem.asking import at_least, at_most, exactly, goals_of, shelf_of
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
FILES = (
    ("budget", "hardness", r"hardness: \{at_least: [\d.]+\}", "hardness: {{at_least: {}}}"),
    ("budget", "rancidity", r"rancidity: \{at_most: [\d.]+\}", "rancidity: {{at_most: {}}}"),
    ("palm-free-vegetable", "hardness", r"hardness: \{at_least: [\d.]+\}", "hardness: {{at_least: {}}}"),
    ("palm-free-vegetable", "coconut oil", r"coconut oil: \{at_most: [\d.]+ %\}", "coconut oil: {{at_most: {} %}}"),
    ("mature-skin", "avocado oil", r"avocado oil: \{at_least: [\d.]+ %\}", "avocado oil: {{at_least: {} %}}"),
)


@cache
def curve_of(name: str, of: str, side: str | None = None, start: str | None = None, stop: str | None = None) -> Curve:
    """A curve of a goal file of the tree, asked once in a run."""
    found = optimiser.tradeoff(ROOT / "goals" / f"{name}.yaml", of, side=side, start=start, stop=stop)
    assert isinstance(found, Curve)
    return found


def rewritten(folder: Path, name: str, pattern: str, line: str, value: float) -> Blend | NoBlend:
    """What `blend` says of a goal file with one line rewritten."""
    text = (ROOT / "goals" / f"{name}.yaml").read_text(encoding="utf-8")
    other, number = re.subn(pattern, line.format(repr(value)), text)
    assert number == 1
    path = folder / "goals" / f"{name}.yaml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(other, encoding="utf-8")
    return optimiser.blend(path, ROOT / "inventory" / "kittiwake.yaml")


@pytest.mark.long
@pytest.mark.parametrize(("name", "of", "pattern", "line"), FILES)
def test_a_curve_is_the_file_rewritten(name: str, of: str, pattern: str, line: str, tmp_path: Path) -> None:
    """At 12 limits the curve is what no blend of the rewritten file can be cheaper than, and its blend costs that but for pinches."""
    curve = curve_of(name, of)
    assert curve.exact
    low, high = curve.points[0].limit, curve.points[-1].limit
    for value in np.linspace(low, high, 14)[1:-1].round(6).tolist():
        blend = rewritten(tmp_path, name, pattern, line, value)
        assert isinstance(blend, Blend)
        told = curve.cost_at(value)
        assert blend.proof.cheapest_possible_per_kg == pytest.approx(told, abs=1e-6)
        assert told - 1e-6 <= blend.cost.per_kg <= told * 1.05
        assert blend.stood_aside == () or all(item.at is None for item in blend.stood_aside)


@pytest.mark.long
@pytest.mark.parametrize(("name", "of", "pattern", "line"), FILES[:3])
def test_what_is_told_of_pinches_is_what_blend_answers(
    name: str, of: str, pattern: str, line: str, tmp_path: Path
) -> None:
    """A point says what `blend` answers there: the cost without pinches where it differs, and the curve's own where not."""
    told = [point for point in curve_of(name, of).points if point.breakpoint][:6]
    assert told
    for point in told:
        blend = rewritten(tmp_path, name, pattern, line, round(point.limit, 9))
        assert isinstance(blend, Blend)
        expected = point.cost_per_kg if point.poured is None else point.poured
        assert blend.cost.per_kg == pytest.approx(expected, abs=2e-6)


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "of", "side"),
    [
        ("budget", "hardness", None),
        ("budget", "rancidity", None),
        ("budget", "palm", "at_most"),
        ("budget", "superfat", "at_least"),
        ("fine-swirl", "superfat", "at_least"),
        ("everyday", "hardness", None),
        ("mature-skin", "olive oil", "at_least"),
    ],
)
def test_harder_is_never_cheaper(name: str, of: str, side: str | None) -> None:
    """As long as no rule gives way the cost never falls as the limit gets harder, and a step more never saves."""
    curve = curve_of(name, of, side)
    limits = np.linspace(curve.points[0].limit, curve.points[-1].limit, 200).tolist()
    costs = [curve.cost_at(limit) for limit in (limits if curve.side == Side.AT_LEAST else limits[::-1])]
    assert all(later >= earlier - 1e-9 for earlier, later in pairwise(costs))
    assert all(point.each_more is None or point.each_more >= -1e-9 for point in curve.points)


@pytest.mark.parametrize(
    ("name", "of"), [("budget", "hardness"), ("budget", "rancidity"), ("mature-skin", "avocado oil")]
)
def test_breakpoints_are_breakpoints(name: str, of: str) -> None:
    """On the two sides of each breakpoint other fats are used, or a step of the limit has another price."""
    curve = curve_of(name, of)
    inner = [point for point in curve.points if point.breakpoint]
    assert len(inner) > 3
    width = curve.points[-1].limit - curve.points[0].limit
    for point in inner:
        step = 1e-5 * width
        before = (curve.cost_at(point.limit) - curve.cost_at(point.limit - step)) / step
        after = (curve.cost_at(point.limit + step) - curve.cost_at(point.limit)) / step
        assert point.comes_in or point.goes or abs(after - before) > 1e-6
        assert curve.cost_at(point.limit + 1e-9) == pytest.approx(curve.cost_at(point.limit - 1e-9), abs=1e-6)


def test_every_blend_meets_its_limit() -> None:
    """The blend told at each point of a curve of a share has that share, or more of it where the limit costs nothing."""
    curve = curve_of("mature-skin", "avocado oil")
    assert len(curve.points) > 8
    for point in curve.points:
        shares = dict(point.fats)
        assert shares.get("avocado oil", 0.0) >= point.limit - 1e-6
        assert sum(shares.values()) == pytest.approx(100.0, abs=1e-6)


def test_fats_that_come_in_are_in_from_there_on() -> None:
    """A fat that comes in at a breakpoint is in the blend at the next point, and one that goes is not."""
    curve = curve_of("budget", "hardness")
    pairs = [(one, other) for one, other in pairwise(curve.points) if one.breakpoint]
    assert len(pairs) > 4
    for one, other in pairs:
        if other.breakpoint:  # the next change may undo this one at its very limit
            continue
        used = {name for name, _ in other.fats}
        assert set(one.comes_in) <= used
        assert not set(one.goes) & used


def test_where_rules_give_way_is_told_and_true(tmp_path: Path) -> None:
    """Just before the end nothing gives way, and just beyond it the rule that the curve names does."""
    curve = curve_of("budget", "hardness")
    (end,) = curve.ends
    assert end.why == "rules"
    assert [said.subject for said in end.gives_way] == ["solid fats"]
    _, _, pattern, line = FILES[0]
    before = rewritten(tmp_path, "budget", pattern, line, round(end.limit - 1e-3, 6))
    beyond = rewritten(tmp_path, "budget", pattern, line, round(end.limit + 1e-2, 6))
    assert isinstance(before, Blend)
    assert isinstance(beyond, Blend)
    assert not [item for item in before.stood_aside if item.at is not None]
    assert [item.said.subject for item in beyond.stood_aside if item.at is not None] == ["solid fats"]
    assert end.onward is not None
    assert isinstance(rewritten(tmp_path, "budget", pattern, line, round(end.onward - 0.01, 6)), Blend)
    assert isinstance(rewritten(tmp_path, "budget", pattern, line, round(end.onward + 0.01, 6)), NoBlend)


@pytest.mark.long
def test_past_where_rules_give_way_points_are_answers(tmp_path: Path) -> None:
    """Asked further, the curve is laid through what `blend` proves of the rewritten file, and says that it is laid."""
    curve = curve_of("budget", "hardness", stop="80")
    assert not curve.exact
    _, _, pattern, line = FILES[0]
    answers = [piece.high for piece in curve.pieces if not piece.exact]  # a line goes from one answer to the next
    assert len(answers) >= 5
    for limit in answers[:-1:4]:
        blend = rewritten(tmp_path, "budget", pattern, line, limit)
        assert isinstance(blend, Blend)
        assert blend.proof.cheapest_possible_per_kg == pytest.approx(curve.cost_at(limit), abs=1e-6)
        assert [item.said.subject for item in blend.stood_aside if item.at is not None]


@pytest.mark.long
def test_counted_fats_are_followed_choice_by_choice(tmp_path: Path) -> None:
    """Where fats are counted the curve is what `blend` answers at six limits, and does not claim to be exact."""
    curve = curve_of("everyday", "hardness", None)
    assert curve.is_counted
    assert not curve.exact
    pattern, line = FILES[0][2:]
    for value in np.linspace(60.5, 69.5, 6).round(6).tolist():
        blend = rewritten(tmp_path, "everyday", pattern, line, value)
        assert isinstance(blend, Blend)
        assert blend.cost.per_kg == pytest.approx(curve.cost_at(value), rel=1e-3)


def test_the_spread_of_lots_is_laid() -> None:
    """Where the likely superfat decides no vertex can be followed: the curve is laid through answers and says so."""
    curve = curve_of("oily-skin", "hardness", "at_least", "60", "64")
    assert not curve.exact
    assert not curve.is_counted
    assert {point.exact for point in curve.points} == {False}


def test_a_preference_that_falls_short_is_told() -> None:
    """Where a harder limit leaves a preference unmet the curve says from where on."""
    shelf = shelf_of(
        {"olive oil": 7.4, "coconut oil": 3.1, "beef tallow": 2.0, "castor oil": 5.0}, sodium_hydroxide=2.4
    )
    goals = goals_of(at_least("coconut oil", 5), at_most("castor oil", 5), practice=False)
    goals = goals._replace(prefer=((at_least("olive oil", 60),),))
    curve = tradeoff_for(goals, shelf, "coconut oil")
    assert isinstance(curve, Curve)
    told = [point for point in curve.points if point.gives_way]
    assert len(told) == 1
    assert told[0].limit == pytest.approx(40.0, abs=1e-4)
    assert [str(said) for said in told[0].gives_way] == ["olive oil at least 60 %"]


def test_one_key_in_python_by_hand() -> None:
    """Two fats and a share that moves: the cost is a fraction worked out by hand, and the end is all of one fat."""
    shelf = shelf_of({"olive oil": 8.0, "coconut oil": 3.0}, sodium_hydroxide=0.0)
    goals = goals_of(
        at_least("olive oil", 20), exactly("superfat", 5), exactly("lye_concentration", 33), practice=False
    )
    curve = tradeoff_for(goals, shelf, "olive oil")
    assert isinstance(curve, Curve)
    assert curve.exact
    assert curve.points[-1].limit == pytest.approx(100.0)
    values = {item.fat.name: item.fat.saponification.value for item in shelf.fats}
    for share in (10.0, 37.5, 90.0):
        part = share / 100.0
        demand = part * values["olive oil"] + (1.0 - part) * values["coconut oil"]
        alkali = 0.95 * demand / 56106.0 * 39.997
        cured = (1.0 + alkali) / (1.0 - goals.batch.cured_water)
        assert curve.cost_at(share) == pytest.approx((8.0 * part + 3.0 * (1.0 - part)) / cured, rel=1e-4)


def test_an_exact_figure_has_two_ends() -> None:
    """Of a bare figure the curve goes both ways from where it is cheapest."""
    curve = curve_of("budget", "coconut oil", "at_least")
    assert len(curve.ends) == 1
    shelf = shelf_of({"olive oil": 8.0, "coconut oil": 3.0, "lard": 2.5}, sodium_hydroxide=2.0)
    goals = goals_of(exactly("coconut oil", 30), at_least("olive oil", 10), at_most("lard", 50), practice=False)
    both = tradeoff_for(goals, shelf, "coconut oil")
    assert isinstance(both, Curve)
    assert both.side == Side.EXACTLY
    assert [round(end.limit, 6) for end in both.ends] == [0.0, 90.0]
    assert both.cost_at(10) > both.cost_at(40) < both.cost_at(80)


def test_a_limit_that_never_costs_is_told_flat() -> None:
    """A limit that the cheapest blend meets as far as there is a blend has a flat curve."""
    curve = curve_of("fine-swirl", "coconut oil", "at_most")
    assert curve.exact
    assert curve.points[0].cost_per_kg == pytest.approx(curve.points[-1].cost_per_kg)
    assert [str(said) for said in curve.ends[0].against] == ["coconut oil at least 18 %"]


def test_nothing_from_the_start_is_no_blend() -> None:
    """Goals that clash by themselves, or a first limit beyond all blends, are no curve but the reasons why."""
    path = ROOT / "goals"
    clash = optimiser.tradeoff(path / "cannot-be.yaml", "hardness")
    assert isinstance(clash, NoBlend)
    far = optimiser.tradeoff(path / "budget.yaml", "hardness", start="95")
    assert isinstance(far, NoBlend)
    assert any("hardness at least 95" in str(member.said) for one in far.clashes for member in one)


@pytest.mark.long
def test_a_grid_is_what_the_curves_say() -> None:
    """Where the second limit asks for nothing the grid has the costs of the curve, and every cell is an answer."""
    question = read_question(ROOT / "goals" / "budget.yaml")
    found = grid(question, Typed("hardness"), Typed("mildness"))
    assert isinstance(found, CurveGrid)
    assert [len(row) for row in found.costs] == [8] * 8
    curve = tradeoff_for(question.goals, question.shelf, "hardness")
    assert isinstance(curve, Curve)
    for limit, costs, kept in zip(found.axes[0].limits[1:4], found.costs[1:4], found.as_written[1:4], strict=True):
        assert kept[0]
        assert costs[0] is not None
        assert costs[0] >= curve.cost_at(limit) - 1e-7
    for row in range(8):
        known = [cost for cost, kept in zip(found.costs[row], found.as_written[row], strict=True) if kept and cost]
        assert known == sorted(known)


def test_two_limits_that_are_one_are_refused() -> None:
    """A grid needs two limits."""
    question = read_question(ROOT / "goals" / "budget.yaml")
    with pytest.raises(BadInput, match="same one"):
        grid(question, Typed("hardness"), Typed("hardness"))


def test_a_cost_beyond_the_curve_is_refused() -> None:
    """A curve tells no cost where it does not go."""
    with pytest.raises(ValueError, match="not to 99"):
        curve_of("budget", "hardness").cost_at(99.0)


@pytest.mark.parametrize(
    ("name", "of", "side"), [("budget", "water_to_alkali", "at_least"), ("design-fade", "lye_concentration", "at_most")]
)
def test_a_curve_ends_where_nothing_is_known(name: str, of: str, side: str) -> None:
    """Where a limit asks for a soap of which nobody knows whether it meets the other goals, the curve ends and says so."""
    (end,) = curve_of(name, of, side).ends
    assert end.why == "unknown"
    assert end.limit == pytest.approx(4.0 if of == "water_to_alkali" else 20.0, abs=1e-6)


def test_a_blend_that_owes_to_the_lots_is_laid_on_and_followed_again() -> None:
    """A curve that is first followed and then leans on the spread of lots goes on as answers, and covers its range without a gap."""
    curve = curve_of("laundry", "butters", "at_least")
    assert {piece.exact for piece in curve.pieces} == {True, False}
    assert all(one.high == other.low for one, other in pairwise(curve.pieces))
    assert (curve.pieces[0].low, curve.pieces[-1].high) == pytest.approx((0.0, 30.0), abs=1e-6)
    followed = [piece for piece in curve.pieces if piece.exact]
    question, key = keyed(read_question(ROOT / "goals" / "laundry.yaml"), Typed("butters", "at_least"))
    moved = MovedQuestion(question.goals, question.shelf, key.limit)
    for piece in followed:  # exact only as far as the rows have room for the spread of lots
        assert not moved.answered(0.5 * (piece.low + piece.high)).live.is_bent
        found = moved.answered(piece.high - 1e-6).found
        assert found is not None
        assert piece.cost(piece.high) == pytest.approx(found.ratio, abs=1e-6)
    beyond = moved.answered(followed[-1].high + 0.01)
    assert beyond.live.is_bent


def test_free_is_as_far_as_the_curve_is_flat() -> None:
    """Up to the limit that is told as free the cost is that of the easiest, and a little beyond it is more."""
    for curve in (
        curve_of("budget", "hardness"),
        curve_of("everyday", "hardness", None),
        curve_of("budget", "palm", "at_most"),
    ):
        assert curve.free is not None
        way = -1.0 if curve.side == Side.AT_MOST else 1.0
        easiest = curve.points[-1 if way < 0 else 0].cost_per_kg
        assert curve.cost_at(curve.free) == pytest.approx(easiest, abs=1e-7)
        assert curve.cost_at(curve.free + way * 0.05) > easiest + 1e-5


@pytest.mark.long
def test_the_curve_of_goals_near_to_a_recipe_is_laid_through_what_blend_answers(tmp_path: Path) -> None:
    """Each row of it costs what `blend` answers at that very limit, few fats changed and all; nothing gives way by itself."""
    recipe = "fats: {olive oil: 450 g, coconut oil: 250 g, palm oil: 250 g, castor oil: 50 g}\nsuperfat: 5 %\n"
    (tmp_path / "house.yaml").write_text(recipe, encoding="utf-8")
    shelf = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
    goals = tmp_path / "bar.yaml"
    head = f"shelf: {shelf}\nnear: house.yaml\ngoals: "
    goals.write_text(f"{head}{{hardness: +3}}\n", encoding="utf-8")
    curve = optimiser.tradeoff(goals, "hardness", start="62", stop="66")
    assert isinstance(curve, Curve)
    assert curve.is_near
    assert not curve.gives_way
    assert len(curve.points) >= 3
    for point in curve.points[1:-1:3]:
        goals.write_text(f"{head}{{hardness: {{at_least: {point.limit!r}}}}}\n", encoding="utf-8")
        found = optimiser.blend(goals)
        assert isinstance(found, Blend)
        assert found.cost.per_kg == pytest.approx(point.cost_per_kg, rel=2e-3)
