"""Additives and liquids on the shelf as forms: names of the tables, or the maker's own with what they are like."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from optimiser.files.amounts import read_amount
from optimiser.files.extra_keys import unknown_additive, unknown_liquid
from optimiser.files.fields import FIGURE, TEXT, as_name
from optimiser.files.keys import Known
from optimiser.files.shelf.entries import read_tags
from optimiser.files.shelf.label_keys import ALLERGENS, Stated, named_extra, read_allergens
from optimiser.files.shelf.money import read_price
from optimiser.files.taken_names import stands_for
from optimiser.materials.additives import Additive, additives, own_additive
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import find_liquid, liquids, own_liquid
from optimiser.problem.limits import GRAMS, PER_KILO
from optimiser.problem.money import Price
from optimiser.problem.shelf import StockedAdditive
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, names_of, read_part, scalar
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.quantities import Misread, read_share

LEAST_WATER = 20.0  # per cent: what holds less is no liquid to stand for water
ALONE = Known()
LIKE_ADDITIVE = (
    "For one of your own add 'like:' and the additive that comes nearest to it; 'barwright additives' lists them"
)
LIKE_LIQUID = "For one of your own add 'like:' and the liquid that comes nearest to it, or its 'water:' in per cent"


def _most(node: Node, what: str, _: Any) -> float:
    """An end to an additive, in per cent of the fats."""
    amount = read_amount(scalar(node, what), what)
    if amount.unit == GRAMS:
        help_ = "write it in per cent of the fats, as in 3 %, or for a kilo of fats, as in 30 g / kg"
        raise Misread(Code.WRONG_UNIT, f"{what} holds for every batch, and {amount.told} is a mass in one", help_)
    share = amount.value / 10.0 if amount.unit == PER_KILO else amount.value
    if not 0.0 <= share <= 100.0:
        raise Misread(Code.OUT_OF_RANGE, f"{amount.told} is no end to an additive", "it lies between 0 % and 100 %")
    return share


def _water(node: Node, what: str, _: Any) -> float:
    share = read_share(scalar(node, what), what)
    if not LEAST_WATER <= share.value <= 100.0:
        message = f"what holds {share.digits} % of water cannot stand for water"
        raise Misread(Code.OUT_OF_RANGE, message, f"it lies between {LEAST_WATER:g} % and 100 %")
    return share.value / 100.0


class AdditiveEntry(Form):
    """An additive on the shelf: a name of the list, or one of your own that is `like` one of them."""

    what: ClassVar[str] = "an additive on the shelf"
    example: ClassVar[str] = "- {additive: sodium lactate, price: 9.00 / kg}"
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("name",), "additive"),
        **dict.fromkeys(("cost",), "price"),
        **dict.fromkeys(("most", "limit", "max", "maximum"), "at_most"),
        **dict.fromkeys(("tag",), "tags"),
    }

    additive: Text = field(
        Read("additive", as_name, names_of("additive_name")),
        description="A name of the list of additives or a synonym; or a name of your own with 'like'.",
    )
    like: Text | None = field(
        Read("like", as_name, names_of("like_additive")),
        default=None,
        description="The additive of the list that one of your own is like: all but the name is taken from it.",
    )
    price: Price = field(Read("price", read_price, TEXT), description="As in 9.00 / kg.")
    at_most: float | None = field(
        Read("at_most", _most, FIGURE),
        default=None,
        description="The most of it that any bar of yours holds, in per cent of the fats, as in 3 %.",
    )
    tags: frozenset[str] | None = field(
        Read("tags", read_tags, names_of("tags")),
        default=None,
        description="Tags in place of the list's, as in [] for a glycerine that is not from palm.",
    )
    inci: Text | None = field(
        Read("inci", as_name, TEXT),
        default=None,
        description="Its name for a list of ingredients, where the table has none or yours has another.",
    )
    allergens: Stated | None = field(
        Read("allergens", read_allergens, ALLERGENS),
        default=None,
        description="Of a scent: what its supplier's paper states, in per cent of it, as in {linalool: 30 %}; none where it states none.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
        """Refuses a name that stands for nothing or for something else."""
        name, model = _text(entries.get("additive")), _text(entries.get("like"))
        known = name is not None and find_additive(name) is not None
        faults = Gathering()
        if model is not None and find_additive(model) is None:
            faults.add(unknown_additive(model, ALONE, "'like' wants an additive of the list: 'barwright additives'"))
        if name is not None and not known and model is None:
            faults.add(unknown_additive(name, ALONE, also=LIKE_ADDITIVE))
        if name is not None and model is not None:
            faults.add(*_own_name(name, "additive", known, keys["like"]))
        faults.settle()


class LiquidEntry(Form):
    """A liquid on the shelf that stands for water: a name of the list, or one of your own."""

    what: ClassVar[str] = "a liquid on the shelf"
    example: ClassVar[str] = "- {liquid: goat milk, water: 87 %, price: 1.20 / kg}"
    usual: ClassVar[Mapping[str, str]] = {"name": "liquid", "cost": "price", "tag": "tags", "moisture": "water"}

    liquid: Text = field(
        Read("liquid", as_name, names_of("liquid_name")),
        description="A name of the list of liquids or a synonym; or a name of your own with 'like' or 'water'.",
    )
    like: Text | None = field(
        Read("like", as_name, names_of("like_liquid")),
        default=None,
        description="The liquid of the list that one of your own is like: sugar, fat and acid are taken from it.",
    )
    water: float | None = field(
        Read("water", _water, FIGURE), default=None, description="How much of it is water, as in 87 %."
    )
    price: Price = field(Read("price", read_price, TEXT), description="As in 1.20 / kg.")
    tags: frozenset[str] | None = field(
        Read("tags", read_tags, names_of("tags")), default=None, description="Tags in place of the list's."
    )
    inci: Text | None = field(
        Read("inci", as_name, TEXT),
        default=None,
        description="Its name for a list of ingredients, where the table has none or yours has another.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
        """Refuses a name that stands for nothing or for something else."""
        name, model = _text(entries.get("liquid")), _text(entries.get("like"))
        known = name is not None and find_liquid(name) is not None
        faults = Gathering()
        if model is not None and find_liquid(model) is None:
            faults.add(unknown_liquid(model, ALONE, "'like' wants a liquid of the list: 'barwright additives'"))
        if name is not None and not known and model is None and "water" not in keys:
            faults.add(unknown_liquid(name, ALONE, also=LIKE_LIQUID))
        elif name is not None and (model is not None or not known):
            faults.add(*_own_name(name, "liquid", known, keys.get("like", name)))
        faults.settle()


def _own_name(name: Text, kind: str, known: bool, like: Text) -> Iterator[Diagnostic]:  # noqa: FBT001
    """What is wrong with the name of one of the maker's own."""
    if known:
        message = f"{shown(name)} is in the list of {kind}s, so 'like' says nothing"
        yield Diagnostic(Code.CONTRADICTION, message, "take 'like' out, or give it a name of its own", like.span)
        return
    fat = reference().find(name)
    other = f"the fat {fat.name}" if fat is not None else stands_for(name)
    if other is not None:
        help_ = f"give it a name of its own, as in 'house {' '.join(name.split())}'"
        yield Diagnostic(
            Code.TAKEN_NAME, f"{shown(name)} stands for {other}, so no {kind} can be called so", help_, name.span
        )


