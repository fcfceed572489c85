"""Hypothesis runs the same examples every time, and no example is timed; a workshop for tests of trials."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import RECIPE
from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A workshop with a recipe and a folder for trials."""
    (tmp_path / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    (tmp_path / "trials").mkdir()
    return tmp_path
