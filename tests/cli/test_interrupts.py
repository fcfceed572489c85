"""Ctrl-C at any moment: exit code 130, at once, nothing half written and no traceback. With real signals."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
EVERYDAY = str(ROOT / "goals" / "everyday.yaml")
PATIENCE = 60.0  # s: for a machine under any load; a search that hears no signal would go on for years

# Market split (Cornuejols & Dawande 1999, doi:10.1007/3-540-69346-7_22): a few rows over some fifty 0/1 columns that no
# branch and bound gets through.
ENDLESS = """
import signal, sys
import numpy as np
sys.path.insert(0, "tests")
from strategies import bare_programme
from optimiser import __main__
from optimiser.solve import running
from optimiser.solve.outcomes import Work
from optimiser.solve.searching import search
said = []
def say(words):
    if not said:
        said.append(print("searching", file=sys.stderr, flush=True))
running.tell = say
rng = np.random.default_rng(7)
table = rng.integers(0, 100, (6, 50)).astype(float)
half = np.floor(table.sum(axis=1) / 2.0)
made = bare_programme(table.tolist(), half.tolist(), half.tolist(), [1.0] * 50, integer=[True] * 50)
"""


def started(*command: str) -> subprocess.Popen[str]:
    """A process of its own, to be interrupted."""
    return subprocess.Popen(
        [sys.executable, *command],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )


def interrupted_at(process: subprocess.Popen[str], mark: str) -> tuple[int, str, str]:
    """Interrupt a process as soon as a line on its stderr holds the mark; its exit code, stdout and stderr from there."""
    assert process.stderr is not None
    for line in process.stderr:
        if mark in line:
            break
    else:
        raise AssertionError(f"{mark} never came")
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=PATIENCE)
    return process.returncode, out, err


@pytest.mark.parametrize("mark", ["optimiser.cli.main", "yaml", "numpy.linalg", "highspy", "optimiser.model.programme"])
def test_while_loading(mark: str) -> None:
    """From the moment that our first module runs until the last is loaded."""
    arguments = ("-X", "importtime", "-m", "optimiser", "blend", EVERYDAY)
    code, out, err = interrupted_at(started(*arguments), mark)
    assert code == 130
    assert out == ""
    assert "Traceback" not in err
    assert "KeyboardInterrupt" not in err


def test_inside_the_solver() -> None:
    """In the midst of a search that would not end in years."""
    code = ENDLESS + (
        "signal.signal(signal.SIGINT, __main__.leave)\n"
        "search(made, None, Work(1e12), lambda bound: '')\nprint('ended by itself')"
    )
    status, out, err = interrupted_at(started("-c", code), "searching")
    assert status == 130
    assert out == ""
    assert "Traceback" not in err


def test_inside_the_solver_of_a_program_that_calls_us() -> None:
    """Called as a library, the search lets the interrupt through at once and leaves the signal to the caller."""
    code = ENDLESS + (
        "import os\n"
        "try: search(made, None, Work(1e12), lambda bound: '')\n"
        "except KeyboardInterrupt:\n    print('heard'); os._exit(5)"
    )
    status, out, _ = interrupted_at(started("-c", code), "searching")
    assert (status, out) == (5, "heard\n")


def test_while_watching() -> None:
    """In the pause between two saves; what was answered before stands."""
    code, out, err = interrupted_at(started("-m", "optimiser", "blend", EVERYDAY, "--watch"), "-- watching")
    assert code == 130
    assert "Everyday hard bar" in out
    assert "Traceback" not in err


def test_an_interrupt_that_is_ignored_stays_ignored() -> None:
    """Started where the signal is ignored (in the background of a script), it is not heard."""
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.SIG_IGN)\n"
        "import sys; sys.argv = ['barwright', '--version']\n"
        "from optimiser.__main__ import run\n"
        "try: run()\nexcept SystemExit: pass\n"
        "print(signal.getsignal(signal.SIGINT) is signal.SIG_IGN)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.stdout.splitlines()[-1] == "True"
