"""What the batch record is asked: lists, one batch, what is left of each lot. Recalls have a room of their own."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

from optimiser.store.connecting import reading
from optimiser.store.faults import damaged
from optimiser.store.values import (
    Batch,
    Left,
    Listed,
    Lot,
    Observation,
    Shipment,
    Shown,
    Use,
    sha256_of,
)
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, offer, shown
from optimiser.text.opening import kind_of_file

BATCH = (
    "SELECT id, title, made, recipe, version, bars, batter_g, cured_g, superfat, superfat_likely, superfat_worst,"
    " lye_concentration, cost_e4, currency, cautions, recipe_sha256 FROM batch WHERE row = ?"
)


def list_batches(path: Path) -> tuple[Listed, ...]:
    """Every batch, the oldest first; those of no told day before all others.

    Raises:
        BadInput: the record cannot be read.
    """
    with reading(path) as connection:
        rows = connection.execute(
            "SELECT b.id, b.title, b.made,"
            " (SELECT sum(grams) FROM batch_lot_use AS u WHERE u.batch = b.row AND u.kind = 'fat'), b.bars,"
            " (SELECT count(DISTINCT lot) FROM batch_lot_use AS u WHERE u.batch = b.row),"
            " (SELECT count(*) FROM batch_lot_use AS u WHERE u.batch = b.row AND u.kind = 'fat' AND u.lot IS NULL),"
            " (SELECT coalesce(sum(bars), 0) FROM shipment AS s WHERE s.batch = b.row),"
            " (SELECT count(*) FROM observation AS o WHERE o.batch = b.row)"
            " FROM batch AS b ORDER BY b.made, b.row"
        )
        return tuple(Listed(*row) for row in rows)


def show_batch(path: Path, batch: str) -> Shown:
    """One batch with all that is known of it.

    Raises:
        BadInput: no such batch, or the record cannot be read; or the recipe is not the one that was recorded.
    """
    with reading(path) as connection:
        row, _ = batch_row(connection, batch)
        return shown_batch(connection, row, path)


def stock(path: Path) -> tuple[Left, ...]:
    """What is left of every lot, by material and number.

    Raises:
        BadInput: the record cannot be read.
    """
    with reading(path) as connection:
        rows = connection.execute(f"{LEFT} GROUP BY lot.row ORDER BY lot.material, lot.folded").fetchall()
    return tuple(left(row) for row in rows)


# -- within a connection -----------------------------------------------------------------------------------------


LEFT = (  # only movements that tell how much there was make known what is left
    "SELECT lot.number, lot.material, lot.best_before, sum(moved.grams),"
    " coalesce(max(moved.why IN ('received', 'shelf', 'counted', 'made')), 0), -coalesce(sum(moved.grams) FILTER (WHERE moved.why = 'drawn'), 0)"
    " FROM lot LEFT JOIN movement AS moved ON moved.lot = lot.row"
)


def left(row: tuple[str, str, str | None, float | None, int, float]) -> Left:
    """A row of `LEFT` as a value; grams to the milligram, since sums of what was weighed carry no more."""
    number, material, best_before, grams, known, drawn = row
    return Left(
        Lot(number, material, best_before), round(grams or 0.0, 3) + 0.0 if known else None, round(drawn, 3) + 0.0
    )


def left_of(connection: sqlite3.Connection, lot: Lot) -> Left:
    """What is left of one lot; nothing is known of one that is not there."""
    found = connection.execute(
        f"{LEFT} WHERE lot.folded = ? AND lot.material_folded = ? GROUP BY lot.row", key_of(lot)
    ).fetchone()
    return Left(lot, None, 0.0) if found is None else left(found)


def key_of(lot: Lot) -> tuple[str, str]:
    """What a lot is known again by: number and material, in which case, blanks and hyphens do not count."""
    return fold(lot.number) or lot.number, fold(lot.material) or lot.material


def reckoned(connection: sqlite3.Connection, lot: Lot) -> float:
    """The sum of all movements of a lot, whether or not anybody told how much there was."""
    found = connection.execute(
        "SELECT coalesce(sum(moved.grams), 0) FROM lot JOIN movement AS moved ON moved.lot = lot.row"
        " WHERE lot.folded = ? AND lot.material_folded = ?",
        key_of(lot),
    )
    return float(found.fetchone()[0])


def known_lots(path: Path) -> tuple[Lot, ...]:
    """Every lot of a record; none where there is no record yet.

    Raises:
        BadInput: the record cannot be read.
    """
    if kind_of_file(path) == "missing":
        return ()
    return tuple(item.lot for item in stock(path))


def lot_rows(connection: sqlite3.Connection, number: str) -> list[tuple[int, Lot]]:
    """Every lot of that number; case, blanks and hyphens do not count.

    Raises:
        BadInput: there is none.
    """
    rows = connection.execute(
        "SELECT row, number, material, best_before FROM lot WHERE folded = ? ORDER BY material",
        (fold(number) or number,),
    ).fetchall()
    if not rows:
        known = [item for (item,) in connection.execute("SELECT DISTINCT number FROM lot ORDER BY number")]
        help_ = offer(number, known, "'barwright batch stock' lists every lot")
        raise BadInput([Diagnostic(Code.UNKNOWN_LOT, f"no lot {shown(number)} is in the record", help_)])
    return [(row, Lot(*lot)) for row, *lot in rows]


def batch_row(connection: sqlite3.Connection, batch: str) -> tuple[int, str]:
    """The row of a batch, and its id as it stands in the record.

    Raises:
        BadInput: there is none of that id.
    """
    found = connection.execute("SELECT row, id FROM batch WHERE folded = ?", (fold(batch) or batch,)).fetchone()
    if found is None:
        known = [item for (item,) in connection.execute("SELECT id FROM batch ORDER BY row DESC")]
        help_ = offer(batch, known, "'barwright batch list' lists them")
        raise BadInput([Diagnostic(Code.UNKNOWN_BATCH, f"no batch {shown(batch)} is in the record", help_)])
    return int(found[0]), str(found[1])


def shown_batch(connection: sqlite3.Connection, row: int, path: Path) -> Shown:
    """One batch by its row.

    Raises:
        BadInput: the recipe's text is not the one whose hash was recorded.
    """
    told: tuple[Any, ...] = connection.execute(BATCH, (row,)).fetchone()
    cautions, hash_ = told[-2:]
    uses = tuple(
        Use(kind, material, grams, None if number is None else Lot(number, of, best_before), purity)
        for kind, material, grams, purity, number, of, best_before in connection.execute(
            "SELECT u.kind, u.material, u.grams, u.purity, lot.number, lot.material, lot.best_before"
            " FROM batch_lot_use AS u LEFT JOIN lot ON lot.row = u.lot WHERE u.batch = ? ORDER BY u.row",
            (row,),
        )
    )
    batch = Batch._make((*told[:-2], tuple(filter(None, cautions.split("\n"))), uses))
    if sha256_of(batch.recipe) != hash_:
        raise BadInput([damaged(path, f"the recipe of batch {shown(batch.id)} is not the one that was recorded")])
    observations = connection.execute(
        "SELECT noted_on, trace_s, unmould_h, hardness, hardness_unit, ash, notes FROM observation"
        " WHERE batch = ? ORDER BY row",
        (row,),
    )
    shipments = connection.execute(
        "SELECT bars, recipient, sent_on FROM shipment WHERE batch = ? ORDER BY sent_on, row", (row,)
    )
    return Shown(batch, tuple(map(observation, observations)), tuple(Shipment(*item) for item in shipments))


def observation(row: tuple[Any, ...]) -> Observation:
    """A row of observations as a value."""
    ash, notes = row[-2:]
    return Observation._make((*row[:-2], None if ash is None else bool(ash), tuple(filter(None, notes.split("\n")))))
