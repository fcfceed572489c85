"""Why there is no plan, in the maker's words: bars that cannot be even alone, clashes across bars, and the ways out."""

from __future__ import annotations

from collections.abc import Sequence

from optimiser.analysis.plan_clashes import Shortage, Way, shortages
from optimiser.answers.no_blend import reach_words
from optimiser.answers.plan_results import Need, NoPlan, PlanClash, PlanMember, PlanWay
from optimiser.answers.results import NoBlend
from optimiser.model.rows import Row
from optimiser.planning.blocks import SIZE
from optimiser.planning.together import Together
from optimiser.problem.plan import PlanQuestion
from optimiser.problem.wishes import Origin
from optimiser.solve.several import NOTHING_SAID, Bar, Bought, joined


def no_plan(
    question: PlanQuestion,
    alone: tuple[tuple[str, NoBlend], ...] = (),
    bars: Sequence[Bar] = (),
    house: Sequence[Bar] = (),
    bought: Bought = NOTHING_SAID,
) -> NoPlan:
    """The story of why there is no plan.

    Args:
        question: the plan.
        alone: the bars that have no blend even with the shelf to themselves; where there are any, nothing else is told.
        bars: what clashes, without all that gives way.
        house: the same bars with the rules of the house.
        bought: what may be bought.
    """
    story = NoPlan(
        title=question.sheet.title,
        currency=question.shelf.currency,
        plan_file=question.sheet.path,
        shelf_title=question.shelf.title,
        alone=alone,
        warnings=question.warnings,
    )
    if alone:
        return story
    plan = joined(bars, bought)
    found = shortages(plan, joined(house, bought))
    margins = [one.clash.margin for one in found.found]
    cured = [block.cured_kg for block in plan.blocks]
    parts = [bar.worth * kilos for bar, kilos in zip(bars, cured, strict=True) if kilos is not None]
    least = sum(parts) if len(parts) == len(bars) else None
    return story._replace(
        clashes=tuple(told(plan, one) for one in found.found),
        complete=found.complete,
        ways=tuple(way_told(plan, way, least) for way in found.ways),
        ways_complete=found.ways_complete,
        margin=min(margins, default=0.0),
    )


def name_of(plan: Together, row: Row) -> str:
    """The bar whose wish a row is; "" for what all share."""
    place = plan.bars_of.get(row.wish)
    return "" if place is None else plan.blocks[place].member.name


def told(plan: Together, one: Shortage) -> PlanClash:
    """A clash in words."""
    members = tuple(
        PlanMember(
            bar=name_of(plan, row),
            id=row.wish,
            says=says(row),
            line=row.span.line if row.span else None,
            file=row.span.file if row.span else "",
            reach="" if value is None or row.origin == Origin.STOCK else words_of(row, value),
        )
        for row, value in zip(one.rows, one.reaches, strict=True)
    )
    needs = tuple(
        Need(row.figure, value, row.limit)
        for row, value in zip(one.rows, one.reaches, strict=True)
        if row.origin == Origin.STOCK
    )
    return PlanClash(members, needs, one.clash.exact)


def says(row: Row) -> str:
    """The words of a wish, without the bar."""
    return str(row.said)


def words_of(row: Row, value: float) -> str:
    """How far a figure goes."""
    if row.figure == SIZE:
        whole = f"{int(value + 1e-6)}" if row.unit == "bars" else f"{value:.2f}"
        return f"{whole} {row.unit} at most"
    return reach_words(row, value)


def way_told(plan: Together, way: Way, least: float | None) -> PlanWay:
    """A way out in words, and what all batches then cost where that is known."""
    row = way.row
    cost = None if least is None or way.beyond is None or row.figure == SIZE else least + way.beyond
    return PlanWay(name_of(plan, row), row.wish, says(row), row.limit, way.value, row.unit, cost)
