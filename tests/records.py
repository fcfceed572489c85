"""Invented batch records for tests and benchmarks: batches with lots, and lots made from lots."""

from __future__ import annotations

import random
from pathlib import Path

from optimiser.store.connecting import writing
from optimiser.store.values import Batch, Lot, Source, Use
from optimiser.store.writing import insert_batch, join, lot_row

OLIVE, COCONUT = Lot("OL-1", "olive oil"), Lot("CO-1", "coconut oil")
BATCH = Batch(
    id="",
    title="Thirds (invented)",
    made="2026-11-03",
    recipe="fats: {olive oil: 700 g, coconut oil: 300 g}\nalkali: {sodium hydroxide: 135 g}\nwater: 280 g\n",
    version="0",
    bars=12,
    batter_g=1415.0,
    cured_g=1200.0,
    superfat=5.0,
    superfat_likely=4.0,
    superfat_worst=1.0,
    lye_concentration=32.5,
    cost_e4=61_234,
    currency="EUR",
    cautions=("Made at once, it gets hot.",),
    uses=(
        Use("fat", "olive oil", 700.0, OLIVE),
        Use("fat", "coconut oil", 300.0, COCONUT),
        Use("alkali", "sodium hydroxide", 135.0, None, 0.98),
        Use("water", "water", 280.0),
    ),
)
MATERIALS = (
    "olive oil",
    "coconut oil",
    "palm oil",
    "castor oil",
    "lard",
    "shea butter",
    "rapeseed oil",
    "cocoa butter",
)


def invented(path: Path, batches: int, each: int, rng: random.Random) -> list[str]:
    """A record of so many batches of so many lots each, written in one go; the numbers of its lots, folded."""
    lots = [Lot(f"l{number}", MATERIALS[number % len(MATERIALS)]) for number in range(max(each, batches // 5))]
    with writing(path) as connection:
        for place, lot in enumerate(lots):
            row = lot_row(connection, lot)
            if place % 10 == 9:
                for source in rng.sample(lots[:place], 2):
                    join(connection, row, lot, Source(source, 100.0))
        for number in range(batches):
            uses = tuple(Use("fat", lot.material, 100.0, lot) for lot in rng.sample(lots, each))
            insert_batch(connection, BATCH._replace(id=f"b{number}", uses=uses))
    return [lot.number for lot in lots]
