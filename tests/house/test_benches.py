"""Benchmarks are run by hand; that they still start is seen here."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPTS = (
    *("run.py", "clashes.py", "counted.py", "choices.py", "in_hand.py", "curves.py", "near.py", "recalls.py"),
    "sheets.py",
)


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_benchmark_starts(name: str) -> None:
    """What it imports is there, and it says how it is used."""
    command = [sys.executable, str(ROOT / "tests" / "bench" / name), "--help"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "usage:" in done.stdout


def test_the_bars_of_the_benchmark_can_be_built() -> None:
    """The shelf and goals that are timed give a programme with a blend."""
    code = (
        f"import sys; sys.path[:0] = [{str(ROOT / 'tests' / 'bench')!r}, {str(ROOT / 'tests')!r}]\n"
        "from instances import whole_bar\nfrom optimiser.model.programme import build\nfrom optimiser.solve.optimum import solve\n"
        "print(solve(build(*whole_bar(30)))[1] is not None)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "True\n"
