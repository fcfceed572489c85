"""Soda ash: what this batch should do against it, ranked by what it wins, and what takes it off afterwards.

Points are those of the measure ash_risk, by the levers of its table; advice outside the measure carries its own figure.
What would break a wish of the maker's or of the design is told apart.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import NamedTuple

from optimiser.materials.fat_table import reference
from optimiser.measures.measures import levers, measures
from optimiser.measures.profiles import HARD_WAXES, fat_values, pulling
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import Limit
from optimiser.problem.wishes import Said
from optimiser.recipe.bar_values import along, amount_of
from optimiser.recipe.compliance import EXACT_BAND, holds
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.reference import rows

RISK = "ash_risk"
LEAST = 1.0  # points that are worth the trouble
STEP_BATTER = 10.0  # degC: more than this is another batter
CLOSE = 1e-6


class AshTip(NamedTuple):
    """One piece of advice: what to do, how many points of ash risk it wins, what else it does.

    `stage` is "before" (in the goal file or at the scales) or "poured" (at the mould). `against` is the wish that it
    would break, in words; empty where it breaks none.
    """

    id: str
    stage: str
    do: str
    points: float
    but: str
    against: Said | None
    status: str


class AshAdvice(NamedTuple):
    """What a batch should know about ash: its risk in points, what lowers it (the best first), what removes it."""

    risk: float
    tips: tuple[AshTip, ...]
    after: tuple[str, ...]
    status: str = "common practice, no source; sizes are our judgement"


class _Pull(NamedTuple):
    """How far a lever can still be pulled: where to, grams of it for the batch, and what each figure moves by."""

    to: float
    grams: float
    moves: Mapping[str, float]


def ash_advice(
    recipe: Recipe,
    judged: Judgement,
    limits: Iterable[Limit] = (),
    *,
    barred: Iterable[str] = (),
    pour_to: str = "",
) -> AshAdvice:
    """Advice for one batch.

    Args:
        recipe: what is weighed.
        judged: the same, judged.
        limits: the maker's and the design's limits on figures, which advice should not break.
        barred: tags that nothing in the bar may bear.
        pour_to: the trace at which the design pours, where there is one.
    """
    wanted = tuple(limit for limit in limits if limit.subject == SubjectKind.QUANTITY)
    tips = [
        tip
        for row in _advice()
        if row["stage"] != "after"
        for tip in _tip(row, recipe, judged, wanted, frozenset(barred), pour_to)
    ]
    ranked = sorted(tips, key=lambda tip: (tip.against is not None, -tip.points))
    after = tuple(row["do"] for row in _advice() if row["stage"] == "after")
    return AshAdvice(judged.values[RISK], tuple(ranked), after)


@cache
def _advice() -> tuple[dict[str, str], ...]:
    return rows("ash_advice")


def _tip(
    row: Mapping[str, str],
    recipe: Recipe,
    judged: Judgement,
    limits: Sequence[Limit],
    barred: frozenset[str],
    pour_to: str,
) -> Iterator[AshTip]:
    """The advice of one row, where there is still something to be won by it."""
    if row["points"]:
        if row["lever"] == "pour" and pour_to == "thick":
            return
        yield AshTip(row["advice"], row["stage"], row["do"], float(row["points"]), row["but"], None, row["status"])
        return
    pull = _pull(row["lever"], float(row["most"]), recipe, judged, barred)
    points = -pull.moves.get(RISK, 0.0) if pull is not None else 0.0
    if pull is None or points < LEAST:
        return
    do = row["do"].format(to=pull.to, grams=pull.grams)
    against = _broken(limits, judged, pull.moves)
    yield AshTip(row["advice"], row["stage"], do, points, row["but"], against, row["status"])


def _pull(lever: str, most: float, recipe: Recipe, judged: Judgement, barred: frozenset[str]) -> _Pull | None:
    """How far a lever can still go; None where it is at its end or barred."""
    if lever == "gel":
        return None if recipe.gel else _Pull(1.0, 0.0, {name: levers(name).gel for name in measures()})
    if lever == "batter":
        to = min(most, recipe.batter_temperature + STEP_BATTER)
        warmer = (to - recipe.batter_temperature) / 10.0
        return None if warmer <= 0 else _Pull(to, 0.0, {name: warmer * levers(name).batter for name in measures()})
    if lever == "water":
        return _less_water(most, judged, recipe)
    if lever == "beeswax":
        return None if reference().get(lever).tags & barred else _more_of_a_fat(lever, most, recipe)
    return _more_of_an_additive(lever, most, recipe)


def _less_water(most: float, judged: Judgement, recipe: Recipe) -> _Pull | None:
    pure = judged.pure_sodium_hydroxide + judged.pure_potassium_hydroxide
    less = judged.total_water - pure * (100.0 - most) / most
    if less <= 0 or less > recipe.water:
        return None
    tens = less / (recipe.fat_grams / 1000.0) / 10.0
    moves = {name: -tens * levers(name).water for name in measures()}
    water = judged.total_water - less
    moves["lye_concentration"] = most - judged.lye_concentration
    moves["water_to_alkali"] = water / pure - judged.water_to_alkali
    moves["water_share_of_fats"] = 100.0 * water / recipe.fat_grams - judged.water_share_of_fats
    return _Pull(most, -less, moves)


def _more_of_a_fat(name: str, most: float, recipe: Recipe) -> _Pull | None:
    """A fat at a share of all fats, all others giving way alike."""
    here = 100.0 * math.fsum(grams for fat, grams in recipe.fats if fat.name == name) / recipe.fat_grams
    if here >= most - CLOSE:
        return None
    ids = list(measures())
    shares = [grams / recipe.fat_grams for _, grams in recipe.fats]
    blend = fat_values([fat for fat, _ in recipe.fats], ids) @ shares
    fat = reference().get(name)
    alone = fat_values([fat], ids)[:, 0]
    swapped = (most - here) / (100.0 - here)
    moves = {measure: float(move) for measure, move in zip(ids, swapped * (alone - blend), strict=True)}
    waxes, (waxy,) = amount_of(recipe, HARD_WAXES), pulling([fat], HARD_WAXES)
    for measure in moves if waxy else ():
        curve = levers(measure).curves.get(HARD_WAXES)
        if curve is not None:
            moves[measure] += along(curve, waxes * (1.0 - swapped) + waxy * 100.0 * swapped) - along(curve, waxes)
    return _Pull(most, most / 100.0 * recipe.fat_grams, moves)


def _more_of_an_additive(name: str, most: float, recipe: Recipe) -> _Pull | None:
    here = 100.0 * math.fsum(grams for item, grams in recipe.additives if item.base == name) / recipe.fat_grams
    if here >= most - CLOSE:
        return None
    more = most - here
    moves = {measure: more * levers(measure).additives.get(name, 0.0) for measure in measures()}
    return _Pull(most, most / 100.0 * recipe.fat_grams, moves)


def _broken(limits: Sequence[Limit], judged: Judgement, moves: Mapping[str, float]) -> Said | None:
    """The first wish that holds now and would no longer."""
    for limit in limits:
        move = moves.get(limit.key, 0.0)
        if not move:
            continue
        now = judged.values[limit.key]
        wide = EXACT_BAND if limit.side == Side.EXACTLY and limit.unit == "index" else 0.0
        if holds(limit, now, wide) and not holds(limit, now + move, wide):
            return limit.said
    return None
