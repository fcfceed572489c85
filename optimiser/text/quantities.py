"""Figures as people write them: "110 g", "4 oz", "2.5 kg", "35 degC", "5 %", "6.40 / kg".

All readers take text and raise `Misread` with words for the one who wrote it; spans are put in by the caller. Longer than
most rooms, since one grammar of figures serves every unit: parted by units it would stand there several times.
"""

from __future__ import annotations

import math
import re
import unicodedata
from decimal import Decimal
from typing import NamedTuple

from optimiser.maths.units import MASS
from optimiser.text.codes import Code
from optimiser.text.names import listed, nearest, shown

VOLUME = {"ml": 1.0, "cl": 10.0, "dl": 100.0, "l": 1000.0, "cm3": 1.0, "in3": 16.387064}  # mL; in3 by 2.54 cm
LENGTH = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54}  # cm
_LONG_FORMS = {
    "gram": "g", "grams": "g", "gr": "g", "grm": "g", "milligram": "mg", "milligrams": "mg",
    "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "kgs": "kg",
    "ounce": "oz", "ounces": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "inch": "in", "inches": "in", '"': "in", "”": "in", "″": "in",
    "millimetre": "mm", "millimetres": "mm", "centimetre": "cm", "centimetres": "cm", "metre": "m", "metres": "m",
    "meter": "m", "meters": "m", "centimeter": "cm", "centimeters": "cm", "millimeter": "mm", "millimeters": "mm",
    "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml", "litre": "l", "litres": "l",
    "liter": "l", "liters": "l", "cc": "cm3", "cm^3": "cm3", "in^3": "in3",
}  # fmt: skip
_CELSIUS = frozenset({"c", "degc", "°c", "deg c", "celsius", "degrees c", "degrees celsius", "° c"})
_FAHRENHEIT = frozenset({"f", "degf", "°f", "deg f", "fahrenheit", "degrees f", "degrees fahrenheit", "° f"})
_VOLUMES = frozenset(
    {"ml", "l", "cl", "dl", "litre", "litres", "liter", "liters", "cup", "cups", "tsp", "tbsp", "fl oz", "gal"}
)
_MEASURING = frozenset({*MASS, *LENGTH, *_VOLUMES, *_CELSIUS, *_FAHRENHEIT, "fl", "part", "parts", "ppm", "ppt", "‰"})
_PER_CENT = frozenset({"%", "percent", "per cent", "pct", "％"})
_SYMBOL_CODES = {"€": "EUR", "£": "GBP", "¥": "JPY", "₹": "INR", "₺": "TRY", "₽": "RUB"}
_CURRENCY_WORDS = frozenset({"kr", "zł", "kč", "ft", "fr", "lei"})

_SIGN = "[+\\-\u2212\u2013]?"
_NUMBER = re.compile(rf"\s*({_SIGN})\s*((?:\d{{1,3}}(?: \d{{3}})+(?!\d)|\d+)?(?:\.\d*)?(?:[eE][+\-]?\d+)?)")
_POUNDS_AND_OUNCES = re.compile(
    r"(?:lbs?|pounds?)\b\.?,?\s*(?:and\s+|&\s*)?(\d+(?:\.\d+)?)\s*(?:oz|ounces?)\.?", re.IGNORECASE
)
OUNCES_IN_A_POUND = 16.0
_LONGEST = 60
VESSELS = frozenset(
    ("l", "ml", "cl", "litre", "liter", "bottle", "jar", "tub", "bucket", "drum", "gallon", "pack", "tin")
)
MOST_LETTERS = 120  # of a figure with its unit and whatever surrounds it


class Misread(ValueError):
    """A figure that could not be read: a stable code, a message that stands alone, and what to write instead."""

    def __init__(self, code: Code, message: str, help_: str = "") -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.help = help_


class Number(NamedTuple):
    """A figure with whatever stands after it. `digits` is the figure as the maker wrote it, for telling it back."""

    value: float
    digits: str
    rest: str


class Money(NamedTuple):
    """An amount of money for a unit of something: `per` is a mass unit ("kg", "lb", ...), "bar", or "" if none was given.

    `amount` is for one unit of `per`. `currency` is as written, or "".
    """

    amount: float
    digits: str
    per: str
    currency: str


