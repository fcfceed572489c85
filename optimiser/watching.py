"""Answer anew whenever the goal file or the shelf is saved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from optimiser.text.diagnostics import BadInput

SETTLE_MS = 100  # editors write in several steps: wait until they are done
LOOK_AGAIN_MS = 400  # a save in the moment between answering and watching is found by looking

State = tuple[tuple[Path, int, int, int], ...]


def watch(files: Callable[[], set[Path]], answer: Callable[[], None], stop: Any = None) -> None:
    """Answer now and after every save, until interrupted.

    Folders are watched rather than files, since many editors save by putting a new file in the old one's place; what
    counts is that a file is no longer what it was when it was last answered.

    Args:
        files: the files that matter, asked anew each round since the goal file may name another shelf.
        answer: does the work and reports its own faults; must not raise for bad input.
        stop: an event that ends the watch (`threading.Event`), for callers other than a terminal.
    """
    while True:
        wanted = files()
        before = state(wanted)
        answer()
        if not changed(wanted, before, stop):
            return


def changed(wanted: set[Path], before: State, stop: Any) -> bool:
    """Wait until one of the files is another than it was; False where the wait was ended."""
    import watchfiles

    folders = sorted({path.resolve().parent for path in wanted})
    looks = watchfiles.watch(
        *folders,
        debounce=SETTLE_MS,
        step=20,
        rust_timeout=LOOK_AGAIN_MS,
        yield_on_timeout=True,
        stop_event=stop,
        recursive=False,
        raise_interrupt=True,
    )
    return any(state(wanted) != before for _ in looks)


def state(files: Iterable[Path]) -> State:
    """What tells one save of the files from another: time, size and identity; a file that is missing has none."""
    found = []
    for path in sorted(files):
        try:
            stat = path.stat()
        except OSError:
            found.append((path, 0, 0, 0))
            continue
        found.append((path, stat.st_mtime_ns, stat.st_size, stat.st_ino))
    return tuple(found)


def files_of(goal_file: Path, shelf_file: Path | None) -> set[Path]:
    """The goal file and the shelf it is met from, as far as it can be read just now, and the maker's own scales."""
    from optimiser.goals import read_goals
    from optimiser.scales import nearest_scales
    from optimiser.shelf import nearest_shelf

    scales = nearest_scales(goal_file)
    known = (
        {goal_file} | ({shelf_file} if shelf_file is not None else set()) | ({scales} if scales is not None else set())
    )
    try:
        return known | ({shelf_file} if shelf_file else {read_goals(goal_file).shelf or nearest_shelf(goal_file)})
    except BadInput:
        return known
