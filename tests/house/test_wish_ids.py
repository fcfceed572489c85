"""Ids of wishes and their words are put together in one module and taken apart in none."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from optimiser.problem.wishes import Section

PACKAGE = Path(__file__).parents[2] / "optimiser"
MAKER = PACKAGE / "problem" / "wishes.py"
OTHERS = sorted(path for path in PACKAGE.rglob("*.py") if path != MAKER)
SPLITS = {"partition", "rpartition", "split", "rsplit"}
ID = re.compile(rf"(?:{'|'.join(Section)})\.(?!ya?ml|csv|json|schema|py\b)")
WORDS = re.compile(r"house practice: | in stock: |\bbetween .* and .*\(at (?:least|most)")


def texts(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Every text of a module by its line, docstrings aside; a text with figures in it has "?" in their place."""
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in ast.walk(node)} - {
        id(node) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield (
                node.lineno,
                "".join(str(part.value) if isinstance(part, ast.Constant) else "?" for part in node.values),
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings | inside:
            yield node.lineno, node.value


def found_in(source: str) -> list[str]:
    """What in a module puts together or takes apart an id or the words of a wish."""
    tree = ast.parse(source)
    out = [f"{line}: {text}" for line, text in texts(tree) if ID.match(text) or WORDS.search(text)]
    out += [f"{line}: {text}" for line, text in texts(tree) if re.fullmatch(r"\?(?:\.\?){2,}", text)]
    for node in ast.walk(tree):
        called = node.func if isinstance(node, ast.Call) else None
        if isinstance(node, ast.Call) and isinstance(called, ast.Attribute) and called.attr in SPLITS:
            out += [f"{node.lineno}: {ast.unparse(node)}" for one in node.args if ast.unparse(one) == "'.'"]
    return out


@pytest.mark.parametrize("path", OTHERS, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_no_other_module_makes_or_splits_an_id(path: Path) -> None:
    """No text of a section's id, no three parts with dots between them, nothing split at a dot, no words of a wish."""
    assert found_in(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "line",
    [
        'f"goals.{limit.key}.{limit.side}"',
        'f"{prefix}.{limit.key}.{limit.side}"',
        'row.member == "fats.each_at_least"',
        'id.removeprefix("practice.")',
        'id.rpartition(".")[2]',
        'f"house practice: {rule.name}"',
        're.fullmatch(r"(.+) in stock: (.+)", says)',
    ],
)
def test_what_is_looked_for_is_found(line: str) -> None:
    """Each of the ways in which an id or a wish was made or taken apart by hand is caught."""
    assert found_in(line)


@pytest.mark.parametrize("line", ['"goals.yaml"', 'f"{name}.{suffix}"', 'text.split(",")', '"free_from"'])
def test_what_is_no_id_is_let_through(line: str) -> None:
    """Names of files, a name and its suffix, and the sections themselves are no ids."""
    assert found_in(line) == []
