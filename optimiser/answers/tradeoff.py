"""`tradeoff`: what the limit on one figure costs, over all limits that it could have while the other goals hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from optimiser.analysis.conflicts import all_clashes
from optimiser.analysis.curve import Walk, Walked
from optimiser.analysis.stretches import AS_WRITTEN, Stretch
from optimiser.answers.blend import why_not
from optimiser.answers.curve_values import Curve, CurveEnd, CurvePoint, Drawn
from optimiser.answers.moved_question import MovedQuestion, directions
from optimiser.answers.results import NoBlend
from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.moving import Moving, holding_preferences, moving
from optimiser.model.programme import Programme
from optimiser.problem.house_rules import least_share, names_fat
from optimiser.problem.limits import Limit
from optimiser.problem.moved_limit import of_key
from optimiser.problem.question import Question
from optimiser.problem.wishes import Said, WishId
from optimiser.recipe import handling
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.pinches import BODY, OF_A_LEVER
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
    walked: list[Walked] = []
    ends: list[CurveEnd] = []
    with about(lambda: f"walking along the curve: {sum(len(one.stretches) for one in walked)} stretches"):
        for up in directions(limit.side):
            start = start_of(limit.side, up, span, held, anchor)
            found = one_way(moved, start, span, up)
            if found is not None and not found[0].stretches and limit.side != Side.EXACTLY:
                found = one_way(moved, loose, span, up)  # it costs nothing as far as there is a blend
            if found is None:
                return no_blend_at(question, moved, start)
            walked.append(found[0])
            ends.append(found[1])
    stretches = tuple(stretch for one in walked for stretch in one.stretches)
    if not stretches:
        message = f"the other goals leave {limit.said.subject} at one figure alone, about {anchor:.4g}"
        raise BadInput([Diagnostic(Code.USAGE, message, "ask for another figure, or let the others go a little")])
    up = directions(limit.side)[-1]
    easiest = stretches[0 if up > 0 else -1].state
    told = told_points(moved, stretches, up, held)
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
        drawn=tuple(drawn(stretches)),
        ends=tuple(ends),
        free=anchor if limit.side != Side.EXACTLY and stretches[0].low <= anchor <= stretches[-1].high else None,
        now=held.value if held is not None else None,
        exact=all(one.exact for one in stretches),
        is_counted=bool(question.goals.fat_count),
        solves=sum(one.solves for one in walked),
        cautions=handling.without_recipe(),
        warnings=question.warnings,
        shelf_file=question.shelf.path,
        gives_way=(*easiest.gave_way, *easiest.short) if limit.side != Side.EXACTLY else (),
    )


def start_of(side: Side, up: int, span: Span, held: Limit | None, anchor: float) -> float:
    """Where a walk begins: at the end that was named, else where the limit costs nothing, or the file's own if that is easier."""
    if side == Side.EXACTLY:
        return min(max(anchor, span.low), span.high)
    if (span.low_named if up > 0 else span.high_named):
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
        return not self.named and self.is_short_of(self.start, self.written) and self.is_short_of(self.written, self.hardest)

    @property
    def end(self) -> float:
        """Where to walk to."""
        if self.stops_at_rules:
            return self.written
        return self.asked if self.up * (self.hardest - self.asked) >= 0.0 else self.hardest


def one_way(moved: MovedQuestion, start: float, span: Span, up: int) -> tuple[Walked, CurveEnd] | None:
    """The walk from a limit to harder ones, and its end; None where no blend has the first."""
    asked, named = (span.high, span.high_named) if up > 0 else (span.low, span.low_named)
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
        ask=cache(moved.laid_at),
        written_end=lambda: moved.hardest(held_at(start), up),
        work=Work(),
        follows=moved.is_plain(start),
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


# -- points ----------------------------------------------------------------------------------------------------------


class Seen(NamedTuple):
    """What is told of a stretch: its fats, the wishes at their limits, and what gave way."""

    fats: frozenset[str]
    binds: frozenset[WishId]
    gave: tuple[Said, ...]


def told_points(
    moved: MovedQuestion, stretches: Sequence[Stretch], up: int, held: Limit | None
) -> tuple[CurvePoint, ...]:
    """The points of a curve: its ends, its breakpoints, the file's own limit, and round limits between, limits rising."""
    low, high = stretches[0].low, stretches[-1].high
    programme = moved.programme_at(0.5 * (low + high))
    breaks = dict(breakpoints(moved, programme, stretches, up))
    limits = {low, high, *breaks, *(round_limits(low, high)), *laid_limits(stretches)}
    if held is not None and low <= held.value <= high:
        limits.add(held.value)
    out = []
    for limit in sorted(limits):
        stretch = at(stretches, limit, up)
        fats = shares(programme, stretch.point(limit))
        cost = stretch.cost(limit)
        plain = CurvePoint(limit, cost, breakpoint=False, exact=stretch.exact, fats=fats)
        point = breaks.get(limit, plain)._replace(
            each_more=None if stretch.is_laid or limit == (high if up > 0 else low) else up * stretch.slope(limit),
            poured=None if stretch.is_laid else poured_at(moved, programme, stretch.cost(limit), limit, fats),
        )
        out.append(point)
    return tuple(out)


