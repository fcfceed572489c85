"""Texts that are held in hand and stand for files: what is read of such a path is the text, whatever lies on the disk.

So a text that was not saved yet is read like any file, by the same rooms. While texts are held, what is read beside them must
lie in the workspace, or be one of the files that were in use when it was opened.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import NamedTuple


class Held(NamedTuple):
    """Texts by the full path that each stands for, the folder that files are read from, and files beside it that are."""

    texts: Mapping[str, str]
    within: Path
    also: frozenset[str] = frozenset()


_HELD: ContextVar[Held | None] = ContextVar("held", default=None)


@contextmanager
def holding(held: Held) -> Iterator[None]:
    """While this lasts the texts stand for their files."""
    token = _HELD.set(held)
    try:
        yield
    finally:
        _HELD.reset(token)


def text_of(path: Path) -> bytes | None:
    """What is held for a path; None where nothing is."""
    held = _HELD.get()
    text = None if held is None else held.texts.get(full(path))
    return None if text is None else text.encode("utf-8", "surrogatepass")


def is_barred(path: Path) -> bool:
    """Whether a path leads, links followed, to where nothing is read from while texts are held."""
    held = _HELD.get()
    return held is not None and not is_inside(path, held.within) and os.path.realpath(path) not in held.also


def is_inside(path: Path, folder: Path) -> bool:
    """Whether a path leads, links followed, to something in a folder."""
    try:
        real, root = os.path.realpath(path), os.path.realpath(folder)
        return os.path.commonpath([real, root]) == root
    except (OSError, ValueError):
        return False


def full(path: Path) -> str:
    """A path as texts are held by: in full, without dots."""
    return os.path.abspath(path)  # noqa: PTH100  dots are taken out, which Path.absolute leaves
