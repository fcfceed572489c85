"""A history of prices from a spreadsheet: a row for each month, a column for each thing that has a price.

The first column says what a row is called, if its head names nothing that is sold. The prices may be in any money and for any
mass, since they count only as ratios to those of one row, which stands for today's shelf: the last, if no other is named.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal, NamedTuple

import numpy as np

from optimiser.files.price_subjects import Named, Priced, named
from optimiser.files.shelf.cells import delimiter_of, rows_of
from optimiser.maths.arrays import Matrix
from optimiser.problem.price_scenarios import Scenarios
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import Faults
from optimiser.text.names import fold, listed, offer, shown
from optimiser.text.nodes import Text
from optimiser.text.quantities import Misread, read_plain
from optimiser.text.source import in_file_order, read_text

MOST_ROWS = 20_000
MOST_TIMES = 100.0  # dearer or cheaper than the row that stands for today: beyond that a figure is a slip
FEWEST = 20  # rows of which so many per cent are told
MOST_ONE_SIDED = 0.9  # of the rows dearer, or cheaper, than today: no ordinary year
Others = Literal["follow", "stay"]


class _Column(NamedTuple):
    place: int
    head: Text
    named: Named


def read_history(path: Path, priced: Priced, others: Others = "follow", today: str | None = None) -> Scenarios:
    """The scenarios of a history: each row's prices as multiples of those of the row that stands for today.

    Args:
        path: the spreadsheet (CSV).
        priced: what has a price on the shelves.
        others: what prices do that have no column: `follow` the mean of the columns (geometric), or `stay`.
        today: what the row is called that stands for today's shelf.

    Raises:
        BadInput: with every fault of the file.
    """
    file = str(path)
    lines = tuple(read_text(path).split("\n"))
    delimiter, first = delimiter_of(lines)
    rows, faults = rows_of(lines, file, delimiter, first, MOST_ROWS)
    if faults:
        raise BadInput(faults)
    if len(rows) == 2 and not faults:
        message = f"{path} has one row of prices, which stands for today: nothing moves"
        raise BadInput([Diagnostic(Code.EMPTY_FILE, message, "add a row for each month before it", rows[1][0].span)])
    if len(rows) < 2:
        help_ = "a head with 'month' and names of fats, then a row of prices for each month"
        raise BadInput([Diagnostic(Code.EMPTY_FILE, f"{path} has no prices", help_)])
    if len(rows) > MOST_ROWS + 1:
        span = rows[MOST_ROWS + 1][0].span
        raise BadInput([Diagnostic(Code.TOO_MANY_ENTRIES, f"more than {MOST_ROWS} rows", "take every tenth", span)])
    columns, has_labels = _columns(rows[0], priced, faults)
    labels = tuple(str(row[0]) if has_labels else str(number) for number, row in enumerate(rows[1:], 1))
    prices = _figures(rows[1:], columns, len(rows[0]), faults, comma=delimiter == ";")
    if faults:
        raise BadInput(in_file_order(faults))
    base = _base(labels, rows, today, has_labels=has_labels)
    with np.errstate(over="ignore", under="ignore"):  # beyond all figures is refused as a slip
        ratios = prices / prices[base]
    _refuse_slips(ratios, rows[1:], columns, labels[base])
    moved = _laid(ratios, columns, priced, others)
    rules = (*_rules(columns, priced, others, labels[base]), *_far_off(ratios, labels[base]))
    return Scenarios("history", str(path), priced.names, len(ratios), labels, moved, rules=rules)


def _columns(heads: list[Text], priced: Priced, faults: list[Diagnostic]) -> tuple[list[_Column], bool]:
    """What each column is of, and whether the first holds labels."""
    found: list[_Column] = []
    has_labels = False
    for place, head in enumerate(heads):
        if not head.strip():
            if place:
                faults.append(Diagnostic(Code.MISSING_COLUMN, "a column without a head", "name it", head.span))
            has_labels = has_labels or place == 0
            continue
        try:
            what = named(head, head, priced)
        except Faults as bad:
            if place == 0:
                has_labels = True
            else:
                faults.extend(item._replace(code=Code.UNKNOWN_COLUMN) for item in bad.diagnostics)
            continue
        if not what.is_one:
            message = f"{shown(head)} is a kind or a tag, and a column of prices is of one thing"
            faults.append(Diagnostic(Code.UNKNOWN_COLUMN, message, "name one fat", head.span))
            continue
        earlier = next((one for one in found if one.named.word == what.word), None)
        if earlier is not None:
            message = f"{shown(head)} has a column already"
            notes = (("the first stands here", earlier.head.span),)
            faults.append(Diagnostic(Code.REPEATED_NAME, message, "keep one of the two", head.span, notes))
        found.append(_Column(place, head, what))
    if not any(one.named.members for one in found) and not faults:
        message = "no column is of anything on the shelves"
        faults.append(Diagnostic(Code.MISSING_COLUMN, message, "name columns by fats: coconut oil, ...", heads[0].span))
    return found, has_labels


def _figures(
    rows: list[list[Text]], columns: list[_Column], width: int, faults: list[Diagnostic], *, comma: bool
) -> Matrix:
    """The prices of every row; what is no price becomes a fault, and a cell beyond the `width` of the head."""
    out = np.ones((len(rows), len(columns)))
    for number, row in enumerate(rows):
        beyond = next((cell for cell in row[width:] if cell.strip()), None)
        if beyond is not None:
            help_ = "a comma parts cells here: use a point in figures, or part the cells by semicolons"
            message = f"this row has {len(row)} cells for {width} columns"
            faults.append(Diagnostic(Code.TOO_MANY_CELLS, message, help_, beyond.span))
            continue
        for place, column in enumerate(columns):
            cell = row[column.place] if column.place < len(row) else Text("", row[-1].span)
            try:
                out[number, place] = _price(cell, column.named.word, comma=comma)
            except Misread as bad:
                faults.append(Diagnostic(bad.code, bad.message, bad.help or "write a plain figure", cell.span))
    return out


def _price(cell: Text, what: str, *, comma: bool) -> float:
    """One price.

    Raises:
        Misread: there is none, or it is nothing or less.
    """
    if not cell.strip():
        help_ = "write the price of the month before, or take the row out"
        raise Misread(Code.NO_FIGURE, f"a price of {what} is missing", help_)
    text = cell.replace(",", ".") if comma and cell.count(",") == 1 and "." not in cell else str(cell)
    value = read_plain(text, f"a price of {what}").value
    if value <= 0.0:
        raise Misread(Code.OUT_OF_RANGE, f"a price of {what} is above 0, and this is {shown(cell)}", "mend the figure")
    return value


def _base(labels: tuple[str, ...], rows: list[list[Text]], today: str | None, *, has_labels: bool) -> int:
    """The row that stands for today's shelf.

    Raises:
        BadInput: none has that name.
    """
    if today is None:
        return len(labels) - 1
    wanted = [place for place, label in enumerate(labels) if fold(label) == fold(today)]
    if len(wanted) > 1:
        first, second = (rows[1 + place][0].span for place in wanted[:2])
        message = f"two rows are called {shown(today)}, which --today names"
        notes = (("the first stands here", first),)
        raise BadInput([Diagnostic(Code.REPEATED_NAME, message, "give each row a name of its own", second, notes)])
    if wanted:
        return wanted[0]
    help_ = offer(today, labels) or f"the rows go from {labels[0]} to {labels[-1]}"
    span = rows[0][0].span if has_labels else None
    message = f"no row is called {shown(today)}, which --today names"
    raise BadInput([Diagnostic(Code.USAGE, message, help_, span)])


def _refuse_slips(ratios: Matrix, rows: list[list[Text]], columns: list[_Column], base: str) -> None:
    """Refuses a price that is far beyond what prices do.

    Raises:
        BadInput: with every such figure, the first twenty.
    """
    far = np.argwhere((ratios > MOST_TIMES) | (ratios < 1.0 / MOST_TIMES))[:20].tolist()
    if far:
        raise BadInput(
            Diagnostic(
                Code.OUT_OF_RANGE,
                f"{columns[place].named.word} is {ratios[number, place]:.4g} times its price in {base} here",
                "a slip of the decimal point?",
                rows[number][columns[place].place].span,
            )
            for number, place in far
        )


def _laid(ratios: Matrix, columns: list[_Column], priced: Priced, others: Others) -> Matrix:
    """Every price of the shelves: by its column, or as the rest do."""
    names = priced.names
    moved = np.ones((len(ratios), len(names)))
    if others == "follow":
        moved[:, : len(priced.fats)] = np.exp(np.log(ratios).mean(axis=1))[:, None]
    for place, column in enumerate(columns):
        for name in column.named.members:
            moved[:, names.index(name)] = ratios[:, place]
    for place, column in enumerate(columns):  # a fat of its own name before those that are like it
        if column.named.word in names:
            moved[:, names.index(column.named.word)] = ratios[:, place]
    return moved


def _far_off(ratios: Matrix, base: str) -> tuple[str, ...]:
    """A warning where today's row is dearer, or cheaper, than nearly all of the history, in the mean of its columns."""
    if len(ratios) < FEWEST:
        return ()
    levels = np.log(ratios).mean(axis=1)
    for word, part in (("dearer", float((levels > 0.0).mean())), ("cheaper", float((levels < 0.0).mean()))):
        if part >= MOST_ONE_SIDED:
            told = f"{100.0 * part:.0f} % of the rows are {word} than {base}: the history lies on one side of today, and so do"
            return (f"{told} its costs.",)
    return ()


def _rules(columns: list[_Column], priced: Priced, others: Others, base: str) -> tuple[str, ...]:
    """What was done where the file says nothing, in sentences."""
    has = frozenset[str]().union(*(one.named.members for one in columns))
    rest = [name for name in priced.fats if name not in has]
    absent = [one.named.word for one in columns if not one.named.members]
    out = [f"The row {base} stands for today's shelf: every price is multiplied as its column stands to that row."]
    if rest:
        one = len(rest) == 1
        does = ("follow" if others == "follow" else "stay") + ("s" if one else "")
        what = "the mean of the columns" if others == "follow" else "as it is" if one else "as they are"
        of = (
            "1 fat of the shelf has no column: its price"
            if one
            else f"{len(rest)} fats of the shelf have no column: their prices"
        )
        out.append(f"{of} {does} {what} (--others).")
    stays = [name for name in priced.others if name not in has]
    if stays:
        out.append("Alkali, additives and liquids stay at today's prices.")
    if absent:
        out.append(f"Not on the shelf, so without a use here: {listed(absent)}.")
    return tuple(out)
