"""Additives and liquids of a recipe in hand, as their makers tell how much there is of each."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple, TypeVar

from optimiser.files.amounts import MOST_GRAMS, Amount, read_amount
from optimiser.files.extra_keys import additive_subject, liquid_subject
from optimiser.files.keys import Known
from optimiser.files.limit_values import JUG
from optimiser.problem.limits import PER_KILO
from optimiser.problem.recipe import Poured, Weighed
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Gathering, scalar, table, told
from optimiser.text.names import shown
from optimiser.text.nodes import Node, Text
from optimiser.text.quantities import Misread, read_number, write_number
from optimiser.text.spans import Span

NONE_OF_IT = "an amount is above 0; take the line out for none"
T = TypeVar("T")


class Added(NamedTuple):
    """An additive as it is told: by its mass, its share of the fats, or its mass for a kilo of them."""

    name: str
    amount: Amount
    span: Span

    def weighed(self, fats_g: float) -> Weighed:
        """Its grams beside so many grams of fats."""
        parts = {"%": fats_g / 100.0, PER_KILO: fats_g / 1000.0}
        grams = round(self.amount.value * parts.get(self.amount.unit, 1.0), 9)
        return Weighed(self.name, grams, self.span, by_share=self.amount.unit in parts)


def read_additives(node: Node, what: str, known: Known) -> tuple[Added, ...]:
    """Every additive with its amount.

    Raises:
        Faults: everything that is wrong with them.
    """

    def one(name: str, key: Text, value: Node) -> Added:
        amount = _told_amount(scalar(value, name), name, "the fats")
        if not amount.value:
            raise Misread(Code.OUT_OF_RANGE, f"{amount.told} of {name} cannot be weighed", NONE_OF_IT)
        return Added(name, amount, key.span)

    example = "additives: {sodium lactate: 20 g}"
    return _entries(node, what, example, lambda key: additive_subject(key, known).key, one)


def _told_amount(text: Text, name: str, of: str) -> Amount:
    """An amount with its unit: in a recipe a bare figure could be grams as well as per cent."""
    number = read_number(text)
    if not number.rest:
        message = f"{name} is told without a unit: {shown(text)} could be grams or per cent"
        raise Misread(Code.NO_UNIT, message, f"write {number.digits} g, or {number.digits} % of {of}")
    return read_amount(text, name, of)


def _entries(
    node: Node, what: str, example: str, name_of: Callable[[Text], str], one: Callable[[str, Text, Node], T]
) -> tuple[T, ...]:
    """Every entry of a mapping by the thing that its key names, no thing under two names."""
    faults, out, keys = Gathering(), list[T](), dict[str, Text]()
    for key, value in table(node, f"'{what}'", example).items():
        with faults:
            name = name_of(key)
            first = keys.setdefault(name, key)
            if first is not key:
                raise Faults(repeated(key, first))
            out.append(told(value, lambda: one(name, key, value)))  # noqa: B023  called at once
    faults.settle()
    if not out:
        raise Faults(Diagnostic(Code.NO_VALUE, f"there is nothing under '{what}'", f"write {example}", node.span))
    return tuple(out)


def read_liquids(node: Node, what: str, known: Known) -> tuple[Poured, ...]:
    """Every liquid with its share of what stands for the water, or its mass.

    Raises:
        Faults: everything that is wrong with them.
    """
    poured = _entries(node, what, "liquids: {goat milk: 50 %}", lambda key: liquid_subject(key, known).key, _poured)
    total = math.fsum(item.share or 0.0 for item in poured)
    if total > 100.0 + 1e-9:
        message = f"the liquids add up to {write_number(round(total, 6))} % of what stands for the water"
        raise Faults(Diagnostic(Code.TOO_MUCH, message, "make them add up to 100 % at most", node.span))
    return poured


def _poured(name: str, key: Text, node: Node) -> Poured:
    amount = _told_amount(scalar(node, name), name, JUG)
    if amount.unit == PER_KILO:
        help_ = "write its share of all that stands for the water, as in 50 %, or its mass, as in 140 g"
        raise Misread(Code.WRONG_UNIT, f"{name} in a recipe is a share or a mass", help_)
    if not 0.0 < amount.value <= (100.0 if amount.unit == "%" else MOST_GRAMS):
        raise Misread(Code.OUT_OF_RANGE, f"{amount.told} of {name} cannot be poured", NONE_OF_IT)
    by_share = amount.unit == "%"
    return Poured(name, None if by_share else amount.value, amount.value if by_share else None, key.span)
