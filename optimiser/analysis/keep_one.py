"""Designs, and people a bar is for, that cannot be had together: the goals with one of them left out, and what that costs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from optimiser.analysis.too_far import nobody_would_pour
from optimiser.problem.batch import Batch
from optimiser.problem.designs import CHOICE_WORDS, Design, bring
from optimiser.problem.goals import GoalSheet, extra_named, heating_names
from optimiser.problem.shelf import Shelf
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.yielding import as_written, cheapest

PLAIN = Batch()


class Without(NamedTuple):
    """A design left out, those that are kept, and the cost per kilo then; `eases`: the rules that give way even so."""

    left_out: Design
    kept: tuple[Design, ...]
    cost_per_kg: float
    is_lean: bool = False
    eases: tuple[str, ...] = ()
    is_far: bool = False


def keeping_one(sheet: GoalSheet, shelf: Shelf, work: Work) -> Iterator[Without]:
    """For each design without which there is a blend in which what the others ask holds: that blend, the cheapest first.

    Args:
        sheet: the goals, with the designs as they are named.
        shelf: the shelf.
        work: what may be spent.
    """
    found = []
    for place, design in enumerate(sheet.techniques):
        other = without(sheet, place)
        try:
            asked = cheapest(other, shelf, work)
        except Undecided:
            work.end()
            break
        brought = {item.wish for item in other.brought}
        if asked.found is not None and brought.isdisjoint(asked.sheet.eased):
            eases = tuple(str(name) for name in asked.sheet.eased)
            is_far, is_lean = nobody_would_pour(asked.sheet, shelf), bool(asked.sheet.yielded)
            found.append(Without(design, other.techniques, asked.found.ratio, is_lean, eases, is_far))
    yield from sorted(found, key=lambda one: (one.is_far, one.is_lean, len(one.eases), one.cost_per_kg))


def without(sheet: GoalSheet, place: int) -> GoalSheet:
    """The goals as they would be read without one of their designs: what it replaced of the others comes back."""
    kept = tuple(item for at, item in enumerate(sheet.techniques) if at != place)
    spans = tuple(span for at, span in enumerate(sheet.technique_spans) if at != place)
    own = {key: getattr(PLAIN, key) for key in CHOICE_WORDS if key not in sheet.batch.given}
    heating = heating_names(extra_named(name, sheet.extras) for name in sheet.extras_named)
    bringing = bring(
        list(zip(kept, spans, strict=True)), sheet.goals, sheet.shares, sheet.batch._replace(**own), heating
    )
    return as_written(sheet)._replace(
        techniques=kept,
        technique_spans=spans,
        brought=bringing.rows,
        batch=bringing.batch,
        design_notes=bringing.notes,
    )
