"""`barwright sweep`: read, hire whoever works, answer, write, show."""

from __future__ import annotations

import argparse
import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from optimiser.cli.exits import BAD, FAULT, FOUND, INTERRUPTED
from optimiser.cli.showing import remark, told, warn
from optimiser.cli.streams import Unwritten, finish, say, tell
from optimiser.cli.sweep_options import refused
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from optimiser.answers.sweep_results import Sweep
    from optimiser.engines.work import Engine

TOLD = 120.0  # seconds of work from which on it is said how long it may take
LONG = 4.0  # seconds of work from which on processes of their own are worth starting


def run(asked: argparse.Namespace) -> int:
    """Goal files over price scenarios; nothing is written before the answer stands, but for parts in --keep.

    Raises:
        BadInput: with every fault of the files, or of what was typed.
    """
    from optimiser.answers.sweep import Kept, sweep
    from optimiser.cli import sweep_progress
    from optimiser.engines.cluster import version_here
    from optimiser.engines.work import EngineFault, NoCluster
    from optimiser.files.price_file import Typed

    if odd := refused(asked):
        raise BadInput([Diagnostic(Code.USAGE, odd)])
    targets(asked)
    hired = Hired(asked.workers, asked.on)
    kept = None if asked.keep is None else Kept(asked.keep, asked.resume, version_here())
    try:
        with interruptible(), sweep_progress.shown(wanted=not asked.json) as watch:
            found = sweep(
                asked.goals,
                asked.prices,
                asked.shelf,
                Typed(asked.others, asked.today, asked.scenarios, asked.seed),
                hire=hired.hire,
                kept=kept,
                watch=watch,
            )
    except NoCluster as fault:
        raise BadInput([Diagnostic(Code.NO_CLUSTER, str(fault), "the README says how a cluster is started")]) from None
    except EngineFault as fault:
        tell("barwright: {fault}.", fault=fault)
        return FAULT
    except KeyboardInterrupt:
        left(asked)
        return INTERRUPTED
    finally:
        hired.close()
    return shown(asked, found)


def shown(asked: argparse.Namespace, found: Sweep) -> int:
    """The answer first, then the files, so that neither is lost where the other cannot be written."""
    lost: OSError | Unwritten | None = None
    try:
        say(told(asked, "swept", found))
        finish()
    except (BrokenPipeError, Unwritten) as error:
        lost = error
    code = FOUND
    try:
        for path in written(asked, found):
            tell("Written: {path}", path=path)
    except BadInput as bad:  # the document is on stdout already: no second one after it
        warn(bad.diagnostics)
        code = BAD
    if lost is not None:
        raise lost
    remark(found)
    return code


class Hired:
    """Whoever works: hired once it is known how much there is to do, and let go at the end."""

    def __init__(self, workers: int | None, address: str | None) -> None:
        self._workers, self._address = workers, address
        self._engine: Engine | None = None

    def hire(self, seconds: float) -> Engine:
        """Workers for about so many seconds of work.

        Raises:
            NoCluster: the cluster is not there.
        """
        from optimiser.engines.work import Here

        if seconds >= TOLD:
            tell(f"About {max(2.0, seconds / 60.0):.0f} minutes of one core's work.")
        count = self._workers or (cores() if seconds > LONG else 1)
        if self._address is not None:
            from optimiser.engines.cluster import Cluster, version_here

            self._engine = Cluster(self._address, version_here())
        elif count > 1:
            from optimiser.engines.processes import Processes

            self._engine = Processes(count)
        else:
            self._engine = Here()
        return self._engine

    def close(self) -> None:
        """Let them go."""
        if self._engine is not None:
            self._engine.close()


def cores() -> int:
    """How many cores this program may use."""
    asking: Any = getattr(os, "sched_getaffinity", None)
    return len(asking(0)) if asking is not None else os.cpu_count() or 1


@contextmanager
def interruptible() -> Iterator[None]:
    """While this lasts an interrupt is an exception, so that workers are let go and it can be said what is left."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def left(asked: argparse.Namespace) -> None:
    """Say what an interrupted sweep leaves."""
    if asked.keep is None:
        tell("Stopped. Nothing of it was kept: with --keep FOLDER a sweep can be gone on with.")
    else:
        tell("Stopped. What was done is in {folder}: the same command with --resume goes on.", folder=asked.keep)


def targets(asked: argparse.Namespace) -> None:
    """Refuse places that must not be written to, before any work is done.

    Raises:
        BadInput: one of them is in the way, or of a kind that is not written.
    """
    from optimiser.files import writing
    from optimiser.report import sweep_table

    if asked.svg is not None and asked.svg.suffix.casefold() != ".svg":
        raise BadInput([Diagnostic(Code.WRONG_SUFFIX, f"{asked.svg} is no name of a chart", "name a .svg after --svg")])
    keep = read_from(asked)
    for path in (asked.svg, asked.table):
        if path is not None:
            writing.refuse(path, force=asked.force, keep=keep)
    if asked.table is not None and (odd := sweep_table.refused(asked.table)):
        raise BadInput([Diagnostic(Code.WRONG_SUFFIX, odd, "name a .csv, or a .parquet with pyarrow installed")])


def read_from(asked: argparse.Namespace) -> list[Path]:
    """Every file that the answer is worked out from: goal files with their shelves, scales and designs, and the prices."""
    from optimiser.files.in_use import files_in_use

    every = set[Path]().union(*(files_in_use(path, asked.shelf) for path in asked.goals))
    return [asked.prices, *sorted(every)]


def written(asked: argparse.Namespace, found: Sweep) -> Iterator[Path]:
    """The files that were asked for, each told once it is written.

    Raises:
        BadInput: one of them cannot be written.
    """
    from optimiser.files import writing

    keep = read_from(asked)
    if asked.svg is not None:
        from optimiser.report.svg.sweep import sweep_svg

        writing.write(asked.svg, sweep_svg(found), force=asked.force, keep=keep)
        yield asked.svg
    if asked.table is not None:
        from optimiser.report.sweep_table import table

        writing.write_pieces(asked.table, table(found, asked.table), force=asked.force, keep=keep)
        yield asked.table
