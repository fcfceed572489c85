"""The order of the questions: preferences, cheapest ratio, and the choice of fats where they are counted."""

from __future__ import annotations

import sys

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import (
    Bar,
    at_least,
    at_most,
    bare_programme,
    bars,
    exactly,
    examples,
    limit,
    programmes,
    sheet_of,
    shelf_of,
)

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, build
from optimiser.solve.optimum import (
    Cheapest,
    held,
    least_ratio,
    least_shortfall,
    settle_preferences,
    solve,
    with_choice_fixed,
)
from optimiser.solve.outcomes import Outcome, SolverFault, Undecided, Work
from optimiser.solve.solver import Live

PRICES = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "sunflower oil": 1.9}
SHELF = shelf_of(PRICES)


def test_a_ratio_is_not_its_numerator() -> None:
    """The dearer column wins where it brings more: 3 for 2 beats 2 for 1."""
    made = bare_programme([[1.0, 1.0]], [1.0], [1.0], [2.0, 3.0], cured=[1.0, 2.0])
    found = least_ratio(Live(made))
    assert found is not None
    assert found.ratio == pytest.approx(1.5)
    assert found.point == pytest.approx([0.0, 1.0])


@settings(max_examples=examples(40))
@given(programmes(cured=True))
def test_no_vertex_reached_by_any_price_is_cheaper(made: Programme) -> None:
    """Blends found under other objectives never come below the least ratio."""
    found = least_ratio(Live(made))
    assert found is not None
    rng = np.random.default_rng(1)
    live = Live(made)
    for _ in range(8):
        point = live.minimise(rng.normal(size=len(made.money))).point
        assert (made.money @ point) / (made.cured @ point) >= found.ratio * (1.0 - 1e-9)
    assert found.ratio == pytest.approx((made.money @ found.point) / (made.cured @ found.point), rel=1e-12)


def test_a_start_within_reach_is_the_answer_at_once() -> None:
    """Asked again from the least ratio, the answer is the same; from above it, it is found all the same."""
    made = build(sheet_of(at_least("hardness", 45.0)), SHELF)
    live, found = solve(made)
    assert found is not None
    for start in (found.ratio, found.ratio * 1.5):
        again = least_ratio(live, start)
        assert again is not None
        assert again.ratio == pytest.approx(found.ratio, rel=1e-9)


def test_a_free_shelf_costs_nothing() -> None:
    """With no prices at all the ratio settles at nothing."""
    made = build(sheet_of(), shelf_of(dict.fromkeys(PRICES, 0.0), alkali_price=0.0))
    _, found = solve(made)
    assert found is not None
    assert found.ratio == pytest.approx(0.0, abs=1e-12)


def test_preferences_come_before_cost() -> None:
    """What can be met is met, however dear, and what cannot is met as far as it goes."""
    wish = (at_least("olive oil", 60.0, "fat"),)
    _, plain = solve(build(sheet_of(), SHELF))
    made = build(sheet_of(prefer=(wish,)), SHELF)
    _, kept = solve(made)
    assert plain is not None
    assert kept is not None
    assert kept.ratio > plain.ratio
    assert kept.point[made.columns.index["olive oil"]] == pytest.approx(0.6, abs=1e-7)
    capped = build(sheet_of(prefer=(wish,), shares=(at_most("olive oil", 40.0, "fat"),)), SHELF)
    live, short = solve(capped)
    assert short is not None
    assert short.point[capped.columns.index["olive oil"]] == pytest.approx(0.4, abs=1e-7)
    assert short.short == pytest.approx((20.0,), abs=1e-6)
    assert short.is_short
    assert live.programme.row_low[capped.soft[0].rows[0]] == pytest.approx(40.0, abs=1e-6)
    assert live.programme.column_high[capped.soft[0].shortfalls[0]] == 0.0


