"""No pinches: a blend in which no fat is less than a house rule allows, as cheap as its neighbours let it be.

The cheapest blend of a linear programme stands at a corner, and may hold a hundredth of a fat there. Fat by fat, the least
share first, it is asked anew without that fat and with as much of it as the rule wants, and the cheaper of the two is kept.
What no blend can be cheaper than is still proved of the blend before, so nothing is claimed of the choice of fats.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import least_share, names_fat, of_least
from optimiser.problem.wishes import Section, WishId
from optimiser.solve.optimum import Cheapest
from optimiser.solve.pinch_tree import settled_together

MOST_ROUNDS = 24
DUST = 1e-7  # of the fats: what a solver leaves of nothing
NEXT_TO_NOTHING = 0.003  # relative: what it may cost to leave all pinches out at once
USED_UP = 1e-6  # relative: what rounding may leave of a stock
MOST_DEARER = 0.05  # relative: a pinch whose absence costs more has its reason
BODY = ("hard oil", "butter", "liquid oil")
Solve = Callable[[Programme], Cheapest | None]


def without_pinches(sheet: GoalSheet, programme: Programme, found: Cheapest, solve: Solve) -> Mapping[str, Side]:
    """Which fats are to be left out (at most nothing), and which brought up to the rule (at least).

    All pinches are left out at once where that costs next to nothing; else they are gone through, the least first; and
    where some are left then, all are settled together.

    Args:
        sheet: the goals, as they were answered.
        programme: their rows.
        found: the cheapest blend.
        solve: the cheapest blend of a programme.
    """
    least = least_share(sheet)
    if least is None:
        return {}
    settled = all_left_out(sheet, programme, found, least, solve)
    if settled is not None:
        return settled
    settled = {}
    kept: set[str] = set()
    now = found
    for _ in range(MOST_ROUNDS):
        pinches = pinches_of(sheet, programme, now, least) - kept
        fat = min(pinches, key=lambda name: (share_of(programme, now, name), name), default=None)
        if fat is None:
            break
        tried = [
            (again, side)
            for side in ways(programme, fat)
            for again in [solve(bounded(programme, {**settled, fat: side}, least))]
            if again is not None and is_as_good(again, now, found)
        ]
        kept.add(fat)
        if tried:
            now, settled[fat] = min(tried, key=lambda item: item[0].ratio)
    return together(sheet, programme, found, least, solve) or settled if kept - settled.keys() else settled


def together(
    sheet: GoalSheet, programme: Programme, found: Cheapest, least: float, solve: Solve
) -> Mapping[str, Side] | None:
    """Choices that leave no pinch at all, where going through them one by one left some; None where none were found."""

    def shares(blend: Cheapest) -> dict[str, float]:
        return {fat: share_of(programme, blend, fat) for fat in pinches_of(sheet, programme, blend, least)}

    return settled_together(
        found,
        lambda fats: solve(bounded(programme, fats, least)),
        shares,
        lambda fat: ways(programme, fat),
        lambda again: is_as_good(again, found, found),
    )


def all_left_out(
    sheet: GoalSheet, programme: Programme, found: Cheapest, least: float, solve: Solve
) -> dict[str, Side] | None:
    """Every pinch left out, and what is a pinch then; nothing where there is none, None where it would cost."""
    out: dict[str, Side] = {}
    now = found
    for _ in range(MOST_ROUNDS):
        pinches = pinches_of(sheet, programme, now, least)
        if not pinches:
            return out
        out |= dict.fromkeys(sorted(pinches), Side.AT_MOST)
        again = solve(bounded(programme, out, least))
        if again is None or not is_as_good(again, now, found) or again.ratio > found.ratio * (1.0 + NEXT_TO_NOTHING):
            return None
        now = again
    return None


def bounded(programme: Programme, fats: Mapping[str, Side], least: float) -> Programme:
    """The programme with the columns of some fats held at nothing, or at the least share (%) or above."""
    low, high = programme.column_low.copy(), programme.column_high.copy()
    for name, side in fats.items():
        place = programme.columns.index[name]
        if side == Side.AT_MOST:
            high[place] = 0.0
        else:
            low[place] = least / 100.0
    return replace(programme, column_low=low, column_high=high)


def ways(programme: Programme, fat: str) -> tuple[Side, ...]:
    """What may be done about a pinch: of a wax or a fatty acid nobody wants as much as the rule, so it can only be left out."""
    kind = next(one.kind for one in programme.columns.fats if one.name == fat)
    return (Side.AT_MOST, Side.AT_LEAST) if kind in BODY else (Side.AT_MOST,)


def is_as_good(again: Cheapest, now: Cheapest, found: Cheapest) -> bool:
    """Whether a blend meets every preference as far as before, and is hardly dearer than the cheapest."""
    met = all(after <= before + DUST for after, before in zip(again.short, now.short, strict=True))
    return met and again.ratio <= found.ratio * (1.0 + MOST_DEARER)


def share_of(programme: Programme, found: Cheapest, name: str) -> float:
    """The share of a fat, as a fraction."""
    return float(found.point[programme.columns.index[name]])


def pinches_of(sheet: GoalSheet, programme: Programme, found: Cheapest, least: float) -> set[str]:
    """The fats of which there is less than the rule allows, but for those that the maker names.

    So is a lot of which there is so little, whatever there is of its other lots, unless that is all of it: it empties a tin.
    """
    columns = programme.columns
    shares = dict(zip((fat.name for fat in columns.fats), found.point[: columns.count].tolist(), strict=True))
    together: dict[str, float] = {}
    for fat in columns.fats:
        together[fat.group] = together.get(fat.group, 0.0) + shares[fat.name]
    return {
        fat.name
        for fat in columns.fats
        if shares[fat.name] > DUST
        and not names_fat(sheet, fat.name, 0.0)
        and (
            (
                100.0 * together[fat.group] < least * of_least(sheet, fat.kind) - DUST
                and not names_fat(sheet, fat.known_as, 0.0)
            )
            or (
                bool(fat.lot_of)
                and 100.0 * shares[fat.name] < least * of_least(sheet, fat.kind) - DUST
                and together[fat.group] > shares[fat.name] + DUST
                and not is_used_up(programme, found, fat.name)
            )
        )
    }


def is_used_up(programme: Programme, found: Cheapest, name: str) -> bool:
    """Whether a blend takes all that there is of a fat."""
    places = programme.members.get(WishId(Section.STOCK, name, Side.AT_MOST), ())
    return any(
        programme.rows[place].value(found.point) >= programme.rows[place].limit * (1.0 - USED_UP) for place in places
    )
