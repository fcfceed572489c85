"""Laws of tins that are bought beside lots: nothing is weighed that is not there, alkali is of each by itself, money is the fat's."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser import at_least, at_most, blend_for, goals_of, shelf_of
from optimiser.answers.results import Blend
from optimiser.materials.fat import one_lot, with_certificate
from optimiser.problem.buying import Buy, Buying
from optimiser.problem.goals import GoalSheet, UseUp
from optimiser.problem.limits import NOWHERE
from optimiser.problem.new_tins import to_buy
from optimiser.problem.shelf import LotCertificate, Pack, Shelf

PRICES = {"olive oil": 7.4, "lard": 2.2, "palm oil": 2.0, "castor oil": 6.0}
FAT = "coconut oil"
POTASH, SODA = 56.106, 39.997  # g/mol, by the atomic weights of IUPAC 2021, abridged, from memory
Told = tuple[float, float, float | None]
"""A lot: kilos, what a kilo of it cost, and the certificate's value (None without one)."""


def shelf_with(*told: Told) -> Shelf:
    """The shelf with lots of coconut oil, all fats in packs too; with no lots, coconut oil as the table has it."""
    plain = shelf_of({FAT: 3.1, **PRICES}, sodium_hydroxide=2.4)
    fats = tuple(
        item._replace(packs=(Pack(1.0, round(1.1 * item.price, 2)), Pack(5.0, round(4.5 * item.price, 2))))
        for item in plain.fats
    )
    plain = plain._replace(fats=fats)
    (oil,) = plain.of_fat(FAT)
    lots = []
    for place, (kilos, cost, value) in enumerate(told):
        lot = None if value is None else LotCertificate(f"L{place}", value, 2.0, None)
        fat = oil.fat if value is None else with_certificate(oil.fat, saponification_value=value, tolerance=2.0)
        own = one_lot(fat, f"L{place}", certified=lot is not None)
        lots.append(oil._replace(fat=own, price=cost, stock_kg=kilos, lot=lot, bought_as=oil))
    others = tuple(item for item in plain.fats if item is not oil or not told)
    return plain._replace(fats=(*others, *lots), to_buy=to_buy(lots))


LOTS = st.lists(
    st.tuples(
        st.integers(1, 15).map(lambda tenths: tenths / 10.0),
        st.sampled_from([2.0, 3.1, 6.5]),
        st.sampled_from([None, 247.0, 253.0, 261.0]),
    ),
    min_size=1,
    max_size=3,
)
BUYING = st.tuples(st.sampled_from([Buy.PACKS, Buy.ANY]), st.sampled_from([0.0, 0.7, 1.0])).map(
    lambda told: Buying(*told)
)


@st.composite
def asked(draw: st.DrawFn) -> GoalSheet:
    """A share of coconut oil and a little beside it, for a few kilos of fats."""
    wishes = [at_least(FAT, draw(st.integers(10, 40))), at_most("lard", draw(st.integers(20, 60)))]
    sheet = goals_of(*wishes, practice=False)
    use_up = (UseUp(FAT, None, NOWHERE),) if draw(st.booleans()) else ()
    return sheet._replace(batch=sheet.batch._replace(fats_kg=float(draw(st.integers(2, 8)))), use_up=use_up)


@settings(max_examples=examples(25))
@given(asked(), LOTS, BUYING)
def test_nothing_is_weighed_that_is_not_there(sheet: GoalSheet, told: list[Told], buying: Buying) -> None:
    """Of a lot no more than it holds, of a tin no more than is bought; and the alkali is that of each by its own figure."""
    shelf = shelf_with(*told)
    found = blend_for(sheet._replace(buying=buying), shelf)
    assert isinstance(found, Blend)
    assert found.buying is not None
    lots = {item.fat.name: item for item in shelf.fats if item.fat.lot_of}
    tins = {item.fat.name: item for item in shelf.to_buy}
    bought: dict[str, float] = {}
    for line in found.buying.lines:
        bought[line.called] = bought.get(line.called, 0.0) + line.kilos
    assert bought.keys() <= {FAT, *PRICES}
    need = 0.0
    for weighed in found.fats:
        if weighed.fat in lots:
            assert weighed.to_weigh / 1000.0 <= (lots[weighed.fat].stock_kg or 0.0) + 1e-9
            value = lots[weighed.fat].fat.saponification.value
        else:
            assert weighed.to_weigh / 1000.0 <= bought[weighed.lot_of or weighed.fat] + 1e-6
            known = tins.get(weighed.fat) or next(item for item in shelf.fats if item.fat.name == weighed.fat)
            value = known.fat.saponification.value
        need += value * weighed.to_weigh / POTASH
    superfat = found.weighed.superfat
    soda = need * SODA / 1000.0 * (1.0 - superfat / 100.0)
    assert found.recipe.sodium_hydroxide == pytest.approx(soda / shelf.purities[0], rel=1e-6)


@settings(max_examples=examples(15))
@given(asked(), st.integers(1, 15), st.sampled_from([Buy.PACKS, Buy.ANY]))
def test_lots_without_certificates_are_the_fat_in_stock(sheet: GoalSheet, tenths: int, buy: Buy) -> None:
    """Two tins of one price that nobody has tested cost what the same fat in one costs, and more is bought alike."""
    kilos, buying = tenths / 10.0, Buying(buy)
    lots = blend_for(sheet._replace(buying=buying), shelf_with((kilos / 2, 3.1, None), (kilos / 2, 3.1, None)))
    one = shelf_with()
    fats = tuple(item._replace(stock_kg=kilos) if item.fat.name == FAT else item for item in one.fats)
    whole = blend_for(sheet._replace(buying=buying), one._replace(fats=fats))
    assert isinstance(lots, Blend)
    assert isinstance(whole, Blend)
    weighed = [sum(line.to_weigh for line in found.fats if FAT in (line.fat, line.lot_of)) for found in (lots, whole)]
    assert weighed[0] == pytest.approx(weighed[1], abs=2.0)
    assert lots.proof.cheapest_possible_per_kg == pytest.approx(whole.proof.cheapest_possible_per_kg, rel=1e-5)


@settings(max_examples=examples(12))
@given(asked(), LOTS, st.sampled_from([Buy.PACKS, Buy.ANY]))
def test_a_lot_more_never_takes_more_cash(sheet: GoalSheet, told: list[Told], buy: Buy) -> None:
    """What is on the shelf already is not paid for: without the last lot the least cash is no less."""
    sheet = sheet._replace(buying=Buying(buy, 0.0), use_up=())
    more, less = (blend_for(sheet, shelf_with(*some)) for some in (told, told[:-1] or [(0.0, 3.1, 250.0)]))
    assert isinstance(more, Blend)
    assert isinstance(less, Blend)
    assert more.buying is not None
    assert less.buying is not None
    assert more.buying.proof is not None
    assert less.buying.proof is not None
    assert more.buying.proof.least_possible_per_kg <= less.buying.proof.per_kg * (1.0 + 1e-6) + 1e-9
