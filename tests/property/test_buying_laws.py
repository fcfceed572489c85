"""Laws of buying: more packs never cost more, a bigger stock never more cash, what is bought is enough, and money adds up."""

from __future__ import annotations

from typing import NamedTuple

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser import at_least, at_most, blend_for, goals_of, shelf_of
from optimiser.answers.buying_figures import BuyingFigures
from optimiser.answers.results import Blend, NoBlend
from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buy, Buying
from optimiser.problem.shelf import Pack, Shelf

NAMES = ("coconut oil", "palm oil", "olive oil", "rapeseed oil", "castor oil")
ROUNDED = 0.03  # money: what rounding to the gram may move


class Sold(NamedTuple):
    """A fat as it is sold: price, packs (kg, money), stock and least order."""

    price: float
    packs: tuple[tuple[float, float], ...]
    stock: float | None
    least: float


class Drawn(NamedTuple):
    """A shelf of five fats and a batch."""

    sold: tuple[Sold, ...]
    batch: str

    @property
    def shelf(self) -> Shelf:
        """The shelf, in order of name."""
        made = shelf_of({name: one.price for name, one in zip(NAMES, self.sold, strict=True)}, sodium_hydroxide=2.4)
        fats = [
            item._replace(
                packs=tuple(Pack(*pack) for pack in one.packs), stock_kg=one.stock, minimum_order_kg=one.least
            )
            for item, one in zip(made.fats, self.sold, strict=True)
        ]
        return made._replace(fats=tuple(fats))


BATCHES = {
    "6 kg": Batch(fats_kg=6.0),
    "70 bars": Batch(fats_kg=None, bars=70),
    "9 kg of batter": Batch(fats_kg=None, batter_kg=9.0),
}


@st.composite
def shelves(draw: st.DrawFn) -> Drawn:
    """Five fats in one to three packs each, some in stock, some with a minimum order; bars or a mass of fats."""
    sold = []
    for _ in NAMES:
        price = draw(st.integers(15, 90)) / 10.0
        sizes = draw(st.lists(st.sampled_from([0.5, 1.0, 2.5, 5.0, 10.0]), min_size=1, max_size=3, unique=True))
        packs = tuple((size, round(size * price * draw(st.integers(80, 130)) / 100.0, 2)) for size in sizes)
        sold.append(
            Sold(price, packs, draw(st.sampled_from([None, None, 0.4, 1.5])), draw(st.sampled_from([0.0, 0.0, 2.0])))
        )
    return Drawn(tuple(sold), draw(st.sampled_from(sorted(BATCHES))))


def asked(drawn: Drawn, shelf: Shelf, buying: Buying, *, practice: bool = True) -> Blend:
    """The answer for a plain bar; how far rules of the house give way depends on prices, so laws on money are asked without."""
    sheet = goals_of(at_least("hardness", 35), at_most("coconut oil", 40), practice=practice)._replace(
        batch=BATCHES[drawn.batch], buying=buying
    )
    found = blend_for(sheet, shelf)
    assert isinstance(found, Blend)
    return found


def figures(found: Blend) -> BuyingFigures:
    """What is bought."""
    assert found.buying is not None
    return found.buying


@given(drawn=shelves(), left=st.sampled_from([0.0, 0.6, 1.0]), buy=st.sampled_from([Buy.PACKS, Buy.ANY]))
@settings(max_examples=examples(15))
def test_what_is_bought_is_enough_and_the_money_adds_up(drawn: Drawn, left: float, buy: Buy) -> None:
    """No more is weighed out of a fat than is in stock and bought; cash out is what is used of it, and what is left."""
    found = asked(drawn, drawn.shelf, Buying(buy, left))
    told = figures(found)
    stock = {item.fat.name: item.stock_kg or 0.0 for item in drawn.shelf.fats}
    price = {item.fat.name: item.price for item in drawn.shelf.fats}
    bought = dict.fromkeys(stock, 0.0)
    for line in told.lines:
        bought[line.fat] += line.kilos
        assert buy == Buy.ANY or line.number == round(line.number)
        assert line.cost == pytest.approx(line.number * line.tin.price)
    from_stock = 0.0
    for fat in found.fats:
        assert fat.to_weigh / 1000.0 <= stock[fat.fat] + bought[fat.fat] + 1e-6
        from_stock += price[fat.fat] * min(stock[fat.fat], fat.to_weigh / 1000.0)
    for item in drawn.shelf.fats:
        assert not bought[item.fat.name] or bought[item.fat.name] >= item.minimum_order_kg - 1e-6
    assert told.cash_out == pytest.approx(sum(line.cost for line in told.lines))
    other = told.cost_used - sum(line.cost for line in found.fats)
    assert told.cash_out - told.value_left == pytest.approx(told.cost_used - other - from_stock, abs=ROUNDED)
    assert told.cost_used == pytest.approx(found.cost.batch, abs=ROUNDED)


