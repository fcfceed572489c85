"""The file without one of its lines, and what deleting that line saves.

Most wishes simply go when their line does. But a goal on the superfat keeps the house's own default at bay, and a share
of butters keeps a design's: without the line the other is back. Less than a per cent of a fat counts only where a line
asks for so little. An additive or a liquid without its line does not go in at all. And preferences that fall short are met anew, as
far as the goals that are left allow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from optimiser.analysis.shadow_prices import CRUMB, ShadowPrice
from optimiser.measures.sides import SubjectKind
from optimiser.model.columns import Columns
from optimiser.model.counted_fats import floor_of
from optimiser.model.pieces import least_pulls
from optimiser.model.programme import NO_POTASSIUM, Programme
from optimiser.model.rows import Row
from optimiser.problem.buying import Buy
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.house_rules import names_fat
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import EACH_FAT, Origin, WishId
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Undecided, Work
from optimiser.solve.yielding import cheapest

HAIR = 1e-6  # money per kilo that the room in which preferences are held may be worth
ON_DESIGNS = (Origin.GOAL, Origin.SHARE)  # wishes that put those of a design aside
ON_EACH = (SubjectKind.EACH, SubjectKind.PINCH)  # rules on each fat that the maker does not name
Question = tuple[GoalSheet, Shelf]


def savings_told(
    costs: Mapping[WishId, ShadowPrice], question: Question, programme: Programme, found: Cheapest, work: Work
) -> dict[WishId, ShadowPrice]:
    """Prices whose savings are those of the file without the line.

    Args:
        costs: the prices, with savings as freeing the rows of a wish alone would have them.
        question: the goals and the shelf as written.
        programme: the rows of the two.
        found: the cheapest blend; where a preference of it falls short, every line weighs on how far it is met.
        work: what may be spent where fats are counted; what it does not reach is not known.
    """
    out = dict(costs)
    if (
        question[0].near is not None
    ):  # without a line another blend is the nearest, dearer or cheaper: that is no saving
        return {member: with_saving(price, None) if price.at_limit else price for member, price in costs.items()}
    for member, price in costs.items():
        row = programme.row_of(member)
        if is_idle_rule(question[0], row, price):
            out[member] = with_saving(price, 0.0)
            continue
        asked = price.at_limit or (programme.is_mixed_integer and price.saving is not None)
        if is_rule_on_additive(question[0], row):
            out[member] = with_saving(price._replace(per_unit=0.0), None)
        elif is_more_than_its_rows(question[0], row, programme.columns) or (found.is_short and asked):
            out[member] = with_saving(price, saving(question, row, found, work))
    return out


def is_all_anew(sheet: GoalSheet) -> bool:
    """Whether each saving is that of a file answered anew: without a line there may be room again for what stands aside, or what may be used help, that does not now."""
    may = any(item.subject == SubjectKind.ADDITIVE for item in sheet.may_use)
    return may or bool(sheet.yielded or sheet.eased)


def is_idle_rule(sheet: GoalSheet, row: Row, price: ShadowPrice) -> bool:
    """Whether a wish is a rule of the house away from its limit, or a pinch: not worth asking the whole file anew for."""
    own = {change.rule for change in sheet.practice}
    house = row.origin == Origin.PRACTICE and row.wish.key not in own and bool(sheet.eased)
    return house and not price.at_limit


def with_saving(price: ShadowPrice, saved: float | None) -> ShadowPrice:
    """A price with another saving."""
    exact = 0.0 if saved is not None and abs(saved) <= CRUMB else saved
    return price._replace(saving=exact, binding=price.at_limit and bool(price.per_unit or (exact or 0.0) > 0.0))


def saving(question: Question, row: Row, found: Cheapest, work: Work | None = None) -> float | None:
    """Money per kilo that the file without a wish saves, below zero where it is dearer; None where it has no blend.

    None as well where fats are counted and the work that is left does not find it out.

    A limit of a design has no line of its own: a maker is rid of it by naming its key, which keeps the house's default
    away too, so its rows go and nothing comes. So is one of a rule of the house on each fat, by naming that fat.
    """
    if row.origin == Origin.DESIGN or is_on_one_fat(question[0], row):
        other = cheapest_of(question, work, row.wish)
    else:
        other = cheapest_of(without(*question, row), work)
    return None if other is None or other.is_limited or found.is_limited else found.ratio - other.ratio


def is_on_one_fat(sheet: GoalSheet, row: Row) -> bool:
    """Whether a wish is what the house's own rule on each fat says of one."""
    rules = {rule.name for rule in sheet.rules if rule.subject == SubjectKind.EACH}
    own = {change.rule for change in sheet.practice}
    return row.origin == Origin.PRACTICE and row.wish.key in rules - own


def cheapest_of(question: Question, work: Work | None, freed: WishId | None = None) -> Cheapest | None:
    """The cheapest blend for a question; None where there is none, or the work ended before one was found."""
    try:
        return cheapest(*question, work, freed).found
    except Undecided:
        return None


def cost_of_preference(question: Question, step: int, key: str, found: Cheapest, work: Work) -> float | None:
    """Money per kilo that one preference costs, against the file without it and the others met anew."""
    sheet, shelf = question
    kept = tuple(limit for limit in sheet.prefer[step] if limit.key != key)
    steps = (*sheet.prefer[:step], *((kept,) if kept else ()), *sheet.prefer[step + 1 :])
    return cost_of((sheet._replace(prefer=steps), shelf), found, work)


def cost_of(without: Question, found: Cheapest, work: Work) -> float | None:
    """Money per kilo that a blend costs more than that of a question without one of its wishes; None where that is not known."""
    other = cheapest_of(without, work)
    if other is None or other.is_limited or found.is_limited:
        return None
    costs = found.ratio - other.ratio
    return costs if abs(costs) > HAIR else 0.0


