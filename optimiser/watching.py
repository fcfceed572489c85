"""Answer anew whenever the goal file or the shelf is saved."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from optimiser.text.diagnostics import BadInput

SETTLE_MS = 100  # editors write in several steps: wait until they are done


def watch(files: Callable[[], set[Path]], answer: Callable[[], None], stop: Any = None) -> None:
    """Answer now and after every save, until interrupted.

    Folders are watched rather than files, since many editors save by putting a new file in the old one's place.

    Args:
        files: the files that matter, asked anew each round since the goal file may name another shelf.
        answer: does the work and reports its own faults; must not raise for bad input.
        stop: an event that ends the watch (`threading.Event`), for callers other than a terminal.
    """
    import watchfiles

    while True:
        answer()
        wanted = {path.resolve() for path in files()}
        folders = sorted({path.parent for path in wanted})
        changes = watchfiles.watch(
            *folders,
            watch_filter=partial(matters, wanted),
            debounce=SETTLE_MS,
            step=20,
            stop_event=stop,
            recursive=False,
            raise_interrupt=True,
        )
        if next(changes, None) is None:
            return


def matters(wanted: set[Path], _change: Any, name: str) -> bool:
    """Whether a change is to one of the files wanted."""
    return Path(name).resolve() in wanted


def files_of(goal_file: Path, shelf_file: Path | None) -> set[Path]:
    """The goal file and the shelf it is met from, as far as it can be read just now."""
    from optimiser.goals import read_goals
    from optimiser.shelf import nearest_shelf

    try:
        shelf = shelf_file or read_goals(goal_file).shelf or nearest_shelf(goal_file)
    except BadInput:
        return {goal_file} if shelf_file is None else {goal_file, shelf_file}
    return {goal_file, shelf}
