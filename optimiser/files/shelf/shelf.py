"""What the maker has: fats, alkalis and additives, with prices, packs, stock and certificates."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

from optimiser.files.kinds import Kind, file_kind, refuse_other
from optimiser.files.shelf.form import ShelfForm
from optimiser.files.shelf.lots import numbers_in
from optimiser.files.workspace import SUFFIXES, nearest_shelf, shelf_named, shelf_of
from optimiser.materials.additives import Additive
from optimiser.materials.fat import lot_name, tin_name
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.problem.new_tins import to_buy
from optimiser.problem.shared_lots import with_shared_lots
from optimiser.problem.shelf import Shelf, StockedAlkali
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import read_form
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.opening import beside, kind_of_file
from optimiser.text.quantities import same_currency
from optimiser.text.source import Source, parse_yaml, read_text, read_yaml
from optimiser.text.spans import Span


def read_shelf(path: Path, named_at: Span | None = None) -> Shelf:
    """A shelf from YAML or CSV, told apart by the suffix.

    Args:
        path: the shelf's file.
        named_at: where another file names it; shown when the shelf is not there.

    Raises:
        BadInput: with every fault of the file, in file order.

    >>> from pathlib import Path
    >>> import optimiser
    >>> optimiser.read_shelf(Path("inventory/kittiwake.yaml")).currency
    'EUR'
    """
    path = Path(path)  # a text will do for whoever calls from Python
    try:
        source = _source(path)
    except BadInput as bad:
        raise BadInput(item._replace(span=item.span or named_at) for item in bad.diagnostics) from None
    refuse_other(source, "shelf")
    form = read_form(ShelfForm, source)
    currency = form.currency or next((price.currency for price in form.prices() if price.currency), "")
    faults = tuple(
        Diagnostic(
            Code.OTHER_CURRENCY,
            f"this price is in {price.currency}, and the shelf's are in {currency}",
            f"turn it into {currency}",
            price.span,
        )
        for price in form.prices()
        if not same_currency(price.currency, currency)
    )
    faults += _one_name_for_two(form)
    if faults:
        raise BadInput(source.all_faults(list(faults)))
    alkalis = {item.name: item for item, _ in form.alkalis}
    assumed = StockedAlkali("sodium hydroxide", price=0.0, purity=1.0, span=None, assumed=True)
    return Shelf(
        path=str(path),
        title=form.title or path.stem,
        currency=currency,
        fats=with_shared_lots([item for item, _ in form.fats]),
        alkalis={"sodium hydroxide": assumed} | alkalis,
        additives={item.additive.name: item for item, _ in form.additives},
        liquids={item.additive.name: item for item, _ in form.liquids},
        units=form.units,
        to_buy=to_buy(item for item, _ in form.fats),
    )


def _one_name_for_two(form: ShelfForm) -> tuple[Diagnostic, ...]:
    """Names of the maker's own that a fat, an additive and a liquid share: nobody could tell which a goal means."""
    named = list({item.fat.known_as: (item.fat.known_as, item.span) for item, _ in form.fats}.values())
    named += [(item.additive.name, item.span) for item, _ in (*form.additives, *form.liquids)]
    seen: dict[str, Span] = {}
    out = []
    for name, span in named:
        first = seen.setdefault(fold_fat(name), span)
        if first is not span:
            message = f"{shown(name)} stands on the shelf for two things"
            notes = (("and here", first),)
            out.append(Diagnostic(Code.REPEATED_NAME, message, "give one of them another name", span, notes))
    return tuple(out)


def own_names(path: Path | None) -> tuple[str, ...]:
    """The names of fats on a shelf that the reference table has not, however faulty the rest of it is.

    One that the shelf does not explain is a fault there, and not wherever else it is named.
    """
    if path is None:
        return ()
    try:
        return _own_names(_source(path).root)
    except BadInput:
        return ()


