"""A recipe on the steps of a balance that keeps every row: rounded to the nearest, and searched for where that breaks one.

The search is over whole numbers of steps near the blend (`model.stepped`), the alkali always below what the fats take. What it
finds is judged like any recipe; where the judge finds more than the rows did (the spread of lots is a cone, and what a
balance blurs differs from pot to pot) it is asked again, a little narrower.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from optimiser.materials import alkali as moles
from optimiser.maths.arrays import Vector
from optimiser.model.programme import Programme
from optimiser.model.stepped import Alkali, Balance, Held, Stepped, Weight, is_over_columns, stepped
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import gives_way
from optimiser.problem.limits import Limit
from optimiser.problem.money import Prices
from optimiser.problem.wishes import Origin, Section, WishId
from optimiser.recipe.balance import steps
from optimiser.recipe.compliance import as_written, forgiven, wishes
from optimiser.recipe.evaluation import Judgement, Recipe, judge
from optimiser.recipe.neighbours import STEPS, step_moved
from optimiser.recipe.rounding import (
    FORGIVEN,
    SUPERFATS,
    Grams,
    point_of,
    refuse_coarse,
    rounded_fats,
    slack_of_alkali,
)
from optimiser.recipe.weighing_out import (
    LEFT_OUT,
    WISHED,
    Judging,
    Task,
    WeighedOut,
    badness,
    blurred,
    judged_by,
    preferred,
)
from optimiser.solve.outcomes import Outcome, SolverFault, Work
from optimiser.solve.searching import searched_once

ROUNDS = 2  # searches of one kind; with those of all four kinds no more than eight
CLOSE, FAR = (
    3,
    8,
)  # steps of the balance that a weight may come away from the blend, at first and where that is not enough
LITTLE, PART = (
    0.01,
    0.05,
)  # of the batch: by as much all fats may come away from it, so that every rule is kept, and every goal
NARROWER = 0.02  # of what is forgiven: taken off where the judge still finds a row broken
A_HAIR = 1e-7  # of a natural step, and of what is forgiven
COSTS = (
    1e4,
    50.0,
    20.0,
)  # steps of distance that a natural step of missing a goal, a rule of the house, a preference is worth
MOST_WORK = 2e6
DUST = 1e-8

Kind = tuple[int, float, int]
Rooms = Mapping[WishId, tuple[float, float]]
KINDS: tuple[Kind, ...] = ((CLOSE, 0.0, 3), (FAR, LITTLE, 3), (FAR, PART, 1), (FAR, PART, 0))
"""Kinds of search in their order: how many steps a weight may move, by what part of it the batch, from which rank on wishes may be missed."""


def weigh_out(
    programme: Programme,
    grams: Grams,
    purities: tuple[float, float],
    sheet: GoalSheet | None = None,
    money: Prices | None = None,
) -> WeighedOut:
    """The recipe for the balance: every weight on its step, no row broken that steps of the balance can keep.

    Args:
        programme: the rows.
        grams: the blend.
        purities: of both alkalis.
        sheet: the goals that the rows are of, by which the recipe is judged; without them the rows judge it.
        money: prices, for a goal on the cost.

    Raises:
        TooCoarse: the balance is too coarse to weigh the alkali at all.
    """
    balance = steps(programme.columns.batch, grams.total)
    refuse_coarse(programme.columns.batch, grams, balance[1])
    task = Task(programme, grams, purities, sheet, money, balance)
    return to_the_digit(task, rounded_by(task))


def to_the_digit(task: Task, out: WeighedOut) -> WeighedOut:
    """The same, or a neighbour that keeps the maker's goals in the digits they are written in, and not to within a blur alone.

    A step between two fats is tried first; where that does not help, and nothing is missed, whole steps are searched once.
    """
    if not blurred(task, out.recipe):
        return out
    judging = judged_by(task)
    moved = step_moved(task, judging, out)
    if out.missed or moved is not out:
        return moved
    nearest = task.recipe(rounded_fats(task.grams.fats, out.step))
    made = whole_steps(task, nearest, (STEPS, 0.0, 3), rooms_of(task, nearest, as_written))
    found = search(made)
    out = out._replace(searches=out.searches + 1)
    if not found.feasible:
        return out
    recipe = as_recipe(task, made.grams(found.point))
    return out if judging(recipe) or blurred(task, recipe) else out._replace(recipe=recipe)


def rounded_by(task: Task, kinds: Sequence[Kind] = KINDS) -> WeighedOut:
    """The same for a balance that is told, with as many kinds of search as are to be asked."""
    judging, coarse = judged_by(task), task.balance[0]
    nearest = task.recipe(rounded_fats(task.grams.fats, coarse))
    missed = judging(nearest)
    out = WeighedOut(nearest, coarse, tuple(missed))
    return mended(task, judging, out, kinds) if missed else out


def mended(task: Task, judging: Judging, nearest: WeighedOut, kinds: Sequence[Kind]) -> WeighedOut:
    """The nearest recipe that misses nothing, or the one that misses least.

    Asked first is a recipe of the batch's own size, close to the blend; then one further off, of a size that may differ by a
    hundredth; then one of a size that may differ by a twentieth, in which rules of the house and preferences may be missed, and
    last one that misses goals by the least. Where none but rules and preferences are missed the size differs by no more than a hundredth.
    """
    best, searches, rooms = nearest, 0, rooms_of(task, nearest.recipe)
    for reach, part, soft in kinds:
        misses_goals = any(item.rank == 0 for item in best.missed)
        kind = (reach, part if misses_goals else min(part, LITTLE), soft)
        narrow = A_HAIR
        tangents: tuple[Vector, ...] = ()
        for _ in range(ROUNDS):
            made = whole_steps(task, nearest.recipe, kind, rooms, narrow, tangents)
            searches += 1
            found = search(made)
            if not found.feasible:
                break
            recipe = as_recipe(task, made.grams(found.point))
            missed = judging(recipe)
            if badness(missed) < badness(best.missed):
                best = WeighedOut(recipe, nearest.step, tuple(missed))
            if not any(item.rank < soft for item in missed):
                break
            point = made.grams(found.point)
            lots = task.programme.columns.lot_spread
            tangents = (*tangents, lots.tangent(lots.direction(point), task.programme.columns.size))
            narrow += NARROWER
        if not any(item.rank < max(soft, 1) for item in best.missed):
            break
    return best._replace(searches=searches)


def search(made: Stepped) -> Outcome:
    """The least of a programme over whole steps; no blend where the search ends without one."""
    try:
        return searched_once(made.programme, None, Work(allowed=MOST_WORK), lambda _: "", thorough=False)
    except SolverFault:
        return Outcome(feasible=False)


def whole_steps(
    task: Task, nearest: Recipe, kind: Kind, rooms: Rooms, narrow: float = A_HAIR, tangents: Sequence[Vector] = ()
) -> Stepped:
    """The programme over whole steps around a recipe.

    Args:
        task: what is to be weighed out.
        nearest: the recipe rounded to the nearest.
        kind: of the search.
        rooms: what is forgiven of each wish.
        narrow: the part of what is forgiven that is not used.
        tangents: of the cone of the lots, besides the one at that recipe.
    """
    balance = balance_of(task, nearest, kind)
    balance = balance._replace(tangents=(*balance.tangents, *tangents))
    return stepped(balance, rows_held(task, balance, nearest, rooms, kind[2], narrow))


def balance_of(task: Task, nearest: Recipe, kind: Kind) -> Balance:
    """What lies on the balance around a recipe, and how far it may move in a kind of search."""
    reach, part, _ = kind
    columns, coarse = task.programme.columns, task.balance[0]
    weights = weights_of(task, nearest, reach, part)
    at = {weight.place: number for number, weight in enumerate(weights)}
    fixed, rate = task.follows
    present = moles.alkali_mol(task.grams.sodium_pure, task.grams.potassium_pure)
    alkalis = tuple(
        Alkali(at[columns.index[name]], pure * fixed / present, pure * rate / present * columns.fat_demand)
        for name, pure in (
            ("sodium hydroxide", task.grams.sodium_pure),
            ("potassium hydroxide", task.grams.potassium_pure),
        )
        if columns.index[name] in at
    )
    lots, point = columns.lot_spread, point_of(columns, nearest)
    off = abs(nearest.fat_grams - task.grams.total)
    return Balance(
        columns=columns,
        total=task.grams.total,
        weights=weights,
        alkalis=alkalis,
        band=max(off + coarse, part * task.grams.total) * (1.0 + 1e-9),
        switches=switches_at(task.programme, point),
        tangents=(lots.tangent(lots.direction(point), columns.size),) if lots.length(point) > 0.0 else (),
    )


def weights_of(task: Task, nearest: Recipe, reach: int, part: float) -> tuple[Weight, ...]:
    """What is weighed: fats in use, alkalis, water and additives, each within so many steps of the blend and one at least."""
    columns, grams, (coarse, fine) = task.programme.columns, task.grams, task.balance
    weighed = {fat.name: amount for fat, amount in nearest.fats}
    out = []
    for place, fat in enumerate(columns.fats):
        exact = float(grams.fats[place])
        if exact > 0.0:
            wide = max(reach, part * exact / coarse)
            begin = weighed[fat.name]
            least = max(1, math.ceil(exact / coarse - wide)) - round(begin / coarse)
            most = math.floor(exact / coarse + wide) - round(begin / coarse)
            out.append(Weight(place, coarse, exact, begin, min(least, 0), max(most, 0)))
    for name, weighed_g, pure in (
        ("sodium hydroxide", nearest.sodium_hydroxide, task.purities[0]),
        ("potassium hydroxide", nearest.potassium_hydroxide, task.purities[1]),
    ):
        if weighed_g > 0.0:
            wide = math.ceil((reach * coarse * len(out) * 0.3 + part * grams.total * 0.3) / fine) + 2
            begin = round(weighed_g / fine)
            out.append(
                Weight(
                    columns.index[name], fine, weighed_g, weighed_g, max(-wide, 1 - begin), wide, pure, keeps_near=False
                )
            )
    out.append(poured(columns.index["water"], grams.water, nearest.water, fine, reach, part))
    extra = {item.name: amount for item, amount in nearest.additives}
    for place, item, exact in zip(columns.additive_places, columns.additives, grams.additives.tolist(), strict=True):
        if exact > DUST * grams.total:
            weight = poured(place, exact, extra.get(item.name, 0.0), fine, reach, part)
            out.append(weight._replace(least=0) if item.alkali_mol_per_kg > 0.0 else weight)
    return tuple(out)


def poured(place: int, exact: float, begin: float, step: float, reach: int, part: float) -> Weight:
    """Water or an additive: as many steps either way as a fat has, and as many more as the size of the batch may move it."""
    wide = reach + math.ceil(part * exact / step)
    return Weight(place, step, exact, begin, max(-wide, -round(begin / step)), wide)


def switches_at(programme: Programme, point: Vector) -> Vector:
    """The 0/1 columns of counted fats at a blend: on where there is enough of the fat."""
    out = np.zeros(len(programme.switches))
    for switch in programme.switches:
        share = float(point[list(switch.fats)].sum())
        on = share > 0.0 if switch.is_whole else share >= switch.floor - DUST
        out[switch.column - programme.columns.size] = float(on)
    return out


def rows_held(  # what is asked, of what, and how much of it
    task: Task, balance: Balance, nearest: Recipe, rooms: Rooms, soft: int, narrow: float
) -> list[Held]:
    """Every row that what is weighed has a part in, with what is forgiven of it, less a part of that.

    What no wish asks (the bounds within which a bar is known) is held no worse than the nearest rounding keeps it.
    """
    columns = balance.columns
    point = np.concatenate([point_of(columns, nearest), balance.switches])
    point = np.pad(point, (0, max(0, len(task.programme.money) - len(point))))  # no room of preferences
    out = []
    reached = {(row.wish, row.side, row.limit): off for row, off in preferred(task)}
    for row in task.programme.rows:
        if not is_over_columns(columns, row, len(balance.switches)) or row.wish.section == Section.NEAR:
            continue
        if row.wish.section == Section.STOCK:
            out.append(Held(row, 0.0, LEFT_OUT))
            continue
        if row.origin == Origin.PHYSICS:
            off = row.shortfall(point) + A_HAIR * row.scale
            out.append(Held(row, off, off))
            continue
        under, over = rooms.get(row.wish, (FORGIVEN * row.scale, FORGIVEN * row.scale))
        if row.wish.section in WISHED:
            rank, more = 2, reached[row.wish, row.side, row.limit]
        else:
            rank, more = int(task.sheet is not None and gives_way(task.sheet, row.wish)), 0.0
        weight = COSTS[rank] * task.balance[0] if rank >= soft else 0.0
        kept = 1.0 - narrow
        hair = A_HAIR * row.scale
        out.append(Held(row, under * kept - hair + more, over * kept - hair + more, weight))
    return out


def rooms_of(
    task: Task, recipe: Recipe, room: Callable[[Limit, Recipe, Judgement], tuple[float, float]] = forgiven
) -> Rooms:
    """What is forgiven of each wish under and over its limit, in its unit, as the judge forgives it: `room` says how much."""
    if task.sheet is None:
        slack = slack_of_alkali(recipe)
        return {
            row.wish: (FORGIVEN * row.scale, FORGIVEN * row.scale + (slack if row.figure in SUPERFATS else 0.0))
            for row in task.programme.rows
        }
    judged = judge(recipe, task.money)
    bases = tuple(dict.fromkeys(fat.group for fat, _ in recipe.fats))
    return {wish.id: room(wish.limit, recipe, judged) for wish in wishes(task.sheet, bases)}


def as_recipe(task: Task, grams: Vector) -> Recipe:
    """Grams over the columns, on their steps, as a recipe."""
    columns, (coarse, fine) = task.programme.columns, task.balance
    additives = grams[columns.additive_places]
    fats = np.round(grams[: columns.count] / coarse) * coarse
    water = float(grams[columns.index["water"]] - columns.water_brought @ grams)
    return task.recipe(fats, max(0.0, round(water / fine) * fine), additives)
