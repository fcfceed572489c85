"""One live model asked again and again answers as a new one would, and counts fats only where it must."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Bar, at_least, at_most, bars, exactly, examples, sheet_of, shelf_of, wish_id

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, build
from optimiser.problem.wishes import Section, WishId
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Outcome
from optimiser.solve.solver import Live

SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})


def cold(made: Programme, wishes: set[WishId], objective: Vector) -> float | None:
    """The least of an objective over these wishes by a model of their own; None where they cannot hold."""
    live = Live(replace(made, money=objective))
    for name, places in made.members.items():
        if name not in wishes:
            live.free_rows(places)
    live.forget()
    outcome = live.minimise()
    return outcome.objective if outcome.feasible else None


def check_questions(made: Programme, choices: list[int]) -> None:
    """Questions of both kinds in a random order, each answered as a cold model answers it."""
    oracle, names = Oracle(made), tuple(made.members)
    rng = np.random.default_rng(5)
    for choice in choices:
        wishes = {name for place, name in enumerate(names) if choice >> place & 1}
        nothing = np.zeros_like(made.money)
        assert oracle.feasible(wishes) == (cold(made, wishes, nothing) is not None)
        oracle.hold(wishes)
        objective = np.zeros_like(made.money)
        objective[: made.columns.count] = np.round(rng.uniform(-1.0, 1.0, made.columns.count), 3)
        outcome, truth = oracle.least(objective), cold(made, wishes, objective)
        assert outcome.feasible == (truth is not None)
        if truth is not None:
            assert outcome.objective == pytest.approx(truth, abs=1e-6)


CHOICES = st.lists(st.integers(0, 2**12 - 1), min_size=1, max_size=8)


@settings(max_examples=examples(30))
@given(bars(least_slack=-2.0, most_fats=6), CHOICES)
def test_questions_in_any_order_are_answered_as_if_alone(bar: Bar, choices: list[int]) -> None:
    """What was asked before, and which blends are remembered, changes no answer."""
    check_questions(build(bar.sheet, bar.shelf), choices)


@settings(max_examples=examples(8))
@given(bars(least_slack=-2.0, most_fats=5, most_limits=4), CHOICES, st.integers(1, 3), st.sampled_from((5.0, 30.0)))
def test_counted_fats_are_counted(bar: Bar, choices: list[int], most: int, each: float) -> None:
    """Asking with fats that count in part first never passes off a part for a whole."""
    counts = (exactly("number of fats", float(most), "count"), at_least("each fat", each, "count")._replace(unit="%"))
    check_questions(build(bar.sheet._replace(fat_count=counts), bar.shelf), choices[:4])


def test_a_blend_that_is_known_is_not_asked_for_again() -> None:
    """What a blend found earlier meets costs no further question."""
    made = build(sheet_of(at_least("hardness", 10.0), at_most("hardness", 90.0), at_least("mildness", 1.0)), SHELF)
    oracle = Oracle(made)
    assert oracle.feasible(made.members)
    asked = oracle.solves
    assert all(oracle.feasible([name]) for name in made.members)
    assert oracle.solves == asked


def test_a_core_clashes_by_itself() -> None:
    """What the ray leans on is impossible alone, holds no wish that was switched off, and is there only after a no."""
    made = build(
        sheet_of(
            at_least("hardness", 60.0), at_most("hardness", 30.0), at_most("cost", 50.0), at_least("mildness", 1.0)
        ),
        SHELF,
    )
    oracle = Oracle(made)
    assert not oracle.feasible(made.members)
    core = oracle.core()
    assert core is not None
    assert core <= set(made.members)
    assert cold(made, core, np.zeros_like(made.money)) is None
    assert oracle.feasible([wish_id("goals.hardness.at_most")])
    oracle.hold([wish_id("goals.mildness.at_least")])
    assert oracle.least(None).feasible
    assert oracle.core() is None


def test_a_margin_is_had_of_a_clash_alone() -> None:
    """Wishes that can hold have no margin; those that cannot have one, whatever was asked in between."""
    made = build(sheet_of(at_least("hardness", 60.0), at_most("hardness", 30.0)), SHELF)
    oracle = Oracle(made)
    assert oracle.margin([wish_id("goals.hardness.at_most")]) == 0.0
    first = oracle.margin(made.members)
    assert first > 0.0
    assert oracle.feasible([])
    assert oracle.margin(made.members) == pytest.approx(first, rel=1e-6)


def test_one_side_of_a_wish_is_held_and_let_go() -> None:
    """Of hardness exactly 40 one side is held at a time; let go, neither is."""
    made = build(sheet_of(exactly("hardness", 55.0)), SHELF)
    (member,) = [name for name in made.members if name.section == Section.GOALS]
    oracle = Oracle(made)
    row = made.row_of(member)
    objective = np.pad(row.top, (0, len(made.money) - len(row.top)))
    oracle.hold(name for name in oracle.members if name != member)
    least = oracle.least(objective).objective
    oracle.hold_side(member, up=True)
    assert oracle.least(objective).objective == pytest.approx(54.5, abs=1e-6)
    oracle.hold_side(member, up=False)
    assert oracle.least(-objective).objective == pytest.approx(-55.5, abs=1e-6)
    oracle.let_go(member)
    assert oracle.least(objective).objective == pytest.approx(least, abs=1e-6)
    assert least < 54.0


def test_preferences_are_no_wishes() -> None:
    """A preference is never a member, and never makes a question harder."""
    made = build(sheet_of(prefer=((at_least("hardness", 99.0),),)), SHELF)
    oracle = Oracle(made)
    assert not any(name.section == Section.PREFER for name in oracle.members)
    assert oracle.feasible(oracle.members)


def test_a_blend_that_misses_its_wishes_is_asked_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A warm answer called optimal whose blend does not meet what was asked is not believed: asked cold, there is none."""
    made = build(sheet_of(at_least("hardness", 60.0), at_most("hardness", 30.0)), SHELF)
    oracle, truly = Oracle(made), Oracle.least
    nothing = Outcome(feasible=True, point=np.zeros_like(made.money))
    asked: list[int] = []

    def least(self: Oracle, objective: Vector | None) -> Outcome:
        asked.append(1)
        return nothing if len(asked) == 1 else truly(self, objective)

    monkeypatch.setattr(Oracle, "least", least)
    assert not oracle.feasible(made.members)
    assert len(asked) == 2


def test_a_cold_oracle_answers_as_a_warm_one() -> None:
    """Asked as if each question were the first, the answers are the same."""
    made = build(sheet_of(at_least("hardness", 60.0), at_most("hardness", 30.0), at_least("mildness", 1.0)), SHELF)
    warm, cold_one = Oracle(made), Oracle(made, is_cold=True)
    for wishes in (
        made.members,
        [wish_id("goals.mildness.at_least")],
        [wish_id("goals.hardness.at_least"), wish_id("goals.hardness.at_most")],
    ):
        assert warm.feasible(wishes) == cold_one.feasible(wishes)
