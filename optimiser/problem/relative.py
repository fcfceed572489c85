"""Limits told from a recipe in hand become limits of their own: 3 points harder, no dearer, as it is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from optimiser.maths.units import MASS
from optimiser.measures.differences import within
from optimiser.measures.measures import measures
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import AS_IT_IS, AT_LEAST, AT_MOST, EXACTLY, GRAMS, PER_KILO, Limit
from optimiser.problem.near import Near
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.durations import LEAST_WEEKS, MOST_WEEKS

NO_RELATIVE = ("likely_superfat", "worst_case_superfat")
"""Figures that may lie below nothing: a sign before one of them is its own."""

JUST_SO = ("superfat", "lye_concentration", "cure")
"""Figures that as they are means exactly: what alkali and water stand at, and how long a bar is cured."""

_ENDS: Mapping[str, tuple[float, float]] = {
    **dict.fromkeys((GRAMS, PER_KILO), (0.0, math.inf)),
    "fats": (1.0, math.inf),
    "weeks": (LEAST_WEEKS, MOST_WEEKS),
}

_BETTER: Mapping[str, Side] = {
    **dict.fromkeys(("hardness", "wear_life", "quick_lather", "lasting_lather", "mildness"), AT_LEAST),
    **dict.fromkeys(("harshness", "rancidity", "scum", "ash_risk", "cost"), AT_MOST),
}


def better(key: str) -> Side | None:
    """On which side of a figure a better bar lies; None where neither is better by itself."""
    return _BETTER.get(key)


def resolved(goals: GoalSheet) -> GoalSheet:
    """The goals with every limit told from the recipe in hand as one of its own.

    Raises:
        BadInput: the recipe's own figure is not known, or what is asked for can be no bar's.
    """
    near = goals.near
    if near is None:
        return goals
    faults: list[Diagnostic] = []
    bar = goals.batch.cured_weight_kg

    def settle(limits: Iterable[Limit]) -> tuple[Limit, ...]:
        out: list[Limit] = []
        for limit in limits:
            try:
                own = from_recipe(limit, near, bar)
            except BadInput as bad:
                faults.extend(bad.diagnostics)
                continue
            out.extend(own)
        faults.extend(out_of_order(out))
        return tuple(out)

    settled = goals._replace(
        goals=settle(goals.goals),
        shares=settle(goals.shares),
        additives=settle(goals.additives),
        liquids=settle(goals.liquids),
        fat_count=settle(goals.fat_count),
        cure=settle(goals.cure),
        prefer=tuple(settle(wishes) for wishes in goals.prefer),
    )
    if faults:
        raise BadInput(dict.fromkeys(faults))
    return settled


def out_of_order(limits: list[Limit]) -> list[Diagnostic]:
    """Ends of one figure between which nothing lies, one of them told from the recipe."""
    found = []
    for low in limits:
        for high in limits:
            same = (low.key, low.subject, low.unit, low.per) == (high.key, high.subject, high.unit, high.per)
            told = low.relative or high.relative
            if same and told and low.side == AT_LEAST and high.side == AT_MOST and low.value > high.value + 1e-9:
                message = f"nothing lies between {low.said.wish} and {high.said.limit}"
                notes = (("and this is the other one", high.span),)
                found.append(Diagnostic(Code.CONTRADICTION, message, "drop one, or move it", low.span, notes))
    return found


def from_recipe(limit: Limit, near: Near, bar_kg: float) -> tuple[Limit, ...]:
    """A limit told from the recipe as limits of their own; any other as it is.

    Args:
        limit: what is asked.
        near: the recipe in hand.
        bar_kg: what a cured bar weighs, for a cost by the bar.

    Raises:
        BadInput: the recipe's own figure is not known, or what is asked for can be no bar's.
    """
    if not limit.relative:
        return (limit,)
    own = own_figure(limit, near, bar_kg)
    if limit.relative != AS_IT_IS:
        value = own + limit.value
        check(limit, value, own)
        return (_at(limit, limit.side, value, own, limit.said.figure if limit.value else ""),)
    room = 0.0
    if limit.subject == SubjectKind.QUANTITY and limit.key not in JUST_SO:
        room = within(limit.key) if limit.key in measures() else quantities()[limit.key].scale
    if not room:
        return (_at(limit, EXACTLY, own, own, ""),)
    give = f"as it is within {room:g}"
    return _at(limit, AT_LEAST, own - room, own, give), _at(limit, AT_MOST, own + room, own, give)


def own_figure(limit: Limit, near: Near, bar_kg: float) -> float:
    """What the recipe has of what a limit is on, in the limit's unit.

    Raises:
        BadInput: that is not known.
    """
    if limit.key == "cost" and limit.subject == SubjectKind.QUANTITY:
        if near.cost_per_kg is None:
            message = f"what {near.title} costs is not known: the shelf has no price for all of its fats"
            raise BadInput([Diagnostic(Code.NO_RECIPE, message, "write the cost itself, as in 6.40 / kg", limit.span)])
        return near.cost_per_kg * {"bar": bar_kg, "lb": MASS["lb"]}.get(limit.per, 1.0)
    value = near.figure(limit)
    if limit.subject == SubjectKind.ADDITIVE and limit.unit in (GRAMS, PER_KILO):
        value *= 10.0 if limit.unit == PER_KILO else math.fsum(near.weighed.values()) / 100.0
    elif limit.subject == SubjectKind.LIQUID and limit.unit != "%":
        value = math.nan  # how much is poured in all is the blend's own
    if not math.isfinite(value):
        help_, superfat = "write the figure itself", near.values.get("superfat", math.nan)
        message = f"the {limit.said.subject} of {near.title} is not known, so nothing can be told from it"
        if superfat < 0.0 and limit.key in measures():
            message = f"{near.title} is lye-heavy (superfat {superfat:.1f} %): it is no bar, so nothing can be told from its {limit.said.subject}"
            help_ = "mend its alkali first: 'barwright weigh' tells how much it should be; or write the figure itself"
        raise BadInput([Diagnostic(Code.NO_RECIPE, message, help_, limit.span)])
    return value


def check(limit: Limit, value: float, own: float) -> None:
    """Refuses a figure that no bar can have.

    Raises:
        BadInput: it is one.
    """
    known = quantities().get(limit.key) if limit.subject == SubjectKind.QUANTITY else None
    low, high = _ENDS.get(limit.unit, (0.0, 100.0)) if known is None else (known.lowest, known.highest)
    if known is not None and known.unit == "index" and known.lowest == 0.0:
        return  # a figure that is never told below nothing
    if low - 1e-9 <= value <= high + 1e-9 or (limit.key == "cost" and value > 0.0):
        return
    code = Code.LYE_HEAVY if limit.key == "superfat" and value < 0.0 else Code.OUT_OF_RANGE
    figure = f"{round(value, 2):g}{' %' if limit.unit == '%' else ''}"
    message = f"{limit.said.subject} {limit.said.figure} is {figure}, from {round(own, 2):g} in the recipe: no bar can have that"
    help_ = f"it lies between {low:g} and {high:g}" if math.isfinite(high) else f"it is {low:g} at the least"
    raise BadInput([Diagnostic(code, message, help_, limit.span)])


def _at(limit: Limit, side: Side, value: float, own: float, by: str) -> Limit:
    """A limit at a figure of its own, in words that tell what it is reckoned from."""
    said = limit.said._replace(
        side=side, figure=in_words(limit, value), remark=f"{in_words(limit, own)} in the recipe{', ' if by else ''}{by}"
    )
    return limit._replace(side=side, value=value, said=said)


def in_words(limit: Limit, value: float) -> str:
    """A figure as a person writes it, with its unit."""
    if limit.key == "cost" and limit.subject == SubjectKind.QUANTITY:
        return f"{value:.2f} / {limit.per or 'kg'}"
    if limit.unit == "index":
        return f"{value:.1f}"
    unit = "" if limit.unit in ("ratio", "fats") else f" {limit.unit}"
    return f"{round(value, 2):g}{unit}"
