"""A bar on standard error that says how far a sweep is, for people at a terminal; wiped at the end."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Watch = Callable[[int, int, str], None]


@contextmanager
def shown(*, wanted: bool) -> Iterator[Watch]:
    """While this lasts, a bar tells how much is done, if standard error is a terminal that can wipe a line."""
    if not wanted or sys.stderr is None or not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield lambda _done, _of, _what: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    console = Console(stderr=True, no_color=bool(os.environ.get("NO_COLOR")))
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=None)

        def watch(done: int, of: int, what: str) -> None:
            bar.update(task, completed=done, total=of, description=what)

        yield watch
