"""One HiGHS instance that is handed a programme and solves it again and again; searches where fats are counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import highspy
import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme, with_tangent
from optimiser.solve.cone import Cones
from optimiser.solve.counting import Questions, settle, telling
from optimiser.solve.loading import INFINITY, PERTURBATION, load
from optimiser.solve.outcomes import Outcome, SolverFault, Undecided, Work
from optimiser.solve.searching import DECIDED, search
from optimiser.solve.switches import barring, ties_of, with_choice

PRIMAL, DUAL = 4, 1  # simplex strategies: new costs leave the blend feasible, new bounds leave the prices valid
SCALED, UNSCALED = 2, 0  # how simplex scales: as HiGHS does by itself, or not at all
MOST_KNOWN = 3  # blends kept for the next question
MOST_CUTS = 100  # rounds of cuts of the cone of the lots, for one question
WITHIN = 2e-8  # mol per kg: the spread of lots is as large as it must be, to a millionth of a per cent of superfat
AT_LAST = 2e-7  # the same after so many rounds of cuts, where many fats stray by little each
MANY_ROUNDS = 25
HAIR = 1e-8  # of a row's activity: what rounding may do to it
NO_WORSE = 1e-9  # of an objective, relative


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
        self._cones = Cones(self._model, programme.every_lots)
        self._at = np.arange(len(programme.matrix))
        self._waiting = 0
        self._bent = False

    def minimise(self, objective: Vector | None = None) -> Outcome:
        """Solve for an objective over the columns; without one, again under the bounds as they are.

        Raises:
            Undecided: fats are counted, and the work left was too little to find a blend or to show that there is none.
            SolverFault: HiGHS ended neither with an optimum nor with a proof that there is none.
        """
        if self._ties is None:
            return self.minimise_in_part(objective)
        best, seen, barred = Outcome(feasible=False, objective=np.inf), set[bytes](), list[Vector]()
        for _ in range(MOST_CUTS):
            outcome, objective = self._counted(objective, barred), None
            if not outcome.feasible:
                return best._replace(bound=best.objective) if best.feasible else outcome
            if self._in_cone(outcome):
                return self._lifted(outcome)
            chosen = np.round(outcome.point[self.programme.integer]).tobytes()
            known = chosen in seen  # then what the search holds against it is no more than its own tolerance
            seen.add(chosen)
            inner = best if known else self._of_choice(outcome)
            if not inner.feasible:
                barred.append(outcome.point)
            best = min(best, inner, key=lambda one: one.objective if one.feasible else np.inf)
            close = outcome.bound >= best.objective - NO_WORSE * max(1.0, abs(best.objective))
            if best.feasible and (outcome.limited or known or close):
                self._known = [best.point, *self._known][:MOST_KNOWN]
                return best._replace(bound=min(outcome.bound, best.objective), limited=outcome.limited)
            if outcome.limited:
                raise Undecided
        if not best.feasible:
            raise Undecided
        return best._replace(bound=min(outcome.bound, best.objective), limited=True)

    def _of_choice(self, outcome: Outcome) -> Outcome:
        """The least with the fats chosen that a search chose, which may miss the cone; what cuts it off is added to the model.

        So each choice is looked at once (outer approximation: Duran & Grossmann 1986, doi:10.1007/BF02592064).
        """
        asked = self.asked()
        inner = Live(with_choice(asked, outcome.point), self.work)
        found = inner.minimise_in_part(None)
        if not found.feasible:
            inner.ray()
        for tangent in (
            *inner.programme.matrix[len(asked.matrix) :],
            *self._cones.tangents(outcome.point, len(asked.money)),
        ):
            self._add(tangent)
        return found

    def _counted(self, objective: Vector | None, barred: list[Vector]) -> Outcome:
        """The least with fats counted whole, some choices barred, whether or not the spread of lots is as it must be."""
        outcome = self.minimise_in_part(objective)
        if self._ties is None or not outcome.feasible:
            return outcome
        asked = barring(self.asked(), barred)
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
        self._bent = False
        self._cones.begin()
        for rounds in range(MOST_CUTS):
            outcome = self._linear(objective)
            within = WITHIN if rounds < MANY_ROUNDS else AT_LAST
            if self._in_cone(outcome, within):
                return self._lifted(self._with_debt(outcome))
            self.work.cuts += self._cones.cut(outcome.point, within)
            objective = None
        raise SolverFault("the cuts of the lot spread did not settle")

    def _in_cone(self, outcome: Outcome, within: float = AT_LAST) -> bool:
        """Whether the spread of lots is as large as it must be at a blend, or can be with every row that feels it held."""
        return not outcome.feasible or self._cones.excess(outcome.point) <= within or self._has_room(outcome.point)

    def _has_room(self, point: Vector) -> bool:
        """Whether no cost feels the spread of lots, and every row holds with it as it is at a blend."""
        if self._objective[self._cones.norms].any():
            return False
        rows = np.flatnonzero(self.programme.matrix[:, self._cones.norms].any(axis=1))
        activity = self.programme.matrix[rows] @ self._cones.lifted(point)
        return bool((activity >= self._low[rows] - HAIR).all() and (activity <= self._high[rows] + HAIR).all())

    def _lifted(self, outcome: Outcome) -> Outcome:
        """The outcome with the spread of lots as it is at its blend; where a row has no room for a hair of it, without that."""
        if not self._cones.every or not outcome.feasible:
            return outcome
        lifts = self._cones.excess(outcome.point) <= 0.0 or self._has_room(outcome.point)
        return outcome._replace(point=self._cones.lifted(outcome.point)) if lifts else outcome

    def _with_debt(self, outcome: Outcome) -> Outcome:
        """The outcome with what it owes to the cone told as one row of the programme and its multiplier."""
        if not outcome.feasible or not self._cones.is_open:
            return outcome
        return outcome._replace(row_dual=self._told(self._model.getSolution().row_dual))

    def _told(self, dual: Any) -> Vector:
        """Multipliers of HiGHS's rows as those of the programme's; it gets a row more for what they owe to the cone."""
        every = np.array(dual)
        out = self._of_own(every)
        for tangent, multiplier in self._cones.owed(every, len(self._columns)):
            self._bent = True
            self._add(tangent)
            out = np.append(out, multiplier)
        return out

    def _of_own(self, every: Vector) -> Vector:
        """Of figures of all rows in HiGHS those of the programme's; a row that HiGHS has not got has none."""
        return np.append(every[self._at[: len(self._at) - self._waiting]], np.zeros(self._waiting))

    def _add(self, tangent: Vector) -> None:
        """One row more in the programme. HiGHS holds it by the cone's own rows, and gets it when it is to be bounded."""
        self.programme = with_tangent(self.programme, tangent)
        self._low, self._high = np.append(self._low, 0.0), np.append(self._high, np.inf)
        self._at = np.append(self._at, -1)
        self._waiting += 1
        self._entries += int(np.count_nonzero(tangent))

    def _hand_over(self) -> None:
        """Give HiGHS the rows that wait."""
        for place in range(len(self._at) - self._waiting, len(self._at)):
            row = self.programme.matrix[place]
            filled = np.flatnonzero(row).astype(np.int32)
            self._at[place] = self._model.getNumRow()
            self._model.addRow(0.0, INFINITY, len(filled), filled, row[filled])
        self._waiting = 0

    def _linear(self, objective: Vector | None) -> Outcome:
        """The linear programme as it stands in HiGHS."""
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
            point=np.array(solution.col_value)[: len(self._columns)],
            row_dual=self._of_own(np.array(solution.row_dual)),
            reduced_cost=np.array(solution.col_dual)[: len(self._columns)],
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
        own = np.array(places, dtype=np.intp)
        if own.max(initial=-1) >= len(self._at) - self._waiting:
            self._hand_over()
        index = self._at[own].astype(np.int32)
        self._low[own], self._high[own] = low, high
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
            self._model.changeCoeff(int(self._at[place]), column, float(programme.matrix[place, column]))
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
        known = self._at[: len(self._at) - self._waiting]
        free = np.full(self._waiting, np.inf)
        down, up = np.array(found.row_bound_dn.value_)[known], np.array(found.row_bound_up.value_)[known]
        return np.append(down, -free), np.append(up, free)

    @property
    def is_bent(self) -> bool:
        """Whether the last optimum leans on the cone of the lots: its prices then change with every step of a limit."""
        return self._bent

    def ray(self) -> Vector | None:
        """Multipliers of the rows (m entries) that show why there is no blend, if the solver has any."""
        status, exists, ray = self._model.getDualRay()
        if status != highspy.HighsStatus.kOk or not exists:
            return None
        return self._told(ray)