def read_number(text: str) -> Number:
    """The figure at the start of the text.

    Raises:
        Misread: there is none, or it is not finite, or has a decimal comma.
    """
    plain = _plain(text)
    if not plain:
        raise Misread(Code.NO_FIGURE, "a figure is missing here")
    found = _NUMBER.match(plain)
    digits = found.group(2) if found else ""
    if found is None or not any(mark.isdigit() for mark in re.split("[eE]", digits)[0]):
        raise _no_number(plain)
    rest = plain[found.end() :]
    if rest[:1] in (",", ":", "_", ".", "'") and rest[1:2].isdigit():
        raise _odd_mark(plain, rest[0])
    _no_second_figure(plain, digits, rest.strip())
    sign = "-" if found.group(1) in ("-", "\u2212", "\u2013") else ""
    value = float(sign + digits.replace(" ", ""))
    if not math.isfinite(value) or len(digits) > _LONGEST:
        raise _endless(plain)
    return Number(value, _as_told(sign, digits, value), rest.strip())


def read_plain(text: str, what: str, units: tuple[str, ...] = ()) -> Number:
    """A figure without a unit (or with one of `units`, which say nothing new).

    Raises:
        Misread: no figure, or another unit.
    """
    number = read_number(text)
    if number.rest and number.rest.casefold() not in {unit.casefold() for unit in units}:
        kind = f"is given in {units[0]}" if units else "is a plain figure"
        raise Misread(Code.WRONG_UNIT, f"{what} {kind}, not in {shown(number.rest)}", f"write {number.digits}")
    return number


def read_count(text: str, what: str) -> int:
    """A whole number of things.

    Raises:
        Misread: no figure, not whole, or with a unit.
    """
    number = read_plain(text, what)
    if number.value != int(number.value):
        low = math.floor(number.value)
        raise Misread(
            Code.NOT_WHOLE,
            f"{what} is a whole number, not {number.digits}",
            f"write {max(low, 1)} or {max(low, 1) + 1}",
        )
    return int(number.value)


def read_mass(text: str, what: str = "this") -> float:
    """A mass in kg.

    Raises:
        Misread: no figure, no unit, or a unit that is no mass.
    """
    return _with_unit(text, what, MASS, "a mass", ("g", "kg", "oz", "lb"))


def read_length(text: str, what: str = "this") -> float:
    """A length in cm.

    Raises:
        Misread: no figure, no unit, or a unit that is no length.
    """
    return _with_unit(text, what, LENGTH, "a length", ("cm", "in"))


def read_volume(text: str, what: str = "this") -> float:
    """A volume in mL; of cups, fluid ounces and gallons there are several sizes, so none is taken.

    Raises:
        Misread: no figure, no unit, or a unit that is no volume of one size.
    """
    return _with_unit(text, what, VOLUME, "a volume", ("ml", "l"))


def read_temperature(text: str, what: str = "this") -> float:
    """A temperature in degC.

    Raises:
        Misread: no figure, no unit, or a unit that is no temperature.
    """
    number = read_number(text)
    unit = number.rest.casefold()
    if unit in _CELSIUS:
        return number.value
    if unit in _FAHRENHEIT:
        return (number.value - 32.0) / 1.8
    told = number.digits
    if not unit or unit in ("°", "deg", "degrees"):
        raise Misread(Code.NO_UNIT, f"{what} is a temperature without a unit", f"write {told} degC or {told} degF")
    raise Misread(
        Code.WRONG_UNIT, f"{what} is a temperature; {shown(number.rest)} is none", f"write {told} degC or {told} degF"
    )


def read_share(text: str, what: str = "this") -> Number:
    """A share in per cent. Without a sign, figures above 1 are per cent, and from 0 to 1 they could be a fraction too.

    Raises:
        Misread: no figure, another unit, or a figure that could be read both ways.
    """
    number = read_number(text)
    if number.rest.casefold() in _PER_CENT:
        return number
    told = number.digits
    if number.rest:
        help_ = "write what part of the whole it is, in per cent" if is_measured(number.rest) else f"write {told} %"
        raise Misread(Code.WRONG_UNIT, f"{what} is given in per cent, not in {shown(number.rest)}", help_)
    if 0 < abs(number.value) <= 1:
        hundredfold = write_number(round(number.value * 100, 10))
        message = f"{told} without a sign could be {told} % or {hundredfold} %"
        raise Misread(Code.SHARE_OR_FRACTION, message, f"write {told} % or {hundredfold} %")
    return number


def in_kg(number: Number) -> float | None:
    """The mass that a figure is with its unit; None where the unit is no mass. Pounds may have ounces after them."""
    both = _POUNDS_AND_OUNCES.fullmatch(number.rest)
    if both is not None:
        return number.value * MASS["lb"] + math.copysign(_ounces(both.group(1)), number.value) * MASS["oz"]
    unit = number.rest.casefold().rstrip(".")
    unit = _LONG_FORMS.get(unit, unit)
    return number.value * MASS[unit] if unit in MASS else None


