"""The cheapest plan of several bars: what is proved, cones of several bars, preferences, pinches, and rules that give way."""

from __future__ import annotations

import numpy as np
import pytest
from strategies import at_least, sheet_of, shelf_of, with_practice

from optimiser.model.programme import build
from optimiser.problem.batch import Batch
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.optimum import solve
from optimiser.solve.outcomes import Work
from optimiser.solve.several import NOTHING_SAID, Allotted, Bar, allot, drawn_near_rules, joined, pinches_in, tidied

PRICES = {
    "olive oil": 7.0,
    "coconut oil": 3.0,
    "palm oil": 2.0,
    "lard": 2.4,
    "palm kernel oil": 2.9,
    "sunflower oil": 2.1,
}


def bar(name: str, sheet: GoalSheet, shelf: Shelf, alone: Shelf) -> Bar:
    """A bar with what a kilo of it costs where there is enough of everything."""
    found = solve(build(sheet, alone))[1]
    assert found is not None
    return Bar(name, sheet, shelf, found.ratio)


def bars(stock: dict[str, float], *sheets: GoalSheet) -> list[Bar]:
    """Bars over a shelf of which some fats are scarce."""
    return [bar(str(place), one, shelf_of(PRICES, stock=stock), shelf_of(PRICES)) for place, one in enumerate(sheets)]


def hard(kilos: float, **parts: object) -> GoalSheet:
    """A hard bar."""
    return sheet_of(at_least("hardness", 55.0), at_least("quick_lather", 40.0), batch=Batch(fats_kg=kilos), **parts)


def found_of(asked: list[Bar]) -> Allotted:
    """The cheapest plan of bars that can be made."""
    found = allot(joined(asked), Work())
    assert found is not None
    return found


def test_less_of_a_fat_is_never_cheaper() -> None:
    """What a plan costs beyond its bars rises as a fat they want runs short, and the proof stands at the plan."""
    told = []
    for stock in (9.0, 2.0, 1.0, 0.3):
        found = found_of(bars({"palm oil": stock}, hard(3.0), hard(2.0)))
        assert found.exact
        assert found.least == pytest.approx(found.beyond, abs=1e-7)
        assert sum(found.plan.drawn(found.point)["palm oil"]) <= stock + 1e-7
        told.append(found.beyond)
    assert told[0] == pytest.approx(0.0, abs=1e-7)
    assert told == sorted(told)
    assert told[-1] > 0.05


def test_where_there_is_too_little_there_is_no_plan() -> None:
    """Two bars that each need more than half of a fat have none together."""
    asked = bars({"coconut oil": 0.9}, *(hard(2.0, shares=(at_least("coconut oil", 30.0, "fat"),)) for _ in range(2)))
    assert allot(joined(asked), Work()) is None
    assert allot(joined(asked[:1]), Work()) is not None


def test_each_bar_keeps_its_spread_of_lots() -> None:
    """The likely superfat of each bar is held against the spread of its own lots, which is no less than it is."""
    sheets = [
        with_practice(at_least("hardness", 50.0), batch=Batch(fats_kg=kilos), yielded=frozenset())
        for kilos in (3.0, 2.0)
    ]
    found = found_of(bars({"palm oil": 1.0}, *sheets))
    for block, lots in zip(found.plan.blocks, found.plan.programme.every_lots, strict=True):
        assert found.point[lots.norm] >= lots.length(found.point) - 1e-6
        columns, point = block.columns, block.alone(found.point)
        likely = float(columns.unreacted_likely @ point[: columns.size]) / float(
            columns.fat_demand @ point[: columns.size]
        )
        assert likely >= -1e-7


def test_a_scarce_fat_goes_to_the_first_preference() -> None:
    """A preference comes before money, and that of the first bar before that of the second."""
    wish = ((at_least("coconut oil", 40.0, "fat"),),)
    asked = bars({"coconut oil": 1.0}, hard(2.0, prefer=wish), hard(2.0, prefer=wish))
    found = found_of(asked)
    drawn = found.plan.drawn(found.point)["coconut oil"]
    assert drawn == pytest.approx([0.8, 0.2], abs=1e-4)
    assert found.short == pytest.approx([0.0, 30.0], abs=1e-3)


def test_pinches_are_left_out_of_all_bars() -> None:
    """What is tidied holds fewer pinches than before and costs hardly more."""
    sheets = [
        with_practice(at_least("hardness", 50.0), at_least("mildness", 55.0), batch=Batch(fats_kg=kilos))
        for kilos in (3.0, 2.0)
    ]
    asked = bars({"palm oil": 1.2, "palm kernel oil": 0.5}, *sheets)
    found = found_of(asked)
    tidy = tidied(asked, NOTHING_SAID, found, Work())
    before = sum(len(pinches_in(one, found, place)) for place, one in enumerate(asked))
    after = sum(len(pinches_in(one, tidy, place)) for place, one in enumerate(asked))
    assert after <= before
    assert after == 0
    assert found.beyond - 1e-9 <= tidy.beyond <= found.beyond + 0.6


def test_rules_give_way_in_the_bars_that_may() -> None:
    """Where the house leaves no room for a plan, what is drawn is known of a plan whose rules give way in the last bar alone."""
    shelf = shelf_of(
        {"olive oil": 7.0, "coconut oil": 3.0, "palm oil": 2.0, "palm kernel oil": 2.9}, stock={"olive oil": 1.2}
    )
    sheet = with_practice(at_least("hardness", 50.0), batch=Batch(fats_kg=3.0))
    plenty = shelf_of({"olive oil": 7.0, "coconut oil": 3.0, "palm oil": 2.0, "palm kernel oil": 2.9})
    asked = [bar(name, sheet, shelf, plenty) for name in ("one", "two")]
    assert allot(joined(asked), Work()) is None
    drawn = drawn_near_rules(asked, (1,), NOTHING_SAID, Work())
    assert drawn is not None
    assert sum(drawn["olive oil"]) <= 1.2 + 1e-6
    assert drawn["olive oil"][0] > drawn["olive oil"][1] - 1e-9
    assert drawn_near_rules(asked, (), NOTHING_SAID, Work()) is None


def test_the_blend_of_a_bar_is_read_off_a_plan() -> None:
    """Shares of each bar add up to one, and its batch weighs what it is to weigh."""
    found = found_of(bars({"palm oil": 1.0}, hard(3.0), hard(2.0)))
    for block, kilos in zip(found.plan.blocks, (3.0, 2.0), strict=True):
        assert float(block.fats(found.point).sum()) == pytest.approx(kilos)
        assert float(np.sum(block.alone(found.point)[: block.columns.count])) == pytest.approx(1.0)
