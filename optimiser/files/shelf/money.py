"""Money on the shelf: prices for a mass, and packs of a size."""

from __future__ import annotations

import re
from typing import Any, ClassVar, NamedTuple

from optimiser.files.fields import FIGURE, TEXT
from optimiser.maths.units import MASS
from optimiser.problem.money import MOST_MONEY, Price
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, read_part, scalar
from optimiser.text.names import shown
from optimiser.text.nodes import Node, Row, Text, kind_of
from optimiser.text.quantities import Misread, read_mass, read_money
from optimiser.text.spans import Span


class PackSize(NamedTuple):
    """One size that can be bought: kg and money."""

    size_kg: float
    price: float
    currency: str
    span: Span


def read_price(node: Node, what: str, _: Any = None) -> Price:
    """Money for a mass."""
    text = scalar(node, what)
    money = read_money(text, what)
    if not money.per:
        raise Misread(
            Code.NO_UNIT, f"{money.digits} does not say for how much", f"write {money.digits} / kg (or / lb, / 5 kg)"
        )
    if money.per == "bar":
        raise Misread(Code.WRONG_UNIT, f"{what} is for a mass, not for a bar", f"write {money.digits} / kg")
    return Price(_sum(money.amount / MASS[money.per], what, text), money.currency, text.span)


def _sum(amount: float, what: str, text: str) -> float:
    if amount < 0:
        raise Misread(Code.OUT_OF_RANGE, f"{what} is below nothing: {text.strip()}", "write 0 for what costs nothing")
    if amount > MOST_MONEY:
        raise Misread(
            Code.OUT_OF_RANGE, f"{what} of {text.strip()} is more than a million per kg", "is the unit right?"
        )
    return amount


def _size(node: Node, what: str, _: Any) -> float:
    text = scalar(node, what)
    kilograms = read_mass(text, what)
    if not 0 < kilograms <= 1e6:
        raise Misread(Code.OUT_OF_RANGE, f"a pack of {text.strip()} cannot be bought", "a size is above 0")
    return kilograms


def _pack_price(node: Node, what: str, _: Any) -> Price:
    text = scalar(node, what)
    money = read_money(text, what)
    if money.per:
        raise Misread(Code.WRONG_UNIT, "the price of a pack is for the whole pack", f"write {money.digits}")
    return Price(_sum(money.amount, what, text), money.currency, text.span)


class PackForm(Form):
    """A size that can be bought, and what the whole pack costs."""

    what: ClassVar[str] = "a pack"
    example: ClassVar[str] = "packs: [{size: 5 kg, price: 14.90}]"

    size: float = field(Read("size", _size, TEXT), description="What the pack holds, as in 5 kg.")
    price: Price = field(Read("price", _pack_price, FIGURE), description="What the whole pack costs.")


def read_packs(node: Node, what: str, _: Any = None) -> tuple[PackSize, ...]:
    """A list of packs; or, where a table has room for text alone, "5 kg=14.90; 25 kg=60"."""
    faults, out = Gathering(), []
    if isinstance(node, Text):
        parts = re.split(r"[;|]", scalar(node, what))
        return tuple(_pack_of_text(part, node.span) for part in parts if part.strip())
    if not isinstance(node, Row):
        raise Faults(
            Diagnostic(
                Code.WRONG_SHAPE,
                f"'{what}' is a list, and this is {kind_of(node)}",
                f"write {PackForm.example}",
                node.span,
            )
        )
    for item in node:
        with faults:
            form = read_part(PackForm, item)
            out.append(PackSize(form.size, form.price.per_kg, form.price.currency, item.span))
    faults.settle()
    return tuple(out)


def _pack_of_text(part: str, span: Span) -> PackSize:
    size, sign, price = part.partition("=")
    if not sign:
        raise Misread(Code.WRONG_SHAPE, f"{shown(part)} is no pack", "write 5 kg=14.90; 25 kg=60")
    price_ = _pack_price(Text(price, span), "price", None)
    return PackSize(_size(Text(size, span), "size", None), price_.per_kg, price_.currency, span)
