"""How much of an additive or a liquid, as makers write it: a share, a mass in this batch, or a mass for a kilo of fats."""

from __future__ import annotations

import re
from typing import NamedTuple

from optimiser.problem.limits import GRAMS, PER_KILO
from optimiser.text.codes import Code
from optimiser.text.names import shown
from optimiser.text.quantities import Misread, Number, in_kg, is_measured, read_number, read_share, write_number

MOST_GRAMS = 1e8  # in a batch
MOST_PER_KILO = 4000.0  # g for a kilo of fats: more than any lye needs of water
_FOR_EACH = re.compile(r"\s*(?:/|\bper\b|\bfor (?:each|every)\b|\bto (?:each|every)\b|\ba\b)\s*", re.IGNORECASE)
_OF_FATS = re.compile(r"\s*\b(?:of|on)?\s*(?:all )?(?:the )?(?:fats?|oils?)$", re.IGNORECASE)
_SPOONS = re.compile(
    r"(?:(?:heaped|level|large|small)\s+)?(?:tb?sp?s?|table\s?spoons?|tea\s?spoons?|dessert\s?spoons?|spoons?|spoonfuls?"
    r"|cups?|drops?|pinch(?:es)?|handfuls?|dash(?:es)?)\b",
    re.IGNORECASE,
)


class Amount(NamedTuple):
    """A figure with its unit ("%", "g" or "g/kg"), and as the maker wrote it."""

    value: float
    unit: str
    told: str


def read_amount(text: str, what: str, of: str = "the fats") -> Amount:
    """How much of `what` a text says.

    Args:
        text: "2 %", "30 g", "1 oz", "10 g / kg", "0.5 oz / lb of fats".
        what: the additive or liquid.
        of: what its share is a share of.

    Raises:
        Misread: no figure, a spoon or another volume, another unit, or a share that could be a fraction.
    """
    number = read_number(text)
    if _SPOONS.match(number.rest):
        message = f"a spoon or a drop of {what} weighs something else each time: {shown(text)} is no mass"
        raise Misread(Code.WRONG_UNIT, message, f"weigh it, and write its grams: {_ways(of)}")
    mass = in_kg(number)
    if mass is not None:
        return _within(Amount(1000.0 * mass, GRAMS, f"{number.digits} {number.rest}"), MOST_GRAMS, what)
    each = _for_each(number)
    if each is not None:
        return _within(each, MOST_PER_KILO, what)
    if number.rest and is_measured(number.rest):
        message = f"{shown(number.rest)} is no mass and no share, and {what} is weighed"
        raise Misread(Code.WRONG_UNIT, message, f"weigh it: {_ways(of)}")
    share = read_share(text, what)
    return Amount(share.value, "%", f"{share.digits} %")


def _ways(of: str) -> str:
    return f"30 g in this batch, 10 g / kg of fats, or 2 % of {of}"


def _for_each(number: Number) -> Amount | None:
    """Grams for a kilo of fats, where the figure is a mass for a mass."""
    parts = _FOR_EACH.split(_OF_FATS.sub("", number.rest), maxsplit=1)
    if len(parts) != 2:
        return None
    mass = in_kg(number._replace(rest=parts[0].strip()))
    counted = re.match(r"\d[\d.]*", parts[1])
    count = Number(1.0, "1", parts[1].strip()) if counted is None else read_number(parts[1])
    fats = in_kg(count)
    if mass is None or fats is None or fats <= 0.0:
        return None
    each = f"{count.digits} {count.rest}" if counted is not None else count.rest
    return Amount(1000.0 * mass / fats, PER_KILO, f"{number.digits} {parts[0].strip()} / {each}")


def _within(amount: Amount, most: float, what: str) -> Amount:
    if not 0.0 <= amount.value <= most:
        message = f"{amount.told} of {what} cannot be weighed"
        raise Misread(Code.OUT_OF_RANGE, message, f"it lies between 0 and {write_number(most)} {amount.unit}")
    return amount
