"""The lowest versions that pyproject.toml allows, as constraints for pip: "numpy>=2.1" becomes "numpy==2.1".

    python tests/tools/lowest.py > lowest.txt && pip install -c lowest.txt -e '.[test]'

Linters and type stubs are left out: they are no part of what the tests run.
"""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path

PROJECT = Path(__file__).parents[2] / "pyproject.toml"
NO_PART = {"mypy", "ruff", "types-pyyaml"}
REQUIREMENT = re.compile(
    r"(?P<name>[A-Za-z0-9._-]+)\s*>=\s*(?P<least>[0-9][0-9.]*)\s*(?P<rest>,[^;]*)?(?P<marker>;.*)?"
)


def lowest(requirements: list[str]) -> list[str]:
    """One constraint for each requirement, its marker kept.

    Raises:
        ValueError: a requirement has no lowest version, so nothing says from where on the program works.
    """
    out = []
    for requirement in requirements:
        found = REQUIREMENT.fullmatch(requirement)
        if found is None:
            raise ValueError(f"pyproject.toml: {requirement!r} names no lowest version (name>=version)")
        if found["name"].lower() not in NO_PART:
            out.append(f"{found['name']}=={found['least']}{found['marker'] or ''}")
    return out


def main() -> None:
    """Write the constraints of what the program needs and of what its tests need."""
    project = tomllib.loads(PROJECT.read_text(encoding="utf-8"))["project"]
    sys.stdout.write("\n".join(lowest([*project["dependencies"], *project["optional-dependencies"]["test"]])) + "\n")


if __name__ == "__main__":
    main()
