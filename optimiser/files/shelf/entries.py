"""The entries of a shelf as forms: a fat, its packs and its lot, an alkali; additives and liquids are in `extra_entries`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from optimiser.files.fields import FIGURE, TEXT, as_name
from optimiser.files.keys import tag_named
from optimiser.files.shelf.lots import (
    IODINE,
    SAPONIFICATION,
    TOLERANCE,
    LotForm,
    LotOfSeveral,
    OneLot,
    read_lot,
    read_lots,
    read_stock,
)
from optimiser.files.shelf.money import PackForm, PackSize, read_packs, read_price
from optimiser.files.shelf.orders import BreakForm, PriceBreak, read_breaks, read_minimum_order
from optimiser.files.shelf.plausibility import OWN_FIGURES, check_entry, figure_in, in_sheet
from optimiser.materials.fat import KINDS
from optimiser.problem.money import Price
from optimiser.problem.shelf import LEAST_PURITY, SOLD_AS_LYE
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, Schema, field, form_schema, names_of, scalar
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Text
from optimiser.text.quantities import Misread, read_share, write_number
from optimiser.text.spans import Span

MOST_TOLERANCE = 10.0  # points of per cent: a label further off tells nothing of what is in the bag


def as_currency(node: Node, what: str, _: Any) -> str:
    """The name or sign of a currency."""
    text = scalar(node, what).strip()
    if len(text) > 8 or any(mark.isdigit() for mark in text):
        raise Misread(Code.BAD_CURRENCY, f"{shown(text)} is no name of a currency", "write it like EUR")
    return text


ABSENT = ("vegan",)
"""Words that say what is not in a bar: right to be free from, and no tag that a fat could bear."""


def tag_borne(name: Text) -> str:
    """The tag that a fat on a shelf bears, as the reference table writes it.

    Raises:
        Faults: unknown, or a word that says what is not in a fat.
    """
    if fold(name) in ABSENT:
        help_ = "tags say what a fat is of, such as animal or palm; leave it out, and 'tags: []' for none at all"
        raise Faults(Diagnostic(Code.UNKNOWN_TAG, f"{shown(name)} says what a fat is not of", help_, name.span))
    return tag_named(name, ABSENT)


def read_tags(node: Node, what: str, _: Any) -> frozenset[str]:
    """Tags in a list, or one alone."""
    if not isinstance(node, Row):
        node_ = scalar(node, what)
        return frozenset({tag_borne(node_)})
    faults, out = Gathering(), set()
    for item in node:
        with faults:
            out.add(tag_borne(scalar(item, what)))
    faults.settle()
    return frozenset(out)


def _kind(node: Node, what: str, _: Any) -> str:
    text = scalar(node, what)
    for kind in KINDS:
        if fold(text) in (fold(kind), fold(f"{kind}s"), fold(f"{kind}es")):
            return kind
    raise Faults(Diagnostic(Code.UNKNOWN_KIND, f"{shown(text)} is no kind of fat", offer(text, KINDS), text.span))


class FatEntry(Form):
    """One fat on the shelf: a name of the reference table, or one of your own.

    One of your own is `like` one of the table, or has a `saponification_value`, or both.
    """

    what: ClassVar[str] = "a fat on the shelf"
    example: ClassVar[str] = "- {fat: coconut oil, price: 3.10 / kg}"
    usual: ClassVar[Mapping[str, str]] = {
        "name": "fat",
        "oil": "fat",
        "cost": "price",
        "amount": "stock",
        "pack": "packs",
        **dict.fromkeys(("least order", "minimum", "smallest order", "moq"), "minimum_order"),
        **dict.fromkeys(("break", "price breaks", "discounts", "discount"), "breaks"),
        "sv": "saponification_value",
        "tag": "tags",
    }
    beside: ClassVar[Schema] = {  # in draft 7's words
        "dependencies": {
            "tolerance": ["saponification_value"],
            **{
                name: {"anyOf": [{"required": [other]} for other in ("like", "saponification_value", "lot", "lots")]}
                for name in OWN_FIGURES
                if name not in ("tolerance", "saponification_value")
            },
        }
    }

    fat: Text = field(
        Read("fat", as_name, names_of("fat_name")),
        description="A name of the reference table or a synonym; or a name of your own with 'like' or a saponification value.",
    )
    like: Text | None = field(
        Read("like", as_name, names_of("like_name")),
        default=None,
        description="The fat of the reference table that a fat of your own is built on.",
    )
    price: Price | None = field(
        Read("price", read_price, TEXT),
        default=None,
        description="As in 3.10 / kg; may be left out where packs are given.",
    )
    stock: float | None = field(
        Read("stock", read_stock, TEXT),
        default=None,
        description="How much there is, as in 18 kg; left out, it can be bought.",
    )
    packs: tuple[PackSize, ...] = field(
        Read("packs", read_packs, form_schema(PackForm, many=True)), default=(), description="Sizes that can be bought."
    )
    minimum_order: float = field(
        Read("minimum order", read_minimum_order, TEXT),
        default=0.0,
        description="The least of it that is sold at once, as in 5 kg.",
    )
    breaks: tuple[PriceBreak, ...] = field(
        Read("breaks", read_breaks, form_schema(BreakForm, many=True)),
        default=(),
        description="Prices of larger orders, each for every kilo of an order from so much on.",
    )
    lot: tuple[LotForm, Span] | None = field(
        Read("lot", read_lot, form_schema(LotForm)), default=None, description="The supplier's certificate."
    )
    lots: tuple[OneLot, ...] = field(
        Read("lots", read_lots, form_schema(LotOfSeveral, many=True)),
        default=(),
        description="Several lots of it, each with its number, its stock, its own certificate and its day.",
    )
    tags: frozenset[str] | None = field(
        Read("tags", read_tags, names_of("tags")),
        default=None,
        description="Tags in place of the reference ones, as in [] for a stearic acid that is neither from palm nor from an animal.",
    )
    kind: str | None = field(
        Read("kind", _kind, {"enum": list(KINDS)}),
        default=None,
        description="The kind of a fat of your own; without it that of the fat it is like.",
    )
    saponification_value: float | None = field(
        Read("saponification_value", SAPONIFICATION, FIGURE),
        default=None,
        description="Of a fat of your own, in mg potassium hydroxide per g, and enough for its alkali; of other fats it stands in 'lot'.",
    )
    tolerance: float | None = field(
        Read("tolerance", TOLERANCE, FIGURE),
        default=None,
        description="How far off that figure may be either way, in the same unit; without it 2 % of it, and 3 % without 'like'.",
    )
    iodine_value: float | None = field(
        Read("iodine_value", IODINE, FIGURE),
        default=None,
        description="Of a fat of your own, in g iodine per 100 g; of other fats it stands in 'lot'.",
    )
    inci: Text | None = field(
        Read("inci", as_name, TEXT),
        default=None,
        description="Its name for a list of ingredients, where the table has none or yours has another.",
    )
    inci_sodium_soap: Text | None = field(
        Read("inci_sodium_soap", as_name, TEXT),
        default=None,
        description="The same of its soap with sodium hydroxide.",
    )
    inci_potassium_soap: Text | None = field(
        Read("inci_potassium_soap", as_name, TEXT),
        default=None,
        description="The same of its soap with potassium hydroxide.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
        """Refuses a name that stands for nothing, and figures that this fat cannot have."""
        check_entry(entries, keys)


class AlkaliForm(Form):
    """An alkali, its price and how pure it is."""

    what: ClassVar[str] = "an alkali"
    example: ClassVar[str] = "sodium hydroxide: {price: 2.40 / kg, purity: 98 %}"
    usual: ClassVar[Mapping[str, str]] = {"cost": "price", "tolerance": "purity_tolerance"}

    price: Price = field(Read("price", read_price, TEXT), description="As in 2.40 / kg.")
    purity: float | None = field(
        Read("purity", lambda node, what, _: _purity(node, what), FIGURE),
        default=None,
        description="From the label of the solid, as in 98 %, and no less than 80 %; left out, it is weighed as if pure, which errs on the mild side.",
    )
    purity_tolerance: float | None = field(
        Read("purity_tolerance", lambda node, what, _: _purity_tolerance(node, what), FIGURE),
        default=None,
        description="How much purer it may be than that, in points of per cent, as in 1 %; left out, by its grade.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
        """Refuses a tolerance of no purity, and one that goes beyond pure."""
        told = entries.get("purity_tolerance")
        if told is None:
            return
        if "purity" not in keys:
            help_ = "write the purity from the label beside it, as in purity: 98 %"
            if in_sheet(told.span):
                help_ = "fill the column purity from the label, as in 98 %"
            message = "a tolerance says nothing without the purity that it is of"
            raise Faults(Diagnostic(Code.MISSING_KEY, message, help_, keys["purity_tolerance"].span))
        purity, tolerance = figure_in(entries.get("purity")), figure_in(told)
        if purity is not None and tolerance is not None and 0 < purity <= 100 < purity + tolerance <= 200:
            message = f"{write_number(purity)} % and {write_number(tolerance)} % more are over 100 %"
            help_ = f"nothing is purer than pure: write {write_number(round(100 - purity, 6))} % at the most"
            raise Faults(Diagnostic(Code.OUT_OF_RANGE, message, help_, told.span))


def _purity(node: Node, what: str) -> float:
    share = read_share(scalar(node, what), what)
    if not 100.0 * LEAST_PURITY <= share.value <= 100:
        ends = f"from {100.0 * LEAST_PURITY:g} % to 100 %"
        if 0 < share.value < 100:
            message = f"a purity of {share.digits} %: {SOLD_AS_LYE}"
            raise Misread(Code.OUT_OF_RANGE, message, f"work with the solid, whose label tells {ends}")
        message = f"a purity of {share.digits} % is no alkali to make soap with"
        raise Misread(Code.OUT_OF_RANGE, message, f"the label of the solid tells {ends}")
    return share.value / 100.0


def _purity_tolerance(node: Node, what: str) -> float:
    share = read_share(scalar(node, what), what)
    if not 0 <= share.value <= MOST_TOLERANCE:
        raise Misread(
            Code.OUT_OF_RANGE,
            f"a purity tolerance of {share.digits} % cannot be",
            f"it says how much purer the alkali may be than told, from 0 % to {MOST_TOLERANCE:g} %",
        )
    return share.value / 100.0
