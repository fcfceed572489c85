"""The program's answer to a drawn file beside the independent model's, figure by figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
from outside.independent import blends, clashing, drawing, giving, pinches
from outside.independent.asking import Cost, answer, aside
from outside.independent.giving import YIELDS
from outside.independent.reading import Question, read, tree
from outside.independent.solving import can_hold
from outside.independent.tables import Tree

from optimiser.answers.blend import answer as program_answer
from optimiser.answers.blend import feasibility
from optimiser.answers.results import Blend, NoBlend
from optimiser.report.json import documents as data

EVERYTHING = frozenset(
    {
        "feasibility",  # a blend or none, and a blend that meets every wish
        "alkali",
        "cost",
        "least counts",  # files that ask for at least so many fats, of which small ones count for nothing
        "ratio preferences",  # files with a preference on a ratio
        "shortfalls",
        "preference costs",
        "plain savings",  # of files without preferences and designs, where dropping a line saves something
        "savings",  # of every line of every file, with its sign
        "entry prices",
        "entry prices beside unmet preferences",
        "counted entry prices",
        "clashes",
        "concessions",
        "reach",
    }
)
"""All that can be compared."""

ANSWERED_ANEW = frozenset(
    {"plain savings", "savings", "preference costs"}
    | {"entry prices", "entry prices beside unmet preferences", "counted entry prices"}
)
"""What is told of files with other lines or prices."""
COST = 5e-6  # relative: what a hair of the cone of the lots may be worth
COST_PINNED = 2e-5  # the same beside a preference that is not met: a hair of room there may be worth so much
PINNED_AT_A_CONE = frozenset({"alkali", "feasibility", "clashes"})
"""Where preferences are held with a hair of room beside a cone, that hair may be worth more than can be compared."""
LEAST = 0.01  # a share from which a fat counts


@dataclass(frozen=True)
class File:
    """A drawn goal file and shelf, as text and as trees, and what is compared of the answers to them.

    Where `thorough`, nothing is left to a sample.
    """

    seed: int
    goals: Tree
    shelf: Tree
    question: Question
    checks: frozenset[str]
    thorough: bool
    rng: Random = field(repr=False)

    def some(self, listed: Iterable[Any], most: int) -> list[Any]:
        """A few of a list, or all."""
        every = list(listed)
        return every if self.thorough or len(every) <= most else self.rng.sample(every, most)


def compare(
    seed: int, folder: Path, checks: frozenset[str] = EVERYTHING, *, thorough: bool = False
) -> tuple[str, list[str]]:
    """Draw a file, have it answered twice, and tell what does not agree.

    Returns:
        "none", or "blend", "aside", "eased" or "tidied" by how the rules of the house stand in it, and a line for each
        disagreement.
    """
    goals, shelf = drawing.draw(seed)
    (folder / "shelf.yaml").write_text(shelf, encoding="utf-8")
    (folder / "bar.yaml").write_text(goals, encoding="utf-8")
    return compare_files(seed, folder / "bar.yaml", folder / "shelf.yaml", checks, thorough=thorough)


def compare_files(
    seed: int, bar: Path, shelf: Path, checks: frozenset[str] = EVERYTHING, *, thorough: bool = False
) -> tuple[str, list[str]]:
    """The same of two files as they stand."""
    goals, stock = tree(bar.read_text(encoding="utf-8")), tree(shelf.read_text(encoding="utf-8"))
    question = read(goals, stock)
    rng = Random(seed)  # noqa: S311
    told = program_answer(bar, shelf)
    if isinstance(told, NoBlend):
        if "feasibility" in checks and (can := blend_left(question)):
            return "none", [can]
        question = giving.hard(question)
        return "none", list(none(File(seed, goals, stock, question, told_of(question, checks), thorough, rng), told))
    status, question, wrong = what_gave_way(question, told)
    if wrong:
        return status, wrong
    checks = told_of(question, checks)
    if question.prefer and leans(question, told):
        checks &= PINNED_AT_A_CONE
    if status == "eased":  # other prices and lines are other rules that give way
        checks -= ANSWERED_ANEW
    if question.pinch is not None:
        checks -= ANSWERED_ANEW
        if "cost" in checks:
            wrong = list(pinches.disagreements(question, told))
    if settled := pinches.told_rows(question, told):
        question, status = question.with_(*settled), "tidied"
    file = File(seed, goals, stock, question, checks, thorough, rng)
    wrong += [*blend(file, told, answer(question)), *blends.room(file, told, bar, shelf), *agreed(bar, shelf)]
    return status, wrong


def blend_left(question: Question) -> str:
    """What is wrong with a word that there is no blend; nothing where there is none even without all that gives way."""
    least = giving.hard(question)
    return "none is told where there is a blend" if can_hold(least, least.wishes.values()) is True else ""


def what_gave_way(question: Question, told: Blend) -> tuple[str, Question, list[str]]:
    """The question with rules as they are told to stand: "blend", "aside" or "eased", and what is wrong with that."""
    eased = {item.rule: item.at for item in told.stood_aside if item.at is not None}
    is_aside = any(f"practice.{item.rule}.at_least" == YIELDS for item in told.stood_aside)
    if not eased and not is_aside:
        return "blend", question, []
    status = "eased" if eased else "aside"
    if can_hold(question, question.wishes.values()) is True:
        return status, question, ["rules give way that can be held"]
    order = ((falls, asked) for falls, asked in giving.in_order(question) if giving.elastic(asked).least() is not None)
    falls, asked = next(order, (is_aside, question))
    if falls != is_aside:
        how = "stands aside where others can give way for it" if is_aside else "is kept by others that give way"
        return status, question, [f"the floor under the likely superfat {how}"]
    gave = {name: at for name, at in eased.items() if not (is_aside and name == giving.SUPERFAT)}
    wrong = list(giving.disagreements(asked, gave))
    if wrong and (settled := pinches.told_rows(question, told)):  # rules that gave way to a blend without pinches
        wrong = list(giving.disagreements(asked.with_(*settled), gave))
    if wrong:
        return status, question, wrong
    question = giving.eased(question.without(YIELDS) if is_aside else question, eased)
    return status, aside(question) if is_aside else question, []


def leans(question: Question, told: Blend) -> bool:
    """Whether a blend stands at a limit on its likely superfat."""
    sides = [side for wish in question.wishes.values() for side in wish.sides if side.strays]
    return any(abs(told.alkali.superfat_likely_low - side.limit) < 1e-3 for side in sides)


def told_of(question: Question, checks: frozenset[str]) -> frozenset[str]:
    """What is compared of this file: where it asks for what is not compared, little is left."""
    if question.is_guessed:
        checks &= {"alkali"}
    least = any(wish.id in ("fats.at_least", "fats.exactly") for wish in question.wishes.values())
    each = min((wish.count for wish in question.wishes.values() if wish.id == "fats.each_at_least"), default=0.0)
    if least and "least counts" not in checks:
        checks &= {"alkali", "cost", "feasibility", "shortfalls"} if each >= LEAST else {"alkali"}
    if question.prefer and any(
        side.strays and wish.id != YIELDS for wish in question.wishes.values() for side in wish.sides
    ):
        checks &= PINNED_AT_A_CONE
    ratio = any(wish.sides[0].figure.bottom is not question.pot.one for wish in question.prefer)
    if ratio and "ratio preferences" not in checks:
        checks &= {"alkali", "feasibility", "reach", "clashes"}
    return checks


def agreed(bar: Path, shelf: Path) -> Iterator[str]:
    """Whether `feasible` says the same as `blend` of files that have one."""
    if isinstance(feasibility(bar, shelf), NoBlend):
        yield "feasible says none where blend has one"


def blend(file: File, told: Blend, mine: Cost | None) -> Iterator[str]:
    """A blend told, against the rows and the least cost."""
    if "alkali" in file.checks:
        yield from blends.alkali(file, told)
    if "feasibility" in file.checks:
        if can_hold(file.question, file.question.wishes.values()) is False:
            yield "a blend is told where there is none"
        yield from blends.meets(file, told)
    if mine is None:
        return
    if "shortfalls" in file.checks:
        yield from blends.shortfalls(file, told, mine)
    if blends.hangs_on_a_hair(file.question, mine):
        file = replace(file, checks=file.checks - ANSWERED_ANEW)
    if "cost" in file.checks:
        yield from same_cost("cost", told.cost.per_kg, mine)
        yield from blends.savings(file, told, mine)
        yield from blends.preference_costs(file, data.blend(told), mine)
        yield from blends.entry_prices(file, data.blend(told), mine)


def same_cost(what: str, told: float, mine: Cost) -> Iterator[str]:
    """A cost told against the least: no dearer, and no cheaper than can be."""
    room = (COST_PINNED if any(mine.shortfalls) else COST) * max(abs(told), 0.01)
    if not mine.least - room <= told <= mine.most + room:
        yield f"{what}: told {told:.9f}, the least is {mine.least:.9f} to {mine.most:.9f}"


def none(file: File, told: NoBlend) -> Iterator[str]:
    """No blend told: whether there is none, why, and what would mend it."""
    if "feasibility" in file.checks:
        if can_hold(file.question, file.question.wishes.values()) is True:
            yield "none is told where there is a blend"
        if not told.clashes:
            yield "none is told without a clash"
    if "clashes" in file.checks:
        yield from clashing.clashes(file, told)
    if "concessions" in file.checks:
        yield from clashing.concessions(file, told)


def is_close(one: float, other: float, room: float) -> bool:
    """Whether two figures agree, relative to their size from one upwards."""
    return bool(np.isfinite(one)) and abs(one - other) <= room * max(1.0, abs(one), abs(other))
