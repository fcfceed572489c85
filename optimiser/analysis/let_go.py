"""Lines that a file asks for and rules out at once: honey in a bar free from what is animal. To leave them out is the way out.

How much of the fats would have to be let in by the tag says nothing here, for honey is no fat, and lard is not what was asked for.
"""

from __future__ import annotations

from collections.abc import Iterable

from optimiser.analysis.conflicts import Clash
from optimiser.analysis.edits import amended
from optimiser.analysis.relaxations import WayOut
from optimiser.analysis.rounded_moves import Move
from optimiser.analysis.too_far import nobody_would_pour
from optimiser.model.programme import Programme
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, WishId
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.yielding import cheapest

EXTRAS = (Origin.ADDITIVE, Origin.LIQUID)


def ruled_out(clashes: Iterable[Clash]) -> dict[WishId, WishId]:
    """The wishes for additives and liquids that something of `free_from` rules out by itself, each with what does."""
    out = {}
    for clash in clashes:
        extras = [member for member in clash.members if member.origin in EXTRAS]
        tags = [member for member in clash.members if member.origin == Origin.EXCLUSION]
        if len(extras) == len(tags) == 1 and len(clash.members) == len((*extras, *tags)):
            out[extras[0]] = tags[0]
    return out


def leaving_out_lines(
    sheet: GoalSheet, shelf: Shelf, programme: Programme, wishes: Iterable[WishId], work: Work
) -> WayOut | None:
    """The blend without some additives and liquids; None where there is none even so.

    Args:
        sheet: the goals as written.
        shelf: the shelf.
        programme: the rows of the two.
        wishes: those that go.
        work: what may be spent.
    """
    moves = tuple(Move(programme.row_of(wish), 0.0) for wish in wishes)
    if not moves:
        return None
    other, stock = amended(sheet, shelf, [move.row for move in moves], {move.row.wish: 0.0 for move in moves})
    try:
        asked = cheapest(other, stock, work)
    except Undecided:
        return None
    if asked.found is None:
        return None
    eases = tuple(str(name) for name in asked.sheet.eased)
    is_far = nobody_would_pour(asked.sheet, stock)
    return WayOut(moves, asked.found.ratio, bool(asked.sheet.yielded), eases, is_far)
