"""A record in trouble: a full disk, a folder that can only be read, damage, two writers, a newer form. Nothing lost, clear words."""

from __future__ import annotations

import os
import random
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from records import BATCH, OLIVE, invented

from optimiser.store import connecting
from optimiser.store.asking import list_batches, show_batch, stock
from optimiser.store.connecting import reading
from optimiser.store.faults import fault_of
from optimiser.store.json_lines import export
from optimiser.store.place import file_system_of, not_of_this_machine
from optimiser.store.recalling import recall_batch, recall_lot
from optimiser.store.values import Lot
from optimiser.store.writing import add_batch, add_lot
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}
RECIPE = "fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n"


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A record with one batch in it."""
    path = tmp_path / "records" / "barwright.sqlite"
    add_batch(path, BATCH._replace(id="first"))
    return path


def told(run: Callable[[], object]) -> tuple[Code, str]:
    """The code and the words of what goes wrong."""
    with pytest.raises(BadInput) as bad:
        run()
    (fault,) = bad.value.diagnostics
    return fault.code, fault.message


def command(folder: Path, *words: str, before: Callable[[], None] | None = None) -> subprocess.CompletedProcess[str]:
    """A command as it is typed, with the record of a folder."""
    typed = [sys.executable, "-B", "-m", "optimiser", "batch", *words, "--store", str(folder / "barwright.sqlite")]
    return subprocess.run(
        typed, capture_output=True, text=True, check=False, cwd=folder, env=ENVIRONMENT, preexec_fn=before
    )


# -- a full disk ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("most", [1024, 40_000])
def test_a_full_disk_loses_nothing(most: int, store: Path) -> None:
    """Where the journal, or the record, may grow no more the batch is refused with exit 2, and all is as it was before."""
    folder = store.parent
    (folder / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    before = store.read_bytes()
    assert len(before) > 40_000

    def full() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    done = command(folder, "add", "recipe.yaml", "--made", "2026-11-03", before=full)
    words = " ".join(done.stderr.split())
    assert done.returncode == 2, words
    assert "cannot be written: there is no room left on the disk" in words
    assert "[cannot-write]" in words
    assert "nothing was changed" in words
    assert "Traceback" not in words
    assert done.stdout == ""
    assert [line.id for line in list_batches(store)] == ["first"]
    assert list(export(store))
    assert store.read_bytes() == before
    assert (
        command(folder, "add", "recipe.yaml", "--made", "2026-11-03").returncode == 0
    )  # and goes on once there is room
    assert [line.id for line in list_batches(store)] == ["first", "2026-11-03-1"]


def test_no_record_is_begun_where_there_is_no_room(tmp_path: Path) -> None:
    """A record that cannot be made whole is not there at all, nor is its folder, nor anything beside it."""
    (tmp_path / "recipe.yaml").write_text(RECIPE, encoding="utf-8")

    def tiny() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (512, 512))

    done = command(tmp_path, "add", "recipe.yaml", before=tiny)
    assert done.returncode == 2
    assert "larger than files may be here" in " ".join(done.stderr.split())
    assert [path.name for path in tmp_path.iterdir()] == ["recipe.yaml"]


# -- only to be read -----------------------------------------------------------------------------------------------


@pytest.fixture
def open_to_all() -> Iterator[Path]:
    """A folder that everybody may look into, as those of pytest are not."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)


