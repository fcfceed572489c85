"""The blends that could take the place of a bar: nearest in function, and cheapest, from one model of both."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import NamedTuple

import numpy as np

from optimiser.analysis.old_bar import ALL_STATES, OldBar, goals_of_bar, of_shares, shunned
from optimiser.analysis.stand_ins import DEAR
from optimiser.answers.blend_result import weighed_out
from optimiser.answers.swap_checks import agreed, check
from optimiser.materials.standing_in import forms
from optimiser.maths.arrays import Vector
from optimiser.measures.differences import functions, is_worse
from optimiser.measures.sides import Side
from optimiser.model.elastic import with_slack
from optimiser.model.programme import Programme
from optimiser.planning.building import build
from optimiser.problem.batch import DEFAULT_FATS
from optimiser.problem.goals import GoalSheet, told_in
from optimiser.problem.limits import NOWHERE
from optimiser.problem.lots import named_lots_first
from optimiser.problem.near import Near as InHandNear
from optimiser.problem.question import InHand
from optimiser.problem.recipe import Poured, RecipeSheet, Weighed
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.problem.untold import in_play
from optimiser.problem.wishes import Section, WishId
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.in_hand import near_goals, near_of
from optimiser.recipe.rounding import exact_grams, point_of, recipe_of
from optimiser.solve.moving import Moves, Near, cheapest_near, least_moved, moves_of, nearest
from optimiser.solve.nearest import freed
from optimiser.solve.proof import cheapest_possible
from optimiser.solve.solver import Live
from optimiser.solve.yielding import cheapest

FORM_TOLL = 2.0  # of drift (each measure in parts of how sure it is) that a step of form of a whole share weighs
PRICE_TOLL = 1.0  # the same of a whole share of a fat at the mean price of the shelf: so small a drift nobody finds
ROOM = 0.10  # of the fats: what the cheapest may move beside what is out
NUDGE = 2.01  # steps of the balance by which rounding may move a fat that else stays as it is
HELD = 1e-7  # of what is missed at the least: a hair of room for the next question
STATES: tuple[tuple[str, ...], ...] = (ALL_STATES, ("firm",), ())
"""What is kept of the states of a bar: all; without what had better be kept; nothing, where nothing else is there."""


class Chosen(NamedTuple):
    """A blend in grams of its fats. `fits`: it keeps what was asked. `sheet` is the whole recipe where goals set the alkali too.

    `superfat` is then that of the blend itself, before it was rounded to `step` and written down; None where the old bar's stands.
    """

    grams: Mapping[str, float]
    fits: bool = True
    least_moved: float = 0.0
    least_cost: float | None = None
    sheet: RecipeSheet | None = None
    superfat: float | None = None
    step: float = 0.0


class Model(NamedTuple):
    """The goals of a bar over the shelf, with its distance from the bar, in a live solver."""

    sheet: GoalSheet
    base: Programme
    moves: Moves
    live: Live


@dataclass(frozen=True)
class Bench:
    """A bar of which fats are out, and what there is: `candidates` are the fats that may come in, `barred` those made of what is out."""

    asked: InHand
    bar: OldBar
    shelf: Shelf
    candidates: tuple[Stocked, ...]
    barred: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    _models: dict[tuple[str, ...], Model] = field(default_factory=dict)

    @cached_property
    def on_shelf(self) -> frozenset[str]:
        """The fats of which more can be had: all but those that the recipe alone has."""
        shelf = self.shelf if self.asked.shelf is None else self.asked.shelf
        return frozenset(item.fat.name for item in shelf.fats)

    @cached_property
    def near(self) -> InHandNear:
        """The bar as what a blend is to stay near to."""
        return near_of(self.bar.sheet, self.bar.recipe, self.bar.judged)

    def has(self, name: str) -> bool:
        """Whether more of a fat can be had than the recipe has."""
        return name in self.on_shelf

    @property
    def prices(self) -> Mapping[str, float] | None:
        """Per kilo by name; None without a shelf."""
        return None if self.asked.shelf is None else self.asked.shelf.prices.fats

    def model(self, states: tuple[str, ...]) -> Model:
        """The live model that keeps such states of the bar; made once."""
        if states not in self._models:
            sheet = goals_of_bar(self.bar, self.shelf, self.barred, states=states)
            sheet = told_in(sheet, self.bar.recipe.units)
            base = self.capped(build(sheet, self.shelf))
            moves = moves_of(base, self.bar.shares)
            self._models[states] = Model(sheet, moves.programme, moves, Live(moves.programme))
        return self._models[states]

    def capped(self, programme: Programme) -> Programme:
        """The programme with no more of a fat that is not on the shelf than the recipe has."""
        high = programme.column_high.copy()
        for name, share in self.bar.shares.items():
            if not self.has(name):
                high[programme.columns.index[name]] = share / 100.0
        return replace(programme, column_high=high)

    def toll(self, model: Model) -> Vector:
        """What form and price weigh beside drift, by column."""
        columns, out = model.base.columns, np.zeros(len(model.moves.moved))
        kinds = [fat.kind for fat, _ in self.bar.fats if fat.name in self.bar.out]
        mean = sum(item.price for item in columns.stocked) / columns.count or 1.0
        for place, item in enumerate(columns.stocked):
            step = min(forms()[kind, item.fat.kind].step for kind in kinds)
            out[place] = FORM_TOLL * step + PRICE_TOLL * item.price / mean
        return out

    @property
    def most_new(self) -> int:
        """How many fats may come in: one for each that is out, and one more."""
        return len(self.bar.out) + 1

    def unmet(self) -> Programme | None:
        """The rows that no blend meets: the bar's figures on the bad side alone, else on both; None where some blend does."""
        if self.asked.goals is not None:
            goals = self.with_goals(STATES[0])._replace(near=None)
            found = cheapest(goals, in_play(goals, self.shelf))
            return found.live.programme if found.found is None else None
        for worse_only in (True, False):
            sheet = goals_of_bar(self.bar, self.shelf, self.barred, worse_only=worse_only)
            programme = freed(self.capped(build(sheet, self.shelf)))
            live = Live(programme)
            if not live.minimise(np.zeros_like(programme.money)).feasible:
                live.ray()
                return live.programme
        return None

    def with_goals(self, states: tuple[str, ...]) -> GoalSheet:
        """The goals that the answer is held against, over this recipe's batch, additives and fats."""
        goals = self.asked.goals
        assert goals is not None
        taken = {item.tag for item in goals.free_from}
        asked = goals._replace(
            batch=goals.batch._replace(fats_kg=DEFAULT_FATS, bars=None, mould=None, batter_kg=None, span=None),
            shares=(*goals.shares, *of_shares(self.bar, self.barred)),
            free_from=(*goals.free_from, *shunned(self.bar, states, taken)),
        )
        return told_in(near_goals(self.bar.sheet, self.shelf, asked), self.bar.recipe.units)


