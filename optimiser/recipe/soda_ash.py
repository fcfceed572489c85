"""Soda ash: what this batch should do against it, ranked by what it wins, and what takes it off afterwards.

Points are those of the measure ash_risk, by judging the batch as it would be; advice outside the measure carries its own
figure. What would break a wish of the maker's or of the design, or what the batch is kept from, is told apart with what it
would bring.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import Limit
from optimiser.problem.wishes import Said, Whose
from optimiser.recipe.cautions import is_unfit
from optimiser.recipe.compliance import EXACT_BAND, holds, reached
from optimiser.recipe.evaluation import Judgement, Recipe, fat_demand, judge
from optimiser.recipe.filling_steps import pour_to
from optimiser.recipe.warmth import Warmth, warmth_of
from optimiser.recipe.weights import rough
from optimiser.reference import rows

if TYPE_CHECKING:
    from optimiser.problem.designs import Design

RISK = "ash_risk"
LEAST = 1.0  # points that are worth the trouble
STEP_BATTER = 10.0  # degC: more than this is another batter
MOST_STEPS = 12  # how often a lever is let out a little where a wish, or the lye itself, does not bear all of it
ALL_FATS = 100.0  # per cent of them
CLOSE = 1e-6
BORNE = frozenset(SubjectKind) - {
    SubjectKind.EACH,
    SubjectKind.PINCH,
    SubjectKind.COUNT,
}  # what one batch shows by itself


class AshTip(NamedTuple):
    """One piece of advice: what to do, how many points of ash risk it wins, what else it does.

    `stage` is "before" (in the goal file or at the scales) or "poured" (at the mould). `against` is the wish that it
    would break, `held` what else keeps the batch from it, in words; both empty where nothing stands in the way. It `is_unwise`
    where the batter or its design does not bear it: that is no choice of the maker's to be weighed up again. It `is_own` where
    the maker's own wish or choice stands in the way.
    """

    id: str
    stage: str
    do: str
    points: float
    but: str
    against: Said | None
    status: str
    held: str = ""
    is_unwise: bool = False
    is_own: bool = False

    @property
    def is_free(self) -> bool:
        """Whether nothing stands in the way."""
        return not self.against and not self.held

    @property
    def held_by(self) -> str:
        """What stands in the way, in words."""
        return self.held or (str(self.against) if self.against else "")


class AshAdvice(NamedTuple):
    """What a batch should know about ash: its risk in points, what lowers it (the best first), what removes it.

    Advice that something stands in the way of comes after all that is free, that of the maker's own wishes first.
    """

    risk: float
    tips: tuple[AshTip, ...]
    after: tuple[str, ...]
    status: str = "common practice, no source; sizes are our judgement"


class _Changed(NamedTuple):
    """The batch with a lever pulled: where to, grams of it for the batch, and the batch as it is then."""

    to: float
    grams: float
    recipe: Recipe


class _Held(NamedTuple):
    """What stands in the way, as a clause ("" where nothing does); whether it is the batter or its design, or the maker's own."""

    why: str = ""
    is_unwise: bool = False
    is_own: bool = False


FREE = _Held()


class _Batch(NamedTuple):
    """A batch and what bears on its advice."""

    recipe: Recipe
    judged: Judgement
    limits: Sequence[Limit]
    barred: frozenset[str]
    techniques: Sequence[Design]
    given: frozenset[str]
    at_hand: frozenset[str] | None
    warmth: Warmth


def ash_advice(  # noqa: PLR0913
    recipe: Recipe,
    judged: Judgement,
    limits: Iterable[Limit] = (),
    *,
    barred: Iterable[str] = (),
    techniques: Sequence[Design] = (),
    given: Iterable[str] = (),
    at_hand: Iterable[str] | None = None,
) -> AshAdvice:
    """Advice for one batch.

    Args:
        recipe: what is weighed.
        judged: the same, judged.
        limits: the maker's and the design's limits on figures, shares and additives, which advice should not break.
        barred: tags that nothing in the bar may bear.
        techniques: the designs of the bar.
        given: what of "gel" and "batter_temperature" the maker chose.
        at_hand: the fats of the shelf, by what they are built on; None where no shelf says.
    """
    wanted = tuple(limit for limit in limits if limit.subject in BORNE)
    batch = _Batch(
        *(
            recipe,
            judged,
            wanted,
            frozenset(barred),
            techniques,
            frozenset(given),
            None if at_hand is None else frozenset(at_hand),
        ),
        warmth_of(recipe, techniques),
    )
    tips = [tip for row in _advice() if row["stage"] != "after" for tip in _tips(row, batch)]
    ranked = sorted(tips, key=lambda tip: (not tip.is_free, not tip.is_free and not tip.is_own, -tip.points))
    after = tuple(row["do"] for row in _advice() if row["stage"] == "after")
    return AshAdvice(judged.values[RISK], tuple(ranked), after)


