"""What gave way so far that nobody would pour the blend: one loud sentence at the top, and what brings it back."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.report import words
from optimiser.report.terminal.page import Gap, Line, Part
from optimiser.report.terminal.ways_out import change_words, leaves_out, pasted

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import Concession, FarOff, Feasible

MOST_NAMED = 3  # rules that the sentence names


def block(found: Sequence[FarOff], currency: str, goal_file: str) -> Iterator[Part]:
    """Each in a sentence, then the wishes whose easing brings every rule back, with the lines to write."""
    if not found:
        return
    for one in found:
        yield Line(f"! {loud(one, currency)}", style="bold red", indent=0, hang=2)
    ways = found[0].ways
    every = "the other rules" if any(way.eases for way in ways) else "every rule"
    back = "to have one of them whole" if any(leaves_out(way) for way in ways) else f"what brings {every} back"
    for way in ways:
        yield Line(words.sentence(way_words(way, back if way is ways[0] else "") + opens(way, currency)), hang=2)
        yield from pasted(way)
    if any(one.of_share for one in found):
        yield Line("To see what it is with the shelf to itself, and what brings the rules back:", hang=2)
        yield Line(f"barwright blend {words.quoted(goal_file)}", style="bold", indent=4, whole=True)
    elif not ways:
        yield Line("No change of one or two of your lines was found that brings all the rules back.", hang=2)
    yield Gap()


def sentences(story: Feasible) -> Iterator[Part]:
    """What a blend would say first, where goals are asked for no more than whether there is one."""
    for one in story.far_off:
        yield Line(f"! {loud(one, story.currency)}", style="bold red", indent=0, hang=2)


def loud(one: FarOff, currency: str) -> str:
    """What is not met, and that it matters."""
    mine = f"for {one.whom}: "
    named = [words.as_it_stands(rule).removeprefix(mine) for rule in one.missed[:MOST_NAMED]]
    further = len(one.missed) - len(named)
    rules = "; ".join([*named, *([f"{further} more"] if further else [])])
    if not one.whom:
        left = " with what the other bars leave" if one.of_share else ""
        return f"Nobody would pour this: to meet your goals{left} it goes far beyond the rules of the house: {rules}."
    cost = ""
    if one.cost_per_kg is not None:
        money = math.ceil(100.0 * one.cost_per_kg - 1e-6) / 100.0
        cost = f" With {words.money(money)} {words.per(currency, 'kg')} it would be."
    return f"For {one.whom} is not met: {rules}.{cost}"


def way_words(way: Concession, back: str) -> str:
    """Which wishes bring the rules back; `back` says so before the first."""
    changes = words.joined([change_words(change) for change in way.changes])
    return f"{back}: {changes}" if back else f"or {changes}"


def opens(way: Concession, currency: str) -> str:
    """What the blend costs that a way opens."""
    if not math.isfinite(way.cost_per_kg):
        return ""
    return f": a blend at {words.money(way.cost_per_kg)} {words.per(currency, 'kg')}"
