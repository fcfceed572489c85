"""Figures and lists as a maker writes them: money, grams, per cent, signed steps, sentences with their commas."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.measures.telling import told
from optimiser.problem.limits import PER_KILO
from optimiser.problem.units import Units
from optimiser.problem.wishes import Whose
from optimiser.recipe.balance import written
from optimiser.recipe.weights import Weights, rough, step_told
from optimiser.text.signs import for_shell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.answers.results import GoalLine, StoodAside
    from optimiser.problem.wishes import Said

NOTHING = "-"
HARD_OILS = "hard oils"
ON_HARD_OILS = "Here 'hard oils' are without butters; 'solid fats' are both."
MONEY = "money"  # stands for a currency that nobody named
GLUE = "\ud800"  # keeps a figure and its unit on one line, printed as a blank; a sign that no file and no argument can hold
SMALL = 1.0  # money below which a third decimal says something
CENT = 0.005
FINE_UNITS = {"ratio", "money"}  # told in two decimals
BARE_UNITS = {"index", "", "ratio", "money"}  # told without a unit
LITRES = 2000.0  # mL from which litres are told
A_BAR = 0.05  # of a bar: less over or short is not told
LEAST_SHOWN = 0.001  # money of a small step; less is said to be less
UNIT = r"%|[A-Z]{3}\b|mg KOH/g|g I2/100|mg/L|k?g\b|oz\b|lb\b|m?L\b|degC|°C|degF|°F|mm\b|cm\b|min\b|[hs]\b|points?\b|bars?\b|fats?\b"
HELD = re.compile(
    rf"(?<=\d) (?=(?:{UNIT}))|(?<=\bmg) (?=KOH/g)|(?<=\bg) (?=I2/100)|(?<=I2/100) (?=g\b)| (?=/ \w)|(?<=/) (?=\w)"
)


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


def price_of_having(amount: float | None) -> str:
    """What a preference costs: a dash where that is not known, and what it saves told as such."""
    if amount is None:
        return NOTHING
    if abs(amount) < CENT:
        return "< 0.01" if amount else "nothing"
    return money(amount) if amount > 0 else f"saves {money(-amount)}"


def floor_money(amount: float) -> str:
    """A lower bound in four decimals, rounded down so that what is printed is still true."""
    return f"{math.floor(amount * 1e4 + 1e-6) / 1e4:.4f}"


def grams(value: float, decimals: int) -> str:
    """Grams for the balance; the unit stands in the column's head."""
    return written(value, decimals, GLUE) if math.isfinite(value) else NOTHING


def to_a_step(step: float, units: Units = Units.GRAMS) -> str:
    """To what weights were rounded, after them; nothing where they were not."""
    return f", to {step_told(units, step)}" if step else ""


def volume(millilitres: float) -> str:
    """A volume to pour: whole millilitres, litres in three digits where there are many."""
    if millilitres < LITRES:
        return f"{millilitres:.0f}{GLUE}mL"
    litres = millilitres / 1000.0
    decimals = max(0, 2 - math.floor(math.log10(litres)))
    return f"{grams(round(litres, 2 - math.floor(math.log10(litres))), decimals)}{GLUE}L"


def room(litres: float, within: float) -> str:
    """The room that batter takes up, and how far off that may be (a fraction): "takes up about 1.90 L (1.86 L to 1.94 L), ..."."""
    low, high = (volume(1000.0 * litres * (1.0 + part)) for part in (-within, within))
    return f"takes up about {volume(1000.0 * litres)} ({low} to {high}), by the densities of fats and lye"


def bars(number: float, each_grams: float, units: Units = Units.GRAMS) -> str:
    """How many bars of how many grams, and what is over: "15 bars of 110 g and 11 g over"; a twentieth of a bar is not told."""
    whole = math.floor(number + A_BAR)
    over = (number - whole) * each_grams
    weights = bar_weights(units)
    size = weights.told(each_grams, GLUE)
    if not whole:
        return f"less than a bar of {size} ({weights.told(over, GLUE)})"
    says = f"{grams(whole, 0)}{GLUE}{'bar' if whole == 1 else 'bars'} of {size}"
    return says if number - whole < A_BAR else f"{says} and {weights.told(over, GLUE)} over"


def bar_weights(units: Units) -> Weights:
    """How the weight of a bar is told: in grams where batches are told in kilograms, in ounces where they are in pounds."""
    small = {Units.KILOGRAMS: Units.GRAMS, Units.POUNDS: Units.OUNCES, Units.POUNDS_AND_OUNCES: Units.OUNCES}
    return rough(small.get(units, units))


def per(currency: str, what: str) -> str:
    """Money by something, in a heading or after an amount: "EUR / kg"; where no currency is named, "/ kg"."""
    return f"{currency} / {what}" if currency else f"/ {what}"


def heading_per(currency: str, what: str) -> str:
    """The same where it stands alone: "EUR / kg of cured bar", "money / kg of cured bar"."""
    return per(currency or MONEY, what)


def priced(amount: float, currency: str) -> str:
    """An amount with its currency, where one is named."""
    return f"{money(amount)} {currency}".rstrip().replace(" ", GLUE)


def _no_minus_zero(value: float, decimals: int) -> float:
    return round(value, decimals) + 0.0


def figure(value: float, unit: str) -> str:
    """A figure with its unit, in as many digits as it deserves; points of a measure carry none."""
    if not math.isfinite(value):
        return NOTHING
    decimals = decimals_of(unit)
    if unit == "fats":
        return f"{value:.0f}"
    text = f"{_no_minus_zero(value, decimals):.{decimals}f}"
    return text if unit in BARE_UNITS else f"{text} {unit.strip()}".replace(" ", GLUE)


