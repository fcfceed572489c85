"""A few blends nearly as cheap as the cheapest, as plain values; the reports only read them."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.answers.results import Blend, StoodAside
from optimiser.answers.weighed_lines import FatLine
from optimiser.solve.far_proof import Bound
from optimiser.text.diagnostics import Diagnostic


class Choice(NamedTuple):
    """One of the blends. Of `blend` the goals are not priced and the steps not told: that is what `blend` is for.

    `dearer`: per cent of the cost of the first. `swapped`: per cent of the fats against the first, `apart` against the
    nearest of the others. `says`: what it is beside the first, in a phrase; of the first, that it is the cheapest.
    `broken`: wishes that no longer hold of the recipe as rounded for the balance.
    """

    blend: Blend
    dearer: float
    swapped: float
    apart: float
    says: str
    broken: tuple[str, ...] = ()


class Choices(NamedTuple):
    """The blends, the cheapest first and then by cost.

    `within`: per cent of its cost, and `said` as it was asked for; `ceiling` is the cost per kilo that comes to. `asked`:
    how many were. `most`: no blend within it swaps more of the fats than this part against the cheapest. `complete`: no
    blend was left out because the work ended. `near_to`: the recipe in hand that all of them are near to, if any: the first is then
    the nearest, and another may be cheaper.
    """

    title: str
    currency: str
    goal_file: str
    shelf_title: str
    within: float
    said: str
    ceiling: float
    choices: tuple[Choice, ...]
    asked: int
    most: Bound
    complete: bool
    is_counted: bool
    has_preferences: bool
    stood_aside: tuple[StoodAside, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    near_to: str = ""

    @property
    def is_single(self) -> bool:
        """Whether there is but one blend."""
        return len(self.choices) == 1

    @property
    def fats(self) -> tuple[FatLine, ...]:
        """The fats of all the blends: what looks odd about one of them is worth a word."""
        return tuple(line for choice in self.choices for line in choice.blend.fats)

    def own_aside(self, choice: Choice) -> tuple[StoodAside, ...]:
        """The rules that stood aside for a blend and not for the first."""
        first = {item.rule for item in self.stood_aside}
        return tuple(item for item in choice.blend.stood_aside if item.rule not in first)
