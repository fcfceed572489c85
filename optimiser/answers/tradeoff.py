"""`tradeoff`: what the limit on one figure costs, over all limits that it could have while the other goals hold."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import NamedTuple

from optimiser.analysis.conflicts import all_clashes
from optimiser.analysis.curve import Walk, Walked
from optimiser.analysis.laid_points import MOST_HALVINGS, Ask
from optimiser.analysis.stretches import Stretch
from optimiser.answers.blend import why_not
from optimiser.answers.curve_points import drawn, given_up, told_points
from optimiser.answers.curve_values import Curve, CurveEnd, CurvePiece
from optimiser.answers.moved_question import MovedQuestion, directions
from optimiser.answers.results import NoBlend
from optimiser.measures.sides import Side
from optimiser.model.moving import Moving, holding_preferences, moving
from optimiser.model.programme import Programme
from optimiser.problem.goals import near_to
from optimiser.problem.limits import Limit
from optimiser.problem.moved_limit import of_key
from optimiser.problem.question import Question
from optimiser.problem.wishes import Said
from optimiser.recipe import handling
from optimiser.solve.optimum import CRUMB
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.progress import about
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

DUST = 1e-7  # of the fats: a solver's nothing
HAIR = 1e-9  # of money: costs that are one
PARTS = 160  # limits at which a curve is drawn
MARKS = 12  # round limits that are told beside the breakpoints, at the most
BEYOND = (1e-3, 2e-2)  # of a limit: how far past the end it is asked why there is no blend
FURTHER = 1e-4  # of a limit: how far past the end it is asked whether there is more after all
CLASH_WORK = 1e6
NEAR_HALVINGS = 1  # of a part of a curve near to a recipe: each answer is a search for few changes, and between two it may jump anyway
SHORT = 1e-6  # of a range: an end is there


class Span(NamedTuple):
    """From which limit to which a curve is asked, and whether each end was named; else the ends are where they may be."""

    low: float
    high: float
    low_named: bool = False
    high_named: bool = False


def curve_of(question: Question, limit: Limit, span: Span) -> Curve | NoBlend:
    """The cost curve of one limit.

    Args:
        question: the goals, read from a file or made by `goals_of`, and the shelf.
        limit: the one that moves, with its side; should the goals have none on that side of its key it is one more.
        span: the limits that are asked for.

    Raises:
        SolverFault: the solver failed.
    """
    moved = MovedQuestion(question.goals, question.shelf, limit)
    held = next((one for one in of_key(question.goals, limit.key, limit.subject) if one.side == limit.side), None)
    loose = span.low if limit.side == Side.AT_LEAST else span.high
    begun = limit.value if held is not None else loose
    moved = moved._replace(limit=limit._replace(value=begun))
    free = moved.answered(begun, freed=True)
    if free.found is None:
        return no_blend_at(question, moved, begun)
    anchor = moved.value_of(free.found.point)
    ask = cache(moved.laid_at)
    walked: list[Walked] = []
    ends: list[CurveEnd] = []
    with about(lambda: f"walking along the curve: {sum(len(one.stretches) for one in walked)} stretches"):
        for up in directions(limit.side):
            start = start_of(limit.side, up, span, held, anchor)
            found = one_way(moved, start, span, up, ask)
            if found is not None and not found[0].stretches and limit.side != Side.EXACTLY:
                found = one_way(moved, loose, span, up, ask)  # it costs nothing as far as there is a blend
            if found is None:
                return no_blend_at(question, moved, start)
            walked.append(found[0])
            ends.append(found[1])
    stretches = tuple(stretch for one in walked for stretch in one.stretches)
    if not stretches:
        message = f"the other goals leave {limit.said.subject} at one figure alone, about {round(anchor, 6) + 0.0:.4g}"
        raise BadInput([Diagnostic(Code.USAGE, message, "ask for another figure, or let the others go a little")])
    up = directions(limit.side)[-1]
    easiest = stretches[0 if up > 0 else -1].state
    told = told_points(moved, stretches, up, held, ask)
    return Curve(
        title=question.goals.title,
        currency=question.shelf.currency,
        goal_file=question.goals.path,
        shelf_title=question.shelf.title,
        of=moved.wish,
        says=limit.said.subject,
        unit=limit.unit,
        side=limit.side,
        points=told,
        pieces=tuple(CurvePiece(one.low, one.high, one.at, one.money, one.cured, one.exact) for one in stretches),
        drawn=tuple(drawn(stretches)),
        ends=tuple(ends),
        free=free_to(stretches, anchor, up) if limit.side != Side.EXACTLY else None,
        now=held.value if held is not None else None,
        exact=all(one.exact for one in stretches),
        is_counted=bool(question.goals.fat_count),
        is_near=question.goals.near is not None,
        solves=sum(one.solves for one in walked),
        cautions=handling.without_recipe(),
        warnings=question.warnings,
        shelf_file=question.shelf.path,
        gives_way=given_up(easiest) if limit.side != Side.EXACTLY else (),
        near_to=near_to(question.goals),
    )


def free_to(stretches: Sequence[Stretch], anchor: float, up: int) -> float | None:
    """The limit up to which a curve is flat; None where it does not show the limit that costs nothing (`anchor`)."""
    if not stretches[0].low <= anchor <= stretches[-1].high:
        return None
    ordered = stretches if up > 0 else stretches[::-1]
    nothing = ordered[0].cost(ordered[0].low if up > 0 else ordered[0].high)
    flat = anchor
    for one in ordered:
        end = one.high if up > 0 else one.low
        if abs(one.cost(end) - nothing) > CRUMB:
            break
        flat = end if up * (end - flat) > 0.0 else flat
    return flat


def start_of(side: Side, up: int, span: Span, held: Limit | None, anchor: float) -> float:
    """Where a walk begins: at the end that was named, else where the limit costs nothing, or the file's own if that is easier."""
    if side == Side.EXACTLY:
        return min(max(anchor, span.low), span.high)
    if span.low_named if up > 0 else span.high_named:
        return span.low if up > 0 else span.high
    own = [held.value] if held is not None else []
    easiest = min([anchor, *own]) if up > 0 else max([anchor, *own])
    return min(max(easiest, span.low), span.high)