def is_measured(unit: str) -> bool:
    """Whether a unit measures something, so that its figure is another one in per cent."""
    folded = unit.casefold().strip(". ")
    words = {folded, folded.split("/")[0].split(" ")[0].rstrip("."), *folded.split(" ")[:1]}
    return any(_LONG_FORMS.get(word, word) in _MEASURING for word in words)


def read_money(text: str, what: str = "this") -> Money:
    """An amount of money, for a unit where one is given: "6.40 / kg", "EUR 6.40 / bar", "14.90 / 5 kg".

    Raises:
        Misread: no figure, or a unit that is neither a mass nor a bar.
    """
    plain = _plain(text)
    parts = re.split(r"\s*/\s*|\s+per\s+|\s+a\s+", plain, maxsplit=1)
    amount, currency = _amount(parts[0], what)
    if len(parts) == 1:
        return Money(amount.value, amount.digits, "", currency)
    count, per = _per(parts[1], what, amount.digits)
    if count == 1.0:
        return Money(amount.value, amount.digits, per, currency)
    value = amount.value / count
    return Money(value, write_number(round(value, 6)), per, currency)


def same_currency(one: str, other: str) -> bool:
    """Whether two ways to write a currency may mean the same; one that is not given matches all."""
    first, second = (_SYMBOL_CODES.get(name, name.upper()) for name in (one, other))
    if "$" in (first, second):
        return "$" in first + second and all(name == "$" or name.endswith(("D", "$")) for name in (first, second))
    return not first or not second or first == second


# -- writing ---------------------------------------------------------------------------------------------------


def write_number(value: float) -> str:
    """A figure that reads back as the same figure, without an exponent."""
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    return f"{Decimal(repr(float(value))):f}"


# -- the parts -------------------------------------------------------------------------------------------------


def _plain(text: str) -> str:
    """Thin and fixed blanks as plain ones, full-width figures as ordinary ones.

    Raises:
        Misread: longer than any figure with its unit.
    """
    refuse_long(text)
    return " ".join((text if text.isascii() else unicodedata.normalize("NFKC", text.replace("″", '"'))).split())


def refuse_long(text: str) -> None:
    """Refuses what is longer than any figure, so that nobody has to search it.

    Raises:
        Misread: it is.
    """
    if len(text) > MOST_LETTERS:
        raise Misread(
            Code.TOO_LONG, f"{shown(text[:MOST_LETTERS])} is too long for a figure", "write a figure and its unit"
        )


def _as_told(sign: str, digits: str, value: float) -> str:
    told = digits.replace(" ", "")
    if re.fullmatch(r"(0|[1-9]\d*)(\.\d+)?", told):
        return sign + told
    return write_number(value)


def _no_number(plain: str) -> Misread:
    if re.fullmatch(r"[+-]?\.?(nan|inf|infinity)\s*.*", plain.casefold()):
        return _endless(plain)
    return Misread(Code.NOT_A_FIGURE, f"{shown(plain)} is not a figure")


def _endless(plain: str) -> Misread:
    help_ = "write a plain figure, or take the line out where there is to be no limit"
    return Misread(Code.NOT_A_FIGURE, f"{shown(plain)} is not a figure that can be reckoned with", help_)


def _no_second_figure(plain: str, digits: str, rest: str) -> None:
    if re.match(r"[/⁄]\s*\d", rest):
        raise Misread(Code.NOT_A_FIGURE, f"{shown(plain)} is a fraction", "write it with a point, as in 0.5")
    second = re.match(r"(?:[\-\u2010-\u2015\u2212]|to\b|\.\.+)\s*(\d[\d.]*)", rest)
    if second:
        help_ = f"write {{between: [{digits}, {second.group(1)}]}} where a range may stand"
        raise Misread(Code.RANGE, f"{shown(plain)} is a range, not one figure", help_)


