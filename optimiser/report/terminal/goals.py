"""What the goals ask, which of them bind, what each costs, and which rules of the house stand in the way."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.problem.units import Units
from optimiser.problem.wishes import Origin, Whose
from optimiser.report import words
from optimiser.report.terminal.house_lines import PINCHES, left_out, may_overrule, overruling, switched_off
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import GoalLine, PreferenceLine

CRUMB = 5e-5  # money per kilo that rounds to nothing in three decimals
WHOLE = (Origin.EXCLUSION, Origin.COUNT, Origin.BUYING)
FINER = 1  # digit more than usual: an end so near to the limit is as good as the limit
UNEVEN = 0.02  # the two sides of a price differ by more than this share


def in_pounds(goal: GoalLine) -> GoalLine:
    """A wish on a weight, such as what is in stock, with its figures and what a unit costs by the pound."""
    if goal.unit != "kg":
        return goal
    pound = Units.POUNDS.grams / 1000.0

    def weight(kg: float | None) -> float | None:
        return None if kg is None else kg / pound

    def price(of_a_kilo: float | None) -> float | None:
        return None if of_a_kilo is None else of_a_kilo * pound

    return goal._replace(
        unit="lb",
        value=goal.value / pound,
        limit=goal.limit / pound,
        holds_from=weight(goal.holds_from),
        holds_to=weight(goal.holds_to),
        when_weighed=weight(goal.when_weighed),
        price_per_unit=price(goal.price_per_unit),
        price_if_tighter=price(goal.price_if_tighter),
    )


def block(  # noqa: PLR0913
    goals: Sequence[GoalLine],
    currency: str,
    paper: Paper,
    *,
    counted: bool = False,
    practice_off: bool = False,
    full: bool = False,
    cost: float = 0.0,
    units: Units = Units.GRAMS,
) -> Iterator[Part]:
    """Goals that cost with their prices, goals that cost nothing in a line, house practice that binds or is off.

    Args:
        goals: every wish against the blend.
        currency: of the shelf.
        paper: what it is set on.
        counted: fats were counted, so that prices hold for this choice of them alone.
        practice_off: the goal file drops house practice.
        full: why every rule that costs asks what it asks, how to overrule it, and those that cost nothing one by one.
        cost: of a kilo of cured bar.
        units: what weights are told in.
    """
    goals = [in_pounds(goal) for goal in goals] if not units.is_metric else goals
    own = [goal for goal in goals if not is_house(goal)]
    house = [goal for goal in goals if is_house(goal)]
    dear = [goal for goal in own if is_told(goal)]
    felt = [goal for goal in house if is_told(goal)]
    if not goals:
        return
    told = (*dear, *felt)
    broken = any(not goal.holds_when_weighed for goal in told)
    yield Heading(
        "What it costs, and which goals bind" if told else "Goals", words.heading_per(currency, "kg of cured bar")
    )
    yield from priced(told, paper, broken=broken, full=full)
    if full:
        yield from uneven((*dear, *felt), currency)
    if counted and any(goal.price_per_unit for goal in dear):
        yield Line("Prices per point hold for this choice of fats.")
    free = [goal for goal in own if not (is_told(goal) or is_of_the_shelf(goal) or goal.origin == Origin.DESIGN)]
    spent = [goal for goal in free if goal.figure == "cost" and stands_at_limit(goal)]
    free = [goal for goal in free if goal not in spent]
    if spent:
        yield Line(f"At its limit: {'; '.join(held_together(spent))}.", hang=2)
    if free:
        yield Line(f"At no cost: {'; '.join(held_together(free))}.", hang=2)
    yield from on_balance([goal for goal in (*own, *felt) if not is_of_the_shelf(goal)])
    yield from designs([goal for goal in own if goal.origin == Origin.DESIGN], full=full)
    kept = [goal for goal in house if goal not in felt and is_kept(goal)]
    for goal in kept:
        yield Line(f"house, {held(goal)}.", hang=2)
    silent = [goal for goal in house if goal not in felt and goal not in kept]
    yield from practice(felt, silent, off=practice_off, full=full, cost=cost)
    if practice_off:
        yield from switched_off(house)
    if any(goal.figure == words.HARD_OILS for goal in own):
        yield Line(words.ON_HARD_OILS)
    yield Gap()


def is_house(goal: GoalLine) -> bool:
    """Whether a wish is the house's own; a rule that the maker has overruled is the maker's, and so is the shelf's end."""
    return goal.origin == Origin.PRACTICE and goal.line is None and goal.said.whose != Whose.SHELF


