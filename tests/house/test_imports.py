"""Imports only point down one list of rooms, only one room knows a solver, and nothing heavy loads unasked."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from optimiser.store.connecting import empty_record

PACKAGE = Path(__file__).parents[2] / "optimiser"

FOLDERS = (
    *("maths", "text", "reference", "materials", "measures", "problem", "files", "model", "planning"),
    *("solve", "recipe", "analysis", "engines", "trials", "store", "answers", "report", "web", "cli", "__main__"),
)
"""Each imports only from those before it; what the data passes first stands first."""

NO_FILES = ("model", "planning", "solve", "recipe", "analysis")
"""Goals and a shelf reach these as values, whether they were read from a file or made by a Python caller."""

HEAVY = (
    "numpy",
    "pulp",
    "highspy",
    "pydantic",
    "yaml",
    "rich",
    "rapidfuzz",
    "csv",
    "shtab",
    "sqlite3",
    "jinja2",
    "typst",
)


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


def folder(name: str) -> str:
    """The folder of a module."""
    return name.partition(".")[0]


def ours(name: str, *, lazy: bool = True) -> set[str]:
    """The modules of the package that one of them imports."""
    found = {
        one.removeprefix("optimiser.") for one in imports(modules()[name], lazy=lazy) if one.startswith("optimiser.")
    }
    assert found <= set(modules()), name
    return found


def test_the_list_names_every_folder() -> None:
    """The order above is of all folders and of nothing else; no module lies beside them."""
    assert sorted(FOLDERS) == sorted(set(map(folder, modules())))


@pytest.mark.parametrize("name", sorted(modules()))
def test_imports_point_up_the_list(name: str) -> None:
    """A room imports only from its own folder and from those that stand before it, even inside functions."""
    place = {one: rank for rank, one in enumerate(FOLDERS)}
    for other in ours(name):
        assert place[folder(other)] <= place[folder(name)], f"{name} imports {other}"


def test_no_room_imports_itself_by_a_roundabout_way() -> None:
    """Inside the folders too there is no circle, imports inside functions among them."""
    left = {name: ours(name) - {name} for name in modules()}
    while free := {name for name, others in left.items() if not others & left.keys()}:
        left = {name: others for name, others in left.items() if name not in free}
    assert left == {}


@pytest.mark.parametrize("name", sorted(name for name in modules() if folder(name) in NO_FILES))
def test_what_reckons_knows_no_files(name: str) -> None:
    """The model, the solver's rooms, the grams and their analysis read and write no text."""
    assert not {other for other in ours(name) if folder(other) in ("files", "text")}


def test_few_rooms_know_a_solver() -> None:
    """PuLP is for whoever states and writes it down, HiGHS for whoever hands over and solves: one room each."""
    knowing = {name: {one.split(".")[0] for one in imports(path)} for name, path in modules().items()}
    assert {name for name, known in knowing.items() if "highspy" in known} == {
        *("solve.cone", "solve.loading", "solve.searching", "solve.solver"),
    }
    assert {name for name, known in knowing.items() if "pulp" in known} == {"answers.lp_file", "solve.stating"}


def test_only_the_record_knows_its_database() -> None:
    """SQLite is spoken to by the rooms of the record alone."""
    knowing = {name for name, path in modules().items() if "sqlite3" in {one.split(".")[0] for one in imports(path)}}
    assert "store.connecting" in knowing
    assert {folder(name) for name in knowing} == {"store"}


def test_one_room_each_knows_pydantic_and_rich() -> None:
    """Schemas are written in one room, colours painted in another, and a bar drawn in a third; whatever needs neither must not load them."""
    knowing = {name: {one.split(".")[0] for one in imports(path)} for name, path in modules().items()}
    assert {name for name, known in knowing.items() if known & {"pydantic", "pydantic_core"}} == {"files.form_schema"}
    assert {name for name, known in knowing.items() if "rich" in known} == {
        "report.terminal.page",
        "cli.sweep_progress",
    }


def test_text_knows_no_soap() -> None:
    """The rooms of text import nothing of the package but each other and units."""
    text = [name for name in modules() if folder(name) == "text"]
    assert len(text) > 5
    for name in text:
        assert {folder(other) for other in ours(name)} <= {"text", "maths"}, name


