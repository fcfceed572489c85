"""Answer anew whenever a file that the answer is worked out from is saved, is put in place or goes away."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from optimiser.files.designs import FOLDER as DESIGNS
from optimiser.files.in_use import files_in_use, places_to_look

SETTLE_MS = 100  # editors write in several steps: wait until they are done
LOOK_AGAIN_MS = 400  # a save in the moment between answering and watching is found by looking

Look = tuple[Path, tuple[Any, ...]]
State = tuple[Look, ...]


class Place(NamedTuple):
    """Where a watch began: the folder it was started in, and the files named there in full."""

    folder: Path
    goal_file: Path
    shelf_file: Path | None
    near_file: Path | None = None

    def files(self) -> set[Path]:
        """What may change the answer: the files in use, and where others would come to be."""
        return files_in_use(self.goal_file, self.shelf_file, self.near_file) | places_to_look(self.goal_file)

    def return_to(self) -> None:
        """Stand in the folder of the start again, should it have been deleted and made anew."""
        with suppress(OSError):
            os.chdir(self.folder)


def place(goal_file: Path, shelf_file: Path | None, near_file: Path | None = None) -> Place:
    """The place of a watch that begins now.

    Raises:
        OSError: the folder that we stand in is gone.
    """
    shelf = None if shelf_file is None else shelf_file.absolute()
    near = None if near_file is None else near_file.absolute()
    return Place(Path.cwd(), goal_file.absolute(), shelf, near)


def watch(files: Callable[[], set[Path]], answer: Callable[[], None], stop: Any = None) -> None:
    """Answer now and after every save, until interrupted.

    Folders are watched rather than files, since many editors save by putting a new file in the old one's place; what
    counts is that a file is no longer what it was when it was last answered. A folder that is not there, or goes away,
    is waited for.

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
    while True:
        try:
            for _ in looks(wanted, stop):
                if state(wanted) != before:
                    return True
        except (OSError, RuntimeError):  # a folder went away this very moment, or the system watches no more of them
            wait(stop)
        if stop is not None and stop.is_set():
            return False
        if state(wanted) != before:
            return True


def looks(wanted: set[Path], stop: Any) -> Iterator[object]:
    """Something for every moment at which it is worth looking at the files again."""
    real = {Path(os.path.realpath(path)).parent for path in wanted}
    folders = sorted(folder for folder in real if folder.is_dir())
    if not folders:
        wait(stop)
        return
    import watchfiles

    yield from watchfiles.watch(
        *folders,
        debounce=SETTLE_MS,
        step=20,
        rust_timeout=LOOK_AGAIN_MS,
        yield_on_timeout=True,
        stop_event=stop,
        recursive=False,
        raise_interrupt=True,
    )


def wait(stop: Any) -> None:
    """Wait for as long as it takes to look again."""
    if stop is None:
        time.sleep(LOOK_AGAIN_MS / 1000.0)
    else:
        stop.wait(LOOK_AGAIN_MS / 1000.0)


def state(files: Iterable[Path]) -> State:
    """What tells one save of the files from another; of a folder, which files it holds (of one of designs, their saves)."""
    return tuple((path, look(path)) for path in sorted(files))


def look(path: Path) -> tuple[Any, ...]:
    """A file's time, size and identity, or the names in a folder; nothing for what is missing."""
    try:
        if not path.is_dir():
            return saved(path)
        names = sorted(item for item in path.iterdir() if item.suffix.lower() in (".yaml", ".yml", ".csv"))
    except (OSError, ValueError):
        return ()
    return tuple((item.name, *(saved(item) if path.name == DESIGNS else ())) for item in names)


def saved(path: Path) -> tuple[int, ...]:
    """What tells one save of a file from another: time, size and identity; nothing where it is missing."""
    try:
        stat = path.stat()
    except (OSError, ValueError):
        return ()
    return (stat.st_mtime_ns, stat.st_size, stat.st_ino)
