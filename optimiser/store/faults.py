"""What SQLite refuses, in a maker's words."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

MEND = (
    "nothing was changed; copy the file somewhere safe first, then go back to a copy from before, or to what 'barwright batch "
    "export' wrote"
)
FULL = "cannot be written: there is no room left on the disk, or it would be larger than files may be here"
ROOM = "nothing was changed; make room, and ask again"
READ_ONLY = "you may not write there, since the file or its folder can only be read"
CUT_OFF = f"cannot be read yet: a change of it was cut off and has to be taken back, and {READ_ONLY}"
MEANT = (
    (
        "SQLITE_BUSY",
        Code.BUSY_RECORD,
        "is held by another program that is writing into it",
        "nothing was changed; ask again",
    ),
    (
        "SQLITE_LOCKED",
        Code.BUSY_RECORD,
        "is held by another program that is writing into it",
        "nothing was changed; ask again",
    ),
    ("SQLITE_FULL", Code.CANNOT_WRITE, FULL, ROOM),
    ("SQLITE_IOERR_WRITE", Code.CANNOT_WRITE, FULL, ROOM),
    ("SQLITE_IOERR_TRUNCATE", Code.CANNOT_WRITE, FULL, ROOM),
    ("SQLITE_IOERR_FSYNC", Code.CANNOT_WRITE, FULL, ROOM),
    ("SQLITE_IOERR", Code.UNREADABLE, "lies on a disk that fails to read or write it", "copy what can be copied first"),
    ("SQLITE_READONLY_ROLLBACK", Code.CANNOT_WRITE, CUT_OFF, "open it once as somebody who may write there"),
    ("SQLITE_READONLY_RECOVERY", Code.CANNOT_WRITE, CUT_OFF, "open it once as somebody who may write there"),
    ("SQLITE_READONLY", Code.CANNOT_WRITE, f"cannot be written: {READ_ONLY}", "nothing was changed"),
    ("SQLITE_PERM", Code.CANNOT_WRITE, f"cannot be written: {READ_ONLY}", "nothing was changed"),
    (
        *("SQLITE_CANTOPEN", Code.CANNOT_WRITE, "cannot be opened, or nothing can be written beside it"),
        "nothing was changed; see that you may read and write there",
    ),
)
"""What names of SQLite's result codes begin with, the longer before the shorter, and what that is to a maker."""


@contextmanager
def told_of(path: Path) -> Iterator[None]:
    """Turns what SQLite raises into a fault of the record at `path`.

    Raises:
        BadInput: in place of any error of SQLite's.
    """
    try:
        yield
    except sqlite3.Error as error:
        raise BadInput([fault_of(path, error)]) from None
    except UnicodeDecodeError:  # Python's, of what SQLite quotes from a damaged file
        raise BadInput([damaged(path, "a text in it is none")]) from None


def fault_of(path: Path, error: sqlite3.Error) -> Diagnostic:
    """The fault that an error of SQLite's is; by its name, which is as stable as SQLite is."""
    name = getattr(error, "sqlite_errorname", "") or ""
    for begins, code, words, help_ in MEANT:
        if name.startswith(begins):
            return Diagnostic(code, f"{path} {words}", help_)
    if name.startswith("SQLITE_CONSTRAINT"):
        return Diagnostic(Code.BAD_RECORD, f"{path} refuses what is to be written: {error}", "nothing was changed")
    return damaged(path, str(error))


def damaged(path: Path, why: str) -> Diagnostic:
    """The fault of a record that cannot be read as one."""
    return Diagnostic(Code.BAD_RECORD, f"{path} is damaged, or is no batch record: {why}", MEND)
