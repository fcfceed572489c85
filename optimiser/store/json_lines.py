"""The whole batch record as JSON lines, a line for each thing in it, and such lines as a record again.

The first line says what it is and carries the cautions, since recipes hold alkali figures. Then lots, what they were made
from, batches with their uses, observations and shipments, and movements in the order in which they were written.
"""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from optimiser.recipe.handling import in_full
from optimiser.store.asking import shown_batch
from optimiser.store.connecting import check_all, reading, writing
from optimiser.store.values import Batch, Lot, Movement, Observation, Shipment, Source, Use
from optimiser.store.writing import (
    insert_batch,
    insert_movement,
    insert_observation,
    insert_shipment,
    join,
    lot_row,
)
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import shown
from optimiser.text.opening import read_bytes
from optimiser.text.spans import Span

Line = dict[str, Any]
FORMAT = "barwright-record/1"
MOST_BYTES = 1 << 30
NO_LINE = (LookupError, TypeError, ValueError, AttributeError, ArithmeticError)
"""What comes of a value of another kind or size than `export` writes."""
HASH = "recipe_sha256"


class Imported(NamedTuple):
    """How much came in."""

    batches: int
    lots: int
    movements: int


def export(path: Path) -> Iterator[str]:
    """The record line by line, as of one moment, each with its line break.

    Raises:
        BadInput: the record cannot be read, or is not whole.
    """
    with reading(path) as connection:
        check_all(connection, path)
        for line in told(connection, path):
            yield json.dumps(line, ensure_ascii=True, allow_nan=False) + "\n"


def told(connection: sqlite3.Connection, path: Path) -> Iterator[Line]:
    """Every line as data."""
    yield {"record": "barwright", "format": FORMAT, "cautions": list(in_full())}
    for row in connection.execute("SELECT number, material, best_before FROM lot ORDER BY row"):
        yield {"record": "lot", **Lot(*row)._asdict()}
    made_from = connection.execute(
        "SELECT lot.number, lot.material, source.number, source.material, made.grams FROM lot_made_from AS made"
        " JOIN lot ON lot.row = made.lot JOIN lot AS source ON source.row = made.source ORDER BY made.lot, made.source"
    )
    for number, material, source, of, grams in made_from:
        yield {"record": "made from", "lot": [number, material], "source": [source, of], "grams": grams}
    for (row,) in connection.execute("SELECT row FROM batch ORDER BY row").fetchall():
        found = shown_batch(connection, row, path)
        uses = [{**use._asdict(), "lot": None if use.lot is None else list(use.lot[:2])} for use in found.batch.uses]
        yield {
            "record": "batch",
            **found.batch._asdict(),
            HASH: found.batch.sha256,
            "uses": uses,
            "observations": [item._asdict() for item in found.observations],
            "shipments": [item._asdict() for item in found.shipments],
        }
    moved = connection.execute(
        "SELECT lot.number, lot.material, moved.grams, moved.why, moved.moved_on, batch.id FROM movement AS moved"
        " JOIN lot ON lot.row = moved.lot LEFT JOIN batch ON batch.row = moved.batch ORDER BY moved.row"
    )
    for number, material, grams, why, moved_on, batch in moved:
        yield {
            "record": "movement",
            "lot": [number, material],
            "grams": grams,
            "why": why,
            "moved_on": moved_on,
            "batch": batch,
        }


def import_lines(path: Path, file: Path) -> Imported:
    """Bring what `export` wrote into a record in which there is nothing yet: all of it or none.

    Raises:
        BadInput: a line is not as `export` writes it, the record holds something, or it cannot be written.
    """
    items = list(lines_of(file))
    if not items or items[0][1].get("format") != FORMAT:
        raise BadInput([not_a_line(file, 1, None)])
    count = dict.fromkeys(READERS, 0)
    with writing(path) as connection:
        if connection.execute("SELECT 1 FROM lot UNION ALL SELECT 1 FROM batch LIMIT 1").fetchone():
            message = f"{path} holds lots or batches already, and lines come into an empty record only"
            raise BadInput([Diagnostic(Code.FILE_EXISTS, message, "name a new record with --store FILE")])
        for number, line in items:
            kind = line.get("record")
            try:
                READERS[kind](connection, line)
            except (*NO_LINE, sqlite3.IntegrityError, sqlite3.InterfaceError, sqlite3.ProgrammingError) as error:
                raise BadInput([not_a_line(file, number, error)]) from None
            count[kind] += 1
    return Imported(count["batch"], count["lot"], count["movement"])


