"""The form of the record: its numbered migrations, the copy kept before each, and what it refuses to hold."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from records import BATCH

from optimiser.store import connecting
from optimiser.store.asking import list_batches, show_batch, stock
from optimiser.store.connecting import empty_record, make, migrations, newest, statements
from optimiser.store.recalling import recall_batch, recall_lot
from optimiser.store.values import Lot, Shipment, Source, sha256_of
from optimiser.store.writing import add_batch, add_lot, ship
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
RECIPE = "fats: {lard: 500 g}\nalkali: {sodium hydroxide: 65 g}\nwater: 150 g\n"
ROWS = """
INSERT INTO lot (number, folded, material, material_folded) VALUES ('LA-1', 'la 1', 'lard', 'lard');
INSERT INTO batch (id, folded, title, made, recipe, recipe_sha256, version, bars, batter_g, cured_g, superfat,
  superfat_likely, superfat_worst, lye_concentration, cost_e4, currency, cautions)
  VALUES ('old', 'old', 'Old bar', '2026-01-02', 'RECIPE', 'SHA256', '0', NULL, 715, 600, 5, 3, 1, 30,
  NULL, '', '');
INSERT INTO batch_lot_use (batch, kind, material, grams, lot) VALUES (1, 'fat', 'lard', 500, 1);
INSERT INTO movement (lot, grams, why, moved_on, batch) VALUES (1, 4000, 'received', '2026-01-01', NULL);
INSERT INTO movement (lot, grams, why, moved_on, batch) VALUES (1, -500, 'drawn', '2026-01-02', 1);
INSERT INTO observation (batch, trace_s, notes) VALUES (1, 200, 'slow');
"""


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A record of version 1, built by the SQL of version 1 alone, with a batch in it."""
    path = tmp_path / "barwright.sqlite"
    other = sqlite3.connect(path)
    form = (ROOT / "optimiser" / "store" / "migrations" / "0001.sql").read_text(encoding="utf-8")
    rows = ROWS.replace("RECIPE", RECIPE).replace("SHA256", sha256_of(RECIPE))
    number = f"PRAGMA application_id = {0x62617277}; PRAGMA user_version = 1;"
    other.executescript(f"BEGIN; {form} {number} {rows} COMMIT;")
    other.close()
    return path


def test_a_record_of_version_1_is_brought_up_to_date(old: Path) -> None:
    """All that was in it is there, what is new can be told, and the copy beside it is the old one, whole."""
    assert newest() >= 2
    assert recall_lot(old, "la 1").batches[0].id == "old"
    assert show_batch(old, "old").observations[0].notes == ("slow",)
    assert [(item.grams, item.drawn) for item in stock(old)] == [(3500.0, 500.0)]
    add_lot(old, Lot("INF", "infused lard"), [Source(Lot("LA-1", "lard"), 100.0)], on="2026-01-03")
    ship(old, "old", Shipment(3, "Harbour guest house (invented)", "2026-02-01"))
    assert [lot.lot.number for lot in recall_batch(old, "old").lots] == ["LA-1"]
    (copy,) = [path for path in old.parent.iterdir() if path != old]
    assert copy.name == "barwright-before-2.sqlite"
    kept = sqlite3.connect(copy)
    assert kept.execute("PRAGMA user_version").fetchone() == (1,)
    assert kept.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert kept.execute("SELECT id, recipe FROM batch").fetchall() == [("old", RECIPE)]
    assert kept.execute("SELECT count(*) FROM movement").fetchone() == (2,)
    kept.close()
    copy.rename(old)  # and it can be brought up to date again
    assert [line.sent for line in list_batches(old)] == [0]


def test_a_copy_is_never_written_over(old: Path) -> None:
    """Where the name of a copy is taken the next one is used."""
    taken = old.with_name("barwright-before-2.sqlite")
    taken.write_bytes(b"mine")
    list_batches(old)
    assert taken.read_bytes() == b"mine"
    assert old.with_name("barwright-before-2-2.sqlite").is_file()


