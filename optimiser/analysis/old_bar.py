"""A bar in hand as goals: what a blend that is to take its place must be, and which of its rules of the house stand.

Alkali, water, additives and liquids stand at the recipe's own; each function of the bar stays within its own +/-; what the
bar is free from it stays free from; and a rule of the house that the recipe breaks stands at the recipe's own figure.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from optimiser.materials.fat import Fat
from optimiser.materials.standing_in import kept_states
from optimiser.measures.differences import functions, is_worse, within
from optimiser.measures.measures import lever_ranges, measures
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.batch import Batch
from optimiser.problem.goals import Eased, Exclusion, GoalSheet
from optimiser.problem.house_rules import standing
from optimiser.problem.limits import GRAMS, NOWHERE, Limit
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.wishes import Said, Section, WishId
from optimiser.recipe.compliance import verdicts
from optimiser.recipe.evaluation import Judgement, Recipe

HAIR = 1e-6  # relative: what rounding leaves of a figure
IT_IS_OUT = "it is out"
AS_IT_IS = "as it is"
OF_OLD = "the old bar's own, give or take"


class OldBar(NamedTuple):
    """A recipe in hand, judged; which of its fats are out, and which must stay as they are (canonical names)."""

    sheet: RecipeSheet
    recipe: Recipe
    judged: Judgement
    out: tuple[str, ...]
    keep: tuple[str, ...] = ()

    @property
    def shares(self) -> Mapping[str, float]:
        """Its fats in per cent."""
        return self.judged.shares

    @property
    def fats(self) -> tuple[tuple[Fat, float], ...]:
        """Its fats, each with its share in per cent."""
        return tuple((fat, self.shares[fat.name]) for fat, _ in self.recipe.fats)

    @property
    def share_out(self) -> float:
        """How much of the fats is out, in per cent."""
        return math.fsum(self.shares[name] for name in self.out)

    @property
    def tags(self) -> frozenset[str]:
        """What it bears."""
        fats = frozenset[str]().union(*(fat.tags for fat, _ in self.recipe.fats))
        return fats.union(*(item.tags for item, _ in self.recipe.additives))


def goals_of_bar(
    bar: OldBar, barred: Collection[str] = (), *, states: Collection[str] = ("firm", "soft"), worse_only: bool = False
) -> GoalSheet:
    """The goals that a blend in place of a bar has to meet.

    Args:
        bar: the recipe, and what is out of it.
        barred: other fats that must not come in: those made of what is out.
        states: which of the states of the bar are kept: "firm" (free from animal fat), "soft" (free from palm).
        worse_only: its functions may become better by any amount.
    """
    recipe = bar.recipe
    extras = dict(recipe.additives)
    sheet = GoalSheet(
        path=bar.sheet.path,
        title=bar.sheet.title,
        batch=batch_of(bar),
        goals=(*of_alkali(bar), *windows(bar.judged.values, worse_only=worse_only)),
        shares=tuple(of_shares(bar, barred)),
        additives=tuple(
            in_grams(item.name, SubjectKind.ADDITIVE, extras[item]) for item in extras if not item.is_liquid
        ),
        liquids=tuple(in_grams(item.name, SubjectKind.LIQUID, extras[item]) for item in extras if item.is_liquid),
        free_from=tuple(
            Exclusion(state.tag, NOWHERE)
            for state in kept_states()
            if state.tag not in bar.tags and state.holds in states
        ),
        extras={item.name: item for item in extras},
    )
    return sheet._replace(eased=eased_rules(sheet, bar))


def batch_of(bar: OldBar) -> Batch:
    """As much as the recipe makes, poured and rested as it is."""
    sheet = bar.sheet
    return Batch(
        fats_kg=bar.recipe.fat_grams / 1000.0,
        cured_weight_kg=sheet.cured_weight_kg,
        batter_temperature=sheet.batter_temperature,
        gel=sheet.gel,
        cured_water=sheet.cured_water,
        cure_weeks=sheet.cure_weeks,
        given=sheet.given,
    )


def of_alkali(bar: OldBar) -> Iterator[Limit]:
    """Superfat, lye and potassium as the recipe has them; water by the fats where so much or little is beyond what is known."""
    judged, known = bar.judged, lever_ranges()["water"]
    yield exactly("superfat", superfat_of(bar))
    if known.low <= 10.0 * judged.water_share_of_fats <= known.high:
        yield exactly("lye_concentration", lye_of(bar))
    else:
        yield exactly("water_share_of_fats", judged.water_share_of_fats)
    if bar.recipe.potassium_hydroxide:
        yield exactly("potassium_share", judged.values["potassium_share"])


def superfat_of(bar: OldBar) -> float:
    """The superfat that the recipe asks for, or else has, in per cent."""
    return bar.judged.superfat if bar.sheet.superfat is None else bar.sheet.superfat


def lye_of(bar: OldBar) -> float:
    """The lye concentration that the recipe asks for, or else has, in per cent."""
    return bar.judged.lye_concentration if bar.sheet.lye_concentration is None else bar.sheet.lye_concentration


def exactly(key: str, value: float) -> Limit:
    """A figure of the batch as it is."""
    known = quantities()[key]
    said = Said(known.words, Side.EXACTLY, f"{value:.4g} {known.unit}".strip(), remark=AS_IT_IS)
    return Limit(key, SubjectKind.QUANTITY, Side.EXACTLY, value, known.unit, said, NOWHERE)


def windows(values: Mapping[str, float], *, worse_only: bool = False) -> Iterator[Limit]:
    """Each function within its own +/- of the bar's: on both sides, or only where it would be for the worse."""
    for name in functions():
        if not math.isfinite(values[name]):
            continue
        measure = measures()[name]
        room = within(measure)
        for side, goes, value in (
            (Side.AT_LEAST, "down", values[name] - room),
            (Side.AT_MOST, "up", values[name] + room),
        ):
            if worse_only and not is_worse(name, goes):
                continue
            said = Said(measure.words, side, f"{value:.1f}", remark=f"{OF_OLD} {room:g}")
            yield Limit(name, SubjectKind.QUANTITY, side, value, measure.unit, said, NOWHERE)