def own_fats(root: Node | None, path: Path, given: Path | None = None) -> Callable[[], Mapping[str, str]]:
    """The names of the maker's own fats by folded name, looked up on the first call.

    Args:
        root: what a goal, recipe or trial file holds, however faulty.
        path: where that file is.
        given: the shelf to look in, in place of the one that the file names.
    """

    @cache
    def found() -> Mapping[str, str]:
        return {fold_fat(name): name for name in own_names(given or shelf_of(root, path))}

    return found


def own_extras(root: Node | None, path: Path, given: Path | None = None) -> Callable[[], Mapping[str, Additive]]:
    """The maker's own additives and liquids by folded name, looked up on the first call; otherwise as `own_fats`."""

    @cache
    def found() -> Mapping[str, Additive]:
        shelf = given or shelf_of(root, path)
        if shelf is None:
            return {}
        from optimiser.files.shelf.extra_entries import own_extras_of

        try:
            return {fold_fat(item.name): item for item in own_extras_of(_source(shelf).root)}
        except BadInput:
            return {}

    return found


def extras_on(path: Path) -> tuple[Additive, ...]:
    """The maker's own additives and liquids on a shelf, however faulty the rest of it is."""
    return tuple(own_extras(None, path, path)().values())


def names_on(path: Path) -> tuple[str, ...]:
    """The names of the maker's own fats on a shelf that must be there.

    Raises:
        BadInput: it cannot be read, or it is no shelf.
    """
    source = _source(path)
    refuse_other(source, "shelf")
    if source.root is None:
        raise BadInput(source.faults)
    return _own_names(source.root)


def _own_names(root: Node | None) -> tuple[str, ...]:
    """The names that a shelf has and the table has not: the maker's own fats, each of several lots of any, and the tin to buy beside lots."""
    fats = next((node for key, node in root.items() if fold(key) == "fats"), None) if isinstance(root, Table) else None
    entries = [entry for entry in fats if isinstance(entry, Table)] if isinstance(fats, Row) else []
    found = []
    for entry in ({fold(key): value for key, value in entry.items()} for entry in entries):
        told = entry.get("fat")
        name = " ".join(told.split()) if isinstance(told, Text) else ""
        known = reference().find(name) if name else None
        found += [name] if name and known is None else []
        found += [lot_name(name if known is None else known.name, number) for number in numbers_in(entry) if name]
        found += [tin_name(name if known is None else known.name)] if name and entry.keys() & {"lot", "lots"} else []
    return tuple(found)


def check_shelf(path: Path, shelf_file: Path | None, wanted: Kind) -> None:
    """Tell what is wrong with the shelf of a file that is faulty itself, so that all can be mended in one go.

    Args:
        path: the goal or recipe file.
        shelf_file: used in place of the shelf that the file names.
        wanted: which of the two it should be; where it plainly is another file, its shelf is nobody's concern.

    Raises:
        BadInput: with every fault of the shelf, as far as it can be told which one is meant.
    """
    try:
        root = read_yaml(path).root
    except BadInput:
        root = None
    if file_kind(root) not in (None, wanted):
        return
    if shelf_file is not None:
        read_shelf(shelf_file)
        return
    named = shelf_named(root)
    if named is not None and not named.is_blank and "\0" not in named:
        read_shelf(beside(path.parent, named), named.span)
    elif named is None and wanted == "goals" and isinstance(root, Table):
        read_shelf(nearest_shelf(path))


def _source(path: Path) -> Source:
    if path.suffix.lower() not in SUFFIXES and kind_of_file(path) == "file":
        raise BadInput(
            [Diagnostic(Code.WRONG_SUFFIX, f"{path} is no shelf: its name ends neither in .yaml nor in .csv")]
        )
    text = read_text(path)
    if path.suffix.lower() != ".csv":
        return parse_yaml(text, str(path))
    from optimiser.files.shelf.spreadsheet import parse_csv

    return parse_csv(text, str(path))
