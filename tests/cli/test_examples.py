"""The examples run as they are printed."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.long
def test_the_library_example_runs_and_its_hand_check_agrees() -> None:
    """The example from Python ends well, and its alkali by hand is the program's to the hundredth of a gram shown."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "examples" / "library.py")], capture_output=True, text=True, check=True, cwd=ROOT
    )
    ours, by_hand = re.findall(r"(\d+\.\d\d) g", done.stdout)
    assert abs(float(ours) - float(by_hand)) <= 0.011
    assert "no blend" in done.stdout
    assert "safety data sheet" in done.stdout


def test_the_walk_through_names_files_and_commands_that_exist() -> None:
    """Every goal file that the walk-through names is there, and every command is one of ours."""
    from optimiser.cli.main import build_parser

    text = (ROOT / "examples" / "walk-through.md").read_text(encoding="utf-8")
    commands = [line.split()[1:] for line in text.splitlines() if line.startswith("barwright ")]
    assert len(commands) >= 7
    parser = build_parser()
    for words in commands:
        asked = parser.parse_args(words)
        goals = getattr(asked, "goals", None)
        assert goals is None or (ROOT / goals).exists(), words
