"""How a fat is sold: the least that is sold at once, and prices of larger orders."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, ClassVar, NamedTuple

from optimiser.files.fields import TEXT
from optimiser.files.shelf.money import LEAST_SOLD, read_price
from optimiser.problem.money import Price
from optimiser.problem.shelf import Stocked
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, read_part, scalar
from optimiser.text.names import shown
from optimiser.text.nodes import Node, Row, Text, kind_of
from optimiser.text.quantities import Misread, read_mass
from optimiser.text.spans import Span

MOST_ORDER = 1e6  # kg
SAME = 1e-9  # of a price


class PriceBreak(NamedTuple):
    """From so many kg ordered at once every kilo of the order costs `price`."""

    from_kg: float
    price: Price
    span: Span


def read_minimum_order(node: Node, what: str, _: Any = None) -> float:
    """The least that is sold at once, kg."""
    text = scalar(node, what)
    kilograms = read_mass(text, what)
    if kilograms != 0 and not LEAST_SOLD <= kilograms <= MOST_ORDER:
        help_ = "write the least that is sold at once, 1 g or more, as in 5 kg, or take the line out"
        raise Misread(Code.OUT_OF_RANGE, f"a {what} of {text.strip()} cannot be", help_)
    return kilograms


def _from(node: Node, what: str, _: Any) -> float:
    text = scalar(node, what)
    kilograms = read_mass(text, what)
    if not LEAST_SOLD <= kilograms <= MOST_ORDER:
        message = f"a price that holds from {text.strip()} on cannot be"
        raise Misread(Code.OUT_OF_RANGE, message, "an order that has it weighs 1 g or more, as in 50 kg")
    return kilograms


class BreakForm(Form):
    """From what weight on every kilo of an order costs less, and how much."""

    what: ClassVar[str] = "a price break"
    example: ClassVar[str] = "breaks: [{from: 50 kg, price: 2.40 / kg}]"

    from_: float = field(
        Read("from", _from, TEXT), alias="from", description="What an order weighs that has this price, as in 50 kg."
    )
    price: Price = field(
        Read("price", read_price, TEXT), description="Of every kilo of such an order, as in 2.40 / kg."
    )


def read_breaks(node: Node, what: str, _: Any = None) -> tuple[PriceBreak, ...]:
    """A list of price breaks; or, where a table has room for text alone, "50 kg=2.40; 100 kg=2.20" (money per kg)."""
    if isinstance(node, Text):
        parts = re.split(r"[;|]", scalar(node, what))
        return _each_once([_break_of_text(part, node.span) for part in parts if part.strip()])
    if not isinstance(node, Row):
        message = f"'{what}' is a list, and this is {kind_of(node)}"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"write {BreakForm.example}", node.span))
    faults, out = Gathering(), list[PriceBreak]()
    for item in node:
        with faults:
            form = read_part(BreakForm, item)
            out.append(PriceBreak(form.from_, form.price, item.span))
    faults.settle()
    return _each_once(out)


def _break_of_text(part: str, span: Span) -> PriceBreak:
    weight, sign, price = part.partition("=")
    if not sign:
        raise Misread(Code.WRONG_SHAPE, f"{shown(part)} is no price break", "write 50 kg=2.40; 100 kg=2.20")
    per = price if "/" in price else f"{price.strip()} / kg"
    return PriceBreak(_from(Text(weight, span), "from", None), read_price(Text(per, span), "price"), span)


def _each_once(breaks: list[PriceBreak]) -> tuple[PriceBreak, ...]:
    """The breaks as they are told, if no two of them are for the same order.

    Raises:
        Faults: two begin at one weight.
    """
    seen: dict[float, PriceBreak] = {}
    for one in breaks:
        if one.from_kg in seen:
            message = f"two prices hold from {one.from_kg:g} kg on"
            note = (("the other one stands here", seen[one.from_kg].span),)
            raise Faults(Diagnostic(Code.REPEATED_KEY, message, "keep one of the two", one.span, note))
        seen[one.from_kg] = one
    return tuple(breaks)


def odd_orders(item: Stocked, currency: str) -> Iterator[Diagnostic]:
    """What looks odd in how a fat is sold: a larger pack, or order, whose kilo is dearer; a break that every order reaches."""
    name, money = item.fat.name, f"{currency} / kg".strip()

    def odd(message: str, help_: str) -> Diagnostic:
        return Diagnostic(Code.ODD_ORDER, message, help_, item.span)

    packs = sorted(item.packs)
    for small, large in pairwise(packs):
        dear, cheap = large.price / large.size_kg, small.price / small.size_kg
        if dear > cheap * (1.0 + SAME):
            yield odd(
                f"{name}: a kilo out of the pack of {large.size_kg:g} kg costs {dear:.2f} {money}, and out of that of "
                f"{small.size_kg:g} kg {cheap:.2f}",
                "is a size or a price wrong? A larger pack that does not pay is bought only where it fits the need",
            )
    price, start = item.price, 0.0
    for one in item.breaks:
        if one.price >= price * (1.0 - SAME):
            before = f"from {start:g} kg on" if start else "a smaller order"
            yield odd(
                f"{name}: from {one.from_kg:g} kg on a kilo costs {one.price:.2f} {money}, and {before} {price:.2f}",
                "a break is a lower price for a larger order: is one of the two wrong?",
            )
        if one.from_kg <= item.minimum_order_kg:
            yield odd(
                f"{name}: no order is below {item.minimum_order_kg:g} kg, so each has the price from {one.from_kg:g} kg on",
                f"write that as the price of the fat, price: {one.price:g} / kg, or correct one of the two",
            )
        price, start = one.price, one.from_kg
