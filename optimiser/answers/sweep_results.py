"""A sweep over price scenarios as values: what each bar costs, what re-formulating saves, and the blends that matter."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.maths.arrays import Vector
from optimiser.text.diagnostics import Diagnostic


class Swing(NamedTuple):
    """A cost per kilo of cured bar over all scenarios: today, its mean, and how low and high it goes.

    `low` and `high`: one scenario in twenty lies below, and one above; of fewer than twenty scenarios, and of shocks by name, the lowest and the highest.
    `worst` is the highest of all.
    """

    today: float
    mean: float
    low: float
    high: float
    worst: float

    @property
    def at_risk(self) -> float:
        """Value at risk: how much more than today a kilo costs at the least, in one scenario in twenty."""
        return self.high - self.today


class SweptBlend(NamedTuple):
    """A blend worth knowing: `label` as A, B, ..., its fats with shares (%), the largest first.

    `best_in`: of the blends told, the share of scenarios in which it is the cheapest (0 to 1). `cost` if it is held whatever
    prices do; `regret_mean` and `regret_worst`: how much dearer than the cheapest blend of each scenario it then is.
    `pinches` are fats of which it has less than the house would weigh.
    """

    label: str
    fats: tuple[tuple[str, float], ...]
    best_in: float
    cost: Swing
    regret_mean: float
    regret_worst: float
    pinches: tuple[str, ...] = ()


class SweptFat(NamedTuple):
    """A fat over all scenarios of one bar.

    `share` (%) in today's blend; `used_in`: the share of scenarios in whose cheapest blend it is (0 to 1), `share_used` (%) how
    much of it on average then. `price` per kilo today; `stays_above` and `stays_below`: as long as it costs between these, all else
    as it is, today's blend stays the cheapest (None: nothing ends it, or it is not known). `adds`: what today's blend
    costs more per kilo if this fat alone costs as much as in one scenario in twenty.
    """

    fat: str
    share: float
    used_in: float
    share_used: float
    price: float
    stays_above: float | None
    stays_below: float | None
    adds: float


class SweptGoal(NamedTuple):
    """One goal file over all scenarios.

    `kept` is what today's blend costs, `remade` what the cheapest blend of each scenario does. `saving_mean` is how much cheaper
    re-making is on average (% of the mean cost kept), `saving_most` the most (%), in the scenario `most_in`; `worth`: the share of scenarios in
    which it saves more than 1 %. `blends` are the handful that matter, today's first, which together save `handful` (0 to 1) of
    that; `fixed` is the blend that is best held fixed. `over` is in which share of scenarios even the cheapest blend costs more than
    the file allows, None where it sets no most; `over_kept` the same of today's.
    `held` says in sentences what was held as it is today. `solved` linear programmes were solved, `alone` scenarios one by one;
    of `missing` scenarios the cheapest blend is not known or there is none. `numbers` (s) is the blend of each scenario by
    number, `costs` and `kept_costs` (s) what they cost. `spread`: parts of the scenarios (0 to 1), and what kept and re-made cost
    no more in so many of them. `is_near`: the file asks for the nearest blend, not for the cheapest. `source` is where
    the scenarios are from; `worst_in` and `remade_worst_in` say in which of them kept and re-made cost the most.
    """

    file: str
    title: str
    currency: str
    kept: Swing
    remade: Swing
    saving_mean: float
    saving_most: float
    most_in: str
    worth: float
    fats: tuple[SweptFat, ...]
    blends: tuple[SweptBlend, ...]
    fixed: SweptBlend
    handful: float
    over: float | None
    over_kept: float | None
    held: tuple[str, ...]
    is_counted: bool
    solved: int
    alone: int
    missing: int
    different: int
    numbers: Vector
    costs: Vector
    kept_costs: Vector
    spread: tuple[tuple[float, float, float], ...] = ()
    is_near: bool = False
    source: str = "spread"
    worst_in: str = ""
    remade_worst_in: str = ""

    @property
    def is_named(self) -> bool:
        """Whether its scenarios are shocks by name: cases to look at, none of which is said to be likely."""
        return self.source == "shocks"


class NotSwept(NamedTuple):
    """A goal file that has no blend at today's prices, or whose blend cannot be swept. `has_ways_out`: `blend` tells of them."""

    file: str
    title: str
    why: str
    has_ways_out: bool = False


class Sweep(NamedTuple):
    """Goal files over price scenarios. `labels` are empty where scenarios are drawn."""

    prices_file: str
    title: str
    source: str
    scenarios: int
    labels: tuple[str, ...]
    rules: tuple[str, ...]
    goals: tuple[SweptGoal, ...]
    none: tuple[NotSwept, ...]
    warnings: tuple[Diagnostic, ...] = ()