class Way(NamedTuple):
    """One way of a limit from `start`: to `asked`, or no further than there are blends (`hardest`).

    `written` is how hard it can be before rules of the house, or of whom the bar is for, give way.
    """

    start: float
    asked: float
    hardest: float
    written: float
    up: int
    named: bool

    def is_short_of(self, limit: float, other: float) -> bool:
        """Whether a limit is easier than another by more than a hair."""
        return self.up * (other - limit) > SHORT * max(1.0, abs(other))

    @property
    def stops_at_rules(self) -> bool:
        """Whether it ends where rules give way: it is not asked further, and there is a curve up to there."""
        further = self.is_short_of(self.written, self.hardest) and self.is_short_of(self.written, self.asked)
        return not self.named and further and self.is_short_of(self.start, self.written)

    @property
    def end(self) -> float:
        """Where to walk to."""
        if self.stops_at_rules:
            return self.written
        return self.asked if self.up * (self.hardest - self.asked) >= 0.0 else self.hardest


def one_way(moved: MovedQuestion, start: float, span: Span, up: int, ask: Ask) -> tuple[Walked, CurveEnd] | None:
    """The walk from a limit to harder ones, and its end; None where no blend has the first."""
    asked, named = (span.high, span.high_named) if up > 0 else (span.low, span.low_named)
    if not moved.may_be_asked(start):  # what costs nothing lies beyond what is known
        return Walked((), 0), CurveEnd(start, "unknown")
    known = moved.last_that_may_be_asked(start, asked)
    hardest = hardest_of(moved, moved.bare_at, start, known, up)
    if hardest is None or up * (hardest - start) < -SHORT * max(1.0, abs(start)):
        return None
    written = hardest_of(moved, moved.programme_at, start, known, up)
    way = Way(start, known, hardest, start if written is None else written, up, named)
    if not way.is_short_of(start, way.end):
        return Walked((), 0), end_of(moved, way, start, asked)
    programmes: dict[float, Programme] = {}

    def held_at(value: float) -> Programme:
        if value not in programmes:
            programmes[value] = holding_preferences(moved.programme_at(value))
        return programmes[value]

    families: Sequence[Moving] = moving(held_at, min(start, way.end), max(start, way.end), moved.kinks())
    walk = Walk(
        families=families,
        up=up,
        ask=ask,
        written_end=lambda: moved.hardest(held_at(start), up),
        work=Work(),
        follows=moved.is_plain(start) and moved.goals.near is None,
        halvings=MOST_HALVINGS if moved.goals.near is None else NEAR_HALVINGS,
    )
    found = walk.along(start, way.end)
    if not found.stretches:
        return None
    reached = found.stretches[-1].high if up > 0 else found.stretches[0].low
    return found, end_of(moved, way, reached, asked)