@given(drawn=shelves(), at=st.integers(0, 4), size=st.sampled_from([0.5, 3.0, 20.0]), part=st.integers(60, 140))
@settings(max_examples=examples(12))
def test_a_pack_more_never_costs_more(drawn: Drawn, at: int, size: float, part: int) -> None:
    """Neither cash nor what is used: nobody has to take it."""
    item = drawn.shelf.fats[at]
    assume(not any(pack.size_kg == size for pack in item.packs))
    more = item._replace(packs=(*item.packs, Pack(size, round(size * item.price * part / 100.0, 2))))
    fats = tuple(more if one is item else one for one in drawn.shelf.fats)
    offered = drawn.shelf._replace(fats=fats)
    cash, less = (
        figures(asked(drawn, one, Buying(Buy.PACKS, 0.0), practice=False)).proof for one in (drawn.shelf, offered)
    )
    assert cash is not None
    assert less is not None
    assert less.per_kg <= cash.per_kg * (1.0 + 1e-6) + 1e-9
    assume(not item.stock_kg)  # of a fat in stock a cheaper kilo is bought only once that is used up
    before, after = (asked(drawn, one, Buying(Buy.PACKS, 1.0), practice=False).proof for one in (drawn.shelf, offered))
    assert after.cheapest_possible_per_kg <= before.cheapest_possible_per_kg * (1.0 + 1e-6) + 1e-9


@given(drawn=shelves(), at=st.integers(0, 4), more=st.sampled_from([0.3, 2.0, 50.0]))
@settings(max_examples=examples(12))
def test_a_bigger_stock_never_takes_more_cash(drawn: Drawn, at: int, more: float) -> None:
    """What is on the shelf already is not paid for."""
    fats = tuple(
        item._replace(stock_kg=(item.stock_kg or 0.0) + more) if place == at else item
        for place, item in enumerate(drawn.shelf.fats)
    )
    buying = Buying(Buy.PACKS, 0.0)
    one, other = (
        figures(asked(drawn, shelf, buying, practice=False)).proof
        for shelf in (drawn.shelf, drawn.shelf._replace(fats=fats))
    )
    assert one is not None
    assert other is not None
    assert other.per_kg <= one.per_kg * (1.0 + 1e-6) + 1e-9


@given(drawn=shelves())
@settings(max_examples=examples(10))
def test_with_plenty_in_stock_packs_change_nothing(drawn: Drawn) -> None:
    """The blend is that of a file that says nothing of buying."""
    plenty = drawn.shelf._replace(fats=tuple(item._replace(stock_kg=500.0) for item in drawn.shelf.fats))
    sheet = goals_of(at_least("hardness", 35), at_most("coconut oil", 40))._replace(batch=BATCHES[drawn.batch])
    plain, packs = blend_for(sheet, plenty), asked(drawn, plenty, Buying(Buy.PACKS, 1.0))
    assert isinstance(plain, Blend)
    assert [(line.fat, line.to_weigh) for line in packs.fats] == [(line.fat, line.to_weigh) for line in plain.fats]
    assert not figures(packs).lines


@given(drawn=shelves())
@settings(max_examples=examples(8))
def test_nothing_bought_is_stock_alone(drawn: Drawn) -> None:
    """With `buy: none` no fat is used beyond its stock, or there is no blend."""
    sheet = goals_of(at_least("hardness", 5), practice=False)._replace(
        batch=Batch(fats_kg=1.5), buying=Buying(Buy.NONE)
    )
    found = blend_for(sheet, drawn.shelf)
    stock = {item.fat.name: item.stock_kg or 0.0 for item in drawn.shelf.fats}
    enough = sum(stock.values()) >= 1.5
    assert enough or isinstance(found, NoBlend)
    used = {} if isinstance(found, NoBlend) else {line.fat: line.to_weigh / 1000.0 for line in found.fats}
    assert all(kilos <= stock[name] + 1e-6 for name, kilos in used.items())
