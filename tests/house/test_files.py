"""Files are opened and written in one room each, so that no way round the care taken there comes to be."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "optimiser"
MODULES = sorted(path.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*.py"))
OPENING = {
    "files/writing.py",
    "text/opening.py",
    "cli/streams.py",
    "solve/running.py",
}  # the last two put the null device somewhere
NOWHERE = {
    "write_text": "it empties the file first: files.writing.write",
    "write_bytes": "it empties the file first: files.writing.write",
    "exists": "it raises where a name is too long: text.opening.kind_of_file",
    "is_symlink": "it raises where a name is too long: text.opening.kind_of_file",
}


def calls(name: str) -> set[str]:
    """What a module calls, by its bare name."""
    tree = ast.parse((PACKAGE / name).read_text(encoding="utf-8"))
    made = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    return {func.attr for func in made if isinstance(func, ast.Attribute)} | {
        func.id for func in made if isinstance(func, ast.Name)
    }


@pytest.mark.parametrize("name", MODULES)
def test_files_are_opened_and_written_in_their_rooms(name: str) -> None:
    """Only the rooms for it open files, and nobody calls what writes half a file or raises for an odd name."""
    used = calls(name)
    assert not {call: why for call, why in NOWHERE.items() if call in used}
    assert "open" not in used or name in OPENING
    assert "fdopen" not in used or name in OPENING
