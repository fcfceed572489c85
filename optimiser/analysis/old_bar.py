"""A bar in hand as goals: what a blend that is to take its place must be.

The recipe's own superfat, lye, additives, liquids, batch and designs stand, and its rules of the house at its own figures, as
wherever a blend is to be near to a recipe (`recipe.in_hand`). Beside them each function of the bar stays within its own +/-,
what the bar is free from it stays free from, what is out is not there, and what is kept stays at its very share.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from optimiser.materials.fat import Fat
from optimiser.materials.standing_in import ANIMAL, OF_MEAT, kept_states
from optimiser.measures.differences import functions, is_worse, within
from optimiser.measures.measures import lever_ranges, measures
from optimiser.measures.practice import rules
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.goals import Eased, Exclusion, GoalSheet
from optimiser.problem.house_rules import standing
from optimiser.problem.known_ranges import unknown_measures
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Said, WishId
from optimiser.recipe.changes import lot_shares
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.in_hand import near_goals

IT_IS_OUT = "it is out"
IT_IS_THE_SAME = "it is made of what is out or kept"
OF_OLD = "the old bar's own, give or take"
ALL_STATES = ("firm", "soft")


class OldBar(NamedTuple):
    """A recipe in hand, judged; which of its fats are out, and which must stay as they are (canonical names)."""

    sheet: RecipeSheet
    recipe: Recipe
    judged: Judgement
    out: tuple[str, ...]
    keep: tuple[str, ...] = ()

    @property
    def shares(self) -> Mapping[str, float]:
        """Its fats in per cent, each lot by itself."""
        return lot_shares(self.recipe)

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

    @property
    def superfat(self) -> float:
        """The superfat that the recipe asks for, or else has, in per cent."""
        return self.judged.superfat if self.sheet.superfat is None else self.sheet.superfat

    @property
    def lye_concentration(self) -> float:
        """The lye concentration that the recipe asks for, or else has, in per cent."""
        told = self.sheet.lye_concentration
        return self.judged.lye_concentration if told is None else told


def goals_of_bar(
    bar: OldBar,
    shelf: Shelf,
    barred: Collection[str] = (),
    *,
    states: Collection[str] = ALL_STATES,
    worse_only: bool = False,
) -> GoalSheet:
    """The goals that a blend in place of a bar has to meet; `near` is the bar.

    Args:
        bar: the recipe, and what is out of it.
        shelf: what there is, all of the recipe's fats among it.
        barred: other fats that must not come in: those made of what is out.
        states: which of the states of the bar are kept: "firm" (free from animal fat), "soft" (free from palm).
        worse_only: its functions may become better by any amount.
    """
    asked = GoalSheet(
        path=bar.sheet.path,
        title=bar.sheet.title,
        goals=tuple(of_water(bar)),
        shares=tuple(of_shares(bar, barred)),
        free_from=tuple(shunned(bar, states)),
    )
    sheet = near_goals(bar.sheet, shelf, asked)
    bases = tuple(dict.fromkeys(item.fat.group for item in shelf.fats))
    unknown = unknown_measures(sheet)
    own = (limit for limit in windows(bar.judged.values, worse_only=worse_only) if limit.key not in unknown)
    sheet = sheet._replace(goals=(*sheet.goals, *own))
    return sheet._replace(eased=eased_shares(sheet, bar, bases), yielded=frozenset(given_up(bar)))


def given_up(bar: OldBar) -> Iterator[str]:
    """The floor under the likely superfat, where the recipe itself lies below it: its superfat is its maker's, and lots differ."""
    for rule in rules():
        if rule.yields and rule.side == Side.AT_LEAST and bar.judged.values[rule.key] < rule.value:
            yield rule.name


def shunned(bar: OldBar, states: Collection[str], taken: Collection[str] = ()) -> Iterator[Exclusion]:
    """What a bar is free from and stays free from; not what is excluded already."""
    for state in kept_states():
        if state.tag not in bar.tags and state.tag not in taken and state.holds in states:
            yield Exclusion(state.tag, NOWHERE)
    if ANIMAL in bar.tags and "firm" in states and not bar.tags & {*OF_MEAT}:
        yield from (Exclusion(tag, NOWHERE) for tag in OF_MEAT if tag not in taken)


def of_water(bar: OldBar) -> Iterator[Limit]:
    """Water by the fats as the recipe has it, where so much or so little is beyond what is known of bars."""
    share, known = bar.judged.water_share_of_fats, lever_ranges()["water"]
    if not known.low <= 10.0 * share <= known.high:
        quantity = quantities()["water_share_of_fats"]
        said = Said(quantity.words, Side.EXACTLY, f"{share:.4g} %", remark="as it is")
        yield Limit(quantity.id, SubjectKind.QUANTITY, Side.EXACTLY, share, quantity.unit, said, NOWHERE)


def windows(values: Mapping[str, float], *, worse_only: bool = False) -> Iterator[Limit]:
    """Each function within its own +/- of the bar's: on both sides, or only where it would be for the worse."""
    for name in functions():
        if not math.isfinite(values[name]):
            continue
        measure = measures()[name]
        room = within(name)
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
        said = Said(name, Side.AT_MOST, "0 %", remark=IT_IS_OUT if name in bar.out else IT_IS_THE_SAME)
        yield Limit(name, SubjectKind.FAT, Side.AT_MOST, 0.0, "%", said, NOWHERE)
    for name in bar.keep:
        share = bar.shares[name]
        said = Said(name, Side.EXACTLY, f"{share:.3g} %", remark="kept as it is")
        yield Limit(name, SubjectKind.FAT, Side.EXACTLY, share, "%", said, NOWHERE)


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
