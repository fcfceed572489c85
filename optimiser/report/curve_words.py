"""A cost curve in words: its figures, what changes at a breakpoint, where it ends and how sure it is."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.report import words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.answers.curve_values import Curve, CurveEnd, CurvePoint
    from optimiser.problem.wishes import Said

FINE, FINER = 20.0, 2.0  # of a range: below it limits are told in a decimal more, and below the other in two
BARE = ("index", "ratio", "")
OFTEN = 8  # what stands against a harder limit, at the most
TWO_DECIMALS = 0.06  # of money: a chart that spans less is marked in three
HALF_CUT = 0.5  # of the height: a chart whose last tenth takes more than that is cut
LAST = 0.1
NOTHING = 1e-7  # money
FLAT = 5e-4  # money: a curve that rises by less is flat


def decimals(curve: Curve) -> int:
    """In how many decimals the limits of a curve are told."""
    width = curve.points[-1].limit - curve.points[0].limit
    return 1 + (width < FINE) + (width < FINER)


def figure(value: float, unit: str, digits: int) -> str:
    """A limit with its unit."""
    text = f"{round(value, digits) + 0.0:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if round(value, digits) == round(value) else text
    return text if unit in BARE else f"{text}{words.GLUE}{unit}"


def at(curve: Curve, value: float) -> str:
    """A limit of a curve with its unit."""
    return figure(value, curve.unit, decimals(curve))


def harder(side: Side) -> str:
    """Where a limit gets harder: above a figure, below it, or away from it."""
    return "below" if side == Side.AT_MOST else "above"


def bare(told: str) -> str:
    """A limit without its unit, as an option takes it."""
    return told.partition(words.GLUE)[0]


def step(curve: Curve) -> float:
    """The step of the limit that is priced: one unit, or a tenth where the whole curve is hardly more."""
    width = curve.points[-1].limit - curve.points[0].limit
    return 0.1 if width < FINER else 1.0


def a_step(curve: Curve) -> str:
    """That step in words: "a point", "1 %", "a tenth"."""
    if step(curve) < 1.0:
        return f"0.1{'' if curve.unit in BARE else f'{words.GLUE}{curve.unit}'}"
    if curve.unit == "index":
        return "a point"
    return "1" if curve.unit in BARE else f"1{words.GLUE}{curve.unit}"


def asked(curve: Curve) -> str:
    """What the curve is of: "hardness at least"."""
    return f"{curve.says} {curve.side.words}"


def changes(point: CurvePoint) -> str:
    """What changes at a breakpoint as the limit gets harder, as a part of a sentence; "" where nothing is named."""
    parts = []
    if point.comes_in:
        parts.append(f"{words.joined(point.comes_in)} come{'' if len(point.comes_in) > 1 else 's'} in")
    if point.goes:
        parts.append(f"{words.joined(point.goes)} go{'' if len(point.goes) > 1 else 'es'}")
    parts += [f"{words.in_sentence(said)} is reached" for said in point.binds]
    parts += [f"{words.in_sentence(said)} no longer binds" for said in point.frees]
    parts += [f"{words.in_sentence(said)} gives way" for said in point.gives_way]
    parts += [f"{words.in_sentence(said)} holds again" for said in point.kept_again]
    return "; ".join(parts)


def ended(curve: Curve, end: CurveEnd) -> str:
    """Why the curve ends at a hard end, in a sentence."""
    there = at(curve, end.limit)
    low = end.limit <= curve.points[0].limit + 1e-9 * max(1.0, abs(end.limit))
    beyond = "below" if low else "above"
    if end.why == "asked":
        return f"It was asked as far as {there}."
    if end.why == "scale":
        return f"{there} is the end of what may be asked."
    if end.why == "rules":
        gone = words.joined([words.in_sentence(one) for one in end.gives_way[:OFTEN]]) or "a rule of the house"
        way = "gives way" if len(end.gives_way) < 2 else "give way"
        onward = there if end.onward is None else at(curve, end.onward)
        option = "from" if low else "to"
        first = words.sentence(f"{beyond} {there} {gone} {way}")
        more = (
            f"With that there are blends {'down' if low else 'up'} to {onward}, and --{option} {bare(onward)} draws it"
        )
        return f"{first} {more}{f'; {beyond} that {stops(end.against)}' if end.against else ''}."
    if end.why == "unknown":
        return f"{words.sentence(f'{beyond} {there} not all that these goals ask is known of such a soap')}"
    if not end.against:
        return f"{words.sentence(f'{beyond} {there} there is no blend')}"
    return f"{words.sentence(f'{beyond} {there} there is no blend: {stops(end.against)}')}"


def stops(against: Sequence[Said]) -> str:
    """Which wishes stop a harder limit."""
    told = [words.in_sentence(said) for said in against[:OFTEN]]
    more = len(against) - len(told)
    told += [f"{more} more"] if more else []
    return f"{words.joined(told)} {'stop' if len(against) > 1 else 'stops'} it"


def free(curve: Curve) -> str:
    """Up to where the limit costs nothing; "" where that is not on the curve."""
    if curve.free is None:
        return ""
    if abs(curve.free) < NOTHING and curve.side == Side.AT_LEAST:
        return ""
    if max(point.cost_per_kg for point in curve.points) - min(point.cost_per_kg for point in curve.points) < FLAT:
        return "It costs nothing, as far as there is a blend."
    word = "Down to" if curve.side == Side.AT_MOST else "Up to"
    return f"{word} {at(curve, curve.free)} it costs nothing."


def nearest(near_to: str) -> str:
    """What a curve or a grid is of where the blend is to be near to a recipe in hand; "" where it is not."""
    if not near_to:
        return ""
    return (
        f"Each limit is answered by the blend nearest to {near_to} there: as little of its fats changed as can be, then measures as "
        "near as can be, and only then the cheapest. So the cost is that of the nearest blend, and may fall as well as rise."
    )


def now(curve: Curve) -> str:
    """What the file's own limit costs; "" where it has none on the curve."""
    here = next((point for point in curve.points if point.limit == curve.now), None)
    if here is None:
        return ""
    costs = words.priced(here.cost_per_kg, curve.currency)
    more = "" if here.each_more is None else f", and {a_step(curve)} more {dearer(step(curve) * here.each_more)}"
    return f"Your limit is {at(curve, here.limit)}: {costs} a kilo{more}."


