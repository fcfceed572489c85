"""Exact bounds: never above the truth, whatever the multipliers."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import bare_programme, examples, programmes

from optimiser.model.programme import Programme
from optimiser.solve.optimum import least_ratio
from optimiser.solve.proof import (
    OptimalityProof,
    cheapest_possible,
    infeasibility_margin,
    lower_bound,
    lower_bound_of_ratio,
    usable,
    whole,
)
from optimiser.solve.solver import Live


def by_hand(programme: Programme, objective: Sequence[float | Fraction], dual: list[float]) -> Fraction:
    """The weak-duality bound summed over every row and column in fractions, the long way."""
    weights = [Fraction(weight) for weight in dual]
    bound = Fraction()
    for row, weight in enumerate(weights):
        if weight:
            bound += weight * Fraction(float(programme.row_low[row] if weight > 0 else programme.row_high[row]))
    for column, cost in enumerate(objective):
        entries = programme.matrix[:, column].tolist()
        reduced = Fraction(cost) - sum(
            (weight * Fraction(entry) for weight, entry in zip(weights, entries, strict=True)), Fraction()
        )
        ends = (Fraction(float(programme.column_low[column])), Fraction(float(programme.column_high[column])))
        bound += min(reduced * end for end in ends)
    return bound


@settings(max_examples=examples(60))
@given(programmes(), st.integers(0, 2**32 - 1))
def test_the_shortcut_is_the_whole_sum(made: Programme, seed: int) -> None:
    """Leaving out columns whose reduced cost is beyond doubt gives the very fraction that the whole sum gives."""
    rng = np.random.default_rng(seed)
    dual = usable(made, rng.normal(0.0, 1.0, len(made.row_low)))
    assert lower_bound(made, made.money, dual) == by_hand(made, made.money.tolist(), dual.tolist())


@settings(max_examples=examples(60))
@given(programmes())
def test_a_solved_programme_is_proved_to_a_billionth(made: Programme) -> None:
    """The bound from the solver's own prices is within 1e-9 of its optimum, and not above the cost of its blend."""
    outcome = Live(made).minimise()
    bound = float(lower_bound(made, made.money, outcome.row_dual))
    assert bound <= outcome.objective + 1e-9
    assert bound == pytest.approx(outcome.objective, abs=1e-8)


@given(st.lists(st.floats(allow_nan=False, allow_infinity=False), max_size=6))
def test_whole_numbers_are_the_very_floats(values: list[float]) -> None:
    """Any floats, of whatever size, nothing and the smallest among them, are the same as fractions over one power of two."""
    wholes, shift = whole(np.array([*values, 0.0, 5e-324, -1.7e308]))
    assert [Fraction(number, 2**shift) for number in wholes] == [
        *map(Fraction, values),
        0,
        Fraction(5e-324),
        Fraction(-1.7e308),
    ]
    table, over = whole(np.array([[3.0, 2.0**70], [-0.5, 0.0]]))
    assert [Fraction(number, 2**over) for number in table] == [3, 2**70, Fraction(-1, 2), 0]


@pytest.mark.parametrize("bad", [np.nan, np.inf])
def test_nothing_is_proved_of_what_is_no_number(bad: float) -> None:
    """A figure that is infinite or none ends in a fault, never in a bound."""
    with pytest.raises(ValueError, match="finite"):
        whole(np.array([1.0, bad]))


def test_crumbs_of_the_wrong_sign_are_dropped() -> None:
    """A multiplier that leans on a side without a limit counts as none, and so does one that is no number."""
    made = bare_programme([[1.0], [1.0], [1.0]], [0.0, -np.inf, 0.0], [np.inf, 1.0, 1.0], [1.0])
    assert usable(made, np.array([-1.0, 1.0, np.nan])).tolist() == [0.0, 0.0, 0.0]
    assert usable(made, np.array([1.0, -1.0, -1.0])).tolist() == [1.0, -1.0, -1.0]


@settings(max_examples=examples(40))
@given(programmes(cured=True))
def test_the_certificate_is_below_the_cheapest_ratio_and_near_it(made: Programme) -> None:
    """No blend costs less than the certificate says, and the blend found costs hardly more."""
    found = least_ratio(Live(made))
    assert found is not None
    proved = cheapest_possible(made, found.ratio, found.outcome.row_dual)
    assert proved <= found.ratio
    assert proved == pytest.approx(found.ratio, rel=1e-7)


@settings(max_examples=examples(40))
@given(programmes(cured=True), st.integers(0, 2**32 - 1))
def test_a_bad_ratio_or_bad_prices_only_weaken_the_certificate(made: Programme, seed: int) -> None:
    """With prices from anywhere the certificate is still below the cheapest ratio."""
    rng = np.random.default_rng(seed)
    found = least_ratio(Live(made))
    assert found is not None
    wild = rng.normal(0.0, 5.0, len(made.row_low))
    assert cheapest_possible(made, found.ratio * rng.uniform(0.5, 1.0), wild) <= found.ratio


