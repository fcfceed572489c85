"""The only room that knows a solver: PuLP states the programme, one HiGHS instance solves it again and again."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import chain
from typing import Any

import highspy
import numpy as np
import pulp

from optimiser.arrays import Vector
from optimiser.programme import Programme

INFINITY = highspy.kHighsInf
PRIMAL, DUAL = 4, 1  # simplex strategies: new costs leave the blend feasible, new bounds leave the prices valid
SCALED, UNSCALED = 2, 0  # how simplex scales: as HiGHS does by itself, or not at all
TOLERANCE, LOOSE = 1e-9, 1e-8
PERTURBATION = "dual_simplex_cost_perturbation_multiplier"  # off: what it guards against is rarer than what it costs
MOST_STEPS = 200_000  # of the simplex, without which one that went round in circles would never end
SENSES = {
    (False, True): pulp.LpConstraintLE,
    (True, False): pulp.LpConstraintGE,
    (True, True): pulp.LpConstraintEQ,
}


class SolverFault(RuntimeError):
    """The solver gave up or was handed figures that are not numbers: a fault of the program, not of the goals."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one solve found.

    `point` has n entries, `row_dual` m, `reduced_cost` n; all empty when there is no blend. `bound` is the solver's own
    lower bound on the objective (for a linear programme the objective itself). `limited`: a search among whole numbers
    ended before it was done, and the point is the best met.
    """

    feasible: bool
    objective: float = 0.0
    bound: float = 0.0
    limited: bool = False
    point: Vector = field(default_factory=lambda: np.empty(0), repr=False)
    row_dual: Vector = field(default_factory=lambda: np.empty(0), repr=False)
    reduced_cost: Vector = field(default_factory=lambda: np.empty(0), repr=False)


@cache
def spend_banner() -> None:
    """Build one HiGHS out of sight: the first of a process prints two lines on file descriptor 1."""
    sys.stdout.flush()
    keep, null = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(null, 1)
        highspy.Highs()
    finally:
        os.dup2(keep, 1)
        os.close(keep)
        os.close(null)


@cache
def threads() -> int:
    """One thread where this process may still choose: on small counted programmes HiGHS's workers mostly wait.

    HiGHS fixes the number for a process at its first run and refuses another later; 0 takes what someone else fixed.
    """
    spend_banner()
    model = highspy.Highs()
    for option, value in {"output_flag": False, "threads": 1}.items():
        model.setOptionValue(option, value)
    return int(model.run() == highspy.HighsStatus.kOk)


def statement(programme: Programme) -> pulp.LpProblem:
    """The programme as a PuLP problem (objective: money), which any solver that PuLP knows can take.

    Names are our own short ones (c0001, r0001), in the order of the arrays: PuLP mangles blanks and signs.
    Expressions are built in bulk, a row at a time, and never copied.

    Raises:
        SolverFault: a figure is not finite where it must be.
    """
    refuse_unfinite(programme)
    problem = pulp.LpProblem("blend", pulp.LpMinimize)
    width = len(str(max(programme.matrix.shape)))
    columns = [
        problem.add_variable(f"c{place:0{width}d}", low, high, pulp.LpInteger if whole else pulp.LpContinuous)
        for place, (low, high, whole) in enumerate(
            zip(
                programme.column_low.tolist(),
                programme.column_high.tolist(),
                programme.integer.tolist(),
                strict=True,
            )
        )
    ]
    problem.setObjective(pulp.LpAffineExpression(dict(zip(columns, programme.money.tolist(), strict=True))))
    for place, (row, low, high) in enumerate(
        zip(programme.matrix.tolist(), programme.row_low.tolist(), programme.row_high.tolist(), strict=True)
    ):
        sense = SENSES[low > -np.inf, high < np.inf]
        expression = pulp.LpAffineExpression(dict(zip(columns, row, strict=True)))
        right = high if sense == pulp.LpConstraintLE else low
        problem.addConstraint(pulp.LpConstraint(expression, sense, rhs=right), f"r{place:0{width}d}")
    return problem


def refuse_unfinite(programme: Programme) -> None:
    """NaN in a cost hangs HiGHS and in a coefficient reads as infeasible, so neither gets that far."""
    for array in (programme.matrix, programme.money, programme.cured, programme.column_low, programme.column_high):
        if not np.isfinite(array).all():
            raise SolverFault("a price, a limit or a figure of a fat is not a finite number")
    if np.isnan(programme.row_low).any() or np.isnan(programme.row_high).any():
        raise SolverFault("a limit is not a number")


def load(problem: pulp.LpProblem, *, mixed: bool) -> Any:
    """Hand a statement to HiGHS in one call instead of PuLP's one call for each column and row.

    Returns:
        The live ``highspy.Highs``, not yet run.
    """
    spend_banner()
    columns = problem.variables()
    rows = list(problem.constraints())
    n, m = len(columns), len(rows)
    values = np.fromiter(chain.from_iterable(row.values() for row in rows), np.float64, n * m)
    cost = np.fromiter(problem.objective.values(), np.float64, n)
    sense = np.array([row.sense for row in rows])
    right = np.array([-row.constant for row in rows])
    entries = np.flatnonzero(values)
    starts = np.searchsorted(entries, np.arange(m) * n).astype(np.int32)
    model = highspy.Highs()
    for option, value in options(mixed=mixed).items():
        model.setOptionValue(option, value)
    status = model.passModel(
        n,
        m,
        len(entries),
        int(highspy.MatrixFormat.kRowwise),
        int(highspy.ObjSense.kMinimize),
        0.0,
        cost,
        np.array([column.lowBound for column in columns]),
        np.array([column.upBound for column in columns]),
        np.where(sense == pulp.LpConstraintLE, -INFINITY, right),
        np.where(sense == pulp.LpConstraintGE, INFINITY, right),
        starts,
        (entries % n).astype(np.int32),
        values[entries],
        np.array([int(column.cat == pulp.LpInteger) for column in columns], dtype=np.int32),
    )
    if status == highspy.HighsStatus.kError:
        raise SolverFault("HiGHS refused the programme")
    return model


def options(*, mixed: bool) -> dict[str, object]:
    """Settings of HiGHS: presolve costs more than it saves on small dense programmes; counted fats leave no gap."""
    common: dict[str, object] = {
        "output_flag": False,
        "threads": threads(),
        "presolve": "off",
        PERTURBATION: 0.0,
        "simplex_iteration_limit": MOST_STEPS,
        "primal_feasibility_tolerance": TOLERANCE,
        "dual_feasibility_tolerance": TOLERANCE,
    }
    if mixed:
        return common | {"mip_feasibility_tolerance": TOLERANCE, "mip_rel_gap": 0.0, "mip_abs_gap": TOLERANCE}
    return common


class Live:
    """One programme in one HiGHS instance: new costs and bounds are solved from where the last solve ended."""

    def __init__(self, programme: Programme) -> None:
        self.programme = programme
        self._model = load(statement(programme), mixed=programme.is_mixed_integer)
        self._columns = np.arange(len(programme.money), dtype=np.int32)
        self._objective = programme.money.copy()

    def minimise(self, objective: Vector | None = None) -> Outcome:
        """Solve for an objective over the columns; without one, again under the bounds as they now are.

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
        status = self._model.getModelStatus()
        if status not in DECIDED:
            status = self._again()
        if status == highspy.HighsModelStatus.kOptimal:
            return self._outcome()
        if status in DECIDED:
            return Outcome(feasible=False)
        raise SolverFault(f"HiGHS ended with {status.name}")

    def _again(self) -> Any:
        """Ask once more from cold: primal simplex or a warm start can lose its way, the dual decides, if need be unscaled."""
        self._model.setOptionValue("simplex_strategy", DUAL)
        self._model.setOptionValue(PERTURBATION, 1.0)
        status = self._model.getModelStatus()
        for scaling in (SCALED, UNSCALED):
            self._model.setOptionValue("simplex_scale_strategy", scaling)
            self.forget()
            self._model.run()
            status = self._model.getModelStatus()
            if status in DECIDED:
                break
        self._model.setOptionValue("simplex_scale_strategy", SCALED)
        self._model.setOptionValue(PERTURBATION, 0.0)
        if status == highspy.HighsModelStatus.kSolveError and self.programme.is_mixed_integer:
            status = self._a_hair_looser()
        return status

    def _a_hair_looser(self) -> Any:
        """A counted answer that misses a row by the very tolerance is refused by HiGHS itself: ask with a wider one."""
        self._model.setOptionValue("mip_feasibility_tolerance", LOOSE)
        self.forget()
        self._model.run()
        status = self._model.getModelStatus()
        self._model.setOptionValue("mip_feasibility_tolerance", TOLERANCE)
        return status

    def _outcome(self) -> Outcome:
        solution, info = self._model.getSolution(), self._model.getInfo()
        mixed = self.programme.is_mixed_integer
        empty = np.empty(0)
        return Outcome(
            feasible=True,
            objective=info.objective_function_value,
            bound=info.mip_dual_bound if mixed else info.objective_function_value,
            point=np.array(solution.col_value),
            row_dual=empty if mixed else np.array(solution.row_dual),
            reduced_cost=empty if mixed else np.array(solution.col_dual),
        )

    def suggest(self, point: Vector) -> None:
        """Where fats are counted: a blend known to be allowed, so that only better ones are looked for."""
        if self.programme.is_mixed_integer:
            known = highspy.HighsSolution()
            known.col_value = point.tolist()
            self._model.setSolution(known)

    def forget(self) -> None:
        """Drop basis and factors: the next solve starts cold."""
        self._model.clearSolver()

    def bound_rows(self, places: Sequence[int], low: Vector, high: Vector) -> None:
        """Give rows new least and greatest activities."""
        index = np.array(places, dtype=np.int32)
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