# -- nearest in function -------------------------------------------------------------------------------------------


def nearest_of(bench: Bench) -> Chosen | None:
    """The blend that keeps each function within its own +/- and moves the fewest grams; else what misses that by least."""
    for states in STATES[:2]:
        model = bench.model(states)

        def ask(model: Model = model) -> Near | None:
            return not_dear(bench, model) or nearest(model.live, model.moves, bench.toll(model), bench.most_new)

        found = agreed(model.live, ask, partial(check, model.sheet, model.base, shelf=bench.shelf))
        if found is not None:
            return chosen(bench, model.base, found)
    for states in STATES:
        found = missed_least(bench, bench.model(states))
        if found is not None:
            base = bench.model(states).base
            return chosen(bench, replace(base, rows=()), found)._replace(fits=False)
    return None


def not_dear(bench: Bench, model: Model) -> Near | None:
    """The nearest blend without fats that cost several times what the dearest of those that are out does; None where there is none."""
    prices = bench.prices or {}
    dearest = max((prices.get(name, math.inf) for name in bench.bar.out), default=math.inf)
    dear = [
        place
        for place, item in enumerate(model.base.columns.stocked)
        if item.price > DEAR * dearest and item.fat.name not in bench.bar.shares
    ]
    for place in dear:
        model.live.bound_column(place, 0.0, 0.0)
    found = nearest(model.live, model.moves, bench.toll(model), bench.most_new) if dear else None
    for place in dear:
        model.live.restore_column(place)
    return None if found is None else found._replace(least_moved=least_moved(model.live, model.moves))


