"""The whole story of an answer, as plain values; the reports only read it.

Longer than most rooms, since every part of every answer is told in one place.

`warnings` are what looks odd in the files that an answer was read from, and did not stop it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from optimiser.answers.weighed_lines import AdditiveLine, AlkaliFigures, FatLine, LiquidLine, MeasureLine, WaterFigures
from optimiser.materials.batter import WITHIN
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Origin, Said, WishId
from optimiser.recipe.batch_size import Filled
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.hard_water import HardWater
from optimiser.recipe.soda_ash import AshAdvice
from optimiser.recipe.times import NO_TIMES, BatchTimes
from optimiser.solve.proof import OptimalityProof
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.answers.buying_figures import BuyingFigures
    from optimiser.answers.near_lines import NearFigures
    from optimiser.problem.designs import Design


class GoalLine(NamedTuple):
    """One wish (goal, share, exclusion, count, stock, practice) against the blend.

    `price_per_unit`: what one unit easier saves per kilo of cured bar, None where the goal does not bind.
    `saves_if_dropped`: what deleting its line alone would save per kilo, below zero where the answer would be dearer
    without it; None where that was not asked, is not known, or no blend is left.
    `price_if_tighter`: what one unit harder costs; None where not asked, infinite where there is no such blend.
    `holds_from`, `holds_to`: limits between which the price per unit stays as it is; None without end.
    `holds_when_weighed`: whether it still holds of the recipe rounded to the balance; `when_weighed`: its value then,
    told where it does not, or where it is beyond the digits that the maker wrote, and `as_weighed` the same for every wish that can be
    judged. `gives_way`: the house, or whom the bar is for, only wants it where the
    room: a recipe that misses it misses no goal. `at_limit`: the blend stands at its limit, whether it costs something or
    not. `eased_from`: the figure that a rule asked before it gave way to the one told.
    """

    id: WishId
    said: Said
    line: int | None
    span: Span | None
    value: float
    limit: float
    unit: str
    side: Side
    binding: bool
    price_per_unit: float | None
    saves_if_dropped: float | None
    why: str
    figure: str
    holds_when_weighed: bool = True
    price_if_tighter: float | None = None
    holds_from: float | None = None
    holds_to: float | None = None
    when_weighed: float | None = None
    gives_way: bool = False
    at_limit: bool = False
    eased_from: str = ""
    as_weighed: float | None = None

    @property
    def origin(self) -> Origin:
        """Whose wish it is."""
        return self.id.origin


class PreferenceLine(NamedTuple):
    """One preference: met or not, and by how much it falls short in its own unit.

    `costs`: what having it costs per kilo, against the same file without its line; below zero where it saves (another
    preference gives way to it), None where that is not known.
    """

    id: WishId
    said: Said
    line: int | None
    met: bool
    value: float
    limit: float
    unit: str
    short_by: float
    costs: float | None = None


class UseUpLine(NamedTuple):
    """A fat that was to be used up: kilos asked for and used, and the wishes beside which no more of it goes in.

    `costs` is what using it up costs per kilo of bar, against the same file without the line; below zero where it saves, None
    where that is not known. `held_back` is empty where it is used up, and where the batch is too small for more.
    """

    fat: str
    asked_kg: float
    is_all: bool
    used_kg: float
    met: bool
    said: Said
    line: int | None
    costs: float | None = None
    held_back: tuple[Said, ...] = ()


class UnusedLine(NamedTuple):
    """A fat left on the shelf: its price and the price below which it enters.

    `enters`: "below" the price told; "at the latest below" it, where fats are counted and a higher price was not ruled
    out; "never", at no price; "unknown"; or "barred" by an exclusion. `enters_below` is None for the last three. `lot` and
    `lot_of` are as in a `FatLine`.
    """

    fat: str
    kind: str
    price: float
    enters_below: float | None
    barred_by: Said | None = None
    enters: str = "below"
    lot: str = ""
    lot_of: str = ""


class CostFigures(NamedTuple):
    """Money per kilo of cured bar, per bar, and for the batch; what a batch and a bar weigh cured.

    `told_bars` is how many bars there are where that says what one weighs, as where one comes out of each cavity of a mould.
    """

    per_kg: float
    per_bar: float
    batch: float
    bar_grams: float
    bars: float
    cured_grams: float
    told_bars: int | None = None

    @classmethod
    def of(cls, judged: Judgement, cured_weight_kg: float, told_bars: int | None = None) -> CostFigures:
        """What a recipe costs, made into bars of so many kilos, or into so many bars; nothing where no price is known."""
        per_kg = judged.cost_per_kg or 0.0
        bars = told_bars or judged.cured_grams / 1000.0 / cured_weight_kg
        bar_kg = judged.cured_grams / 1000.0 / told_bars if told_bars else cured_weight_kg
        return cls(per_kg, per_kg * bar_kg, judged.money or 0.0, 1000.0 * bar_kg, bars, judged.cured_grams, told_bars)


class StoodAside(NamedTuple):
    """A rule of the house that gave way, and why; `at`: where it stands instead; `own`: the figure not kept is the maker's own."""

    rule: str
    said: Said
    why: str
    at: float | None = None
    unit: str = ""
    own: bool = False