@cache
def _advice() -> tuple[dict[str, str], ...]:
    return rows("ash_advice")


def _tips(row: Mapping[str, str], batch: _Batch) -> Iterator[AshTip]:
    """The advice of one row, where there is still something to be won by it; as far as it may go, and all the way."""
    needs = frozenset(filter(None, row["needs"].split(";")))
    if not _suits(needs, batch):
        return
    held = _held(needs, batch)
    if row["points"]:
        yield AshTip(
            *(row["advice"], row["stage"], row["do"], float(row["points"]), row["but"], None, row["status"]),
            held=held.why,
            is_unwise=held.is_unwise,
            is_own=held.is_own,
        )
        return
    for most in _ends(row, batch):
        tip = _pulled(row, most, batch, held)
        if tip is not None:
            yield tip
        if held.why or (tip is not None and tip.is_free):
            return


def _ends(row: Mapping[str, str], batch: _Batch) -> Iterator[float]:
    """How far a lever may be pulled: all the way, and where a wish stands in the way, the furthest that keeps to it."""
    most = float(row["most"])
    yield most
    for back in range(1, MOST_STEPS) if row["step"] else ():
        less = most - back * float(row["step"])
        tip = _pulled(row, less, batch, FREE)
        if tip is not None and tip.is_free:
            yield less
            return


def _pulled(row: Mapping[str, str], most: float, batch: _Batch, held: _Held) -> AshTip | None:
    """What it wins to pull a lever so far; None where that is not worth the trouble, or cannot be done."""
    changed = _pull(row["lever"], most, batch)
    if changed is None:
        return None
    after = judge(changed.recipe)
    points = batch.judged.values[RISK] - after.values[RISK]
    if not points >= LEAST or is_unfit(after):
        return None
    do = row["do"].format(to=changed.to, weight=rough(batch.recipe.units).told(changed.grams))
    against = _broken(batch, changed.recipe, after)
    own = held.is_own or (against is not None and against.whose == Whose.OWN)
    return AshTip(
        *(row["advice"], row["stage"], do, points, row["but"], against, row["status"]),
        held=held.why,
        is_unwise=held.is_unwise,
        is_own=own,
    )


def _suits(needs: frozenset[str], batch: _Batch) -> bool:
    """Whether advice is for such a pour: some is for a top that may be touched, some for one that may not."""
    touched = all(design.touch_top for design in batch.techniques)
    thick = "thinner" in needs and pour_to(batch.techniques) == "thick"
    return not (("flat" in needs and not touched) or ("shaped" in needs and touched) or thick)


def _held(needs: frozenset[str], batch: _Batch) -> _Held:
    """What the maker, the design or the batter itself keeps the batch from."""
    if "calm" in needs and batch.warmth.heating:
        return _Held(batch.warmth.why_cool, is_unwise=True)
    if needs & {"gel", "warm"} and batch.warmth.is_cool:
        return _Held(batch.warmth.why_cool, is_unwise=True)
    own = next(_own_choices(needs, batch), "")
    return _Held(own, is_own=True) if own else _Held(next(_design_choices(needs, batch), ""))


def _own_choices(needs: frozenset[str], batch: _Batch) -> Iterator[str]:
    """What the maker chose that stands in the way."""
    if "gel" in needs and "gel" in batch.given:
        yield "you keep it from gel"
    if "warm" in needs and "batter_temperature" in batch.given:
        yield f"you pour it at {batch.recipe.batter_temperature:.0f} degC"


