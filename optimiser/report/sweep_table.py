"""Every scenario of a sweep as a table: CSV, or Parquet where pyarrow is installed. A line for each scenario of each bar."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from optimiser.answers.sweep_results import Sweep, SweptGoal

COLUMNS = ("goals", "scenario", "label", "kept_per_kg", "reoptimised_per_kg", "saving_percent", "blend")
AT_ONCE = 50_000  # lines that are held at a time


def refused(path: Path) -> str:
    """Why no table can be written to a file of this name; nothing where one can."""
    suffix = path.suffix.casefold()
    if suffix == ".csv":
        return ""
    if suffix != ".parquet":
        return f"{path} is neither .csv nor .parquet"
    from importlib.util import find_spec

    return "" if find_spec("pyarrow") else f"{path}: Parquet needs pyarrow: pip install 'barwright[parquet]'"


def table(sweep: Sweep, path: Path) -> Iterator[bytes]:
    """The table in pieces, as the suffix of the file says."""
    yield from parquet(sweep) if path.suffix.casefold() == ".parquet" else as_csv(sweep)


def lines(sweep: Sweep, goal: SweptGoal, first: int, last: int) -> dict[str, list[Any]]:
    """Some scenarios of a bar, column by column. A blend has a number of its own in each bar; None where it is not known."""
    known = [number >= 0 for number in goal.numbers[first:last].tolist()]
    kept = goal.kept_costs[first:last].tolist()
    costs = [cost if is_known else None for cost, is_known in zip(goal.costs[first:last].tolist(), known, strict=True)]
    return {
        "goals": [goal.file] * (last - first),
        "scenario": list(range(first + 1, last + 1)),
        "label": list(sweep.labels[first:last]) or [""] * (last - first),
        "kept_per_kg": [round(one, 9) for one in kept],
        "reoptimised_per_kg": [None if one is None else round(one, 9) for one in costs],
        "saving_percent": [
            None if cost is None else round(100.0 * (1.0 - cost / one), 6) + 0.0
            for one, cost in zip(kept, costs, strict=True)
        ],
        "blend": [
            int(number) + 1 if is_known else None
            for number, is_known in zip(goal.numbers[first:last].tolist(), known, strict=True)
        ],
    }


def pieces(sweep: Sweep) -> Iterator[dict[str, list[Any]]]:
    """The lines of all bars, some at a time."""
    for goal in sweep.goals:
        for first in range(0, sweep.scenarios, AT_ONCE):
            yield lines(sweep, goal, first, min(first + AT_ONCE, sweep.scenarios))


def as_csv(sweep: Sweep) -> Iterator[bytes]:
    """The table as CSV (RFC 4180, with line feeds)."""
    yield (",".join(COLUMNS) + "\n").encode()
    for piece in pieces(sweep):
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerows(zip(*(piece[name] for name in COLUMNS), strict=True))
        yield out.getvalue().encode()


class _Sink(io.RawIOBase):
    """What a writer of Parquet takes for a file: it keeps count, and gives away what it holds."""

    def __init__(self) -> None:
        self._held: list[bytes] = []
        self._at = 0

    def writable(self) -> bool:
        """Yes."""
        return True

    def tell(self) -> int:
        """How much was written in all."""
        return self._at

    def write(self, data: Any) -> int:
        """Hold some more."""
        piece = bytes(data)
        self._held.append(piece)
        self._at += len(piece)
        return len(piece)

    def taken(self) -> bytes:
        """What was written since the last time."""
        out, self._held = b"".join(self._held), []
        return out


def parquet(sweep: Sweep) -> Iterator[bytes]:
    """The table as Parquet, a row group for each piece."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    kinds = (pa.string(), pa.int64(), pa.string(), pa.float64(), pa.float64(), pa.float64(), pa.int64())
    schema = pa.schema(list(zip(COLUMNS, kinds, strict=True)))
    sink = _Sink()
    with pq.ParquetWriter(pa.PythonFile(sink, mode="w"), schema) as writer:
        for piece in pieces(sweep):
            writer.write_table(pa.table(piece, schema=schema))
            yield sink.taken()
    yield sink.taken()
