"""The cone of the lots in a live model: few rounds, few rows, prices that the programme's own rows account for."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, exactly, examples, limit, sheet_of, shelf_of

from optimiser.model.programme import Programme, build
from optimiser.planning.blocks import Member
from optimiser.planning.together import together
from optimiser.problem.batch import Batch
from optimiser.problem.wishes import EACH_FAT
from optimiser.solve.cone import MOST_TANGENTS, Cone
from optimiser.solve.loading import load
from optimiser.solve.optimum import least_ratio
from optimiser.solve.proof import cheapest_possible, lower_bound
from optimiser.solve.solver import Live

NAMES = ("palm oil", "olive oil", "coconut oil", "lard", "sunflower oil", "shea butter", "castor oil")
SHELF = shelf_of({name: 2.0 + place for place, name in enumerate(NAMES)})


def likely(low: float, most: float | None = None) -> Programme:
    """A likely superfat of so much with hardly more superfat than that."""
    most = low + 0.6 if most is None else most
    return build(sheet_of(at_least("likely_superfat", low), at_most("superfat", most)), SHELF)


PRICES = {"mango butter": 1.0, "milk fat": 1.1, "olive oil": 4.0, "sunflower oil": 5.0}


def leaning(made: Programme) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """The likely superfat itself as an objective."""
    objective = np.zeros(len(made.money))
    made_likely = made.columns.unreacted_likely
    objective[: len(made_likely)] = -made_likely
    return objective


@settings(max_examples=examples(30))
@given(st.floats(0.0, 3.0))
def test_an_optimum_that_leans_on_the_cone_is_proved_by_the_programmes_own_rows(low: float) -> None:
    """The multipliers told, over the rows told, prove in fractions that no blend is cheaper; the blend lies in the cone."""
    live = Live(likely(low))
    found = least_ratio(live)
    assert found is not None
    made = live.programme
    assert made.lots is not None
    assert len(found.outcome.row_dual) == len(made.matrix)
    assert found.ratio - cheapest_possible(made, found.ratio, found.outcome.row_dual) < 1e-7
    assert found.point[made.lots.norm] == pytest.approx(made.lots.length(found.point), abs=3e-7)
    assert (made.matrix @ found.point >= made.row_low - 1e-6).all()
    assert (made.matrix @ found.point <= made.row_high + 1e-6).all()


def test_the_most_that_can_be_likely_is_proved_too() -> None:
    """Pushed as far as it goes, the figure stops where the exact bound of its multipliers stops it."""
    live = Live(likely(0.0))
    objective = leaning(live.programme)
    outcome = live.minimise(objective)
    assert live.is_bent
    bound = float(lower_bound(live.programme, objective, outcome.row_dual))
    assert outcome.objective == pytest.approx(bound, abs=1e-6)
    assert float(objective @ outcome.point) == pytest.approx(outcome.objective, abs=1e-6)


def test_none_is_proved_by_a_ray_over_the_programmes_own_rows() -> None:
    """Where lots stray too far for any blend, the ray told shows it over the rows told."""
    live = Live(likely(3.0, 3.1))
    assert not live.minimise().feasible
    ray = live.ray()
    assert ray is not None
    assert float(lower_bound(live.programme, np.zeros(len(live.programme.money)), ray / np.abs(ray).max())) > 0.0


def test_a_model_asked_again_and_again_stays_small() -> None:
    """Tangents that nothing leans on are used again, so that questions do not pile up rows."""
    live = Live(likely(0.5))
    rng = np.random.default_rng(3)
    for _ in range(60):
        objective = leaning(live.programme) * rng.uniform(0.0, 0.1)
        objective[: len(NAMES)] += rng.uniform(0.0, 1.0, len(NAMES))
        assert live.minimise(objective).feasible
    assert live.programme.lots is not None
    groups = len(NAMES) + 1
    tangents = live._model.getNumRow() - len(live.programme.matrix)
    assert tangents <= 2 * MOST_TANGENTS * groups


def test_what_no_blend_misses_costs_no_row() -> None:
    """Where every row has room for the spread of lots, the model holds no tangent, and the blend says its spread."""
    made = build(sheet_of(at_least("superfat", 5.0), at_least("likely_superfat", 0.0)), SHELF)
    live = Live(made)
    outcome = live.minimise()
    assert made.lots is not None
    assert len(live.programme.matrix) == len(made.matrix) == live._model.getNumRow()
    assert outcome.point[made.lots.norm] == pytest.approx(made.lots.length(outcome.point))


@settings(max_examples=examples(40))
@given(st.integers(0, 2**32 - 1))
def test_what_is_owed_is_never_longer_than_it_may_be(seed: int) -> None:
    """Whatever the multipliers, the direction of the debt is at most 1 long, so that its row holds for every blend."""
    made = likely(0.5)
    assert made.lots is not None
    cone, rng = Cone(model := load(made, in_part=True), made.lots), np.random.default_rng(seed)
    for _ in range(3):
        point = np.zeros(len(made.money))
        point[: len(NAMES)] = rng.uniform(0.0, 1.0, len(NAMES))
        cone.cut(point)
    dual = rng.uniform(0.0, 1.0, model.getNumRow())
    debt = cone.owed(dual)
    assert debt is not None
    assert float(np.linalg.norm(debt.direction)) <= 1.0 + 1e-12
    assert (debt.direction >= 0.0).all()
    row = made.lots.tangent(debt.direction, len(made.money))
    for _ in range(4):
        other = np.zeros(len(made.money))
        other[: made.columns.size] = rng.uniform(0.0, 1.0, made.columns.size)
        assert float(row @ made.lots.lifted(other)) >= 0.0


def test_a_choice_that_lots_leave_no_room_for_is_barred_and_the_next_one_taken() -> None:
    """Of fats counted to two the cheapest pairs stray too far: the answer is the cheapest pair that does not."""
    names, shelf = tuple(PRICES), shelf_of(PRICES)
    goals = (exactly("superfat", 2.0), at_least("likely_superfat", 1.0))
    sheet = sheet_of(
        *goals, fat_count=(exactly("number of fats", 2.0, "count"), limit(EACH_FAT, "at_least", 20.0, "count"))
    )
    found = least_ratio(Live(build(sheet, shelf)))
    assert found is not None
    ratios = {}
    for pair in combinations(names, 2):
        held = sheet_of(*goals, shares=tuple(at_least(name, 20.0, "fat") for name in pair))
        alone = least_ratio(Live(build(held, shelf_of({name: item for name, item in PRICES.items() if name in pair}))))
        if alone is not None:
            ratios[pair] = alone.ratio
    assert 0 < len(ratios) < 6
    assert found.ratio == pytest.approx(min(ratios.values()), rel=1e-6)


def test_cones_of_several_bars_are_told_as_rows_of_their_own() -> None:
    """Where one programme holds the lots of two bars, each is cut by itself, and what a proof owes is a row for each."""
    goals = at_least("likely_superfat", 2.0), at_most("superfat", 6.0)
    sheets = [sheet_of(*goals, batch=Batch(fats_kg=kilos)) for kilos in (2.0, 3.0)]
    plan = together([Member(str(place), build(sheet, SHELF), 3.0) for place, sheet in enumerate(sheets)])
    live = Live(plan.programme)
    found = live.minimise(plan.programme.money)
    assert found.feasible
    for lots in plan.programme.every_lots:
        assert lots.length(found.point) <= found.point[lots.norm] + 2e-7
    more = live.programme.matrix[len(plan.programme.matrix) :]
    assert len(more) == 2
    felt = [{int(np.flatnonzero(row)[-1]) for row in more}, {lots.norm for lots in plan.programme.every_lots}]
    assert felt[0] == felt[1]
    bound = float(lower_bound(live.programme, plan.programme.money, found.row_dual))
    assert bound == pytest.approx(found.objective, abs=1e-6)