def missed_least(bench: Bench, model: Model) -> Near | None:
    """The blend that misses the bar's figures and rules of the house by the least sum of their steps, and is near to it."""
    base = model.base
    way = [wish for wish in base.members if may_be_missed(wish)]
    if not way:
        return None
    elastic, costs = with_slack(base, way, point_of(base.columns, bench.bar.recipe))
    missed = np.zeros(len(elastic.money))
    missed[-len(costs) :] = costs
    least = Live(elastic).minimise(missed)
    if not least.feasible:
        return None
    held = replace(
        elastic,
        matrix=np.vstack([elastic.matrix, missed]),
        row_low=np.append(elastic.row_low, -np.inf),
        row_high=np.append(elastic.row_high, least.objective + HELD * max(1.0, least.objective)),
    )
    moves = moves_of(held, bench.bar.shares)
    wide = Model(model.sheet, base, moves, Live(moves.programme))
    return nearest(wide.live, moves, bench.toll(wide), bench.most_new)


def may_be_missed(wish: WishId) -> bool:
    """Whether a wish is a figure of the old bar, or a rule of the house: what is out, kept or shunned is not missed."""
    return wish.section == Section.PRACTICE or (wish.section == Section.GOALS and wish.key in functions())


def chosen(bench: Bench, base: Programme, found: Near) -> Chosen:
    """A blend found, rounded for the balance."""
    recipe, step, *_ = weighed_out(base, exact_grams(base.columns, found.point), bench.shelf)
    return Chosen(as_named(bench, recipe, step), least_moved=found.least_moved)


def as_named(bench: Bench, recipe: Recipe, step: float) -> dict[str, float]:
    """The same in grams, unnudged, and of the lots that the recipe names as far as they go."""
    return named_lots_first(bench.shelf, unnudged(bench.bar, recipe, step), bench.bar.out)


def unnudged(bar: OldBar, recipe: Recipe, step: float) -> dict[str, float]:
    """The grams of the fats, those that only rounding moved as they were; what that leaves goes to the fat that comes in most."""
    old = {fat.name: grams for fat, grams in bar.recipe.fats}
    new = {fat.name: grams for fat, grams in recipe.fats}
    same = [name for name in new if name in old and abs(new[name] - old[name]) <= NUDGE * step]
    most = max(
        (name for name in new if name not in same), key=lambda name: new[name] - old.get(name, 0.0), default=None
    )
    if most is None:
        return new
    left = math.fsum(new[name] - old[name] for name in same)
    return {**new, **{name: old[name] for name in same}, most: round(new[most] + left, 6)}


# -- cheapest ------------------------------------------------------------------------------------------------------


def cheapest_of(bench: Bench) -> Chosen | None:
    """The cheapest blend that is no worse than the bar by more than each function's own +/-, and moves little beside what is out."""
    for states in STATES[:2]:
        model = bench.model(states)
        good = [place for place, row in enumerate(model.base.rows) if is_good_side(row.wish)]
        model.live.free_rows(good)
        rows = tuple(row for row in model.base.rows if not is_good_side(row.wish))
        told = replace(model.base, rows=rows)
        nearer = model.live.minimise(model.moves.moved)
        found = None
        if nearer.feasible:
            most = max(bench.bar.share_out / 100.0 + ROOM, nearer.objective + HELD)
            ask = partial(cheapest_near, model.live, model.moves, most, bench.most_new)
            found = agreed(model.live, ask, partial(check, model.sheet, told, shelf=bench.shelf))
        model.live.restore_rows([*good, model.moves.cap])
        for place in model.moves.slack:
            model.live.restore_column(place)
        if found is None:
            continue
        recipe, step, *_ = weighed_out(told, exact_grams(told.columns, found.point), bench.shelf)
        return Chosen(as_named(bench, recipe, step), least_cost=found.least_ratio)
    return None


