"""What was written into the batch record, or brought in and out, in a line or two."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.recipe.balance import places
from optimiser.report import words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.report.terminal.page import Paper
    from optimiser.store.json_lines import Imported
    from optimiser.store.values import Left, Lot, Shipment


def told_lot(path: Path, left: Left, sources: int, paper: Paper) -> str:
    """What was told of a lot."""
    made = f", made from {words.counted(sources, 'lot')}" if sources else ""
    known = "" if left.grams is None else f"; {words.grams(left.grams, places([left.grams]))} g left"
    said = f"Recorded: lot {left.lot.number} of {left.lot.material}{made}{known}, in"
    return f"{paper.say(said.replace(words.GLUE, ' '))} {paper.say(str(path))}\n"


def told_lots(path: Path, batch: str, lots: Sequence[Lot], paper: Paper) -> str:
    """Lots that were told of a batch later."""
    told = words.joined([f"{lot.material} {lot.number}" for lot in lots])
    return f"Recorded: {paper.say(f'{told} went into {batch}')}, in {paper.say(str(path))}\n"


def noted(path: Path, batch: str, paper: Paper) -> str:
    """That something was noted."""
    return f"Noted: {paper.say(batch)} in {paper.say(str(path))}\n"


def shipped(batch: str, sent: Shipment, left: int | None, paper: Paper) -> str:
    """Bars that went, and how many are left."""
    rest = "" if left is None else f"; {words.counted(left, 'bar')} left"
    bars = words.counted(sent.bars, "bar")
    return f"Recorded: {paper.say(f'{bars} of {batch} to {sent.recipient} on {sent.sent_on}{rest}')}\n"


def exported(folder: Path, files: Sequence[Path], paper: Paper) -> str:
    """Trials that were written."""
    if not files:
        return "Nothing to write: no batch has readings or notes yet.\n"
    lines = "".join(f"Written: {paper.say(str(path))}\n" for path in files)
    return f"{lines}Next:\n  barwright trial fit --folder {paper.say(words.quoted(str(folder)))}\n"


def imported(path: Path, counted: Imported, paper: Paper) -> str:
    """What came in by lines."""
    told = (
        f"{words.counted(counted.batches, 'batch', 'batches')}, {words.counted(counted.lots, 'lot')} and "
        f"{words.counted(counted.movements, 'movement')} of stock"
    )
    return f"Recorded: {told} in {paper.say(str(path))}\n"


def brought(path: Path, came: Sequence[str], there: Sequence[str], paper: Paper) -> str:
    """What came in of trials."""
    told = f"Recorded: {words.counted(len(came), 'trial')} in {paper.say(str(path))}\n"
    more = f"There already: {paper.say(', '.join(there))}\n" if there else ""
    return told + more
