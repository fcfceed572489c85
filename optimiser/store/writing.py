"""Everything that is written into the batch record; each of these is whole on the disk when it returns, or nothing was changed."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from pathlib import Path

from optimiser.store.asking import batch_row, key_of, left_of, reckoned
from optimiser.store.connecting import writing
from optimiser.store.values import Added, Batch, Left, Lot, Movement, Observation, Shipment, Source, Use
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, shown

LEAST_BAR = 5.0
"""Grams of the smallest bar that anybody cuts; the smallest of inns weigh 10 to 15 g (common practice, no source)."""


def add_batch(
    path: Path,
    batch: Batch,
    observations: Sequence[Observation] = (),
    *,
    draw_down: bool = False,
    stock: Mapping[Lot, float] | None = None,
) -> Added:
    """Record a batch, and where asked take what it used from the stock of its lots.

    Args:
        path: the record; one that is not there is made.
        batch: with an empty `id` it gets the next one of its day.
        observations: what was seen of it already.
        draw_down: whether to write movements.
        stock: grams that the shelf tells of a lot; where nothing was ever told here of how much there was, that is it.

    Raises:
        BadInput: its id is taken, there are more bars than its soap can be, or the record cannot be written.
    """
    if batch.bars is not None:
        enough_soap(batch.bars, batch.cured_g)
    with writing(path) as connection:
        named = batch if batch.id else batch._replace(id=next_id(connection, batch.made or "batch"))
        row = insert_batch(connection, named)
        for item in observations:
            insert_observation(connection, row, item)
        drawn = draw(connection, row, named, stock or {}) if draw_down else ()
    return Added(named, drawn)


def add_lot(
    path: Path,
    lot: Lot,
    made_from: Sequence[Source] = (),
    *,
    received: float = 0.0,
    counted: float | None = None,
    on: str = "",
) -> Left:
    """Record a lot, what it was made from, and stock of it that came or was counted.

    Args:
        path: the record; one that is not there is made.
        lot: one that is there already only gains what is told anew.
        made_from: lots that it was made from; their stock goes down by what is told to have gone in.
        received: grams that came.
        counted: grams that there are, by the scale: the difference to what was reckoned is written.
        on: the day of it.

    Raises:
        BadInput: a lot would be made from itself, however roundabout, or the record cannot be written.
    """
    with writing(path) as connection:
        row = lot_row(connection, lot)
        for source in made_from:
            join(connection, row, lot, source)
            if source.grams is not None:
                insert_movement(connection, Movement(source.lot, -source.grams, "made into", on))
        if received:
            insert_movement(connection, Movement(lot, received, "made" if made_from else "received", on))
        if counted is not None:
            insert_movement(connection, Movement(lot, counted - reckoned(connection, lot), "counted", on))
        return left_of(connection, lot)


def tell_lots(path: Path, batch: str, lots: Sequence[Lot], *, draw_down: bool = False) -> tuple[str, tuple[Left, ...]]:
    """Tell of a recorded batch which lots went in of what had none; the batch's id, and where drawn what is left of them.

    Raises:
        BadInput: no such batch; it does not hold such a thing, or its lot is told; or the record cannot be written.
    """
    with writing(path) as connection:
        row, id_ = batch_row(connection, batch)
        for lot in lots:
            told = connection.execute(
                "UPDATE batch_lot_use SET lot = ? WHERE batch = ? AND material = ? AND lot IS NULL AND kind <> 'water'"
                " RETURNING grams",
                (lot_row(connection, lot), row, lot.material),
            ).fetchall()
            if not told:
                message = f"batch {shown(id_)} holds no {lot.material} of which the lot is not told"
                help_ = "a lot that was told is never changed; 'barwright batch show' lists what has none"
                raise BadInput([Diagnostic(Code.NOT_IN_RECIPE, message, help_)])
            if draw_down:
                (made,) = connection.execute("SELECT made FROM batch WHERE row = ?", (row,)).fetchone()
                insert_movement(connection, Movement(lot, -sum(grams for (grams,) in told), "drawn", made), row)
        return id_, tuple(left_of(connection, lot) for lot in lots) if draw_down else ()


def note(path: Path, batch: str, observation: Observation) -> str:
    """Record what was seen of a batch; its id as it stands in the record.

    Raises:
        BadInput: no such batch, it was made later, or the record cannot be written.
    """
    with writing(path) as connection:
        row, id_ = batch_row(connection, batch)
        not_before_made(connection, row, observation.noted_on, "look at --date and at the batch's id")
        insert_observation(connection, row, observation)
    return id_


def ship(path: Path, batch: str, shipment: Shipment) -> tuple[str, int | None]:
    """Record bars that went to somebody; the batch's id, and how many bars are left where it is known how many there were.

    Raises:
        BadInput: no such batch, it was made later, more bars than there are left or than its soap can be, or the record
            cannot be written.
    """
    with writing(path) as connection:
        row, id_ = batch_row(connection, batch)
        not_before_made(connection, row, shipment.sent_on, "look at --on and at the batch's id")
        bars, cured = connection.execute("SELECT bars, cured_g FROM batch WHERE row = ?", (row,)).fetchone()
        (sent,) = connection.execute("SELECT coalesce(sum(bars), 0) FROM shipment WHERE batch = ?", (row,)).fetchone()
        if bars is not None and sent + shipment.bars > bars:
            message = f"batch {shown(id_)} has {bars - sent} of its {bars} bars left, and {shipment.bars} cannot go"
            raise BadInput([Diagnostic(Code.OUT_OF_RANGE, message, "look at --bars and at the batch's id")])
        enough_soap(sent + shipment.bars, cured)
        insert_shipment(connection, row, shipment)
    return id_, None if bars is None else bars - sent - shipment.bars


def enough_soap(bars: int, cured_g: float) -> None:
    """A number of bars that so much soap can be.

    Raises:
        BadInput: each would be smaller than any bar.
    """
    if cured_g / bars < LEAST_BAR:
        message = f"{bars} bars of {cured_g:.0f} g of soap would be of {cured_g / bars:.2g} g each"
        raise BadInput([Diagnostic(Code.OUT_OF_RANGE, message, "look at --bars; what is recorded is never changed")])


def not_before_made(connection: sqlite3.Connection, row: int, day: str | None, help_: str) -> None:
    """A day on which there was a batch.

    Raises:
        BadInput: it was made later.
    """
    id_, made = connection.execute("SELECT id, made FROM batch WHERE row = ?", (row,)).fetchone()
    if day is not None and made is not None and day < made:
        message = f"batch {shown(id_)} was made on {made}, and {day} is before that"
        raise BadInput([Diagnostic(Code.OUT_OF_RANGE, message, help_)])


# -- rows ------------------------------------------------------------------------------------------------------


def next_id(connection: sqlite3.Connection, stem: str) -> str:
    """The first free id of a day: the day and a number."""
    number = 1
    while connection.execute("SELECT 1 FROM batch WHERE folded = ?", (fold(f"{stem}-{number}"),)).fetchone():
        number += 1
    return f"{stem}-{number}"


def insert_batch(connection: sqlite3.Connection, batch: Batch) -> int:
    """A batch with what went into it; lots that are new are made.

    Raises:
        BadInput: there is one of that id.
    """
    folded = fold(batch.id) or batch.id
    if connection.execute("SELECT 1 FROM batch WHERE folded = ?", (folded,)).fetchone():
        message = f"a batch {shown(batch.id)} is in the record already"
        help_ = "give this one an id of its own with --id; what is recorded is never written over"
        raise BadInput([Diagnostic(Code.TAKEN_BATCH, message, help_)])
    row = connection.execute(
        "INSERT INTO batch (id, folded, title, made, recipe, recipe_sha256, version, bars, batter_g, cured_g, superfat,"
        " superfat_likely, superfat_worst, lye_concentration, cost_e4, currency, cautions)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING row",
        (
            *(batch.id, folded, batch.title, batch.made, batch.recipe, batch.sha256, batch.version, batch.bars),
            *(batch.batter_g, batch.cured_g, batch.superfat, batch.superfat_likely, batch.superfat_worst),
            *(batch.lye_concentration, batch.cost_e4, batch.currency, "\n".join(batch.cautions)),
        ),
    ).fetchone()[0]
    connection.executemany(
        "INSERT INTO batch_lot_use (batch, kind, material, grams, purity, lot) VALUES (?, ?, ?, ?, ?, ?)",
        [(row, use.kind, use.material, use.grams, use.purity, use_lot(connection, use)) for use in batch.uses],
    )
    return int(row)


def use_lot(connection: sqlite3.Connection, use: Use) -> int | None:
    """The row of a use's lot."""
    return None if use.lot is None else lot_row(connection, use.lot)