def test_a_margin_above_zero_needs_a_true_ray() -> None:
    """A feasible programme has no margin above zero under any of many rays; an infeasible one has under its own."""
    good = bare_programme([[1.0, 1.0], [1.0, 0.0]], [1.0, -np.inf], [1.0, 0.25], [2.0, 6.0])
    rng = np.random.default_rng(7)
    assert all(infeasibility_margin(good, ray) <= 0.0 for ray in rng.normal(size=(200, 2)))
    assert infeasibility_margin(good, np.zeros(2)) == 0.0
    bad = bare_programme([[1.0, 1.0], [1.0, 1.0]], [1.0, 2.0], [1.0, np.inf], [1.0, 1.0])
    assert infeasibility_margin(bad, np.array([-1.0, 1.0])) == pytest.approx(1.0)


@settings(max_examples=examples(60))
@given(programmes(), st.integers(0, 2**32 - 1))
def test_columns_within_rounding_of_nothing_are_summed(made: Programme, seed: int) -> None:
    """Where multipliers price every column to nothing but rounding, no column is left out of the exact sum."""
    rng = np.random.default_rng(seed)
    dual = usable(made, rng.normal(0.0, 1.0, len(made.row_low)))
    priced = dual @ made.matrix
    nudged = np.nextafter(priced, priced + rng.choice([-1.0, 1.0], len(priced)))
    for objective in (priced, nudged):
        assert lower_bound(made, objective, dual) == by_hand(made, objective.tolist(), dual.tolist())


def test_a_reduced_cost_below_nothing_by_rounding_alone_counts() -> None:
    """0.3 - 0.1 - 0.2 is no zero in floating point, but just below it: the bound counts it, and not as it was rounded."""
    made = bare_programme([[1.0], [1.0]], [0.0, 0.0], [np.inf, np.inf], [0.3], column_high=[1e6])
    exact = Fraction(0.3) - Fraction(0.1) - Fraction(0.2)
    assert exact < 0
    assert lower_bound(made, made.money, np.array([0.1, 0.2])) == exact * 10**6


@settings(max_examples=examples(60))
@given(programmes(cured=True), st.integers(0, 2**32 - 1))
def test_what_is_printed_is_rounded_down(made: Programme, seed: int) -> None:
    """The certificate as a float is below the fraction that was proved, and within two steps of it."""
    rng = np.random.default_rng(seed)
    found = least_ratio(Live(made))
    assert found is not None
    for dual in (found.outcome.row_dual, rng.normal(0.0, 1.0, len(made.row_low))):
        least = Fraction(float(made.cured[: made.columns.count].min()))
        proved = Fraction(found.ratio) + min(Fraction(), lower_bound_of_ratio(made, found.ratio, dual)) / least
        told = cheapest_possible(made, found.ratio, dual)
        assert Fraction(told) < proved
        assert np.nextafter(np.nextafter(told, np.inf), np.inf) >= float(proved)


def test_a_margin_is_rounded_down() -> None:
    """A margin that is no float is told as the float below it."""
    made = bare_programme([[1.0], [1.0]], [-np.inf, 2.0 / 3.0], [1.0 / 3.0, np.inf], [1.0], column_high=[1.0])
    margin = infeasibility_margin(made, np.array([-1.0, 1.0]))
    assert 0.0 < Fraction(margin) < Fraction(2.0 / 3.0) - Fraction(1.0 / 3.0)


@settings(max_examples=examples(60))
@given(programmes(cured=True), st.integers(0, 2**32 - 1))
def test_the_bound_of_a_ratio_never_trusts_its_own_rounding(made: Programme, seed: int) -> None:
    """The bound on N - r M is no higher than the same sum with each cost formed in fractions."""
    rng = np.random.default_rng(seed)
    ratio = float(rng.uniform(0.5, 20.0))
    dual = usable(made, rng.normal(0.0, 1.0, len(made.row_low)))
    pairs = zip(made.money.tolist(), made.cured.tolist(), strict=True)
    costs = [Fraction(money) - Fraction(ratio) * Fraction(weight) for money, weight in pairs]
    assert lower_bound_of_ratio(made, ratio, dual) <= by_hand(made, costs, dual.tolist())


