"""A goal file made ready for a sweep: its answer at today's prices, the programme that is swept, and what of it is held."""

from __future__ import annotations

import hashlib
import pickle
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from optimiser.analysis.break_even import cheaper_today
from optimiser.analysis.sweep_parts import Case
from optimiser.analysis.sweep_start import Start
from optimiser.analysis.swept import FEW_CHOICES, Swept, none_or_enough, swept
from optimiser.answers.blend import proved, settled
from optimiser.answers.sweep_results import NotSwept
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
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
PINCH = 1e-6  # of the fats: less of one is not in a blend
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
    arrays, pinches = with_pinches(
        asked, found.point, {fat.name: least * of_least(asked.sheet, fat.kind) for fat in fats}
    )
    return Bar(
        file=file,
        title=question.goals.title,
        currency=question.shelf.currency,
        names=tuple(fat.name for fat in fats),
        least=tuple(least * of_least(asked.sheet, fat.kind) for fat in fats),
        held=tuple(held(asked, arrays, pinches)),
        case=case_of(arrays, priced_as(asked.live.programme), [fat.known_as for fat in fats], scenarios),
        known_as=tuple(dict.fromkeys(fat.known_as for fat in fats)),
        is_near=asked.sheet.near is not None,
    )


def with_pinches(asked: Asked, kept: Vector, least: Mapping[str, float]) -> tuple[Swept, frozenset[str]]:
    """What is swept, and the fats that are held at nothing or at enough (% by name), where today's blend has pinches tidied.

    Those are the pinches that were left out or brought up, and what would be one in their place: the cheapest blend with the
    first of them held may have a pinch of another fat, which today's blend has not.
    """
    pinches = frozenset(asked.sheet.no_pinch)
    if not pinches or asked.before is None or asked.programme.is_mixed_integer:
        return swept(asked.live.programme, kept), pinches
    index = asked.programme.columns.index
    bare = swept(asked.before[0].programme, kept)
    while True:
        arrays = none_or_enough(bare, {index[name]: least[name] / 100.0 for name in pinches})
        cheaper = cheaper_today(arrays)
        if cheaper is None:
            return arrays, pinches
        new = {
            name
            for name, place in index.items()
            if name not in pinches
            and _is_pinch(cheaper[place], least.get(name, 0.0))
            and not _is_pinch(kept[place], least[name])
        }
        if not new or len(pinches | new) > FEW_CHOICES:
            return arrays, pinches
        pinches |= new


def _is_pinch(share: float, least: float) -> bool:
    """Whether there is something of a fat, and less than enough (%)."""
    return PINCH < share < least / 100.0 - PINCH


def priced_as(programme: Programme) -> list[str]:
    """By name whose price each column has, in order; what is drawn from what was bought has that of its fat."""
    names = [one.name for one in programme.columns.all]
    between = len(programme.money) - len(names) - len(programme.bought)
    return [*names, *[""] * between, *(column.fat for column in programme.bought)]


def case_of(arrays: Swept, names: list[str], known_as: list[str], scenarios: Scenarios) -> Case:
    """The programme with the multipliers that go with its prices, by whose price each column has; lots of a fat are known as that."""
    places = {name: number for number, name in enumerate(scenarios.names)}
    lots: dict[str, int] = {}  # a tin that is still to be bought is on no shelf, and moves as the lots of its fat do
    for name, fat in zip(names, known_as, strict=False):
        if name in places:
            lots.setdefault(fat, places[name])
    moves = {name: places.get(name, lots.get(fat, -1)) for name, fat in zip(names, known_as, strict=False)} | places
    column = [moves.get(names[place], -1) if place < len(names) else -1 for place in arrays.places.tolist()]
    law = scenarios._replace(multipliers=None, labels=(), rules=())
    fats = list(dict.fromkeys(known_as))
    joined = tuple(tuple(place for place, other in enumerate(known_as) if other == name) for name in fats)
    own = dict(zip(names, known_as, strict=False))
    bought = [(place, own.get(name)) for place, name in enumerate(names) if place >= len(known_as)]
    along = tuple(tuple(place for place, fat in bought if fat == name and arrays.money[place]) for name in fats)
    start = Start(arrays, (), arrays.kept[None, :])
    return Case(start, len(known_as), np.array(column, dtype=np.intp), law, joined, along)


def held(asked: Asked, arrays: Swept, pinches: frozenset[str]) -> list[str]:
    """What is swept as it stands at today's prices, though `blend` might choose otherwise at others; in sentences."""
    sheet = asked.sheet
    out = [NEAREST] if sheet.near is not None else []
    if sheet.eased:
        out.append("House rules that gave way stand at the figures of today's answer.")
    if sheet.yielded:
        out.append("The rule on the likely superfat stands aside, as in today's answer.")
    if pinches:
        are = "is" if len(pinches) == 1 else "are"
        why = "since it was one of today's blend" if pinches == sheet.no_pinch.keys() else "as in today's blend"
        out.append(f"Never a pinch, {why}: {listed(sorted(pinches), 'and')} {are} left out, or there is enough.")
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
        out.append(
            "The goal on the cost has prices in it: each scenario is solved by itself, and there are no break-even prices."
        )
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
    law = scenarios.size, scenarios.seed, scenarios.group, scenarios.scale
    made.update(repr((arrays.most_costs, arrays.cost_rows, *law)).encode())
    return made.hexdigest()
