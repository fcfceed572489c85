"""The least cash: the ends of a batch, a purchase in hand, and what is told where the work ends."""

from __future__ import annotations

import pytest

from optimiser.maths.arrays import Vector
from optimiser.planning.settled import bills_of
from optimiser.problem.asking import at_least, at_most, goals_of, shelf_of
from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buy, Buying
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Pack, Shelf
from optimiser.solve import least_cash as searching
from optimiser.solve.least_cash import Purchase, least_cash
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live
from optimiser.solve.switches import holds
from optimiser.solve.yielding import cheapest


def shelf() -> Shelf:
    """Four fats in packs of 1 and 5 kg."""
    made = shelf_of({"olive oil": 7.0, "coconut oil": 3.0, "lard": 2.5, "castor oil": 5.0}, sodium_hydroxide=2.4)
    fats = tuple(
        item._replace(packs=(Pack(1.0, 1.2 * item.price), Pack(5.0, 4.5 * item.price)), minimum_order_kg=2.0)
        for item in made.fats
    )
    return made._replace(fats=(fats[0]._replace(stock_kg=1.5), *fats[1:]))


def sheet(left: float, *, cost: float | None = None) -> GoalSheet:
    """A plain bar out of packs."""
    limits = [at_least("hardness", 40), at_most("coconut oil", 30), at_most("lard", 50)]
    limits += [] if cost is None else [at_most("cost", cost)]
    return goals_of(*limits)._replace(batch=Batch(fats_kg=None, bars=80), buying=Buying(Buy.PACKS, left))


def purchase(goals: GoalSheet, work: Work) -> Purchase:
    """What is bought for the goals."""
    asked = cheapest(goals, shelf())
    assert asked.found is not None
    return least_cash(asked.sheet, shelf(), asked.found, work)


@pytest.mark.parametrize("left", [0.0, 0.7])
@pytest.mark.parametrize("cost", [None, 6.0])
def test_the_blend_in_hand_with_its_best_purchase_is_a_point_of_the_search(
    left: float, cost: float | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every row of the programme in kilograms holds at it, so that only better ones are looked for."""
    seen = []
    searched = searching._searched

    def looking(live: Live, start: float, known: Vector) -> Cheapest:
        seen.append(holds(live.programme, known))
        return searched(live, start, known)

    monkeypatch.setattr(searching, "_searched", looking)
    found = purchase(sheet(left, cost=cost), Work())
    assert seen == [True]
    assert found.proof.gap <= 1e-6
    assert not found.proof.is_limited


def test_where_the_work_ends_there_is_a_purchase_with_its_gap() -> None:
    """No work at all is left: what is in hand is told, and how far from the least it may be."""
    early, whole = purchase(sheet(0.0), Work(allowed=0.0)), purchase(sheet(0.0), Work())
    assert early.taken
    assert early.proof.is_limited
    assert early.proof.least_possible_per_kg <= whole.proof.per_kg * (1.0 + 1e-9)
    assert whole.proof.per_kg <= early.proof.per_kg * (1.0 + 1e-9)
    assert early.proof.gap > 0.0


def test_without_a_word_of_buying_there_is_nothing_to_look_for() -> None:
    """A fault of whoever calls."""
    asked = cheapest(sheet(0.0)._replace(buying=None), shelf())
    assert asked.found is not None
    with pytest.raises(ValueError, match="nothing is said of buying"):
        least_cash(asked.sheet, shelf(), asked.found, Work())


def test_a_hair_beyond_a_pack_buys_no_other() -> None:
    """What the solver leaves of its tolerance is no reason for one."""
    buying = Buying(Buy.PACKS, 0.0)
    (bill,) = bills_of(shelf(), buying, {"lard": 5.0 + 5e-8}, searching.DUST)
    assert [line.number for line in bill.lines] == [1.0]
