"""A shelf from a spreadsheet: CSV into the same nodes that YAML gives, so that one set of rules judges both.

The header names the columns as the YAML file names its keys. A row is a fat unless its column `item` says alkali,
additive or liquid, and carries its name under `fat`, `alkali`, `additive`, `liquid` or `name`. Commas, semicolons and tabs part cells; where
semicolons do, figures may have a decimal comma, as spreadsheets of many countries write them. A price that says
nothing of a mass is for a kilogram, so that a plain list of names and prices will do. Rows of one fat, each with the number of its
lot, are several lots of it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from optimiser.files.shelf.cells import MOST_CELLS, MOST_ROWS, delimiter_of, rows_of
from optimiser.files.shelf.label_keys import COLUMNS as LABEL
from optimiser.files.shelf.lot_rows import FatRow, lot_cells, with_lots
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.quantities import MOST_LETTERS
from optimiser.text.source import Source, in_file_order
from optimiser.text.spans import Span

NAMES = ("fat", "alkali", "additive", "liquid", "name")
ITEMS = ("fat", "alkali", "additive", "liquid")
FIGURES = frozenset(
    {
        "price",
        "stock",
        "packs",
        "minimum_order",
        "breaks",
        "saponification_value",
        "iodine_value",
        "tolerance",
        "purity",
        "purity_tolerance",
        "at_most",
        "water",
    }
    | {"lot_saponification_value", "lot_tolerance", "lot_iodine_value"}
)
BEST_BEFORE = ("best_before", "lot_best_before")
OF_LOT = ("lot", "lot_number", *BEST_BEFORE)
COLUMNS = ("item", *NAMES, "like", "kind", "tags", *OF_LOT, *LABEL, "currency", *sorted(FIGURES))
USUAL = {
    **dict.fromkeys(("cost", "costs", "price per kg", "unit price", "money"), "price"),
    **dict.fromkeys(("oil", "oils", "fats", "ingredient", "product", "material"), "name"),
    **dict.fromkeys(("amount", "quantity", "on hand", "in stock"), "stock"),
    **dict.fromkeys(("type",), "item"),
    **dict.fromkeys(("sv", "sap", "sap value"), "saponification_value"),
    **dict.fromkeys(("iv",), "iodine_value"),
    **dict.fromkeys(("pack", "sizes"), "packs"),
    **dict.fromkeys(("tag",), "tags"),
    **dict.fromkeys(("least order", "minimum", "moq"), "minimum_order"),
    **dict.fromkeys(("break", "price breaks", "discounts"), "breaks"),
}
UNITS = ("mg", "kg", "g", "lb", "oz", "%")

_BARE = re.compile(r"(?=[\s.,+\-]*+\d)[\d\s.,+\-]++")
_FOR_NO_MASS = re.compile(rf"[^/\da-zA-Z]*+([A-Za-z]{{3}}\s*+)?+{_BARE.pattern}([A-Za-z]{{3}}|[^/\da-zA-Z])?+\s*+")


class _Column(NamedTuple):
    """A column: its canonical name, the unit that its header adds to bare figures, and the header itself."""

    name: str
    suffix: str
    header: Text


@dataclass(slots=True)
class _Sheet:
    """What the rows have been turned into so far."""

    root: Table
    faults: list[Diagnostic] = field(default_factory=list)
    fats: list[FatRow] = field(default_factory=list)

    def listed(self, name: str, span: Span) -> Row:
        """The list called `name`, made when it is first wanted."""
        return self.root.setdefault(Text(name, span), Row(span))  # type: ignore[return-value]

    def tabled(self, name: str, span: Span) -> Table:
        """The mapping called `name`, made when it is first wanted."""
        return self.root.setdefault(Text(name, span), Table(span))  # type: ignore[return-value]


def parse_csv(text: str, file: str) -> Source:
    """CSV text as the nodes of a shelf; what is wrong with it stands in `faults`."""
    lines = tuple(text.split("\n"))
    delimiter, first = delimiter_of(lines)
    found, faults = rows_of(lines, file, delimiter, first)
    if not found:
        span = Span(file, 1, 1, 1, lines[0])
        return Source(
            file, lines, None, in_file_order(faults or [Diagnostic(Code.EMPTY_FILE, "the file is empty", "", span)])
        )
    columns = _columns(found[0], faults)
    sheet = _Sheet(Table(found[0][0].span), faults)
    wanting = _wanting(columns, found[0])
    if wanting is not None:  # every row would lack the same thing: tell it once, in the header
        faults.extend([] if any(item.code == "unknown-column" for item in faults) else [wanting])
        return Source(file, lines, None, in_file_order(faults))
    for record in found[1 : MOST_ROWS + 1]:
        _take(record, columns, sheet, comma=delimiter == ";")
    if sheet.fats:
        entries, of_lots = with_lots(sheet.fats)
        sheet.listed("fats", sheet.fats[0].name.span).extend(entries)
        faults += of_lots
    if len(found) > MOST_ROWS + 1:
        faults.append(
            Diagnostic(
                Code.TOO_MANY_ENTRIES,
                f"more than {MOST_ROWS} rows",
                "is this the right file?",
                found[MOST_ROWS + 1][0].span,
            )
        )
    return Source(file, lines, sheet.root, in_file_order(faults))


def _wanting(columns: list[_Column | None], header: list[Text]) -> Diagnostic | None:
    """The fault of a header without a column that every row needs."""
    names = {column.name for column in columns if column}
    for needed, called in ((NAMES, "fat"), (("price", "packs"), "price")):
        if not names & set(needed):
            message = f"no column is called '{called}'"
            help_ = "the first line names the columns: fat, price, ..."
            return Diagnostic(Code.MISSING_COLUMN, message, help_, header[0].span)
    return None


# -- rows -----------------------------------------------------------------------------------------------------


def _columns(header: list[Text], faults: list[Diagnostic]) -> list[_Column | None]:
    """What each column is; unknown and repeated ones become faults and None."""
    known = {fold(name): name for name in COLUMNS}
    found: dict[str, Text] = {}
    columns: list[_Column | None] = []
    for cell in header:
        name, suffix = known.get(fold(cell)), ""
        called, unit = _unit_of(cell)
        if name is None and unit:
            name = known.get(fold(called))
            per = "/ " if name == "price" else ""
            suffix = f" {per}{unit}"
        if name is None or name in found:
            columns.append(None)
            if name is not None:
                note = (("first given here", found[name].span),)
                faults.append(
                    Diagnostic(
                        Code.REPEATED_KEY,
                        f"the column {shown(cell)} is given twice",
                        "keep one of the two",
                        cell.span,
                        note,
                    )
                )
            elif cell:
                faults.append(_unknown(cell))
            continue
        found[name] = cell
        columns.append(_Column(name, suffix, cell))
    return columns


def _unit_of(cell: str) -> tuple[str, str]:
    """The name of a column and the unit after it, as in "price (/ kg)", "price per kg", "stock [kg]"; or no unit."""
    bare = cell.strip()
    bare = bare[:-1].rstrip() if bare[-1:] in (")", "]") else bare
    unit = next((one for one in UNITS if bare.casefold().endswith(one)), "")
    bare = bare[: len(bare) - len(unit)]
    name = bare.rstrip()
    if name.endswith("/"):
        name = name[:-1].rstrip()
    elif name != bare and name.casefold().endswith("per"):
        name = name[:-3].rstrip()
    name = name[:-1] if name[-1:] in ("(", "[") else name
    return name.rstrip(" _"), unit


def _unknown(cell: Text) -> Diagnostic:
    """The fault of a column that a shelf has not, with what it is called here if others have a word for it."""
    usual = USUAL.get(fold(cell))
    help_ = f"here it is written '{usual}'" if usual else offer(cell, COLUMNS, f"columns: {', '.join(COLUMNS)}")
    return Diagnostic(Code.UNKNOWN_COLUMN, f"{shown(cell)} is no column of a shelf", help_, cell.span)


def _take(record: list[Text], columns: list[_Column | None], sheet: _Sheet, *, comma: bool) -> None:
    """One row into the lists of the shelf."""
    if len(record) > min(len(columns), MOST_CELLS):
        extra = record[min(len(columns), MOST_CELLS)]
        help_ = "a comma parts cells here: use a point in figures, or put quotes around a text that has commas"
        sheet.faults.append(
            Diagnostic(
                Code.TOO_MANY_CELLS, f"this row has {len(record)} cells for {len(columns)} columns", help_, extra.span
            )
        )
        return
    cells = {
        column.name: _value(cell, column, comma=comma)
        for cell, column in zip(record, columns, strict=False)
        if column and cell
    }
    item, name = _item(cells, record, sheet)
    currency = cells.pop("currency", None)
    if currency is not None:
        _one_currency(currency, sheet)
    if item is None or name is None:
        return
    span = Span(name.span.file, name.span.line, 1, len(name.span.text) + 1, name.span.text)
    if item == "alkali":
        alkalis = sheet.tabled("alkalis", span)
        if name in alkalis:
            first = next(key for key in alkalis if key == name)
            sheet.faults.append(
                Diagnostic(
                    Code.REPEATED_KEY,
                    f"{shown(name)} is given twice",
                    "keep one of the two",
                    name.span,
                    (("first given here", first.span),),
                )
            )
            return
        alkalis[name] = _table(cells, span)
        return
    entry = _table({item: name} | cells, span)
    if item == "fat":
        sheet.fats.append(FatRow(name, entry, lot_cells(entry, name, cells)))
    if "tags" in cells:
        _split_tags(entry, cells["tags"])
    if item == "fat":
        sheet.listed("fats", span)
        return
    sheet.listed(f"{item}s", span).append(entry)


def _item(cells: dict[str, Text], record: list[Text], sheet: _Sheet) -> tuple[str | None, Text | None]:
    """What the row is, and its name; both are taken out of the cells."""
    names = {column: cells.pop(column) for column in NAMES if column in cells}
    said = cells.pop("item", None)
    if len(names) != 1:
        message = "this row has no name" if not names else "this row has several names"
        first = next(cell for cell in record if cell)
        sheet.faults.append(
            Diagnostic(
                Code.WRONG_NAME,
                message,
                "one of the columns fat, alkali, additive, liquid or name holds it",
                first.span,
            )
        )
        return None, None
    column, name = next(iter(names.items()))
    item = fold(said) if said is not None else ("fat" if column == "name" else column)
    item = {"fats": "fat", "oil": "fat", "alkalis": "alkali", "additives": "additive", "liquids": "liquid"}.get(
        item, item
    )
    if item not in ITEMS:
        assert said is not None  # a column's own name is one of the items
        sheet.faults.append(
            Diagnostic(
                Code.UNKNOWN_ITEM,
                f"{shown(said)} is neither a fat, an alkali, an additive nor a liquid",
                offer(said, ITEMS),
                said.span,
            )
        )
        return None, None
    return item, name


def _value(cell: Text, column: _Column, *, comma: bool) -> Text:
    """A cell with a decimal comma made a point, and the header's unit added to a bare figure."""
    text = str(cell)
    if column.name in FIGURES and len(text) <= MOST_LETTERS:  # a longer one is refused when it is read
        text = re.sub(r"(?<=\d),(?=\d)", ".", text) if comma else text
        text = text + column.suffix if column.suffix and _BARE.fullmatch(text) else text
        if column.name == "price" and _FOR_NO_MASS.fullmatch(text):
            text += " / kg"
    return Text(text, cell.span, quoted=cell.quoted)


def _one_currency(cell: Text, sheet: _Sheet) -> None:
    first = sheet.root.setdefault(Text("currency", cell.span), cell)
    if isinstance(first, Text) and first != cell:
        notes = (("another one stands here", first.span),)
        sheet.faults.append(
            Diagnostic(
                Code.OTHER_CURRENCY, f"one shelf has one currency, and {shown(cell)} is another", "", cell.span, notes
            )
        )


def _table(cells: dict[str, Text], span: Span) -> Table:
    made = Table(span)
    for name, cell in cells.items():
        made[Text(name, cell.span)] = cell
    return made


def _split_tags(entry: Table, cell: Text) -> None:
    tags = Row(cell.span)
    parts: list[Node] = [
        Text(part.strip(), cell.span)
        for part in re.split(r"[;,|]", cell, maxsplit=MOST_CELLS)
        if part.strip() not in ("", "-")
    ]
    tags.extend(parts)
    entry[Text("tags", cell.span)] = tags