def of_shares(bar: OldBar, barred: Collection[str]) -> Iterator[Limit]:
    """What is out is not there, and what is kept stays at its very share."""
    for name in (*bar.out, *barred):
        said = Said(name, Side.AT_MOST, "0 %", remark=IT_IS_OUT)
        yield Limit(name, SubjectKind.FAT, Side.AT_MOST, 0.0, "%", said, NOWHERE)
    for name in bar.keep:
        share = bar.shares[name]
        said = Said(name, Side.EXACTLY, f"{share:.3g} %", remark="kept as it is")
        yield Limit(name, SubjectKind.FAT, Side.EXACTLY, share, "%", said, NOWHERE)


def in_grams(name: str, subject: SubjectKind, grams: float) -> Limit:
    """An additive or a liquid as the recipe weighs it."""
    said = Said(name, Side.EXACTLY, f"{grams:g} g", remark=AS_IT_IS)
    return Limit(name, subject, Side.EXACTLY, grams, GRAMS, said, NOWHERE)


def eased_rules(sheet: GoalSheet, bar: OldBar) -> Mapping[WishId, Eased]:
    """Rules of the house that the recipe breaks, at its own figures: what its maker pours is no fault of the blend in its place."""
    found = {}
    for item in verdicts(sheet, bar.recipe, bar.judged):
        limit = item.limit
        off = item.value - limit.value
        broken = {Side.AT_LEAST: off < 0, Side.AT_MOST: off > 0}.get(limit.side, off != 0)
        if item.id.section != Section.PRACTICE or not broken or not math.isfinite(item.value):
            continue
        hair = HAIR * max(1.0, abs(item.value))
        found[item.id] = Eased(min(item.value - hair, limit.value), max(item.value + hair, limit.value))
    return found


def eased_shares(sheet: GoalSheet, bar: OldBar, bases: Sequence[str]) -> Mapping[WishId, Eased]:
    """The rule on each fat by itself, at what the fat has and all that is out: a fat may take the whole place of another."""
    own: dict[str, float] = {}
    for fat, share in bar.fats:
        own[fat.group] = own.get(fat.group, 0.0) + share
    return {
        wish: Eased(-math.inf, max(rule.value, own.get(wish.within, 0.0) + bar.share_out))
        for wish, rule in standing(sheet, bases)
        if rule.subject == SubjectKind.BASE and wish.within and rule.side == Side.AT_MOST
    }