def dearer(each: float) -> str:
    """What one unit more costs."""
    if abs(each) < words.LEAST_SHOWN / 2:
        return "costs nothing" if abs(each) < NOTHING else "costs next to nothing"
    return f"{'costs' if each > 0 else 'saves'} {words.money(abs(each), small=True)}"


def how_sure(curve: Curve) -> str:
    """How the figures were come by, in a sentence or two."""
    if curve.exact:
        return (
            "Exact: between two rows the same fats change along straight lines, and no blend "
            f"{'as near ' if curve.near_to else ''}is cheaper at any limit."
        )
    laid = [point for point in curve.points if not point.exact]
    if curve.is_near:
        return (
            "Each row is the blend that is answered at that limit, the nearest to the recipe with few fats changed (~, the dotted "
            "line); between rows another choice of fats may be the nearest, and the cost may jump: ask blend at the very limit."
        )
    if curve.is_counted:
        return (
            "Fats are counted here: each choice of them is followed exactly, and which choice is the cheapest was asked at "
            "chosen limits, not at every one."
        )
    if len(laid) == len(curve.points):
        return "All of it is laid through single answers (~, the dotted line); between them it is about right."
    where = f"from {at(curve, laid[0].limit)} to {at(curve, laid[-1].limit)}" if laid else "in part"
    return f"Rows with ~ and the dotted line {where} are laid through single answers; the rest is exact."


def gives_way(curve: Curve) -> str:
    """What is not kept in full from the easy end on; "" where all is."""
    if not curve.gives_way:
        return ""
    told = words.joined([words.in_sentence(one) for one in curve.gives_way[:OFTEN]])
    return words.sentence(f"{told} give{'' if len(curve.gives_way) > 1 else 's'} way from the start")


def poured(curve: Curve) -> str:
    """What 'blend' answers beside the curve, where it leaves pinches out; "" where that is all the same."""
    dearest = max((point.poured - point.cost_per_kg for point in curve.points if point.poured is not None), default=0.0)
    if dearest < 1e-6:
        return ""
    told = f"at most {words.money(dearest, small=True)}" if dearest >= words.LEAST_SHOWN else "less than 0.001"
    return f"'blend' leaves pinches of a fat out: in the rows here its answer is {told} dearer than the curve."


def falls(curve: Curve) -> str:
    """That the cost falls where rules give way; "" where it does not."""
    gave = [point for point in curve.points if point.gives_way]
    costs = [point.cost_per_kg for point in (curve.points if curve.side != Side.AT_MOST else curve.points[::-1])]
    drops = any(later < earlier - FLAT for earlier, later in pairwise(costs))
    if not gave or not drops or curve.side == Side.EXACTLY:
        return ""
    return "Where a rule of the house gives way the cost may fall: the bar is held to less."


def ticked(value: float, top: float, foot: float) -> str:
    """A cost beside a chart, in as many decimals as tell it from the next."""
    return words.money(value) if top - foot >= TWO_DECIMALS else f"{value:.3f}"


def shown_top(costs: Sequence[float]) -> float:
    """The cost at which a chart is cut: that of all but its dearest tenth where that tenth takes half the height."""
    top, bottom = max(costs), min(costs)
    ordered = sorted(costs)
    most = ordered[max(0, math.ceil((1.0 - LAST) * len(ordered)) - 1)]
    return most + LAST * (most - bottom) if most - bottom < HALF_CUT * (top - bottom) and most > bottom else top
