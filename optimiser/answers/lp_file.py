"""The programme as a file in the CPLEX LP format, which other solvers read: written from the statement, digit for digit.

PuLP's own writer keeps 12 digits and HiGHS's 15; here every figure stands in as many as it needs to be read back as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import islice
from pathlib import Path
from textwrap import wrap

import pulp

from optimiser.answers.results import Blend, NoBlend
from optimiser.model.labels import row_labels
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.solve.stating import statement
from optimiser.text.opening import typed
from optimiser.text.signs import filled, visible

WIDTH = 110  # signs of a comment; the format has lines of at most 560 (from memory)
TERMS = 3  # on a line, each with a label of up to 80 signs
SIGNS = {pulp.LpConstraintLE: "<=", pulp.LpConstraintGE: ">=", pulp.LpConstraintEQ: "="}
UNITS = {"index": "points", "ratio": ""}

WHAT = """\
The programme by which barwright answers {goals}, from the shelf {shelf}, in the CPLEX LP format.
Columns, in kg per kg of fats: fat.* (the share of a fat), alkali.* (pure), water, additive.*, liquid.*. Where fats are counted, used.* \
and counts.* are 0 or 1; short.* is by how much a preference is missed; bought.* is drawn from what is bought, order.* 0 or 1.
Rows, each under the wish that it stands for: a figure that is a ratio is multiplied out, so that its right side is 0.
"""
CHEAPEST = """\
What is minimised: the cost per kg of cured bar is a ratio N / M of two linear figures: N, what a kg of fats and all that \
goes with it costs ({money}), and M, the kg of cured bar that come of it. This is the parametric programme of Dinkelbach \
(doi:10.1287/mnsc.13.7.492): minimise N - r M at the ratio of the answer, r = {ratio!r} {money} per kg.
What a solver must find: a least value of 0, to within its tolerance. Less than 0 would be a blend cheaper than r; \
at 0 no blend is. Of several blends at 0 the answer shows one.
"""
LIMITED = (
    "The search of the answer ended before it was done: here a solver may find less than 0, and so a cheaper blend.\n"
)
HELD = """\
Preferences are written as the answer meets them: each row prefer.* stands at the limit that was reached, with a hair of \
room, and short.* is held at 0.
"""
NONE = """\
What is minimised: what a kg of fats and all that goes with it costs ({money}); any other objective would do.
What a solver must find: that the programme is infeasible, since no blend meets these goals.
"""
CAUTION = """\
Sodium and potassium hydroxide burn skin and blind. A blend that a solver finds here is no recipe: it is neither rounded nor \
checked. Follow the supplier's safety data sheet, the rules where you live and licensed practice.
"""


def lp_of(programme: Programme, ratio: float | None, story: Blend | NoBlend) -> str:
    """What an answer was worked out by, as the text of an LP file.

    Args:
        programme: the goals over the shelf; with the preferences held where there is a blend.
        ratio: the least cost per kilo of cured bar; None where there is no blend.
        story: the answer.

    Raises:
        SolverFault: the programme cannot be stated.
    """
    objective = programme.money if ratio is None else programme.money - ratio * programme.cured
    problem = statement(replace(programme, money=objective))
    notes = dict(zip(row_labels(programme), map(note, programme.rows), strict=False))
    return "".join(f"{line}\n" for line in lp_lines(problem, header(programme, ratio, story), notes))


def header(programme: Programme, ratio: float | None, story: Blend | NoBlend) -> str:
    """What the file is, its units, what is minimised, what a solver must find, and a caution; a paragraph a line."""
    money = story.currency or "money"
    parts = [filled(WHAT, goals=typed(str(story.goal_file)), shelf=story.shelf_title)]
    if ratio is None:
        parts.append(filled(NONE, money=money))
    else:
        parts.append(CHEAPEST.format(money=visible(money), ratio=ratio))
        parts += [LIMITED] if isinstance(story, Blend) and story.proof.is_limited else []
        parts += [HELD] if programme.soft else []
    return "".join([*parts, CAUTION])


def note(row: Row) -> str:
    """A row in the maker's words, with its unit, its place and its reason."""
    unit = UNITS.get(row.unit, row.unit)
    unit = f" ({unit})" if unit and unit not in str(row.said) else ""
    place = f"; {Path(row.span.file).name}:{row.span.line}" if row.span is not None and row.span.line else ""
    return visible(f"{row.said}{unit}{place}; {row.why}")


def lp_lines(problem: pulp.LpProblem, head: str, notes: Mapping[str, str]) -> Iterator[str]:
    """A PuLP problem as the lines of an LP file.

    Args:
        problem: every column is in its objective and has finite bounds.
        head: paragraphs of the comment that the file begins with.
        notes: a comment for each row that has one, by its name.
    """
    columns = list(problem.objective)
    for paragraph in head.splitlines():
        yield from comment(paragraph)
    yield "Minimize" if problem.sense == pulp.LpMinimize else "Maximize"
    yield " objective:"
    yield from terms(problem.objective.items())
    yield "Subject To"
    for row in problem.constraints():
        yield from comment(notes.get(row.name, ""))
        yield f" {row.name}:"
        yield from terms(row.items() if len(row) else [(columns[0], 0.0)])
        yield f"  {SIGNS[row.sense]} {number(-row.constant)}"
    yield "Bounds"
    yield from (f" {number(one.lowBound)} <= {one.name} <= {number(one.upBound)}" for one in columns)
    whole = [one.name for one in columns if one.cat == pulp.LpInteger]
    if whole:
        yield "Generals"
        yield from (f" {name}" for name in whole)
    yield "End"


def comment(text: str) -> Iterator[str]:
    """A paragraph as lines that solvers pass over; a word that is longer than a line may be is parted."""
    return (f"\\ {line}" for line in wrap(text, WIDTH, break_on_hyphens=False))


def terms(entries: Iterable[tuple[pulp.LpVariable, float]]) -> Iterator[str]:
    """A sum, a few terms to a line."""
    written = (f"{'-' if value < 0 else '+'} {number(abs(value))} {column.name}" for column, value in entries)
    while some := list(islice(written, TERMS)):
        yield f"  {' '.join(some)}"


def number(value: float) -> str:
    """A number in as few digits as are read back as the same."""
    text = repr(float(value) + 0.0)
    return text.removesuffix(".0")
