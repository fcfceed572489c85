"""What is used in place of a fat where no recipe is told: ranked as in an ordinary bar, a quarter of which is that fat."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from optimiser.analysis.stand_ins import OF_SHARES, OTHER_FORM, StandIn, function_values, stand_ins
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.materials.standing_in import KeptState, brought, common_fats
from optimiser.measures.differences import Difference, differences, functions
from optimiser.measures.practice import rules
from optimiser.measures.sides import Side
from optimiser.problem.limits import as_limit
from optimiser.recipe.compliance import falls_under

SHARE = 25.0  # per cent of the fats: a noticeable part, as most recipes have it
MOST = 5
FAR = 2  # steps of its own +/- by which the bar is another: what is farther is no stand-in


class UsualStandIn(NamedTuple):
    """A fat in place of another: how it ranks, what of a bar with a quarter of it differs, and the tags that it brings."""

    found: StandIn
    differs: tuple[Difference, ...]
    brings: tuple[KeptState, ...]


def usual_stand_ins(out: Fat) -> tuple[UsualStandIn, ...]:
    """The best few of the common fats in place of a fat of the table, the best first; the rest of the bar is a mean of them all.

    Args:
        out: the fat to be replaced.
    """
    share = usual_share(out)
    others = [reference().get(name) for name in common_fats() if name != out.name]
    rest = [(fat, (100.0 - share) / len(others)) for fat in others]
    ranked = stand_ins(out, [(out, share), *rest], others)
    told = [item for item in ranked if not item.breaks and item.form < OTHER_FORM and item.steps <= FAR][:MOST]
    values = function_values([out, *others])
    mean = values @ np.array([share, *(part for _, part in rest)]) / 100.0
    before = dict(zip(functions(), mean.tolist(), strict=True))
    place = {fat.name: column for column, fat in enumerate(others, start=1)}
    return tuple(
        UsualStandIn(
            item,
            tuple(
                one
                for one in differences(
                    before,
                    {
                        name: value + share / 100.0 * float(line[place[item.fat.name]] - line[0])
                        for (name, value), line in zip(before.items(), values, strict=True)
                    },
                )
                if one.is_told
            ),
            brought(out.tags, item.fat),
        )
        for item in told
    )


def usual_share(fat: Fat) -> float:
    """How much of a fat an ordinary bar has of it, in per cent: a quarter, or what house practice lets in of such a fat."""
    ends = [
        rule.value
        for rule in rules()
        if rule.subject in OF_SHARES and rule.side == Side.AT_MOST and falls_under(as_limit(rule), fat)
    ]
    return min([SHARE, *ends])