def hardest_of(
    moved: MovedQuestion, rows: Callable[[float], Programme], start: float, stop: float, up: int
) -> float | None:
    """How hard the limit can be on the way to another; what it asks for may let more of itself in, as a lever's next piece.

    Args:
        moved: the question.
        rows: the programme at a limit: as written, or without all that gives way.
        start: from where.
        stop: to where.
        up: which way it gets harder.
    """
    hardest = moved.hardest(rows(start), up)
    while hardest is not None and up * (stop - hardest) > 0.0:
        beyond = hardest + up * FURTHER * max(1.0, abs(hardest))
        further = moved.hardest(rows(beyond), up) if up * (stop - beyond) > 0.0 else None
        if further is None or up * (further - beyond) <= 0.0:
            break
        hardest = further
    return hardest


def end_of(moved: MovedQuestion, way: Way, reached: float, asked: float) -> CurveEnd:
    """Why a curve ends where it does at its hard end; `asked` is how far it was asked, whatever is known there."""
    if not way.is_short_of(reached, asked):
        return CurveEnd(asked, "asked" if way.named else "scale")
    if way.stops_at_rules and not way.is_short_of(reached, way.written):
        beyond = moved.laid_at(reached + way.up * FURTHER * max(1.0, abs(reached)))
        onward = way.hardest if way.is_short_of(way.hardest, way.asked) else way.asked
        stands = against(moved, onward, way.up) if onward == way.hardest else ()
        return CurveEnd(reached, "rules", stands, () if beyond is None else beyond.state.gave_way, onward)
    if not way.is_short_of(reached, way.asked):
        return CurveEnd(reached, "unknown")
    return CurveEnd(reached, "blend", against(moved, reached, way.up))


def against(moved: MovedQuestion, reached: float, up: int) -> tuple[Said, ...]:
    """The wishes that leave no blend with a harder limit: the fewest that were found."""
    for part in BEYOND:
        try:
            programme = moved.bare_at(reached + up * part * max(1.0, abs(reached)))
            found = all_clashes(programme, work=Work(CLASH_WORK))
        except (BadInput, SolverFault):
            return ()
        clashes = [clash.members for clash in found.clashes if moved.wish in clash.members]
        if clashes:
            return tuple(programme.row_of(member).said for member in min(clashes, key=len) if member != moved.wish)
    return ()


def no_blend_at(question: Question, moved: MovedQuestion, value: float) -> NoBlend:
    """Why there is no blend at a limit."""
    asked = moved.answered(value)
    if asked.found is None:
        return why_not(question._replace(goals=asked.sheet), asked.programme)
    asked = moved.answered(value, freed=True)
    return why_not(question._replace(goals=asked.sheet), asked.programme)
