"""The room that knows a solver: statements, live models, warm and cold."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from typing import Any

import highspy
import numpy as np
import pytest
from hypothesis import given, settings
from strategies import at_most, bare_programme, examples, programmes, sheet_of, shelf_of

from optimiser.model.programme import Programme, build
from optimiser.solve import loading, searching
from optimiser.solve.outcomes import Outcome, SolverFault, Work
from optimiser.solve.solver import Live
from optimiser.solve.stating import statement


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


@settings(max_examples=examples(40))
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


@settings(max_examples=examples(40))
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


def test_nothing_is_printed_on_the_first_solve() -> None:
    """The solver's banner never reaches standard output, not even at the level of file descriptors."""
    code = (
        "import numpy as np; from optimiser.solve.loading import spend_banner; import highspy; spend_banner(); highspy.Highs();"
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


# -- safety nets, made to fall ---------------------------------------------------------------------------------------


class Astray:
    """A HiGHS that ends its first runs with another status, and passes everything else on."""

    def __init__(self, model: Any, status: Any, times: int) -> None:
        self._model, self._status, self._times = model, status, times
        self.asked: list[dict[str, Any]] = []

    def __getattr__(self, name: str) -> Any:
        return getattr(self._model, name)

    def run(self) -> Any:
        """Note the options in force, and run."""
        names = ("simplex_strategy", "simplex_scale_strategy", "mip_feasibility_tolerance", "presolve")
        self.asked.append({name: self._model.getOptionValue(name)[1] for name in names})
        return self._model.run()

    def getModelStatus(self) -> Any:  # noqa: N802  # as HiGHS calls it
        """The status that leads astray, so many times; then the true one."""
        return self._status if len(self.asked) <= self._times else self._model.getModelStatus()


def led_astray(times: int) -> tuple[Live, Astray]:
    """The toy in a live model whose solver ends undecided so many times."""
    live = Live(toy())
    astray = Astray(live._model, highspy.HighsModelStatus.kUnknown, times)
    live._model = astray
    return live, astray


@pytest.mark.parametrize("times", [1, 2])
def test_an_undecided_answer_is_asked_for_again_from_cold(times: int) -> None:
    """Ended without a word once or twice, it is asked again by dual simplex, the second time unscaled: the true answer."""
    live, astray = led_astray(times)
    outcome = live.minimise()
    assert outcome.objective == pytest.approx(5.0)
    assert len(astray.asked) == 1 + times
    assert [asked["simplex_scale_strategy"] for asked in astray.asked[1:]] == [2, 0][:times]
    assert all(asked["simplex_strategy"] == 1 for asked in astray.asked[1:])
    assert live.minimise(np.array([6.0, 2.0])).objective == pytest.approx(2.0)
    assert astray.asked[-1]["simplex_scale_strategy"] == 2


def test_no_answer_at_all_is_a_fault() -> None:
    """A solver that never decides is never taken for one that found no blend."""
    live, _ = led_astray(99)
    with pytest.raises(SolverFault, match="kUnknown"):
        live.minimise()


def counted_toy() -> Programme:
    """Three columns with a switch each, two may be on: shares must add up to 1 and the cheap ones are capped."""
    shares, switches = np.eye(3), np.eye(3)
    rows = [[1.0, 1.0, 1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0, 1.0, 1.0]]
    rows += np.hstack([shares, -switches]).tolist()
    return bare_programme(
        rows,
        [1.0, *[-np.inf] * 4],
        [1.0, 2.0, 0.0, 0.0, 0.0],
        [1.0, 2.0, 4.0, 0.0, 0.0, 0.0],
        column_high=[0.4, 0.4, 1.0, 1.0, 1.0, 1.0],
        integer=[False] * 3 + [True] * 3,
    )


def search_astray(monkeypatch: pytest.MonkeyPatch, times: int) -> list[Astray]:
    """Every search from now on is led astray so many times."""
    made: list[Astray] = []
    load = loading.load

    def astray(programme: Programme, *, in_part: bool = False) -> Any:
        model = load(programme, in_part=in_part)
        if in_part or not programme.is_mixed_integer:
            return model
        made.append(Astray(model, highspy.HighsModelStatus.kSolveError, times))
        return made[-1]

    monkeypatch.setattr(searching, "load", astray)
    return made


@pytest.mark.parametrize("times", [0, 1, 2])
def test_a_search_refused_by_a_hair_is_asked_a_hair_looser(monkeypatch: pytest.MonkeyPatch, times: int) -> None:
    """A search that HiGHS itself calls wrong is made again with a wider tolerance, then with presolve: the true answer."""
    made = search_astray(monkeypatch, times)
    outcome = Live(counted_toy()).minimise()
    assert outcome.objective == pytest.approx(0.4 * 1.0 + 0.6 * 4.0)
    asked = made[-1].asked
    assert len(asked) == 1 + times
    assert [one["mip_feasibility_tolerance"] for one in asked] == [1e-9, 1e-8, 1e-8][: 1 + times]
    assert [one["presolve"] for one in asked] == ["off", "off", "on"][: 1 + times]


def test_a_search_that_never_ends_well_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever it is asked with, an error is an error and never "no blend"."""
    search_astray(monkeypatch, 99)
    with pytest.raises(SolverFault, match="kSolveError"):
        Live(counted_toy()).minimise()


def test_figures_that_are_none_never_reach_a_search() -> None:
    """A part of a programme is looked at as the whole is: NaN in it is refused, since HiGHS would not come back."""
    made = counted_toy()
    made.money[0] = np.nan
    with pytest.raises(SolverFault):
        loading.load(made)


def test_what_quick_settings_leave_open_is_searched_thoroughly(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search whose few nodes end without an answer is made again with presolve and more nodes, within the work."""
    monkeypatch.setattr(searching, "FIRST_NODES", 0)
    asked: list[tuple[str, int]] = []
    truly = searching.attempted

    def attempted(model: Any, *rest: Any) -> Outcome:
        asked.append((model.getOptionValue("presolve")[1], model.getOptionValue("mip_max_nodes")[1]))
        found = truly(model, *rest)
        return found._replace(limited=True) if len(asked) == 1 else found

    monkeypatch.setattr(searching, "attempted", attempted)
    made = counted_toy()
    found = searching.search(made, None, Work(), lambda _: "")
    assert not found.limited
    assert found.objective == pytest.approx(0.4 * 1.0 + 0.6 * 4.0)
    assert [presolve for presolve, _ in asked] == ["off", "on"]
    assert asked[1][1] > asked[0][1]
    spent = Work(allowed=0.0)
    asked.clear()
    assert searching.search(made, None, spent, lambda _: "").limited
    assert len(asked) == 1
