"""The public surface: what is declared is what is there."""

from __future__ import annotations

import doctest
import importlib
import os
from pathlib import Path

import pytest

import optimiser

ROOT = Path(__file__).parents[2]


def test_the_five_names_are_declared_and_there() -> None:
    """`__all__` holds five names in order, each found in its room and documented."""
    assert optimiser.__all__ == ["BadInput", "blend", "read_goals", "read_shelf", "weigh_recipe"]
    for name in optimiser.__all__:
        found = getattr(optimiser, name)
        assert found.__doc__
        assert found is getattr(importlib.import_module(found.__module__), found.__name__)


def test_no_public_name_is_a_room() -> None:
    """A public name is never taken by a module of the same name, whatever was imported before."""
    rooms = {path.stem for path in (ROOT / "optimiser").iterdir()}
    assert not rooms & set(optimiser.__all__)


def test_other_names_are_refused() -> None:
    """A name that is not public raises as for any module."""
    with pytest.raises(AttributeError, match="sparkle"):
        optimiser.sparkle  # noqa: B018


def test_the_example_in_the_docstring_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the package shows as its use works as shown, from the root of the tree."""
    monkeypatch.chdir(ROOT)
    failed, tried = doctest.testmod(optimiser)
    assert tried >= 4
    assert failed == 0
    assert Path.cwd() == Path(os.path.realpath(ROOT))
