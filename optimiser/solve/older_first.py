"""Older lots first: of lots of one fat the one that keeps the shortest is used up before the next, where that costs next to nothing.

The cheapest blend knows nothing of days. Lot by lot, the blend is asked anew without the newer, or with all that there is of the
older, and kept where it costs no more than a hundredth. What no blend can be cheaper than is still proved of the blend before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from optimiser.measures.sides import Side
from optimiser.model.programme import Preference, Programme, with_older_first
from optimiser.problem.lots import older_first
from optimiser.problem.shelf import Stocked
from optimiser.problem.wishes import Section
from optimiser.solve.optimum import Cheapest, spared
from optimiser.solve.pinches import DUST, is_used_up, share_of

HAIR = 0.01  # relative: what it may cost to use an older lot first (our judgement)
LESS = 1e-6  # relative
SHORT = 1e-3  # of a preference, in its unit (a gram, a thousandth of a point): met as far as before
NEARLY = 0.5  # per cent of the fats changed, and parts of how sure the measures are
Solve = Callable[[Programme], Cheapest | None]


def lots_in_turn(programme: Programme, found: Cheapest, solve: Solve) -> Mapping[str, Side]:
    """Which lots wait (at most), and which are used up first (at least), so that older ones go before newer ones.

    Args:
        programme: the rows of the goals.
        found: the cheapest blend.
        solve: the cheapest blend of a programme.
    """
    settled: dict[str, Side] = {}
    now = found
    for older, newer in in_turn(programme):
        if not is_out_of_turn(programme, now, older, newer):
            continue
        for lot, side in ((newer, Side.AT_MOST), (older, Side.AT_LEAST)):
            if side == Side.AT_LEAST and older.stock_kg is None:
                continue
            tried = {**settled, lot.fat.name: side}
            again = solve(with_older_first(programme, tried))
            if again is not None and is_as_good(programme, again, now, found):
                now, settled = again, tried
                break
    return settled


def in_turn(programme: Programme) -> Iterator[tuple[Stocked, Stocked]]:
    """Each lot with each newer one of the same fat, those that are used up first before the others."""
    lots: dict[str, list[Stocked]] = {}
    for item in programme.columns.stocked:
        lots.setdefault(item.fat.known_as, []).append(item)
    for each in lots.values():
        turn: Sequence[Stocked] = older_first(each)
        for place, older in enumerate(turn):
            yield from (
                (older, newer)
                for newer in reversed(turn[place + 1 :])
                if newer.fat.to_buy or older.best_before != newer.best_before
            )


def is_out_of_turn(programme: Programme, found: Cheapest, older: Stocked, newer: Stocked) -> bool:
    """Whether a blend takes of the newer lot while there is some left of the older."""
    takes = share_of(programme, found, newer.fat.name) > DUST
    return takes and not is_used_up(programme, found, older.fat.name)


def room_of(programme: Programme, preference: Preference, short: float) -> float:
    """How much further a preference may be missed than by so much: of what is used up as much as is no reason for other fats."""
    if programme.rows[preference.rows[0]].wish.section == Section.NEAR:
        return NEARLY
    return SHORT + spared(programme, preference, short)


def is_as_good(programme: Programme, again: Cheapest, now: Cheapest, found: Cheapest) -> bool:
    """Whether a blend meets every preference as far as before, and costs no more than a hair above the cheapest.

    Near to a recipe in hand it may change half a per cent more of the fats: lots of one fat take other amounts of alkali.
    """
    room = [room_of(programme, one, before) for one, before in zip(programme.soft, now.short, strict=True)]
    met = all(after <= before + more for after, before, more in zip(again.short, now.short, room, strict=True))
    # one that costs less does so for a preference that is met a little less far: the proof would not be of it
    return met and found.ratio * (1.0 - LESS) <= again.ratio <= found.ratio * (1.0 + HAIR)