class FarOff(NamedTuple):
    """Rules that gave way so far that nobody would pour the blend: those of the house, or of whom the bar is for (`whom`).

    `missed` are the rules, the furthest first; `ways` what the maker would change to have them back; `cost_per_kg` the
    least at which what the bar is for could be had if the limits on the cost were not there, None where that says nothing.
    `of_share`: of a bar of a plan, with what the others leave; ways are then not looked for.
    """

    whom: str
    missed: tuple[StoodAside, ...]
    ways: tuple[Concession, ...] = ()
    cost_per_kg: float | None = None
    of_share: bool = False


class Rounding(NamedTuple):
    """How the blend was rounded for the balance, and what would keep what that breaks.

    `searched`: other steps than the nearest were looked for, and taken if they keep more. `fats_exact` is what all fats come to
    before, in grams. `missed` are the wishes that the recipe misses. All of it would hold on a balance that reads `finer`
    grams, or in a batch `times` as large; None where neither was found, or nothing is missed. `scale_g` is the step of the
    balance where the maker told it.
    """

    searched: bool = False
    fats_exact: float = 0.0
    missed: tuple[WishId, ...] = ()
    finer: float | None = None
    times: int | None = None
    scale_g: float | None = None


class Blend(NamedTuple):
    """The answer when there is one."""

    title: str
    currency: str
    goal_file: str
    shelf_title: str
    fats: tuple[FatLine, ...]
    alkali: AlkaliFigures
    water: WaterFigures
    additives: tuple[AdditiveLine, ...]
    measures: tuple[MeasureLine, ...]
    figures: Mapping[str, float]
    cost: CostFigures
    goals: tuple[GoalLine, ...]
    preferences: tuple[PreferenceLine, ...]
    unused: tuple[UnusedLine, ...]
    proof: OptimalityProof
    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    notes: tuple[str, ...]
    recipe: Recipe  # rounded to the balance
    weighed: Judgement
    step_grams: float
    is_counted: bool  # fats were counted: a mixed-integer answer
    practice_off: bool = False  # the goal file drops house practice, all but what superfat and lye need
    shelf_file: str = ""
    times: BatchTimes = NO_TIMES
    ash: AshAdvice | None = None
    water_hardness: HardWater | None = None
    warnings: tuple[Diagnostic, ...] = ()
    stood_aside: tuple[StoodAside, ...] = ()
    purity_basis: tuple[str, str] = ("assumed", "assumed")  # of sodium and potassium hydroxide: told, grade or assumed
    liquids: tuple[LiquidLine, ...] = ()
    techniques: tuple[Design, ...] = ()  # designs, and whom the bar is for
    water_said: str = ""  # how hard the wash water is, as the maker wrote it
    far_off: tuple[FarOff, ...] = ()
    near: NearFigures | None = None  # what is changed of a recipe in hand
    rounding: Rounding = Rounding()
    batter_litres: float = 0.0  # the room that the batter takes up, right to within `volume_within` (a fraction) of it
    volume_within: float = WITHIN
    filled: Filled | None = None  # the mould or moulds that the batch is told by, and the batter in them
    buying: BuyingFigures | None = None  # what is bought for it, where the goals say anything of that
    use_up: tuple[UseUpLine, ...] = ()  # what was to be used up
    told_bars: int | None = None  # how many bars the batch is, where it is told by them


