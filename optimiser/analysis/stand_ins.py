"""What could be used in place of a fat, ranked as the trade does it: by form, then by what the fat was there for, then by price.

No pair of fats is written down anywhere: form is the kind, function the measures in which the fat differs from the rest of
the bar, each on its natural scale, and likeness of acids parts what is left.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.materials.fat import Fat
from optimiser.materials.fatty_acids import acids
from optimiser.materials.standing_in import KeptState, brought, forms
from optimiser.maths.arrays import Matrix, Vector
from optimiser.measures.cure import LONGEST, SHORTEST, USUAL_CURE
from optimiser.measures.differences import functions, is_worse, within
from optimiser.measures.measures import measures
from optimiser.measures.practice import Rule, rules
from optimiser.measures.profiles import acid_shares, cure_gains, fat_values
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import as_limit
from optimiser.recipe.compliance import falls_under

ALIKE = 0.5  # of a small change: functions nearer than this are parted by their acids
ALIKE_ACIDS = 5.0  # per cent of the acids: fats nearer than this are parted by price
LEAST_WEIGHT = 0.1  # of the heaviest: what a fat is not there for still counts a little
HAIR = 1e-6  # per cent
DEAR = 3.0  # times the price of the fat that is out: a stand-in dearer than that comes after those that are not
LIQUID_WAX = 50.0  # g I2/100 g: jojoba has some 80, beeswax some 10
OTHER_FORM = 2  # steps of form from which on a fat is of another nature: liquid for solid, a wax for an oil
OF_SHARES = (SubjectKind.BASE, SubjectKind.KIND, SubjectKind.GROUP, SubjectKind.TAG)
"""Rules that say how much of a kind a batter bears; that no fat is more than half of a bar is left to its maker."""

Shares = Sequence[tuple[Fat, float]]
"""Fats of a bar, each with its share of all fats in per cent."""


class StandIn(NamedTuple):
    """A fat in place of another at the same share.

    `form` counts from 0, like for like. `steps` says how many of their own +/- the bar's measures go the bad way at the
    most, in whole numbers: 0 where all stay within. `distance` is how far it is from the fat that is out in what that was
    there for, in small changes; `acids` how much of its fatty acids is another, in per cent. `brings` are states of the bar
    that it ends, `breaks` rules of the house on shares that the bar kept. `price` per kilo, None where it is not known;
    `is_dear` where it is several times that of the fat that is out. `away` is as `steps`, whichever way a measure goes; `is_there`
    where the bar has it already.
    """

    fat: Fat
    form: int
    steps: int
    distance: float
    acids: float
    price: float | None
    brings: tuple[KeptState, ...] = ()
    breaks: tuple[Rule, ...] = ()
    is_dear: bool = False
    away: int = 0
    is_there: bool = False

    @property
    def rank(self) -> tuple[float | str, ...]:
        """What it is sorted by, the best first.

        What a batter bears and what a bar never loses (animal-free, an allergen) come before all; then a fat of the same
        nature that keeps the bar; then what had better be kept (palm-free). What moves no measure beyond its own +/- is as good
        as what moves none at all: of such fats one that the bar has already comes first, then the cheapest, and only then the likest.
        """
        return (
            float(bool(self.breaks)),
            float(sum(state.holds == "firm" for state in self.brings)),
            float(self.form >= OTHER_FORM),
            float(self.steps > 0),
            float(sum(state.holds == "soft" for state in self.brings)),
            float(self.steps),
            float(self.form),
            float(self.is_dear),
            float(self.away),
            float(not self.is_there),
            math.inf if self.price is None else self.price,
            round(self.distance / ALIKE),
            round(self.acids / ALIKE_ACIDS),
            self.distance,
            self.fat.name,
        )


def stand_ins(
    out: Fat,
    bar: Shares,
    candidates: Sequence[Fat],
    prices: Mapping[str, float] | None = None,
    *,
    cure_weeks: float = USUAL_CURE,
    tags: frozenset[str] = frozenset(),
) -> tuple[StandIn, ...]:
    """Every candidate in place of a fat of a bar, the best first.

    Args:
        out: the fat to be replaced; it is one of the bar's.
        bar: all fats of the bar in per cent.
        candidates: what may stand in; none of unknown acids.
        prices: per kilo by name, where they are known.
        cure_weeks: how long the bar rests.
        tags: what its additives bear.
    """
    share = math.fsum(part for fat, part in bar if fat.name == out.name)
    rest = [(fat, part) for fat, part in bar if fat.name != out.name]
    values = function_values([out, *candidates, *(fat for fat, _ in rest)], cure_weeks)
    mine, theirs, others = values[:, 0], values[:, 1 : 1 + len(candidates)], values[:, 1 + len(candidates) :]
    moved = theirs - mine[:, None]
    scale = np.array([measures()[name].scale for name in functions()])
    weights = there_for(mine, others, [part for _, part in rest], scale)
    distance = weights @ np.abs(moved / scale[:, None])
    steps, away = worst_steps(moved * share / 100.0), worst_steps(moved * share / 100.0, both=True)
    own = {fat.name for fat, part in rest if part > 0.0}
    differ = acid_distances(out, candidates)
    old = broken_of(bar)
    dear = DEAR * (prices or {}).get(out.name, math.inf)
    there = tags.union(*(fat.tags for fat, _ in bar))
    found = [
        StandIn(
            fat=fat,
            form=form_of(out, fat),
            steps=int(steps[place]),
            distance=float(distance[place]),
            acids=float(differ[place]),
            price=None if prices is None else prices.get(fat.name),
            brings=brought(there, fat),
            away=int(away[place]),
            is_there=fat.name in own,
            is_dear=(prices or {}).get(fat.name, 0.0) > dear,
            breaks=tuple(
                rule for rule, total in broken_of([*rest, (fat, share)]).items() if total > old.get(rule, 0.0) + HAIR
            ),
        )
        for place, fat in enumerate(candidates)
    ]
    return tuple(sorted(found, key=lambda item: item.rank))


def form_of(out: Fat, fat: Fat) -> int:
    """How far a fat is from another in form; a liquid wax is as far from a solid one as an oil is."""
    step = forms()[out.kind, fat.kind].step
    if out.kind == fat.kind == "wax" and is_liquid_wax(out) != is_liquid_wax(fat):
        return max(step, OTHER_FORM)
    return step


def is_liquid_wax(fat: Fat) -> bool:
    """Whether a wax is liquid, as jojoba is: one as unsaturated as an oil (common practice, no source)."""
    return fat.kind == "wax" and fat.iodine.value >= LIQUID_WAX


def function_values(fats: Sequence[Fat], cure_weeks: float = USUAL_CURE) -> Matrix:
    """Points of a bar of each fat alone: one row per function, one column per fat, after so long a cure."""
    gained = float(np.log2(min(max(cure_weeks, SHORTEST), LONGEST) / USUAL_CURE))
    values = fat_values(fats, functions())
    return values + gained * np.array([cure_gains(fats, name) for name in functions()]) if gained else values


def there_for(mine: Vector, others: Matrix, shares: Sequence[float], scale: Vector) -> Vector:
    """What a fat is in a bar for: a weight for each function, the larger the more it differs from the rest; they sum to 1.

    Args:
        mine: the fat's values.
        others: those of the rest of the bar, a column for each fat.
        shares: of the rest, in per cent; without any, every function weighs the same.
        scale: a small change of each function.
    """
    total = math.fsum(shares)
    if not total:
        return np.full(len(mine), 1.0 / len(mine))
    away = np.abs(mine - others @ np.array(shares) / total) / scale
    weights: Vector = np.maximum(away, LEAST_WEIGHT * max(float(away.max()), 1e-12))
    return weights / float(weights.sum())


def worst_steps(moved: Matrix, *, both: bool = False) -> Vector:
    """How many of its own +/- the worst function of each bar goes the bad way, or either, beyond the first; one column per bar."""
    steps = np.zeros(moved.shape[1])
    for name, row in zip(functions(), moved, strict=True):
        up, down = both or is_worse(name, "up"), both or is_worse(name, "down")
        bad = np.maximum(row if up else 0.0, -row if down else 0.0)
        steps = np.maximum(steps, bad / within(name))
    return np.maximum(np.ceil(steps - 1e-9) - 1.0, 0.0)


def acid_distances(out: Fat, candidates: Sequence[Fat]) -> Vector:
    """Per cent of the fatty acids that are others than in a fat: half the sum of what each acid differs by."""
    table = acid_shares([out, *candidates], list(acids()))
    differ: Matrix = np.abs(table[:, 1:] - table[:, :1])
    halves: Vector = 0.5 * differ.sum(axis=0)
    return halves


def broken_of(bar: Shares) -> dict[Rule, float]:
    """The rules of the house on shares that a bar breaks, each with the share that it has of what the rule is on."""
    held = {
        rule: math.fsum(part for fat, part in bar if falls_under(as_limit(rule), fat))
        for rule in rules()
        if rule.subject in OF_SHARES and rule.side == Side.AT_MOST
    }
    return {rule: total for rule, total in held.items() if total > rule.value + HAIR}
