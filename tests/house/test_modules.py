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
    """No module is longer than 400 lines."""
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_public_things_are_documented(path: Path) -> None:
    """Modules, public classes and public functions have a docstring."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), path
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            inner = any(node in ast.walk(other) for other in ast.walk(tree) if is_outer(other, node))
            assert inner or ast.get_docstring(node), f"{path.name}: {node.name}"


def is_outer(other: ast.AST, node: ast.AST) -> bool:
    """Whether another node is a function that may hold this one."""
    return isinstance(other, ast.FunctionDef) and other is not node


@pytest.mark.parametrize("path", TESTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_test_says_what_is_true(path: Path) -> None:
    """Every test has a docstring and asserts something, itself or by a helper; none is left out or expected to fail."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            assert ast.get_docstring(node), f"{path.name}: {node.name}"
            assert asserts(node, helpers(tree)), f"{path.name}: {node.name} asserts nothing"
    assert "mark.skip" not in ast.unparse(tree) or path.name == "test_modules.py"


def helpers(tree: ast.Module) -> frozenset[str]:
    """Functions of a test file that assert something, themselves or by each other; and the fixture that compares texts."""
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    found = frozenset({"golden"})
    while more := {node.name for node in functions if node.name not in found and asserts(node, found)}:
        found |= more
    return found


def asserts(node: ast.FunctionDef, known: frozenset[str]) -> bool:
    """Whether a function asserts something that can be false: a constant, or a bare name of the module, cannot."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Assert) and not is_idle(inner.test):
            return True
        if isinstance(inner, ast.Call) and isinstance(inner.func, ast.Name) and inner.func.id in known:
            return True
        if isinstance(inner, ast.withitem) and "pytest.raises" in ast.unparse(inner.context_expr):
            return True
    return False


def is_idle(test: ast.expr) -> bool:
    """Whether a condition says nothing: True, a type that the checker wants told, or a constant of a module by itself."""
    if isinstance(test, ast.Call) and ast.unparse(test.func) == "isinstance":
        return True
    return isinstance(test, ast.Constant) or (isinstance(test, ast.Name) and test.id.isupper())
