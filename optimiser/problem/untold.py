"""Fats of which not all is known, and the wishes that cannot be held with them.

A fat with a saponification value alone serves for its alkali. Whether a bar with it is hard, or free from palm, nobody can
say: a blend leaves it out where a wish needs what is not known of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.materials.fat import BY_IODINE, Fat
from optimiser.materials.fatty_acids import acids
from optimiser.measures.measures import ACID_GROUPS
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import SubjectKind
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import of_rule, standing
from optimiser.problem.limits import AT_MOST, Limit
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Said
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

WAYS = "say what it is like on the shelf, or take such wishes away; 'practice: off' takes those of the house"


def needed(limit: Limit) -> str:
    """What must be known of every fat for a limit to be held: "acids", "iodine", "tags", "kind"; "" where nothing more."""
    if limit.subject == SubjectKind.TAG:
        return "iodine" if limit.key in BY_IODINE else "tags"
    if limit.subject in (SubjectKind.KIND, SubjectKind.GROUP):
        return "kind"
    if limit.subject != SubjectKind.QUANTITY:
        return ""
    if limit.key == "iodine_value":
        return "iodine"
    of_acids = quantities()[limit.key].unit == "index" or limit.key in ACID_GROUPS or limit.key in acids()
    return "acids" if of_acids else ""


def barrier(sheet: GoalSheet, fat: Fat) -> Said | None:
    """The first wish that needs what is not known of a fat; None where there is none, and it may be in the blend."""
    return next(_barriers(sheet, fat), None)


def in_play(sheet: GoalSheet, shelf: Shelf) -> Shelf:
    """The shelf without the fats that no wish could be held with.

    Raises:
        BadInput: such a fat is asked for by name, or no other is there.
    """
    barred = {item.fat.name: said for item in shelf.fats if (said := list(_barriers(sheet, item.fat)))}
    if not barred:
        return shelf
    called = {name: item.fat.name for item in shelf.fats if item.fat.name in barred for name in item.fat.called}
    left = tuple(item for item in shelf.fats if item.fat.name not in barred)
    there = {name for item in left for name in item.fat.called}  # another lot of a fat may tell what one does not
    asked = [
        (called[limit.key], limit.span)
        for limit in sheet.shares
        if limit.subject == SubjectKind.FAT
        and limit.key in called.keys() - there
        and limit.side != AT_MOST
        and limit.value > 0.0
    ]
    if not left:
        asked += [(item.fat.name, item.span) for item in shelf.fats]
    if asked:
        raise BadInput(
            Diagnostic(
                Code.UNTOLD_FAT, f"nobody can say whether this holds with {name}: {_told(barred[name])}", WAYS, span
            )
            for name, span in asked
        )
    tins = tuple(item for item in shelf.to_buy if item.fat.name not in barred)
    return shelf._replace(fats=left, to_buy=tins)


def _told(barriers: list[Said]) -> str:
    """The first of some wishes in its words, and how many more there are."""
    others = len(barriers) - 1
    more = f" (nor {others} other wish{'es' if others > 1 else ''})" if others else ""
    return f"{barriers[0]}{more}"


def _barriers(sheet: GoalSheet, fat: Fat) -> Iterator[Said]:
    """Every wish that needs what is not known of a fat."""
    return (said for what, said in _needs(sheet) if what in fat.untold) if fat.untold else iter(())


def _needs(sheet: GoalSheet) -> Iterator[tuple[str, Said]]:
    """What every wish needs to know of every fat, with its words: the maker's own first, those of the house last."""
    limits = [*sheet.goals, *sheet.shares, *(limit for wishes in sheet.prefer for limit in wishes)]
    limits += [limit for change in sheet.practice for limit in change.limits]
    limits += [item.limit for item in sheet.brought]
    for limit in limits:
        yield needed(limit), limit.said
    for exclusion in sheet.free_from:
        yield "tags", exclusion.said
    for wish, rule in standing(sheet, ("any fat",)):
        yield from ((needed(limit), limit.said) for limit in of_rule(sheet, wish, rule))