def test_reports_compute_nothing() -> None:
    """No report imports a room that solves."""
    reports = [name for name in modules() if folder(name) == "report"]
    assert len(reports) > 5
    for name in reports:
        assert not {other for other in ours(name) if folder(other) in ("model", "solve", "analysis")}, name


@pytest.mark.parametrize("what", ["optimiser", "optimiser.cli.main"])
def test_importing_loads_nothing_heavy(what: str) -> None:
    """The package and its command line load no library until a command needs one."""
    code = f"import sys, {what}; print([name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


NEEDLESS = {
    ("--help",): HEAVY,
    ("fats",): ("numpy", "pulp", "highspy", "pydantic", "yaml", "rich"),
    ("fats", "olive oil"): ("pulp", "highspy", "pydantic", "yaml", "rich", "json"),
    ("measures",): ("numpy", "pulp", "highspy", "pydantic", "yaml", "rich", "rapidfuzz"),
    ("designs",): ("numpy", "pulp", "highspy", "pydantic", "rich"),
    ("weigh", "RECIPE"): ("pulp", "highspy", "pydantic", "rich", "sqlite3"),
    ("batch", "add", "RECIPE", "--store", "NEW"): ("pulp", "highspy", "pydantic", "rich"),
    ("batch", "list", "--store", "RECORD"): ("numpy", "pulp", "highspy", "pydantic", "yaml", "rich", "rapidfuzz"),
    ("blend", "goals/palm-free-vegetable.yaml"): ("pulp", "pydantic", "rich", "numpy.ma"),
    ("blend", "goals/everyday.yaml"): ("pulp", "pydantic", "rich", "numpy.ma", "sqlite3"),
    ("choices", "goals/budget.yaml"): ("pulp", "pydantic", "rich", "numpy.ma"),
    ("schema", "goals"): ("numpy", "pulp", "highspy", "rich"),
}
"""What a command, its answer in plain text, has no use for: every library costs as long as the command's own work."""


@pytest.mark.parametrize("arguments", NEEDLESS, ids=" ".join)
def test_a_command_loads_only_what_it_needs(arguments: tuple[str, ...], tmp_path: Path) -> None:
    """What has nothing to do with the answer is not loaded for it."""
    recipe = tmp_path / "recipe.yaml"
    recipe.write_text("fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n", encoding="utf-8")
    record = tmp_path / "record.sqlite"
    record.write_bytes(empty_record())
    places = {"RECIPE": str(recipe), "NEW": str(tmp_path / "new.sqlite"), "RECORD": str(record)}
    words = [places.get(word, word) for word in arguments]
    code = (
        "import sys, io, contextlib\nfrom optimiser.cli.main import main\n"
        "with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.suppress(SystemExit):\n"
        f"    main({words!r})\n"
        f"assert out.getvalue()\nprint([name for name in {NEEDLESS[arguments]!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=PACKAGE.parent)
    assert done.stdout.strip() == "[]"


def test_names_are_compared_only_where_there_is_a_fault() -> None:
    """An answer to goals without a slip loads no room that compares names; an unknown fat does."""
    code = (
        "import sys, io, contextlib\nfrom optimiser.cli.main import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):\n"
        "    main({!r})\n"
        "print('rapidfuzz' in sys.modules)"
    )
    root = PACKAGE.parent
    for arguments, loaded in (
        (["blend", str(root / "goals" / "everyday.yaml")], "False"),
        (["fats", "olve oil"], "True"),
    ):
        command = [sys.executable, "-c", code.format(arguments)]
        done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=root)
        assert done.stdout.strip() == loaded, arguments


def test_nothing_is_gone_through_at_the_end() -> None:
    """When a command is done its values are out of the collector's sight, which would go through them all once more."""
    code = (
        "import sys, gc, contextlib, io\nfrom optimiser.__main__ import run\nsys.argv[1:] = ['--help']\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n    run()\n"
        "print(gc.get_freeze_count() > len(gc.get_objects()))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "True"
