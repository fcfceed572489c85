"""Hypothesis runs the same examples every time, and no example is timed; one terminal for every test; a workshop for trials.

`--hypothesis-profile=fresh` draws new examples instead.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import RECIPE
from hypothesis import HealthCheck, settings

BUSY = [HealthCheck.too_slow]  # a busy machine is no fault of a strategy
settings.register_profile("steady", deadline=None, derandomize=True, suppress_health_check=BUSY)
settings.register_profile("fresh", deadline=None, derandomize=False, suppress_health_check=BUSY, print_blob=True)
settings.load_profile("steady")


@pytest.fixture(autouse=True)
def _one_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """A page of 80 columns, and no wish of whoever runs the tests for colour, another page or a traceback."""
    monkeypatch.setenv("COLUMNS", "80")
    for name in ("NO_COLOR", "FORCE_COLOR", "LINES", "BARWRIGHT_TRACEBACK"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A workshop with a recipe and a folder for trials."""
    (tmp_path / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    (tmp_path / "trials").mkdir()
    return tmp_path
