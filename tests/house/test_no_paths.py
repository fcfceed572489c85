"""Nothing of any one machine or registry is in the tree."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[2]
MACHINE = re.compile(r"(?<![\w.])/(?:work|root|home|Users|tmp/w|mnt|private)/[\w.]", re.IGNORECASE)
WINDOWS = re.compile(r"\b[A-Z]:\\(?:Users|work)", re.IGNORECASE)
REGISTRY = re.compile(
    r"(?:files\.pythonhosted\.org|pypi\.(?:org|python\.org)|registry\.npmjs\.org|/simple/|index-url|artifactory|nexus)",
    re.IGNORECASE,
)
BINARY = {".png", ".jpg", ".woff2", ".ico", ".gz"}
SELF = Path(__file__).name


def files() -> list[Path]:
    """The files of the tree: what is tracked or would be, where there is a repository; else all that is not hidden."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
            capture_output=True,
            cwd=ROOT,
            check=True,
        ).stdout
        found = [ROOT / name for name in listed.decode().split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        hidden = re.compile(r"/(\.|__pycache__)")
        found = [path for path in ROOT.rglob("*") if not hidden.search(f"/{path.relative_to(ROOT)}")]
    return [path for path in found if path.is_file() and path.suffix not in BINARY and path.name != SELF]


def hits(pattern: re.Pattern[str]) -> list[str]:
    """Where a pattern stands in the tree."""
    return [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}"
        for path in files()
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1)
        if pattern.search(line)
    ]


def test_the_tree_is_looked_through() -> None:
    """The search sees the sources, so that finding nothing means something."""
    assert {ROOT / "pyproject.toml", ROOT / "optimiser" / "cli" / "main.py"} <= set(files())


def test_no_path_of_a_machine() -> None:
    """No file names a folder of the machine that it was written on."""
    assert hits(MACHINE) == []
    assert hits(WINDOWS) == []


def test_no_registry() -> None:
    """No file names the host or the index of a package registry."""
    assert hits(REGISTRY) == []


def test_the_wheel_has_its_starter() -> None:
    """What the wheel packs as starter files is there to be packed."""
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    packed = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    for source in packed:
        assert any((ROOT / source).iterdir())
