"""Long runs of the solver: nothing of theirs on descriptor 1, and an interrupt that is answered at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from optimiser.solve.running import run_apart

ROOT = Path(__file__).parents[2]
NOISE = """
import ctypes, os
from optimiser.solve.running import parked, run_watched
class Noisy:
    class cbMipInterrupt:
        subscribe = staticmethod(lambda look: None)
    @staticmethod
    def run():
        os.write(1, b"a line of the solver's own\\n")
        ctypes.CDLL(None).puts(b"and one held back by the C library")
"""


def out_of(code: str, *, closed: bool = False) -> subprocess.CompletedProcess[str]:
    """What a program prints; with its descriptor 1 closed from the start if asked."""
    command = [sys.executable, "-c", code]
    if closed:
        command = ["sh", "-c", 'exec "$@" >&-', "sh", *command]
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=ROOT)


@pytest.mark.parametrize(
    "quiet", ["run_watched(Noisy, lambda bound: '')", "with parked(): Noisy.run()"], ids=["search", "parked"]
)
def test_nothing_is_printed_below_python(quiet: str) -> None:
    """What the solver writes on descriptor 1 goes nowhere, also what the C library holds back; what we write arrives."""
    done = out_of(f"{NOISE}\nprint('before', flush=True)\n{quiet}\nprint('after')")
    assert done.stdout == "before\nafter\n"
    assert done.returncode == 0


def test_the_noise_is_heard_where_nothing_is_parked() -> None:
    """The two lines above would be printed: the test before this one can fail."""
    assert "solver's own" in out_of(f"{NOISE}\nNoisy.run()").stdout


def test_a_closed_descriptor_stays_closed() -> None:
    """Without a standard output there is nothing to park, and nothing goes wrong."""
    done = out_of(f"{NOISE}\nwith parked(): pass\nimport sys; sys.exit(7)", closed=True)
    assert done.returncode == 7, done.stderr


def test_a_whole_answer_with_stdout_closed_does_not_end_in_the_solver() -> None:
    """With no standard output the solver still runs: what then goes wrong, if anything, is not its descriptor."""
    code = "from pathlib import Path; import optimiser, sys; optimiser.blend(Path('goals/everyday.yaml')); sys.exit(7)"
    done = out_of(code, closed=True)
    assert done.returncode == 7, done.stderr


def test_what_goes_wrong_apart_is_raised_where_it_is_waited_for() -> None:
    """A fault in the thread is not lost."""

    def wrong() -> None:
        raise ValueError("lost its way")

    with pytest.raises(ValueError, match="lost its way"):
        run_apart(wrong, lambda: None, lambda: None)


def test_an_interrupt_while_waiting_stops_the_work() -> None:
    """Interrupted in its wait, it asks the work to stop and lets the interrupt through."""
    import threading

    stopped = threading.Event()

    def interrupted() -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_apart(lambda: stopped.wait(60.0), stopped.set, interrupted)
    assert stopped.is_set()
