"""What each wish costs: prices per unit by re-solving, savings by dropping.

Duals of a degenerate optimum are one of many, so no dual is quoted: each price is confirmed by a re-solve with the
limit a little easier, which is the side on which a maker can act. Where fats are counted the prices hold for the same
choice of fats; savings are solved whole.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.optimum import Cheapest, fixed_choice, least_ratio, solve, with_choice_fixed
from optimiser.solve.outcomes import Work
from optimiser.solve.solver import Live

NEAR = 1e-7  # relative to the limit: the row stands at it
NEAR_HELD = 1e-4  # the same beside a preference that falls short, which is held with a hair of room
STEP = 1e-3  # of the natural scale: how much easier a limit is made to find its price
FAR = 1e6  # a limit further off than this has no end that matters
CRUMB = 1e-9  # money that is nothing


class ShadowPrice(NamedTuple):
    """A wish and what it costs, in money per kilo of cured bar.

    `per_unit` is what one unit easier saves, `saving` what giving the wish up alone saves (None: not asked, or not
    known). A wish binds where the blend stands at its limit (`at_limit`) and easing or dropping it would save something;
    one that is met exactly but costs nothing does not. `tighter` is what one unit harder costs, the other side of the price: None where it was not asked, infinite where
    there is no such blend. `holds` are the limits between which the price stays as it is (None: without end).
    """

    member: WishId
    binding: bool
    per_unit: float
    saving: float | None
    tighter: float | None = None
    holds: tuple[float | None, float | None] = (None, None)
    at_limit: bool = False


def stands_at_limit(row: Row, point: Vector, near: float = NEAR) -> bool:
    """Whether a blend stands at the limit of a row; an exclusion of what is not on the shelf has none to stand at."""
    return bool(row.top.any()) and abs(row.value(point) - row.limit) <= near * max(1.0, abs(row.limit))


Mover = Callable[[int, Vector, Vector], float | None]
"""What a row (by its place) saves per kilo with other bounds; None where there is no blend."""


def prices(
    live: Live, found: Cheapest, base: Programme | None = None, *, savings: bool = True
) -> dict[WishId, ShadowPrice]:
    """The price of every wish at the cheapest blend, with savings as giving up its rows alone would have them.

    Dropping a row that does not bind cannot change a linear programme's answer, so it is not asked. Where fats are
    counted it can, and every wish of the maker's is asked; of house practice only what binds.

    Args:
        live: the model with its preferences held.
        found: its cheapest blend.
        base: the programme before its preferences were held. Where one falls short, easing a goal lets it be met
            further, so prices per unit are those of the whole question answered anew.
        savings: whether they are wanted; without them none is known of a wish that stands at its limit.
    """
    programme = live.programme
    linear = with_choice_fixed(live, found)
    anew = base is not None and found.is_short
    near = NEAR_HELD if found.is_short else NEAR
    mover = moves_anew(base, found, live.work) if base is not None and anew else moves_warm(linear, found)
    out = {}
    for member, places in programme.members.items():
        rows = [programme.rows[place] for place in places]
        tight = any(stands_at_limit(row, found.point, near) for row in rows)
        saving: float | None = 0.0
        if not savings:
            saving = None
        elif tight or (programme.is_mixed_integer and rows[0].origin != Origin.PRACTICE):
            saving = saving_if_dropped(live, found, places)
        elif programme.is_mixed_integer:
            saving = None
        moves = tight and rows[0].origin not in WHOLE
        per_unit = price_per_unit(mover, programme, found, places) if moves else 0.0
        price = ShadowPrice(member, tight and bool(per_unit or saving), per_unit, saving, at_limit=tight)
        if per_unit and len(places) == 1:
            tighter = price_of_tightening(mover, programme, found, places[0])
            holds = (None, None) if anew else held_range(linear, found, places[0])
            price = price._replace(tighter=tighter, holds=holds)
        out[member] = price
    return out


def moves_warm(live: Live, found: Cheapest) -> Mover:
    """Asks the live model, to first order at the ratio found; preferences stay where they are held."""

    def move(place: int, low: Vector, high: Vector) -> float | None:
        programme = live.programme
        live.bound_rows([place], low, high)
        outcome = live.minimise(programme.money - found.ratio * programme.cured)
        live.restore_rows([place])
        return -outcome.objective / float(programme.cured @ outcome.point) if outcome.feasible else None

    return move


def moves_anew(base: Programme, found: Cheapest, work: Work) -> Mover:
    """Answers the whole question again, with the same choice of fats where they are counted."""
    programme = fixed_choice(base, found)

    def move(place: int, low: Vector, high: Vector) -> float | None:
        row_low, row_high = programme.row_low.copy(), programme.row_high.copy()
        row_low[place], row_high[place] = low[0], high[0]
        _, other = solve(replace(programme, row_low=row_low, row_high=row_high), work=work)
        return None if other is None else found.ratio - other.ratio

    return move


def price_of_tightening(mover: Mover, programme: Programme, found: Cheapest, place: int) -> float | None:
    """Money per kilo that one unit harder costs; infinite where there is no such blend, None for an exact figure."""
    row = programme.rows[place]
    if row.side == Side.EXACTLY:
        return None
    step = STEP * row.scale
    shift = step * row.slope(found.point) * (1.0 if row.side == Side.AT_LEAST else -1.0)
    gained = mover(place, programme.row_low[[place]] + shift, programme.row_high[[place]] + shift)
    return float("inf") if gained is None else max(0.0, -gained / step)


def held_range(live: Live, found: Cheapest, place: int) -> tuple[float | None, float | None]:
    """The limits as far as which a row's two prices hold, each on its side: while the same fats stay in the blend."""
    return held_end(live, found, place, up=False), held_end(live, found, place, up=True)


