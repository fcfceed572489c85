"""Minimal clashes: every member needed, all together impossible."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import pytest
from hypothesis import given, settings
from strategies import Bar, at_least, at_most, bars, exactly, examples, sheet_of, shelf_of, wish_id, with_practice

from optimiser.analysis.conflicts import Clash, all_clashes
from optimiser.model.programme import Programme, build
from optimiser.problem.batch import Batch
from optimiser.problem.wishes import WishId
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Undecided
from optimiser.solve.solver import Live

SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})


def can_hold(made: Programme, wishes: tuple[WishId, ...]) -> bool:
    """Whether these wishes can hold together, by a model of their own solved cold."""
    live = Live(made)
    for name, places in made.members.items():
        if name not in wishes:
            live.free_rows(places)
    live.forget()
    return live.minimise().feasible


def first_clash(made: Programme) -> Clash | None:
    """The first clash that the search of an answer comes to."""
    return next(iter(all_clashes(made, most=1).clashes), None)


def check_minimal(made: Programme) -> tuple[WishId, ...]:
    """The clash found, proved minimal by brute force."""
    clash = first_clash(made)
    assert clash is not None
    assert not can_hold(made, clash.members)
    for gone in clash.members:
        rest = tuple(name for name in clash.members if name != gone)
        assert can_hold(made, rest), (clash.members, gone)
    return clash.members


@settings(max_examples=examples(60))
@given(bars(least_slack=-3.0, most_fats=5, most_limits=8))
def test_a_clash_is_minimal_and_is_found_just_where_there_is_none(bar: Bar) -> None:
    """All members together are impossible, any but one possible; and no clash is told of goals that a blend meets."""
    made = build(bar.sheet, bar.shelf)
    if can_hold(made, tuple(made.members)):
        assert first_clash(made) is None
    else:
        check_minimal(made)


@settings(max_examples=examples(20))
@given(bars(least_slack=-3.0, most_fats=4, most_limits=5))
def test_every_clash_is_found_that_brute_force_finds(bar: Bar) -> None:
    """The clashes told are just the minimal impossible ones of all subsets of the wishes, tried one by one."""
    made = build(bar.sheet, bar.shelf)
    names = tuple(made.members)
    oracle = Oracle(made)
    impossible: list[set[WishId]] = []
    for size in range(1, len(names) + 1):
        for chosen in combinations(names, size):
            if not any(known <= set(chosen) for known in impossible) and not oracle.feasible(chosen):
                impossible.append(set(chosen))
    told = all_clashes(made)
    assert told.complete
    assert sorted(sorted(clash.members) for clash in told.clashes) == sorted(sorted(names) for names in impossible)
    assert all(can_hold(made, tuple(set(made.members) - set(way))) for way in told.ways_out)
    if impossible:
        first = first_clash(made)
        assert first is not None
        assert set(first.members) in impossible


def test_the_two_sides_of_a_plain_contradiction() -> None:
    """Hardness at least 60 and at most 40 clash by themselves, and nothing else is blamed."""
    made = build(with_practice(at_least("hardness", 60.0), at_most("hardness", 40.0)), SHELF)
    assert set(check_minimal(made)) == {wish_id("goals.hardness.at_least"), wish_id("goals.hardness.at_most")}


def test_one_wish_can_clash_with_physics_alone() -> None:
    """A fat that is not on the shelf cannot be a tenth of the blend: a clash of one."""
    made = build(sheet_of(shares=(at_least("argan oil", 10.0, "fat"),)), SHELF)
    assert check_minimal(made) == (wish_id("shares.argan oil.at_least"),)


def test_a_bare_figure_falls_as_a_whole() -> None:
    """Both sides of hardness exactly 20 go together, as one member."""
    made = build(sheet_of(exactly("hardness", 20.0), free_from=("palm",)), SHELF)
    assert wish_id("goals.hardness.exactly") in check_minimal(made)


def test_counted_fats_can_clash() -> None:
    """Two fats at most and three at a tenth each cannot be, and the count is blamed."""
    shares = tuple(at_least(name, 10.0, "fat") for name in ("palm oil", "olive oil", "castor oil"))
    made = build(sheet_of(shares=shares, fat_count=(at_most("number of fats", 2.0, "count"),)), SHELF)
    members = check_minimal(made)
    assert wish_id("fats.at_most") in members
    assert len(members) == 4


def test_preferences_never_clash() -> None:
    """Impossible preferences alone leave a blend."""
    made = build(sheet_of(prefer=((at_least("hardness", 99.0),), (at_most("hardness", 1.0),))), SHELF)
    assert first_clash(made) is None


def test_stock_can_be_to_blame() -> None:
    """Half a kilo of olive oil is not half of two kilos."""
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0}, stock={"olive oil": 0.5})
    sheet = sheet_of(shares=(at_least("olive oil", 50.0, "fat"),), batch=Batch(fats_kg=2.0))
    assert set(check_minimal(build(sheet, shelf))) == {wish_id("shares.olive oil.at_least"), wish_id("stock.olive oil")}


def test_a_linear_clash_is_proved_exactly() -> None:
    """The margin of a clash of linear rows is above zero, and it is so over the rows of the clash alone."""
    made = build(with_practice(at_least("hardness", 60.0), at_most("hardness", 40.0)), SHELF)
    clash = first_clash(made)
    assert clash is not None
    assert clash.exact
    assert clash.margin > 0.0


@pytest.mark.parametrize("free", ["palm", "lauric"])
def test_the_oracle_remembers_what_it_switched(free: str) -> None:
    """Questions in any order are answered as a fresh oracle would."""
    made = build(with_practice(at_least("hardness", 60.0), free_from=(free,)), SHELF)
    used, names = Oracle(made), tuple(made.members)
    for size in (0, 3, 1, len(names), 2):
        assert used.feasible(names[:size]) == Oracle(made).feasible(names[:size])


def test_a_clash_that_could_not_be_made_smallest_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the work ends before every wish was tried for going, the clash is told as one that may hold too much."""
    made = build(sheet_of(at_least("hardness", 99.0), at_most("iodine_value", 200.0)), SHELF)
    (clean,) = all_clashes(made).clashes
    assert clean.is_minimal
    feasible = Oracle.feasible
    asked: list[int] = []

    def runs_out(self: Oracle, wishes: Iterable[WishId]) -> bool:
        asked.append(1)
        if len(asked) > 1:
            raise Undecided
        return feasible(self, wishes)

    monkeypatch.setattr(Oracle, "feasible", runs_out)
    monkeypatch.setattr(Oracle, "core", lambda _: None)
    found = all_clashes(made)
    assert set(clean.members) < set(found.clashes[0].members)
    assert not found.clashes[0].is_minimal
    assert not found.complete
