"""Laws of lots: a tin in two halves is that tin, one past its day is never opened, and what is to be used up is, the more is asked."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser import at_least, at_most, blend_for, goals_of, shelf_of
from optimiser.answers.results import Blend
from optimiser.materials.fat import one_lot, with_certificate
from optimiser.problem.goals import GoalSheet, UseUp
from optimiser.problem.limits import NOWHERE
from optimiser.problem.shelf import LotCertificate, Shelf, Stocked

PRICES = {"olive oil": 7.4, "lard": 2.2, "palm oil": 2.0, "castor oil": 6.0, "shea butter": 9.0}
FAT = "coconut oil"
DAY = "2026-11-28"


def lots_of(*told: tuple[str, float, float | None, str], price: float = 3.1) -> Shelf:
    """The shelf with lots of coconut oil: number, kilos, the certificate's value (None without one), and day."""
    plain = shelf_of({FAT: price, **PRICES}, sodium_hydroxide=2.4)
    (oil,) = plain.of_fat(FAT)
    lots = []
    for number, kilos, value, day in told:
        certified = None if value is None else LotCertificate(number, value, 2.0, None, best_before=day)
        fat = oil.fat if value is None else with_certificate(oil.fat, saponification_value=value, tolerance=2.0)
        lots.append(
            Stocked(
                one_lot(fat, number, certified=value is not None), price, kilos, (), certified, NOWHERE, best_before=day
            )
        )
    return plain._replace(fats=(*(item for item in plain.fats if item is not oil), *lots))


def whole_of(kilos: float, value: float | None) -> Shelf:
    """The same with one tin of it, in no lots."""
    shelf = lots_of(("W", kilos, value, ""))
    return shelf._replace(
        fats=tuple(
            item._replace(fat=item.fat._replace(name=FAT, lot="", lot_of="", own_spread="", base=""))
            if item.fat.lot_of
            else item
            for item in shelf.fats
        )
    )


@st.composite
def asked(draw: st.DrawFn) -> GoalSheet:
    """A share of coconut oil, and a limit or two beside it, for a kilo of fats or a few."""
    least = draw(st.integers(0, 35))
    wishes = [at_least(FAT, least), at_most("lard", draw(st.integers(20, 60)))]
    if draw(st.booleans()):
        wishes.append(at_least("hardness", draw(st.integers(30, 55))))
    sheet = goals_of(*wishes, practice=draw(st.booleans()))
    return sheet._replace(batch=sheet.batch._replace(fats_kg=float(draw(st.integers(1, 6)))))


def blend(sheet: GoalSheet, shelf: Shelf) -> Blend | None:
    """The blend, if there is one."""
    found = blend_for(sheet, shelf)
    return found if isinstance(found, Blend) else None


def kilos(found: Blend) -> float:
    """All of the coconut oil."""
    return sum(line.grams for line in found.fats if FAT in (line.fat, line.lot_of)) / 1000.0


@settings(max_examples=examples(20))
@given(asked(), st.floats(0.1, 3.0), st.booleans())
def test_a_tin_in_two_halves_is_that_tin(sheet: GoalSheet, stock: float, certified: bool) -> None:  # noqa: FBT001
    """No cheaper and no dearer where no certificate tells its value; with two certificates it is no dearer, for they are surer."""
    value = 256.0 if certified else None
    halves = blend(sheet, lots_of(("A", stock / 2.0, value, ""), ("B", stock / 2.0, value, "")))
    whole = blend(sheet, whole_of(stock, value))
    assert (halves is None) == (whole is None) or (certified and whole is None)
    assume(halves is not None and whole is not None)
    assert halves is not None
    assert whole is not None
    if certified:
        assert halves.proof.cheapest_possible_per_kg <= whole.proof.cheapest_possible_per_kg * (1.0 + 1e-6)
    else:
        assert halves.proof.cheapest_possible_per_kg == pytest.approx(whole.proof.cheapest_possible_per_kg, rel=1e-6)
        assert halves.alkali.superfat_likely_low == pytest.approx(whole.alkali.superfat_likely_low, abs=0.2)
    assert kilos(halves) <= stock + 1e-6


@settings(max_examples=examples(20))
@given(asked(), st.integers(246, 262), st.integers(246, 262))
def test_a_lot_past_its_day_is_never_opened(sheet: GoalSheet, one: int, other: int) -> None:
    """However cheap it makes the bar; without the day it may be."""
    shelf = lots_of(("OLD", 5.0, float(one), "2026-11-27"), ("NEW", 5.0, float(other), "2027-11-27"), price=0.5)
    found = blend(sheet._replace(made=DAY), shelf)
    assume(found is not None)
    assert found is not None
    assert all(line.lot != "OLD" for line in found.fats)


@settings(max_examples=examples(20))
@given(asked(), st.integers(246, 262), st.integers(246, 262), st.floats(0.02, 2.0))
def test_older_first_costs_no_more_than_a_hair(sheet: GoalSheet, one: int, other: int, stock: float) -> None:
    """The blend is within a thousandth of what no blend can be cheaper than, pinches aside; the newer tin waits for the older."""
    shelf = lots_of(("OLD", stock, float(one), "2027-01-01"), ("NEW", 9.0, float(other), "2027-11-27"))
    bare = sheet._replace(practice_off=True)
    found = blend(bare, shelf)
    assume(found is not None)
    assert found is not None
    assert found.cost.per_kg <= found.proof.cheapest_possible_per_kg * (1.0 + 1.1e-2)
    grams = {line.lot: line.grams for line in found.fats if line.lot}
    told = any("goes in before the older" in note for note in found.notes)
    assert told or not grams.get("NEW") or grams.get("OLD", 0.0) >= 1000.0 * stock - max(1.0, 2.0 * stock)


@settings(max_examples=examples(20))
@given(asked(), st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_the_more_is_asked_the_more_is_used_up(sheet: GoalSheet, one: float, more: float) -> None:
    """And the bar is no cheaper for it; never beyond what was asked by more than the bar would hold anyway."""
    shelf = lots_of(("A", 1.0, 254.0, ""), ("B", 2.0, None, ""))
    bare = sheet._replace(practice_off=True)
    answers = [blend(bare._replace(use_up=(UseUp(FAT, much, NOWHERE),)), shelf) for much in (one, one + more)]
    plain = blend(bare, shelf)
    assume(plain is not None)
    assert all(found is not None for found in answers)
    less, further = (found for found in answers if found is not None)
    assert plain is not None
    assert further.use_up[0].used_kg >= less.use_up[0].used_kg - 1e-5
    costs = [found.proof.cheapest_possible_per_kg for found in (plain, less, further)]
    assert costs[0] <= costs[1] * (1.0 + 1e-6)
    assert costs[1] <= costs[2] * (1.0 + 1e-6)
    assert kilos(less) >= min(one, less.use_up[0].used_kg) - 1e-5
