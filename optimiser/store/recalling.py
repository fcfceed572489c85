"""Recalls, both ways: which batches hold a lot, and which lots are in a batch. Each is one query of the record.

A lot that was made from a lot holds it, however many makes lie between; `UNION` looks at each lot once.
"""

from __future__ import annotations

import json
from pathlib import Path

from optimiser.store.asking import batch_row, lot_rows
from optimiser.store.connecting import check_all, reading
from optimiser.store.values import Held, Lot, MayHold, Recalled, Shipment, Traced, Use, Within
from optimiser.text.names import fold

HOLDING = """
WITH RECURSIVE affected (lot) AS (
  SELECT row FROM lot WHERE folded = :lot
  UNION
  SELECT made.lot FROM affected CROSS JOIN lot_made_from AS made ON made.source = affected.lot
)
SELECT b.id, b.title, b.made, sum(u.grams),
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
  SELECT row FROM lot WHERE folded = :lot
  UNION
  SELECT made.lot FROM affected CROSS JOIN lot_made_from AS made ON made.source = affected.lot
)
SELECT lot.number, lot.material, lot.best_before, lot.folded = :lot
FROM affected CROSS JOIN lot ON lot.row = affected.lot
ORDER BY lot.material, lot.folded
"""

MAY_HOLD = """
SELECT b.id, b.title, b.made, u.material, sum(u.grams)
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

    The whole record is checked first: an answer that a damaged index cuts short would be worse than none.

    Raises:
        BadInput: no such lot, or the record cannot be read or is not whole.
    """
    with reading(path) as connection:
        check_all(connection, path)
        lot_rows(connection, number)
        asked = {"lot": fold(number) or number}
        lots = [(Lot(*row[:3]), bool(row[3])) for row in connection.execute(MADE_FROM, asked)]
        held = tuple(
            Held(id_, title, made, grams, lots_of(through), bars, shipments_of(sent))
            for id_, title, made, grams, through, bars, sent in connection.execute(HOLDING, asked)
        )
        materials = json.dumps(sorted({lot.material for lot, _ in lots}))
        certain = {item.id for item in held}
        unsure = [MayHold(*row) for row in connection.execute(MAY_HOLD, {"materials": materials})]
    return Recalled(
        number=next(lot.number for lot, own in lots if own),
        lots=tuple(lot for lot, own in lots if own),
        made_from_it=tuple(lot for lot, own in lots if not own),
        batches=held,
        may_hold=tuple(item for item in unsure if item.id not in certain),
    )


def recall_batch(path: Path, batch: str) -> Traced:
    """Every lot that is in a batch.

    Raises:
        BadInput: no such batch, or the record cannot be read or is not whole.
    """
    with reading(path) as connection:
        check_all(connection, path)
        row, _ = batch_row(connection, batch)
        id_, title, made = connection.execute("SELECT id, title, made FROM batch WHERE row = ?", (row,)).fetchone()
        lots = tuple(
            Within(Lot(number, material, best_before), grams, lots_of(through))
            for number, material, best_before, grams, through in connection.execute(WITHIN, {"batch": row})
        )
        untold = connection.execute(
            "SELECT kind, material, grams, purity FROM batch_lot_use WHERE batch = ? AND lot IS NULL AND kind <> 'water'"
            " ORDER BY row",
            (row,),
        )
        sent = connection.execute(
            "SELECT bars, recipient, sent_on FROM shipment WHERE batch = ? ORDER BY sent_on, row", (row,)
        )
        return Traced(
            *(id_, title, made, lots),
            untold=tuple(Use(kind, material, grams, None, purity) for kind, material, grams, purity in untold),
            shipments=tuple(Shipment(*item) for item in sent),
        )


def lots_of(text: str) -> tuple[Lot, ...]:
    """Lots out of a query's JSON, sorted."""
    return tuple(sorted((Lot(*item) for item in json.loads(text)), key=lambda lot: (lot.material, lot.number)))


def shipments_of(text: str) -> tuple[Shipment, ...]:
    """Shipments out of a query's JSON, the earliest first."""
    return tuple(sorted((Shipment(*item) for item in json.loads(text)), key=lambda item: item.sent_on))
