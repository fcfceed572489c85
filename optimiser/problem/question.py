"""A whole question as values: what is asked, what there is, and the scales of the maker's own bench."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from optimiser.measures.scales import Scale
from optimiser.problem.buying import Buy, Buying
from optimiser.problem.goals import GoalSheet
from optimiser.problem.new_tins import with_new_tins
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.untold import in_play
from optimiser.text.diagnostics import Diagnostic

Scales = Mapping[str, Scale]
"""The maker's own scales by measure; empty where there are none."""


class Question(NamedTuple):
    """Which blend meets these goals from this shelf? `warnings` are what looks odd in the files, and stops no answer."""

    goals: GoalSheet
    shelf: Shelf
    scales: Scales = MappingProxyType({})
    warnings: tuple[Diagnostic, ...] = ()

    def buying(self, buy: str) -> Question:
        """The same where so much may be bought, whatever the goals say of it: "none", "packs" or "any"."""
        told = Buying() if self.goals.buying is None else self.goals.buying
        goals = self.goals._replace(buying=told._replace(buy=Buy(buy), span=None))
        return self._replace(goals=goals, shelf=in_play(goals, with_new_tins(self.shelf, goals.buying)))


class InHand(NamedTuple):
    """What is this recipe, and does it meet these goals? Without a shelf there are no prices, and alkalis are pure.

    `waiting` is what is wrong with the scales alone: told only once the recipe is known to do no harm, since a warning of
    danger waits for no scales.
    """

    recipe: RecipeSheet
    goals: GoalSheet | None
    shelf: Shelf | None
    scales: Scales = MappingProxyType({})
    waiting: tuple[Diagnostic, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
