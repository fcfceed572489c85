"""Why there is no plan, in the maker's words: bars that cannot be even alone, clashes across bars, and the ways out."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from optimiser.analysis.plan_clashes import Shortage, Way, fats_of, shortages
from optimiser.answers.no_blend import reach_words
from optimiser.answers.plan_results import Need, NoPlan, PlanClash, PlanMember, PlanWay
from optimiser.answers.results import NoBlend
from optimiser.measures.sides import Side
from optimiser.model.rows import Row
from optimiser.planning.blocks import SIZE
from optimiser.planning.together import Together
from optimiser.problem.plan import PlanQuestion
from optimiser.problem.wishes import Origin, Section, WishId
from optimiser.solve.several import NOTHING_SAID, Bar, Bought, joined

EXTRAS = (Section.ADDITIVES, Section.LIQUIDS)
MOST_OF_EXTRAS = 2.0  # times as much as is asked


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
        clashes=tuple(told(plan, one, {way.row.wish for way in found.ways}) for one in found.found),
        complete=found.complete,
        ways=tuple(way_told(plan, way, least) for way in lots_as_one(found.ways, fats_of(plan))),
        ways_complete=found.ways_complete,
        margin=min(margins, default=0.0),
    )


def name_of(plan: Together, row: Row) -> str:
    """The bar whose wish a row is; "" for what all share."""
    place = plan.bars_of.get(row.wish)
    return "" if place is None else plan.blocks[place].member.name


def lots_as_one(ways: Sequence[Way], fats: Mapping[str, str]) -> list[Way]:
    """The ways out, of several lots of one fat that alone which needs the most: so much more of it does, whichever lot it is like."""

    def fat_of(way: Way) -> str | None:
        return fats.get(way.row.figure, way.row.figure) if way.row.origin == Origin.STOCK else None

    most: dict[str, Way] = {}
    for way in ways:
        fat = fat_of(way)
        if fat is not None and (fat not in most or more_of(way) > more_of(most[fat])):
            most[fat] = way
    return [way for way in ways if ((fat := fat_of(way)) is None or most[fat] is way) and not is_noise(way)]


def is_noise(way: Way) -> bool:
    """Whether a way out is an additive that stretches the fats: over twice as much of it is no answer to a shortage."""
    return way.row.wish.section in EXTRAS and way.value > MOST_OF_EXTRAS * way.row.limit


def more_of(way: Way) -> float:
    """How much more of a fat a way out asks for, kg."""
    return way.value - way.row.limit


def told(plan: Together, one: Shortage, opens: Collection[WishId]) -> PlanClash:
    """A clash in words.

    `opens` are the wishes that by themselves make a plan: how far those go is told there, where all other wishes of the
    plan are held too. How much of a bar can be made beside the clash alone is no advice, nor how near an exact figure comes.
    """
    members = tuple(
        PlanMember(
            bar=name_of(plan, row),
            id=row.wish,
            says=says(row),
            line=row.span.line if row.span else None,
            file=row.span.file if row.span else "",
            reach="" if value is None or row.wish in opens or is_no_advice(row) else reach_words(row, value),
        )
        for row, value in zip(one.rows, one.reaches, strict=True)
    )
    return PlanClash(members, tuple(Need(*wanted) for wanted in one.wanted), one.clash.exact)


def is_no_advice(row: Row) -> bool:
    """Whether how far a figure goes beside a clash is nothing to write."""
    return row.origin == Origin.STOCK or row.figure == SIZE or row.side == Side.EXACTLY


def says(row: Row) -> str:
    """The words of a wish, without the bar."""
    return str(row.said)


def way_told(plan: Together, way: Way, least: float | None) -> PlanWay:
    """A way out in words, and what all batches then cost where that is known."""
    row = way.row
    cost = None if least is None or way.beyond is None or row.figure == SIZE else least + way.beyond
    fat, there = fats_of(plan).get(row.figure, row.figure), None
    if row.origin == Origin.STOCK and fat != row.figure:
        fats = fats_of(plan)
        there = sum(
            one.limit
            for one in plan.programme.rows
            if one.origin == Origin.STOCK and fats.get(one.figure, one.figure) == fat
        )
    whole = None if there is None else (fat, there)
    return PlanWay(name_of(plan, row), row.wish, says(row), row.limit, way.value, row.unit, cost, whole)
