"""Every minimal clash and every smallest way out, against brute force, built systems, a textbook and HiGHS itself.

The guarantee is MARCO's: every minimal unsatisfiable subset is found and none twice, and each minimal correction set is a
minimal hitting set of them (Liffiton, Previti, Malik & Marques-Silva 2016, doi:10.1007/s10601-015-9183-0). The judge here
shares nothing with the search: each of all 2^k subsets of the wishes is put to a solver of its own, scipy's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain, combinations, product
from math import prod

import highspy
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp
from strategies import Bar, at_least, at_most, bars, examples, sheet_of, shelf_of

from optimiser.analysis.conflicts import Clashes, all_clashes
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme, build
from optimiser.model.rows import Row
from optimiser.problem.wishes import Said, Section, WishId
from optimiser.solve.outcomes import Work

Sets = set[frozenset[WishId]]


# -- the judge -----------------------------------------------------------------------------------------------------


def can_hold(made: Programme, wishes: Iterable[WishId]) -> bool:
    """Whether these wishes can hold together, by scipy's milp on a programme that holds their rows and no others."""
    kept = set(wishes)
    gone = {place for name, places in made.members.items() if name not in kept for place in places}
    rows = [place for place in range(len(made.matrix)) if place not in gone]
    found = milp(
        np.zeros(len(made.money)),
        constraints=LinearConstraint(made.matrix[rows], made.row_low[rows], made.row_high[rows]),
        bounds=Bounds(made.column_low, made.column_high),
        integrality=made.integer.astype(int),
    )
    assert found.status in (0, 2), found.message
    return bool(found.status == 0)


def minimal_clashes(made: Programme) -> Sets:
    """Of all subsets of the wishes, the impossible ones without an impossible one inside, the smaller tried first."""
    names = sorted(made.members)
    impossible: Sets = set()
    for chosen in chain.from_iterable(combinations(names, size) for size in range(len(names) + 1)):
        wishes = frozenset(chosen)
        if not any(known <= wishes for known in impossible) and not can_hold(made, wishes):
            impossible.add(wishes)
    return impossible


def hitting_sets(sets: Sets) -> Sets:
    """The minimal sets that share a member with each of some sets, by trying every choice of one from each."""
    found = {frozenset(choice) for choice in product(*sets)}
    return {one for one in found if not any(other < one for other in found)}


def clash_sets(told: Clashes) -> Sets:
    """The clashes told, none of them twice."""
    out = {frozenset(clash.members) for clash in told.clashes}
    assert len(out) == len(told.clashes)
    return out


def way_sets(told: Clashes) -> Sets:
    """The ways out told, none of them twice."""
    out = {frozenset(way) for way in told.ways_out}
    assert len(out) == len(told.ways_out)
    return out


def check(made: Programme) -> None:
    """The clashes and the ways out are just those of brute force."""
    told, truth = all_clashes(made), minimal_clashes(made)
    assert told.complete
    assert clash_sets(told) == truth
    if truth:
        assert way_sets(told) == hitting_sets(truth)
    else:
        assert told.clashes == ()


# -- random shelves ------------------------------------------------------------------------------------------------


@pytest.mark.long
@settings(max_examples=examples(20))
@given(bars(least_slack=-3.0, most_fats=6, most_limits=7))
def test_all_clashes_of_a_random_shelf(bar: Bar) -> None:
    """On random small shelves the minimal clashes and the smallest ways out are those of all subsets, no more, no fewer."""
    made = build(bar.sheet, bar.shelf)
    assume(len(made.members) >= 6)
    check(made)


@settings(max_examples=examples(6))
@given(bars(least_slack=-3.0, most_fats=5, most_limits=5), st.integers(1, 3), st.sampled_from((5.0, 20.0, 40.0)))
def test_all_clashes_where_fats_are_counted(bar: Bar, most: int, each: float) -> None:
    """The same holds of a mixed-integer programme: a number of fats, and no fat below a share."""
    counts = (
        at_most("number of fats", float(most), "count"),
        at_least("each fat", each, "count")._replace(unit="%"),
    )
    made = build(bar.sheet._replace(fat_count=counts), bar.shelf)
    assume(made.is_mixed_integer)
    check(made)


