"""What the contributor guide names is there."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FOLDERS = sorted(path.name for path in (ROOT / "optimiser").iterdir() if (path / "__init__.py").is_file())
NAMED = sorted(set(re.findall(rf"`((?:{'|'.join(FOLDERS)})(?:\.\w+)+)`", GUIDE)) - {"measures.csv"})
EXAMPLES = {"goals/bar.yaml", "goals/design-NAME.yaml"}  # named as what a reader would have
PATHS = sorted(set(re.findall(r"`((?:\w+/)+\w[\w.-]*\.(?:py|csv|yaml|txt|md))`", GUIDE)) - EXAMPLES)


@pytest.mark.parametrize("name", NAMED)
def test_every_function_named_is_there(name: str) -> None:
    """`room.function` is a function or a value of that room."""
    room, _, called = name.rpartition(".")
    assert hasattr(import_module(f"optimiser.{room}"), called)


@pytest.mark.parametrize("path", PATHS)
def test_every_file_named_is_there(path: str) -> None:
    """A path stands in the tree or in the package."""
    assert (ROOT / path).is_file() or (ROOT / "optimiser" / path).is_file()


def test_the_walk_is_told() -> None:
    """The way of one limit names at least a dozen doors, and the picture every folder."""
    assert len(NAMED) >= 12
    picture = GUIDE.partition("## The house")[2].partition("### One limit")[0]
    assert [name for name in FOLDERS if f"{name}/" not in picture] == []
