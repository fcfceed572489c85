"""Modules small enough to read, public things documented, tests that say what is true."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "optimiser").rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_is_one_room(path: Path) -> None:
    """No module is longer than 350 lines, unless its docstring says why; and none than 400."""
    text = path.read_text(encoding="utf-8")
    lines = len(text.splitlines())
    assert lines <= 400
    assert lines <= 350 or "Longer than most rooms, since" in " ".join(
        (ast.get_docstring(ast.parse(text)) or "").split()
    )


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_public_things_are_documented(path: Path) -> None:
    """Modules, public classes and public functions have a docstring; what stands inside a function is not public."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), path
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    inner = {id(node) for function in functions for node in ast.walk(function) if node is not function}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert id(node) in inner or ast.get_docstring(node), f"{path.name}: {node.name}"


@pytest.mark.parametrize("path", TESTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_test_says_what_is_true(path: Path) -> None:
    """Every test has a docstring and asserts something on every way through it; none is left out or expected to fail."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    known = helpers(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            assert ast.get_docstring(node), f"{path.name}: {node.name}"
            assert asserts(node.body, known), f"{path.name}: {node.name} may assert nothing"
            assert not leaves(node, known), (
                f"{path.name}: {node.name} may leave before it asserts: assume() says what it needs"
            )
    assert "mark.skip" not in ast.unparse(tree) or path.name == "test_modules.py"


def helpers(tree: ast.Module) -> frozenset[str]:
    """Functions of a test file that assert something, themselves or by each other; and the fixture that compares texts."""
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    found = frozenset({"golden"})
    while more := {node.name for node in functions if node.name not in found and asserts(node.body, found)}:
        found |= more
    return found


def asserts(body: list[ast.stmt], known: frozenset[str]) -> bool:
    """Whether statements assert something that can be false, whichever way is taken.

    A constant, or a bare name of the module, cannot be false; what stands behind an `if` alone may never be reached.
    """
    return any(asserts_in(statement, known) for statement in body)


def asserts_in(statement: ast.stmt, known: frozenset[str]) -> bool:
    """The same of one statement."""
    if isinstance(statement, ast.Assert):
        return not is_idle(statement.test)
    if isinstance(statement, ast.If):
        return asserts(statement.body, known) and asserts(statement.orelse, known)
    if isinstance(statement, ast.With) and any("pytest.raises" in ast.unparse(item) for item in statement.items):
        return True
    if isinstance(statement, ast.For | ast.While | ast.With | ast.Try):
        return asserts(statement.body, known)
    if isinstance(statement, ast.FunctionDef | ast.ClassDef):
        return False
    calls = [node.func for node in ast.walk(statement) if isinstance(node, ast.Call)]
    return any(isinstance(func, ast.Name) and func.id in known for func in calls)


def leaves(test: ast.FunctionDef, known: frozenset[str]) -> bool:
    """Whether a test returns by itself where nothing was asserted; functions inside it may."""
    kinds = ast.FunctionDef | ast.AsyncFunctionDef
    inside = [node for node in ast.walk(test) if isinstance(node, kinds) and node is not test]
    theirs = {id(node) for function in inside for node in ast.walk(function)}
    blocks = [
        getattr(node, name, [])
        for node in ast.walk(test)
        if id(node) not in theirs and not isinstance(node, ast.Lambda | ast.IfExp)
        for name in ("body", "orelse", "finalbody")
    ]
    return any(
        isinstance(statement, ast.Return) and not asserts(block[:place], known)
        for block in blocks
        for place, statement in enumerate(block)
    )


def is_idle(test: ast.expr) -> bool:
    """Whether a condition says nothing: True, a type that the checker wants told, or a constant of a module by itself."""
    if isinstance(test, ast.Call) and ast.unparse(test.func) == "isinstance":
        return True
    return isinstance(test, ast.Constant) or (isinstance(test, ast.Name) and test.id.isupper())
