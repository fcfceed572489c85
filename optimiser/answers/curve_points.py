"""The points of a cost curve that are told: its ends, its breakpoints with what changes at each, round limits between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from optimiser.analysis.laid_points import Ask
from optimiser.analysis.stretches import State, Stretch
from optimiser.answers.curve_values import CurvePoint, Drawn
from optimiser.answers.moved_question import MovedQuestion
from optimiser.maths.arrays import Vector
from optimiser.model.nearness import is_nearness
from optimiser.model.programme import Programme
from optimiser.problem.house_rules import least_share, names_fat, of_least
from optimiser.problem.limits import Limit
from optimiser.problem.wishes import Said, WishId

DUST = 1e-7  # of the fats: a solver's nothing
HAIR = 1e-9  # of money: costs that are one
PARTS = 160  # into which a curve is parted to be drawn
MARKS = 12  # round limits that are told beside the breakpoints, at the most


class Seen(NamedTuple):
    """What is told of a stretch: its fats, the wishes at their limits, and what gave way."""

    fats: frozenset[str]
    binds: frozenset[WishId]
    gave: tuple[Said, ...]


def told_points(
    moved: MovedQuestion, stretches: Sequence[Stretch], up: int, held: Limit | None, ask: Ask
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
        answer = ask(limit) if stretch.is_laid and moved.goals.near is not None else None
        fats = shares(programme, stretch.point(limit) if answer is None else answer.point)
        cost = stretch.cost(limit) if answer is None else answer.cost
        plain = CurvePoint(limit, cost, breakpoint=False, exact=stretch.exact, fats=fats)
        point = breaks.get(limit, plain)._replace(
            cost_per_kg=cost,
            fats=fats,
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
        if not bends and (before.fats, before.gave) == (
            after.fats,
            after.gave,
        ):  # what binds may change hands for nothing
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
    return Seen(fats, stretch.binds, given_up(stretch.state))


def given_up(state: State) -> tuple[Said, ...]:
    """The rules that gave way and the maker's preferences that fall short; nearness to a recipe is told by itself."""
    return tuple(said for said in (*state.gave_way, *state.short) if not is_nearness(said))


def said_of(programme: Programme, wishes: frozenset[WishId]) -> tuple[Said, ...]:
    """The words of wishes, in the order of the rows; those that say no more than which fats are in are left out."""
    return tuple(programme.row_of(name).said for name in programme.members if name in wishes)


def shares(programme: Programme, point: Vector) -> tuple[tuple[str, float], ...]:
    """The fats of a blend with their shares (%), the largest first; lots of one fat together."""
    found: dict[str, float] = {}
    for fat, share in zip(programme.columns.fats, point[: programme.columns.count].tolist(), strict=True):
        found[fat.known_as] = found.get(fat.known_as, 0.0) + 100.0 * share
    used = [(name, share) for name, share in found.items() if share > 100.0 * DUST]
    return tuple(sorted(used, key=lambda item: (-item[1], item[0])))


def poured_at(
    moved: MovedQuestion, programme: Programme, cost: float, limit: float, fats: Sequence[tuple[str, float]]
) -> float | None:
    """What `blend` answers costs where it leaves a pinch out; None where the blend holds none, or none is left out."""
    sheet = moved.sheet_at(limit)
    least = least_share(sheet)
    kinds = {fat.known_as: fat.kind for fat in programme.columns.fats}
    if least is None or all(
        share >= least * of_least(sheet, kinds[name]) or names_fat(sheet, name, 0.0) for name, share in fats
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