def _text(node: Node | None) -> Text | None:
    return node if isinstance(node, Text) and not node.is_blank else None


# -- values ----------------------------------------------------------------------------------------------------


def additive_of(entry: AdditiveEntry) -> StockedAdditive:
    """The additive with the maker's own figures in place."""
    known = find_additive(entry.like or entry.additive)
    assert known is not None  # the form has looked it up
    own = known if entry.like is None else own_additive(" ".join(entry.additive.split()), known, entry.at_most)
    if entry.like is None and entry.at_most is not None:
        own = own._replace(most=entry.at_most, usual_high=entry.at_most)
    own = named_extra(_tagged(own, entry.tags), entry.inci, entry.allergens)
    return StockedAdditive(own, entry.price.per_kg, entry.additive.span)


def liquid_of(entry: LiquidEntry) -> StockedAdditive:
    """The liquid with the maker's own figures in place."""
    known = find_liquid(entry.like or entry.liquid)
    name = known.name if known is not None and entry.like is None else " ".join(entry.liquid.split())
    own = named_extra(_tagged(own_liquid(name, known, entry.water), entry.tags), entry.inci)
    return StockedAdditive(own, entry.price.per_kg, entry.liquid.span)


def _tagged(own: Additive, tags: frozenset[str] | None) -> Additive:
    return own if tags is None else own._replace(tags=tags)


def own_extras_of(root: Node | None) -> Iterator[Additive]:
    """Additives and liquids of the maker's own on a shelf, however faulty the rest of it is."""
    sections = {fold(key): node for key, node in root.items()} if isinstance(root, Table) else {}
    for section, read in (("additives", _an_additive), ("liquids", _a_liquid)):
        rows = sections.get(section)
        for entry in rows if isinstance(rows, Row) else ():
            made: Additive | None
            try:
                made = read(entry)
            except Faults:
                made = _in_spite_of_faults(entry, section)
            if made is not None and not (made.name in additives() or made.name in liquids()):
                yield made


def _an_additive(entry: Node) -> Additive:
    return additive_of(read_part(AdditiveEntry, entry)).additive


def _a_liquid(entry: Node) -> Additive:
    return liquid_of(read_part(LiquidEntry, entry)).additive


def _in_spite_of_faults(entry: Node, section: str) -> Additive | None:
    """One of the maker's own by its name and likeness alone: what is wrong with the rest is told of the shelf."""
    folded = {fold(key): value for key, value in entry.items()} if isinstance(entry, Table) else {}
    name, model = _text(folded.get(section.removesuffix("s"))), _text(folded.get("like"))
    if name is None or find_additive(name) is not None or find_liquid(name) is not None:
        return None
    called = " ".join(name.split())
    if section == "liquids":
        return own_liquid(called, None if model is None else find_liquid(model), None)
    known = None if model is None else find_additive(model)
    return None if known is None else own_additive(called, known, None)
