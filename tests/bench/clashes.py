"""Why there is no blend, and what every goal costs: our warm model beside cold ways to the same answer.

    python tests/bench/clashes.py                       # 30 goals over 60 fats
    python tests/bench/clashes.py --goals 15 --draws 5

All clashes, three ways to the very same list: ours; the same enumeration with shrinking by deletion where every question
is a new HiGHS, solved cold (as it comes, and with our options); and by hitting sets with a mixed-integer elastic programme that finds each way out anew
(scipy's milp, which is HiGHS with binaries). Then the saving of every goal and the room of twelve measures in units of
one raw warm solve, which is HiGHS by hand on the same rows with one goal freed and put back.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

import highspy
from instances import infeasible_bar
from scipy.optimize import Bounds, LinearConstraint, milp

from optimiser.analysis.conflicts import all_clashes
from optimiser.analysis.ranges import extreme
from optimiser.analysis.shadow_prices import prices, saving_if_dropped, stands_at_limit
from optimiser.answers.reach import figures
from optimiser.model.programme import Programme
from optimiser.solve.loading import options
from optimiser.solve.optimum import Cheapest, solve
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live

Sets = frozenset[frozenset[str]]
ENOUGH = 5000  # ways out the elastic enumeration may look for


# -- HiGHS by hand -------------------------------------------------------------------------------------------------


def raw(made: Programme, rows: np.ndarray[Any, Any], cost: np.ndarray[Any, Any], *, tuned: bool = True) -> Any:
    """HiGHS over some rows of a programme, with our options or as it comes."""
    matrix = made.matrix[rows]
    m, n = matrix.shape
    model = highspy.Highs()
    plain = {name: options(mixed=False)[name] for name in ("output_flag", "threads")}
    for option, value in (options(mixed=False) if tuned else plain).items():
        model.setOptionValue(option, value)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = n, m
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = cost, made.column_low, made.column_high
    lp.row_lower_, lp.row_upper_ = made.row_low[rows], made.row_high[rows]
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.arange(0, m * n + 1, n, dtype=np.int32)
    lp.a_matrix_.index_ = np.tile(np.arange(n, dtype=np.int32), m)
    lp.a_matrix_.value_ = matrix.ravel()
    model.passModel(lp)
    return model


class Cold:
    """Answers each question with a new HiGHS on the rows that it is about."""

    def __init__(self, made: Programme, *, tuned: bool) -> None:
        self.made = made
        self.tuned = tuned
        self.members = tuple(made.members)
        self.solves = 0

    def feasible(self, wishes: Iterable[str]) -> bool:
        """Whether these wishes can all hold."""
        self.solves += 1
        kept = set(wishes)
        gone = {place for name, places in self.made.members.items() if name not in kept for place in places}
        rows = np.array([place for place in range(len(self.made.matrix)) if place not in gone])
        model = raw(self.made, rows, np.zeros(len(self.made.money)), tuned=self.tuned)
        model.run()
        return bool(model.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def raw_warm_ms(made: Programme, rounds: int = 20) -> float:
    """Milliseconds of one warm solve by hand: the least cost with one wish freed, then with it back."""
    model = raw(made, np.arange(len(made.matrix)), made.money)
    model.run()
    took = []
    for _ in range(rounds):
        for places in made.members.values():
            index = np.array(places, dtype=np.int32)
            free = np.full(len(index), np.inf)
            for low, high in ((-free, free), (made.row_low[index], made.row_high[index])):
                begun = time.perf_counter()
                model.changeRowsBounds(len(index), index, low, high)
                model.run()
                took.append(time.perf_counter() - begun)
    return 1e3 * statistics.mean(took)


# -- the three ways to all clashes ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Found:
    """Clashes by one way, and the questions it took."""

    clashes: Sets
    solves: int


def ours(made: Programme) -> Found:
    """Our own search."""
    told = all_clashes(made, most=10_000, work=Work(1e9))
    if not told.complete:
        raise RuntimeError("not complete")
    return Found(frozenset(frozenset(clash.members) for clash in told.clashes), told.solves)


def cold_deletion(made: Programme, *, tuned: bool) -> Found:
    """The same enumeration, each clash by deletion filtering alone, each question cold."""
    from optimiser.analysis.conflicts import Map, bits

    oracle = Cold(made, tuned=tuned)
    place = {name: 1 << k for k, name in enumerate(oracle.members)}
    names = {bit: name for name, bit in place.items()}
    everything = (1 << len(place)) - 1
    known = Map([], set(), {0})
    while known.untried:
        mask = min(known.untried, key=lambda one: (one.bit_count(), one))
        left = [names[bit] for bit in bits(everything & ~mask)]
        if oracle.feasible(left):
            known.untried.discard(mask)
            known.ways_out.add(mask)
            continue
        for name in list(left):
            rest = [other for other in left if other != name]
            if not oracle.feasible(rest):
                left = rest
        known.learn(sum(place[name] for name in left))
    clashes = frozenset(frozenset(names[bit] for bit in bits(clash)) for clash in known.clashes)
    return Found(clashes, oracle.solves)


def elastic(made: Programme) -> Found:
    """Ways out by a mixed-integer elastic programme, one after another; clashes are their minimal hitting sets.

    A binary for each wish lets its rows go; the fewest are let go; each way out found is barred from then on.
    """
    names = list(made.members)
    m, n = made.matrix.shape
    low, high = made.row_low.copy(), made.row_high.copy()
    reach = np.abs(made.matrix) @ np.maximum(made.column_high, 1.0)
    rows_low, rows_high = np.zeros((m, len(names))), np.zeros((m, len(names)))
    for k, name in enumerate(names):
        for at in made.members[name]:
            rows_low[at, k] = reach[at] + abs(low[at]) if np.isfinite(low[at]) else 0.0
            rows_high[at, k] = -(reach[at] + abs(high[at])) if np.isfinite(high[at]) else 0.0
    constraints = [
        LinearConstraint(np.hstack([made.matrix, rows_low]), low, np.inf),
        LinearConstraint(np.hstack([made.matrix, rows_high]), -np.inf, high),
    ]
    bounds = Bounds(
        np.concatenate([made.column_low, np.zeros(len(names))]),
        np.concatenate([made.column_high, np.ones(len(names))]),
    )
    whole = np.concatenate([np.zeros(n), np.ones(len(names))])
    ways: list[frozenset[str]] = []
    for solves in range(1, ENOUGH):
        barred = np.zeros((len(ways), n + len(names)))
        for k, way in enumerate(ways):
            barred[k, [n + names.index(name) for name in way]] = 1.0
        more = [LinearConstraint(barred, -np.inf, np.array([len(way) - 1.0 for way in ways]))] if ways else []
        found = milp(whole, constraints=[*constraints, *more], bounds=bounds, integrality=whole)
        if found.status == 2:
            return Found(transversals(ways), solves)
        ways.append(frozenset(name for k, name in enumerate(names) if found.x[n + k] > 0.5))
    raise RuntimeError("too many ways out")


def transversals(sets: Iterable[frozenset[str]]) -> Sets:
    """The minimal hitting sets of some sets, one set after another (Berge)."""
    hitting: set[frozenset[str]] = {frozenset()}
    for one in sets:
        wider = {known | {name} for known in hitting if not known & one for name in one}
        hitting = {known for known in hitting if known & one} | wider
        hitting = {known for known in hitting if not any(other < known for other in hitting)}
    return frozenset(hitting)


# -- timing --------------------------------------------------------------------------------------------------------


def timed(action: Callable[[], Any], repeat: int = 1) -> tuple[Any, float]:
    """What an action gives, and its best time in milliseconds."""
    best, out = np.inf, None
    for _ in range(repeat):
        begun = time.perf_counter()
        out = action()
        best = min(best, 1e3 * (time.perf_counter() - begun))
    return out, best


def row(*cells: object) -> None:
    """A row of the table."""
    print("| " + " | ".join(f"{cell:.3g}" if isinstance(cell, float) else str(cell) for cell in cells) + " |")


HEADS = (
    *(
        "draw",
        "clashes",
        "ways out",
        "ours ms",
        "questions",
        "cold deletion ms",
        "ratio",
        "the same, tuned ms",
        "ratio",
    ),
    *("elastic ms", "ratio", "raw warm ms", "warm solves a clash"),
)


def time_clashes(goals: int, fats: int, draws: int) -> None:
    """All clashes by each way, draw by draw."""
    row(*HEADS)
    row(*["---"] * len(HEADS))
    for draw in range(draws):
        made = infeasible_bar(goals, fats, draw)
        told = all_clashes(made)
        if not told.clashes:
            continue
        warm = raw_warm_ms(made, 3)
        mine, mine_ms = timed(partial(ours, made), 5)
        cells: list[object] = []
        for way in (partial(cold_deletion, tuned=False), partial(cold_deletion, tuned=True), elastic):
            other, other_ms = timed(partial(way, made))
            if other.clashes != mine.clashes:
                raise RuntimeError(f"draw {draw}: the ways do not agree")
            cells += [other_ms, f"{other_ms / mine_ms:.0f} x"]
        count = len(mine.clashes)
        row(draw, count, len(told.ways_out), mine_ms, mine.solves, *cells, warm, mine_ms / warm / count)


def time_prices(goals: int, fats: int, draws: int) -> None:
    """Savings, all prices and reach of a feasible bar in units of one warm solve."""
    row(
        "draw",
        "wishes",
        "raw warm ms",
        "savings ms",
        "warm solves",
        "all prices ms",
        "warm solves",
        "reach of 12 ms",
        "warm solves",
    )
    row(*["---"] * 9)
    for draw in range(draws):
        made = infeasible_bar(goals, fats, draw, slack=1.0)
        warm = raw_warm_ms(made)
        live, found = solve(made)
        if found is None:
            raise RuntimeError("meant to be feasible")
        _, saved = timed(partial(savings, live, found), 5)
        _, priced = timed(partial(prices, live, found), 5)
        oracle = Oracle(made)
        _, reached = timed(partial(reach_of, oracle, figures(made)[:12], found.point), 5)
        row(draw, len(made.members), warm, saved, saved / warm, priced, priced / warm, reached, reached / warm)


def time_lines(draws: int) -> None:
    """What the savings of an everyday bar cost: freed rows, lines deleted and answered anew, with preferences that fall short."""
    from reading import read

    from optimiser.analysis.drop_savings import savings_told
    from optimiser.model.programme import build

    row("goal file", "preferences short", "wishes", "solve ms", "prices ms", "deleted lines ms", "in all, of solve")
    row(*["---"] * 7)
    from strategies import at_least

    for name in ("palm-free-vegetable", "mature-skin", "design-fine-swirl", "budget"):
        sheet, shelf = read(Path(__file__).parents[2] / "goals" / f"{name}.yaml")
        for wanted in (sheet, sheet._replace(prefer=((at_least("mildness", 99.0),), (at_least("wear_life", 60.0),)))):
            made = build(wanted, shelf)
            (live, found), solve_ms = timed(partial(solve, made), draws)
            if found is None:
                raise RuntimeError("meant to be feasible")
            base = made if found.is_short else None
            costs, priced = timed(partial(prices, live, found, base), draws)
            _, deleted = timed(partial(savings_told, costs, (wanted, shelf), made, found, live.work), draws)
            row(name, found.is_short, len(made.members), solve_ms, priced, deleted, (priced + deleted) / solve_ms)


def savings(live: Live, found: Cheapest) -> list[float | None]:
    """What giving up each wish alone saves, as the answer asks it: a row that the blend does not touch saves nothing."""
    out: list[float | None] = []
    for places in live.programme.members.values():
        tight = any(stands_at_limit(live.programme.rows[place], found.point) for place in places)
        out.append(saving_if_dropped(live, found, places) if tight else 0.0)
    return out


def reach_of(oracle: Oracle, measured: list[Any], start: Any) -> list[Any]:
    """The least and greatest of some figures."""
    oracle.hold(oracle.members)
    return [extreme(oracle, figure, sign, start) for figure in measured for sign in (1, -1)]


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--goals", type=int, default=30)
    parser.add_argument("--fats", type=int, default=60)
    parser.add_argument("--draws", type=int, default=5)
    asked = parser.parse_args()
    time_clashes(asked.goals, asked.fats, asked.draws)
    print()
    time_prices(asked.goals, asked.fats, asked.draws)
    print()
    time_lines(asked.draws)


if __name__ == "__main__":
    main()
