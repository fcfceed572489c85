"""How many worker processes a run of the tests is worth: one for each core, none where little was asked for."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

FILES_EACH = 8
"""Files of tests that pay for the start of one worker, which reads every one of them."""


def cores() -> int:
    """The cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def files_named(args: Iterable[str], folder: Path) -> int:
    """How many files of tests the arguments of a run name: a file or a test is one, a folder all that it holds."""
    return sum(files_in(folder / arg.partition("::")[0]) for arg in dict.fromkeys(args))


def files_in(path: Path) -> int:
    """The files of tests in a folder; a file is one."""
    return len(list(path.rglob("test_*.py"))) if path.is_dir() else 1


def workers_for(files: int, most: int) -> int:
    """One worker for each core and no more than the files pay for; a single one is none."""
    wanted = min(most, files // FILES_EACH)
    return wanted if wanted > 1 else 0
