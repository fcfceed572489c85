"""Why there is no blend: every minimal clash in the maker's words, how far each wish could go, what makes peace."""

from __future__ import annotations

from optimiser.clashes import Clash, all_clashes
from optimiser.concessions import WHOLE_FATS, concessions
from optimiser.goals import GoalSheet
from optimiser.oracle import Oracle
from optimiser.programme import Programme
from optimiser.quantities import quantities
from optimiser.reach import nearest, whole
from optimiser.rows import Row
from optimiser.shelf import Shelf
from optimiser.story import ClashMember, NoBlend

MOST_COUNTED = 16  # clashes whose reaches are worked out where fats are counted and every question is a search
PLURALS = ("oils", "butters", "waxes", "acids", "fats")  # names that take "come", not "comes"


def explain(sheet: GoalSheet, shelf: Shelf, programme: Programme) -> NoBlend:
    """The story of why a programme has no blend."""
    found = all_clashes(programme)
    oracle = Oracle(programme)
    most = MOST_COUNTED if programme.is_mixed_integer else len(found.clashes)
    margins = [clash.margin for clash in found.clashes]
    return NoBlend(
        title=sheet.title,
        currency=shelf.currency,
        goal_file=sheet.path,
        shelf_title=shelf.title,
        clashes=tuple(told(oracle, clash, ask=place < most) for place, clash in enumerate(found.clashes)),
        complete=found.complete,
        concessions=concessions(sheet, shelf, programme, found),
        margin=min(margins, default=0.0),
        exact=bool(margins) and all(clash.exact for clash in found.clashes),
    )


def told(oracle: Oracle, clash: Clash, *, ask: bool = True) -> tuple[ClashMember, ...]:
    """The members of one clash, each (if asked) with how far it could go with the others held."""
    members = []
    for member in clash.members:
        row = whole([oracle.programme.rows[place] for place in oracle.programme.members[member]])
        others = [name for name in clash.members if name != member]
        value = reached(oracle, member, others) if ask else None
        members.append(
            ClashMember(
                id=member,
                origin=row.origin,
                says=row.says,
                line=row.span.line if row.span else None,
                span=row.span,
                why=row.why,
                reach=reach_words(row, value),
                limit=row.limit,
                reaches=value,
                unit=row.unit,
            )
        )
    return tuple(members)


def reached(oracle: Oracle, member: str, others: list[str]) -> float | None:
    """How far a wish's figure can go towards its limit with the others held; None where that has no answer."""
    if member == WHOLE_FATS:
        return None
    oracle.hold(others)
    return nearest(oracle, member)


def reach_words(row: Row, value: float | None) -> str:
    """The same as a sentence."""
    if value is None:
        return ""
    name, number = named(row), with_unit(row, value)
    some = "" if name.endswith(PLURALS) and row.unit != "fats" else "s"
    if row.origin == "share" and not row.top.any():
        return f"{name}: none on this shelf"
    if row.origin == "exclusion":
        return f"at least {number} of the fats would have to be {row.figure}"
    if row.origin == "stock":
        return f"at least {number} of {row.figure} would be needed"
    return {
        "at_least": f"{name} reach{'es' if some else ''} {number} at most",
        "at_most": f"{name} come{some} down to {number} at best",
        "exactly": f"{name} come{some} no nearer than {number}",
    }[row.side]


def named(row: Row) -> str:
    """What a row's figure is called."""
    if row.figure == "fats":
        return "the number of fats"
    if row.origin == "practice":
        return (
            row.member.removeprefix("practice.").rpartition(".")[0].removesuffix(" at least").removesuffix(" at most")
        )
    known = quantities().get(row.figure)
    return known.words if known is not None else row.figure


def with_unit(row: Row, value: float) -> str:
    """A figure as a person reads it."""
    if row.unit == "fats":
        return f"{value:.0f}"
    digits = 2 if row.figure == "cost" or row.unit in ("kg", "ratio") or row.scale <= 0.5 else 1
    text = f"{round(value, digits) + 0.0:.{digits}f}"
    return text if row.unit in ("index", "ratio") else f"{text} {row.unit.strip()}"