def lines_of(file: Path) -> Iterator[tuple[int, Line]]:
    """The lines of a file with their numbers.

    Raises:
        BadInput: it cannot be read, or holds something else.
    """
    data = read_bytes(file, MOST_BYTES)
    for number, raw in enumerate(data.split(b"\n"), start=1):
        if not raw.strip():
            continue
        try:
            line = json.loads(raw.decode("utf-8"), parse_constant=refuse_constant)
        except (ValueError, RecursionError) as error:
            raise BadInput([not_a_line(file, number, error)]) from None
        if not isinstance(line, dict):
            raise BadInput([not_a_line(file, number, None)])
        yield number, line


def refuse_constant(name: str) -> float:
    """Python reads NaN and Infinity, which are no JSON.

    Raises:
        ValueError: always.
    """
    raise ValueError(f"{name} is no figure")


def in_plain_words(error: Exception) -> str:
    """What is wrong with a line of JSON, for one who has never seen any."""
    if isinstance(error, UnicodeDecodeError):
        return "it is no text in UTF-8"
    if isinstance(error, json.JSONDecodeError):
        return f"it is no JSON from its place {error.pos + 1} on"
    if isinstance(error, RecursionError):
        return "its brackets go too deep"
    if isinstance(error, KeyError):
        return f"{shown(str(error.args[0]) if error.args else '')} is missing in it"
    if isinstance(error, TypeError | AttributeError | IndexError):
        return "what stands in it is of another kind than belongs there"
    return str(error) or "a figure in it is none"


def not_a_line(file: Path, number: int, error: Exception | None) -> Diagnostic:
    """The fault of a line that `export` does not write so."""
    why = "" if error is None else f": {in_plain_words(error)}"
    message = f"{file}, line {number}, is no line of a batch record as 'barwright batch export' writes it{why}"
    return Diagnostic(
        Code.WRONG_FILE, message, "nothing was changed; export the record anew", Span(str(file), number, 1, 1, "")
    )


# -- lines into rows -------------------------------------------------------------------------------------------


def lot_told(pair: list[str]) -> Lot:
    """A lot by its number and material."""
    number, material = pair
    return Lot(number, material)


def read_head(_: sqlite3.Connection, line: Line) -> None:
    """The first line.

    Raises:
        ValueError: of another format.
    """
    if line["format"] != FORMAT:
        raise ValueError(line["format"])


def read_lot(connection: sqlite3.Connection, line: Line) -> None:
    """A lot."""
    lot_row(connection, Lot(line["number"], line["material"], line["best_before"]))


def read_made_from(connection: sqlite3.Connection, line: Line) -> None:
    """What a lot was made from."""
    lot = lot_told(line["lot"])
    join(connection, lot_row(connection, lot), lot, Source(lot_told(line["source"]), figure(line["grams"])))


def read_batch(connection: sqlite3.Connection, line: Line) -> None:
    """A batch with all that is known of it.

    Raises:
        ValueError: its recipe is not the one whose hash stands beside it.
    """
    uses = tuple(
        Use(
            use["kind"],
            use["material"],
            figure(float(use["grams"])) or 0.0,
            None if use["lot"] is None else lot_told(use["lot"]),
            figure(use["purity"]),
        )
        for use in line["uses"]
    )
    fields = {name: line[name] for name in Batch._fields}
    batch = Batch(**{**fields, "uses": uses, "cautions": tuple(line["cautions"])})
    if batch.sha256 != line[HASH]:
        raise ValueError("the recipe is not the one whose hash stands beside it")
    row = insert_batch(connection, batch)
    for item in line["observations"]:
        insert_observation(connection, row, Observation(**{**item, "notes": tuple(item["notes"])}))
    for item in line["shipments"]:
        insert_shipment(connection, row, Shipment(**item))


def read_movement(connection: sqlite3.Connection, line: Line) -> None:
    """A movement of stock.

    Raises:
        ValueError: of a batch that is not there.
    """
    row = None
    if line["batch"] is not None:
        found = connection.execute("SELECT row FROM batch WHERE id = ?", (line["batch"],)).fetchone()
        if found is None:
            raise ValueError(f"there is no batch {line['batch']}")
        row = found[0]
    moved = Movement(lot_told(line["lot"]), figure(line["grams"]) or 0.0, line["why"], line["moved_on"])
    insert_movement(connection, moved, row)


def figure(value: float | None) -> float | None:
    """A figure that a balance could show.

    Raises:
        ValueError: without end.
    """
    if value is not None and not math.isfinite(value):
        raise ValueError(f"{value} is no figure")
    return value


READERS: Mapping[Any, Callable[[sqlite3.Connection, Line], None]] = {
    "barwright": read_head,
    "lot": read_lot,
    "made from": read_made_from,
    "batch": read_batch,
    "movement": read_movement,
}
