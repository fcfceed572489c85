"""The batch record through 200 kills, judged by SQLite's own `PRAGMA integrity_check` and `PRAGMA foreign_key_check`.

Source of both: SQLite's documentation, "PRAGMA Statements". A writer that was killed with SIGKILL in the middle of
whatever it did leaves a record in which every batch that it had told of is there and whole, and none in part.
"""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

from optimiser.store.asking import list_batches, show_batch

TESTS = Path(__file__).parents[1]
WRITER = """
import os, sys
sys.path.insert(0, sys.argv[1])
from pathlib import Path
from records import BATCH, OLIVE
from optimiser.store.values import Observation, Shipment
from optimiser.store.writing import add_batch, note, ship
path, number = Path(sys.argv[2]), 0
while True:
    number += 1
    batch = BATCH._replace(id=f"{os.getpid()}-{number}")
    add_batch(path, batch, [Observation(trace_s=60.0)], draw_down=True, stock={OLIVE: 50_000.0})
    os.write(1, f"{batch.id}\\n".encode())
"""
NURSERY = """
import os, random, signal, sqlite3, sys, time
rng = random.Random(7)
store, tests, kills = sys.argv[1], sys.argv[2], int(sys.argv[3])
told, faults, by_journal = [], [], 0
sys.argv = ["writer", tests, store]
sys.path.insert(0, tests)
from pathlib import Path
from records import BATCH  # all is loaded once, so that each writer is killed at its work and not at its start
from optimiser.store.writing import add_batch
start = time.monotonic()
for _ in range(3):
    add_batch(Path(store + "-timed"), BATCH)
usual = (time.monotonic() - start) / 3  # a disk may be slow or fast
done = 0
while done < kills or (len(told) < 50 and done < 10 * kills):  # a busy machine takes longer for each than an idle one
    done += 1
    inlet, outlet = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(inlet)
        os.dup2(outlet, 1)
        exec(compile(WRITER, "writer", "exec"))
    os.close(outlet)
    time.sleep(rng.uniform(0.0, 2.2) * usual)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(inlet, "rb") as pipe:
        lines = pipe.read().decode().split("\\n")
    told += [line for line in lines[:-1] if line]
    by_journal += os.path.exists(store + "-journal")
    if not os.path.exists(store):
        continue
    other = sqlite3.connect(store)
    whole = other.execute("PRAGMA integrity_check").fetchall()
    loose = other.execute("PRAGMA foreign_key_check").fetchall()
    parts = other.execute(
        "SELECT b.id FROM batch AS b WHERE (SELECT count(*) FROM batch_lot_use AS u WHERE u.batch = b.row) <> 4"
        " OR (SELECT count(*) FROM observation AS o WHERE o.batch = b.row) <> 1"
        " OR (SELECT count(*) FROM movement AS m WHERE m.batch = b.row) <> 2"
    ).fetchall()
    lost = set(told) - {name for (name,) in other.execute("SELECT id FROM batch")}
    other.close()
    if whole != [("ok",)] or loose or parts or lost:
        faults.append([whole, loose, parts, sorted(lost)])
import json
print(json.dumps({"told": told, "faults": faults, "by_journal": by_journal, "kills": done}))
"""


def killed(store: Path, kills: int) -> dict[str, list[str]]:
    """What came of so many kills: batches told of, faults found, and how often a journal was left to be played back."""
    code = f"WRITER = {WRITER!r}\n{NURSERY}"
    command = [sys.executable, "-c", code, str(store), str(TESTS), str(kills)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=TESTS.parent)
    found: dict[str, list[str]] = json.loads(done.stdout)
    return found


def test_nothing_that_was_told_is_lost_through_200_kills(tmp_path: Path) -> None:
    """After each kill the record is whole, holds every batch told of, and none in part; some kills fell into a change."""
    store = tmp_path / "records" / "barwright.sqlite"
    found = killed(store, 200)
    assert found["faults"] == []
    assert (
        len(found["told"]) >= 50
    )  # each has up to twice as long as one takes, and more are killed until there are as many
    assert int(found["by_journal"]) > 0  # type: ignore[call-overload]
    ids = {line.id for line in list_batches(store)}
    assert set(found["told"]) <= ids
    assert len(ids) - len(found["told"]) <= int(found["kills"])  # type: ignore[call-overload]  # one that was written and killed before it could tell
    for id_ in found["told"][::20]:
        assert len(show_batch(store, id_).batch.uses) == 4


def test_the_command_itself_is_killed(tmp_path: Path) -> None:
    """`batch add`, killed at moments spread over its run, has recorded the batch or has not; what it told of is there."""
    recipe = tmp_path / "recipe.yaml"
    recipe.write_text("fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n", encoding="utf-8")
    store = tmp_path / "barwright.sqlite"
    command = [sys.executable, "-m", "optimiser", "batch", "add", str(recipe), "--store", str(store), "--made"]
    whole = time.monotonic()
    subprocess.run([*command, "2026-01-01", "--json"], check=True, capture_output=True, cwd=TESTS.parent)
    whole = time.monotonic() - whole
    told = {"2026-01-01-1"}
    for part in (0.5, 0.7, 0.8, 0.9, 1.0, 1.1):
        with subprocess.Popen(
            [*command, "2026-01-02", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=TESTS.parent
        ) as process:
            time.sleep(part * whole)
            os.kill(process.pid, signal.SIGKILL)
            out, _ = process.communicate()
        told |= {json.loads(out)["batch"]["id"]} if out.endswith(b"}\n") else set()
    other = sqlite3.connect(store)
    assert other.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert other.execute("PRAGMA foreign_key_check").fetchall() == []
    other.close()
    assert told <= {line.id for line in list_batches(store)}