def test_a_folder_that_can_only_be_read(open_to_all: Path) -> None:
    """Lists and recalls answer there; what would write is refused in words, and changes nothing."""
    folder = open_to_all / "kept"
    folder.mkdir()
    path = folder / "barwright.sqlite"
    add_batch(path, BATCH._replace(id="first"))
    (folder / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    before = path.read_bytes()
    code = (
        "import os, sys\nfrom optimiser.cli.main import main\n"
        "main(['batch', 'add', 'recipe.yaml', '--store', '../other.sqlite'])\n"  # all is loaded while it may be read
        "main(['batch', 'note', '1', '--store', '../other.sqlite', '--ash', 'no'])\nprint('now', flush=True)\n"
        "os.geteuid() == 0 and (os.setgid(65534), os.setuid(65534))\n"  # to whom nothing is refused becomes nobody
        "for words in (['recall', '--lot', 'OL-1'], ['add', 'recipe.yaml'], ['note', 'first', '--ash', 'no']):\n"
        "    print('code', main(['batch', *words, *sys.argv[1:]]), flush=True)"
    )
    path.chmod(0o444)
    folder.chmod(0o555)
    try:
        done = subprocess.run(
            [sys.executable, "-B", "-c", code, "--store", str(path)],
            capture_output=True,
            text=True,
            check=False,
            cwd=folder,
            env=ENVIRONMENT,
        )
    finally:
        folder.chmod(0o755)
    assert done.stdout.count("code") == 3, done.stderr
    answered, refused = done.stdout.partition("now\n")[2].split("code 0\n")
    assert "Lot OL-1" in answered
    assert refused == "code 2\ncode 2\n"
    assert " ".join(done.stderr.split()).count("you may not write there") == 2
    assert "Traceback" not in done.stderr
    assert path.read_bytes() == before


# -- damage --------------------------------------------------------------------------------------------------------


def asked_of(path: Path) -> list[Callable[[], object]]:
    """Everything that a record can be asked, and one write."""
    return [
        lambda: list_batches(path),
        lambda: show_batch(path, "b3"),
        lambda: stock(path),
        lambda: recall_lot(path, "l3"),
        lambda: recall_batch(path, "b3"),
        lambda: list(export(path)),
        lambda: add_batch(path, BATCH._replace(id="new")),
    ]


@pytest.mark.parametrize("content", [b"not a record\n" * 400, b"SQLite format 3\0" + b"\0" * 4096, b"x"])
def test_what_is_no_record_is_told_and_left_alone(content: bytes, tmp_path: Path) -> None:
    """A file of something else is never written into, whatever is asked of it."""
    path = tmp_path / "barwright.sqlite"
    path.write_bytes(content)
    for run in asked_of(path):
        code, words = told(run)
        assert code == Code.BAD_RECORD
        assert "no batch record" in words
    assert path.read_bytes() == content


def test_another_programs_database_is_left_alone(tmp_path: Path) -> None:
    """A database that is not ours is told as such, even one of no tables and no number."""
    path = tmp_path / "barwright.sqlite"
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE contacts (name TEXT)")
    other.commit()
    other.close()
    before = path.read_bytes()
    for run in asked_of(path):
        assert told(run) == (
            Code.BAD_RECORD,
            f"{path} is damaged, or is no batch record: it is a database, and not one of barwright's",
        )
    assert path.read_bytes() == before


def test_overwritten_bytes_never_give_a_short_recall(tmp_path: Path) -> None:
    """With any stretch of the file overwritten a recall names the right batches, or says in words that it cannot."""
    path = tmp_path / "barwright.sqlite"
    rng = random.Random(11)  # noqa: S311
    numbers = invented(path, 40, 4, rng)
    right = {number: recall_lot(path, number) for number in numbers}
    whole = path.read_bytes()
    refused = kept = 0
    codes = set[Code]()
    for _ in range(250):
        data = bytearray(whole)
        start = rng.randrange(len(data))
        stretch = rng.choice((1, 8, 64, 600))
        data[start : start + stretch] = rng.randbytes(min(stretch, len(data) - start))
        path.write_bytes(data)
        number = rng.choice(numbers)
        try:
            found = recall_lot(path, number)
        except BadInput as bad:
            codes |= {fault.code for fault in bad.diagnostics}
            refused += 1
        else:
            assert [item.id for item in found.batches] == [item.id for item in right[number].batches], (start, stretch)
            kept += 1
    assert codes <= {Code.BAD_RECORD, Code.NEWER_RECORD}
    assert refused > 10
    assert kept > 10


def test_overwritten_bytes_never_end_in_a_fault_of_ours(tmp_path: Path) -> None:
    """With any stretch overwritten every question is answered or refused in words, and a refused write changes nothing."""
    path = tmp_path / "barwright.sqlite"
    rng = random.Random(12)  # noqa: S311
    invented(path, 10, 4, rng)
    whole = path.read_bytes()
    refused = set[Code]()
    for _ in range(40):
        data = bytearray(whole)
        start = rng.randrange(len(data))
        stretch = rng.choice((1, 8, 64, 600))
        data[start : start + stretch] = rng.randbytes(min(stretch, len(data) - start))
        for run in asked_of(path):
            path.write_bytes(data)
            try:
                run()
            except BadInput as bad:
                refused |= {fault.code for fault in bad.diagnostics}
                assert path.read_bytes() == data
    assert Code.BAD_RECORD in refused
    odd = {Code.UNKNOWN_BATCH, Code.UNKNOWN_LOT, Code.TAKEN_BATCH, Code.NEWER_RECORD, Code.NO_RECORD}
    assert refused <= {Code.BAD_RECORD, *odd}


def test_an_index_that_misses_an_entry_is_noticed(store: Path) -> None:
    """An index that says less than its table is damage, not an answer, both ways."""
    other = sqlite3.connect(store)
    other.execute("PRAGMA writable_schema = ON")
    other.execute("CREATE TABLE elsewhere (lot, batch, grams)")
    other.execute("CREATE INDEX empty ON elsewhere (lot, batch, grams)")
    (root,) = other.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'empty'").fetchone()
    for name in ("use_by_lot", "use_by_batch"):
        other.execute("UPDATE sqlite_schema SET rootpage = ? WHERE name = ?", (root, name))
    other.commit()
    other.close()
    assert told(lambda: recall_lot(store, "OL-1"))[0] == Code.BAD_RECORD
    assert told(lambda: recall_batch(store, "first"))[0] == Code.BAD_RECORD
    assert told(lambda: list(export(store)))[0] == Code.BAD_RECORD
    assert told(lambda: add_batch(store, BATCH))[0] == Code.BAD_RECORD


def test_a_recipe_that_was_changed_is_noticed(store: Path) -> None:
    """A frozen recipe that is not the one whose hash stands beside it is told, and not shown."""
    other = sqlite3.connect(store)
    other.execute("DROP TRIGGER batch_is_kept")
    other.execute("UPDATE batch SET recipe = replace(recipe, '135', '153')")
    other.commit()
    other.close()
    code, words = told(lambda: show_batch(store, "first"))
    assert code == Code.BAD_RECORD
    assert "not the one that was recorded" in words


def test_a_newer_form_is_left_alone(store: Path) -> None:
    """A record of a barwright to come is neither read nor written."""
    other = sqlite3.connect(store)
    other.execute(f"PRAGMA user_version = {connecting.newest() + 1}")
    other.commit()
    other.close()
    before = store.read_bytes()
    for run in asked_of(store):
        code, words = told(run)
        assert code == Code.NEWER_RECORD
        assert "newer barwright" in words
    assert store.read_bytes() == before


@pytest.mark.parametrize(
    ("name", "code", "words"),
    [
        ("SQLITE_BUSY", Code.BUSY_RECORD, "held by another program that is writing"),
        ("SQLITE_BUSY_RECOVERY", Code.BUSY_RECORD, "held by another program that is writing"),
        ("SQLITE_LOCKED", Code.BUSY_RECORD, "held by another program that is writing"),
        ("SQLITE_FULL", Code.CANNOT_WRITE, "no room left on the disk"),
        ("SQLITE_IOERR_WRITE", Code.CANNOT_WRITE, "no room left on the disk"),
        ("SQLITE_IOERR_READ", Code.UNREADABLE, "fails to read or write it"),
        ("SQLITE_READONLY", Code.CANNOT_WRITE, "can only be read"),
        ("SQLITE_READONLY_DBMOVED", Code.CANNOT_WRITE, "can only be read"),
        ("SQLITE_READONLY_ROLLBACK", Code.CANNOT_WRITE, "a change of it was cut off"),
        ("SQLITE_CANTOPEN", Code.CANNOT_WRITE, "cannot be opened"),
        ("SQLITE_CONSTRAINT_CHECK", Code.BAD_RECORD, "refuses what is to be written: why"),
        ("SQLITE_CORRUPT", Code.BAD_RECORD, "is damaged, or is no batch record: why"),
        ("SQLITE_NOTADB", Code.BAD_RECORD, "is damaged, or is no batch record: why"),
        ("", Code.BAD_RECORD, "is damaged, or is no batch record: why"),
    ],
)
def test_what_sqlite_refuses_is_told_in_words(name: str, code: Code, words: str) -> None:
    """By the names of its result codes (SQLite, "Result and Error Codes"), which are part of its stable interface."""
    error = sqlite3.OperationalError("why")
    error.sqlite_errorname = name
    found = fault_of(Path("record"), error)
    assert found.code == code
    assert words in found.message
    assert found.help


# -- two at once ---------------------------------------------------------------------------------------------------


def test_two_writers_lose_nothing_and_give_no_id_twice(tmp_path: Path) -> None:
    """Two programs that record at the same time, into a record that neither has made yet, each get ids of their own."""
    path = tmp_path / "records" / "barwright.sqlite"
    code = (
        f"import sys; sys.path[:0] = [{str(ROOT)!r}, {str(ROOT / 'tests')!r}]\nfrom pathlib import Path\n"
        "from records import BATCH\nfrom optimiser.store.writing import add_batch\n"
        f"for _ in range(15):\n    print(add_batch(Path({str(path)!r}), BATCH, draw_down=True).batch.id)"
    )

    def run(_: int) -> list[str]:
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        return done.stdout.split()

    with ThreadPoolExecutor(2) as pool:
        one, other = pool.map(run, range(2))
    assert len(one) == len(other) == 15
    assert {*one, *other} == {f"2026-11-03-{number}" for number in range(1, 31)}
    assert sorted(line.id for line in list_batches(path)) == sorted([*one, *other])
    (olive,) = [item for item in stock(path) if item.lot == OLIVE]
    assert olive.drawn == 30 * 700.0


def test_a_writer_that_never_ends_is_told_of(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who waits too long for another is told so; readers answer meanwhile, as of before."""
    monkeypatch.setattr(connecting, "WAIT", 0.05)
    other = sqlite3.connect(store, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    other.execute("INSERT INTO lot (number, folded, material, material_folded) VALUES ('X', 'x', 'lard', 'lard')")
    code, words = told(lambda: add_batch(store, BATCH))
    assert code == Code.BUSY_RECORD
    assert "held by another program that is writing" in words
    assert len(list_batches(store)) == 1
    other.execute("ROLLBACK")
    other.close()
    assert add_batch(store, BATCH).batch.id == "2026-11-03-1"


def test_what_goes_wrong_half_way_leaves_no_part(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A write that fails at its last step leaves nothing of itself, whatever it failed for."""
    from optimiser.store import writing

    def fails(*_: object) -> None:
        raise RuntimeError

    monkeypatch.setattr(writing, "draw", fails)
    with pytest.raises(RuntimeError):
        add_batch(store, BATCH, draw_down=True)
    monkeypatch.undo()
    assert [line.id for line in list_batches(store)] == ["first"]
    assert add_batch(store, BATCH).batch.id == "2026-11-03-1"


def test_an_empty_file_is_filled_by_a_writer_alone(tmp_path: Path) -> None:
    """A name without content, as a maker that was cut off may leave, is a record to be for a writer; a reader finds nothing."""
    path = tmp_path / "barwright.sqlite"
    path.touch()
    assert told(lambda: list_batches(path))[0] == Code.NO_RECORD
    assert path.read_bytes() == b""
    add_batch(path, BATCH)
    assert len(list_batches(path)) == 1
    assert [item.name for item in tmp_path.iterdir()] == ["barwright.sqlite"]


def test_a_journal_that_was_left_is_played_back(store: Path, tmp_path: Path) -> None:
    """A record copied with its journal in the middle of a change opens as it was before the change."""
    other = sqlite3.connect(store, isolation_level=None)
    other.execute("PRAGMA cache_size = 1")
    other.execute("BEGIN IMMEDIATE")
    for number in range(3000):  # more than the cache holds, so that pages of the file itself change
        other.execute(
            "INSERT INTO lot (number, folded, material, material_folded) VALUES (?, ?, 'lard', 'lard')",
            (str(number), str(number)),
        )
    copied = tmp_path / "copied.sqlite"
    shutil.copy(store, copied)
    shutil.copy(f"{store}-journal", f"{copied}-journal")
    other.execute("ROLLBACK")
    other.close()
    assert [line.id for line in list_batches(copied)] == ["first"]
    assert {item.lot.number for item in stock(copied)} == {"OL-1", "CO-1"}


# -- where it lies -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["nfs4", "cifs", "fuse", "fuse.sshfs", "9p"])
def test_a_folder_of_other_machines_is_warned_of(kind: str, tmp_path: Path) -> None:
    """A record on such a disk is warned of in words, by the longest mount point that holds it (proc(5), mount(8))."""
    mounts = tmp_path / "mounts"
    shared = tmp_path / "with blank"
    table = f"root / ext4 rw 0 0\nfar {str(shared).replace(' ', chr(92) + '040')} {kind} rw 0 0\nbroken\n"
    mounts.write_text(table, encoding="utf-8")
    (found,) = not_of_this_machine(shared / "records" / "barwright.sqlite", mounts)
    assert found.code == Code.SHARED_FOLDER
    assert kind in found.message
    assert ("over a network" in found.message) == ("fuse" not in kind)
    assert ("by another program" in found.message) == ("fuse" in kind)
    assert "may damage it" in found.message
    assert not_of_this_machine(tmp_path / "with blank too", mounts) == ()


def test_disks_of_this_machine_are_not_warned_of(tmp_path: Path) -> None:
    """Ordinary disks, those of other systems read by a program, and a system that tells nothing give no warning."""
    mounts = tmp_path / "mounts"
    mounts.write_text("a / ext4 rw 0 0\nb /media/stick fuseblk rw 0 0\nc /tmp tmpfs rw 0 0\n", encoding="utf-8")
    assert file_system_of(Path("/media/stick/x"), mounts) == "fuseblk"
    assert not_of_this_machine(Path("/media/stick/x"), mounts) == ()
    assert not_of_this_machine(Path("/srv/x"), mounts) == ()
    assert not_of_this_machine(Path("/srv/x"), tmp_path / "none") == ()


def test_odd_places_are_refused(tmp_path: Path) -> None:
    """A folder, a pipe or nothing at all in the record's place is told as such, and nothing is made there."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "gone")
    assert told(lambda: list_batches(tmp_path))[0] == Code.FOLDER
    assert told(lambda: list_batches(tmp_path / "pipe"))[0] == Code.NO_PLAIN_FILE
    assert told(lambda: list_batches(tmp_path / "none"))[0] == Code.NO_RECORD
    assert told(lambda: add_lot(tmp_path / "pipe" / "x", Lot("1", "lard"), on="2026-01-01"))[0] == Code.CANNOT_WRITE
    assert told(lambda: add_lot(tmp_path / "link", Lot("1", "lard"), on="2026-01-01"))[0] == Code.DANGLING_LINK
    assert sorted(item.name for item in tmp_path.iterdir()) == ["link", "pipe"]


@pytest.mark.parametrize("name", ["with blank.sqlite", "100%.sqlite", "what?mode=memory", "#1.sqlite", "käse.sqlite"])
def test_any_name_of_a_file_will_do(name: str, tmp_path: Path) -> None:
    """Signs that mean something in a URI are a name's own here."""
    path = tmp_path / name
    add_batch(path, BATCH)
    assert len(list_batches(path)) == 1
    assert [item.name for item in tmp_path.iterdir()] == [name]


def test_a_question_left_in_the_middle_holds_nobody_up(store: Path) -> None:
    """Whatever still holds a row of an answer, once the record is closed another may write at once."""
    with reading(store) as connection:
        asked = connection.execute("SELECT row FROM lot UNION ALL SELECT row FROM lot")
        assert asked.fetchone() is not None
    add_batch(store, BATCH._replace(id="next"))
    assert [item.id for item in list_batches(store)].count("next") == 1
