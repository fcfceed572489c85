"""Imports only point down one list of rooms, only one room knows a solver, and nothing heavy loads unasked."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "optimiser"

ROOMS = (
    *("text.signs", "text.spans", "text.diagnostics", "text.nodes", "text.names", "text.quantities", "text.hardness"),
    *(
        "text.durations",
        "text.syntax",
        "text.build",
        "text.opening",
        "text.source",
        "text.forms",
        "text.render",
        "text.writing",
        "text",
    ),
    *(
        "progress",
        "streams",
        "writing",
        "file_kinds",
        "reference",
        "lye",
        "chemistry",
        "profiles",
        "fat",
        "fats",
        "additives",
        "measures",
        "practice",
    ),
    *(
        "quantities",
        "bounds",
        "subjects",
        "taken_names",
        "batch",
        "shelf_prices",
        "shelf_checks",
        "shelf_entries",
        "shelf_form",
    ),
    *("shelf_csv", "shelf", "recipe_file", "arrays", "recipe", "cautions", "scum", "student", "fit", "scales"),
    *("times", "steps", "trials", "trial_writing", "trial_options", "pulls", "usage", "scale_file", "own_units"),
    *("limits", "design_form", "designs", "goal_form", "goals", "schema_parts", "schema", "columns", "rows"),
    *(
        "programme",
        "outcomes",
        "running",
        "switches",
        "counting",
        "stating",
        "loading",
        "solver",
        "proof",
        "oracle",
        "cheapest",
        "ties",
        "prices",
        "reach",
        "clashes",
        "judging",
    ),
    *("amending", "pasting", "weighing", "ash", "scaffold", "story", "lines", "concessions", "recipe_writing"),
    *("explaining", "in_use", "watching", "entering", "advising", "weigh", "observations", "trial_fit", "report"),
    *("trial_commands", "dropping", "telling", "answer", "reaching", "cli", "__main__"),
)
HEAVY = ("numpy", "pulp", "highspy", "pydantic", "yaml", "rich")


@cache
def modules() -> dict[str, Path]:
    """Every module by its name inside the package; the package itself aside."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        if name:
            found[name] = path
    return found


@cache
def imports(path: Path, *, lazy: bool = True) -> tuple[str, ...]:
    """What a module imports, by full name; those for type checkers alone are left out."""
    return tuple(imported(path, lazy=lazy))


def imported(path: Path, *, lazy: bool) -> Iterator[str]:
    """The same, read from the file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    skipped = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    inside = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if id(node) in skipped or (not lazy and id(node) in inside):
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            assert node.module is not None
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                known = full.removeprefix("optimiser.") in modules()
                yield full if full.startswith("optimiser.") and known else node.module


def room(name: str) -> str:
    """The room of a module: the reports are one room."""
    return "report" if name.split(".", maxsplit=1)[0] == "report" else name


def test_the_list_names_every_room() -> None:
    """The order below is of all modules and of nothing else."""
    assert sorted(ROOMS) == sorted(set(map(room, modules())))
    assert len(set(ROOMS)) == len(ROOMS)


@pytest.mark.parametrize("name", sorted(modules()))
def test_imports_point_up_the_list(name: str) -> None:
    """A room imports only rooms that stand before it, even inside functions."""
    place = {one: rank for rank, one in enumerate(ROOMS)}
    for imported in imports(modules()[name]):
        if not imported.startswith("optimiser.") or name == "__init__":
            continue
        other = room(imported.removeprefix("optimiser."))
        if other == room(name):
            continue
        assert place[other] < place[room(name)], f"{name} imports {other}"


def test_few_rooms_know_a_solver() -> None:
    """PuLP is used by the room that states and the one that hands over, HiGHS by that and the solver's alone."""
    knowing = {name: {one.split(".")[0] for one in imports(path)} for name, path in modules().items()}
    assert {name for name, known in knowing.items() if "highspy" in known} == {"loading", "solver"}
    assert {name for name, known in knowing.items() if "pulp" in known} == {"loading", "stating"}


def test_text_knows_no_soap() -> None:
    """The rooms of text import nothing of the package but each other."""
    text = {name: path for name, path in modules().items() if name.startswith("text.")}
    assert len(text) > 5
    for name, path in text.items():
        ours = [one for one in imports(path) if one.startswith("optimiser")]
        assert all(one.startswith("optimiser.text") for one in ours), name


def test_reports_compute_nothing() -> None:
    """No report imports a room that solves."""
    solving = {"solver", "programme", "cheapest", "prices", "clashes", "answer", "oracle", "reach", "proof"}
    assert solving <= {name.rpartition(".")[2] for name in modules()}
    reports = {name: path for name, path in modules().items() if name.startswith("report.")}
    assert len(reports) > 5
    for name, path in reports.items():
        assert not {one.rpartition(".")[2] for one in imports(path)} & solving, name


@pytest.mark.parametrize("what", ["optimiser", "optimiser.cli"])
def test_importing_loads_nothing_heavy(what: str) -> None:
    """The package and its command line load no library until a command needs one."""
    code = f"import sys, {what}; print([name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_reading_a_schema_loads_no_solver() -> None:
    """Commands that do not solve load neither numpy nor a solver's room."""
    code = (
        "import sys, io, contextlib\nfrom optimiser.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n    main(['schema', 'goals'])\n"
        "print([name for name in ('pulp', 'highspy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
