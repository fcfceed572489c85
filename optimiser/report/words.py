"""Figures and lists as a maker writes them: money, grams, per cent, signed steps, sentences with their commas."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from optimiser.story import GoalLine

NOTHING = "-"
GLUE = "\ue000"  # keeps a figure and its unit on one line; printed as a blank (no blank to any wrapping rule)
SMALL = 1.0  # money below which a third decimal says something
CENT = 0.005
FINE_UNITS = {"ratio", "money"}  # told in two decimals
BARE_UNITS = {"index", "", "ratio", "money"}  # told without a unit
PLACES_MOST = 3  # no balance at a soap bench shows more
HOUSE = "house practice: "
BETWEEN = re.compile(r"^(.+) between .+ \((at (?:least|most) [^()]+)\)$")
SIDE = re.compile(r" \(at (?:least|most) [^()]+\)$")


def money(amount: float, *, small: bool = False) -> str:
    """Two decimals; three for a small price per unit. "free" is never said: nothing is 0.00."""
    if not math.isfinite(amount):
        return NOTHING
    return f"{_no_minus_zero(amount, 3):.3f}" if small and abs(amount) < SMALL else f"{_no_minus_zero(amount, 2):.2f}"


def saving(amount: float | None) -> str:
    """What giving something up saves: a dash where nobody asked or nothing is saved."""
    if amount is None or not math.isfinite(amount) or amount <= 0:
        return NOTHING
    return money(amount) if amount >= CENT else "< 0.01"


def floor_money(amount: float) -> str:
    """A lower bound in four decimals, rounded down so that what is printed is still true."""
    return f"{math.floor(amount * 1e4 + 1e-6) / 1e4:.4f}"


def places(values: Iterable[float]) -> int:
    """The decimals that a column of weights needs so that none is shown rounder than it is weighed."""
    needed = 0
    for value in values:
        while needed < PLACES_MOST and abs(value - round(value, needed)) > 10.0**-PLACES_MOST / 2:
            needed += 1
    return needed


def grams(value: float, decimals: int) -> str:
    """Grams for the balance; the unit stands in the column's head."""
    return f"{_no_minus_zero(value, decimals):.{decimals}f}" if math.isfinite(value) else NOTHING


def _no_minus_zero(value: float, decimals: int) -> float:
    return round(value, decimals) + 0.0


def figure(value: float, unit: str) -> str:
    """A figure with its unit, in as many digits as it deserves; points of a measure carry none."""
    if not math.isfinite(value):
        return NOTHING
    if unit == "fats":
        return f"{value:.0f}"
    decimals = 2 if unit in FINE_UNITS or " / " in unit else 1
    text = f"{_no_minus_zero(value, decimals):.{decimals}f}"
    return text if unit in BARE_UNITS else f"{text} {unit}".replace(" ", GLUE)


def amount(value: float, unit: str) -> str:
    """A distance in its unit: "1 point", "3.2 points", "0.5 %"."""
    if unit in {"index", ""}:
        return f"{value:g} {'point' if math.isclose(value, 1.0) else 'points'}"
    if unit == "fats":
        return f"{value:g} {'fat' if math.isclose(value, 1.0) else 'fats'}"
    if unit == "ratio":
        return f"{value:g}"
    return (f"{value:.2f} {unit}" if " / " in unit else f"{value:g} {unit}").replace(" ", GLUE)


def step_of(goal: GoalLine) -> float:
    """How much easier is worth pricing: one unit, a tenth where one unit is a large change, 0.10 of money."""
    from optimiser.quantities import quantities

    if " / " in goal.unit:
        return 0.1
    known = quantities().get(goal.figure)
    return 0.1 if known is not None and known.scale < 1.0 else 1.0


def each(goal: GoalLine) -> str:
    """The step that is priced, after a price: "a point", "a tenth", "a %", "for 0.10"."""
    step = step_of(goal)
    if " / " in goal.unit:
        return f"for {step:.2f}"
    if step < 1.0:
        return "a tenth"
    return "a point" if goal.unit in {"index", ""} else f"a {goal.unit}"


def joined(parts: Sequence[str], last: str = "and") -> str:
    """A list in a sentence. Parts that hold a comma or an "and" of their own are parted by semicolons."""
    if len(parts) < 2:
        return "".join(parts)
    heavy = any("," in part or f" {last} " in part for part in parts)
    if len(parts) == 2:
        return f"{parts[0]}, {last} {parts[1]}" if heavy else f"{parts[0]} {last} {parts[1]}"
    mark = ";" if heavy else ","
    return f"{f'{mark} '.join(parts[:-1])}{mark if heavy else ''} {last} {parts[-1]}"


def glued(text: str) -> str:
    """A maker's words with every figure held to its unit."""
    return re.sub(r"(?<=\d) (?=%|k?g\b)| (?=/ \w)|(?<=/) (?=\w)", GLUE, text)


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun: "1 clash", "3 clashes"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """The text with a capital first letter and a full stop."""
    trimmed = text.strip()
    if not trimmed:
        return ""
    return trimmed[0].upper() + trimmed[1:] + ("" if trimmed[-1] in ".!?" else ".")


def without_house(says: str) -> str:
    """A house rule's words where the heading has said whose rule it is."""
    return glued(one_side(says.removeprefix(HOUSE)))


def in_sentence(says: str) -> str:
    """A wish as a part of a sentence: a house rule and a stock lose their colons."""
    if says.startswith(HOUSE):
        return f"the house rule of {without_house(says)}"
    stock = re.fullmatch(r"(.+) in stock: (.+)", says)
    return glued(f"only {stock[2]} of {stock[1]} in stock" if stock else one_side(says))


def one_side(says: str) -> str:
    """One side of a wish for a stretch by itself: "superfat at least 3 %" for "superfat between ... (at least 3 %)"."""
    return BETWEEN.sub(r"\1 \2", says)


def both_sides(says: str) -> str:
    """A wish without the remark which of its sides is meant."""
    return SIDE.sub("", says)


def rule_name(id: str) -> str:  # noqa: A002  # the id is what the rows call it
    """The rule's name in `practice.NAME.SIDE`."""
    return id.removeprefix("practice.").rpartition(".")[0]


def quoted(path: str) -> str:
    """A path as a shell takes it."""
    import shlex

    return shlex.quote(path)
