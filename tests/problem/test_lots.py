"""Lots of one fat as values: their turn, their day, and what stands for them where none is named."""

from __future__ import annotations

import pytest
from strategies import at_least, sheet_of, shelf_of

from optimiser.materials.fat import one_lot, with_certificate
from optimiser.materials.fat_table import reference
from optimiser.problem.goals import UseUp
from optimiser.problem.limits import NOWHERE
from optimiser.problem.lots import in_date, named_lots_first, several, unnamed_lots, whichever, with_named_lots
from optimiser.problem.shelf import LotCertificate, Shelf, Stocked


def lot(number: str, value: float | None, day: str = "", *, stock: float | None = 1.0, price: float = 3.0) -> Stocked:
    """A lot of coconut oil."""
    fat = reference().get("coconut oil")
    certified = None if value is None else LotCertificate(number, value, 1.0, None, best_before=day)
    if value is not None:
        fat = with_certificate(fat, saponification_value=value, tolerance=1.0)
    made = one_lot(fat, number, certified=value is not None)
    return Stocked(made, price, stock, (), certified, NOWHERE, best_before=day)


def shelf(*lots: Stocked) -> Shelf:
    """A shelf of lots and olive oil."""
    plain = shelf_of({"olive oil": 7.0})
    return plain._replace(fats=(*plain.fats, *lots))


def test_the_one_that_keeps_the_shortest_goes_first() -> None:
    """One without a day comes last."""
    lots = several(shelf(lot("A", None), lot("B", None, "2027-05-01"), lot("C", None, "2026-12-24")))
    assert [item.number for item in lots["coconut oil"]] == ["C", "B", "A"]
    assert "olive oil" not in lots


def test_what_stands_for_all_lots_takes_the_least_alkali() -> None:
    """The lowest value, as low an end as any, all that there is, at the price of the one that goes first."""
    lots = (lot("A", 256.0, "2027-01-01", price=4.0), lot("B", 252.0, price=3.0, stock=2.0), lot("C", None, stock=0.5))
    found = whichever(lots)
    assert found.fat.name == found.fat.known_as == "coconut oil"
    assert found.fat.saponification.value == 252.0
    assert found.fat.saponification.low == min(item.fat.saponification.low for item in lots)
    assert found.fat.spread >= found.fat.saponification.value - found.fat.saponification.low - 1e-9
    assert (found.stock_kg, found.price) == (3.5, 4.0)
    assert found.fat.group == found.fat.strays_with == "coconut oil"
    assert [item.fat.name for item in with_named_lots(shelf(*lots)).fats] == ["olive oil", "coconut oil"]


def test_without_an_end_there_is_no_end_to_all() -> None:
    """More of one lot can be bought, so more of the fat can."""
    assert whichever((lot("A", None), lot("B", None, stock=None))).stock_kg is None


def test_an_empty_tin_does_not_count() -> None:
    """What is used up lowers no alkali; where all is used up, the lowest of all does."""
    empty, full = lot("A", 250.0, stock=0.0), lot("B", 254.0)
    assert whichever((empty, full)).fat.saponification.value == 254.0
    assert whichever((empty, lot("B", 254.0, stock=0.0))).fat.saponification.value == 250.0
    (told,) = unnamed_lots(shelf(empty, full), ["coconut oil"])
    assert "lot B" in told
    assert "254" in told


def test_a_recipe_that_names_no_lot_is_told() -> None:
    """Once for each fat, with how to name one; not of a lot that is named."""
    over = shelf(lot("A", 256.0), lot("B", 252.0))
    (told,) = unnamed_lots(over, ["coconut oil", "olive oil", "coconut oil"])
    assert "lots (A, B)" in told
    assert "252 mg KOH/g" in told
    assert unnamed_lots(over, ["coconut oil (lot A)"]) == ()


def test_past_its_day_a_lot_is_left_out_unless_it_is_named() -> None:
    """On the day itself it is still good; goals that name the fat alone do not keep it."""
    over = shelf(lot("A", None, "2026-11-27"), lot("B", None, "2026-11-28"))
    found = in_date(sheet_of(), over, "2026-11-28")
    assert [item.number for item in found.out] == ["A"]
    assert [item.fat.known_as for item in found.shelf.fats] == ["olive oil", "coconut oil"]
    of_fat = sheet_of(shares=(at_least("coconut oil", 10.0, "fat"),))
    assert in_date(of_fat, over, "2026-11-28").out == found.out
    of_lot = sheet_of(shares=(at_least("coconut oil (lot A)", 1.0, "fat"),))
    named = in_date(of_lot, over, "2026-11-28")
    assert (named.out, [item.number for item in named.kept]) == ((), ["A"])
    used = sheet_of(use_up=(UseUp("coconut oil (lot A)", None, NOWHERE),))
    assert in_date(used, over, "2026-11-28").shelf == over


@pytest.mark.parametrize("day", ["", "2026-01-01"])
def test_before_every_day_nothing_is_left_out(day: str) -> None:
    """And nobody who tells no day loses a lot."""
    over = shelf(lot("A", None, "2026-11-27"))
    assert in_date(sheet_of(), over, day).shelf is over


def test_a_lot_that_is_named_stands_by_itself() -> None:
    """The others are one, with what is left of them, at the value that a recipe of no lot is reckoned with."""
    lots = (lot("A", 256.0, stock=0.5), lot("B", 252.0, stock=2.0), lot("C", None, stock=0.5))
    found = {item.fat.name: item for item in with_named_lots(shelf(*lots), ["coconut oil (lot B)"]).fats}
    assert set(found) == {"olive oil", "coconut oil (lot B)", "coconut oil"}
    assert found["coconut oil"].stock_kg == 1.0
    assert found["coconut oil"].fat.saponification == whichever(lots).fat.saponification


def test_where_every_other_tin_is_empty_there_are_no_others() -> None:
    """Nothing stands for tins in which nothing is."""
    lots = (lot("A", 256.0), lot("B", 252.0, stock=0.0))
    assert [item.fat.name for item in with_named_lots(shelf(*lots), ["coconut oil (lot A)"]).fats] == [
        "olive oil",
        "coconut oil (lot A)",
    ]


def test_the_lot_that_is_named_goes_before_the_others_as_far_as_it_goes() -> None:
    """What there is of it stays the end, and one that is out takes nothing."""
    own = with_named_lots(shelf(lot("A", 256.0, stock=0.5), lot("B", 252.0)), ["coconut oil (lot A)"])
    taken = {"olive oil": 700.0, "coconut oil": 300.0, "coconut oil (lot A)": 300.0}
    assert named_lots_first(own, taken) == {"olive oil": 700.0, "coconut oil": 100.0, "coconut oil (lot A)": 500.0}
    assert named_lots_first(own, {"coconut oil": 200.0}) == {"coconut oil (lot A)": 200.0}
    assert named_lots_first(own, taken, ["coconut oil (lot A)"]) == taken