def _odd_mark(plain: str, mark: str) -> Misread:
    word = re.match(r"[\d\s.,:_'+\-]*", plain)
    told = (word.group() if word else plain).strip(" .,:_'")
    if mark == "," and re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+(\.\d+)?", told) and ("." in told or told.count(",") > 1):
        return Misread(Code.COMMA, f"{shown(told)} has commas in it", f"write {told.replace(',', '')}")
    if mark == "," and told.count(",") == 1 and "." not in told:
        help_ = f"use a point: {told.replace(',', '.')}"
        if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", told):
            help_ = f"write {told.replace(',', '')}, or {told.replace(',', '.')} if the comma is a decimal one"
        return Misread(Code.COMMA, f"{shown(told)} has a decimal comma", help_)
    if mark == ":":
        return Misread(Code.NOT_A_FIGURE, f"{shown(told)} is a time or a ratio, not a figure")
    return Misread(Code.NOT_A_FIGURE, f"{shown(told)} is not a figure", "write it like 1500 or 1.5")


def _with_unit(text: str, what: str, units: dict[str, float], kind: str, usual: tuple[str, ...]) -> float:
    try:
        number = read_number(text)
    except Misread as fault:
        raise Misread(fault.code, fault.message, fault.help or f"write {kind}, as in 2 {usual[1]}") from None
    if units is MASS and (kilograms := in_kg(number)) is not None:
        return kilograms
    unit = number.rest.casefold().rstrip(".")
    unit = _LONG_FORMS.get(unit, unit)
    if unit in units:
        return number.value * units[unit]
    known = ", ".join(units)
    if not unit:
        message = f"{what} is {kind}, and {number.digits} has no unit"
        raise Misread(Code.NO_UNIT, message, f"write {listed([f'{number.digits} {unit}' for unit in usual])}")
    if unit in _VOLUMES and kind == "a mass":
        message = f"{shown(number.rest)} is a volume; {what} is weighed"
        raise Misread(Code.WRONG_UNIT, message, f"weigh it and give {known}")
    near = nearest(unit, units, most=1)
    hint = f"did you mean {listed(near)}? " if near else ""
    raise Misread(Code.WRONG_UNIT, f"{what} is {kind}; {shown(number.rest)} is no unit for it", f"{hint}units: {known}")


def _ounces(digits: str) -> float:
    """The ounces that stand after pounds; `Misread` where they are a pound or more."""
    ounces = float(digits)
    if ounces >= OUNCES_IN_A_POUND:
        message = f"{digits} oz after pounds are a pound and more"
        raise Misread(
            Code.OUT_OF_RANGE, message, "a pound has 16 ounces: write the pounds, and the ounces that are left"
        )
    return ounces


def _is_currency(word: str) -> bool:
    if len(word) == 1:
        return unicodedata.category(word) == "Sc"
    return bool(re.fullmatch(r"[A-Za-z]{3}|[A-Z]{1,2}\$", word)) or word.casefold() in _CURRENCY_WORDS


def _amount(text: str, what: str) -> tuple[Number, str]:
    """The amount with its currency, which may stand before or after it."""
    before = re.match(r"\s*([^\d\s.,+\-\u2212\u2013]+)\s*(?=[\d.+\-\u2212\u2013])", text)
    currency = before.group(1) if before and _is_currency(before.group(1)) else ""
    number = read_number(text[before.end() :] if before and currency else text)
    if number.rest and _is_currency(number.rest) and not currency and number.rest.casefold() != "bar":
        return Number(number.value, number.digits, ""), number.rest
    if number.rest:
        help_ = (
            f"write {number.digits} / {number.rest}"
            if number.rest.casefold() in (*MASS, "bar")
            else f"write {number.digits} / kg"
        )
        raise Misread(Code.WRONG_UNIT, f"{what} is money; {shown(number.rest)} is no unit for it", help_)
    return number, currency


def _per(text: str, what: str, amount: str) -> tuple[float, str]:
    """What the money buys: how many of which unit."""
    count, unit = 1.0, text
    if re.match(r"\s*[\d.+\-]", text):
        number = read_number(text)
        count, unit = number.value, number.rest
    folded = unit.strip().casefold().rstrip(".")
    folded = {"bars": "bar", "piece": "bar", "each": "bar"}.get(folded, _LONG_FORMS.get(folded, folded))
    if folded not in MASS and folded != "bar":
        message = f"{what} is money for a mass or a bar; {shown(unit or '/')} is neither"
        help_ = f"write {amount} / kg, / lb or / bar"
        if count != 1.0 or folded.removesuffix("s") in VESSELS:
            help_ = f"write {amount} / and what it weighs, as in {amount} / 4.6 kg"
        raise Misread(Code.WRONG_UNIT, message, help_)
    if count <= 0:
        raise Misread(
            Code.OUT_OF_RANGE, f"{what} is for {write_number(count)} {folded}", "the amount bought is above 0"
        )
    return count, folded
