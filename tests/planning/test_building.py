"""The programme of one bar with what may be bought for it: which rows and columns there are, and what they cost."""

from __future__ import annotations

import pytest

from optimiser.model import programme as plain
from optimiser.planning.building import build, priced
from optimiser.problem.asking import at_most, goals_of, shelf_of
from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buy, Buying, Taken
from optimiser.problem.goals import GoalSheet
from optimiser.problem.new_tins import to_buy
from optimiser.problem.shelf import Pack, Shelf
from optimiser.problem.wishes import Origin
from optimiser.solve.optimum import solve

PRICES = {"olive oil": 7.0, "palm oil": 2.0, "lard": 3.0}


def shelf(stock: float | None = 2.0, pack: float = 12.5) -> Shelf:
    """Lard has a stock and packs of 5 kg, palm oil a stock alone, olive oil neither."""
    made = shelf_of(PRICES, sodium_hydroxide=2.4)
    by_name = {item.fat.name: item for item in made.fats}
    lard = by_name["lard"]._replace(stock_kg=stock, packs=(Pack(5.0, pack),))
    palm = by_name["palm oil"]._replace(stock_kg=3.0)
    return made._replace(fats=(by_name["olive oil"], lard, palm))


def sheet(buying: Buying | None, kilos: float = 10.0) -> GoalSheet:
    """Anything goes."""
    return goals_of(practice=False)._replace(batch=Batch(fats_kg=kilos), buying=buying)


def test_without_a_word_of_buying_it_is_the_plain_programme() -> None:
    """Not a column more."""
    ours, theirs = build(sheet(None), shelf()), plain.build(sheet(None), shelf())
    assert (ours.matrix == theirs.matrix).all()
    assert [str(row.wish) for row in ours.rows] == [str(row.wish) for row in theirs.rows]


def test_packs_make_a_column_a_switch_and_a_wish_for_what_cannot_be_bought() -> None:
    """A kilo of lard out of a pack costs 2.50 and one in stock 3.00, so a 0/1 column has the stock used first."""
    made = build(sheet(Buying(Buy.PACKS)), shelf())
    assert [column.name for column in made.bought] == ["bought.lard", "order.lard"]
    assert made.money[-2:].tolist() == pytest.approx([-0.5, 0.0])
    assert made.integer[-2:].tolist() == [False, True]
    wishes = {str(row.wish): row for row in made.rows if row.origin in (Origin.STOCK, Origin.BUYING)}
    assert set(wishes) == {"stock.palm oil", "buy.packs"}
    assert str(wishes["stock.palm oil"].said) == "palm oil in stock: 3 kg, no packs to buy"
    assert wishes["buy.packs"].top[made.columns.index["olive oil"]] == 100.0


@pytest.mark.parametrize(
    ("kilos", "per_kg"),
    [
        (1.0, 3.0),  # all of it from the stock, though a kilo bought would cost less
        (4.0, (2 * 3.0 + 2 * 2.5) / 4.0),  # the stock first
    ],
)
def test_stock_first(kilos: float, per_kg: float) -> None:
    """What a kilo of lard costs on the average, where nothing else is used."""
    goals = sheet(Buying(Buy.PACKS), kilos)._replace(shares=(at_most("palm oil", 0), at_most("olive oil", 0)))
    made = build(goals, shelf())
    _, found = solve(made)
    assert found is not None
    lye = float(made.columns.money[made.columns.count :] @ found.point[made.columns.count : made.columns.size])
    assert float(made.money @ found.point) - lye == pytest.approx(per_kg)


def test_a_stock_that_is_enough_needs_no_column() -> None:
    """Nor does a pack whose kilo costs what one in stock does."""
    assert not build(sheet(Buying(Buy.PACKS), 1.5), shelf()).bought
    assert not build(sheet(Buying(Buy.PACKS)), shelf(pack=15.0)).bought


def test_what_is_not_in_stock_costs_what_it_is_bought_for() -> None:
    """The cheapest kilo; of what is bought for certain that of its own."""
    lard = priced(shelf(stock=None), Buying(Buy.PACKS)).fats[1]
    assert lard.price == pytest.approx(2.5)
    taken = Buying(Buy.PACKS, taken=(Taken("lard", 5.0, 2.7, 2.0),))
    assert priced(shelf(stock=None), taken).fats[1].price == pytest.approx(2.7)
    assert priced(shelf(stock=None), Buying(Buy.PACKS)) is not priced(shelf(stock=None), Buying(Buy.PACKS))
    one = shelf()
    assert priced(one, Buying(Buy.PACKS)) is priced(one, Buying(Buy.PACKS))


def test_what_is_bought_for_certain_is_an_end() -> None:
    """Two packs of lard and two kilos in stock are twelve kilos, and olive oil is not to be had."""
    taken = Buying(Buy.PACKS, 0.0, taken=(Taken("lard", 5.0, 2.5, 2.0),))
    made = build(sheet(taken, 14.0), shelf())
    _, found = solve(made)
    assert found is not None
    point = 14.0 * found.point
    assert point[made.columns.index["palm oil"]] == pytest.approx(3.0, abs=1e-6)
    assert point[made.columns.index["lard"]] == pytest.approx(11.0, abs=1e-6)
    assert solve(build(sheet(taken, 15.1), shelf()))[1] is None


def test_goals_on_the_cost_count_what_is_drawn_at_its_price() -> None:
    """The row on the cost is over the columns of purchases too."""
    goals = sheet(Buying(Buy.PACKS))._replace(goals=(at_most("cost", 2.0),))
    made = build(goals, shelf())
    (place,) = (place for place, row in enumerate(made.rows) if row.figure == "cost")
    assert made.matrix[place, -2] == pytest.approx(-0.5)
    assert len(made.rows[place].top) == len(made.money)


def test_a_lot_beside_a_tin_to_buy_has_no_word_of_packs() -> None:
    """Its fat can be bought, as another tin: that there is no more of the lot is all there is to say."""
    made = shelf()
    lard = next(item for item in made.fats if item.fat.name == "lard")
    lot = lard.fat._replace(name="lard (lot L-1)", lot="L-1", lot_of="lard")
    in_hand = lard._replace(fat=lot, packs=(), bought_as=lard)
    tins = made._replace(
        fats=(*(item for item in made.fats if item.fat.name != "lard"), in_hand), to_buy=to_buy([in_hand])
    )
    said = {str(row.wish): str(row.said) for row in build(sheet(Buying(Buy.PACKS)), tins).rows}
    assert said["stock.lard (lot L-1)"] == "lard (lot L-1) in stock: 2 kg"
    assert said["stock.palm oil"] == "palm oil in stock: 3 kg, no packs to buy"
