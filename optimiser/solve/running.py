"""How a long run of the solver is held: nothing of its own on descriptor 1, and an interrupt is answered at once."""

from __future__ import annotations

import ctypes
import math
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from optimiser.solve.progress import tell

LOOK = 0.05  # seconds between two looks at whether it is done; nothing that is told depends on it


@contextmanager
def parked() -> Iterator[None]:
    """While this lasts, what is printed on file descriptor 1 below Python goes nowhere.

    HiGHS prints a banner when the first is built, and on some integer paths a line, whatever its options. A descriptor
    that is closed is left so: then nothing can be printed.
    """
    try:
        keep = os.dup(1)
    except OSError:
        yield
        return
    null = os.open(os.devnull, os.O_WRONLY)
    try:
        flush_below()
        os.dup2(null, 1)
        yield
    finally:
        flush_below()
        os.dup2(keep, 1)
        os.close(keep)
        os.close(null)


def flush_below() -> None:
    """Let go of what the C library holds back, so that it goes where it was meant to when it was printed."""
    try:
        ctypes.CDLL(None).fflush(None)
    except (OSError, TypeError):  # no C library by that way: it is flushed in its own time
        return


def run_apart(run: Callable[[], Any], stop: Callable[[], None], watch: Callable[[], None]) -> None:
    """Run something long that holds no Python lock in a thread of its own, and wait so that a signal is heard.

    Args:
        run: does the work.
        stop: asks the work to end soon; called where the wait is interrupted.
        watch: called now and then while waiting.

    Raises:
        Exception: whatever `run` raised.
    """
    done = threading.Event()
    faults: list[Exception] = []

    def work() -> None:
        try:
            run()
        except Exception as fault:  # noqa: BLE001  # raised again where it is waited for
            faults.append(fault)
        finally:
            done.set()

    threading.Thread(target=work, daemon=True).start()
    try:
        while not done.wait(LOOK):
            watch()
    except BaseException:
        stop()
        raise
    if faults:
        raise faults[0]


def run_watched(model: Any, words: Callable[[float], str]) -> None:
    """Run a HiGHS model with whole columns so that it can be interrupted and prints nothing, and tell how far it is.

    Args:
        model: loaded.
        words: what to tell, given the bound so far.
    """
    stopped: list[bool] = []
    bound = [-math.inf]

    def look(event: Any) -> None:
        bound[0] = event.data_out.mip_dual_bound
        if stopped:
            event.interrupt()

    model.cbMipInterrupt.subscribe(look)
    with parked():
        run_apart(model.run, lambda: stopped.append(True), lambda: tell(lambda: words(bound[0])))
