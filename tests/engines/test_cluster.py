"""A Dask cluster does the same parts to the same bytes. Left out where Dask is not installed (the extra `cluster`)."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sweeping import as_json

from optimiser.answers import sweep_layout
from optimiser.engines import cluster
from optimiser.engines.cluster import Cluster, version_here
from optimiser.engines.work import EngineFault, NoCluster, Part

distributed = pytest.importorskip("distributed", reason="Dask is not installed: pip install 'barwright[cluster]'")
pytestmark = pytest.mark.filterwarnings("default")  # what Dask and its web server warn of is theirs
DRAWN = "spread: {each: 10 %, together: 0.3, scenarios: 2500, seed: 5}\n"


@pytest.fixture(scope="module")
def local() -> Iterator[Any]:
    """A scheduler and two workers, one thread each."""
    made = distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="localhost"
    )
    yield made
    made.close(timeout=20)


@pytest.fixture
def engine(local: Any) -> Iterator[Cluster]:
    """Ours at that scheduler."""
    made = Cluster(local.scheduler_address, version_here())
    yield made
    made.close()


def test_parts_come_back(engine: Cluster) -> None:
    """More parts than are handed over at once, each once."""
    parts = [Part("operator:add", number % 2, (bytes([number]),)) for number in range(30)]
    found = dict(engine.run([b"a", b"b"], parts))
    assert found == {number: (b"a", b"b")[number % 2] + bytes([number]) for number in range(30)}


def test_a_part_that_fails_is_told(engine: Cluster) -> None:
    """By the name of what went wrong."""
    with pytest.raises(EngineFault, match="ZeroDivisionError"):
        list(engine.run([1], [Part("operator:truediv", 0, (0,))]))  # type: ignore[list-item]


def test_a_sweep_on_a_cluster_is_the_same_to_the_byte(
    engine: Cluster, local: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As in this process; and again when a worker was lost and another took its place."""
    monkeypatch.setattr(sweep_layout, "PART", 1000)
    prices = tmp_path / "prices.yaml"
    prices.write_text(DRAWN, encoding="utf-8")
    here = as_json(("budget",), prices)
    assert as_json(("budget",), prices, engine) == here
    os.kill(next(iter(local.workers.values())).pid, signal.SIGKILL)
    assert as_json(("budget",), prices, engine) == here


def test_workers_of_another_version_are_refused(local: Any) -> None:
    """Other software could tell other figures."""
    with pytest.raises(NoCluster, match="have barwright"):
        Cluster(local.scheduler_address, "0.0.0")


def test_no_scheduler_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nobody answers it is said so, soon."""
    monkeypatch.setattr(cluster, "PATIENCE", 0.5)
    with pytest.raises(NoCluster, match="no Dask scheduler answers"):
        Cluster("localhost:9", version_here())
