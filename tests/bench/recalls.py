"""Recalls over a large batch record: median times of both ways, and of the check that every recall begins with.

    python tests/bench/recalls.py                    # 10,000 batches of 8 lots each
    python tests/bench/recalls.py --batches 1000

Every tenth lot is made from two others, so that recalls have links to follow. The record is invented.
"""

from __future__ import annotations

import argparse
import json
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from records import BATCH, invented

from optimiser.store.connecting import check, check_all, reading
from optimiser.store.recalling import HOLDING, WITHIN, recall_batch, recall_lot
from optimiser.store.writing import add_batch


def timed(what: str, run: Callable[[], object], times: int) -> None:
    """Tell the median and the worst of several runs in milliseconds."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        took.append(1000.0 * (time.perf_counter() - start))
    print(f"{what:<44} median {statistics.median(took):8.3f} ms   worst {max(took):8.3f} ms")


def main() -> None:
    """Make the record and ask it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--batches", type=int, default=10_000)
    parser.add_argument("--lots", type=int, default=8)
    asked = parser.parse_args()
    rng = random.Random(1)  # noqa: S311  an invented record
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "barwright.sqlite"
        start = time.perf_counter()
        numbers = invented(path, asked.batches, asked.lots, rng)
        print(f"made in {time.perf_counter() - start:.1f} s, {path.stat().st_size / 1e6:.1f} MB, {len(numbers)} lots")
        with reading(path) as connection:
            ask = connection.execute
            timed(
                "one lot's batches (the query)",
                lambda: ask(HOLDING, {"lots": json.dumps([rng.choice(numbers)])}).fetchall(),
                200,
            )
            timed(
                "one batch's lots (the query)",
                lambda: ask(WITHIN, {"batch": rng.randrange(1, asked.batches + 1)}).fetchall(),
                200,
            )
            timed("quick check, before a write", lambda: check(connection, path), 5)
            timed("whole check, before an export", lambda: check_all(connection, path), 5)
        timed("recall_lot, with its second reckoning", lambda: recall_lot(path, rng.choice(numbers)), 5)
        timed(
            "recall_batch, with its second reckoning", lambda: recall_batch(path, f"b{rng.randrange(asked.batches)}"), 5
        )
        count = iter(range(1000))
        timed("add_batch, on the disk", lambda: add_batch(path, BATCH._replace(id=f"new{next(count)}")), 5)


if __name__ == "__main__":
    main()
