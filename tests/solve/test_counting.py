"""Searches over counted fats: made small without losing an answer, and honest where the work ends."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from strategies import PLAIN, at_least, at_most, limit, recipe_at, sheet_of, shelf_of, wish_id

from optimiser.answers.blend import prove
from optimiser.maths.arrays import Vector
from optimiser.measures.quantities import quantities
from optimiser.model.programme import Programme, build
from optimiser.recipe.evaluation import judge
from optimiser.solve.counting import telling
from optimiser.solve.optimum import least_ratio, solve
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.solver import Live
from optimiser.solve.switches import Part, holds, rounded, ties_of

KEYS = (
    *(
        "hardness",
        "mildness",
        "quick_lather",
        "lasting_lather",
        "rancidity",
        "wear_life",
        "harshness",
        "trace_speed",
        "scum",
    ),
    *("saponification_value", "iodine_value", "short_saturated", "long_saturated", "polyunsaturated"),
)
HARD = 3  # a seed for which the linear optimum of four fats is far from the counted one
NEAR = 1e-6


def narrow(seed: int, *, most: int = 3, each: float = 0.0) -> Programme:
    """All the plain fats at random prices under limits on both sides, close round a blend of as many fats as may be used."""
    rng = np.random.default_rng(seed)
    chosen = [PLAIN[place] for place in rng.choice(len(PLAIN), most, replace=False)]
    values = judge(recipe_at(dict(zip(chosen, rng.dirichlet(np.full(most, 8.0)).tolist(), strict=True)))).values
    limits = []
    for key in KEYS:
        room = 0.5 * quantities()[key].scale
        limits.append(limit(key, "at_least", values[key] - room * rng.uniform(0.2, 1.0)))
        limits.append(limit(key, "at_most", values[key] + room * rng.uniform(0.2, 1.0)))
    counts = [at_most("number of fats", float(most), "count")]
    if each:
        counts.append(at_least("each fat", each, "count")._replace(unit="%"))
    prices = {name: round(float(rng.uniform(1.5, 16.0)), 2) for name in PLAIN}
    return build(sheet_of(*limits, fat_count=tuple(counts)), shelf_of(prices))


def by_scipy(made: Programme, objective: Vector) -> float:
    """The least of an objective by scipy's milp on the programme as it stands."""
    done = milp(
        objective,
        constraints=LinearConstraint(made.matrix, made.row_low, made.row_high),
        bounds=Bounds(made.column_low, made.column_high),
        integrality=made.integer.astype(int),
        options={"mip_rel_gap": 0.0},
    )
    assert done.status == 0, done.message
    return float(done.fun)


@pytest.mark.long
@pytest.mark.parametrize("each", [0.0, 10.0])
@pytest.mark.parametrize("seed", range(4))
def test_a_search_made_small_finds_what_the_whole_holds(seed: int, each: float) -> None:
    """Narrow limits and few fats: the same least cost as scipy's milp on the whole, asked cold and with a blend in hand."""
    made = narrow(seed, each=each)
    ratio = 3.0
    first, second = made.money, made.money - ratio * made.cured
    live = Live(made)
    for objective in (first, second, first):
        outcome = live.minimise(objective)
        assert not outcome.limited
        assert outcome.objective == pytest.approx(by_scipy(made, objective), abs=NEAR)
        assert outcome.bound == pytest.approx(outcome.objective, abs=NEAR)
        assert holds(made, outcome.point)


@pytest.mark.parametrize("seed", range(4))
def test_any_blend_will_do_where_none_is_dearer(seed: int) -> None:
    """With nothing to make least, some blend that counts right is found; without room for it, none."""
    made = narrow(seed)
    outcome = Live(made).minimise(np.zeros_like(made.money))
    assert outcome.feasible
    assert holds(made, outcome.point)
    few = np.flatnonzero([row.wish == wish_id("fats.at_most") for row in made.rows])
    live = Live(made)
    live.bound_rows(few.tolist(), np.full(1, -np.inf), np.full(1, 0.0))
    assert not live.minimise(np.zeros_like(made.money)).feasible


@pytest.mark.parametrize("allowed", [0.0, 1e3, 3e4, 1e5, 3e5, 1e6])
def test_a_search_cut_short_tells_no_more_than_it_knows(allowed: float) -> None:
    """However little work is allowed, the point is a blend and the bound lies no higher than the truth."""
    made = narrow(HARD, most=4)
    truth = by_scipy(made, made.money)
    known = Live(made).minimise(np.zeros_like(made.money)).point
    live = Live(made, Work(allowed))
    live.suggest(known)
    outcome = live.minimise()
    assert outcome.feasible
    assert holds(made, outcome.point)
    assert outcome.bound <= truth + NEAR
    assert truth <= outcome.objective + NEAR
    assert outcome.limited or outcome.objective == pytest.approx(truth, abs=NEAR)