class ClashMember(NamedTuple):
    """One wish of a clash; `reach` says in words how far its figure could go with the other members held.

    `gives`: to what it would have to give way, alone, for those to hold.
    """

    id: WishId
    said: Said
    line: int | None
    span: Span | None
    why: str
    reach: str = ""
    limit: float = 0.0
    reaches: float | None = None
    unit: str = ""
    gives: str = ""

    @property
    def origin(self) -> Origin:
        """Whose wish it is."""
        return self.id.origin


class Change(NamedTuple):
    """One wish moved from one limit to another, in its unit; `paste` is the line of YAML that does it, under `where`."""

    id: WishId
    said: Said
    before: float
    after: float
    unit: str
    paste: str
    where: str = ""


class Concession(NamedTuple):
    """Changes that together make peace, and the cost per kilo of the blend they open; `is_lean`: likely lye-heavy.

    `eases`: the rules of the house, and of whom the bar is for, that give way in it; `is_far`: so far that nobody would pour it.
    """

    changes: tuple[Change, ...]
    cost_per_kg: float
    is_lean: bool = False
    eases: tuple[str, ...] = ()
    is_far: bool = False


class NoBlend(NamedTuple):
    """The answer when there is none: minimal clashes, in the maker's words.

    What is not complete was left out where the work allowed for it ended, and is said to be. `loose`: places of clashes that may hold lines which have no part in them, since the search ended first.
    """

    title: str
    currency: str
    goal_file: str
    shelf_title: str
    clashes: tuple[tuple[ClashMember, ...], ...]
    complete: bool
    concessions: tuple[Concession, ...]
    margin: float
    exact: bool
    reaches_complete: bool = True  # how far each wish could go was worked out for every clash
    concessions_complete: bool = True  # every way out that was to be tried was
    loose: tuple[int, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()


class Feasible(NamedTuple):
    """The answer to whether there is a blend, when there is one; `far_off`: what the blend would say first."""

    warnings: tuple[Diagnostic, ...] = ()
    far_off: tuple[FarOff, ...] = ()
    currency: str = ""


class WeighedRecipe(NamedTuple):
    """A recipe in hand, judged; against goals if asked."""

    title: str
    currency: str
    recipe_file: str
    recipe: Recipe
    judgement: Judgement
    measures: tuple[MeasureLine, ...]
    cost: CostFigures | None
    goals: tuple[GoalLine, ...]
    preferences: tuple[PreferenceLine, ...]
    meets_goals: bool | None
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    times: BatchTimes = NO_TIMES
    steps: tuple[str, ...] = ()
    is_unfit: bool = False  # it must not be made
    warnings: tuple[Diagnostic, ...] = ()
    purity_basis: tuple[str, str] = ("assumed", "assumed")  # of sodium and potassium hydroxide: told, grade or assumed
    ash: AshAdvice | None = None
    water_hardness: HardWater | None = None
    lots: tuple[tuple[str, str], ...] = ()  # the lot on the shelf of each fat that has one
    filled: Filled | None = None  # what it is poured into, as far as that is told
