"""No pinches: what is left out or brought up, when, and that it costs next to nothing."""

from __future__ import annotations

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import at_least, examples, shelf_of, with_practice

from optimiser.measures.sides import Side
from optimiser.problem.shelf import Shelf
from optimiser.solve.pinches import MOST_DEARER
from optimiser.solve.yielding import Asked, cheapest

FATS = (
    "palm kernel oil",
    "rapeseed oil",
    "soybean oil",
    "high oleic sunflower oil",
    "palm oil",
    "olive oil",
    "coconut oil",
    "castor oil",
    "shea butter",
    "sunflower oil",
    "lard",
    "cocoa butter",
)
LEAST = 3.0


def shares(asked: Asked) -> dict[str, float]:
    """Per cent of each fat in use."""
    assert asked.found is not None
    fats = asked.programme.columns.fats
    listed = zip((fat.name for fat in fats), 100.0 * asked.found.point[: len(fats)], strict=True)
    return {name: float(share) for name, share in listed if share > 1e-5}


def shelf(prices: dict[str, float]) -> Shelf:
    """A shelf with a stearic acid too."""
    return shelf_of(prices | {"stearic acid": 34.0})


@settings(max_examples=examples(30))
@given(st.fixed_dictionaries({name: st.integers(15, 120).map(float) for name in FATS}), st.floats(40.0, 64.0))
def test_nothing_is_left_between_nothing_and_enough(prices: dict[str, float], hardness: float) -> None:
    """Every fat of the body of the bar is none or at least the rule, unless that would cost more than it is worth."""
    sheet = with_practice(at_least("hardness", hardness))
    asked = cheapest(sheet, shelf(prices))
    assume(asked.found is not None and not asked.sheet.eased)
    assert asked.found is not None
    pinches = {name for name, share in shares(asked).items() if share < LEAST - 1e-4 and name != "stearic acid"}
    assert not pinches - asked.sheet.no_pinch.keys() or asked.before is None
    if asked.before is not None:
        assert asked.before[1].ratio - 1e-9 <= asked.found.ratio <= asked.before[1].ratio * (1.0 + MOST_DEARER) + 1e-9
        for name, side in asked.sheet.no_pinch.items():
            share = shares(asked).get(name, 0.0)
            assert share < 1e-4 if side == Side.AT_MOST else share > LEAST - 1e-4


def test_a_fat_that_the_maker_names_may_be_a_pinch() -> None:
    """A maker who asks for at least a per cent of a fat gets what is asked for."""
    prices = dict.fromkeys(FATS, 20.0) | {"shea butter": 90.0}
    named = cheapest(with_practice(shares=(at_least("shea butter", 1.0, "fat"),)), shelf(prices))
    assert abs(shares(named)["shea butter"] - 1.0) < 1e-4
    assert "shea butter" not in named.sheet.no_pinch


def test_a_pinch_that_is_left_out_was_there_before() -> None:
    """The blend before holds the pinch, and the one told does not; the proof is of the one before."""
    found = None
    for place in range(40):
        prices = {name: 20.0 + (7 * place + 13 * at) % 50 for at, name in enumerate(FATS)}
        asked = cheapest(with_practice(at_least("hardness", 50.0 + place % 14)), shelf(prices))
        if asked.before is not None:
            found = asked
            break
    assert found is not None
    live, before = found.before or (None, None)
    assert live is not None
    assert before is not None
    fats = [fat.name for fat in found.programme.columns.fats]
    gone = [name for name, side in found.sheet.no_pinch.items() if side == Side.AT_MOST]
    raised = [name for name, side in found.sheet.no_pinch.items() if side == Side.AT_LEAST]
    for name in (*gone, *raised):
        assert 0.0 < 100.0 * before.point[fats.index(name)] < LEAST
    assert found.found is not None
    assert found.found.ratio >= before.ratio - 1e-12
