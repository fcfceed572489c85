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
FULL = "there is no room left on the disk, or it would be larger than files may be here"
READ_ONLY = "you may not write there: the file or its folder can only be read"


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
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        help_ = "nothing was changed; wait for the other to end, and ask again"
        return Diagnostic(Code.BUSY_RECORD, f"{path}: another program is writing into the record", help_)
    if name == "SQLITE_FULL" or name in ("SQLITE_IOERR_WRITE", "SQLITE_IOERR_TRUNCATE", "SQLITE_IOERR_FSYNC"):
        message = f"{path} cannot be written: {FULL}"
        return Diagnostic(Code.CANNOT_WRITE, message, "nothing was changed; make room, and ask again")
    if name.startswith(("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_AUTH")):
        return Diagnostic(Code.CANNOT_WRITE, f"{path} cannot be written: {READ_ONLY}", "nothing was changed")
    if name.startswith("SQLITE_CANTOPEN"):
        message = f"{path} cannot be opened, or nothing can be written beside it"
        return Diagnostic(Code.CANNOT_WRITE, message, "nothing was changed; see that you may read and write there")
    if name.startswith("SQLITE_CONSTRAINT"):
        help_ = "nothing was changed"
        return Diagnostic(Code.BAD_RECORD, f"{path} refuses what is to be written: {error}", help_)
    return damaged(path, str(error))


def damaged(path: Path, why: str) -> Diagnostic:
    """The fault of a record that cannot be read as one."""
    return Diagnostic(Code.BAD_RECORD, f"{path} is damaged, or is no batch record: {why}", MEND)
