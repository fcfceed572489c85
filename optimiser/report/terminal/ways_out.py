"""The smallest changes that open a blend, in words, each with the line to write."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.measures.telling import WRITTEN
from optimiser.problem.wishes import Origin
from optimiser.report import words
from optimiser.report.terminal.page import Gap, Heading, Line

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import Change, Concession
    from optimiser.report.terminal.page import Part

FEW_LINES = 2  # that a way out changes, told beside ways that leave a design out
MOST_WAYS = 4


def ways_out(
    concessions: Sequence[Concession], currency: str, *, is_complete: bool = True, full: bool = False
) -> Iterator[Part]:
    """The smallest changes that open a blend, with what it costs and the line to write."""
    if not concessions:
        if not is_complete:
            yield Line("Ways out were looked for, but the search stopped before one was found.", indent=0)
            yield Gap()
        return
    keeping = [way for way in concessions if leaves_out(way)]
    yield Heading("Ways out" if keeping else "Ways out, smallest first")
    told = concessions if full else brief(concessions)
    for place, way in enumerate(told):
        yield from way_out(way, lettered(place), currency)
    if len(concessions) > len(told):
        yield Line(f"{len(concessions) - len(told)} more with --full.")
    if not is_complete:
        yield Line("There may be more, and smaller ones: the search stopped after these.")
    yield Gap()


def leaves_out(way: Concession) -> bool:
    """Whether a way out leaves a design out, or whom the bar is for, rather than move a figure."""
    return any(not change.id.key for change in way.changes)


def is_taken_out(change: Change) -> bool:
    """Whether what is written comes to the same as no line at all: nothing of an additive or a liquid, or at least nothing."""
    is_extra = change.id.origin in (Origin.ADDITIVE, Origin.LIQUID)
    is_share = change.id.origin == Origin.SHARE and change.id.side == Side.AT_LEAST
    return (is_extra or is_share) and change.after == 0.0


def brief(ways: Sequence[Concession]) -> list[Concession]:
    """The first few; beside those that leave a design out, all of which are told, only what changes few lines."""
    keeping = [way for way in ways if leaves_out(way)]
    if not keeping:
        return list(ways[:MOST_WAYS])
    others = [way for way in ways if not leaves_out(way) and len(way.changes) <= FEW_LINES]
    shown = others[: max(1, MOST_WAYS - len(keeping))]
    return [*keeping, *shown] if leaves_out(ways[0]) else [*shown, *keeping]


def lettered(place: int) -> str:
    """A to z, then aa, ab and so on."""
    first, last = divmod(place, 26)
    return (lettered(first - 1) if first else "") + chr(ord("a") + last)


def way_out(way: Concession, letter: str, currency: str) -> Iterator[Part]:
    """One way out: its changes, what the blend it opens costs, and what to write for each."""
    known = math.isfinite(way.cost_per_kg)
    price = f"a blend at {words.money(way.cost_per_kg)} {words.per(currency, 'kg')}" if known else "a blend"
    changes = words.joined([change_words(change) for change in way.changes])
    lean = ", likely lye-heavy: ordinary lots may leave free alkali in it" if way.is_lean else ""
    aside = f", in which {words.counted(len(way.eases), 'rule')} of the house stand{'s' if len(way.eases) == 1 else ''} aside"
    far = "; nobody would pour it" if way.is_far else ""
    yield Line(f"{letter}. {changes}: opens {price}{aside if way.eases else ''}{lean}{far}", hang=3)
    yield from pasted(way)


def pasted(way: Concession) -> Iterator[Part]:
    """The line to write for each change, and under which section."""
    if leaves_out(way) and not any(change.paste for change in way.changes):
        yield Line(f"take out its line, {way.changes[0].id.section}: {way.changes[0].id.within}", indent=5, hang=7)
    gone = [change for change in way.changes if is_taken_out(change)]
    for change in gone:
        yield Line(f"take out its line, {change.id.section}: {change.id.key}", indent=5, hang=7)
    told = [change for change in way.changes if change.paste and change not in gone]
    for told_where, line in dict.fromkeys((place_of(change), change.paste) for change in told):
        where = f"under {told_where}:" if told_where not in ("", "fats") else "write"
        yield Line(f"{where}  {line}", indent=5, hang=7, quoted=True)


def place_of(change: Change) -> str:
    """Where a line is to be pasted; a stock stands in the entry of its fat."""
    return f"{change.where}, in the entry of {change.id.key}" if change.id.origin == Origin.STOCK else change.where


def change_words(change: Change) -> str:
    """What moves, from where to where and how far; the far end never told tighter than it is."""
    if not (math.isfinite(change.before) and math.isfinite(change.after)):
        return f"leave out {change.said}" if not change.id.key else f"give up {change.said}"
    if is_taken_out(change):
        return f"leave out {change.id.key}" if change.id.origin != Origin.SHARE else f"give up {change.said}"
    if change.id.origin == Origin.BUYING:
        return "buy by the kilo what is neither in stock nor in packs"
    if change.id.origin == Origin.EXCLUSION:
        return f"let {change.id.key} fats in (up to {words.amount(change.after, change.unit)} of the fats)"
    decimals = words.decimals_of(change.unit)
    while (after := moved_to(change, decimals)) == round(change.before, decimals) and decimals < WRITTEN:
        decimals += 1
    distance = words.amount(round(abs(after - change.before), decimals), change.unit)
    way = "lower" if after < change.before else "higher"
    left = Side.AT_LEAST if after < change.before else Side.AT_MOST  # what it was is no longer met
    end = words.against(after, change.before, left, change.unit, met=False)
    return f"{change.said}, moved to {end} ({distance} {way})"


def moved_to(change: Change, decimals: int) -> float:
    """Where a wish moves, in so many decimals."""
    return round(eased(change.after, change.id.side, decimals) if change.id.names_its_side else change.after, decimals)


def eased(value: float, side: Side, decimals: int) -> float:
    """In so many decimals, on the easy side."""
    power = 10.0**decimals
    if side == Side.AT_LEAST:
        return math.floor(value * power + 1e-6) / power
    return math.ceil(value * power - 1e-6) / power if side == Side.AT_MOST else value