# -- systems whose clashes are known -------------------------------------------------------------------------------


def named(*names: str) -> frozenset[WishId]:
    """The wishes of these names in a bare programme."""
    return frozenset(WishId(Section.GOALS, name, Side.EXACTLY) for name in names)


def bare_row(name: str, row: Sequence[float], sign: str, limit: float) -> Row:
    """One row of a bare programme, a wish of its own."""
    (wish,), side = named(name), Side.AT_LEAST if sign == ">=" else Side.AT_MOST
    return Row(wish, name, Said(name), side, limit, "", 1.0, "", np.array(row, dtype=float))


def system(rows: Sequence[tuple[Sequence[float], str, float]], names: Sequence[str]) -> Programme:
    """A bare programme: each row a wish of its own over columns between 0 and 10.

    Rows are coefficients, "<=" or ">=", and a limit; there is no background but the columns' bounds.
    """
    matrix = np.array([row for row, *_ in rows], dtype=float)
    width = matrix.shape[1]
    low = np.array([limit if sign == ">=" else -np.inf for _, sign, limit in rows])
    high = np.array([limit if sign == "<=" else np.inf for _, sign, limit in rows])
    made = [bare_row(name, *row) for name, row in zip(names, rows, strict=True)]
    return Programme(
        columns=None,  # type: ignore[arg-type]
        rows=tuple(made),
        matrix=matrix,
        row_low=low,
        row_high=high,
        column_low=np.zeros(width),
        column_high=np.full(width, 10.0),
        integer=np.zeros(width, dtype=np.bool_),
        money=np.zeros(width),
        cured=np.ones(width),
    )


def disjoint(sizes: Sequence[int]) -> Programme:
    """Conflicts that share nothing: conflict k asks that x_k1 .. x_kn be 1 each at least and (n - 1/2) at most in all.

    A conflict of two is x >= 6 and x <= 4.
    """
    width = sum(max(1, size - 1) for size in sizes)
    rows: list[tuple[Sequence[float], str, float]] = []
    names = []
    first = 0
    for k, size in enumerate(sizes):
        count = max(1, size - 1)
        for j in range(count):
            rows.append((np.eye(width)[first + j].tolist(), ">=", 1.0))
            names.append(f"{k}.{j}")
        every = np.zeros(width)
        every[first : first + count] = 1.0
        rows.append((every.tolist(), "<=", count - 0.5))
        names.append(f"{k}.sum")
        first += count
    return system(rows, names)


@pytest.mark.parametrize("sizes", [(2,), (2, 2, 2), (3, 4), (2, 3, 4, 5), (2,) * 9, (6, 6, 6)])
def test_disjoint_conflicts_are_just_those_built(sizes: tuple[int, ...]) -> None:
    """Of k conflicts that share nothing k clashes are found, and a way out for each choice of a member from each."""
    made = disjoint(sizes)
    told = all_clashes(made)
    built = {frozenset(name for name in made.members if name.key.startswith(f"{k}.")) for k in range(len(sizes))}
    assert told.complete
    assert clash_sets(told) == built
    assert way_sets(told) == {frozenset(choice) for choice in product(*built)}
    assert len(told.ways_out) == prod(sizes)
    assert all(clash.exact for clash in told.clashes)


