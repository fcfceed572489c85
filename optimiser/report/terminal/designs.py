"""Designs, and whom a bar may be for, in words: what each asks of the batter and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.problem.designs import STAGES
from optimiser.report import words
from optimiser.report.terminal.page import Gap, Heading, Line, Part

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.problem.designs import Design, DesignRow

TITLES = {"design": "Designs", "for": "For whom"}
WHEN = {
    "ready": "Beforehand: ",
    "apart": "Before the mould is filled: ",
    "top": "At the top: ",
    "after": "Out of the mould: ",
}
TRACES = {"light": "a light trace", "medium": "a medium trace", "thick": "a thick trace"}


def listing(designs: Sequence[Design]) -> Iterator[Part]:
    """Every design and every one a bar is for, a line each, and how to name them."""
    for family, title in TITLES.items():
        chosen = [design for design in designs if design.family == family]
        yield Heading(title, f"{family}: NAME in the goal file")
        for design in chosen:
            yield Line(f"{design.name}: {design.about}", hang=4)
        yield Gap()
    yield Line("Whatever you write under goals or shares replaces what a design asks on it.", indent=0)
    yield Line("Designs of your own go into a folder called designs, in the format of ours.", indent=0)
    yield Line("One of them with its reasons: barwright designs NAME", style="bold", indent=0)


def card(design: Design) -> Iterator[Part]:
    """One design with all that it asks, and why."""
    yield Heading(design.name, f"{design.family}: {design.name}")
    yield Line(design.about)
    others = design.names[1:]
    if others:
        yield Line(f"Also called {words.joined(others, 'or')}.")
    if design.batter:
        yield Line(f"The batter: {design.batter}", hang=4)
    if design.pour_to:
        open_for = f"; it must stay workable for about {design.workable:g} min" if design.workable else ""
        yield Line(f"Pour at {TRACES[design.pour_to]}{open_for}.")
    for title, told in (("Cover", design.cover), ("Cure", design.cure)):
        if told:
            yield Line(f"{title}: {told}", hang=4)
    yield Gap()
    yield from working(design)
    yield Heading("What it asks", "goals and shares of yours replace it")
    for says in dict.fromkeys(row_words(row) for row in design.rows):
        yield Line(says, hang=4)
    if design.sets_aside:
        yield Line(f"House practice stands aside on {words.joined(design.sets_aside, 'and')}.", hang=4)
    for choice in design.choices:
        yield Line(f"{choice.said}: {words.sentence(choice.why)} [{choice.status}] A choice of the batch.", hang=4)


def working(design: Design) -> Iterator[Part]:
    """Its own steps in order, each with when it is done where that is not the pour itself."""
    if not design.steps:
        return
    yield Heading("Its own steps", "--steps has them with your batch's figures")
    for stage in STAGES:
        for do in design.at(stage):
            yield Line(f"{WHEN.get(stage, '')}{words.sentence(do)}", hang=4)
    yield Gap()


def row_words(row: DesignRow) -> str:
    """A limit, both sides of it told as one, with its reason and how far it is to be trusted."""
    way = " Whom the bar is for may decide instead." if row.gives_way else ""
    return f"{words.both_sides(row.limit.said)}: {words.sentence(row.why)} [{row.status}]{way}"
