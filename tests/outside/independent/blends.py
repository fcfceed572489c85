"""A blend told, against the independent model: its rows, alkali, savings, preferences, entry prices, and reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from outside.independent import editing, pinches, tables
from outside.independent.asking import Cost, GivesWay, answered, extreme, yielding
from outside.independent.giving import YIELDS
from outside.independent.pot import Figure, Vector
from outside.independent.reading import Question, Side, Wish, read
from outside.independent.solving import programme

from optimiser.answers.reach import reach as program_reach
from optimiser.answers.reach_results import Reach, ReachLine
from optimiser.answers.results import Blend

if TYPE_CHECKING:
    from outside.independent.comparing import File

Saved = tuple[float, float]
MET = 1e-5  # of a limit, from one upwards: how far a recipe may miss it
MONEY, MONEY_PINNED = 5e-6, 5e-5  # a saving is a difference of two costs; beside a preference that is not met
SOME_RULES, SOME_LINES, SOME_FATS, SOME_REACH = 3, 10, 2, 8
EVERY_REACH = 4  # one file in so many is asked for its reach
HAIR = 1e-3  # relative: a price a little below or above the one told
CENT = 1e-4  # money per kg: prices are told to a hundredth of a cent
CRUMB, CRUMB_PINNED = 1e-7, 1e-5  # relative: a cost that has not changed; where a preference that is not met is held
SODIUM, POTASSIUM, OXYGEN, HYDROGEN = 22.98977, 39.0983, 15.999, 1.008  # IUPAC 2021, abridged, from memory
WEIGHTS = 1e-4  # relative: saponification values are counted with 56.1 or 56.106 g/mol here and there


def amounts(file: File, told: Blend) -> Vector:
    """The blend told, for a kilo of fats."""
    pot = file.question.pot
    grams = {line.fat: line.grams for line in told.fats} | {line.additive: line.grams for line in told.additives}
    grams |= {line.liquid: line.grams for line in told.liquids}
    names = [item.figures.name for item in pot.fats]
    listed = [grams.get(name, 0.0) for name in names]
    lye = [told.alkali.sodium_hydroxide_pure, told.alkali.potassium_hydroxide_pure, told.water.total]
    extra = [grams.get(item.name, 0.0) for item, _ in pot.additives]
    return np.array([*listed, *lye, *extra]) / sum(listed)


def meets(file: File, told: Blend) -> Iterator[str]:
    """The recipe meets every wish and physics, and costs what is told."""
    question, blend = file.question, amounts(file, told)
    pot = question.pot
    sides = [("physics", side) for side in question.physics]
    sides += [(wish.id, side) for wish in question.wishes.values() for side in wish.sides]
    for name, side in sides:
        bottom = float(side.figure.bottom @ blend)
        value = float(side.figure.top @ blend) / bottom if bottom else side.limit
        if side.strays:
            value -= 100.0 * float(np.linalg.norm(pot.strays @ blend)) / bottom
        low = value - side.limit if side.side != "at_most" else 0.0
        high = side.limit - value if side.side != "at_least" else 0.0
        if min(low, high) < -MET * max(1.0, abs(side.limit)):
            yield f"the blend misses {name}: {value:.9g} against {side.side} {side.limit:g}"
    yield from counted(question, blend)
    cost = float(pot.money @ blend) / float(pot.cured @ blend)
    if abs(cost - told.cost.per_kg) > 1e-6 * max(1.0, cost):
        yield f"the blend told costs {cost:.9f}, told {told.cost.per_kg:.9f}"


def counted(question: Question, blend: Vector) -> Iterator[str]:
    """The recipe has as many fats as asked for."""
    shares = blend[: question.pot.count]
    there = shares > 1e-6
    counting = shares >= question.floors - 1e-7
    for wish in question.wishes.values():
        off = {
            "fats.at_most": int(there.sum()) > wish.count,
            "fats.at_least": int((there & counting).sum()) < wish.count,
            "fats.exactly": int(there.sum()) != wish.count,
            "fats.each_at_least": bool((shares[there] < wish.count - 1e-7).any()),
        }
        if off.get(wish.id, False):
            yield f"the blend misses {wish.id} {wish.count:g}: {np.round(100 * shares, 4).tolist()}"


def alkali(file: File, told: Blend) -> Iterator[str]:
    """The alkali, by atomic weights of our own, leaves the superfat that is told."""
    blend, pot = amounts(file, told), file.question.pot
    sodium, potassium = SODIUM + OXYGEN + HYDROGEN, POTASSIUM + OXYGEN + HYDROGEN
    fats = zip(pot.fats, blend[: pot.count], strict=True)
    taken = sum(item.figures.saponification * share / potassium for item, share in fats)
    acids = zip((item for item, _ in pot.additives), blend[pot.count + 3 :], strict=True)
    acid = sum(item.acid * share for item, share in acids)
    there = 1000.0 * (blend[pot.count] / sodium + blend[pot.count + 1] / potassium)
    needed = taken * (1.0 - told.alkali.superfat / 100.0) + acid
    if abs(there - needed) > WEIGHTS * taken:
        yield f"alkali: {there:.7f} mol/kg in the pot, {needed:.7f} for a superfat of {told.alkali.superfat:.6f} %"


def shortfalls(file: File, told: Blend, mine: Cost) -> Iterator[str]:
    """Each preference falls short by as little as can be."""
    by_place = {line.id.within: line for line in told.preferences}
    each = zip(file.question.prefer, mine.shortfalls, mine.roomy, strict=True)
    for place, (wish, short, roomy) in enumerate(each):
        lines = [line.short_by for line in told.preferences if line.id.within == str(place)]
        limit = max(abs(side.limit) for side in wish.sides)
        room = 2 * MET * max(1.0, limit)
        if not min(short, roomy) - room <= max(lines) <= max(short, roomy) + room:
            yield f"{by_place[str(place)].id}: short by {max(lines):.7f}, the least is {short:.7f}"


def hangs_on_a_hair(question: Question, mine: Cost) -> bool:
    """Whether a hair of room in one preference moves how far another is met: which wishes bind then hangs on it too."""
    limits = [max(abs(side.limit) for side in wish.sides) for wish in question.prefer]
    each = zip(limits, mine.shortfalls, mine.roomy, strict=True)
    return any(abs(short - roomy) > MET * max(1.0, limit) for limit, short, roomy in each)


# -- savings -------------------------------------------------------------------------------------------------------


def savings(file: File, told: Blend, mine: Cost) -> Iterator[str]:
    """What each line is told to save, against the answer to the files without it."""
    everything = "savings" in file.checks
    if not everything and not ("plain savings" in file.checks and is_plain(file)):
        return
    rules = [line for line in told.goals if line.origin == "practice"]
    makers = [line for line in told.goals if line.origin != "practice"]
    for line in [*file.some(makers, SOME_LINES), *binding_or_some(file, rules)]:
        try:
            saved, truths = line.saves_if_dropped, savings_without(file, str(line.id), mine)
        except GivesWay:  # what comes back without the line leaves no room for rules
            continue
        if line.origin == "practice" and line.figure in tables.additives():
            truths = []
        if not everything:  # a loss is told as nothing saved
            truths = [(max(0.0, low), max(0.0, high)) for low, high in truths] or [(0.0, 0.0)]
        may_be_unknown = line.origin in ("additive", "liquid") or (
            line.origin == "practice" and (file.question.counts or line.line is not None)
        )
        yield from saved_as_told(str(line.id), saved, truths, mine, may_be_unknown=may_be_unknown)


def is_plain(file: File) -> bool:
    """Whether nothing comes back when a line goes: no preferences, designs, changes of practice, or counts."""
    more = ("prefer", "design", "for", "practice", "additives", "liquids", "may_use")
    asked = {wish.about for wish in file.question.wishes.values()}
    return (
        not any(file.goals.get(name) for name in more) and "potassium_share" not in asked and not file.question.counts
    )


def binding_or_some(file: File, rules: list[Any]) -> list[Any]:
    """The rules that bind, and a few others."""
    others = [line for line in rules if not line.binding]
    return [line for line in rules if line.binding] + file.some(others, SOME_RULES)


def savings_without(file: File, wish: str, mine: Cost) -> list[Saved]:
    """What the files cost less without a wish, by each reading of what is left; nothing where no blend is left.

    A wish without a line of its own (a rule, a design's limit) is given up alone.
    """
    left = [editing.less_lines(file.goals, file.shelf, wish)]
    if wish.startswith(("additives.", "liquids.")):
        left.append(read(*editing.without_additive(file.goals, file.shelf, wish)))
    if left == [None] or wish.startswith("practice."):
        left.append(read(file.goals, file.shelf).without(wish))
    brings_back = file.question.pinch is None  # the line kept the rule on pinches away
    found = [
        (pinches.settled(question) if brings_back and question.pinch is not None else None) or yielding(question)
        for question in left
        if question is not None
    ]
    return [saved_by(mine, one) for one in found if one is not None]


def saved_by(mine: Cost, other: Cost) -> Saved:
    """What another answer costs less, at the least and at the most."""
    return mine.least - other.most, mine.most - other.least


def saved_as_told(
    wish: str, saved: float | None, truths: list[Saved], mine: Cost, *, may_be_unknown: bool
) -> Iterator[str]:
    """A saving told against those that are true."""
    if saved is None:
        if truths and not may_be_unknown:
            yield f"{wish}: no saving is told, without it the answer is cheaper by {listed(truths)}"
        return
    room = (MONEY_PINNED if any(mine.shortfalls) else MONEY) * max(1.0, abs(saved))
    if not any(low - room <= saved <= high + room for low, high in truths):
        yield f"{wish}: told to save {saved:.7f}, without it the answer is cheaper by {listed(truths)}"


def listed(truths: list[Saved]) -> str:
    """Figures in words."""
    return " or ".join(f"{high:.7f}" for _, high in truths) or "(no blend is left)"


def preference_costs(file: File, told: Mapping[str, Any], mine: Cost) -> Iterator[str]:
    """What each preference costs, against the answer to the file without it."""
    if "preference costs" not in file.checks:
        return
    for line in told["prefer"]:
        if "costs_per_kg" not in line:
            yield f"{line['id']}: no cost is told"
            continue
        left = editing.without_line(file.goals, file.shelf, line["id"])
        try:
            without = answered(*left) if left is not None else None
        except GivesWay:
            continue
        if without is not None:
            yield from saved_as_told(
                line["id"], line["costs_per_kg"], [saved_by(mine, without)], mine, may_be_unknown=False
            )


# -- entry prices --------------------------------------------------------------------------------------------------


def meets_more(one: Cost, other: Cost) -> bool:
    """Whether one answer meets preferences further than another, in order: what a budget spent to the last may buy."""
    for mine, theirs in zip(one.shortfalls, other.shortfalls, strict=True):
        if abs(mine - theirs) > CRUMB:
            return mine < theirs
    return False


def entry_prices(file: File, told: Mapping[str, Any], mine: Cost) -> Iterator[str]:
    """A fat left on the shelf enters below the price told, and at none where none is told."""
    counted = file.question.counts
    unmet = any(mine.shortfalls)
    asked = "counted entry prices" if counted else "entry prices beside unmet preferences" if unmet else "entry prices"
    if asked not in file.checks:
        return
    crumb = CRUMB_PINNED if unmet else CRUMB
    for line in file.some(told["unused"], SOME_FATS):
        price, enters = line["enters_below"], line.get("enters")
        if enters == "unknown":
            continue

        def at_price(other: float, name: str = line["fat"]) -> Cost | None:
            return answered(file.goals, editing.with_price(file.shelf, name, other))

        def cost_at(other: float) -> float:
            found = at_price(other)
            return found.most if found is not None else np.inf

        if price is None:
            if (cost := cost_at(0.0)) < mine.most * (1.0 - crumb) - CRUMB:
                yield f"{line['fat']}: told never to enter, at no price the answer costs {cost:.7f}"
            continue
        below = at_price(max(0.0, price * (1.0 - HAIR) - CENT))
        if below is None or (below.most >= mine.most - 1e-9 and not meets_more(below, mine)):
            yield f"{line['fat']}: told to enter below {price}, a little below that nothing is cheaper"
        if enters == "below" and cost_at(price * (1.0 + HAIR) + CENT) < mine.most * (1.0 - crumb):
            yield f"{line['fat']}: told to enter below {price}, a little above that it has entered"


# -- reach ---------------------------------------------------------------------------------------------------------


def room(file: File, told: Blend, bar: Path, shelf: Path) -> Iterator[str]:
    """Both ends of the figures of `reach`."""
    if "reach" not in file.checks or (file.seed % EVERY_REACH and not file.thorough):
        return
    story = program_reach(bar, shelf)
    if not isinstance(story, Reach):
        yield "reach finds no blend where blend has one"
        return
    for line in file.some(story.lines, SOME_REACH):
        yield from ends(file.question, line, counted=told.is_counted)


def ends(question: Question, line: ReachLine, *, counted: bool) -> Iterator[str]:
    """The least and the greatest value of a figure with its own limits lifted."""
    figure = figure_named(question, line.id)
    others = [wish for wish in question.wishes.values() if wish.about != line.id or wish.origin in ("stock", "count")]
    if line.id == "superfat":  # the house's floor under the likely superfat is lifted with the superfat's own limits
        others = [wish for wish in others if wish.id != YIELDS]
    asked = programme(question, others)
    near = 2e-4 if counted else 2e-5
    if line.id == "likely_superfat":
        yield from likely_end(question, line, others, near)
        return
    for what, sign, told in (("least", 1, line.low), ("greatest", -1, line.high)):
        mine = extreme(asked, figure, sign)
        mine = mine if mine is None else max(mine, tables.floors().get(line.id, -np.inf))
        if mine is None or told is None:
            if mine is not told:
                yield f"reach of {line.id}: {what} told {told}, is {mine}"
        elif abs(mine - told) > near * max(1.0, abs(mine)):
            yield f"reach of {line.id}: {what} told {told:.7f}, is {mine:.7f}"


def likely_end(question: Question, line: ReachLine, others: list[Wish], near: float) -> Iterator[str]:
    """The most that can be likely: so much can be had, and a little more cannot; a least is not told."""
    figure = figure_named(question, line.id)
    if line.low is not None or line.high is None:
        yield f"reach of {line.id}: told from {line.low} to {line.high}"
        return
    for off, can in ((-near, True), (near, False)):
        pinned = [Side(figure, "at_least", line.high + off * max(1.0, abs(line.high)), strays=True)]
        if (programme(question, others, pinned).any() is not None) != can:
            yield f"reach of {line.id}: {line.high:.7f} told, {off:+g} of it is {'not ' if can else ''}to be had"


def figure_named(question: Question, name: str) -> Figure:
    """The figure behind a line of `reach`."""
    pot = question.pot
    if name in tables.units():
        return pot.figure(name)
    if name in tables.additives() or name in tables.liquids():
        asked = [
            wish for wish in question.wishes.values() if wish.about == name and wish.origin in ("additive", "liquid")
        ]
        return asked[0].sides[0].figure if asked else pot.share("additive", name)
    return pot.share(*tables.share_keys()[tables.fold(name)])


__all__ = ["Wish", "alkali", "entry_prices", "meets", "preference_costs", "room", "savings", "shortfalls"]