def test_an_infeasible_system_by_hand() -> None:
    """X + y >= 6, x <= 2, y <= 2, x - y >= 3, x + 2y <= 5: the three clashes worked out by hand, and their five ways out.

    x <= 2 and y <= 2 keep x + y below 6. x <= 2 keeps x - y below 3, since y is not negative. x + y >= 6 and
    x + 2y <= 5 give y <= -1. No other pair or triple is impossible: (6, 0), (4.5, 1.5) and (3, 0) show it.
    """
    made = system(
        [
            ((1.0, 1.0), ">=", 6.0),
            ((1.0, 0.0), "<=", 2.0),
            ((0.0, 1.0), "<=", 2.0),
            ((1.0, -1.0), ">=", 3.0),
            ((1.0, 2.0), "<=", 5.0),
        ],
        ["sum", "x", "y", "difference", "weighted"],
    )
    told = all_clashes(made)
    assert clash_sets(told) == {
        named("sum", "x", "y"),
        named("x", "difference"),
        named("sum", "weighted"),
    }
    assert way_sets(told) == hitting_sets(clash_sets(told))
    assert clash_sets(told) == minimal_clashes(made)


def test_every_pair_of_many_levels_clashes() -> None:
    """X exactly one of n levels, asked for n times over: every pair clashes, and all but one must go."""
    n = 7
    rows = [((1.0,), ">=", float(level)) for level in range(1, n + 1)]
    lower = [((1.0,), "<=", level - 0.5) for level in range(1, n + 1)]
    made = system([*rows, *lower], [f"up {k}" for k in range(1, n + 1)] + [f"down {k}" for k in range(1, n + 1)])
    told = all_clashes(made)
    assert clash_sets(told) == {
        named(f"up {high}", f"down {low}") for high in range(1, n + 1) for low in range(1, high + 1)
    }
    assert len(told.ways_out) == n + 1
    assert way_sets(told) == hitting_sets_of_a_staircase(n)


def hitting_sets_of_a_staircase(n: int) -> Sets:
    """To keep the lower limits up to a level k the upper limits up to k must go, and the lower ones above it."""
    return {
        named(*(f"down {j}" for j in range(1, k + 1)), *(f"up {j}" for j in range(k + 1, n + 1))) for k in range(n + 1)
    }


# -- bounded -------------------------------------------------------------------------------------------------------


def minimal(made: Programme, members: Iterable[WishId]) -> bool:
    """Whether a set is impossible, and possible without any one of its members."""
    wishes = set(members)
    return not can_hold(made, wishes) and all(can_hold(made, wishes - {gone}) for gone in wishes)


@pytest.mark.parametrize("most", [1, 3, 8])
def test_a_number_bounds_the_search(most: int) -> None:
    """With `most` clashes wanted just so many are told, each minimal, and the list is said to be unfinished."""
    made = disjoint((3,) * 9)
    told = all_clashes(made, most=most)
    assert len(clash_sets(told)) == most
    assert not told.complete
    assert all(minimal(made, clash.members) for clash in told.clashes)
    assert all_clashes(disjoint((3,) * 3), most=4).complete


def test_work_bounds_the_search() -> None:
    """With next to no work the search ends after one clash and says that it is unfinished; what is told is minimal."""
    made = disjoint((2,) * 30)
    told = all_clashes(made, work=Work(2e4))
    assert not told.complete
    assert 1 < len(told.clashes) < 30
    assert all(minimal(made, clash.members) for clash in told.clashes[:5])
    least = all_clashes(made, work=Work(0.0))
    assert len(least.clashes) == 1
    assert not least.complete
    assert minimal(made, least.clashes[0].members)


def test_the_same_work_finds_the_same_clashes() -> None:
    """Where the search is cut off depends on what was asked and not on the clock: twice the same list, to the letter."""
    made = disjoint((3,) * 20)
    first, second = (all_clashes(made, work=Work(4e4)) for _ in range(2))
    assert not first.complete
    assert first == second


def test_ways_out_without_number_do_not_drown_the_search() -> None:
    """Thirty conflicts of two have 2^30 ways out: all thirty clashes are told, some ways out, and no claim to all."""
    made = disjoint((2,) * 30)
    told = all_clashes(made)
    assert len(clash_sets(told)) == 30
    assert not told.complete
    assert told.ways_out
    assert all(can_hold(made, set(made.members) - set(way)) for way in told.ways_out[:5])
    assert all(len(way) == 30 for way in told.ways_out)


# -- HiGHS's own irreducible infeasible subsystem ------------------------------------------------------------------

