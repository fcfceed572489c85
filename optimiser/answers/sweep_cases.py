"""A goal file made ready for a sweep: its answer at today's prices, the programme that is swept, and what of it is held."""

from __future__ import annotations

import hashlib
import pickle
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from optimiser.analysis.sweep_parts import Case
from optimiser.analysis.sweep_start import Start
from optimiser.analysis.swept import Swept, none_or_enough, swept
from optimiser.answers.blend import proved, settled
from optimiser.answers.sweep_results import NotSwept
from optimiser.maths.arrays import Vector
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import least_share, of_least
from optimiser.problem.price_scenarios import Scenarios
from optimiser.problem.question import Question
from optimiser.problem.wishes import Section
from optimiser.solve.outcomes import Undecided
from optimiser.solve.yielding import Asked, cheapest
from optimiser.text.names import listed

NO_BLEND = "no blend meets its goals at today's prices"
SETTLED = "it asks for the least cash: what is bought is settled at today's prices"
NEAREST = (
    "The file asks for the nearest blend to a recipe, not for the cheapest: it stays as near as today, whatever prices do, "
    "so re-making saves little or nothing."
)
UNDECIDED = "the search for a blend of so few fats ended before it found one"


class Bar(NamedTuple):
    """A goal file ready to be swept. `names` are its fats in the order of the columns, `least` (%) the pinch of each, 0 where there is none.

    `is_near`: the nearest blend to a recipe in hand is asked for, not the cheapest. `known_as`: its fats whichever lot, one for
    each of the case's `joined`.
    """

    file: str
    title: str
    currency: str
    names: tuple[str, ...]
    least: tuple[float, ...]
    held: tuple[str, ...]
    case: Case
    is_near: bool = False
    known_as: tuple[str, ...] = ()


def bar_of(file: str, question: Question, scenarios: Scenarios) -> Bar | NotSwept:
    """A goal file with its answer at today's prices; one that asks for the least cash has none to sweep.

    Raises:
        SolverFault: the solver failed.
    """
    buying = question.goals.buying
    if buying is not None and not buying.is_cheapest_to_make:
        return NotSwept(file, question.goals.title, SETTLED)
    try:
        asked = cheapest(question.goals, question.shelf)
        if asked.found is None:
            return NotSwept(file, question.goals.title, NO_BLEND, has_ways_out=True)
        found = settled(asked.live, proved(asked.live, asked.found)[0])
    except Undecided:
        return NotSwept(file, question.goals.title, UNDECIDED, has_ways_out=True)
    columns = asked.programme.columns
    fats = columns.fats
    least = least_share(asked.sheet) or 0.0
    arrays = with_pinches(asked, found.point, {fat.name: least * of_least(asked.sheet, fat.kind) for fat in fats})
    return Bar(
        file=file,
        title=question.goals.title,
        currency=question.shelf.currency,
        names=tuple(fat.name for fat in fats),
        least=tuple(least * of_least(asked.sheet, fat.kind) for fat in fats),
        held=tuple(held(asked, arrays)),
        case=case_of(arrays, [one.name for one in columns.all], [fat.known_as for fat in fats], scenarios),
        known_as=tuple(dict.fromkeys(fat.known_as for fat in fats)),
        is_near=asked.sheet.near is not None,
    )


def with_pinches(asked: Asked, kept: Vector, least: Mapping[str, float]) -> Swept:
    """What is swept: a fat that was a pinch of today's blend, and left out or brought up, is at nothing or at enough (% by name)."""
    pinches = asked.sheet.no_pinch
    if not pinches or asked.before is None or asked.programme.is_mixed_integer:
        return swept(asked.live.programme, kept)
    index = asked.programme.columns.index
    return none_or_enough(
        swept(asked.before[0].programme, kept), {index[name]: least[name] / 100.0 for name in pinches}
    )


def case_of(arrays: Swept, names: list[str], known_as: list[str], scenarios: Scenarios) -> Case:
    """The programme with the multipliers that go with its prices, by the names of its columns; lots of a fat are known as that."""
    places = {name: number for number, name in enumerate(scenarios.names)}
    column = [places.get(names[place], -1) if place < len(names) else -1 for place in arrays.places.tolist()]
    law = scenarios._replace(multipliers=None, labels=(), rules=())
    joined = tuple(
        tuple(place for place, other in enumerate(known_as) if other == name) for name in dict.fromkeys(known_as)
    )
    return Case(Start(arrays, (), arrays.kept[None, :]), len(known_as), np.array(column, dtype=np.intp), law, joined)


def held(asked: Asked, arrays: Swept) -> list[str]:
    """What is swept as it stands at today's prices, though `blend` might choose otherwise at others; in sentences."""
    sheet = asked.sheet
    out = [NEAREST] if sheet.near is not None else []
    if sheet.eased:
        out.append("House rules that gave way stand at the figures of today's answer.")
    if sheet.yielded:
        out.append("The rule on the likely superfat stands aside, as in today's answer.")
    pinches = sorted(sheet.no_pinch)
    if pinches:
        out.append(
            f"Never a pinch, since it was one of today's blend: {listed(pinches, 'and')} {'is' if len(pinches) == 1 else 'are'} left out, or there is enough."
        )
    if sheet.most_that_helps:
        ends = [f"{name} {share:g} %" for name, share in sorted(sheet.most_that_helps.items())]
        out.append(f"What may be used goes no further than helps today: {', '.join(ends)} at most.")
    if asked.programme.soft:
        out.append("Preferences are met as far as today, whatever that costs." + _cost_preference(sheet))
    if arrays.most_costs:
        out.append(
            "The limit on the cost is judged afterwards: where the cheapest blend is above it, there is none below."
        )
    if arrays.cost_rows:
        out.append("The goal on the cost has prices in it: each scenario is solved by itself.")
    if not arrays.has_few_choices:
        out.append("Fats are counted: each scenario is searched, and break-even prices are asked upwards only.")
    return out


def _cost_preference(sheet: GoalSheet) -> str:
    """What is said where the cost itself is preferred."""
    if any(limit.key == "cost" for wishes in sheet.prefer for limit in wishes):
        return f" A line on the cost under '{Section.PREFER}' is met by the cheapest blend as far as the others allow."
    return ""


def packed(case: Case) -> bytes:
    """A case as it travels."""
    return pickle.dumps(case, protocol=5)


def hash_of_case(case: Case, scenarios: Scenarios) -> str:
    """A hash of all figures that the answer hangs on."""
    made = hashlib.sha256()
    arrays = case.start.swept
    numbers = [
        *(arrays.matrix, arrays.row_low, arrays.row_high, arrays.column_low, arrays.column_high, arrays.money),
        *(arrays.cured, arrays.integer, arrays.places, arrays.kept, case.column),
        *(() if arrays.lots is None else (arrays.lots.group, arrays.lots.weight)),
        *(one for one in (scenarios.multipliers, scenarios.factor) if one is not None),
    ]
    for one in numbers:
        made.update(repr((one.shape, str(one.dtype))).encode())
        made.update(np.ascontiguousarray(one).tobytes())
    made.update(repr((arrays.most_costs, arrays.cost_rows, scenarios.size, scenarios.seed, scenarios.group)).encode())
    return made.hexdigest()
