"""Which rules of the house stand for some goals, each as a wish, and the figures at which those stand that gave way.

A rule of the house never costs an answer. Where the goals leave no room for it, it stands as near to its own figure as they
allow: `GoalSheet.eased` holds that, by wish, and what is read here is already the eased limit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from optimiser.measures.practice import Rule
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import Limit, as_limit
from optimiser.problem.wishes import Section, WishId

if TYPE_CHECKING:
    from optimiser.problem.designs import Brought
    from optimiser.problem.goals import Eased, GoalSheet

MOST_FATS = 300  # on a shelf: a rule on each of them is for the shelf of a workshop


def standing(sheet: GoalSheet, fats: Iterable[str]) -> Iterator[tuple[WishId, Rule]]:
    """The rules that stand, in order, each with its wish; not those that the maker gave a figure of their own.

    Args:
        sheet: what is asked.
        fats: what the fats in question are built on: a rule on each fat stands once for each of them.
    """
    changed = {change.rule for change in sheet.practice}
    least = least_share(sheet)
    bases = tuple(dict.fromkeys(fats))
    for rule in sheet.rules:
        if rule.subject == SubjectKind.PINCH:
            yield from () if rule.key else _of_pinches(sheet, rule, least)
            continue
        if rule.name in changed or sheet.stands_aside(rule):
            continue
        if rule.subject == SubjectKind.BASE and rule.side == Side.AT_MOST:
            yield wish_of(rule), rule._replace(value=sheet.most_of(rule))
            continue
        if rule.subject != SubjectKind.EACH:
            yield wish_of(rule), rule
            continue
        for base in bases if len(bases) <= MOST_FATS else ():
            if not names_fat(sheet, base, rule.value):
                of_base = rule._replace(name=base, subject=SubjectKind.BASE, key=base)
                yield wish_of(rule, base), of_base if sheet.near is None else sheet.near.rule(of_base)


def _of_pinches(sheet: GoalSheet, rule: Rule, least: float | None) -> Iterator[tuple[WishId, Rule]]:
    """None of a fat, or as much of it as the rule wants."""
    if least is None:
        return
    for fat, side in sheet.no_pinch.items():
        value = 0.0 if side == Side.AT_MOST else least
        name = f"pinch of {fat}" if side == Side.AT_MOST else fat
        of_fat = rule._replace(name=name, subject=SubjectKind.FAT, key=fat, side=side, value=value)
        yield WishId(Section.PRACTICE, rule.name, side, fat), of_fat


def least_share(sheet: GoalSheet) -> float | None:
    """The least share (%) of a fat that is no pinch; None where the maker counts the fats, or the rule is off."""
    rule = next((rule for rule in sheet.rules if rule.subject == SubjectKind.PINCH and not rule.key), None)
    if rule is None or sheet.fat_count:
        return None
    own = next((change for change in sheet.practice if change.rule == rule.name), None)
    if own is not None:
        return max((limit.value for limit in own.limits), default=None)
    return None if sheet.stands_aside(rule) else rule.value


def of_least(sheet: GoalSheet, kind: str) -> float:
    """What is a pinch of a kind of fat, as a part of what is a pinch of the others: waxes work in small amounts."""
    of_kind = next((rule for rule in sheet.rules if rule.subject == SubjectKind.PINCH and rule.key == kind), None)
    if of_kind is None:
        return 1.0
    every = next(rule for rule in sheet.rules if rule.subject == SubjectKind.PINCH and not rule.key)
    own = next((change for change in sheet.practice if change.rule == of_kind.name), None)
    value = of_kind.value if own is None else max((limit.value for limit in own.limits), default=0.0)
    return value / every.value


def wish_of(rule: Rule, within: str = "") -> WishId:
    """What a rule is known by as a wish; `within` is the fat where it is one on each."""
    return WishId(Section.PRACTICE, rule.name, rule.side, within)


def names_fat(sheet: GoalSheet, base: str, most: float) -> bool:
    """Whether the maker names a fat with a share as large as the rule on each fat allows, or larger."""
    return any(
        limit.subject == SubjectKind.FAT and limit.key == base and limit.value >= most
        for limit in (*sheet.shares, *(item.limit for item in sheet.brought))
    )


def of_rule(sheet: GoalSheet, wish: WishId, rule: Rule) -> list[Limit]:
    """The limits of a rule as they stand: its own, or eased."""
    limit, eased = as_limit(rule), sheet.eased.get(wish)
    if eased is None or not sheet.is_bare:
        return as_eased(limit, eased)
    sign = " %" if rule.unit == "%" else ""
    ends = f"{rule.words} between {eased.low:g}{sign} and {eased.high:g}{sign}"
    said = limit.said._replace(subject=ends, side=None, figure="")  # a clash tells both ends of what may move so far
    return [one._replace(said=said) for one in as_eased(limit, eased)]


def of_design(sheet: GoalSheet, item: Brought) -> list[Limit]:
    """The limits of what a design brings, or whom the bar is for, as they stand."""
    return as_eased(item.limit, sheet.eased.get(item.wish))


def as_eased(limit: Limit, eased: Eased | None) -> list[Limit]:
    """A limit at the figures to which it was eased; an exact one has two sides then."""
    if eased is None:
        return [limit]
    sides = {
        Side.AT_LEAST: [(Side.AT_LEAST, eased.low)],
        Side.AT_MOST: [(Side.AT_MOST, eased.high)],
        Side.EXACTLY: [(Side.AT_LEAST, eased.low), (Side.AT_MOST, eased.high)],
    }[limit.side]
    return [_at(limit, side, value) for side, value in sides]


def _at(limit: Limit, side: Side, value: float) -> Limit:
    if side == limit.side and value == limit.value:
        return limit
    figure = f"{value:g}{' %' if limit.unit == '%' else ''}"
    said = limit.said._replace(side=side, figure=figure, word="", between=None, band="")
    return limit._replace(side=side, value=value, said=said)


def gives_way(sheet: GoalSheet, wish: WishId) -> bool:
    """Whether a wish is the house's, or of whom the bar is for, and never costs an answer; a maker's own figure for a rule does."""
    own = {change.rule for change in sheet.practice}
    return wish in may_give_way(sheet) or (wish.section == Section.PRACTICE and wish.key not in own)


def may_give_way(sheet: GoalSheet) -> frozenset[WishId]:
    """The limits of designs, and of whom the bar is for, that give way as rules of the house do."""
    return frozenset(item.wish for item in sheet.brought if item.gives_way)


def moving(sheet: GoalSheet, *, last: bool = False) -> tuple[WishId, ...]:
    """The rules of the house that alkali and water stand at and that may move: those that a goal is met by, `last` of all any."""
    own = {change.rule for change in sheet.practice}
    return tuple(
        wish_of(rule)
        for rule in sheet.rules
        if rule.side == Side.EXACTLY
        and rule.name not in own
        and not sheet.stands_aside(rule)
        and (last or rule.moves_up or sheet.asked & set(rule.moved_by))
    )


def ends_of(sheet: GoalSheet, name: WishId, *, last: bool = False) -> tuple[float, float] | None:
    """The ends within which a rule moves; None for one that has none.

    One that stands at the figure of a recipe in hand moves from there. One that moves upwards for any wish does so
    downwards for what it is moved by alone, and then to nothing.
    """
    if name.section != Section.PRACTICE:
        return None
    rule = next((one for one in sheet.rules if one.name == name.key), None)
    ends = None if rule is None else rule.moves_at_last if last else rule.moves_within
    if rule is None or ends is None:
        return None
    low = 0.0 if rule.moves_up and sheet.asked & set(rule.moved_by) else ends[0]
    return min(low, rule.value), max(ends[1], rule.value)
