"""What gave way so far that nobody would pour the blend, as values for an answer: told in words, with the lines to write."""

from __future__ import annotations

from collections.abc import Sequence

from optimiser.analysis.giving_way import GaveWay
from optimiser.answers.results import FarOff
from optimiser.answers.stood_aside import as_aside
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.solve.progress import about


def far_off(sheet: GoalSheet, shelf: Shelf, given: Sequence[GaveWay]) -> tuple[FarOff, ...]:
    """What gave way too far, with ways back; nothing for most blends, and then no room is loaded that looks for ways.

    Args:
        sheet: the goals as answered.
        shelf: the shelf.
        given: every rule that gave way.
    """
    if not given:
        return ()
    from optimiser.analysis import far_off as looking
    from optimiser.analysis.keep_one import keeping_one
    from optimiser.analysis.one_line import by_line
    from optimiser.answers.no_blend import KEEPING_WORK, in_lines, leaving_out
    from optimiser.planning.building import build
    from optimiser.solve.outcomes import Work
    from optimiser.solve.yielding import as_written

    with about(lambda: "looking for what brings the rules of the house back"):
        found = looking.far_off(sheet, shelf, given)
    if not found:
        return ()
    written = as_written(sheet)
    programme = by_line(build(written, shelf), written)
    clashing = not shelf.is_share and len(sheet.techniques) > 1 and any(one.whom and not one.ways for one in found)
    keep = tuple(map(leaving_out, keeping_one(sheet, shelf, Work(KEEPING_WORK)))) if clashing else ()
    return tuple(
        FarOff(
            whom=one.whom,
            missed=tuple(as_aside(item) for item in one.missed),
            ways=keep or tuple(in_lines(written, programme, way) for way in one.ways),
            cost_per_kg=one.cost_per_kg,
            of_share=shelf.is_share,
        )
        for one in found
    )
