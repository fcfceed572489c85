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

LEAST_SOLD = 0.001  # kg: less is neither a pack nor an order


class PackSize(NamedTuple):
    """One size that can be bought: kg and money, and the size as it is written."""

    size_kg: float
    price: float
    currency: str
    span: Span
    said: str = ""


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


def _size(node: Node, what: str, _: Any) -> tuple[float, str]:
    text = scalar(node, what)
    kilograms = read_mass(text, what)
    if not LEAST_SOLD <= kilograms <= 1e6:
        raise Misread(
            Code.OUT_OF_RANGE, f"a pack of {text.strip()} cannot be bought", "a size is 1 g or more, as in 5 kg"
        )
    return kilograms, " ".join(text.split())


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

    size: tuple[float, str] = field(Read("size", _size, TEXT), description="What the pack holds, as in 5 kg.")
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
            kilograms, said = form.size
            out.append(PackSize(kilograms, form.price.per_kg, form.price.currency, item.span, said))
    faults.settle()
    return tuple(out)


def _pack_of_text(part: str, span: Span) -> PackSize:
    size, sign, price = part.partition("=")
    if not sign:
        raise Misread(Code.WRONG_SHAPE, f"{shown(part)} is no pack", "write 5 kg=14.90; 25 kg=60")
    price_ = _pack_price(Text(price, span), "price", None)
    kilograms, said = _size(Text(size, span), "size", None)
    return PackSize(kilograms, price_.per_kg, price_.currency, span, said)
