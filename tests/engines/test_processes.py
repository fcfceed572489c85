"""Processes of this machine: parts come back whoever did them, and a worker that dies changes nothing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sweeping import as_json

from optimiser.answers import sweep_layout
from optimiser.engines.processes import THREADS, Processes
from optimiser.engines.work import EngineFault, Here, Part, call

DRAWN = "spread: {each: 10 %, together: 0.3, scenarios: 2500, seed: 5}\n"


@pytest.fixture
def two() -> Iterator[Processes]:
    """Two workers, let go at the end whatever happened."""
    engine = Processes(2)
    yield engine
    engine.close()
    assert engine.pids == []


def test_parts_are_called_by_name() -> None:
    """A part is a function by module and name, what is shared, and what is its own."""
    assert call("operator:add", b"ab", (b"cd",)) == b"abcd"
    parts = [Part("operator:add", 1, (b"x",)), Part("operator:add", 0, (b"y",))]
    assert list(Here().run([b"a", b"b"], parts)) == [(0, b"bx"), (1, b"ay")]


def test_workers_do_all_parts(two: Processes) -> None:
    """Every part comes back once with its number, and workers are used again for other shared things."""
    for shared in (b"ab", b"xy"):
        parts = [Part("operator:add", 0, (bytes([number]),)) for number in range(20)]
        assert sorted(two.run([shared], parts)) == [(number, shared + bytes([number])) for number in range(20)]
    assert len(two.pids) == 2


def test_a_worker_has_one_thread_for_sums() -> None:
    """The environment of a worker holds arrays to one thread, and ours is left as it was."""
    before = {name: os.environ.get(name) for name in THREADS}
    engine = Processes(1)
    try:
        found = dict(engine.run(["OPENBLAS_NUM_THREADS"], [Part("os:getenv", 0)]))  # type: ignore[list-item]
    finally:
        engine.close()
    assert found == {0: "1"}
    assert {name: os.environ.get(name) for name in THREADS} == before


def test_a_part_that_fails_ends_the_work(two: Processes) -> None:
    """What went wrong in a worker is told by its name."""
    with pytest.raises(EngineFault, match="ZeroDivisionError"):
        list(two.run([1], [Part("operator:truediv", 0, (0,))]))  # type: ignore[list-item]


def test_a_part_that_kills_its_workers_ends_the_work(two: Processes) -> None:
    """Three workers are given to one part, and no more: then the work ends with words, and never hangs."""
    with pytest.raises(EngineFault, match="3 workers died"):
        list(two.run([3], [Part("os:_exit", 0)]))  # type: ignore[list-item]


def test_a_worker_killed_while_it_waits_is_replaced(two: Processes) -> None:
    """The next work finds another in its place."""
    parts = [Part("operator:add", 0, (b"x",)) for _ in range(4)]
    assert len(list(two.run([b"a"], parts))) == 4
    os.kill(two.pids[0], signal.SIGKILL)
    assert len(list(two.run([b"a"], parts))) == 4


def test_a_sweep_is_the_same_to_the_byte_with_any_workers_and_when_one_is_killed(
    two: Processes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One process, two, and two of which one is killed in the midst: the same JSON."""
    monkeypatch.setattr(sweep_layout, "PART", 1000)
    prices = tmp_path / "prices.yaml"
    prices.write_text(DRAWN, encoding="utf-8")
    names = ("budget", "laundry")
    killed: list[int] = []

    def kill_one(done: int, of: int, what: str) -> None:
        if what == "scenarios" and 0 < done < of and not killed:
            killed.append(two.pids[0])
            os.kill(killed[0], signal.SIGKILL)

    here = as_json(names, prices)
    assert as_json(names, prices, two) == here
    told: dict[str, Any] = {"watch": kill_one}
    assert as_json(names, prices, two, **told) == here
    assert killed
    assert killed[0] not in two.pids


ASKS = """
from optimiser.engines.processes import Processes
from optimiser.engines.work import Part
if __name__ == "__main__":
    engine = Processes(1)
    for _ in engine.run([0.0, 60.0], [Part("time:sleep", 0), Part("time:sleep", 1)]):
        print("begun", flush=True)
"""


def test_a_worker_ends_at_once_with_whoever_asked(tmp_path: Path) -> None:
    """Killed without a word, it leaves no worker that goes on with its part of a minute and holds what it could write to."""
    script = tmp_path / "asks.py"
    script.write_text(ASKS, encoding="utf-8")
    with subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, text=True) as asking:
        assert asking.stdout is not None
        assert asking.stdout.readline() == "begun\n"
        time.sleep(1.0)  # the part of a minute is sent
        asking.kill()
        assert asking.communicate(timeout=20.0)[0] == ""  # the end of the pipe comes when the worker has ended too