def lot_row(connection: sqlite3.Connection, lot: Lot) -> int:
    """The row of a lot, made where there is none; a day that was not told before is filled in."""
    number, material = key_of(lot)
    connection.execute(
        "INSERT INTO lot (number, folded, material, material_folded, best_before) VALUES (?, ?, ?, ?, ?)"
        " ON CONFLICT (folded, material_folded) DO UPDATE SET best_before = coalesce(best_before, excluded.best_before)",
        (lot.number, number, lot.material, material, lot.best_before),
    )
    found = connection.execute("SELECT row FROM lot WHERE folded = ? AND material_folded = ?", (number, material))
    return int(found.fetchone()[0])


def join(connection: sqlite3.Connection, row: int, lot: Lot, source: Source) -> None:
    """Write down that a lot was made from another.

    Raises:
        BadInput: the other was made from it.
    """
    from_row = lot_row(connection, source.lot)
    circle = connection.execute(
        "WITH RECURSIVE above (lot) AS (SELECT :source UNION"
        " SELECT made.source FROM lot_made_from AS made JOIN above ON made.lot = above.lot)"
        " SELECT 1 FROM above WHERE lot = :lot",
        {"source": from_row, "lot": row},
    )
    if circle.fetchone():
        message = (
            f"lot {shown(lot.number)} cannot be made from {shown(source.lot.number)}, which is made from it or is it"
        )
        raise BadInput([Diagnostic(Code.CONTRADICTION, message, "give every make of an infusion a number of its own")])
    connection.execute(
        "INSERT INTO lot_made_from (lot, source, grams) VALUES (?, ?, ?)"
        " ON CONFLICT (source, lot) DO UPDATE SET grams = coalesce(grams + excluded.grams, grams, excluded.grams)",
        (row, from_row, source.grams),
    )