def is_rule_on_additive(sheet: GoalSheet, row: Row) -> bool:
    """Whether a wish is a rule of the house on how much of an additive goes in: nobody saves by a pot full of it."""
    return row.origin == Origin.PRACTICE and any(
        rule.name == row.wish.key and rule.subject == SubjectKind.ADDITIVE for rule in sheet.rules
    )


def is_more_than_its_rows(sheet: GoalSheet, row: Row, columns: Columns) -> bool:
    """Whether deleting the line of a wish does more than take its rows away."""
    if is_all_anew(sheet) or row.origin == Origin.BUYING:
        return True
    if row.origin in (Origin.ADDITIVE, Origin.LIQUID) or (row.origin == Origin.COUNT and row.wish.key == EACH_FAT):
        return True
    if row.origin == Origin.PRACTICE:
        return any(change.rule == row.wish.key for change in sheet.practice)
    if row.origin not in ON_DESIGNS:
        return False
    other = deleted(sheet, row)
    if least_pulls(other, columns.fats, columns.additives) != columns.pulls:  # another piece of a curve is laid
        return True
    back = other.brought != CUT[row.origin](sheet, row).brought or defaults_stand_again(sheet, other, row.figure)
    return back or (bool(sheet.fat_count) and floor_of(row.figure, sheet) != floor_of(row.figure, other))


def defaults_stand_again(sheet: GoalSheet, other: GoalSheet, fat: str) -> bool:
    """Whether a rule of the house that stands aside now would stand in the other file, or no potassium be let in.

    A rule on each fat stands aside for one that the maker names: `fat`, should the line be on one.
    """
    if NO_POTASSIUM.key in sheet.asked - other.asked:
        return True
    if any(sheet.stands_aside(rule) and not other.stands_aside(rule) for rule in sheet.rules):
        return True
    ends = [rule.value if rule.subject == SubjectKind.EACH else 0.0 for rule in sheet.rules if rule.subject in ON_EACH]
    return any(names_fat(sheet, fat, end) and not names_fat(other, fat, end) for end in ends)


# -- a file without a line -----------------------------------------------------------------------------------------


def without(sheet: GoalSheet, shelf: Shelf, row: Row) -> Question:
    """The goals and the shelf as they would be read without the line behind a row."""
    if row.origin == Origin.STOCK:
        no_end = None if sheet.buying is None else math.inf
        fats = tuple(item._replace(stock_kg=no_end) if item.fat.name == row.figure else item for item in shelf.fats)
        return sheet, shelf._replace(fats=fats)
    return deleted(sheet, row), shelf


def others(limits: Sequence[Limit], row: Row) -> tuple[Limit, ...]:
    """Limits of a section but for the one behind a row."""
    return tuple(limit for limit in limits if limit.wish(row.wish.section) != row.wish)


def no_goal(sheet: GoalSheet, row: Row) -> GoalSheet:
    """Without a goal."""
    return sheet._replace(goals=others(sheet.goals, row))


def no_share(sheet: GoalSheet, row: Row) -> GoalSheet:
    """Without a share."""
    return sheet._replace(shares=others(sheet.shares, row))


def no_additive(sheet: GoalSheet, row: Row) -> GoalSheet:
    """Without an additive: whatever is said of it stands in one line."""
    return sheet._replace(additives=tuple(item for item in sheet.additives if item.key != row.figure))


def no_liquid(sheet: GoalSheet, row: Row) -> GoalSheet:
    """Without a liquid: whatever is said of it stands in one line."""
    return sheet._replace(liquids=tuple(item for item in sheet.liquids if item.key != row.figure))


def no_exclusion(sheet: GoalSheet, row: Row) -> GoalSheet:
    """Without an exclusion."""
    return sheet._replace(free_from=tuple(item for item in sheet.free_from if item.tag != row.figure))


def no_count(sheet: GoalSheet, row: Row) -> GoalSheet:
    """Without a count of fats, or the smallest share."""
    return sheet._replace(fat_count=others(sheet.fat_count, row))


def no_ban(sheet: GoalSheet, _: Row) -> GoalSheet:
    """Without a word on what may be bought but for what is to be least: then anything may be."""
    return sheet._replace(buying=None if sheet.buying is None else sheet.buying._replace(buy=Buy.ANY))


def no_practice(sheet: GoalSheet, row: Row) -> GoalSheet:
    """Without the maker's own figure for a rule, which brings the house's back; or, where there is none, without the rule."""
    name = row.wish.key
    kept = tuple(change for change in sheet.practice if change.rule != name)
    off = () if len(kept) < len(sheet.practice) else (PracticeChange(name, (), NOWHERE),)
    return sheet._replace(practice=(*kept, *off))


CUT = {
    Origin.GOAL: no_goal,
    Origin.SHARE: no_share,
    Origin.ADDITIVE: no_additive,
    Origin.LIQUID: no_liquid,
    Origin.EXCLUSION: no_exclusion,
    Origin.COUNT: no_count,
    Origin.PRACTICE: no_practice,
    Origin.BUYING: no_ban,
}


def deleted(sheet: GoalSheet, row: Row) -> GoalSheet:
    """The goals without a line; designs bring what nothing of the maker's replaces any more."""
    other = CUT[row.origin](sheet, row)
    if row.origin not in ON_DESIGNS or not other.technique_spans:  # those of a recipe in hand have no line
        return other
    from optimiser.problem.designs import bring

    chosen = list(zip(other.techniques, other.technique_spans, strict=True))
    return other._replace(brought=bring(chosen, other.goals, other.shares, other.batch).rows)
