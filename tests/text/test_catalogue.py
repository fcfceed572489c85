"""What every code means: complete, in sentences, and with examples that are what they say."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from optimiser.files.doubts import warnings
from optimiser.files.goals import read_goals
from optimiser.files.lots_in_date import on_its_day
from optimiser.files.recipe_file import read_recipe
from optimiser.files.shelf.shelf import read_shelf
from optimiser.problem.goals import GoalSheet
from optimiser.text.catalogue import Meaning, catalogue
from optimiser.text.codes import OF_THE_RECORD, WARNINGS, Code
from optimiser.text.diagnostics import BadInput, Diagnostic

PACKAGE = Path(__file__).parents[2] / "optimiser"
KITTIWAKE = PACKAGE.parent / "inventory" / "kittiwake.yaml"
SHOWN = [item for item in catalogue().values() if item.wrong]


def test_every_code_has_its_meaning() -> None:
    """The table holds every code once, sorted, and no other; each in sentences of its own that end."""
    known = catalogue()
    assert list(known) == sorted(Code)
    assert len({item.meaning for item in known.values()}) == len(known)
    for code, item in known.items():
        for sentence in (item.meaning, item.remedy):
            assert sentence.endswith("."), code
            assert "  " not in sentence, code
            assert len(sentence) < 200, code
        assert item.group
        assert bool(item.file) == bool(item.wrong) == bool(item.right), code
        assert (item.group == "warnings") == (code.severity == "warning"), code


def codes_named() -> Iterator[str]:
    """Every `Code.NAME` in the package, but where the codes are."""
    for path in PACKAGE.rglob("*.py"):
        if path.name != "codes.py" or path.parent.name != "text":
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "Code":
                    yield node.attr


def test_every_code_is_told_somewhere() -> None:
    """No code is there that nothing tells."""
    assert set(codes_named()) == {code.name for code in Code}


def told(item: Meaning, text: str, folder: Path) -> list[Diagnostic]:
    """The faults of a file of the kind that an example is of, or its warnings where it has no fault."""
    path = folder / f"example.{'csv' if item.file == 'csv' else 'yaml'}"
    path.write_text(f"{text}\n", encoding="utf-8")
    try:
        if item.file == "goals":
            return list(warnings(None, goals=read_goals(path, KITTIWAKE)))
        if item.file == "recipe":
            return list(warnings(None, recipe=read_recipe(path, KITTIWAKE)))
        shelf = read_shelf(path)
        return [*warnings(shelf), *on_its_day(GoalSheet(), shelf)[2]]
    except BadInput as bad:
        return list(bad.diagnostics)


@pytest.mark.parametrize("item", SHOWN, ids=lambda item: item.code)
def test_every_example_is_one_of_its_code(item: Meaning, tmp_path: Path) -> None:
    """The wrong example of a code gives that code and no other; with the right one there is nothing to tell."""
    assert item.file in ("goals", "shelf", "recipe", "csv")
    assert {found.code for found in told(item, item.wrong, tmp_path)} == {item.code}
    assert told(item, item.right, tmp_path) == []


def test_most_codes_have_an_example() -> None:
    """An example is left out only where the fault is of a file, a folder or a command rather than of a line."""
    others = [item for code, item in catalogue().items() if code not in OF_THE_RECORD]
    without = {item.group for item in others if not item.wrong and item.group != "files and folders"}
    assert len(SHOWN) >= 65
    assert all(catalogue()[code].wrong for code in WARNINGS - OF_THE_RECORD)
    assert "warnings" not in without