def test_an_earlier_preference_wins() -> None:
    """Of two wishes that cannot both hold the first is met whole, whichever it is."""
    olive, palm = (at_least("olive oil", 70.0, "fat"),), (at_least("palm oil", 70.0, "fat"),)
    for first, other, name in ((olive, palm, "olive oil"), (palm, olive, "palm oil")):
        made = build(sheet_of(prefer=(first, other)), SHELF)
        _, found = solve(made)
        assert found is not None
        assert found.point[made.columns.index[name]] == pytest.approx(0.7, abs=1e-7)
        assert found.point[: made.columns.count].sum() == pytest.approx(1.0)
        rest = {"olive oil": "palm oil", "palm oil": "olive oil"}[name]
        assert found.point[made.columns.index[rest]] == pytest.approx(0.3, abs=1e-6)


@settings(max_examples=examples(25))
@given(bars(counted=True, most_fats=7))
def test_counted_fats_are_few_enough(bar: Bar) -> None:
    """A counted answer uses no more fats than allowed and is found wherever a blend is known."""
    made = build(bar.sheet, bar.shelf)
    live, found = solve(made)
    assert found is not None
    assert (found.point[: made.columns.count] > 1e-7).sum() <= bar.sheet.fat_count[0].value
    again = least_ratio(with_choice_fixed(live, found))
    assert again is not None
    assert again.ratio == pytest.approx(found.ratio, rel=1e-7)


def test_too_much_to_ask_has_no_blend() -> None:
    """Goals that clash give no blend, with or without preferences."""
    goals = (at_least("hardness", 99.0), exactly("superfat", 5.0))
    assert solve(build(sheet_of(*goals), SHELF))[1] is None
    assert solve(build(sheet_of(*goals, prefer=((at_least("mildness", 60.0),),)), SHELF))[1] is None


# -- how the questions are asked -----------------------------------------------------------------------------------


class Bench(Live):
    """A live model that counts its solves, and whose first few say that a search was cut short."""

    def __init__(self, programme: Programme, limited: int = 0) -> None:
        super().__init__(programme)
        self.solves, self.short = 0, limited

    def minimise(self, objective: Vector | None = None) -> Outcome:
        """One solve."""
        self.solves += 1
        return super().minimise(objective)._replace(limited=self.solves <= self.short)


@settings(max_examples=12)
@given(programmes(cured=True))
def test_a_ratio_is_found_in_a_few_solves(made: Programme) -> None:
    """Dinkelbach's steps grow faster than linearly: a handful of solves, and one alone from a start that is the answer."""
    live = Bench(made)
    found = least_ratio(live)
    assert found is not None
    assert live.solves <= 8
    again = Bench(made)
    told = least_ratio(again, found.ratio)
    assert told is not None
    assert (told.ratio, again.solves) == (found.ratio, 1)
    below = Bench(made)
    better = least_ratio(below, 1.2 * found.ratio)
    assert better is not None
    assert better.ratio == pytest.approx(found.ratio, rel=1e-12)
    assert below.solves > 1


@pytest.mark.parametrize(("short", "said"), [(0, False), (1, True), (99, True)])
def test_a_search_cut_short_on_the_way_is_told_at_the_end(short: int, said: bool) -> None:  # noqa: FBT001
    """Where any of the solves was cut short a cheaper blend was not ruled out, though the last one ended."""
    made = bare_programme([[1.0, 1.0]], [1.0], [1.0], [2.0, 3.0], cured=[1.0, 2.0])
    found = least_ratio(Bench(made, short))
    assert found is not None
    assert found.is_limited is said
    from_start = least_ratio(Bench(made, short), 1.5)
    assert from_start is not None
    assert from_start.is_limited is said


class Sinks(Live):
    """A model whose every blend costs less than the one before, without end."""

    def __init__(self, programme: Programme) -> None:
        super().__init__(programme)
        self.part = 1.0

    def minimise(self, objective: Vector | None = None) -> Outcome:
        """Half the cost each time."""
        self.part *= 0.5
        return super().minimise(objective)._replace(point=np.array([self.part, 1.0]))


def test_a_ratio_that_never_settles_is_a_fault() -> None:
    """A solver that finds something cheaper each time is stopped, and the fault is said rather than a figure."""
    live = Sinks(bare_programme([[1.0, 0.0]], [0.0], [1.0], [1.0, 0.0], cured=[0.0, 1.0]))
    with pytest.raises(SolverFault, match="did not settle"):
        least_ratio(live)