def is_of_the_shelf(goal: GoalLine) -> bool:
    """Whether the shelf sets it: a stock, or its own end to an additive."""
    return goal.origin == Origin.STOCK or goal.said.whose == Whose.SHELF


def is_told(goal: GoalLine) -> bool:
    """Whether a goal deserves a row: it costs something, or rounding broke it.

    What the house or a design asks costs only where the blend stands at it: elsewhere the answer without it is another
    for what gave way beside it.
    """
    price = goal.price_per_unit or 0.0
    saves = goal.saves_if_dropped or 0.0
    may = not (is_house(goal) or goal.origin == Origin.DESIGN) or stands_at_limit(goal)
    return (may and (price > CRUMB or saves > CRUMB)) or not goal.holds_when_weighed


def stands_at_limit(goal: GoalLine) -> bool:
    """Whether the blend stands at the limit of a wish."""
    return goal.binding or goal.at_limit


def is_kept(goal: GoalLine) -> bool:
    """Whether the bar would be dearer without a rule at whose limit it stands."""
    return stands_at_limit(goal) and (goal.saves_if_dropped or 0.0) <= -words.CENT


def said(goal: GoalLine) -> str:
    """A wish in its words, and what it asked before it gave way."""
    first = f" (for {goal.eased_from})".replace(" %", f"{words.GLUE}%") if goal.eased_from else ""
    return f"{words.without_house(goal.said)}{first}"


def named(goals: Sequence[GoalLine], preferences: Sequence[PreferenceLine] = ()) -> set[str]:
    """The figures that the maker or a design names; the house's own rules name nothing."""
    return {goal.figure for goal in goals if not is_house(goal)} | {line.id.key for line in preferences}


def has_reasons(goals: Sequence[GoalLine]) -> bool:
    """Whether a rule of the house or a limit of a design costs something, so that its reason is worth reading."""
    return any(is_told(goal) and (is_house(goal) or goal.origin == Origin.DESIGN) for goal in goals)


def columns(paper: Paper, goals: Sequence[GoalLine], *, broken: bool) -> tuple[Column, ...]:
    """Heads of the table of goals; a mark has a column where rounding broke one."""
    ways = {goal.side for goal in goals if goal.price_per_unit and as_far_as(goal) != words.NOTHING}
    far = " or ".join(way for way, side in (("down", Side.AT_LEAST), ("up", Side.AT_MOST)) if side in ways)
    wide = (Column("limit", "right"),) if paper.is_wide else ()
    mark = (Column(""),) if broken else ()
    return (
        *(Column("line", "right"), Column("goal", wraps=True), Column("here", "right"), *wide, *mark),
        *(Column("saved\nper point", "right"), Column(f"{far or 'down'} to", "right")),
        Column("saved\nwithout it", "right"),
    )


def row(goal: GoalLine, paper: Paper, *, broken: bool) -> tuple[str, ...]:
    """One goal in the table."""
    mark = ("binds" if goal.holds_when_weighed else "broken",) if broken else ()
    wide = (words.in_column(goal.limit, goal.unit),) if paper.is_wide else ()
    priced = goal.price_per_unit is not None and goal.price_per_unit > 0 and goal.origin not in WHOLE
    return (
        place(goal),
        said(goal),
        here(goal),
        *wide,
        *mark,
        easing(goal) if priced else words.NOTHING,
        as_far_as(goal) if priced else words.NOTHING,
        words.saving(goal.saves_if_dropped),
    )


