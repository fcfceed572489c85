"""The goal file: what the bar must be. Knows words and limits, no rows and no chemistry.

`read_goals` raises every fault of a file at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from optimiser.additives import additives
from optimiser.batch import Batch, Mould
from optimiser.bounds import AT_LEAST, AT_MOST, Side
from optimiser.fats import fold as fold_fat
from optimiser.goal_form import Exclusion, GoalForm, PracticeChange
from optimiser.limits import Limit
from optimiser.practice import rules
from optimiser.shelf import Shelf, own_names, shelf_of
from optimiser.subjects import Known
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import read_form
from optimiser.text.quantities import same_currency
from optimiser.text.source import read_yaml
from optimiser.text.spans import Span

__all__ = [
    "Batch",
    "Exclusion",
    "GoalSheet",
    "Limit",
    "Mould",
    "PracticeChange",
    "Side",
    "currency_faults",
    "read_goals",
]


@dataclass(frozen=True, slots=True)
class GoalSheet:
    """A goal file as read: every wish with its own words and its place in the file.

    `shelf` is the shelf that the file names, found from the file's own folder, or None where it names none;
    `shelf_span` is where. `prefer` holds one tuple of limits for each step, in order. `fat_count` has the key "number of
    fats" (unit "fats") or "each fat" (unit "%").
    """

    path: str
    title: str
    shelf: Path | None
    batch: Batch
    designs: tuple[tuple[str, Span], ...]
    goals: tuple[Limit, ...]
    shares: tuple[Limit, ...]
    free_from: tuple[Exclusion, ...]
    fat_count: tuple[Limit, ...]
    prefer: tuple[tuple[Limit, ...], ...]
    practice_off: bool
    practice_off_span: Span | None
    practice: tuple[PracticeChange, ...]
    additives: tuple[Limit, ...]
    shelf_span: Span | None = None


def read_goals(path: Path, shelf: Path | None = None) -> GoalSheet:
    """The goals that a file holds.

    Args:
        path: a YAML file.
        shelf: the shelf to look a maker's own fats up in, in place of the one that the file names.

    Raises:
        BadInput: with every fault of the file, in file order.
    """
    source = read_yaml(path)

    @cache
    def own_fats() -> Mapping[str, str]:
        return {fold_fat(name): name for name in own_names(shelf or shelf_of(source.root, path))}

    form = read_form(GoalForm, source, Known(own_fats))
    switched_off = form.practice if isinstance(form.practice, Span) else None
    return GoalSheet(
        path=str(path),
        title=form.title or path.stem,
        shelf=None if form.shelf is None else path.parent / form.shelf,
        batch=Batch() if form.batch is None else form.batch,
        designs=form.design,
        goals=form.goals,
        shares=form.shares,
        free_from=form.free_from,
        fat_count=form.fats,
        prefer=form.prefer,
        practice_off=switched_off is not None,
        practice_off_span=switched_off,
        practice=() if isinstance(form.practice, Span) else form.practice,
        additives=with_usual_most(form.additives),
        shelf_span=None if form.shelf is None else form.shelf.span,
    )


def with_usual_most(limits: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Additives that a file asks for without an end go no further than is usual, or than asked for.

    An additive cheaper than soap would else fill the pot. Where house practice has a rule on it, the rule serves.
    """
    ruled = {rule.key for rule in rules() if rule.subject == "additive"}
    ended = {limit.key for limit in limits if limit.side != AT_LEAST}
    most = [
        replace(
            limit, side=AT_MOST, value=most, said=f"{limit.key} at most {most:g} % (as is usual, for want of a word)"
        )
        for limit in limits
        if limit.key not in ruled | ended
        for most in [max(limit.value, additives()[limit.key].usual_high)]
    ]
    return (*limits, *most)


def currency_faults(sheet: GoalSheet, shelf: Shelf) -> tuple[Diagnostic, ...]:
    """Costs asked for in another currency than the shelf's prices are in."""
    every = (*sheet.goals, *(limit for wishes in sheet.prefer for limit in wishes))
    return tuple(
        Diagnostic(
            "other-currency",
            f"the cost is in {limit.currency}, and the shelf's prices are in {shelf.currency}",
            f"write it in {shelf.currency}, without the currency's name if you like",
            limit.span,
        )
        for limit in every
        if not same_currency(limit.currency, shelf.currency)
    )