@pytest.mark.parametrize(
    ("short", "is_short"),
    [((), False), ((0.0, 1e-12), False), ((0.5, 0.0), True), ((0.0, 2e-9), True), ((0.0, 0.4), True)],
)
def test_short_is_any_preference_missed(short: tuple[float, ...], is_short: bool) -> None:  # noqa: FBT001
    """One preference missed by more than a crumb is enough; rounding is no miss."""
    assert Cheapest(1.0, np.zeros(1), Outcome(feasible=True), short).is_short is is_short


def test_a_row_let_go_binds_no_more() -> None:
    """A goal that nothing can meet leaves no blend; let go, there is the blend that there is without it, preferences or not."""
    wish = at_least("hardness", 99.0)
    for prefer in ((), ((at_least("olive oil", 60.0, "fat"),),)):
        made = build(sheet_of(wish, prefer=prefer), SHELF)
        place = [str(row.wish) for row in made.rows].index("goals.hardness.at_least")
        assert solve(made)[1] is None
        _, freed = solve(made, [place])
        _, plain = solve(build(sheet_of(prefer=prefer), SHELF))
        assert freed is not None
        assert plain is not None
        assert freed.ratio == pytest.approx(plain.ratio, rel=1e-9)


def test_a_choice_is_fixed_only_where_there_is_one() -> None:
    """Without counted fats the model is the same one; with them it is a linear one that holds the fats in use."""
    live, found = solve(build(sheet_of(), SHELF))
    assert found is not None
    assert with_choice_fixed(live, found) is live
    made = build(sheet_of(fat_count=(exactly("number of fats", 2.0, "count"),)), SHELF)
    live, found = solve(made)
    assert found is not None
    fixed = with_choice_fixed(live, found)
    assert not fixed.programme.is_mixed_integer
    used = found.point[: made.columns.count] > 1e-7
    for seed in range(4):
        point = fixed.minimise(np.random.default_rng(seed).normal(size=len(made.money))).point
        assert not (point[: made.columns.count][~used] > 1e-7).any()


def test_a_search_that_found_nothing_in_its_time_is_undecided() -> None:
    """With preferences too: running out of work is told as such, and is neither "no blend" nor a fault of the program."""
    count = (exactly("number of fats", 2.0, "count"),)
    made = build(sheet_of(fat_count=count, prefer=((at_least("hardness", 60.0),),)), SHELF)
    live = Live(made)

    def gives_up(*_: object, **__: object) -> Outcome:
        raise Undecided

    live.minimise = gives_up  # type: ignore[method-assign]
    with pytest.raises(Undecided):
        held(live, 1e-9)


def test_a_preference_leaves_hardly_any_room() -> None:
    """A preference held before the next question gives way by a billionth of its limit: the cost comes from the rest."""
    made = build(sheet_of(prefer=((at_least("olive oil", 60.0, "fat"),), (at_least("hardness", 99.0),))), SHELF)
    live, found = solve(made)
    assert found is not None
    olive, hard = (preference.rows[0] for preference in made.soft)
    assert live.programme.row_low[olive] == pytest.approx(60.0, abs=1e-7)
    assert found.point[made.columns.index["olive oil"]] >= 0.6 - 1e-8
    reached = float(made.matrix[hard, : made.columns.size] @ found.point[: made.columns.size])
    assert 99.0 - reached == pytest.approx(found.short[1], abs=1e-6)


def test_the_room_that_a_preference_gives_stays_small(monkeypatch: pytest.MonkeyPatch) -> None:
    """However often the solver loses the blend, a preference gives way by no more than a hundred-thousandth of its limit."""
    room = sys.modules[solve.__module__]
    gives: list[float] = []
    monkeypatch.setattr(room, "settle_preferences", lambda _, give, **_spare: gives.append(give))
    with pytest.raises(SolverFault, match="there is a blend"):
        solve(build(sheet_of(prefer=((at_least("olive oil", 60.0, "fat"),),)), SHELF))
    assert len(gives) > 1
    assert gives == sorted(set(gives))
    assert max(gives) <= 1.001e-5


