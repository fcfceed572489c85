"""How far a price holds, and its two sides, against solving the whole question again at other limits."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from hypothesis import assume, given, settings
from strategies import Bar, at_least, at_most, bars, examples, sheet_of, shelf_of, wish_id

from optimiser.analysis.shadow_prices import STEP
from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend, GoalLine
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Section
from optimiser.solve.optimum import solve

SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "rapeseed oil": 2.1})
RATIOS = ("worst_case_superfat",)
LYE = 0.12  # what the cured weight, and with it a price per kilo, may change from one end of a range to the other


def cost_at(sheet: GoalSheet, shelf: Shelf, wish: Limit, value: float) -> float | None:
    """The least cost per kilo with one limit at another figure, everything solved anew; None where there is no blend."""
    moved = sheet._replace(
        goals=tuple(one._replace(value=value) if one is wish else one for one in sheet.goals),
        shares=tuple(one._replace(value=value) if one is wish else one for one in sheet.shares),
    )
    _, found = solve(build(moved, shelf))
    return None if found is None else found.ratio


def blend_of(sheet: GoalSheet, shelf: Shelf) -> Blend:
    """The answer, which is a blend."""
    told = answer_for(sheet, shelf)
    assert isinstance(told, Blend)
    return told


def priced(sheet: GoalSheet, shelf: Shelf) -> Iterator[tuple[Limit, GoalLine]]:
    """Every wish of one side that costs something, with its line."""
    lines = {line.id: line for line in blend_of(sheet, shelf).goals}
    for section, limits in ((Section.GOALS, sheet.goals), (Section.SHARES, sheet.shares)):
        for wish in limits:
            line = lines[wish.wish(section)]
            if wish.side != "exactly" and line.price_per_unit:
                yield wish, line


def easier(wish: Limit) -> float:
    """Which way a limit moves when it eases."""
    return -1.0 if wish.side == "at_least" else 1.0


def slope(sheet: GoalSheet, shelf: Shelf, wish: Limit, near: float, far: float) -> float:
    """What a unit is worth between two limits, always as a saving."""
    one, other = cost_at(sheet, shelf, wish, near), cost_at(sheet, shelf, wish, far)
    assert one is not None
    assert other is not None
    return abs(other - one) / abs(far - near)


def ends(wish: Limit, line: GoalLine) -> tuple[float | None, float | None]:
    """Where the price ends, on the easy side and on the hard one."""
    low, high = line.holds_from, line.holds_to
    return (low, high) if wish.side == "at_least" else (high, low)


@settings(max_examples=examples(25))
@given(bars())
def test_both_sides_of_every_price(bar: Bar) -> None:
    """A little easier saves what the price says, a little harder costs what the other price says, or cannot be."""
    wishes = list(priced(bar.sheet, bar.shelf))
    assume(wishes)
    for wish, line in wishes:
        step = STEP * (5.0 if wish.subject == "fat" else quantities()[wish.key].scale)
        here = cost_at(bar.sheet, bar.shelf, wish, wish.value)
        eased = cost_at(bar.sheet, bar.shelf, wish, wish.value + easier(wish) * step)
        harder = cost_at(bar.sheet, bar.shelf, wish, wish.value - easier(wish) * step)
        assert here is not None
        assert eased is not None
        assert line.price_per_unit is not None
        assert line.price_if_tighter is not None
        assert (here - eased) / step == pytest.approx(line.price_per_unit, rel=0.02, abs=5e-5)
        if math.isinf(line.price_if_tighter):
            assert harder is None
        elif harder is not None:
            assert (harder - here) / step == pytest.approx(line.price_if_tighter, rel=0.02, abs=5e-5)
        assert line.price_if_tighter >= line.price_per_unit * 0.999 - 1e-6  # harder is never cheaper


@settings(max_examples=examples(25))
@given(bars())
def test_a_price_holds_where_it_is_said_to(bar: Bar) -> None:
    """From the limit to either end of its range there are blends, and a price stays what it is.

    But for the weight that the lye adds; and a figure that is a ratio, whose unit weighs more in one blend than in the
    next, has its price at the limit only.
    """
    wishes = list(priced(bar.sheet, bar.shelf))
    assume(wishes)
    for wish, line in wishes:
        assert line.price_per_unit is not None
        assert line.price_if_tighter is not None
        easy, hard = ends(wish, line)
        for end, price in ((easy, line.price_per_unit), (hard, line.price_if_tighter)):
            if end is None or math.isinf(price) or abs(end - wish.value) < 1e-3:
                continue
            inside = wish.value + 0.95 * (end - wish.value)
            whole = slope(bar.sheet, bar.shelf, wish, wish.value, inside)
            assert whole == pytest.approx(price, rel=0.5 if wish.key in RATIOS else LYE, abs=1e-4)


def one_share() -> tuple[GoalSheet, Limit]:
    """Castor oil at least 20 % beside olive oil at least 30 %, over palm oil, which fills what is left."""
    castor = at_least("castor oil", 20.0, "fat")
    return sheet_of(shares=(castor, at_least("olive oil", 30.0, "fat"))), castor


def test_the_range_of_a_share_is_worked_out_by_hand() -> None:
    """With 30 % olive oil castor oil can go from none to 70 %, and costs the same all the way: palm oil makes way for it."""
    sheet, castor = one_share()
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "castor oil": 5.0})
    (line,) = [line for wish, line in priced(sheet, shelf) if wish is castor]
    assert line.holds_from == pytest.approx(0.0, abs=0.1)
    assert line.holds_to == pytest.approx(70.0, abs=0.1)
    assert line.price_if_tighter == pytest.approx(line.price_per_unit, rel=1e-3)
    assert line.saves_if_dropped == pytest.approx(20.0 * (line.price_per_unit or 0.0), rel=LYE)


@pytest.mark.parametrize("wanted", [50.0, 55.0])
def test_outside_its_range_a_price_is_another(wanted: float) -> None:
    """Past the end of the range the fats in use change and a point of hardness is worth something else."""
    hard = at_least("hardness", wanted)
    sheet = sheet_of(hard, shares=(at_most("palm oil", 40.0, "fat"), at_most("coconut oil", 20.0, "fat")))
    shelf = shelf_of({"palm oil": 3.0, "olive oil": 7.0, "coconut oil": 3.5, "cocoa butter": 12.0, "rapeseed oil": 2.1})
    ((wish, line),) = [item for item in priced(sheet, shelf) if item[0] is hard]
    ranges = [end for end in ends(wish, line) if end is not None and abs(end - wanted) < 30.0]
    assert ranges
    for end in ranges:
        side = 1.0 if end > wanted else -1.0
        inside = slope(sheet, shelf, wish, wanted, wanted + 0.98 * (end - wanted))
        assert inside == pytest.approx(line.price_per_unit, rel=LYE)
        beyond = cost_at(sheet, shelf, wish, end + side)
        if beyond is not None:  # else nothing lies beyond: the range ends where blends do
            outside = slope(sheet, shelf, wish, end + 0.1 * side, end + side)
            assert outside != pytest.approx(inside, rel=0.01)


def test_of_two_limits_that_say_the_same_the_eased_side_is_told() -> None:
    """Castor oil and its acid both at their limit: easing one saves nothing, tightening it costs, and neither binds."""
    share = at_least("castor oil", 10.0, "fat")
    shelf = shelf_of({"palm oil": 2.0, "castor oil": 5.0})
    alone = blend_of(sheet_of(shares=(share,)), shelf)
    acid = at_least("C18:1-OH", alone.figures["C18:1-OH"])
    lines = {line.id: line for line in blend_of(sheet_of(acid, shares=(share,)), shelf).goals}
    for name in (wish_id("shares.castor oil.at_least"), wish_id("goals.C18:1-OH.at_least")):
        assert not lines[name].binding
        assert not lines[name].price_per_unit
        assert lines[name].saves_if_dropped == 0.0
    once = {line.id: line for line in alone.goals}[wish_id("shares.castor oil.at_least")]
    assert once.price_per_unit
    assert once.price_if_tighter == pytest.approx(once.price_per_unit, rel=1e-3)


def corner() -> tuple[GoalSheet, Shelf, Limit]:
    """A blend in a corner: easing castor oil lets cheap palm oil in, tightening it drives dear olive oil in by the way.

    Hardness at most h is met exactly by castor 20 % and palm 80 %; more castor is still soft enough, less is not.
    """
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "castor oil": 5.0})
    castor = at_least("castor oil", 20.0, "fat")
    reached = blend_of(sheet_of(shares=(castor,)), shelf).figures["hardness"]
    return sheet_of(at_most("hardness", reached), shares=(castor,)), shelf, castor


def test_in_a_corner_the_two_sides_differ() -> None:
    """Where a second limit is met by chance, what easing saves is less than what tightening costs, and easing is told."""
    sheet, shelf, castor = corner()
    line = {one.id: one for one in blend_of(sheet, shelf).goals}[wish_id("shares.castor oil.at_least")]
    here, step = cost_at(sheet, shelf, castor, 20.0), 0.01
    eased, harder = cost_at(sheet, shelf, castor, 20.0 - step), cost_at(sheet, shelf, castor, 20.0 + step)
    assert here is not None
    assert eased is not None
    assert harder is not None
    saves, costs = (here - eased) / step, (harder - here) / step
    assert costs > saves + 1e-4
    assert saves == pytest.approx(0.0, abs=1e-6)
    assert not line.binding
    assert not line.price_per_unit


def test_in_a_corner_both_sides_may_be_worth_something() -> None:
    """Olive oil eased makes way for palm oil, 5 a kilo cheaper; tightened it takes the place of coconut oil, 6 cheaper.

    Coconut oil at most 50 %, palm oil at least 20 %, olive oil at least 30 %: together they leave nothing open. The kilo
    is one of cured bar, and the lye changes with the fat, so the figures are good to a tenth.
    """
    olive = at_least("olive oil", 30.0, "fat")
    sheet = sheet_of(shares=(olive, at_least("palm oil", 20.0, "fat"), at_most("coconut oil", 50.0, "fat")))
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 1.0})
    line = {one.id: one for one in blend_of(sheet, shelf).goals}[wish_id("shares.olive oil.at_least")]
    here, step = cost_at(sheet, shelf, olive, 30.0), 0.01
    eased, harder = cost_at(sheet, shelf, olive, 30.0 - step), cost_at(sheet, shelf, olive, 30.0 + step)
    assert here is not None
    assert eased is not None
    assert harder is not None
    assert line.price_per_unit == pytest.approx((here - eased) / step, rel=0.02)
    assert line.price_if_tighter == pytest.approx((harder - here) / step, rel=0.02)
    assert (line.price_if_tighter or 0.0) / (line.price_per_unit or 1.0) == pytest.approx(6.0 / 5.0, rel=0.1)


def test_what_cannot_be_tightened_has_no_price_on_that_side() -> None:
    """Beside coconut oil of at least 70 % olive oil can give way to palm oil, but there is no room for more of it."""
    olive = at_least("olive oil", 30.0, "fat")
    sheet = sheet_of(shares=(olive, at_least("coconut oil", 70.0, "fat")))
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0})
    line = {one.id: one for one in blend_of(sheet, shelf).goals}[wish_id("shares.olive oil.at_least")]
    assert line.price_per_unit
    assert line.price_if_tighter == math.inf
    assert cost_at(sheet, shelf, olive, 30.01) is None
