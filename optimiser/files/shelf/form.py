"""The shelf as a form, and its entries turned into fats, alkalis and additives with the maker's own figures in place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, ClassVar, TypeVar

from optimiser.files.fields import TEXT, as_title, as_units
from optimiser.files.keys import ALKALIS, find_alkali
from optimiser.files.shelf.entries import AlkaliForm, FatEntry, as_currency
from optimiser.files.shelf.extra_entries import AdditiveEntry, LiquidEntry, additive_of, liquid_of
from optimiser.files.shelf.label_keys import named_fat
from optimiser.files.shelf.lots import OneLot
from optimiser.files.shelf.plausibility import fat_meant, in_sheet
from optimiser.materials.additives import find as find_additive
from optimiser.materials.alkali import usual_tolerance
from optimiser.materials.borrowing import widened
from optimiser.materials.composition import Figure
from optimiser.materials.fat import (
    BY_IODINE,
    Fat,
    like,
    of_saponification_alone,
    one_lot,
    with_certificate,
    with_iodine,
)
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import find_liquid
from optimiser.materials.loose_names import find_loose
from optimiser.problem.buying import Break
from optimiser.problem.money import Price
from optimiser.problem.shelf import LotCertificate, Pack, Stocked, StockedAdditive, StockedAlkali
from optimiser.problem.units import Units
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, form_schema, read_part, table
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Table, Text, kind_of
from optimiser.text.spans import Span

DEFAULT_TOLERANCE = 2.0  # mg KOH/g: our judgement where a certificate tells none
T = TypeVar("T")


_Priced = tuple[Price, ...]


def _fats(node: Node, _what: str, _: Any) -> tuple[tuple[Stocked, _Priced], ...]:
    """Every fat, one of several lots once for each of them."""

    def name(called: Text) -> str:
        known = reference().find(called)
        return known.name if known is not None else called

    def one(item: Node) -> tuple[tuple[Stocked, _Priced], ...]:
        entry = read_part(FatEntry, item)
        prices = (
            *([entry.price] if entry.price else ()),
            *(Price(pack.price, pack.currency, pack.span) for pack in entry.packs),
            *(one.price for one in entry.breaks),
            *(lot.price for lot in entry.lots if lot.price),
        )
        return tuple((stocked, prices if not place else ()) for place, stocked in enumerate(_stocked(entry)))

    twice = "give the second one a name of its own, with 'like: {0}', or tell both as 'lots' of one entry"
    in_rows = "give the second one a name of its own, with {0} in the column like, or each its number in the column lot"
    each = _each(node, "fat", FatEntry.example, name, one, f"{twice}|{in_rows}")
    found = tuple(stocked for entry in each for stocked in entry)
    if not found and isinstance(node, Row):
        raise Faults(Diagnostic(Code.NO_FATS, "there is no fat on the shelf", f"write {FatEntry.example}", node.span))
    return found


def _additives(node: Node, _what: str, _: Any) -> tuple[tuple[StockedAdditive, _Priced], ...]:
    def name(called: Text) -> str:
        additive = find_additive(called)
        return additive.name if additive is not None else called

    def one(item: Node) -> tuple[StockedAdditive, _Priced]:
        entry = read_part(AdditiveEntry, item)
        return additive_of(entry), (entry.price,)

    twice = "keep one of the two, or give the second one a name of its own with 'like: {}'"
    return _each(node, "additive", AdditiveEntry.example, name, one, twice)


def _liquids(node: Node, _what: str, _: Any) -> tuple[tuple[StockedAdditive, _Priced], ...]:
    def name(called: Text) -> str:
        liquid = find_liquid(called)
        return liquid.name if liquid is not None else called

    def one(item: Node) -> tuple[StockedAdditive, _Priced]:
        entry = read_part(LiquidEntry, item)
        return liquid_of(entry), (entry.price,)

    twice = "keep one of the two, or give the second one a name of its own with 'like: {}'"
    return _each(node, "liquid", LiquidEntry.example, name, one, twice)


def _each(
    node: Node,
    key: str,
    example: str,
    name: Callable[[Text], str],
    one: Callable[[Node], T],
    twice: str,
) -> tuple[T, ...]:
    """Every entry of a list, no two under one name.

    `key` is where an entry has its name; `twice` says what to do with a second one, and behind a stroke what in a spreadsheet.
    """
    if not isinstance(node, Row):
        message = f"'{key}s' is a list, and this is {kind_of(node)}"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"start each entry like {example}", node.span))
    faults, out, seen = Gathering(), [], dict[str, Text]()
    for item in node:
        called = (
            next((value for word, value in item.items() if fold(word) == key), None)
            if isinstance(item, Table)
            else None
        )
        if isinstance(called, Text):
            first = seen.setdefault(fold_fat(name(called)), called)
            if first is not called:
                help_, _, in_rows = twice.partition("|")
                if in_sheet(called.span):
                    help_ = in_rows or help_.replace("'like: {}'", "{} in the column like")
                faults.add(_twice(called, first, help_.format(name(called))))
        with faults:
            out.append(one(item))
    faults.settle()
    return tuple(out)


def _twice(second: Text, first: Text, help_: str) -> Diagnostic:
    same = fold(second) == fold(first)
    message = f"{shown(second)} stands on the shelf twice" if same else f"{shown(second)} is {shown(first)} again"
    return Diagnostic(Code.REPEATED_NAME, message, help_, second.span, (("first given here", first.span),))


def _alkalis(node: Node, what: str, _: Any) -> tuple[tuple[StockedAlkali, _Priced], ...]:
    faults, out, keys = Gathering(), [], dict[str, Text]()
    for key, value in table(node, f"'{what}'", AlkaliForm.example).items():
        with faults:
            name = _alkali_named(key)
            if name in keys:
                raise Faults(repeated(key, keys[name]))
            keys[name] = key
            form = read_part(AlkaliForm, value)
            purity = 1.0 if form.purity is None else form.purity
            told = form.purity_tolerance
            tolerance = usual_tolerance(name, purity) if told is None else told
            stocked = StockedAlkali(
                *(name, form.price.per_kg, purity, key.span),
                assumed=form.purity is None,
                tolerance=tolerance,
                tolerance_told=told is not None,
            )
            out.append((stocked, (form.price,)))
    faults.settle()
    return tuple(out)


def _alkali_named(key: Text) -> str:
    found = find_alkali(key)
    if found is None:
        names = [called for alkali, more in ALKALIS.items() for called in (alkali, *more)]
        raise Faults(
            Diagnostic(
                Code.UNKNOWN_ALKALI, f"{shown(key)} is no alkali that is known here", offer(key, names), key.span
            )
        )
    return found


def _stocked(entry: FatEntry) -> tuple[Stocked, ...]:
    """The fat with the maker's own figures in place, or each of its lots with theirs."""
    known = reference().find(entry.fat)
    fat = _own(entry) if known is None else known
    if entry.tags is not None and known is not None:
        fat = fat._replace(tags=entry.tags | fat.tags & BY_IODINE.keys())
    fat = named_fat(fat, entry.inci, entry.inci_sodium_soap, entry.inci_potassium_soap)
    lot, untested = None, fat
    if entry.lot is not None:
        form, span = entry.lot
        lot = _certificate((form.number, form.saponification_value, form.tolerance, form.iodine_value), span)
        lot = lot._replace(best_before=form.best_before)
        fat = _certified(fat, lot, span)._replace(lot=form.number)
    packs = tuple(Pack(pack.size_kg, pack.price, pack.said) for pack in entry.packs)
    price = entry.price.per_kg if entry.price else min((pack.price / pack.size_kg for pack in packs), default=0.0)
    lender = None if entry.like is None or lot else reference().find(entry.like)
    borrowed = "" if lender is None or entry.saponification_value is not None else lender.name
    price_span = entry.price.span if entry.price else entry.packs[0].span if packs else None
    whole = Stocked(fat, price, entry.stock, packs, lot, entry.fat.span, borrowed, price_span)._replace(
        minimum_order_kg=entry.minimum_order,
        breaks=tuple(sorted(Break(one.from_kg, one.price.per_kg) for one in entry.breaks)),
    )
    next_tin = whole._replace(fat=untested, stock_kg=None, lot=None)
    if lot is None and not entry.lots:
        return (whole,)
    whole = whole._replace(best_before="" if lot is None else lot.best_before, bought_as=next_tin)
    return tuple(_of_several(whole, told) for told in entry.lots) or (whole,)


