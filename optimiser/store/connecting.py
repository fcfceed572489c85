"""One connection to the batch record: opened, checked, brought up to date, and every change of it whole or not at all.

A rollback journal (`journal_mode` DELETE): every SQLite keeps it whole through a kill and a power cut, while write-ahead logs
before 3.51.3 may lose a change where two programs meet. `synchronous` EXTRA also forces the folder to the disk when the
journal is taken away, without which a power cut may take back what was told as recorded (SQLite, "PRAGMA synchronous").
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from typing import Any
from weakref import WeakSet

from optimiser.files.writing import cannot_write, create, in_folder, refuse, take_name, to_the_end
from optimiser.store.faults import damaged, told_of
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import kind_of_file

APPLICATION = 0x62617277
"""What stands in the head of a file of ours (`PRAGMA application_id`): "barw"."""
WAIT = 10.0
"""Seconds that a writer waits for another to end."""
OLDEST_SQLITE = (3, 38, 0)  # STRICT tables, and JSON within a query
MOST_COPIES = 1000
MIGRATIONS = Path(__file__).parent / "migrations"


class Connection(sqlite3.Connection):
    """A connection that is closed whole: a cursor that was left in the middle, as by an exception, would else hold its lock."""

    def __init__(self, uri: str) -> None:
        self._cursors = WeakSet[sqlite3.Cursor]()
        super().__init__(uri, uri=True, timeout=WAIT, isolation_level=None)

    def execute(self, sql: str, parameters: Any = (), /) -> sqlite3.Cursor:
        """A cursor that ends with its connection."""
        cursor = super().execute(sql, parameters)
        self._cursors.add(cursor)
        return cursor

    def close(self) -> None:
        """End all that was asked, and the connection."""
        for cursor in list(self._cursors):
            cursor.close()
        super().close()


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """The record to be asked; all of it is seen as of one moment. One of an older barwright is brought up to date first.

    Raises:
        BadInput: there is none, it is damaged, of a newer barwright, or cannot be read.
    """
    with opened(path) as connection:
        connection.execute("PRAGMA query_only = ON")
        connection.execute("BEGIN")
        try:
            yield connection
        finally:
            with suppress(sqlite3.Error):
                connection.execute("ROLLBACK")


@contextmanager
def writing(path: Path) -> Iterator[sqlite3.Connection]:
    """The record to be written into, one writer at a time: what happens within is kept whole or not at all.

    A record that is not there is made, and the folder that it is to lie in. An interrupt waits until it is done.

    Raises:
        BadInput: it is damaged, of a newer barwright, or cannot be written.
    """
    if kind_of_file(path) == "missing":
        make(path)
    with to_the_end(), opened(path, filling=True) as connection:
        connection.execute("BEGIN IMMEDIATE")
        try:
            check(connection, path)
            yield connection
            connection.execute("COMMIT")
        finally:
            if connection.in_transaction:
                with suppress(sqlite3.Error):
                    connection.execute("ROLLBACK")


@contextmanager
def opened(path: Path, *, filling: bool = False) -> Iterator[sqlite3.Connection]:
    """A connection to a record that is ours and up to date; `filling` makes one of a file in which there is nothing at all.

    Raises:
        BadInput: as above.
    """
    refuse_odd(path)
    with told_of(path):
        connection = connected(path)
        try:
            version = version_of(connection, path)
            if not version and not filling:
                raise BadInput([nothing_in(path)])
            if version < newest():
                migrate(connection, path)
            yield connection
        finally:
            connection.close()


def refuse_odd(path: Path) -> None:
    """Refuse what is no file, so that SQLite never makes one.

    Raises:
        BadInput: nothing is there, or no plain file; or this Python's SQLite is too old.
    """
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        message = f"the batch record needs SQLite 3.38 or newer, and this Python has {sqlite3.sqlite_version}"
        raise BadInput([Diagnostic(Code.BAD_RECORD, message, "install a newer Python")])
    kind = kind_of_file(path)
    if kind == "missing":
        raise BadInput([nothing_in(path)])
    if kind == "folder":
        raise BadInput([Diagnostic(Code.FOLDER, f"{path} is a folder, not a file", "name the file inside it")])
    if kind != "file":
        message = f"{path} is no file that a batch record could be in"
        raise BadInput([Diagnostic(Code.NO_PLAIN_FILE, message, "name a file of its own")])


def nothing_in(path: Path) -> Diagnostic:
    """The fault of a record that is not there yet."""
    help_ = "record the first batch with 'barwright batch add RECIPE', or name the file with --store"
    return Diagnostic(Code.NO_RECORD, f"there is no batch record {path}", help_)


def connected(path: Path) -> sqlite3.Connection:
    """A connection in which nothing begins or ends by itself.

    Raises:
        sqlite3.Error: the file cannot be opened, or is no database.
    """
    uri = f"{uri_of(path)}?mode=rw"  # never makes a file; read-only where it must be
    connection = Connection(uri)
    try:
        for pragma in ("foreign_keys = ON", "trusted_schema = OFF", "cell_size_check = ON", "synchronous = EXTRA"):
            connection.execute(f"PRAGMA {pragma}")
        if connection.execute("PRAGMA journal_mode").fetchone()[0] != "delete":
            connection.execute("PRAGMA journal_mode = DELETE")
    except BaseException:
        connection.close()
        raise
    return connection


def uri_of(path: Path) -> str:
    """A path as SQLite takes any, whatever its letters."""
    return Path(os.path.realpath(path)).as_uri()


def version_of(connection: sqlite3.Connection, path: Path) -> int:
    """The number of the last migration that a record has been through; 0 of a file in which there is nothing at all.

    Raises:
        BadInput: it is another program's database, or of a newer barwright.
        sqlite3.Error: it is no database.
    """
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if (application, version) == (0, 0) and path.stat().st_size == 0:
        return 0  # its maker was cut off between making the name and filling it
    if application != APPLICATION or version < 1:
        raise BadInput([damaged(path, "it is a database, and not one of barwright's")])
    if version > newest():
        message = f"{path} was written by a newer barwright (its form is {version}, and this one knows {newest()})"
        raise BadInput([Diagnostic(Code.NEWER_RECORD, message, "nothing was changed; use the newer barwright")])
    return int(version)


def check(connection: sqlite3.Connection, path: Path) -> None:
    """See that a record is whole before anything is written into it.

    Raises:
        BadInput: it is not.
    """
    (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise BadInput([damaged(path, found)])


def check_all(connection: sqlite3.Connection, path: Path) -> None:
    """The same with every index held against its table: an index that misses an entry would hide a batch from a recall.

    Raises:
        BadInput: it is not whole.
    """
    (found,) = connection.execute("PRAGMA integrity_check(1)").fetchone()
    if found != "ok":
        raise BadInput([damaged(path, found)])
    if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise BadInput([damaged(path, "something in it names what is not there")])


# -- making and migrating --------------------------------------------------------------------------------------


@cache
def migrations() -> tuple[str, ...]:
    """The texts of all migrations in order; a record of version N has been through the first N."""
    found = sorted(MIGRATIONS.glob("[0-9][0-9][0-9][0-9].sql"))
    assert [int(item.stem) for item in found] == list(range(1, len(found) + 1))
    return tuple(item.read_text(encoding="utf-8") for item in found)


def newest() -> int:
    """The version that this barwright writes."""
    return len(migrations())


def statements(text: str) -> Iterator[str]:
    """The statements of a migration one by one, triggers whole; `executescript` would commit what was begun before it."""
    part = ""
    for line in text.splitlines(keepends=True):
        if not part and (line.startswith("--") or not line.strip()):
            continue
        part += line
        if sqlite3.complete_statement(part):
            yield part
            part = ""
    assert not part.strip(), part


def empty_record(version: int | None = None) -> bytes:
    """A record without anything in it, as the bytes of its file; of an older version where one is named."""
    last = newest() if version is None else version
    connection = sqlite3.connect(":memory:", isolation_level=None)
    try:
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        for text in migrations()[:last]:
            for statement in statements(text):
                connection.execute(statement)
        connection.execute(f"PRAGMA user_version = {last}")
        return connection.serialize()
    finally:
        connection.close()


def make(path: Path) -> None:
    """Make an empty record that is there whole from its first moment, and its folder.

    Raises:
        BadInput: it cannot be written.
    """
    if os.path.islink(path):  # noqa: PTH114  one that leads nowhere, or the record would be there
        refuse(path)
    with in_folder(path.parent), suppress(FileExistsError):  # somebody else may have made it in this very moment
        create(path, empty_record())


def migrate(connection: sqlite3.Connection, path: Path) -> None:
    """Bring a record up to date, a copy of it kept beside it; nobody else writes meanwhile.

    Raises:
        BadInput: it is damaged, or the copy cannot be written.
        sqlite3.Error: it cannot be written; it is as it was.
    """
    with to_the_end():
        connection.execute("BEGIN IMMEDIATE")
        try:
            version = version_of(connection, path)  # another program may have done it by now
            if version < newest():
                if version:
                    check_all(connection, path)
                    keep_copy(path, version)
                connection.execute(f"PRAGMA application_id = {APPLICATION}")
                for text in migrations()[version:]:
                    for statement in statements(text):
                        connection.execute(statement)
                connection.execute(f"PRAGMA user_version = {newest()}")
                check_all(connection, path)
            connection.execute("COMMIT")
        finally:
            if connection.in_transaction:
                with suppress(sqlite3.Error):
                    connection.execute("ROLLBACK")


def keep_copy(path: Path, version: int) -> Path:
    """A copy of the record as it was, beside it and under a name that nothing has yet; whole or not there at all.

    The writer that asks holds the record, so it is read by a connection of its own (VACUUM INTO wants no transaction).

    Raises:
        BadInput: it cannot be written.
    """
    staged = path.with_name(f".barwright-{os.urandom(8).hex()}.tmp")
    try:
        reader = connected(path)
        try:
            reader.execute("VACUUM INTO ?", (uri_of(staged),))
        finally:
            reader.close()
        for number in range(1, MOST_COPIES):
            more = f"-{number}" if number > 1 else ""
            kept = path.with_name(f"{path.stem}-before-{version + 1}{more}{path.suffix}")
            with suppress(FileExistsError):
                take_name(staged, kept)
                return kept
    except OSError as error:
        raise BadInput([cannot_write(path, error)]) from None
    finally:
        with suppress(OSError):
            staged.unlink()
    message = f"no free name for a copy of {path} was found beside it"
    raise BadInput([Diagnostic(Code.CANNOT_WRITE, message, "move some of the older copies away")])
