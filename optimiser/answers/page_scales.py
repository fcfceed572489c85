"""The figures of a bar as scales: what it has now, the maker's own limits as handles, what others ask as marks, and whence."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from optimiser.answers.reach import figures, in_unit, is_told_alike, named
from optimiser.answers.results import Blend
from optimiser.measures.measures import measures
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.rows import Expression, Row
from optimiser.problem.goals import GoalSheet
from optimiser.problem.known_ranges import unknown_measures
from optimiser.problem.wishes import Origin, Section, WishId

OWN = (Origin.GOAL, Origin.SHARE, Origin.ADDITIVE, Origin.LIQUID)
OTHERS = (Origin.PRACTICE, Origin.DESIGN)
STEPS = (1.0, 2.0, 5.0, 10.0)
STEPS_TO_A_CHANGE = 10.0  # steps of a handle in what a maker calls a small change
SHARE_CHANGE = 5.0
SPANS = {"rancidity": (0.0, 5.0), "superfat": (0.0, 20.0), "lye_concentration": (20.0, 50.0)}  # 50 %: no more dissolves


class Handle(NamedTuple):
    """A limit of the maker's own, in the unit of its scale: the wish, and where on it it stands."""

    wish: WishId
    value: float
    said: str
    line: int | None


class Mark(NamedTuple):
    """A limit that the house or a design asks for, with its reason and status."""

    side: Side
    value: float
    said: str
    why: str
    status: str


class Scale(NamedTuple):
    """One figure as a scale; `low` and `high` are the ends of its ruler, but that room may reach further, `step` that of a handle."""

    id: str
    section: Section
    words: str
    unit: str
    now: float | None
    step: float
    low: float
    high: float
    handles: tuple[Handle, ...]
    marks: tuple[Mark, ...]
    about: str
    high_means: str
    observed_by: str
    unsure: str
    source: str
    status: str
    bands: tuple[tuple[str, float | None, float | None], ...]


def scales(sheet: GoalSheet, programme: Programme, blend: Blend | None) -> tuple[Scale, ...]:
    """Every measure, superfat, lye and cost, and whatever else the file names; `blend` where there is one."""
    status = {rule.name: _of_rule(rule.status, rule.source) for rule in sheet.rules}
    return tuple(
        _scale(figure, programme, blend, status, sheet) for figure in figures(programme, unknown_measures(sheet))
    )


def _scale(
    figure: Expression, programme: Programme, blend: Blend | None, status: dict[str, str], sheet: GoalSheet
) -> Scale:
    handles = tuple(_handles(figure, programme))
    marks = tuple(_marks(figure, programme, status, sheet))
    now = None if blend is None else now_of(figure, programme, blend)
    measure, quantity = measures().get(figure.figure), quantities().get(figure.figure)
    low, high = ruler(figure, programme, [now, *(one.value for one in handles)])
    unsure = f"+/- {measure.uncertainty:g}" if measure is not None and measure.uncertainty else ""
    return Scale(
        id=figure.figure,
        section=_section(figure, programme),
        words=named(figure.figure),
        unit=figure.unit,
        now=now,
        step=step_of(figure),
        low=low,
        high=high,
        handles=handles,
        marks=marks,
        about="" if quantity is None else quantity.about,
        high_means="" if measure is None else measure.high_means,
        observed_by="" if measure is None else measure.observed_by,
        unsure=unsure or ("" if measure is None else measure.coarse),
        source="" if measure is None else measure.source,
        status="" if measure is None else measure.status,
        bands=() if measure is None else tuple((band.word, band.low, band.high) for band in measure.bands),
    )


def _handles(figure: Expression, programme: Programme) -> Iterator[Handle]:
    for wish, places in programme.members.items():
        rows = [programme.rows[place] for place in places]
        if wish.origin in OWN and rows[0].figure == figure.figure and is_told_alike(rows[0], figure):
            value = math.fsum(in_unit(row, figure) for row in rows) / len(rows)
            row = rows[0]
            yield Handle(wish, round(value, 6), str(row.said), row.span.line if row.span else None)


