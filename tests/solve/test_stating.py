"""One programme, handed to HiGHS and stated in PuLP: the same rows, columns, bounds, costs, whole columns and optimum."""

from __future__ import annotations

import warnings
from dataclasses import replace
from pathlib import Path

import numpy as np
import pulp
import pytest
from hypothesis import given, settings
from reading import read
from statements import Said, by_highs, everything
from strategies import bare_programme, programmes
from workshops import Workshop, workshops

from optimiser.model.labels import column_labels, label, row_labels, unique
from optimiser.model.programme import Programme, build
from optimiser.solve.loading import by_column, load
from optimiser.solve.outcomes import SolverFault
from optimiser.solve.solver import Live
from optimiser.solve.stating import statement

GOALS = sorted((Path(__file__).parents[2] / "goals").glob("*.yaml"))


def by_pulp(problem: pulp.LpProblem) -> Said:
    """What the statement says."""
    costs = {column.name: cost for column, cost in problem.objective.items()}
    rows = list(problem.constraints())
    return Said(
        problem.sense,
        problem.objective.constant,
        {
            column.name: (costs[column.name], column.lowBound, column.upBound, column.cat == pulp.LpInteger)
            for column in problem.variables()
        },
        {
            row.name: (
                -np.inf if row.sense == pulp.LpConstraintLE else -row.constant,
                np.inf if row.sense == pulp.LpConstraintGE else -row.constant,
            )
            for row in rows
        },
        {(row.name, column.name): entry for row in rows for column, entry in row.items()},
    )


def cheapest_by_pulp(problem: pulp.LpProblem) -> float | None:
    """The optimum of a statement by PuLP's own way to HiGHS, which shares nothing with ours."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        status = problem.solve(pulp.HiGHS(msg=False, gapRel=0.0))
    return float(pulp.value(problem.objective)) if status == pulp.LpStatusOptimal else None


def assert_one_programme(made: Programme) -> None:
    """Both forms of a programme hold the same, and no label stands twice."""
    problem = statement(made)
    assert by_highs(load(made), made) == by_pulp(problem)
    assert len(set(column_labels(made))) == made.matrix.shape[1]
    assert len(set(row_labels(made))) == len(made.matrix)


@pytest.mark.parametrize("path", GOALS, ids=lambda path: path.stem)
def test_every_goal_file_is_one_programme(path: Path) -> None:
    """Of every goal file, HiGHS holds what the statement says, and the least cost of a kilo of fats is the same by both."""
    made = build(*read(path))
    assert_one_programme(made)
    live = Live(made)
    ours = live.minimise()
    if not ours.feasible:
        live.ray()  # what the spread of lots has to do with it becomes a row
    theirs = cheapest_by_pulp(statement(live.programme))
    assert ours.feasible == (theirs is not None)
    if theirs is not None:
        assert ours.objective == pytest.approx(theirs, abs=1e-6)


@settings(max_examples=60)
@given(workshops(), workshops(designed=True))
def test_random_workshops_are_one_programme(
    tmp_path_factory: pytest.TempPathFactory, shop: Workshop, designed: Workshop
) -> None:
    """Of random goal files with counted fats, preferences, ratios, potassium, stock and designs too."""
    for one in (shop, designed):
        assert_one_programme(build(*one.read(tmp_path_factory.mktemp("shop"))))


@settings(max_examples=25)
@given(programmes(surely_feasible=False))
def test_random_arrays_are_one_programme(made: Programme) -> None:
    """Of arrays alone, whether they have a blend or none; and both have the same optimum."""
    assert_one_programme(made)
    ours, theirs = Live(made).minimise(), cheapest_by_pulp(statement(made))
    assert ours.feasible == (theirs is not None)
    if theirs is not None:
        assert ours.objective == pytest.approx(theirs, abs=1e-6)


def test_a_programme_of_everything_is_one_programme() -> None:
    """Every kind of row and column goes both ways, whole columns in part too, and is found by its label."""
    made = everything()
    assert_one_programme(made)
    linear = by_highs(load(made, in_part=True), made)
    assert linear == by_pulp(statement(replace(made, integer=np.zeros_like(made.integer))))
    assert {"fat.olive_oil", "alkali.potassium_hydroxide", "water", "additive.sodium_lactate"} <= set(
        column_labels(made)
    )
    assert {"used.palm_oil", "counts.palm_oil", "short.prefer.0.mildness.at_least"} <= set(column_labels(made))
    assert {"goals.hardness.exactly", "goals.hardness.exactly..2", "stock.palm_oil"} <= set(row_labels(made))


def test_the_statement_is_plain_pulp() -> None:
    """Arrays alone have a numbered variable for each column and a numbered constraint for each row, in their order."""
    problem = statement(bare_programme([[1.0, 1.0], [1.0, 0.0]], [1.0, -np.inf], [1.0, 0.25], [2.0, 6.0]))
    assert [column.name for column in problem.variables()] == ["c0", "c1"]
    assert [row.name for row in problem.constraints()] == ["r0", "r1"]


@pytest.mark.parametrize(("low", "high"), [(0.25, 0.75), (-np.inf, np.inf)])
def test_a_row_that_pulp_cannot_state_is_refused(low: float, high: float) -> None:
    """A row between two limits is never stated as an equation with one of them, nor one without a limit at all."""
    made = bare_programme([[1.0, 1.0], [1.0, 0.0]], [1.0, low], [1.0, high], [2.0, 6.0])
    with pytest.raises(SolverFault, match="limit"):
        statement(made)


def test_entries_stand_column_by_column() -> None:
    """Zeros are left out, an empty column has none, and rows ascend within a column."""
    starts, rows, values = by_column(np.array([[1.0, 0.0, 2.0], [3.0, 0.0, 0.0], [0.0, 0.0, -4.0]]))
    assert starts.tolist() == [0, 2, 2, 4]
    assert rows.tolist() == [0, 1, 0, 2]
    assert values.tolist() == [1.0, 3.0, 2.0, -4.0]
    assert by_column(np.empty((2, 0)))[0].tolist() == [0]


def test_labels_are_plain_and_never_twice() -> None:
    """Whatever a fat is called: letters that solvers read, nothing empty, and no two the same but for case."""
    assert label("fat.huile d'açaï [bio]") == "fat.huile_d_acai_bio"
    assert label("fat.кокос") == "fat.x"
    assert len(label("fat." + "a" * 500)) == 80
    assert unique(["a", "A", "b", "a"]) == ("a", "A..2", "b", "a..3")
    assert unique(["a", "a..2", "a"]) == ("a", "a..2", "a..3")
