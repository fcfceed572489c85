"""Every package that is needed names a lowest version, which is what the lowest run installs."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

TOOL = Path(__file__).parents[1] / "tools" / "lowest.py"


def run(tool: Path) -> subprocess.CompletedProcess[str]:
    """The tool as it is run."""
    return subprocess.run([sys.executable, str(tool)], capture_output=True, check=False, text=True)


def test_every_requirement_names_a_lowest_version() -> None:
    """What the program and its tests need comes out as one exact version each, linters and stubs aside."""
    lines = run(TOOL).stdout.splitlines()
    names = [re.split("==", line)[0] for line in lines]
    assert all(re.fullmatch(r"[\w.-]+==\d+(\.\d+)*(;.*)?", line) for line in lines)
    assert {"numpy", "pydantic", "pulp", "highspy", "rich", "hypothesis", "scipy"} <= set(names)
    assert not {"ruff", "mypy", "types-PyYAML"} & set(names)
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("requirement", "constraint"),
    [
        ("pulp>=3.3.1,<4", "pulp==3.3.1"),
        ('numpy>=2.1; python_version >= "3.13"', 'numpy==2.1; python_version >= "3.13"'),
        ("numpy", None),
        ("numpy<3", None),
    ],
)
def test_a_requirement_becomes_its_lowest_version(tmp_path: Path, requirement: str, constraint: str | None) -> None:
    """The lower end is kept with its marker; a requirement without one is refused by name."""
    tool = tmp_path / "tests" / "tools" / "lowest.py"
    tool.parent.mkdir(parents=True)
    tool.write_bytes(TOOL.read_bytes())
    project = f"[project]\ndependencies = ['{requirement}']\noptional-dependencies = {{test = []}}\n"
    (tmp_path / "pyproject.toml").write_text(project, encoding="utf-8")
    done = run(tool)
    assert done.stdout.strip() == (constraint or "")
    assert (done.returncode == 0) is (constraint is not None)
    assert constraint is not None or "names no lowest version" in done.stderr