def _marks(figure: Expression, programme: Programme, status: dict[str, str], sheet: GoalSheet) -> Iterator[Mark]:
    brought = {item.wish: item.status for item in sheet.brought}
    for row in programme.rows:
        if row.origin in OTHERS and row.figure == figure.figure and is_told_alike(row, figure):
            known = status.get(row.wish.key, "") if row.origin == Origin.PRACTICE else brought.get(row.wish, "")
            yield Mark(row.side, round(in_unit(row, figure), 6), str(row.said), row.why, known)


def _of_rule(status: str, source: str) -> str:
    return ", ".join(part for part in (status, source) if part)


def _section(figure: Expression, programme: Programme) -> Section:
    if figure.figure in quantities():
        return Section.GOALS
    own: Iterator[Row] = (row for row in programme.rows if row.figure == figure.figure)
    sections = {Origin.ADDITIVE: Section.ADDITIVES, Origin.LIQUID: Section.LIQUIDS}
    return next((sections[row.origin] for row in own if row.origin in sections), Section.SHARES)


def now_of(figure: Expression, programme: Programme, blend: Blend) -> float | None:
    """A figure in a blend as it was found, before it was rounded; None for what it has no figure for."""
    if figure.figure in blend.figures:
        return blend.figures[figure.figure]
    shares: dict[str, float] = {}
    for line in blend.fats:
        shares[line.fat] = shares.get(line.fat, 0.0) + line.share
    if figure.bottom is None and not figure.top[programme.columns.count :].any():
        each = np.array([shares.get(fat.name, 0.0) for fat in programme.columns.fats])
        names = [fat.name for fat in programme.columns.fats]
        first = np.array([names.index(name) == place for place, name in enumerate(names)])
        return float(figure.top[: len(each)] @ (each * first)) / 100.0
    amounts = {
        **{one.additive: one.share for one in blend.additives},
        **{one.liquid: one.share for one in blend.liquids},
    }
    return amounts.get(figure.figure, 0.0) if figure.unit == "%" else None


def ruler(figure: Expression, programme: Programme, told: list[float | None]) -> tuple[float, float]:
    """The span of a scale: what a maker may meet of the figure, made longer for what is told of this bar."""
    known = [value for value in told if value is not None and math.isfinite(value)]
    low, high = _natural(figure, programme) or _around(known, 10.0 * step_of(figure))
    return min([low, *known]), max([high, *known])


def _natural(figure: Expression, programme: Programme) -> tuple[float, float] | None:
    """An index by its definition, a share from none to all, a figure of fats from the least to the greatest of single ones."""
    if figure.figure in SPANS:
        return SPANS[figure.figure]
    if figure.figure in measures() or (figure.unit == "%" and figure.figure not in quantities()):
        return 0.0, 100.0
    count = programme.columns.count
    if figure.bottom is None and count and figure.top[:count].any() and not figure.top[count:].any():
        each = figure.top[:count]
        return max(0.0, float(each.min())), float(each.max())
    return None


def _around(known: list[float], room: float) -> tuple[float, float]:
    low, high = min(known, default=0.0), max(known, default=1.0)
    return max(low - room, 0.0 if low >= 0.0 else -math.inf), high + room


def step_of(figure: Expression) -> float:
    """The step of a handle: a tenth of a small change, as 1, 2 or 5 of a decimal place."""
    change = figure.scale if figure.figure in quantities() or figure.unit != "%" else SHARE_CHANGE
    raw = (change or 1.0) / STEPS_TO_A_CHANGE
    place = 10.0 ** math.floor(math.log10(raw) + 1e-9)
    return next(part for part in STEPS if part * place >= raw * (1.0 - 1e-9)) * place