class Stumbles(Live):
    """A model that finds the cheapest blend, and asked again comes back with a dearer one."""

    def __init__(self, programme: Programme) -> None:
        super().__init__(programme)
        self.solves = 0

    def minimise(self, objective: Vector | None = None) -> Outcome:
        """The cheap blend first."""
        self.solves += 1
        point = [0.0, 1.0] if self.solves == 1 else [1.0, 0.0]
        return super().minimise(objective)._replace(point=np.array(point))


def test_a_dearer_blend_found_later_is_not_the_answer() -> None:
    """Where the last solve comes back with a dearer blend, by rounding, the cheaper one in hand is told, with its own cost."""
    made = bare_programme([[1.0, 1.0]], [1.0], [1.0], [2.0, 3.0], cured=[1.0, 2.0])
    found = least_ratio(Stumbles(made))
    assert found is not None
    assert found.ratio == 1.5
    assert found.point.tolist() == [0.0, 1.0]


def test_preferences_over_no_blend_are_not_settled() -> None:
    """Where goals clash a preference has no shortfall, not a shortfall of nothing."""
    made = build(sheet_of(at_least("hardness", 99.0), prefer=((at_least("mildness", 60.0),),)), SHELF)
    assert least_shortfall(Live(made), made.soft[0]) is None
    assert settle_preferences(Live(made), 1e-9) is None
    assert held(Live(made), 1e-9) is None


@pytest.mark.parametrize("asked", [0.0, 0.5, 1.0])
def test_a_cost_out_of_reach_is_missed_by_the_least_cost_less_what_was_asked(asked: float) -> None:
    """Of a cost per kilo that cannot be had the shortfall is what the cheapest blend costs beyond it, and no other blend's."""
    goals = (at_least("superfat", 2.0), at_most("superfat", 15.0))
    loose = (*goals, at_least("lye_concentration", 25.0), at_most("lye_concentration", 40.0))
    wish = limit("cost", "at_most", asked, per="kg")
    cheap = shelf_of(PRICES, alkali_price=1.0)  # more alkali costs more money, and less a kilo
    made = build(sheet_of(*loose, prefer=((wish,),)), cheap)
    least = least_ratio(Live(build(sheet_of(*loose), cheap)))
    assert least is not None
    missed = least_shortfall(Live(made), made.soft[0])
    assert missed == pytest.approx(least.ratio - asked, rel=1e-9)


def test_a_ratio_within_reach_is_missed_by_nothing() -> None:
    """A cost that can be had, and a share that can, are short of nothing; a share that cannot is short by per cent of the fats."""
    dear = limit("cost", "at_most", 50.0, per="kg")
    olive = at_least("olive oil", 60.0, "fat")
    made = build(sheet_of(prefer=((dear,), (olive,)), shares=(at_most("olive oil", 45.0, "fat"),)), SHELF)
    assert least_shortfall(Live(made), made.soft[0]) == pytest.approx(0.0, abs=1e-9)
    assert least_shortfall(Live(made), made.soft[1]) == pytest.approx(15.0, abs=1e-9)


def test_work_that_is_given_is_what_is_spent() -> None:
    """What an answer may spend is passed along and counted on, with preferences or not; without any, an answer has its own."""
    for prefer in ((), ((at_least("olive oil", 60.0, "fat"),),)):
        made = build(sheet_of(prefer=prefer), SHELF)
        work = Work()
        live, _ = solve(made, work=work)
        assert live.work is work
        assert work.done > 0.0
        alone, _ = solve(made)
        assert isinstance(alone.work, Work)
        assert alone.work is not work


def test_a_blend_lost_while_preferences_are_held_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """A solver that loses its way is asked again from cold, so it is not a fault yet; nor is a model that holds no blend."""
    made = build(sheet_of(prefer=((at_least("olive oil", 60.0, "fat"),),)), SHELF)
    live = Live(made)

    def loses_its_way(*_: object) -> Outcome:
        raise SolverFault("lost")

    monkeypatch.setattr(live, "minimise", loses_its_way)
    assert held(live, 1e-9) is None
    assert held(Live(build(sheet_of(at_least("hardness", 99.0)), SHELF)), 1e-9) is None
