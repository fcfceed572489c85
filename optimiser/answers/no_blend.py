"""Why there is no blend: every minimal clash in the maker's words, how far each wish could go, what makes peace."""

from __future__ import annotations

import math
from collections.abc import Mapping

from optimiser.analysis.conflicts import Clash, Clashes, all_clashes
from optimiser.analysis.keep_one import Without, keeping_one
from optimiser.analysis.let_go import leaving_out_lines, ruled_out
from optimiser.analysis.one_line import by_line, is_on_each, least_most
from optimiser.analysis.ranges import nearest, whole
from optimiser.analysis.relaxations import WHOLE_FATS, WayOut, concessions
from optimiser.answers.edit_lines import paste
from optimiser.answers.results import Change, ClashMember, Concession, NoBlend
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side
from optimiser.measures.telling import keeps, told
from optimiser.model.programme import Programme
from optimiser.model.rows import Row
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, Said, Section, WishId
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import SolverFault, Undecided, Work
from optimiser.solve.progress import about

REACHES_WORK = 0.8e6  # of the solver, for how far each wish of each clash could go
KEEPING_WORK = 1.5e6  # of the solver, for the goals without each of their designs
NOTHING = 1e-6  # per cent: at least so much is no wish
PLURALS = ("oils", "butters", "waxes", "acids", "fats")  # names that take "come", not "comes"


def explain(sheet: GoalSheet, shelf: Shelf, programme: Programme) -> NoBlend:
    """The story of why a programme has no blend."""
    programme = by_line(programme, sheet)
    found = clashes_of(programme)
    oracle = Oracle(programme, Work(REACHES_WORK))
    with about(lambda: "working out how far each line could go"):
        clashes = tuple(members_of(oracle, clash) for clash in found.clashes)
    with about(lambda: "looking for ways out"):
        offers = concessions(sheet, shelf, programme, found)
        gone = ruled_out(found.clashes)
        ways = first_of_all(leaving_out_lines(sheet, shelf, programme, gone, Work(KEEPING_WORK)), offers.ways, gone)
    margins = [clash.margin for clash in found.clashes]
    return NoBlend(
        title=sheet.title,
        currency=shelf.currency,
        goal_file=sheet.path,
        shelf_title=shelf.title,
        clashes=clashes,
        complete=found.complete,
        concessions=with_one_kept(sheet, shelf, found, tuple(in_lines(sheet, programme, way) for way in ways)),
        margin=min(margins, default=0.0),
        exact=bool(margins) and all(clash.exact for clash in found.clashes),
        loose=tuple(place for place, clash in enumerate(found.clashes) if not clash.is_minimal),
        reaches_complete=not oracle.work.gave_up,
        concessions_complete=offers.complete,
    )


def first_of_all(leaving: WayOut | None, ways: tuple[WayOut, ...], gone: Mapping[WishId, WishId]) -> tuple[WayOut, ...]:
    """Ways out, with the lines that the file itself rules out left out first; nothing is let in for their sake.

    Args:
        leaving: the way out that leaves them out.
        ways: the others.
        gone: what is ruled out, and by which wish.
    """
    if leaving is None:
        return ways
    same = {move.row.wish for move in leaving.moves} | set(gone.values())
    return leaving, *(way for way in ways if same.isdisjoint(move.row.wish for move in way.moves))


def with_one_kept(
    sheet: GoalSheet, shelf: Shelf, found: Clashes, ways: tuple[Concession, ...]
) -> tuple[Concession, ...]:
    """Ways out with a design left out: before all others where designs clash with each other, else after them.

    What nobody would pour comes last of all.

    Args:
        sheet: the goals.
        shelf: the shelf.
        found: the clashes.
        ways: the ways out by moving figures.
    """
    clashing = [{member.within for member in one.members if member.origin == Origin.DESIGN} for one in found.clashes]
    if not any(clashing):
        return ways
    keep = tuple(map(leaving_out, keeping_one(sheet, shelf, Work(KEEPING_WORK))))
    every = (*keep, *ways) if any(len(names) > 1 for names in clashing) else (*ways, *keep)
    return tuple(sorted(every, key=lambda way: way.is_far))


def leaving_out(one: Without) -> Concession:
    """A way out that leaves designs out, with the lines that name those which are kept."""
    changes: list[Change] = []
    for design in one.left_out:
        kept = [item.name for item in one.kept if item.family == design.family]
        names = kept[0] if len(kept) == 1 else f"[{', '.join(kept)}]"
        line = f"{design.family}: {names}" if kept else ""
        line = "" if any(change.paste == line for change in changes) else line
        wish = WishId(Section(design.family), "", Side.EXACTLY, design.name)
        said = Said(f"{'design ' if design.family == 'design' else 'for '}{design.name}")
        changes.append(Change(wish, said, math.inf, math.inf, "", line, ""))
    return Concession(tuple(changes), one.cost_per_kg, one.is_lean, one.eases, one.is_far)


