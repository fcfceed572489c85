"""The room that knows a solver: statements, live models, warm and cold."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import at_most, bare_programme, programmes, sheet_of, shelf_of

from optimiser.programme import Programme, build
from optimiser.solver import Live, SolverFault, statement


def toy() -> Programme:
    """Two columns: the first is cheap but must be at most 0.25."""
    return bare_programme([[1.0, 1.0], [1.0, 0.0]], [1.0, -np.inf], [1.0, 0.25], [2.0, 6.0])


def test_a_toy_is_solved_by_hand() -> None:
    """As much of the cheap column as is allowed: 0.25 x 2 + 0.75 x 6 = 5."""
    outcome = Live(toy()).minimise()
    assert outcome.feasible
    assert outcome.objective == pytest.approx(5.0)
    assert outcome.point == pytest.approx([0.25, 0.75])
    assert outcome.row_dual == pytest.approx([6.0, -4.0])
    assert outcome.reduced_cost == pytest.approx([0.0, 0.0])


def test_a_whole_number_stays_whole() -> None:
    """With the first column whole and at most 0.25 it is not used at all."""
    made = bare_programme([[1.0, 1.0], [1.0, 0.0]], [1.0, -np.inf], [1.0, 0.25], [2.0, 6.0], integer=[True, False])
    outcome = Live(made).minimise()
    assert outcome.point == pytest.approx([0.0, 1.0])
    assert outcome.bound == pytest.approx(6.0)


def test_no_blend_is_an_outcome_and_has_a_ray() -> None:
    """Infeasible is answered, not raised, and the ray leans on both rows."""
    made = bare_programme([[1.0, 1.0], [1.0, 1.0]], [1.0, 2.0], [1.0, np.inf], [1.0, 1.0])
    live = Live(made)
    assert not live.minimise().feasible
    ray = live.ray()
    assert ray is not None
    assert np.all(np.abs(ray) > 0)


@pytest.mark.parametrize("bad", [np.nan, np.inf])
@pytest.mark.parametrize("where", ["money", "matrix", "cured", "column_high"])
def test_figures_that_are_none_never_reach_the_solver(bad: float, where: str) -> None:
    """NaN or infinity in a cost, a coefficient or a bound of a column is refused at once."""
    made = toy()
    getattr(made, where).flat[0] = bad
    with pytest.raises(SolverFault):
        Live(made)
    if where == "money":
        with pytest.raises(SolverFault):
            Live(toy()).minimise(np.array([bad, 1.0]))


def test_a_limit_that_is_not_a_number_is_refused() -> None:
    """NaN as a limit of a row never reaches the solver."""
    made = toy()
    made.row_high[1] = np.nan
    with pytest.raises(SolverFault):
        statement(made)


@settings(max_examples=40)
@given(programmes())
def test_warm_is_cold(made: Programme) -> None:
    """After other costs, freed rows and other bounds, a model restored answers as a new one does."""
    live = Live(made)
    first = live.minimise()
    live.minimise(-made.money)
    places = list(range(1, len(made.row_low)))
    if places:
        live.free_rows(places)
        live.minimise()
        live.restore_rows(places)
    live.bound_column(0, 0.0, 0.0)
    live.minimise()
    live.restore_column(0)
    again = live.minimise(made.money)
    assert again.feasible == first.feasible
    assert again.objective == pytest.approx(Live(made).minimise().objective, abs=1e-9)


@settings(max_examples=40)
@given(programmes())
def test_a_solution_keeps_its_rows(made: Programme) -> None:
    """The point found lies within every bound to a billionth and costs what is said."""
    outcome = Live(made).minimise()
    activity = made.matrix @ outcome.point
    assert np.all(activity >= made.row_low - 1e-7)
    assert np.all(activity <= made.row_high + 1e-7)
    assert np.all((outcome.point >= -1e-9) & (outcome.point <= made.column_high + 1e-9))
    assert made.money @ outcome.point == pytest.approx(outcome.objective, abs=1e-9)


def test_other_figures_are_taken_over_and_given_back() -> None:
    """New coefficients, bounds of rows and of columns hold in the solver, and the old ones hold again once they are back."""
    made = toy()
    live = Live(made)
    before = live.minimise()
    matrix, high = made.matrix.copy(), made.column_high.copy()
    matrix[0] *= 2.0
    high[0] = 0.1
    other = replace(made, matrix=matrix, row_low=2.0 * made.row_low, row_high=2.0 * made.row_high, column_high=high)
    live.become(other)
    live.restore_column(0)
    assert live.minimise().point == pytest.approx([0.1, 0.9])
    live.become(made)
    assert live.minimise().point == pytest.approx(before.point)


def test_the_statement_is_plain_pulp() -> None:
    """The statement has a variable for each column and a constraint for each row, in their order."""
    problem = statement(toy())
    assert [column.name for column in problem.variables()] == ["c0", "c1"]
    assert [row.name for row in problem.constraints()] == ["r0", "r1"]


def test_nothing_is_printed_on_the_first_solve() -> None:
    """The solver's banner never reaches standard output, not even at the level of file descriptors."""
    code = (
        "import numpy as np; from optimiser.solver import spend_banner; import highspy; spend_banner(); highspy.Highs();"
        "print('only this')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "only this\n"


def test_a_solver_that_loses_its_way_is_asked_again() -> None:
    """Four hard oils at one price and one at half of it once left primal simplex without an answer; there is one."""
    shelf = shelf_of({"palm kernel oil": 1.0, "beef tallow": 1.0, "lard": 1.0, "coconut oil": 0.5})
    made = build(sheet_of(shares=(at_most("lard", 100.0, "fat"),)), shelf)
    outcome = Live(made).minimise(made.money)
    assert outcome.feasible
    assert outcome.point[made.columns.index["coconut oil"]] == pytest.approx(1.0)