IIS_STRATEGY = 6  # an elastic programme first, then made irreducible
IRREDUCIBLE = 3


def named_by_highs(made: Programme) -> frozenset[WishId] | None:
    """The wishes among the rows of HiGHS's getIis, over the programme by hand; None where it finds nothing irreducible."""
    m, n = made.matrix.shape
    model = highspy.Highs()
    for option, value in {"output_flag": False, "iis_strategy": IIS_STRATEGY}.items():
        model.setOptionValue(option, value)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = n, m
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = np.zeros(n), made.column_low, made.column_high
    lp.row_lower_, lp.row_upper_ = made.row_low, made.row_high
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.arange(0, m * n + 1, n, dtype=np.int32)
    lp.a_matrix_.index_ = np.tile(np.arange(n, dtype=np.int32), m)
    lp.a_matrix_.value_ = made.matrix.ravel()
    model.passModel(lp)
    status, iis = model.getIis()
    if status != highspy.HighsStatus.kOk or iis.status_ != IRREDUCIBLE:
        return None
    member_at = {place: name for name, places in made.members.items() for place in places}
    return frozenset(member_at[place] for place in iis.row_index_ if place in member_at)


def judged_against_highs(made: Programme, counts: dict[str, int]) -> None:
    """What HiGHS names holds a clash of ours, since with physics it is impossible; at times it names more than one needs."""
    told = all_clashes(made)
    named = named_by_highs(made)
    if not told.clashes or named is None:
        return
    ours = clash_sets(told)
    assert any(clash <= named for clash in ours)
    counts["just a clash" if named in ours else "superfluous"] += 1


def test_what_highs_names_holds_a_clash_of_ours() -> None:
    """HiGHS's irreducible subsystem (strategy 6) always holds one of our clashes; on some blends it names goals besides.

    It is irreducible over rows and bounds taken alike, so it may lean on a budget where "the shares add up to one" would
    do. That is why it is never the answer.
    """
    counts = {"just a clash": 0, "superfluous": 0}
    rng = np.random.default_rng(7)
    for _ in range(60):
        judged_against_highs(random_blend(rng), counts)
    assert counts["just a clash"] > 20
    assert counts["superfluous"] > 0


def random_blend(rng: np.random.Generator) -> Programme:
    """Shares of a few oils under a background sum of one and a handful of goals that are often at odds."""
    n, goals = int(rng.integers(4, 10)), int(rng.integers(3, 8))
    table = np.round(rng.uniform(0.0, 100.0, (goals, n)), 2)
    limits = table @ rng.dirichlet(np.ones(n)) + rng.uniform(-5.0, 30.0, goals) * rng.choice((-1.0, 1.0), goals)
    rows: list[tuple[Sequence[float], str, float]] = [([1.0] * n, "<=", 1.0)]
    rows += [
        (row.tolist(), ">=" if rng.random() < 0.5 else "<=", float(limit))
        for row, limit in zip(table, limits, strict=True)
    ]
    made = system(rows, ["sum", *(f"goal {k}" for k in range(goals))])
    background = made.rows[0]._replace(wish=WishId(Section.PHYSICS, "whole", Side.EXACTLY), side=Side.EXACTLY)
    low = made.row_low.copy()
    low[0] = 1.0
    return replace(made, rows=(background, *made.rows[1:]), row_low=low, column_high=np.ones(n))


SHELVES: Mapping[str, float] = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0}


def test_physics_is_never_a_member() -> None:
    """Lye rows and the sum of shares are background: however a clash leans on them they are not named."""
    goals = (at_least("superfat", 10.0), at_most("worst_case_superfat", 2.0), at_least("lye_concentration", 49.0))
    made = build(sheet_of(*goals, at_most("water_share_of_fats", 5.0)), shelf_of(SHELVES))
    told = all_clashes(made)
    assert told.clashes
    assert all(name.section != Section.PHYSICS for clash in told.clashes for name in clash.members)
    assert clash_sets(told) == minimal_clashes(made)
