"""Searches among whole numbers: each a new HiGHS, within the work that is left."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import highspy
import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.solve.loading import HEURISTICS, TOLERANCE, load
from optimiser.solve.outcomes import Outcome, SolverFault, Work
from optimiser.solve.running import run_watched
from optimiser.solve.switches import with_choice

LOOSE = 1e-8  # how far a counted answer may miss a row where it cannot be had to within TOLERANCE
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
MOST_DISPROVED = 4  # searches of one question that a cheaper blend of the same fats disproves
NO_LESS = 1e-7  # of an objective: what a search ends within, beside the cheapest blend of its own choice
LIMITED = (
    highspy.HighsModelStatus.kSolutionLimit,
    highspy.HighsModelStatus.kIterationLimit,
    highspy.HighsModelStatus.kInterrupt,
)


def search(programme: Programme, start: Vector | None, work: Work, words: Callable[[float], str]) -> Outcome:
    """The least money with 0/1 columns at 0 or 1, within the work that is left; each search is a new HiGHS.

    What the quick settings do not settle within their nodes is asked again with HiGHS's own presolve and heuristics, and
    with as many nodes as the work that is left allows, by what nodes have cost so far. So is what they settled wrongly:
    cuts at so narrow a tolerance have lost an optimum, and then a linear solve of the very choice found is cheaper.

    Args:
        programme: the whole of what is asked.
        start: a point that may be allowed.
        work: is counted up.
        words: what to tell of the search while it runs, given the bound so far.

    Raises:
        SolverFault: HiGHS ended neither with an optimum, nor with a proof that there is none, nor for want of work.
    """
    is_question = not programme.money.any()
    found = searched_once(programme, start, work, words, thorough=is_question)
    for _ in range(MOST_DISPROVED):
        inner = None if is_question or not found.feasible else of_choice(programme, found.point, work)
        if inner is None or inner.objective >= found.objective - NO_LESS * max(1.0, abs(found.objective)):
            return found
        if found.limited or work.left <= 0.0:
            return inner._replace(bound=-np.inf, limited=True)
        found = searched_once(programme, inner.point, work, words, thorough=True)
    return found._replace(bound=-np.inf, limited=True)


def of_choice(programme: Programme, point: Vector, work: Work) -> Outcome | None:
    """The least money with the 0/1 columns as they are at a point; None where HiGHS has no such optimum."""
    model = load(with_choice(programme, point), in_part=True)
    model.run()
    steps = max(0, model.getInfo().simplex_iteration_count)
    work.count(rows=model.getNumRow(), columns=model.getNumCol(), entries=model.getNumNz(), steps=steps)
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    inner = np.array(model.getSolution().col_value)
    return Outcome(feasible=True, objective=float(programme.money @ inner), point=inner)


def searched_once(
    programme: Programme, start: Vector | None, work: Work, words: Callable[[float], str], *, thorough: bool
) -> Outcome:
    """What one search finds, quick at first; a thorough one with HiGHS's own presolve and heuristics from the beginning.

    They show best that there is no blend at all, and are other cuts where quick settings went wrong.
    """
    model = load(programme)
    size = {"rows": model.getNumRow(), "columns": model.getNumCol(), "entries": model.getNumNz()}
    model.setOptionValue("mip_max_nodes", min(FIRST_NODES, work.nodes(**size)))
    if thorough:
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
