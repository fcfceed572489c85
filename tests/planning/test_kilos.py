"""A programme in kilograms holds of a batch what the programme of one kilogram of fats holds of its blend."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest

from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.programme import Programme, build
from optimiser.planning.kilos import Ends, in_kilos, per_kilo_of_fats
from optimiser.problem.asking import at_least, at_most, goals_of, shelf_of
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.buying import Buying
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.problem.wishes import NUMBER_OF_FATS, Said
from optimiser.solve.least_cash import kilos_of_fats
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live

SHELF = shelf_of(
    {"olive oil": 7.0, "coconut oil": 3.0, "palm oil": 2.0, "shea butter": 8.0, "castor oil": 5.0}, sodium_hydroxide=2.4
)
COUNT = Limit(NUMBER_OF_FATS, SubjectKind.COUNT, Side.AT_MOST, 3.0, "fats", Said("at most 3 fats"), NOWHERE)
EACH = Limit("each fat", SubjectKind.COUNT, Side.AT_LEAST, 8.0, "%", Said("each fat at least 8 %"), NOWHERE)
BATCHES = {
    "fats": Batch(fats_kg=12.0),
    "bars": Batch(fats_kg=None, bars=90),
    "mould": Batch(fats_kg=None, mould=Mould(30.0, 20.0, 10.0)),
    "batter": Batch(fats_kg=None, batter_kg=9.0),
}


class Made(NamedTuple):
    """A programme, its ends, and the same in kilograms."""

    plain: Programme
    ends: Ends
    kilos: Programme


def made(batch: str, *, counted: bool) -> Made:
    """A plain bar."""
    sheet: GoalSheet = goals_of(at_least("hardness", 40), at_most("coconut oil", 30))._replace(
        batch=BATCHES[batch], buying=Buying(), fat_count=(COUNT, EACH) if counted else ()
    )
    plain = build(sheet, SHELF)
    ends = kilos_of_fats(plain, Work())
    return Made(plain, ends, in_kilos(plain, ends))


@pytest.mark.parametrize("batch", BATCHES)
@pytest.mark.parametrize("counted", [False, True])
def test_the_cheapest_is_the_same(batch: str, counted: bool) -> None:  # noqa: FBT001
    """The least cost per kilo of fats, times what the batch takes, is within the least cost of the batch in kilograms."""
    plain, ends, kilos = made(batch, counted=counted)
    one = per_kilo_of_fats(plain)
    ratio = 0.0
    for _ in range(30):  # the money of a batch is a ratio over 1 / F: Dinkelbach's iteration
        blend = Live(plain).minimise(plain.money - ratio * one)
        assert blend.feasible
        ratio = float(plain.money @ blend.point) / float(one @ blend.point)
    whole = Live(kilos).minimise(kilos.money)
    assert whole.feasible
    assert whole.objective == pytest.approx(ratio, rel=1e-7)
    fats = float(whole.point[: plain.columns.count].sum())
    assert ends.low * (1.0 - 1e-9) <= fats <= ends.high * (1.0 + 1e-9)
    shares = whole.point[: len(plain.money)] / np.where(plain.integer, 1.0, fats)
    activity = plain.matrix @ shares
    assert (activity >= plain.row_low - 1e-6).all()
    assert (activity <= plain.row_high + 1e-6).all()
    assert 1.0 / float(one @ shares) == pytest.approx(fats, rel=1e-7)


def test_a_mass_of_fats_has_one_end() -> None:
    """Twelve kilos are twelve kilos; bars of a cured weight take more or less of them."""
    assert made("fats", counted=False).ends == (12.0, 12.0)
    low, high = made("bars", counted=False).ends
    assert 6.0 < low < high < 9.0