def in_lines(sheet: GoalSheet, programme: Programme, way: WayOut) -> Concession:
    """A way out in words and as the lines to write."""
    limits = {move.row.wish: move.value for move in way.moves}
    changes = []
    for row in (move.row for move in way.moves):
        where, line = paste(sheet, programme, row, limits)
        changes.append(Change(row.wish, row.said, row.limit, limits[row.wish], row.unit, line, where))
    return Concession(tuple(changes), way.cost_per_kg, way.is_lean, way.eases, way.is_far)


def clashes_of(programme: Programme) -> Clashes:
    """Every clash of a programme that holds no blend.

    Raises:
        SolverFault: the solver, asked warm and cold, says that all wishes can hold, where before it found no blend.
        Undecided: fats are counted, and the work ended before even one clash was found.
    """
    found = all_clashes(programme)
    if not found.clashes:
        found = all_clashes(programme, is_cold=True)
    if not found.clashes:
        raise SolverFault(
            "one search finds no blend that meets these goals, and another finds nothing that keeps them apart"
        )
    return found


def members_of(oracle: Oracle, clash: Clash) -> tuple[ClashMember, ...]:
    """The members of one clash, each with how far it could go with the others held, as long as there is work left."""
    members = []
    for member in clash.members:
        others = [name for name in clash.members if name != member]
        value = reached(oracle, member, others)
        row = whole([oracle.programme.rows[place] for place in oracle.programme.members[member]], value)
        members.append(
            ClashMember(
                id=member,
                said=row.said,
                line=row.span.line if row.span else None,
                span=row.span,
                why=row.why,
                reach=reach_words(row, value),
                gives=ruled_words(member, clash) or gives_words(row, value),
                limit=row.limit,
                reaches=value,
                unit=row.unit,
            )
        )
    return tuple(members)


def ruled_words(member: WishId, clash: Clash) -> str:
    """What is to be said of an additive or a liquid that the file itself rules out, and of what does; "" of all others."""
    for extra, tag in ruled_out([clash]).items():
        return "left out" if member == extra else f"which {extra.key} is not" if member == tag else ""
    return ""


def reached(oracle: Oracle, member: WishId, others: list[WishId]) -> float | None:
    """How far a wish's figure can go towards its limit with the others held; None where that has no answer or none yet."""
    if member == WHOLE_FATS:
        return None
    if not oracle.work.left:
        oracle.work.end()
        return None
    try:
        if is_on_each([oracle.programme.rows[place] for place in oracle.programme.members[member]]):
            return least_most(oracle, member, others)
        oracle.hold(others)
        return nearest(oracle, member)
    except Undecided:
        oracle.work.end()
        return None


def reach_words(row: Row, value: float | None) -> str:
    """The same as a sentence."""
    if value is None:
        return ""
    name, number = named(row), with_unit(row, value)
    some = "" if name.endswith(PLURALS) and row.unit != "fats" else "s"
    if row.origin == Origin.SHARE and not row.top.any():
        return f"{name}: none on this shelf"
    if row.origin == Origin.EXCLUSION:
        return f"at least {number} of the fats would have to be {row.figure}"
    if row.origin == Origin.BUYING:
        return f"at least {number} of the fats would have to be bought loose, by the kilo"
    if row.origin == Origin.STOCK:
        return f"at least {number} of {row.figure} would be needed"
    return {
        Side.AT_LEAST: f"{name} reach{'es' if some else ''} {number} at most",
        Side.AT_MOST: f"{name} come{some} down to {number} at best",
        Side.EXACTLY: f"{name} come{some} no nearer than {number}",
    }[row.side]


def gives_words(row: Row, value: float | None) -> str:
    """To which figure a wish would have to give way at the least, alone, for all others of its clash to hold."""
    none = row.origin == Origin.SHARE and not row.top.any()
    if value is None or none or row.origin in (Origin.EXCLUSION, Origin.STOCK, Origin.BUYING):
        return reach_words(row, value)
    if row.origin == Origin.SHARE and row.side == Side.AT_LEAST and value <= NOTHING:
        return "given up"
    number = with_unit(row, value)
    way = {Side.AT_LEAST: " or less", Side.AT_MOST: " or more"}.get(row.side, "")
    return f"to {number}{way}"


def named(row: Row) -> str:
    """What a row's figure is called."""
    if row.figure == "fats":
        return "the number of fats"
    if row.origin == Origin.PRACTICE:
        return row.said.subject
    known = quantities().get(row.figure)
    return known.words if known is not None else row.figure


def with_unit(row: Row, value: float) -> str:
    """How far a figure comes, as a person reads it: in as many digits as it takes to differ from the limit that it misses."""
    fine = row.figure == "cost" or row.unit in ("kg", "ratio") or row.scale <= 0.5
    digits = 0 if row.unit == "fats" else 2 if fine else 1
    text = told(value, row.limit, row.side, digits, met=keeps(value, row.limit, row.side))
    if row.unit == "fats":
        return text
    return text if row.unit in ("index", "ratio") else f"{text} {row.unit.strip()}"