def here(goal: GoalLine) -> str:
    """Where the blend stands, as weighed if rounding broke the goal, in digits that say what the verdict says."""
    met = goal.holds_when_weighed
    value = goal.value if met or goal.when_weighed is None else goal.when_weighed
    return words.column_against(value, goal.limit, goal.side, goal.unit, met=met)


def on_balance(goals: Sequence[GoalLine]) -> Iterator[Part]:
    """A line of the figures that what is weighed has otherwise than the blend before it was rounded, as the column has them."""
    told = []
    for goal in goals:
        if goal.as_weighed is None or not goal.holds_when_weighed or goal.figure == "fats":
            continue
        figure, *unit = here(goal).split(words.GLUE)
        decimals = len(figure) - figure.index(".") - 1 if "." in figure else 0
        weighed, exact = (f"{round(value, decimals) + 0.0:.{decimals}f}" for value in (goal.as_weighed, goal.value))
        if figure == exact and weighed != exact:
            told.append(f"{goal.said.subject} {words.GLUE.join((weighed, *unit))}")
    if told:
        yield Line(f"As rounded for the balance: {'; '.join(dict.fromkeys(told))}.", hang=2)


def easing(goal: GoalLine) -> str:
    """What a step easier saves: "0.041 a point", "0.025 a %"."""
    step = words.step_of(goal)
    return f"{words.small_step((goal.price_per_unit or 0.0) * step)} {words.each(goal)}".replace(" ", words.GLUE)


def as_far_as(goal: GoalLine) -> str:
    """The limit up to which easing goes on saving as much; nothing where that has no end or no one way."""
    end = {Side.AT_LEAST: goal.holds_from, Side.AT_MOST: goal.holds_to}.get(goal.side)
    if end is None:
        return words.NOTHING
    told = words.column_against(max(end, 0.0), goal.limit, goal.side, goal.unit, met=False)
    finer = len(told) > len(words.in_column(end, goal.unit)) + FINER
    return words.NOTHING if told.startswith("just") or finer else told


def uneven(goals: Sequence[GoalLine], currency: str) -> Iterator[Part]:
    """Goals that cost more to tighten than easing them saves, as they do where the best blend sits in a corner."""
    for goal in goals:
        easier, harder = goal.price_per_unit or 0.0, goal.price_if_tighter
        if harder is None or not easier or abs(harder - easier) <= UNEVEN * easier:
            continue
        step = words.step_of(goal)
        says, by = words.without_house(goal.said), words.amount(step, goal.unit)
        if math.isinf(harder):
            yield Line(f"{says}: cannot be tightened at all.", hang=2)
        else:
            price = f"{words.small_step(harder * step)} {words.per(currency, 'kg')}"
            yield Line(f"{says}: to tighten it by {by} costs {price}.", hang=2)


def place(goal: GoalLine) -> str:
    """The line of the goal file, or whose wish it is."""
    if is_house(goal):
        return "house"
    return "shelf" if is_of_the_shelf(goal) else str(goal.line or words.NOTHING)


def held_together(goals: Sequence[GoalLine]) -> Iterator[str]:
    """Goals that cost nothing, the two sides of one wish told once."""
    groups: dict[tuple[str, str], list[GoalLine]] = {}
    for goal in goals:
        groups.setdefault((goal.figure, words.both_sides(goal.said)), []).append(goal)
    for (_, whole), sides in groups.items():
        first = sides[0]._replace(binding=any(side.binding for side in sides))
        yield held(first, whole if len(sides) > 1 else "")


