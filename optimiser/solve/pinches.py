"""No pinches: a blend in which no fat is less than a house rule allows, as cheap as its neighbours let it be.

The cheapest blend of a linear programme stands at a corner, and may hold a hundredth of a fat there. Fat by fat, the least
share first, it is asked anew without that fat and with as much of it as the rule wants, and the cheaper of the two is kept.
What no blend can be cheaper than is still proved of the blend before, so nothing is claimed of the choice of fats.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import least_share, names_fat
from optimiser.solve.optimum import Cheapest

MOST_ROUNDS = 8
DUST = 1e-7  # of the fats: what a solver leaves of nothing
MOST_DEARER = 0.05  # relative: a pinch whose absence costs more has its reason
OF_A_LEVER = 0.1  # of the rule: waxes and free fatty acids work in small amounts
BODY = ("hard oil", "butter", "liquid oil")
Solve = Callable[[GoalSheet], tuple[Programme, Cheapest | None]]


def without_pinches(sheet: GoalSheet, programme: Programme, found: Cheapest, solve: Solve) -> Mapping[str, Side]:
    """Which fats are to be left out (at most nothing), and which brought up to the rule (at least).

    Args:
        sheet: the goals, as they were answered.
        programme: their rows.
        found: the cheapest blend.
        solve: answers goals by their rows and the cheapest blend.
    """
    least = least_share(sheet)
    settled: dict[str, Side] = {}
    kept: set[str] = set()
    now = found
    for _ in range(MOST_ROUNDS if least is not None else 0):
        assert least is not None
        fat = smallest(sheet, programme, now, least, kept)
        if fat is None:
            break
        tried = [
            (again, side)
            for side in ways(programme, fat)
            for _, again in [solve(sheet._replace(no_pinch={**settled, fat: side}))]
            if again is not None and is_as_good(again, now, found)
        ]
        kept.add(fat)
        if tried:
            now, settled[fat] = min(tried, key=lambda item: item[0].ratio)
    return settled


def ways(programme: Programme, fat: str) -> tuple[Side, ...]:
    """What may be done about a pinch: of a wax or a fatty acid nobody wants as much as the rule, so it can only be left out."""
    kind = next(one.kind for one in programme.columns.fats if one.name == fat)
    return (Side.AT_MOST, Side.AT_LEAST) if kind in BODY else (Side.AT_MOST,)


def is_as_good(again: Cheapest, now: Cheapest, found: Cheapest) -> bool:
    """Whether a blend meets every preference as far as before, and is hardly dearer than the cheapest."""
    met = all(after <= before + DUST for after, before in zip(again.short, now.short, strict=True))
    return met and again.ratio <= found.ratio * (1.0 + MOST_DEARER)


def smallest(sheet: GoalSheet, programme: Programme, found: Cheapest, least: float, kept: set[str]) -> str | None:
    """The fat of which there is least, if that is less than the rule allows and the maker does not name it."""
    columns = programme.columns
    shares = dict(zip((fat.name for fat in columns.fats), found.point[: columns.count].tolist(), strict=True))
    together: dict[str, float] = {}
    for fat in columns.fats:
        together[fat.group] = together.get(fat.group, 0.0) + shares[fat.name]
    pinches = [
        fat.name
        for fat in columns.fats
        if shares[fat.name] > DUST
        and 100.0 * together[fat.group] < least * (1.0 if fat.kind in BODY else OF_A_LEVER) - DUST
        and fat.name not in kept
        and not names_fat(sheet, fat.name, 0.0)
    ]
    return min(pinches, key=lambda name: (shares[name], name), default=None)
