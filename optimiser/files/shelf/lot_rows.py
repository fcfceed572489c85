"""The lots of a spreadsheet: the columns of a certificate, and rows of one fat that are several lots of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.spans import Span

LOT_FIELDS = ("saponification_value", "tolerance", "iodine_value", "best_before")
OF_A_LOT = ("stock", "price")
OF_THE_FAT = ("like", "kind")


class FatRow(NamedTuple):
    """A row that is a fat: its name, what it says of the fat, and the cells of its lot by field."""

    name: Text
    entry: Table
    lot: dict[str, Text]


def lot_cells(entry: Table, name: Text, cells: dict[str, Text]) -> dict[str, Text]:
    """The cells of a row that are its certificate's; they are taken out of the entry.

    Figures without `lot_` are the certificate's too where the fat is one of the reference table, which has its own, and
    where a lot is named and no figure with `lot_` is. Else they are of the maker's own fat; a tolerance goes with
    whichever saponification value is the certificate's.
    """
    fields: dict[str, Text] = {}
    number = cells.get("lot_number") or cells.get("lot")
    if number is not None:
        fields["number"] = number
    is_own = "like" in cells or reference().find(name) is None
    certified = "lot_saponification_value" in cells
    for what in LOT_FIELDS:
        goes_along = what == "best_before" or (certified and what == "tolerance")
        is_lots = not is_own or (number is not None and not certified) or goes_along
        bare = cells.get(what) if is_lots else None
        figure = cells.get(f"lot_{what}") or bare
        if figure is not None:
            fields[what] = figure
        if bare is not None:
            entry.pop(what, None)  # type: ignore[call-overload]
    for column in ("lot", "lot_number", *(f"lot_{what}" for what in LOT_FIELDS)):
        entry.pop(column, None)  # type: ignore[call-overload]
    return fields


def with_lots(rows: Sequence[FatRow]) -> tuple[list[Node], list[Diagnostic]]:
    """The entries of all fats, those of one fat with a number of a lot each put together; and what is wrong with them."""
    together: dict[str, list[FatRow]] = {}
    for row in rows:
        known = reference().find(row.name)
        together.setdefault(fold_fat(known.name if known is not None else row.name), []).append(row)
    entries: list[Node] = []
    faults: list[Diagnostic] = []
    for same in together.values():
        if len(same) > 1 and all("number" in row.lot for row in same):
            entry, found = of_several(same)
            entries.append(entry)
            faults += found
            continue
        for row in same:
            entries.append(row.entry)
            faults += alone(row)
    return entries, faults


def alone(row: FatRow) -> Iterable[Diagnostic]:
    """The one lot of a row, put into its entry; a fault where it says nothing."""
    if not row.lot:
        return ()
    span = next(iter(row.lot.values())).span
    if "saponification_value" in row.lot:
        row.entry[Text("lot", row.name.span)] = as_table(row.lot, span)
        return ()
    help_ = "fill the column saponification_value from the certificate, or empty the lot's columns of this row"
    message = "a lot without the saponification value of its certificate says nothing"
    return (Diagnostic(Code.MISSING_KEY, message, help_, span),)


def of_several(rows: Sequence[FatRow]) -> tuple[Table, list[Diagnostic]]:
    """One entry of rows that are lots of one fat: stock and price go with each lot, all else is the fat's and told once."""
    first = rows[0]
    entry, faults = Table(first.entry.span), list[Diagnostic]()
    lots = Row(first.entry.span)
    said = {str(key): value for key, value in first.entry.items()}
    for row in rows:
        fields = {str(key): value for key, value in row.entry.items()}
        for name in OF_THE_FAT:
            own, other = said.get(name), fields.get(name)
            if isinstance(own, Text) and isinstance(other, Text) and fold_fat(own) != fold_fat(other):
                message = (
                    f"{shown(first.name)} is told twice as lots of one fat, and {shown(other)} is not {shown(own)}"
                )
                note = (("the other stands here", own.span),)
                faults.append(Diagnostic(Code.CONTRADICTION, message, "make them alike", other.span, note))
        its = {name: value for name in OF_A_LOT if isinstance(value := fields.get(name), Text)}
        lots.append(as_table({**row.lot, **its}, row.lot["number"].span))
    for key, value in first.entry.items():
        if str(key) not in OF_A_LOT:
            entry[key] = value
    entry[Text("lots", first.name.span)] = lots
    return entry, faults


def as_table(cells: dict[str, Text], span: Span) -> Table:
    """Cells as the entries of a mapping."""
    made = Table(span)
    for name, cell in cells.items():
        made[Text(name, cell.span)] = cell
    return made
