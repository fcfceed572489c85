"""House practice: the rules that keep the cheapest blend a bar that a maker would pour.

Every rule is data with its reason and status. A rule that `gives_way` to some quantities is only a default: it stands
aside as soon as the maker sets a goal on one of them. One that `yields` holds wherever the goals leave room for it, and
stands aside where they do not. The others hold until the maker overrides them by name, and give way to what
the maker names where they leave it no room. What alkali and water stand at (exactly so much) moves before all of them, within
the ends of `moves_within`, for the quantities that it is `moved_by` (upwards for any, where its lower end is left open); and where no blend is left
at all for any wish, within those of `moves_at_last`.
"""

from __future__ import annotations

import math
from functools import cache
from typing import NamedTuple

from optimiser.materials.additives import Additive
from optimiser.measures.sides import Side, SubjectKind
from optimiser.reference import rows

THE_SHELF = "the shelf"
THE_RECIPE = "the recipe in hand"


class Rule(NamedTuple):
    """One rule of the house, on one side of one quantity or share.

    `value` is in `unit`; `scale` is the step a maker would call a small change, in the same unit. `only_with` is a quantity,
    and how much of it the maker must ask for, that the rule is for.
    """

    name: str
    subject: SubjectKind
    key: str
    side: Side
    value: float
    unit: str
    scale: float
    gives_way: tuple[str, ...]
    why: str
    status: str
    source: str
    yields: bool = False
    moved_by: tuple[str, ...] = ()
    moves_within: tuple[float, float] | None = None
    only_with: tuple[str, float] | None = None
    moves_at_last: tuple[float, float] | None = None

    @property
    def is_own_end(self) -> bool:
        """Whether it is no rule of the house, but the end that the maker's own shelf sets to an additive."""
        return self.source == THE_SHELF

    @property
    def moves_up(self) -> bool:
        """Whether it moves upwards for any wish, within its ends."""
        return self.moves_within is not None and math.isinf(self.moves_within[0])

    @property
    def is_of_recipe(self) -> bool:
        """Whether it stands at the figure of a recipe in hand, since that is what its maker has made."""
        return self.source == THE_RECIPE

    @property
    def words(self) -> str:
        """The name without the side that some names end with."""
        return self.name.removesuffix(f" {self.side.words}")


@cache
def rules() -> tuple[Rule, ...]:
    """All rules, in the order in which they are told."""
    return tuple(
        Rule(
            name=row["rule"],
            subject=SubjectKind(row["subject"]),
            key=row["key"],
            side=Side(row["side"]),
            value=float(row["value"]),
            unit=row["unit"],
            scale=float(row["scale"]),
            gives_way=tuple(filter(None, row["gives_way"].split(";"))),
            why=row["why"],
            status=row["status"],
            source=row["source"],
            yields=row["yields"] == "yes",
            moved_by=tuple(filter(None, row["moved_by"].split(";"))),
            moves_within=ends_of(row["moves_within"]),
            only_with=(row["only_with"], float(row["only_from"])) if row["only_with"] else None,
            moves_at_last=ends_of(row["moves_at_last"] or row["moves_within"]),
        )
        for row in rows("practice")
    )


def ends_of(told: str) -> tuple[float, float] | None:
    """Two ends as the table has them, "28;36", or ";10" for what moves upwards only; None where it has none."""
    if not told:
        return None
    low, high = told.split(";")
    return float(low or math.inf), float(high)


def own_most(additive: Additive) -> Rule:
    """The rule for an additive to which the shelf sets an end: the maker's own, so that `practice: off` leaves it."""
    return usual_most(additive)._replace(
        value=additive.usual_high if additive.most is None else additive.most,
        why="The end that the shelf sets to it.",
        status="the maker's own",
        source=THE_SHELF,
    )


def usual_most(additive: Additive) -> Rule:
    """The rule for an additive that has none of its own: no more of it than is usual."""
    return Rule(
        name=additive.name,
        subject=SubjectKind.ADDITIVE,
        key=additive.name,
        side=Side.AT_MOST,
        value=additive.usual_high,
        unit="%",
        scale=1.0,
        gives_way=(),
        why=f"The usual most of it; what it is for: {additive.effect}.",
        status="common practice",
        source="no source",
    )