def held(goal: GoalLine, whole: str = "") -> str:
    """A goal that costs nothing, with where the blend stands; `whole` are the words of both its sides, if it has two."""
    says = whole or said(goal)
    note = " (binds)" if goal.binding and goal.side != Side.EXACTLY and goal.origin not in WHOLE else ""
    saved = goal.saves_if_dropped or 0.0
    dearer = f" ({words.money(-saved)} dearer without it)" if saved <= -words.CENT else ""
    if goal.origin in WHOLE or (goal.side == Side.EXACTLY and math.isclose(goal.value, goal.limit, abs_tol=0.05)):
        return f"{says}{dearer}"
    if goal.side == Side.AT_MOST and not goal.limit and not words.in_column(goal.value, "").strip("0."):
        return f"{says}{dearer}"
    return f"{says}, here {here_whole(goal)}{note}{dearer}"


def designs(goals: Sequence[GoalLine], *, full: bool = False) -> Iterator[Part]:
    """How many limits of a design cost nothing, or which; in full also why it asks what costs something here."""
    if full:
        yield from designs_in_full(goals)
        return
    silent: dict[str, int] = {}
    for goal in goals:
        owner = f"{goal.said.whose} {goal.said.owner}"
        if not is_told(goal):
            silent[owner] = silent.get(owner, 0) + 1
    told = [f"{number} {owner if owner.startswith('for ') else f'of {owner}'}" for owner, number in silent.items()]
    if told:
        one = list(silent.values()) == [1]
        yield Line(f"Limits at no cost: {words.joined(told)}." if not one else f"Limit at no cost: {told[0]}.", hang=2)


def designs_in_full(goals: Sequence[GoalLine]) -> Iterator[Part]:
    """Every limit of the designs with its reason, and where the blend stands if it costs nothing."""
    for goal in goals:
        owner, limit = f"{goal.said.whose} {goal.said.owner}", words.one_side(goal.said)
        stands = "" if is_told(goal) else f", here {here_whole(goal)}"
        yield Line(f"{owner}, {limit}{stands}: {words.sentence(goal.why)}", hang=2)


def practice(
    felt: Sequence[GoalLine],
    silent: Sequence[GoalLine],
    *,
    off: bool = False,
    full: bool = False,
    cost: float = 0.0,
) -> Iterator[Part]:
    """How to overrule the house where it is not switched `off` already; in full why it asks, and what costs nothing."""
    if full:
        for goal in felt:
            yield Line(f"house, {said(goal)}: {words.sentence(goal.why)}", hang=2)
    told = [] if off else [goal for goal in felt if may_overrule(goal, cost)]
    if told:
        yield Line("The house only suggests. To overrule it, write in the goal file, for instance:")
        yield Line(f"practice: {{{overruling(told)}}}".replace(" ", words.GLUE), indent=4)
    if silent and full:
        kept = "; ".join(f"{said(goal)}, here {here_whole(goal)}" for goal in silent)
        yield Line(f"House practice at no cost: {kept}.", hang=2)
    elif silent:
        others = "other rule" if felt else "rule"
        number = len({goal.id.key for goal in silent})  # a rule on each fat is one rule
        some = "s" if number == 1 else ""
        yield Line(f"{words.counted(number, others)} of house practice cost{some} nothing here.")


def here_whole(goal: GoalLine) -> str:
    """Where the blend stands, in a sentence."""
    return words.against(goal.value, goal.limit, goal.side, goal.unit, met=goal.holds_when_weighed)


def priced(goals: Sequence[GoalLine], paper: Paper, *, broken: bool, full: bool) -> Iterator[Part]:
    """The table of goals that cost something; pinches that are left out in a line below it, but in full."""
    gone = [] if full else [goal for goal in goals if is_left_out(goal) and goal.holds_when_weighed]
    gone = gone if len(gone) > 1 else []
    told = [goal for goal in goals if goal not in gone]
    if told:
        yield Table(columns(paper, told, broken=broken), [row(goal, paper, broken=broken) for goal in told])
    if gone:
        yield Line(left_out(gone), hang=2)


def is_left_out(goal: GoalLine) -> bool:
    """Whether it is a fat of which there would be but a pinch, and is left out."""
    return is_house(goal) and goal.id.key == PINCHES and goal.side == Side.AT_MOST
