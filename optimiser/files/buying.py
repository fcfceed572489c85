"""What may be bought beyond the stock, and what is to be least: the entries `buy` and `aim` of a goal file."""

from __future__ import annotations

from typing import Any, NamedTuple

from optimiser.files.fields import OFF
from optimiser.problem.buying import ALL, CHEAPEST_TO_MAKE, LEAST_CASH, NOTHING, Buy, Buying
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, scalar, table
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Table
from optimiser.text.quantities import Misread, read_share
from optimiser.text.spans import Span

LEFT_COUNTS = "left counts"
EXAMPLE = "aim: {least cash: {left counts: 80 %}}"
AIM_SCHEMA: dict[str, Any] = {
    "anyOf": [
        {"enum": [CHEAPEST_TO_MAKE, LEAST_CASH]},
        {
            "type": "object",
            "required": [LEAST_CASH],
            "additionalProperties": False,
            "properties": {
                LEAST_CASH: {
                    "type": "object",
                    "required": [LEFT_COUNTS],
                    "additionalProperties": False,
                    "properties": {LEFT_COUNTS: {"type": "string"}},
                }
            },
        },
    ]
}


class MayBuy(NamedTuple):
    """What may be bought, and where that is said."""

    buy: Buy
    span: Span


class Aim(NamedTuple):
    """The share (a fraction) at which what is left counts, and where that is said."""

    left_counts: float
    span: Span


def read_buy(node: Node, what: str, _: Any = None) -> MayBuy:
    """What may be bought: none, packs or any."""
    text = scalar(node, what)
    return MayBuy(buy_named(text, what), text.span)


def buy_named(text: str, what: str) -> Buy:
    """The same of a text.

    Raises:
        Misread: it is none of them.
    """
    word = fold(text)
    if word in OFF or word in ("nothing", "stock"):
        return Buy.NONE
    if word not in tuple(Buy):
        help_ = f"{offer(text, tuple(Buy))}: nothing but the stock, whole packs, or any mass at the price per kilo"
        raise Misread(Code.UNKNOWN_WORD, f"{what}: {shown(text)} is nothing that can be bought by", help_)
    return Buy(word)


def read_aim(node: Node, what: str, _: Any = None) -> Aim:
    """What is to be least: "cheapest to make", "least cash", or {least cash: {left counts: 80 %}}."""
    if isinstance(node, Table):
        return _least_cash(node, what)
    text = scalar(node, what)
    found = {fold(CHEAPEST_TO_MAKE): ALL, fold(LEAST_CASH): NOTHING}.get(fold(text))
    if found is None:
        help_ = offer(text, (CHEAPEST_TO_MAKE, LEAST_CASH))
        raise Misread(Code.UNKNOWN_WORD, f"{what}: {shown(text)} is nothing to aim at", help_)
    return Aim(found, text.span)


def _least_cash(node: Table, what: str) -> Aim:
    """The least cash, less a share of what is left."""
    wrong = Diagnostic(Code.WRONG_SHAPE, f"'{what}' holds something else than is known here", EXAMPLE, node.span)
    if [fold(key) for key in node] != [fold(LEAST_CASH)]:
        raise Faults(wrong._replace(help=f"write aim: {CHEAPEST_TO_MAKE}, aim: {LEAST_CASH}, or {EXAMPLE}"))
    inner = table(next(iter(node.values())), f"'{LEAST_CASH}'", EXAMPLE)
    if [fold(key) for key in inner] != [fold(LEFT_COUNTS)]:
        raise Faults(wrong._replace(help=f"write {EXAMPLE}", span=inner.span))
    text = scalar(next(iter(inner.values())), LEFT_COUNTS)
    share = read_share(text, LEFT_COUNTS)
    if not 0.0 <= share.value <= 100.0:
        message = f"what is left cannot count {share.digits} % of what it cost"
        raise Misread(Code.OUT_OF_RANGE, message, "write a share from 0 % (nothing) to 100 % (all of it)")
    return Aim(share.value / 100.0, text.span)


def buying_of(buy: MayBuy | None, aim: Aim | None) -> Buying | None:
    """Both together; None where a file says nothing of either. Where only the aim is told, any mass may be bought."""
    if buy is None and aim is None:
        return None
    return Buying(
        buy=Buy.ANY if buy is None else buy.buy,
        left_counts=ALL if aim is None else aim.left_counts,
        span=None if buy is None else buy.span,
    )
