"""One HiGHS instance that is handed a programme and solves it again and again; searches where fats are counted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import highspy
import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.solve.counting import Questions, settle, telling
from optimiser.solve.loading import HEURISTICS, INFINITY, PERTURBATION, TOLERANCE, load
from optimiser.solve.outcomes import Outcome, SolverFault, Undecided, Work
from optimiser.solve.running import run_watched
from optimiser.solve.switches import ties_of

PRIMAL, DUAL = 4, 1  # simplex strategies: new costs leave the blend feasible, new bounds leave the prices valid
SCALED, UNSCALED = 2, 0  # how simplex scales: as HiGHS does by itself, or not at all
LOOSE = 1e-8  # how far a counted answer may miss a row where it cannot be had to within TOLERANCE
MOST_KNOWN = 3  # blends kept for the next question


class Live:
    """One programme in one HiGHS instance: new costs and bounds are solved from where the last solve ended.

    The instance holds the linear programme; where fats are counted each question goes on from there to a search.
    `work` counts what was asked.
    """

    def __init__(self, programme: Programme, work: Work | None = None) -> None:
        self.programme = programme
        self.work = Work() if work is None else work
        self._model = load(programme, in_part=True)
        self._columns = np.arange(len(programme.money), dtype=np.int32)
        self._objective = programme.money.copy()
        self._low, self._high = programme.row_low.copy(), programme.row_high.copy()
        self._column_low, self._column_high = programme.column_low.copy(), programme.column_high.copy()
        self._ties = ties_of(programme) if programme.is_mixed_integer else None
        self._known: list[Vector] = []
        self._entries = int(np.count_nonzero(programme.matrix))

    def minimise(self, objective: Vector | None = None) -> Outcome:
        """Solve for an objective over the columns; without one, again under the bounds as they now are.

        Raises:
            Undecided: fats are counted, and the work left was too little to find a blend or to show that there is none.
            SolverFault: HiGHS ended neither with an optimum nor with a proof that there is none.
        """
        outcome = self.minimise_in_part(objective)
        if self._ties is None or not outcome.feasible:
            return outcome
        asked = self.asked()
        words = telling(self.programme, self._objective)
        questions = Questions(
            lambda part: Live(part, self.work),
            lambda part, start: search(part, start, self.work, words),
            self.work,
        )
        found = settle(asked, self._ties, outcome, self._known, questions)
        if found.feasible:
            self._known = [found.point, *self._known][:MOST_KNOWN]
        elif found.limited:
            raise Undecided
        return found

    def asked(self) -> Programme:
        """The programme with the bounds and the objective that are in force just now."""
        return replace(
            self.programme,
            money=self._objective,
            row_low=self._low,
            row_high=self._high,
            column_low=self._column_low,
            column_high=self._column_high,
        )

    def minimise_in_part(self, objective: Vector | None = None) -> Outcome:
        """The same where fats that are counted may count in part: what that cannot meet, cannot be met.

        Raises:
            SolverFault: HiGHS ended neither with an optimum nor with a proof that there is none.
        """
        if objective is not None and np.array_equal(objective, self._objective):
            objective = None
        if objective is not None:
            if not np.isfinite(objective).all():
                raise SolverFault("an objective is not a finite number")
            self._model.changeColsCost(len(objective), self._columns, objective)
            self._objective = objective.copy()
        self._model.setOptionValue("simplex_strategy", DUAL if objective is None else PRIMAL)
        self._model.run()
        self._count()
        status = self._model.getModelStatus()
        if status not in DECIDED:
            status = self._again()
        if status == highspy.HighsModelStatus.kOptimal:
            return self._outcome()
        if status in DECIDED:
            return Outcome(feasible=False)
        raise SolverFault(f"HiGHS ended with {status.name}")

    def _count(self) -> None:
        rows, columns = self.programme.matrix.shape
        steps = max(0, self._model.getInfo().simplex_iteration_count)
        self.work.count(rows=rows, columns=columns, entries=self._entries, steps=steps)

    def _again(self) -> Any:
        """Ask once more from cold: primal simplex or a warm start can lose its way, the dual decides, if need be unscaled."""
        self._model.setOptionValue("simplex_strategy", DUAL)
        self._model.setOptionValue(PERTURBATION, 1.0)
        status = self._model.getModelStatus()
        for scaling in (SCALED, UNSCALED):
            self._model.setOptionValue("simplex_scale_strategy", scaling)
            self.forget()
            self._model.run()
            self._count()
            status = self._model.getModelStatus()
            if status in DECIDED:
                break
        self._model.setOptionValue("simplex_scale_strategy", SCALED)
        self._model.setOptionValue(PERTURBATION, 0.0)
        return status

    def _outcome(self) -> Outcome:
        solution, info = self._model.getSolution(), self._model.getInfo()
        return Outcome(
            feasible=True,
            objective=info.objective_function_value,
            bound=info.objective_function_value,
            point=np.array(solution.col_value),
            row_dual=np.array(solution.row_dual),
            reduced_cost=np.array(solution.col_dual),
        )

    def suggest(self, point: Vector) -> None:
        """Where fats are counted: a blend that may be allowed, so that only better ones are looked for."""
        if self._ties is not None:
            self._known = [point, *self._known][:MOST_KNOWN]

    def forget(self) -> None:
        """Drop basis and factors: the next solve starts cold."""
        self._model.clearSolver()

    def bound_rows(self, places: Sequence[int], low: Vector, high: Vector) -> None:
        """Give rows new least and greatest activities."""
        index = np.array(places, dtype=np.int32)
        self._low[index], self._high[index] = low, high
        self._model.changeRowsBounds(
            len(index), index, np.maximum(low, -INFINITY).astype(float), np.minimum(high, INFINITY).astype(float)
        )

    def free_rows(self, places: Sequence[int]) -> None:
        """Let rows be anything."""
        self.bound_rows(places, np.full(len(places), -INFINITY), np.full(len(places), INFINITY))

    def restore_rows(self, places: Sequence[int]) -> None:
        """Give rows back the bounds of the programme."""
        index = list(places)
        self.bound_rows(index, self.programme.row_low[index], self.programme.row_high[index])

    def bound_column(self, place: int, low: float, high: float) -> None:
        """Give one column new bounds."""
        self._column_low[place], self._column_high[place] = low, high
        self._model.changeColBounds(place, low, high)

    def restore_column(self, place: int) -> None:
        """Give one column back the bounds of the programme."""
        self.bound_column(place, float(self.programme.column_low[place]), float(self.programme.column_high[place]))

    def become(self, programme: Programme) -> None:
        """Take other figures for the same rows and columns: what differs is handed over, the basis is kept."""
        old, self.programme = self.programme, programme
        for place, column in np.argwhere(old.matrix != programme.matrix).tolist():
            self._model.changeCoeff(place, column, float(programme.matrix[place, column]))
        moved = np.flatnonzero((old.row_low != programme.row_low) | (old.row_high != programme.row_high))
        if len(moved):
            self.restore_rows(moved.tolist())
        held = (old.column_low != programme.column_low) | (old.column_high != programme.column_high)
        for place in np.flatnonzero(held).tolist():
            self.restore_column(place)

    def row_ranges(self) -> tuple[Vector, Vector]:
        """After an optimum: how far down and up each row's bound (m each) may move while the same columns stay in use.

        Raises:
            SolverFault: there is no optimal basis to range over.
        """
        status, found = self._model.getRanging()
        if status != highspy.HighsStatus.kOk or not found.valid:
            raise SolverFault("HiGHS has no ranges")
        return np.array(found.row_bound_dn.value_), np.array(found.row_bound_up.value_)

    def ray(self) -> Vector | None:
        """Multipliers of the rows (m entries) that show why there is no blend, if the solver has any."""
        status, exists, ray = self._model.getDualRay()
        if status != highspy.HighsStatus.kOk or not exists:
            return None
        return np.array(ray)


DECIDED = (
    highspy.HighsModelStatus.kOptimal,
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kUnboundedOrInfeasible,  # every column is bounded, so this can only mean infeasible
)
FEASIBLE = 2  # of a solution, as HiGHS counts: none, infeasible, feasible
TRIES = (  # a counted answer that misses a row by the very tolerance is refused by HiGHS itself: ask with a wider one
    ("mip_feasibility_tolerance", TOLERANCE),
    ("mip_feasibility_tolerance", LOOSE),
    ("presolve", "on"),
)
FIRST_NODES = 2_000  # with quick settings, which most searches end within
MORE = 2  # thorough searches after it
THOROUGH = {"presolve": "on", **dict.fromkeys(HEURISTICS, True)}
LIMITED = (
    highspy.HighsModelStatus.kSolutionLimit,
    highspy.HighsModelStatus.kIterationLimit,
    highspy.HighsModelStatus.kInterrupt,
)


def search(programme: Programme, start: Vector | None, work: Work, words: Callable[[float], str]) -> Outcome:
    """The least money with 0/1 columns at 0 or 1, within the work that is left; each search is a new HiGHS.

    What the quick settings do not settle within their nodes is asked again with HiGHS's own presolve and heuristics, and
    with as many nodes as the work that is left allows, by what nodes have cost so far.

    Args:
        programme: the whole of what is asked.
        start: a point that may be allowed.
        work: is counted up.
        words: what to tell of the search while it runs, given the bound so far.

    Raises:
        SolverFault: HiGHS ended neither with an optimum, nor with a proof that there is none, nor for want of work.
    """
    model = load(programme)
    size = {"rows": model.getNumRow(), "columns": model.getNumCol(), "entries": model.getNumNz()}
    model.setOptionValue("mip_max_nodes", min(FIRST_NODES, work.nodes(**size)))
    if (
        not programme.money.any()
    ):  # whether there is any blend at all: presolve and probing show best that there is none
        for option, setting in THOROUGH.items():
            model.setOptionValue(option, setting)
    found = attempted(model, start, work, words)
    for _ in range(MORE):
        if not found.limited or work.left <= 0.0:
            break
        for option, setting in THOROUGH.items():
            model.setOptionValue(option, setting)
        model.setOptionValue("mip_max_nodes", work.nodes(**size, each=steps_a_node(model)))
        again = attempted(model, found.point if found.feasible else start, work, words)
        found = better(found, again)
    return found


def attempted(model: Any, start: Vector | None, work: Work, words: Callable[[float], str]) -> Outcome:
    """One search with the options as they are, or a little looser where HiGHS refuses its own answer by a hair."""
    size = {"rows": model.getNumRow(), "columns": model.getNumCol(), "entries": model.getNumNz()}
    status = None
    for option, setting in TRIES:
        model.setOptionValue(option, setting)
        model.clearSolver()
        if start is not None:
            known = highspy.HighsSolution()
            known.col_value = start.tolist()
            model.setSolution(known)
        run_watched(model, words)
        work.count(**size, steps=max(0, model.getInfo().simplex_iteration_count), search=True)
        status = model.getModelStatus()
        if status in DECIDED or status in LIMITED:
            return searched(model, status)
    raise SolverFault(f"HiGHS ended with {status}")


def steps_a_node(model: Any) -> float:
    """Steps of the simplex that a node has taken in the last search."""
    info = model.getInfo()
    return max(1.0, float(info.simplex_iteration_count) / max(1, int(info.mip_node_count)))


def better(one: Outcome, other: Outcome) -> Outcome:
    """Of two searches of the same the one that ended; else the cheaper blend, with the higher bound."""
    if not other.limited or not one.feasible:
        return other
    best = other if other.feasible and other.objective < one.objective else one
    return best._replace(bound=max(one.bound, other.bound), limited=True)


def searched(model: Any, status: Any) -> Outcome:
    """What a search found."""
    info = model.getInfo()
    limited = status in LIMITED
    found = status == highspy.HighsModelStatus.kOptimal or (limited and info.primal_solution_status == FEASIBLE)
    if not found:
        return Outcome(feasible=False, bound=info.mip_dual_bound, limited=limited)
    point = np.array(model.getSolution().col_value)
    return Outcome(
        feasible=True,
        objective=info.objective_function_value,
        bound=info.mip_dual_bound,
        point=point,
        limited=limited,
    )
