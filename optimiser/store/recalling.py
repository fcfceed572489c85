"""Recalls, both ways: which batches hold a lot, and which lots are in a batch. Each is one query of the record.

A lot that was made from a lot holds it, however many makes lie between; `UNION` looks at each lot once.

An answer that a damaged index cuts short would be worse than none. So every recall is reckoned a second time, by reading the
tables from end to end without any index and following the links in Python, and where the two differ there is no answer.
"""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Mapping
from pathlib import Path
from typing import TypeVar

from optimiser.store.asking import batch_row, lot_rows
from optimiser.store.connecting import reading
from optimiser.store.faults import damaged
from optimiser.store.values import Held, Lot, MayHold, Recalled, Shipment, Traced, Use, Within
from optimiser.text.diagnostics import BadInput
from optimiser.text.names import fold

Key = TypeVar("Key")
DIFFER = "what is asked by an index and what is read from end to end differ"

HOLDING = """
WITH RECURSIVE affected (lot) AS (
  SELECT row FROM lot WHERE folded IN (SELECT value FROM json_each(:lots))
  UNION
  SELECT made.lot FROM affected CROSS JOIN lot_made_from AS made ON made.source = affected.lot
)
SELECT b.row, b.id, b.title, b.made, sum(u.grams),
  json_group_array(DISTINCT json_array(lot.number, lot.material, lot.best_before)), b.bars,
  (SELECT json_group_array(json_array(s.bars, s.recipient, s.sent_on)) FROM shipment AS s WHERE s.batch = b.row)
FROM affected
CROSS JOIN batch_lot_use AS u ON u.lot = affected.lot
CROSS JOIN batch AS b ON b.row = u.batch
CROSS JOIN lot ON lot.row = u.lot
GROUP BY b.row
ORDER BY b.made, b.row
"""
"""Every batch that holds a lot; CROSS JOIN keeps SQLite to this order, which never reads a whole table."""

MADE_FROM = """
WITH RECURSIVE affected (lot) AS (
  SELECT row FROM lot WHERE folded IN (SELECT value FROM json_each(:lots))
  UNION
  SELECT made.lot FROM affected CROSS JOIN lot_made_from AS made ON made.source = affected.lot
)
SELECT lot.number, lot.material, lot.best_before, lot.folded IN (SELECT value FROM json_each(:lots))
FROM affected CROSS JOIN lot ON lot.row = affected.lot
ORDER BY lot.material, lot.folded
"""

MAY_HOLD = """
SELECT b.row, b.id, b.title, b.made, u.material, sum(u.grams)
FROM json_each(:materials) AS told
CROSS JOIN batch_lot_use AS u ON u.material = told.value AND u.lot IS NULL
CROSS JOIN batch AS b ON b.row = u.batch
GROUP BY b.row, u.material
ORDER BY b.made, b.row, u.material
"""
"""Batches with a material of which no lot was told."""

WITHIN = """
WITH RECURSIVE inside (lot, used) AS (
  SELECT DISTINCT lot, lot FROM batch_lot_use WHERE batch = :batch AND lot IS NOT NULL
  UNION
  SELECT made.source, inside.used FROM inside CROSS JOIN lot_made_from AS made ON made.lot = inside.lot
)
SELECT lot.number, lot.material, lot.best_before,
  (SELECT sum(u.grams) FROM batch_lot_use AS u WHERE u.batch = :batch AND u.lot = inside.lot),
  json_group_array(json_array(used.number, used.material, used.best_before)) FILTER (WHERE inside.used <> inside.lot)
FROM inside
CROSS JOIN lot ON lot.row = inside.lot
CROSS JOIN lot AS used ON used.row = inside.used
GROUP BY inside.lot
ORDER BY lot.material, lot.folded
"""
"""Every lot that is in a batch, be it in the pot itself or in what was made from it."""


def recall_lot(path: Path, number: str) -> Recalled:
    """Every batch that holds a lot of that number, and those that may.

    Raises:
        BadInput: no such lot, or the record cannot be read or is damaged.
    """
    with reading(path) as connection:
        folded = written_alike(connection, number)
        lots = [(Lot(*row[:3]), bool(row[3])) for row in connection.execute(MADE_FROM, {"lots": folded})]
        materials = sorted({lot.material for lot, _ in lots})
        rows = connection.execute(HOLDING, {"lots": folded}).fetchall()
        unsure = connection.execute(MAY_HOLD, {"materials": json.dumps(materials)}).fetchall()
        affected = lots_by_scan(connection, folded)
        if not (
            len(affected) == len(lots)
            and same({row[0]: row[4] for row in rows}, batches_by_scan(connection, affected))
            and same({(row[0], row[4]): row[5] for row in unsure}, untold_by_scan(connection, materials))
            and all(batch_row(connection, row[1])[0] == row[0] for row in (*rows, *unsure))
        ):
            raise BadInput([damaged(path, DIFFER)])
        if not any(own for _, own in lots):
            lot_rows(connection, number)  # tells that there is none, and what is near
    certain = {row[0] for row in rows}
    return Recalled(
        number=next(lot.number for lot, own in lots if own),
        lots=tuple(lot for lot, own in lots if own),
        made_from_it=tuple(lot for lot, own in lots if not own),
        batches=tuple(
            Held(id_, title, made, grams, lots_of(through), bars, shipments_of(sent))
            for _, id_, title, made, grams, through, bars, sent in rows
        ),
        may_hold=tuple(MayHold(*row[1:]) for row in unsure if row[0] not in certain),
    )


