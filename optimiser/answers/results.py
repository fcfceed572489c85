"""The whole story of an answer, as plain values; the reports only read it.

Longer than most rooms, since every part of every answer is told in one place.

`warnings` are what looks odd in the files that an answer was read from, and did not stop it.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import nan
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.sides import Side
from optimiser.problem.wishes import Origin, Said, WishId
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.hard_water import HardWater
from optimiser.recipe.soda_ash import AshAdvice
from optimiser.recipe.times import NO_TIMES, BatchTimes
from optimiser.solve.proof import OptimalityProof
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.answers.near_lines import NearFigures
    from optimiser.problem.designs import Design


class FatLine(NamedTuple):
    """One fat of the blend: share in per cent, grams of the exact blend, grams to weigh, money for those."""

    fat: str
    kind: str
    share: float
    grams: float
    to_weigh: float
    cost: float
    lot: str = ""


class AdditiveLine(NamedTuple):
    """One additive: grams of the exact blend, grams to weigh, per cent of fats, money."""

    additive: str
    share: float
    grams: float
    to_weigh: float
    cost: float


class LiquidLine(NamedTuple):
    """A liquid that stands for water: per cent of all that is poured in water's place, grams exact and to weigh, money."""

    liquid: str
    share: float
    grams: float
    to_weigh: float
    cost: float


class AlkaliFigures(NamedTuple):
    """Alkali of the exact blend: `weigh` with its impurities, `pure` without; grams; superfats in per cent.

    `to_weigh` are the grams for the balance, rounded down. Purities as fractions.
    """

    sodium_hydroxide: float
    potassium_hydroxide: float
    sodium_hydroxide_pure: float
    potassium_hydroxide_pure: float
    sodium_to_weigh: float
    potassium_to_weigh: float
    sodium_purity: float
    potassium_purity: float
    superfat: float
    superfat_likely_low: float
    superfat_worst_case: float


class WaterFigures(NamedTuple):
    """Water of the exact blend in grams, `total` with what solutions bring; lye concentration in per cent.

    `temperature` is what the lye would reach from 20 degC with no heat lost (low and high estimate, degC, no more than
    `boiling_point`).
    """

    grams: float
    to_weigh: float
    total: float
    lye_concentration: float
    water_to_alkali: float
    share_of_fats: float
    lye_volume_ml: float
    lye_density: float
    temperature: tuple[float, float]
    boiling_point: float = nan


class MeasureLine(NamedTuple):
    """One measure of the bar with its band, how sure it is, and the limits that goals and practice put on it."""

    id: str
    words: str
    value: float
    unit: str
    band: str
    bands: tuple[tuple[str, float | None, float | None], ...]
    uncertainty: str
    high_means: str
    low_limit: float | None
    high_limit: float | None
    gave_way: bool = False  # a limit told here is a rule's that gave way to it


class GoalLine(NamedTuple):
    """One wish (goal, share, exclusion, count, stock, practice) against the blend.

    `price_per_unit`: what one unit easier saves per kilo of cured bar, None where the goal does not bind.
    `saves_if_dropped`: what deleting its line alone would save per kilo, below zero where the answer would be dearer
    without it; None where that was not asked, is not known, or no blend is left.
    `price_if_tighter`: what one unit harder costs; None where not asked, infinite where there is no such blend.
    `holds_from`, `holds_to`: limits between which the price per unit stays as it is; None without end.
    `holds_when_weighed`: whether it still holds of the recipe rounded to the balance; `when_weighed`: its value then,
    told where it does not. `gives_way`: the house, or whom the bar is for, only wants it where the maker's own goals leave
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


class UnusedLine(NamedTuple):
    """A fat left on the shelf: its price and the price below which it enters.

    `enters`: "below" the price told; "at the latest below" it, where fats are counted and a higher price was not ruled
    out; "never", at no price; "unknown"; or "barred" by an exclusion. `enters_below` is None for the last three.
    """

    fat: str
    kind: str
    price: float
    enters_below: float | None
    barred_by: Said | None = None
    enters: str = "below"


class CostFigures(NamedTuple):
    """Money per kilo of cured bar, per bar, and for the batch; what a batch and a bar weigh cured."""

    per_kg: float
    per_bar: float
    batch: float
    bar_grams: float
    bars: float
    cured_grams: float

    @classmethod
    def of(cls, judged: Judgement, cured_weight_kg: float, told_bars: int | None = None) -> CostFigures:
        """What a recipe costs, made into bars of so many kilos, or into so many bars; nothing where no price is known."""
        per_kg = judged.cost_per_kg or 0.0
        bars = told_bars or judged.cured_grams / 1000.0 / cured_weight_kg
        bar_kg = judged.cured_grams / 1000.0 / told_bars if told_bars else cured_weight_kg
        return cls(per_kg, per_kg * bar_kg, judged.money or 0.0, 1000.0 * bar_kg, bars, judged.cured_grams)


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
    """

    whom: str
    missed: tuple[StoodAside, ...]
    ways: tuple[Concession, ...] = ()
    cost_per_kg: float | None = None


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
