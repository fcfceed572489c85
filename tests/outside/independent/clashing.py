"""Clashes and concessions told, against what scipy says can hold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from outside.independent import editing, giving
from outside.independent.asking import Cost, GivesWay, answer, yielding
from outside.independent.giving import YIELDS
from outside.independent.reading import Question, read
from outside.independent.solving import can_hold

from optimiser.answers.results import NoBlend

if TYPE_CHECKING:
    from outside.independent.comparing import File

SOME_CLASHES, SOME_WAYS, SOME_CONCESSIONS = 4, 6, 3
MOST_WAYS = 400
COST = 5e-6  # relative: what a hair of the cone of the lots may be worth
DEARER = 1.05  # how dear a blend without pinches may be beside the cheapest
COST_AT_A_CONE = 1e-3  # a way out opens a cone by a hair, and blends in it then spread as the root of that


def holds(question: Question, names: Iterable[str]) -> bool | None:
    """Whether wishes by name can hold together; a name may be that of a line that is on each fat."""
    return can_hold(question, [question.wishes[one] for name in names for one in lines(question).get(name, (name,))])


def lines(question: Question) -> dict[str, list[str]]:
    """The wishes of each line that is on every fat by itself, by the name that the line has: practice.one fat.at_most."""
    found: dict[str, list[str]] = {}
    for name in question.wishes:
        section, _, rest = name.partition(".")
        if section == "practice" and rest.count(".") == 2 and not question.wishes[name].gives:
            found.setdefault(f"practice.{rest.partition('.')[2]}", []).append(name)
    return found


def clashes(file: File, told: NoBlend) -> Iterator[str]:
    """Each clash told cannot hold and could without any one of its members; and there is no other."""
    question = file.question
    sets = [frozenset(str(member.id) for member in clash) for clash in told.clashes]
    together = lines(question)
    known = set(question.wishes) - {one for ones in together.values() for one in ones} | together.keys()
    unknown = sorted(set().union(*sets) - known) if sets else []
    if unknown:
        yield f"clash of wishes that are not in the file: {unknown}"
        return
    if len(set(sets)) < len(sets):
        yield "a clash is told twice"
    for clash in file.some(sets, SOME_CLASHES):
        if holds(question, clash) is True:
            yield f"no clash: {sorted(clash)}"
        yield from (
            f"not the smallest: {sorted(clash)} without {name}"
            for name in sorted(clash)
            if holds(question, clash - {name}) is False
        )
    if not told.complete:
        return
    everything = frozenset(known)
    ways = hitting_sets(sets)
    for way in file.some(sorted(ways, key=sorted), SOME_WAYS):
        if holds(question, everything - way) is False:
            yield f"a clash is missing: without {sorted(way)} there is still no blend"


def cheaper_than_any(question: Question) -> Cost | None:
    """What no blend can be cheaper than, whatever gives way to how far."""
    found = answer(replace(question, prefer=(), may=()))
    return None if found is None else Cost(np.inf, found.least)


def hitting_sets(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """The smallest sets with a member in each of some sets (Berge); none of them twice.

    Of a great many only some: a set that hits every clash told leaves wishes that can hold, or a clash is missing.
    """
    found: set[frozenset[str]] = {frozenset()}
    for clash in sets:
        hit = {way for way in found if way & clash}
        wider = {way | {name} for way in found - hit for name in clash}
        found = hit | {way for way in wider if not any(other < way for other in (hit | wider))}
        if len(found) > MOST_WAYS:
            found = set(sorted(found, key=lambda way: (len(way), sorted(way)))[:MOST_WAYS])
    return list(found)


def concessions(file: File, told: NoBlend) -> Iterator[str]:
    """Each concession, written into the files, opens a blend at the cost that it names."""
    for offer in file.some(told.concessions, SOME_CONCESSIONS):
        goals, shelf = file.goals, file.shelf
        for change in offer.changes:
            if not change.paste:  # its line is taken out
                goals = {key: value for key, value in goals.items() if key != str(change.id.section)}
                continue
            goals, shelf = editing.pasted(goals, shelf, change.where, change.paste, str(change.id))
        what = "; ".join(f"{change.where}: {change.paste}" for change in offer.changes)
        question = read(goals, shelf)
        least = giving.hard(question)
        if can_hold(least, least.wishes.values()) is False:
            yield f"a concession opens nothing: {what}"
            continue
        try:
            mine = yielding(question)
        except GivesWay:
            mine = cheaper_than_any(least)
        leans = any(side.strays and wish.id != YIELDS for wish in question.wishes.values() for side in wish.sides)
        room = (COST_AT_A_CONE if leans else COST) * offer.cost_per_kg
        ratio = any(wish.sides[0].figure.bottom is not question.pot.one for wish in question.prefer)
        if ratio and "ratio preferences" not in file.checks:
            continue
        dearer = 1.0 if question.pinch is None else DEARER
        if mine is not None and not mine.least - room <= offer.cost_per_kg <= mine.most * dearer + room:
            yield f"a concession costs {mine.least:.9f} to {mine.most:.9f}, told {offer.cost_per_kg:.9f}: {what}"