@pytest.mark.parametrize("size", [1e-6, 1.0, 1e6])
def test_a_margin_does_not_hang_on_the_length_of_its_ray(size: float) -> None:
    """Shares that must come to 1 and to 2 at once miss by 1, however long the multipliers are."""
    bad = bare_programme([[1.0, 1.0], [1.0, 1.0]], [1.0, 2.0], [1.0, np.inf], [1.0, 1.0])
    assert infeasibility_margin(bad, size * np.array([-1.0, 1.0])) == pytest.approx(1.0, rel=1e-12)


def test_what_can_just_be_met_has_a_margin_of_nothing() -> None:
    """All of one fat is possible and no more: the margin is zero, and not below it by a rounding."""
    made = bare_programme([[1.0]], [1.0], [np.inf], [1.0])
    assert infeasibility_margin(made, np.array([1.0])) == 0.0
    assert infeasibility_margin(made, np.array([1.0])).hex() == "0x0.0p+0"


def test_a_large_shelf_is_proved_in_few_exact_sums(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of five hundred fats that are far too dear none is summed exactly, only those that the bound may hang on."""
    rng = np.random.default_rng(3)
    dear = rng.uniform(5.0, 20.0, 500)
    made = bare_programme([np.ones(502).tolist()], [1.0], [1.0], [2.0, 1.0, *dear.tolist()])
    room = sys.modules[lower_bound.__module__]
    asked: list[int] = []
    honest = room.dot

    def counted(ones: Sequence[int], others: Sequence[int]) -> int:
        asked.append(len(ones))
        total: int = honest(ones, others)
        return total

    monkeypatch.setattr(room, "dot", counted)
    assert lower_bound(made, made.money, np.array([2.0])) == 1
    assert len(asked) <= 3  # the rows, and the two fats that cost no more than 2


@pytest.mark.parametrize("crumbs", [6, 7, 8, 12])
def test_crumbs_that_a_sum_loses_are_in_the_proof(crumbs: int) -> None:
    """One and many crumbs of almost half a step each come to one in floating point: a price between is a loss, not a gain."""
    crumb = 0.49 * 2.0**-52
    table = np.ones((crumbs + 1, 5)) * crumb
    table[0] = 1.0
    for order in (table, table[::-1]):
        made = bare_programme(order.tolist(), [0.0] * (crumbs + 1), [np.inf] * (crumbs + 1), [1.0] * 5)
        dual = np.ones(crumbs + 1)
        for above in range(crumbs + 2):
            objective = np.full(5, 1.0 + above * 2.0**-52)
            assert lower_bound(made, objective, dual) == by_hand(made, objective.tolist(), dual.tolist())


@settings(max_examples=40)
@given(programmes(cured=True), st.integers(0, 2**32 - 1), st.sampled_from([1e-4, 1.0]))
def test_the_bound_of_a_ratio_gives_away_no_more_than_roundings(made: Programme, seed: int, high: float) -> None:
    """It is below the sum in fractions by at most eight roundings of what the columns can cost within their bounds."""
    rng = np.random.default_rng(seed)
    ratio = float(rng.uniform(0.5, 20.0))
    made = replace(made, column_high=np.full(len(made.money), high))
    dual = usable(made, rng.normal(0.0, 1.0, len(made.row_low)))
    pairs = list(zip(made.money.tolist(), made.cured.tolist(), strict=True))
    costs = [Fraction(money) - Fraction(ratio) * Fraction(weight) for money, weight in pairs]
    most = sum(money + ratio * weight for money, weight in pairs) * high
    given_away = by_hand(made, costs, dual.tolist()) - lower_bound_of_ratio(made, ratio, dual)
    assert 0 <= given_away <= 8.0 * 2.0**-53 * most


def test_a_cost_finer_than_any_product_is_in_the_proof() -> None:
    """A cost of 1e-20 beside a multiplier and an entry of one is a digit far behind theirs, and is kept."""
    made = bare_programme([[1.0]], [0.5], [np.inf], [1e-20])
    high = Fraction(float(made.column_high[0]))
    assert lower_bound(made, made.money, np.array([1.0])) == Fraction(1, 2) + (Fraction(1e-20) - 1) * high


@pytest.mark.parametrize(
    ("preferences", "limited", "words"), [(0, False, "goals"), (1, False, "can be"), (2, True, "here")]
)
def test_a_proof_says_of_which_blends_it_is(preferences: int, limited: bool, words: str) -> None:  # noqa: FBT001
    """Of every blend that meets the goals; with preferences, of those that meet them as far as they can be met, or as here."""
    proof = OptimalityProof(1.0, 0.0, exact=True, preferences=preferences, is_limited=limited)
    assert proof.covers.endswith(words)
    assert OptimalityProof(1.0, 0.0, exact=True).covers == OptimalityProof(1.0, 0.0, exact=True, preferences=0).covers
    assert not OptimalityProof(1.0, 0.0, exact=True).is_limited