def _of_several(whole: Stocked, told: OneLot) -> Stocked:
    """One of several lots of a fat: its own certificate, stock, price and day in place of the fat's."""
    lot, fat = None, whole.fat
    if told.saponification_value is not None:
        lot = _certificate((told.number, told.saponification_value, told.tolerance, told.iodine_value), told.span)
        lot = lot._replace(best_before=told.best_before)
        fat = _certified(fat, lot, told.span)
    elif told.iodine_value is not None:
        fat = with_iodine(fat, told.iodine_value)
    return whole._replace(
        fat=one_lot(fat, str(told.number), certified=lot is not None),
        price=whole.price if told.price is None else told.price.per_kg,
        price_span=whole.price_span if told.price is None else told.price.span,
        stock_kg=told.stock,
        lot=lot,
        span=told.span,
        borrowed="" if lot is not None else whole.borrowed,
        best_before=told.best_before,
    )


def _certificate(figures: tuple[str, float, float | None, float | None], span: Span) -> LotCertificate:
    """A certificate of its number, saponification value, tolerance and iodine value."""
    number, value, tolerance, iodine = figures
    return LotCertificate(
        number,
        value,
        DEFAULT_TOLERANCE if tolerance is None else tolerance,
        iodine,
        None if tolerance is None else span,
    )