def recall_batch(path: Path, batch: str) -> Traced:
    """Every lot that is in a batch.

    Raises:
        BadInput: no such batch, or the record cannot be read or is damaged.
    """
    with reading(path) as connection:
        row, _ = batch_row(connection, batch)
        head = connection.execute("SELECT id, title, made FROM batch WHERE row = ?", (row,)).fetchone()
        lots = tuple(
            Within(Lot(number, material, best_before), grams, lots_of(through))
            for number, material, best_before, grams, through in connection.execute(WITHIN, {"batch": row})
        )
        if head is None or [item.lot for item in lots] != inside_by_scan(connection, row):
            raise BadInput([damaged(path, DIFFER)])
        untold = connection.execute(
            "SELECT kind, material, grams, purity FROM batch_lot_use"
            " WHERE batch = ? AND lot IS NULL AND kind <> 'water' ORDER BY row",
            (row,),
        )
        sent = connection.execute(
            "SELECT bars, recipient, sent_on FROM shipment WHERE batch = ? ORDER BY sent_on, row", (row,)
        )
        return Traced(
            id=head[0],
            title=head[1],
            made=head[2],
            lots=lots,
            untold=tuple(Use(kind, material, grams, None, purity) for kind, material, grams, purity in untold),
            shipments=tuple(Shipment(*item) for item in sent),
        )


# -- the same without any index ----------------------------------------------------------------------------------


def written_alike(connection: sqlite3.Connection, number: str) -> str:
    """The folded numbers, as JSON, that differ from this one by blanks and hyphens alone: OL77 is OL-77, and a recall finds both."""
    folded = fold(number) or number
    found = connection.execute(
        "SELECT DISTINCT folded FROM lot NOT INDEXED WHERE replace(folded, ' ', '') = ? ORDER BY folded",
        (folded.replace(" ", ""),),
    )
    return json.dumps(sorted({folded, *(item for (item,) in found)}))


def lots_by_scan(connection: sqlite3.Connection, folded: str) -> set[int]:
    """Rows of the lots of that number and of all that were made from them, by the other of the two trees that hold the links."""
    made: dict[int, set[int]] = {}
    for lot, source in connection.execute("SELECT lot, source FROM lot_made_from INDEXED BY made_from_by_lot"):
        made.setdefault(source, set()).add(lot)
    started = connection.execute(
        "SELECT row FROM lot NOT INDEXED WHERE folded IN (SELECT value FROM json_each(?))", (folded,)
    )
    return reached({row for (row,) in started}, made)


def batches_by_scan(connection: sqlite3.Connection, lots: set[int]) -> dict[int, float]:
    """Grams of these lots by the row of the batch that holds them."""
    found = connection.execute(
        "SELECT batch, sum(grams) FROM batch_lot_use NOT INDEXED"
        " WHERE lot IN (SELECT value FROM json_each(?)) GROUP BY batch",
        (json.dumps(sorted(lots)),),
    )
    return dict(found.fetchall())


def untold_by_scan(connection: sqlite3.Connection, materials: list[str]) -> dict[tuple[int, str], float]:
    """Grams of these materials of which no lot was told, by the row of the batch and the material."""
    found = connection.execute(
        "SELECT batch, material, sum(grams) FROM batch_lot_use NOT INDEXED"
        " WHERE lot IS NULL AND material IN (SELECT value FROM json_each(?)) GROUP BY batch, material",
        (json.dumps(materials),),
    )
    return {(batch, material): grams for batch, material, grams in found}


def inside_by_scan(connection: sqlite3.Connection, batch: int) -> list[Lot]:
    """The lots that are in a batch, sorted as a recall tells them."""
    sources: dict[int, set[int]] = {}
    for lot, source in connection.execute("SELECT lot, source FROM lot_made_from NOT INDEXED"):
        sources.setdefault(lot, set()).add(source)
    used = connection.execute("SELECT lot FROM batch_lot_use NOT INDEXED WHERE batch = ? AND lot IS NOT NULL", (batch,))
    rows = reached({row for (row,) in used}, sources)
    found = connection.execute(
        "SELECT number, material, best_before FROM lot NOT INDEXED WHERE row IN (SELECT value FROM json_each(?))"
        " ORDER BY material, folded",
        (json.dumps(sorted(rows)),),
    )
    return [Lot(*row) for row in found]


def reached(start: set[int], links: Mapping[int, set[int]]) -> set[int]:
    """All that links lead to, the start among it."""
    found, ahead = set(start), list(start)
    while ahead:
        further = links.get(ahead.pop(), set()) - found
        found |= further
        ahead += further
    return found


def same(one: Mapping[Key, float], other: Mapping[Key, float]) -> bool:
    """Whether two reckonings have the same batches, and grams that differ by no more than the order of a sum can make."""
    return one.keys() == other.keys() and all(
        math.isclose(grams, other[key], rel_tol=1e-9) for key, grams in one.items()
    )


# -- out of a query's JSON -----------------------------------------------------------------------------------------


def lots_of(text: str) -> tuple[Lot, ...]:
    """Lots out of a query's JSON, sorted."""
    return tuple(sorted((Lot(*item) for item in json.loads(text)), key=lambda lot: (lot.material, lot.number)))


def shipments_of(text: str) -> tuple[Shipment, ...]:
    """Shipments out of a query's JSON, the earliest first."""
    return tuple(sorted((Shipment(*item) for item in json.loads(text)), key=lambda item: item.sent_on))
