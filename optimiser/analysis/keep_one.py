"""Designs, and people a bar is for, that cannot be had together: the goals with one or more left out, and what that costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from optimiser.analysis.too_far import nobody_would_pour
from optimiser.problem.batch import Batch
from optimiser.problem.designs import CHOICE_WORDS, Design, bring
from optimiser.problem.goals import GoalSheet, extra_named, heating_names
from optimiser.problem.shelf import Shelf
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.yielding import as_written, cheapest

PLAIN = Batch()
MOST_TRIED = 14  # sets of more than one design


class Without(NamedTuple):
    """Designs left out, those that are kept, and the cost per kilo then; `eases`: the rules that give way even so."""

    left_out: tuple[Design, ...]
    kept: tuple[Design, ...]
    cost_per_kg: float
    is_lean: bool = False
    eases: tuple[str, ...] = ()
    is_far: bool = False


def keeping_one(sheet: GoalSheet, shelf: Shelf, work: Work) -> Iterator[Without]:
    """For each design without which there is a blend in which what the others ask holds: that blend, the cheapest first.

    Where one left out is not enough, each is kept in turn with as many of the others, in order, as go with it.

    Args:
        sheet: the goals, with the designs as they are named.
        shelf: the shelf.
        work: what may be spent.
    """
    every = range(len(sheet.techniques))
    one_less = [keeping(sheet, shelf, [at for at in every if at != place], work) for place in every]
    found = [one for one in one_less if one is not None] or list(grown(sheet, shelf, work).values())
    yield from sorted(
        found, key=lambda one: (one.is_far, one.is_lean, len(one.left_out), len(one.eases), one.cost_per_kg)
    )


def grown(sheet: GoalSheet, shelf: Shelf, work: Work) -> dict[frozenset[int], Without]:
    """Each design with what goes with it, by which are kept; those tried late are kept by themselves."""
    found: dict[frozenset[int], Without] = {}
    tried = 0
    for first in range(len(sheet.techniques)):
        kept, best = [first], keeping(sheet, shelf, [first], work)
        if best is None or any(first in known for known in found):
            continue
        for place in range(len(sheet.techniques)):
            if place == first or tried >= MOST_TRIED:
                continue
            tried += 1
            more = keeping(sheet, shelf, sorted([*kept, place]), work)
            if more is not None:
                kept, best = sorted([*kept, place]), more
        found[frozenset(kept)] = best
    return found


def keeping(sheet: GoalSheet, shelf: Shelf, places: Sequence[int], work: Work) -> Without | None:
    """The goals with some of their designs alone; None where what these ask does not hold, or nobody could say."""
    other = with_those(sheet, places)
    try:
        asked = cheapest(other, shelf, work)
    except Undecided:
        work.end()
        return None
    if asked.found is None or not {item.wish for item in other.brought}.isdisjoint(asked.sheet.eased):
        return None
    out = tuple(item for at, item in enumerate(sheet.techniques) if at not in places)
    eases = tuple(str(name) for name in asked.sheet.eased)
    is_far = nobody_would_pour(asked.sheet, shelf)
    return Without(out, other.techniques, asked.found.ratio, bool(asked.sheet.yielded), eases, is_far)


def with_those(sheet: GoalSheet, places: Sequence[int]) -> GoalSheet:
    """The goals as they would be read with some of their designs alone: what others replaced of them comes back."""
    kept = tuple(sheet.techniques[at] for at in places)
    spans = tuple(sheet.technique_spans[at] for at in places)
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
