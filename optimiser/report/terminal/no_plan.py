"""Why several bars cannot all be made, in words: what would make a plan, then which wishes clash, across bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.planning.blocks import SIZE
from optimiser.problem.wishes import Origin, Section
from optimiser.report import words
from optimiser.report.terminal.no_blend import sentence
from optimiser.report.terminal.page import Gap, Heading, Line, Part
from optimiser.report.terminal.plan import kilos

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.plan_results import NoPlan, PlanClash, PlanMember, PlanWay

MOST_TOLD = 3
MOST_WAYS = 6
NOT_SOLD = "A fat of which the shelf tells neither stock nor packs is not to be had so: tell its packs: there, or write buy: any here."


def parts(story: NoPlan, *, full: bool = False) -> Iterator[Part]:
    """The whole answer."""
    yield Line("These bars cannot all be made from this shelf.", style="bold red", indent=0)
    yield Gap()
    yield Heading(story.title or "Plan", words.path(story.plan_file))
    if story.shelf_title:
        yield Line(f"over {story.shelf_title}")
    yield Gap()
    yield from alone(story)
    yield from ways(story, full=full)
    told = story.clashes if full else story.clashes[:MOST_TOLD]
    for number, clash in enumerate(told, start=1):
        yield from one_clash(clash, number, len(story.clashes), complete=story.complete)
    if len(told) < len(story.clashes):
        yield Line(f"{words.counted(len(story.clashes) - len(told), 'more clash', 'more clashes')}: --full.")
    if story.clashes:
        exact = all(clash.exact for clash in story.clashes)
        yield Line(
            "That these clash is checked in exact arithmetic."
            if exact
            else "That some of these clash is the solver's word.",
            indent=0,
        )
        if not story.complete:
            yield Line("The search ended before every clash was found; there may be others.", indent=0)


def alone(story: NoPlan) -> Iterator[Part]:
    """Bars that have no blend even with the shelf to themselves."""
    for name, why in story.alone:
        yield Line(f"{name} has no blend even with the shelf to itself:", style="bold", hang=2)
        for clash in why.clashes[:1]:
            yield Line(sentence(clash), hang=2, indent=4)
            if any(member.origin == Origin.BUYING for member in clash):
                yield Line(NOT_SOLD, hang=2, indent=4)
        yield Line(f"barwright blend {words.quoted(why.goal_file)}", style="bold", whole=True)
        yield Gap()


def ways(story: NoPlan, *, full: bool) -> Iterator[Part]:
    """What would make a plan, the smallest change first."""
    if not story.ways:
        if story.clashes:
            yield Line("No one change by itself makes a plan.")
            yield Gap()
        return
    told = story.ways if full else story.ways[:MOST_WAYS]
    yield Heading("Any one of these makes a plan")
    for way in told:
        yield Line(f"- {way_sentence(way, story.currency)}", hang=2)
    if len(told) < len(story.ways):
        yield Line(f"{words.counted(len(story.ways) - len(told), 'more way')}: --full.")
    if not story.ways_complete:
        yield Line("The search ended before every way was tried.")
    yield Gap()


def way_sentence(way: PlanWay, currency: str) -> str:
    """One change."""
    cost = f" (all batches then {words.priced(way.cost, currency)})" if way.cost is not None else ""
    if way.id.key == SIZE:
        return f"{way.bar}: make {number(way.after)} {way.unit}, not {number(way.before)}{cost}"
    if way.id.section == Section.STOCK:
        more, (fat, there) = way.after - way.before, way.whole or (way.id.key, way.before)
        return f"{kilos(more)} more of {fat}: {kilos(there + more)} in place of {kilos(there)}{cost}"
    figure = words.figure(way.after, way.unit)
    return f"{way.bar}: {way.says}: {figure} in its place{cost}"


def number(value: float) -> str:
    """How much is made, as a person writes it."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def one_clash(clash: PlanClash, place: int, of: int, *, complete: bool) -> Iterator[Part]:
    """One clash: what is needed of what is scarce, then its lines."""
    yield Heading(f"Clash {place} of {of}" if complete else f"Clash {place}")
    who = words.joined(list(clash.bars)) if clash.bars else "The bars"
    several = len(clash.bars) > 1
    for need in clash.needs:
        together = " together" if several else ""
        needs = "need" if several else "needs"
        much = "more" if need.needed_kg is None else kilos(need.needed_kg)
        there = (
            f"{kilos(need.there_kg)} {'is' if need.there_kg == 1.0 else 'are'} there"
            if need.there_kg
            else "none is there"
        )
        yield Line(f"{who}{together} {needs} {much} of {need.fat}; {there}.", style="bold", hang=2)
    for member in clash.members:
        if member.id.section != Section.STOCK:
            yield Line(f"- {member_line(member)}", hang=2)
    yield Gap()


def member_line(member: PlanMember) -> str:
    """One wish of a clash, where it stands and how far it could go."""
    says = member.says if member.id.key == SIZE else f"{member.bar}: {member.says}"
    where = f" ({words.path(member.file)}, line {member.line})" if member.line else ""
    return f"{says}{where}{f'; {member.reach}' if member.reach else ''}"
