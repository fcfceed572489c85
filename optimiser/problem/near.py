"""A recipe in hand as the place to begin from: its shares and figures as values, and the rules of the house by its own figures.

What its maker has made stands: where the recipe itself breaks a rule of the house, the rule stands at the recipe's figure,
and what alkali and water stand at is what the recipe has.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from optimiser.materials.fat import Fat
from optimiser.measures.measures import measures, parts_of
from optimiser.measures.practice import THE_RECIPE, Rule
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.falling import falls_under
from optimiser.problem.limits import NOWHERE, Limit, as_limit
from optimiser.problem.lots import by_known_name
from optimiser.problem.untold import needed
from optimiser.text.spans import Span

BLUR = 0.05  # of a small change: what a balance blurs of a figure at which a rule stands
HAIR = 1e-7  # relative: a figure worked out twice
LEVERS = ("waxes", "fatty acids")  # kinds of which a little makes another bar
NO_LEVER = "A wax or a free fatty acid makes another bar of it: name it if it may come in."
NOTHING: Mapping[str, float] = MappingProxyType({})


class Gone(NamedTuple):
    """A fat of the recipe that no blend can have: its share in per cent, and why, as a part of a sentence."""

    fat: str
    share: float
    why: str


class Near(NamedTuple):
    """A recipe in hand: what a blend is to stay near to.

    `fats` are all of its fats with their shares in per cent; `values` every measure and batch figure by its id, with the recipe's
    own levers (nan where it is not known). `superfat` and `lye_concentration` are what its maker asked for (%), or else what
    it has; None where nothing may stand at that. `cost_per_kg` is None where a fat has no price. `weighed` (fats by name), alkalis and water
    are grams of the recipe as it is weighed out for the batch that is to be made; `additives` and `liquids` in per cent of the fats, and of all that stands in water's place.
    `gone` are the fats that have to go, told first; `notes` what else of the recipe does not stand. `levers_named`:
    the goals name a wax or a fatty acid themselves, which else come in no more than the recipe has of them.
    """

    title: str
    path: str
    fats: tuple[tuple[Fat, float], ...]
    values: Mapping[str, float]
    superfat: float | None
    lye_concentration: float | None
    cost_per_kg: float | None = None
    weighed: Mapping[str, float] = NOTHING
    sodium_hydroxide: float = 0.0
    potassium_hydroxide: float = 0.0
    water: float = 0.0
    cure_weeks: float = math.nan
    additives: Mapping[str, float] = NOTHING
    liquids: Mapping[str, float] = NOTHING
    gone: tuple[Gone, ...] = ()
    notes: tuple[str, ...] = ()
    levers_named: bool = False
    span: Span = NOWHERE

    @property
    def shares(self) -> Mapping[str, float]:
        """Per cent of all fats by name, lots of one fat together."""
        return by_known_name(self.fats)

    def figure(self, limit: Limit) -> float:
        """What the recipe has of what a limit is on, in the limit's unit; nan where that is not known."""
        if limit.subject == SubjectKind.QUANTITY:
            return self._quantity(limit.key)
        if limit.subject == SubjectKind.ADDITIVE:
            return self.additives.get(limit.key, 0.0)
        if limit.subject == SubjectKind.LIQUID:
            return self.liquids.get(limit.key, 0.0)
        if limit.subject == SubjectKind.COUNT:
            return float(len(self.shares))
        if any(needed(limit) in fat.untold for fat, _ in self.fats):
            return math.nan
        return math.fsum(share for fat, share in self.fats if falls_under(limit, fat))

    def _quantity(self, key: str) -> float:
        own = {"superfat": self.superfat, "lye_concentration": self.lye_concentration, "cure": self.cure_weeks}.get(key)
        return self.values.get(key, math.nan) if own is None else own

    def rule(self, rule: Rule) -> Rule:
        """A rule of the house at the recipe's own figure, where the recipe breaks it or the alkali and water stand at it."""
        if rule.is_own_end or rule.subject in (SubjectKind.EACH, SubjectKind.PINCH):
            return rule
        value = self.figure(as_limit(rule))
        if rule.subject == SubjectKind.KIND and rule.key in LEVERS and not self.levers_named:
            return rule._replace(value=value + HAIR, why=NO_LEVER, source=THE_RECIPE)
        off = value - rule.value
        is_broken = {Side.AT_LEAST: off < 0.0, Side.AT_MOST: off > 0.0, Side.EXACTLY: off != 0.0}[rule.side]
        stands = rule.side != Side.EXACTLY or getattr(self, rule.key, None) is not None
        if math.isnan(value) or not is_broken or not stands:
            return rule
        room = 0.0 if rule.side == Side.EXACTLY else HAIR * max(1.0, abs(value))
        if rule.side != Side.EXACTLY and rule.subject == SubjectKind.QUANTITY:
            room = BLUR * rule.scale
        value += -room if rule.side == Side.AT_LEAST else room
        return rule._replace(value=value, why="The recipe in hand has it so.", source=THE_RECIPE)


def drifting() -> tuple[str, ...]:
    """The measures by which it is told how far a bar has drifted: each that is no other one told anew."""
    return tuple(name for name in measures() if name not in parts_of())
