"""Hypothesis runs the same examples every time, and no example is timed; one terminal and garbage collected for every test; a workshop for trials.

`--hypothesis-profile=fresh` draws new examples instead, a dozen times as many; `brief` draws fewer, for the same tests once
more on another Python. A run of more than a few files uses every core.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from benches import RECIPE, laid
from hypothesis import HealthCheck, settings
from workers import cores, files_named, workers_for

BUSY = [HealthCheck.too_slow]  # a busy machine is no fault of a strategy
settings.register_profile("steady", max_examples=40, deadline=None, derandomize=True, suppress_health_check=BUSY)
settings.register_profile(
    "fresh", max_examples=500, deadline=None, derandomize=False, suppress_health_check=BUSY, print_blob=True
)
settings.register_profile("brief", max_examples=15, deadline=None, derandomize=True, suppress_health_check=BUSY)
settings.load_profile("steady")


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config: pytest.Config) -> None:
    """Share the tests out among the cores, unless the command line says how (-n, --dist), picks or looks inside."""
    asked = vars(config.option)
    untold = asked.get("numprocesses", 0) is None and asked["dist"] == "no" and not asked["tx"]
    picks = asked["keyword"] or asked["markexpr"] or asked.get("lf") or asked.get("stepwise")
    looks = asked["usepdb"] or asked["trace"] or asked["capture"] == "no" or asked["collectonly"]
    if untold and not (picks or looks or hasattr(config, "workerinput")):
        workers = workers_for(files_named(config.args, config.invocation_params.dir), cores())
        config.option.numprocesses, config.option.dist = workers, "worksteal" if workers else "no"


@pytest.fixture(autouse=True)
def _one_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """A page of 80 columns, and no wish of whoever runs the tests for colour, another page or a traceback."""
    monkeypatch.setenv("COLUMNS", "80")
    for name in ("NO_COLOR", "FORCE_COLOR", "LINES", "BARWRIGHT_TRACEBACK"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture(autouse=True)
def _collected() -> Iterator[None]:
    """The command switches the collector of garbage off for its short life; tests live longer."""
    yield
    gc.enable()


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A workshop with a recipe and a folder for trials."""
    (tmp_path / "trials").mkdir()
    return laid(tmp_path, {"recipe.yaml": RECIPE})
