"""The public surface: what is declared is what is there."""

from __future__ import annotations

import doctest
import importlib
import os
from pathlib import Path

import pytest

import optimiser
from optimiser.answers.results import Blend

ROOT = Path(__file__).parents[2]


def test_fifteen_names_are_declared_and_there() -> None:
    """`__all__` holds fifteen names in order, each found in its room, documented with an example, and told by the package."""
    assert optimiser.__all__ == sorted(optimiser.__all__)
    assert len(optimiser.__all__) == 15
    for name in optimiser.__all__:
        found = getattr(optimiser, name)
        assert ">>>" in (found.__doc__ or ""), name
        assert name in (optimiser.__doc__ or "")
        assert found is getattr(importlib.import_module(found.__module__), found.__name__)


@pytest.mark.parametrize("name", optimiser.__all__)
def test_the_example_of_a_name_runs(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the docstring of a public name shows works as shown, from the root of the tree."""
    monkeypatch.chdir(ROOT)
    examples = doctest.DocTestFinder(recurse=False).find(getattr(optimiser, name), name, globs={})
    ran = [doctest.DocTestRunner().run(one) for one in examples if one.examples]
    assert sum(one.attempted for one in ran) >= 2
    assert sum(one.failed for one in ran) == 0


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


def test_what_the_readme_shows_of_python_runs() -> None:
    """The lines of Python in the README give a blend with cautions."""
    shown = (ROOT / "README.md").read_text(encoding="utf-8").partition("```python\n")[2].partition("```")[0]
    room: dict[str, object] = {}
    exec(shown, room)  # noqa: S102  # the README's own lines
    found = room["found"]
    assert isinstance(found, Blend)
    assert found.cautions