def held_end(live: Live, found: Cheapest, place: int, *, up: bool) -> float | None:
    """How far down or up a limit can go before other fats come into use; None: without end.

    Where the blend leans on the spread of lots, a price changes from the first step on and holds nowhere but here.

    The model is asked with the limit a little over on that side, since in a corner the two sides differ. A ratio's
    bound is not its limit: the blend at the far end says what its figure is there.
    """
    programme, row = live.programme, live.programme.rows[place]
    objective = programme.money - found.ratio * programme.cured
    step = STEP * row.scale * row.slope(found.point) * (1.0 if up else -1.0)
    live.bound_rows([place], programme.row_low[[place]] + step, programme.row_high[[place]] + step)
    end: float | None = row.limit
    if live.minimise(objective).feasible and not live.is_bent:
        end = float(live.row_ranges()[int(up)][place])
        if not np.isfinite(end) or abs(end) > FAR:
            end = None
        elif row.bottom is not None:
            live.bound_rows([place], *(np.where(np.isfinite(one), end, one) for one in both_bounds(row)))
            outcome = live.minimise(objective)
            end = row.value(outcome.point) if outcome.feasible else row.limit + end / row.slope(found.point)
    live.restore_rows([place])
    return end


def both_bounds(row: Row) -> tuple[Vector, Vector]:
    """Least and greatest activity of a row, as vectors of one."""
    low, high = row.bounds
    return np.array([low]), np.array([high])


WHOLE = (Origin.EXCLUSION, Origin.COUNT, Origin.BUYING)  # wishes that are kept or given up, not moved by a unit


def saving_if_dropped(live: Live, found: Cheapest, places: tuple[int, ...]) -> float | None:
    """Money per kilo that giving up the rows of one wish saves, exactly; None where a search for it did not end."""
    live.free_rows(places)
    live.suggest(found.point)
    without = least_ratio(live, found.ratio)
    live.restore_rows(places)
    if without is None:
        return 0.0
    if without.is_limited or found.is_limited:
        return None
    saved = found.ratio - without.ratio
    return saved if saved > CRUMB else 0.0


def price_per_unit(mover: Mover, programme: Programme, found: Cheapest, places: tuple[int, ...]) -> float:
    """Money per kilo that one unit easier saves, just past the limit; the better side of an exact figure."""
    best = 0.0
    for place in places:
        row = programme.rows[place]
        step = STEP * row.scale
        shift = step * row.slope(found.point)
        low, high = programme.row_low[[place]], programme.row_high[[place]]
        easier = [(low - shift, high)] if row.side == Side.AT_LEAST else [(low, high + shift)]
        if row.side == Side.EXACTLY:
            easier = [(low - shift, low - shift), (high + shift, high + shift)]
        for bounds in easier:
            best = max(best, (mover(place, *bounds) or 0.0) / step)
    return best if best * programme.rows[places[0]].scale > CRUMB / STEP else 0.0