def decimals_of(unit: str) -> int:
    """In how many decimals figures of a unit are told."""
    return 0 if unit == "fats" else 2 if unit in FINE_UNITS or " / " in unit else 1


def against(value: float, limit: float, side: Side, unit: str, *, met: bool) -> str:
    """A figure with its unit beside its limit, in the digits in which print and verdict agree."""
    if not math.isfinite(value):
        return NOTHING
    text = told(value, limit, side, decimals_of(unit), met=met)
    bare = unit in BARE_UNITS or unit == "fats"
    return (text if bare else f"{text} {unit.strip()}").replace(" ", GLUE)


def column_against(value: float, limit: float, side: Side, unit: str, *, met: bool) -> str:
    """The same in a column, where a long unit is left out."""
    return against(value, limit, side, "money" if " / " in unit else "" if is_long(unit) else unit, met=met)


def in_column(value: float, unit: str) -> str:
    """A figure in a column beside the goal's words; it keeps its decimals, and loses a long unit."""
    return figure(value, unit).split(GLUE)[0] if is_long(unit) else figure(value, unit)


def is_long(unit: str) -> bool:
    """Whether a unit is one of those of two parts that are too long for a column; grams for a kilo are not."""
    return "/" in unit and unit != PER_KILO


def amount(value: float, unit: str) -> str:
    """A distance in its unit: "1 point", "3.2 points", "0.5 %"."""
    if unit in {"index", ""}:
        return f"{value:g} {'point' if math.isclose(value, 1.0) else 'points'}"
    if unit == "fats":
        return f"{value:g} {'fat' if math.isclose(value, 1.0) else 'fats'}"
    if unit == "ratio":
        return f"{value:g}"
    return (f"{value:.2f} {unit.strip()}" if " / " in unit else f"{value:g} {unit}").replace(" ", GLUE)


def small_step(saved: float) -> str:
    """Money that a small step saves or costs; too little for three decimals is said to be less than that."""
    return f"< {LEAST_SHOWN}" if 0.0 < saved < LEAST_SHOWN / 2 else money(saved, small=True)


def step_of(goal: GoalLine) -> float:
    """How much easier is worth pricing: one unit, a tenth where one unit is a large change, 0.10 of money."""
    from optimiser.measures.quantities import quantities

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
    if is_long(goal.unit):
        return "a unit"
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
    """Words with every figure held to its unit."""
    return HELD.sub(GLUE, text)


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun: "1 clash", "3 clashes"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """The text with a capital first letter and a full stop."""
    trimmed = text.strip()
    if not trimmed:
        return ""
    return trimmed[0].upper() + trimmed[1:] + ("" if trimmed[-1] in ".!?" else ".")


def begun(text: str) -> str:
    """With a capital in front, and the rest as it is: the number of a lot keeps its letters."""
    return text[:1].upper() + text[1:]


def without_house(said: Said) -> str:
    """A wish in a table or a list; of a house rule or an end of the shelf's own the heading has said whose it is."""
    return one_side(said) if said.whose in (Whose.HOUSE, Whose.SHELF) else glued(f"{said.by}{one_side(said)}")


def as_it_stands(rule: StoodAside) -> str:
    """A rule that gave way, and how far."""
    says = without_house(rule.said)
    if rule.at is None:
        return says
    sign = f"{GLUE}%" if rule.unit == "%" else ""
    if rule.said.side == Side.EXACTLY:
        return f"{rule.said.subject} {rule.at:g}{sign} instead of the usual {rule.said.figure}"
    return f"{says} (stands at{GLUE}{rule.at:g}{sign})"


def in_sentence(said: Said) -> str:
    """A wish as a part of a sentence: a house rule and a stock lose their colons."""
    if said.whose == Whose.HOUSE:
        return f"the house rule of {one_side(said)}"
    if said.whose == Whose.SHELF:
        return f"{said.whose} of {one_side(said)}"
    if said.whose == Whose.STOCK:
        remark = f" and {said.remark}" if said.remark else ""
        return glued(f"only {said.figure} of {said.subject} in stock{remark}")
    if said.whose == Whose.LEFT:
        return glued(f"what the other bars leave ({said.left})")
    return without_house(said)


def one_side(said: Said) -> str:
    """One side of a wish by itself, whoever asks: "superfat at least 3 %" for "superfat between ... (at least 3 %)".

    An end that was written as a word is told with the other.
    """
    if is_none(said):
        return glued(f"no {said.subject}")
    return glued(said.wish if said.between is None or said.word else f"{said.subject} {said.limit}")


def is_none(said: Said) -> bool:
    """Whether nothing of it may be in the pot at all."""
    return said.limit == "at most 0 %" and said.between is None and not said.word and is_of_fats(said.subject)


def is_of_fats(subject: str) -> bool:
    """Whether a wish is about something in the pot, and no figure of the bar or the batch."""
    from optimiser.measures.quantities import quantities

    return all(subject not in (known.id, known.words) for known in quantities().values())


def both_sides(said: Said) -> str:
    """A wish without which of its sides is meant, so that its sides are told once."""
    return one_side(said) if is_none(said) else glued(said.wish if said.word else said.whole)


def path(written: str) -> str:
    """A path for reading: without detours such as "goals/../inventory"."""
    import os.path

    return os.path.normpath(written) if written else ""


def quoted(path: str) -> str:
    """A path as a shell takes it."""
    return for_shell(path)