def _certified(fat: Fat, lot: LotCertificate, span: Span) -> Fat:
    if lot.saponification_value <= lot.tolerance:
        message = f"a saponification value of {lot.saponification_value:g} with a tolerance of {lot.tolerance:g} reaches nothing"
        raise Faults(Diagnostic(Code.OUT_OF_RANGE, message, "look at the certificate again", span))
    return with_certificate(
        fat, saponification_value=lot.saponification_value, tolerance=lot.tolerance, iodine_value=lot.iodine_value
    )


def _own(entry: FatEntry) -> Fat:
    """A fat of the maker's own: like another, or known by a saponification value alone."""
    known, loose = fat_meant(entry.fat, entry.like), find_loose(entry.fat)
    tags, kind = entry.tags, entry.kind
    if loose is not None and entry.like is None:
        tags = loose.tags or None if tags is None else tags
        kind = loose.kind if kind is None else kind
    if known is not None:
        return _like(entry, known, kind, tags)
    told = (lot.saponification_value for lot in entry.lots if lot.saponification_value is not None)
    value = entry.saponification_value if entry.lot is None else entry.lot[0].saponification_value
    value = min(told, default=None) if value is None else value
    assert value is not None  # the form has looked
    figure = _told(value, entry.tolerance, Figure(value, value, value), "alone")
    return of_saponification_alone(str(entry.fat), figure, kind=kind, tags=tags, iodine=entry.iodine_value)


def _told(value: float, tolerance: float | None, figure: Figure, case: str) -> Figure:
    """A saponification value that was told: with its tolerance, or else with ends no nearer than those of its case."""
    if tolerance is None:
        return widened(figure, case)
    return Figure(value, max(0.0, value - tolerance), value + tolerance)


def _like(entry: FatEntry, known: Fat, kind: str | None, tags: frozenset[str] | None) -> Fat:
    """A fat of the maker's own built on another; a figure of its own is no surer than that of the fat it is like."""

    def shifted(figure: Figure, value: float | None) -> Figure | None:
        if value is None:
            return None
        return Figure(value, max(0.0, value - figure.value + figure.low), value - figure.value + figure.high)

    value = entry.saponification_value
    figure = shifted(known.saponification, value)
    return like(
        known,
        name=str(entry.fat),
        kind=kind,
        tags=tags,
        saponification=None if figure is None or value is None else _told(value, entry.tolerance, figure, "told"),
        iodine=shifted(known.iodine, entry.iodine_value),
    )


class ShelfForm(Form):
    """What the maker has, with prices."""

    what: ClassVar[str] = "a shelf"
    example: ClassVar[str] = "fats: [{fat: coconut oil, price: 3.10 / kg}]"
    usual: ClassVar[Mapping[str, str]] = {
        "oils": "fats",
        "alkali": "alkalis",
        "lye": "alkalis",
        "additive": "additives",
        "liquid": "liquids",
        "money": "currency",
        "unit": "units",
        "weights": "units",
    }
    blank_is_absent: ClassVar[bool] = True

    title: str = field(Read("title", as_title, TEXT), default="", description="What the shelf is called.")
    currency: str = field(Read("currency", as_currency, TEXT), default="", description="What prices are in, as in EUR.")
    units: Units = field(
        Read("units", as_units, {"enum": [str(one) for one in Units]}),
        default=Units.GRAMS,
        description="What weights are told in: g, kg, oz, lb, or lb oz.",
    )
    fats: tuple[tuple[Stocked, _Priced], ...] = field(
        Read("fats", _fats, form_schema(FatEntry, many=True)), description="The fats, each with its price."
    )
    alkalis: tuple[tuple[StockedAlkali, _Priced], ...] = field(
        Read("alkalis", _alkalis, form_schema(AlkaliForm, keys=tuple(ALKALIS))),
        default=(),
        description="Sodium and potassium hydroxide, each with its price and purity.",
    )
    additives: tuple[tuple[StockedAdditive, _Priced], ...] = field(
        Read("additives", _additives, form_schema(AdditiveEntry, many=True)),
        default=(),
        description="Additives, each with its price; those of your own are like one of the list.",
    )
    liquids: tuple[tuple[StockedAdditive, _Priced], ...] = field(
        Read("liquids", _liquids, form_schema(LiquidEntry, many=True)),
        default=(),
        description="What stands for water, as milk or beer, each with its price.",
    )

    def prices(self) -> list[Price]:
        """Every price on the shelf, in file order."""
        groups = (*self.fats, *self.alkalis, *self.additives, *self.liquids)
        return [price for _, prices in groups for price in prices]