@pytest.mark.parametrize("fails", ["keep_copy", "statements"])
def test_a_migration_that_fails_changes_nothing(fails: str, old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever a migration fails for, the record stays as it was, and no half of a copy is left."""
    before = old.read_bytes()

    def failing(*_: object) -> list[str]:
        if fails == "keep_copy":
            raise BadInput([])
        return ["CREATE TABLE begun (x)", "CREATE TABLE begun (x)"]

    monkeypatch.setattr(connecting, fails, failing)
    with pytest.raises(BadInput):
        list_batches(old)
    assert old.read_bytes() == before
    monkeypatch.undo()
    assert len(list_batches(old)) == 1
    assert not list(old.parent.glob(".barwright-*"))


def test_a_damaged_old_record_is_not_migrated(old: Path) -> None:
    """What is not whole is refused before anything is changed."""
    other = sqlite3.connect(old)
    other.execute("PRAGMA foreign_keys = OFF")
    other.execute("INSERT INTO observation (batch, notes) VALUES (99, 'of nothing')")
    other.commit()
    other.close()
    before = old.read_bytes()
    with pytest.raises(BadInput) as bad:
        list_batches(old)
    assert bad.value.diagnostics[0].code == Code.BAD_RECORD
    assert old.read_bytes() == before
    assert list(old.parent.iterdir()) == [old]


def test_several_programs_migrate_once(old: Path) -> None:
    """Programs that open an old record at once bring it up to date once, and one copy is kept."""
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r})\nfrom pathlib import Path\n"
        f"from optimiser.store.asking import list_batches\nprint(len(list_batches(Path({str(old)!r}))))"
    )
    running = [subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE) for _ in range(3)]
    assert [process.communicate()[0] for process in running] == [b"1\n"] * 3
    assert sorted(path.name for path in old.parent.iterdir()) == ["barwright-before-2.sqlite", "barwright.sqlite"]


def test_a_new_record_and_a_migrated_one_are_of_one_form(old: Path, tmp_path: Path) -> None:
    """Every table, index and trigger is the same, whichever way a record came to be, and every table is STRICT."""
    list_batches(old)
    new = tmp_path / "new.sqlite"
    make(new)
    forms = []
    for path in (old, new):
        other = sqlite3.connect(path)
        forms.append(other.execute("SELECT type, name, sql FROM sqlite_schema ORDER BY type, name").fetchall())
        assert other.execute("PRAGMA user_version").fetchone() == (newest(),)
        assert other.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        other.close()
    assert forms[0] == forms[1]
    tables = [sql for kind, name, sql in forms[0] if kind == "table" and not name.startswith("sqlite_")]
    assert len(tables) == 7
    assert all("STRICT" in sql for sql in tables)


def test_statements_are_whole() -> None:
    """A migration is taken apart at the ends of statements, triggers whole; what is left over is a fault of ours."""
    text = (
        "-- a remark; of two parts\n\nCREATE TABLE x (y);\nCREATE TRIGGER t BEFORE DELETE ON x\nBEGIN SELECT 1; END;\n"
    )
    assert [one.split()[1] for one in statements(text)] == ["TABLE", "TRIGGER"]
    with pytest.raises(AssertionError):
        list(statements("CREATE TABLE x (y)"))
    assert len(migrations()) == newest()
    assert empty_record(1) != empty_record()


# -- what it refuses to hold ---------------------------------------------------------------------------------------


@pytest.fixture
def loose(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """A connection as any other program has it, to a record with a batch, its stock drawn down."""
    path = tmp_path / "barwright.sqlite"
    add_batch(path, BATCH, draw_down=True)
    ship(path, "2026-11-03-1", Shipment(1, "x", "2026-12-01"))
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("PRAGMA foreign_keys = ON")
    yield other
    other.close()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE movement SET grams = 1",
        "DELETE FROM movement",
        "INSERT OR REPLACE INTO movement (row, lot, grams, why, moved_on) VALUES (1, 1, 5, 'received', '2026-01-01')",
        "UPDATE batch SET title = 'other'",
        "DELETE FROM batch",
        "UPDATE batch_lot_use SET lot = NULL",
        "UPDATE batch_lot_use SET lot = 1, grams = 5 WHERE lot IS NULL",
        "UPDATE batch_lot_use SET lot = 1, batch = 2 WHERE lot IS NULL",
        "UPDATE batch_lot_use SET lot = 2 WHERE lot = 1",
        "DELETE FROM batch_lot_use",
        "INSERT OR REPLACE INTO batch_lot_use (row, batch, kind, material, grams) VALUES (1, 1, 'fat', 'lard', 5)",
    ],
)
def test_what_was_recorded_stays_as_it_was(statement: str, loose: sqlite3.Connection) -> None:
    """Movements, batches and what went into them are only ever added to, whichever program asks."""
    tables = ("movement", "batch", "batch_lot_use")
    before = [loose.execute(f"SELECT * FROM {table}").fetchall() for table in tables]  # noqa: S608
    assert all(before)
    with pytest.raises(sqlite3.IntegrityError, match="never"):
        loose.execute(statement)
    assert [loose.execute(f"SELECT * FROM {table}").fetchall() for table in tables] == before  # noqa: S608


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO movement (lot, grams, why, moved_on) VALUES (1, 0, 'received', '2026-01-01')",
        "INSERT INTO movement (lot, grams, why, moved_on) VALUES (1, 9e999, 'received', '2026-01-01')",
        "INSERT INTO movement (lot, grams, why, moved_on) VALUES (1, 5, 'stolen', '2026-01-01')",
        "INSERT INTO movement (lot, grams, why, moved_on) VALUES (1, 5, 'received', '2026-02-30')",
        "INSERT INTO movement (lot, grams, why, moved_on) VALUES (1, 5, 'received', '1.2.2026')",
        "INSERT INTO movement (lot, grams, why, moved_on) VALUES (1, 'much', 'received', '2026-01-01')",
        "INSERT INTO movement (lot, grams, why, moved_on) VALUES (99, 5, 'received', '2026-01-01')",
        "INSERT INTO batch_lot_use (batch, kind, material, grams) VALUES (1, 'fat', 'lard', 0)",
        "INSERT INTO batch_lot_use (batch, kind, material, grams) VALUES (1, 'fat', 'lard', -1)",
        "INSERT INTO batch_lot_use (batch, kind, material, grams) VALUES (1, 'fat', 'lard', NULL)",
        "INSERT INTO batch_lot_use (batch, kind, material, grams) VALUES (1, 'smell', 'lard', 1)",
        "INSERT INTO batch_lot_use (batch, kind, material, grams, purity) VALUES (1, 'alkali', 'lye', 1, 98)",
        "INSERT INTO lot_made_from (lot, source) VALUES (1, 1)",
        "INSERT INTO lot_made_from (lot, source) VALUES (1, 99)",
        "INSERT INTO shipment (batch, bars, recipient, sent_on) VALUES (1, 0, 'x', '2026-01-01')",
        "INSERT INTO shipment (batch, bars, recipient, sent_on) VALUES (1, 2.5, 'x', '2026-01-01')",
        "INSERT INTO shipment (batch, bars, recipient, sent_on) VALUES (1, 2, '', '2026-01-01')",
        "INSERT INTO observation (batch, notes) VALUES (1, '')",
        "INSERT INTO observation (batch, hardness, notes) VALUES (1, 40, '')",
        "INSERT INTO observation (batch, ash, notes) VALUES (1, 2, '')",
        "INSERT INTO lot (number, folded, material, material_folded, best_before) VALUES ('a', 'a', 'b', 'b', 'soon')",
        "DELETE FROM lot",
    ],
)
def test_the_form_refuses_what_no_bench_gives(statement: str, loose: sqlite3.Connection) -> None:
    """Grams that are no figure, days that are none, bars in parts, and what names something that is not there."""
    with pytest.raises(sqlite3.IntegrityError):
        loose.execute(statement)
    assert loose.total_changes == 0


# -- how it is opened ----------------------------------------------------------------------------------------------


def test_a_connection_is_set_as_the_record_asks(tmp_path: Path) -> None:
    """Foreign keys are kept, changes forced to the disk with their folder, and a journal of another kind is put back."""
    path = tmp_path / "barwright.sqlite"
    add_batch(path, BATCH)
    other = sqlite3.connect(path)
    assert other.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
    other.close()
    asked = ("foreign_keys", "synchronous", "trusted_schema", "cell_size_check", "journal_mode", "busy_timeout")
    with connecting.writing(path) as connection:
        assert [connection.execute(f"PRAGMA {one}").fetchone()[0] for one in asked] == [
            *(1, 3, 0, 1, "delete"),  # 3 is EXTRA
            int(1000 * connecting.WAIT),
        ]
    other = sqlite3.connect(path)
    assert other.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    other.close()
    assert [item.name for item in tmp_path.iterdir()] == ["barwright.sqlite"]


def test_who_reads_writes_nothing(tmp_path: Path) -> None:
    """A question cannot change the record, not even by mistake, and sees it as of one moment."""
    path = tmp_path / "barwright.sqlite"
    add_batch(path, BATCH)
    with connecting.reading(path) as connection:
        count = connection.execute("SELECT count(*) FROM batch").fetchone()
        with pytest.raises(sqlite3.OperationalError):
            connection.execute(
                "INSERT INTO lot (number, folded, material, material_folded) VALUES ('a', 'a', 'b', 'b')"
            )
        assert connection.in_transaction
        assert connection.execute("SELECT count(*) FROM batch").fetchone() == count
    assert stock(path)[0].lot.number == "CO-1"