def test_without_work_a_blend_in_hand_is_told_with_its_gap() -> None:
    """Nothing allowed and a dear blend in hand: it is the answer, it is called limited, and the gap is open."""
    made = narrow(HARD, most=4)
    truth = by_scipy(made, made.money)
    dear = Live(made).minimise(-made.money).point
    live = Live(made, Work(0.0))
    live.suggest(dear)
    outcome = live.minimise()
    assert outcome.limited
    assert outcome.objective == pytest.approx(float(made.money @ dear), abs=NEAR)
    assert outcome.bound <= truth < outcome.objective


def test_without_work_or_blend_nothing_is_claimed() -> None:
    """Neither found nor shown that there is none: that is said, and never taken for none."""
    with pytest.raises(Undecided):
        Live(narrow(HARD, most=4), Work(0.0)).minimise()


def test_a_cost_cut_short_is_proved_as_far_as_it_goes() -> None:
    """The cost per kilo below which no blend lies is told no higher than what all the work in the world finds."""
    made = narrow(HARD, most=4)
    _, best = solve(made)
    assert best is not None
    gaps = []
    for allowed in (1.0, 3e4, 1e5, 1e7):
        work = Work(allowed)
        live = Live(made, work)
        live.suggest(Live(made).minimise(np.zeros_like(made.money)).point)
        found = least_ratio(live)
        assert found is not None
        certificate = prove(live, found)
        assert certificate.cheapest_possible_per_kg <= best.ratio + NEAR
        assert found.ratio >= best.ratio - NEAR
        gaps.append((found.outcome.limited, certificate.gap))
    assert any(limited and gap > 1e-4 for limited, gap in gaps)
    assert gaps[-1][1] == pytest.approx(0.0, abs=1e-6)


def test_the_same_work_ends_in_the_same_place() -> None:
    """Cut short twice, a search tells the same point and the same bound to the last digit, and counts the same work."""
    made = narrow(HARD, most=4)
    known = Live(made).minimise(np.zeros_like(made.money)).point
    limited = []
    for allowed in (1.0, 1e4, 3e4):
        ended = []
        for _ in range(2):
            live = Live(made, Work(allowed))
            live.suggest(known)
            outcome = live.minimise(made.money - 2.0 * made.cured)
            limited.append(outcome.limited)
            ended.append((outcome.objective, outcome.bound, outcome.point.tolist(), live.work.done))
        assert ended[0] == ended[1]
    assert any(limited)


# -- ties and parts ------------------------------------------------------------------------------------------------


def test_ties_are_read_off_the_matrix() -> None:
    """Each fat has its switch: at most all of it when on, and where a least share is asked for at least that."""
    made = narrow(0, each=10.0)
    ties, n, size = ties_of(made), made.columns.count, made.columns.size
    caps, floors = ties.is_cap, ~ties.is_cap
    assert ties.shares[caps].tolist() == list(range(n))
    assert ties.switches[caps].tolist() == list(range(size, size + n))
    assert ties.per[caps] == pytest.approx(np.ones(n))
    assert ties.switches[floors].tolist() == list(range(size, size + n))
    assert ties.per[floors] == pytest.approx(np.full(n, 0.1))


def test_switches_follow_their_shares() -> None:
    """A share that is there switches on, one that is not switches off, whatever the point said."""
    made = narrow(0)
    point = np.full(len(made.money), 0.3)
    point[1] = 0.0
    out = rounded(made, ties_of(made), point)
    size = made.columns.size
    assert out[size] == 1.0
    assert out[size + 1] == 0.0
    assert out[:size] == pytest.approx(point[:size])


def test_a_part_leaves_out_what_cannot_be_used() -> None:
    """Fats limited to nothing, or to less than their least share, go with their rows; caps come down to the limit."""
    made = narrow(0, each=10.0)
    base = Part.of(made, ties_of(made))
    most = np.full(len(made.money), np.inf)
    most[[0, 1, 2]] = 0.0, 0.05, 0.4
    part = base.narrowed(most)
    assert not {0, 1} & set(part.columns.tolist())
    nothing = np.flatnonzero(made.column_high == 0.0)
    assert len(part.columns) == len(made.money) - 4 - len(nothing)
    assert len(part.programme.matrix) == len(made.matrix) - 4
    at = int(np.flatnonzero(part.ties.is_cap & (part.columns[part.ties.shares] == 2))[0])
    row = part.programme.matrix[part.ties.rows[at]]
    assert -row[part.ties.switches[at]] / row[part.ties.shares[at]] == pytest.approx(0.4)
    point = np.arange(1.0, len(part.columns) + 1.0)
    assert part.whole(point)[part.columns] == pytest.approx(point)
    assert part.whole(point)[[0, 1]] == pytest.approx([0.0, 0.0])


def test_a_search_for_cost_is_told_in_money() -> None:
    """Cost so far and that below which there is none, in the shelf's money; of other searches only that fats are counted."""
    made = narrow(0)
    words = telling(made, made.money - 3.21 * made.cured)
    assert words(-np.inf) == "counting fats: best 3.21 EUR / kg"
    least = float(made.cured[: made.columns.count].min())
    assert words(-0.11 * least) == "counting fats: best 3.21 EUR / kg, no blend below 3.10"
    assert telling(made, np.ones_like(made.money))(-1.0) == "counting fats"