def _design_choices(needs: frozenset[str], batch: _Batch) -> Iterator[str]:
    """What a design chose that stands in the way."""
    for design in batch.techniques:
        if "thinner" in needs and design.pour_to:
            yield f"{design.name} is poured at a {design.pour_to} trace"
        if "warm" in needs:
            warm = (choice.said for choice in design.choices if choice.key == "batter_temperature")
            yield from (f"{design.name} has its {said}" for said in warm)


def _pull(lever: str, most: float, batch: _Batch) -> _Changed | None:
    """The batch with a lever pulled; None where it is at its end or barred."""
    recipe = batch.recipe
    if lever == "gel":
        return None if recipe.gel else _Changed(1.0, 0.0, recipe._replace(gel=True))
    if lever == "batter":
        to = min(most, recipe.batter_temperature + STEP_BATTER)
        warmer = to > recipe.batter_temperature
        return _Changed(to, 0.0, recipe._replace(batter_temperature=to)) if warmer else None
    if lever == "water":
        return _less_water(most, batch.judged, recipe)
    if lever == "beeswax":
        return _more_of_a_fat(lever, most, recipe) if _may_go_in(lever, batch) else None
    return _more_of_an_additive(lever, most, recipe)


def _may_go_in(fat: str, batch: _Batch) -> bool:
    """Whether a fat may be offered: nothing bars it, it lies on the shelf, and the bar is not asked to be of one fat alone."""
    alone = any(
        limit.subject == SubjectKind.FAT and limit.side != Side.AT_MOST and limit.value >= ALL_FATS - CLOSE
        for limit in batch.limits
    )
    there = batch.at_hand is None or fat in batch.at_hand
    return there and not alone and not reference().get(fat).tags & batch.barred


def _less_water(most: float, judged: Judgement, recipe: Recipe) -> _Changed | None:
    pure = judged.pure_sodium_hydroxide + judged.pure_potassium_hydroxide
    less = judged.total_water - pure * (100.0 - most) / most
    if less <= 0 or less > recipe.water:
        return None
    return _Changed(most, -less, recipe._replace(water=recipe.water - less))


def _more_of_a_fat(name: str, most: float, recipe: Recipe) -> _Changed | None:
    """A fat at a share of all fats, all others giving way alike, and the lye as much less as the fats take of it."""
    here = 100.0 * math.fsum(grams for fat, grams in recipe.fats if fat.known_as == name) / recipe.fat_grams
    if here >= most - CLOSE:
        return None
    left = (100.0 - most) / (100.0 - here)
    others = tuple((fat, left * grams) for fat, grams in recipe.fats if fat.known_as != name)
    grams = most / 100.0 * recipe.fat_grams
    changed = recipe._replace(fats=(*others, (reference().get(name), grams)))
    ratio = fat_demand(changed) / fat_demand(recipe)
    changed = changed._replace(
        sodium_hydroxide=recipe.sodium_hydroxide * ratio,
        potassium_hydroxide=recipe.potassium_hydroxide * ratio,
        water=recipe.water * ratio,
    )
    return _Changed(most, grams, changed)


def _more_of_an_additive(name: str, most: float, recipe: Recipe) -> _Changed | None:
    """An additive at a share of the fats, the water that it brings left out of the jug."""
    here = math.fsum(grams for item, grams in recipe.additives if item.base == name)
    grams = most / 100.0 * recipe.fat_grams
    if here >= grams - CLOSE:
        return None
    item = additives()[name]
    water = max(0.0, recipe.water - item.water_fraction * (grams - here))
    changed = recipe._replace(water=water, additives=(*recipe.additives, (item, grams - here)))
    return _Changed(most, grams, changed)


def _broken(batch: _Batch, changed: Recipe, after: Judgement) -> Said | None:
    """The first wish that holds now and would no longer: on a figure, on a share of the fats or on an additive."""
    for limit in batch.limits:
        if limit.subject == SubjectKind.QUANTITY and limit.key not in after.values:
            continue
        wide = EXACT_BAND if limit.side == Side.EXACTLY and limit.unit == "index" else 0.0
        now, then = (
            reached(limit, made, judged, 0.0) for made, judged in ((batch.recipe, batch.judged), (changed, after))
        )
        if abs(then - now) > CLOSE and holds(limit, now, wide) and not holds(limit, then, wide):
            return limit.said
    return None