def is_good_side(wish: WishId) -> bool:
    """Whether a wish keeps a function of the bar from becoming better."""
    goes = "down" if wish.side == Side.AT_LEAST else "up"
    return wish.section == Section.GOALS and wish.key in functions() and not is_worse(wish.key, goes)


def to_goals(bench: Bench) -> Chosen | None:
    """The cheapest blend that meets the goals it is held against, without what is out: moving little if that can be."""
    for states in STATES:
        near_one = bench.with_goals(states)
        shelf = in_play(near_one, bench.shelf)
        found = None if near_one.prefer or near_one.fat_count else moving_little(bench, near_one, shelf)
        if found is not None:
            return found
        sheet = near_one._replace(near=None)
        asked = cheapest(sheet, shelf)
        if asked.found is None:
            continue
        base = asked.live.programme
        check(asked.sheet, base, asked.found.point, shelf)
        grams = exact_grams(base.columns, asked.found.point)
        recipe = weighed_out(base, grams, shelf, asked.sheet).recipe
        live, least = asked.before or (asked.live, asked.found)
        proved = (
            None if base.is_mixed_integer else cheapest_possible(live.programme, least.ratio, least.outcome.row_dual)
        )
        superfat = judge(recipe_of(base.columns, grams, shelf.purities)).superfat
        made, step = in_grams_alone(bench.bar.sheet, recipe), recipe.alkali_step
        return Chosen({}, least_cost=proved, sheet=made, superfat=superfat, step=step)
    return None


def moving_little(bench: Bench, sheet: GoalSheet, shelf: Shelf) -> Chosen | None:
    """The cheapest blend that meets the goals and moves little beside what is out; None where there is none."""
    base = bench.capped(build(sheet, shelf))
    moves = moves_of(base, bench.bar.shares)
    live, most = Live(moves.programme), bench.bar.share_out / 100.0 + ROOM
    ask = partial(cheapest_near, live, moves, most, bench.most_new)
    found = agreed(live, ask, partial(check, sheet, moves.programme, shelf=shelf))
    if found is None:
        return None
    grams = exact_grams(base.columns, found.point)
    recipe = weighed_out(base, grams, shelf, sheet).recipe
    superfat = judge(recipe_of(base.columns, grams, shelf.purities)).superfat
    made = in_grams_alone(bench.bar.sheet, recipe)
    return Chosen({}, least_cost=found.least_ratio, sheet=made, superfat=superfat, step=recipe.alkali_step)


def in_grams_alone(sheet: RecipeSheet, recipe: Recipe) -> RecipeSheet:
    """A recipe as a sheet that leaves nothing to be worked out."""
    alkali = {"sodium hydroxide": recipe.sodium_hydroxide, "potassium hydroxide": recipe.potassium_hydroxide}
    return sheet._replace(
        fats=tuple(Weighed(fat.name, grams, NOWHERE) for fat, grams in recipe.fats),
        alkali=tuple(Weighed(name, grams, NOWHERE) for name, grams in alkali.items() if grams),
        superfat=None,
        potassium_share=0.0,
        water_g=recipe.water,
        lye_concentration=None,
        additives=tuple(Weighed(item.name, grams, NOWHERE) for item, grams in recipe.solids),
        liquids=tuple(Poured(item.name, grams, None, NOWHERE) for item, grams in recipe.liquids),
        to_make=None,
        mould=sheet.poured_into,
    )
