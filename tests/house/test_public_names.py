"""The public surface: what is declared is what is there."""

from __future__ import annotations

import doctest
import importlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

import optimiser

ROOT = Path(__file__).parents[2]


def test_the_five_names_are_declared_and_there() -> None:
    """`__all__` holds five names in order, each found in its room and documented."""
    assert optimiser.__all__ == ["BadInput", "answer", "read_goals", "read_shelf", "weigh"]
    for name in optimiser.__all__:
        found = getattr(optimiser, name)
        assert found.__doc__
        assert found is getattr(importlib.import_module(found.__module__), name)


def test_a_name_loaded_stays_what_it_is() -> None:
    """`optimiser.answer` is the function, also after the room of that name was imported, and in any order."""
    for name in ("answer", "weigh"):
        for first in (f"import optimiser.{name}", f"from optimiser.{name} import {name}", "import optimiser.cli", ""):
            code = f"{first}\nimport optimiser\nassert callable(optimiser.{name})\nfrom optimiser import {name}\nassert callable({name})"
            done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, cwd=ROOT)
            assert done.returncode == 0, (first, done.stderr)


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