def at(stretches: Sequence[Stretch], limit: float, up: int) -> Stretch:
    """The stretch that begins at a limit or holds it, as the limit gets harder."""
    inside = [one for one in stretches if one.low <= limit <= one.high]
    return inside[-1] if up > 0 else inside[0]


def breakpoints(
    moved: MovedQuestion, programme: Programme, stretches: Sequence[Stretch], up: int
) -> Iterator[tuple[float, CurvePoint]]:
    """The limits at which a curve changes, each with what changes as the limit gets harder."""
    for below, above in pairwise(stretches):
        easy, hard = (below, above) if up > 0 else (above, below)
        limit = above.low
        if easy.is_laid and hard.is_laid and easy.state == hard.state:
            continue
        before, after = seen(programme, easy), seen(programme, hard)
        bends = abs(easy.slope(limit) - hard.slope(limit)) > HAIR * max(1.0, abs(hard.slope(limit)))
        if not bends and (before.fats, before.gave) == (after.fats, after.gave):  # what binds may change hands for nothing
            continue
        others = {moved.wish}
        laid = easy.is_laid or hard.is_laid  # what binds is then known of single answers alone
        yield (
            limit,
            CurvePoint(
                limit=limit,
                cost_per_kg=hard.cost(limit),
                breakpoint=True,
                exact=hard.exact and easy.exact,
                fats=shares(programme, hard.point(limit)),
                comes_in=tuple(sorted(after.fats - before.fats)),
                goes=tuple(sorted(before.fats - after.fats)),
                binds=() if laid else said_of(programme, after.binds - before.binds - others),
                frees=() if laid else said_of(programme, before.binds - after.binds - others),
                gives_way=tuple(item for item in after.gave if item not in before.gave),
                kept_again=tuple(item for item in before.gave if item not in after.gave),
            ),
        )


def seen(programme: Programme, stretch: Stretch) -> Seen:
    """What is told of a stretch, by its middle."""
    point = stretch.point(0.5 * (stretch.low + stretch.high))
    fats = frozenset(name for name, share in shares(programme, point) if share > 100.0 * DUST)
    state = AS_WRITTEN if stretch.state == AS_WRITTEN else stretch.state
    return Seen(fats, stretch.binds, (*state.gave_way, *state.short))


def said_of(programme: Programme, wishes: frozenset[WishId]) -> tuple[Said, ...]:
    """The words of wishes, in the order of the rows; those that say no more than which fats are in are left out."""
    return tuple(programme.row_of(name).said for name in programme.members if name in wishes)


def shares(programme: Programme, point: Vector) -> tuple[tuple[str, float], ...]:
    """The fats of a blend with their shares (%), the largest first; lots of one fat together."""
    found: dict[str, float] = {}
    for fat, share in zip(programme.columns.fats, point[: programme.columns.count].tolist(), strict=True):
        found[fat.name] = found.get(fat.name, 0.0) + 100.0 * share
    used = [(name, share) for name, share in found.items() if share > 100.0 * DUST]
    return tuple(sorted(used, key=lambda item: (-item[1], item[0])))


def poured_at(
    moved: MovedQuestion, programme: Programme, cost: float, limit: float, fats: Sequence[tuple[str, float]]
) -> float | None:
    """What `blend` answers costs where it leaves a pinch out; None where the blend holds none, or none is left out."""
    sheet = moved.sheet_at(limit)
    least = least_share(sheet)
    kinds = {fat.name: fat.kind for fat in programme.columns.fats}
    if least is None or all(
        share >= least * (1.0 if kinds[name] in BODY else OF_A_LEVER) or names_fat(sheet, name, 0.0)
        for name, share in fats
    ):
        return None
    found = moved.poured(limit)
    return None if found is None or found <= cost * (1.0 + DUST) else found


def laid_limits(stretches: Sequence[Stretch]) -> Iterator[float]:
    """The limits at which a curve that is laid was answered."""
    for one in stretches:
        if one.is_laid:
            yield one.low
            yield one.high


def round_limits(low: float, high: float) -> Iterator[float]:
    """Limits that a person would write, at most a dozen between two."""
    width = high - low
    step = next(
        size * 10.0**power
        for power in range(-9, 9)
        for size in (1.0, 2.0, 5.0)
        if width / (size * 10.0**power) <= MARKS
    )
    first = int(low // step) + 1
    yield from (round(place * step, 9) for place in range(first, int(high // step) + 1) if low < place * step < high)


def drawn(stretches: Sequence[Stretch]) -> Iterator[Drawn]:
    """Limits and costs close enough to draw a line by."""
    width = stretches[-1].high - stretches[0].low
    for one in stretches:
        parts = 1 if one.is_laid else max(1, round(PARTS * (one.high - one.low) / width))
        for part in range(parts + 1):
            limit = one.low + (one.high - one.low) * part / parts
            yield Drawn(limit, one.cost(limit), one.is_laid)