def draw(connection: sqlite3.Connection, row: int, batch: Batch, stock: Mapping[Lot, float]) -> tuple[Left, ...]:
    """Movements of what a batch used; of a lot of which nothing was told yet the shelf's stock comes first."""
    used: dict[Lot, float] = {}
    for use in batch.uses:
        if use.lot is not None:
            used[use.lot] = used.get(use.lot, 0.0) + use.grams
    day = batch.made
    for lot, grams in used.items():
        if lot in stock and left_of(connection, lot).grams is None:
            insert_movement(connection, Movement(lot, stock[lot] - reckoned(connection, lot), "shelf", day))
        insert_movement(connection, Movement(lot, -grams, "drawn", day), row)
    return tuple(left_of(connection, lot) for lot in used)


def insert_movement(connection: sqlite3.Connection, item: Movement, batch: int | None = None) -> None:
    """A movement of stock."""
    connection.execute(
        "INSERT INTO movement (lot, grams, why, moved_on, batch) VALUES (?, ?, ?, ?, ?)",
        (lot_row(connection, item.lot), item.grams, item.why, item.moved_on, batch),
    )


def insert_observation(connection: sqlite3.Connection, batch: int, item: Observation) -> None:
    """What was seen of a batch."""
    ash = None if item.ash is None else int(item.ash)
    connection.execute(
        "INSERT INTO observation (batch, noted_on, trace_s, unmould_h, hardness, hardness_unit, ash, notes)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (batch, *item[:5], ash, "\n".join(item.notes)),
    )


def insert_shipment(connection: sqlite3.Connection, batch: int, item: Shipment) -> None:
    """Bars that went to somebody."""
    connection.execute("INSERT INTO shipment (batch, bars, recipient, sent_on) VALUES (?, ?, ?, ?)", (batch, *item))
