"""Parts done by processes of this machine: as many as there are cores, started afresh (spawn), with one thread each.

Workers are no more than hands. One that dies (killed, or out of memory) is replaced, and its part is done again; only a part
that has cost three of them ends the work. A worker that has lost us ends by itself.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from typing import Any

from optimiser.engines.work import EngineFault, Part, call

THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
MOST_DEATHS = 3  # of workers over one part
PATIENCE = 2.0  # seconds that a worker has to end by itself


class _Worker:
    """One process, what was sent to it, and the part that it is at."""

    def __init__(self, process: SpawnProcess, pipe: Connection) -> None:
        self.process = process
        self.pipe = pipe
        self.has: set[int] = set()
        self.part: int | None = None


class Processes:
    """Processes of this machine, started when they are first needed."""

    def __init__(self, count: int) -> None:
        self.count = count
        self._workers: list[_Worker] = []
        self._context = multiprocessing.get_context("spawn")

    @property
    def pids(self) -> list[int]:
        """The numbers of the processes that are there just now."""
        return [worker.process.pid for worker in self._workers if worker.process.pid is not None]

    def run(self, shared: Sequence[bytes], parts: Sequence[Part]) -> Iterator[tuple[int, Any]]:
        """The number and the result of each part, as they are done.

        Raises:
            EngineFault: a part fails, or has cost three workers.
        """
        for worker in self._workers:
            worker.has.clear()
        waiting = deque(range(len(parts)))
        deaths: dict[int, int] = {}
        left = len(parts)
        while left:
            self._start(min(self.count, left))
            for worker in list(self._workers):
                if worker.part is None and waiting:
                    if self._send(worker, waiting[0], shared, parts):
                        waiting.popleft()
                    else:
                        _count(deaths, waiting[0])
            busy = [worker for worker in self._workers if worker.part is not None]
            told: set[Any] = set(wait([one for worker in busy for one in (worker.pipe, worker.process.sentinel)]))
            for worker in busy:
                if not told & {worker.pipe, worker.process.sentinel}:
                    continue
                number = worker.part
                assert number is not None
                answer = self._heard(worker)
                if answer is None:
                    self._bury(worker)
                    _count(deaths, number)
                    waiting.appendleft(number)
                    continue
                worker.part = None
                done, result = answer
                if not done:
                    raise EngineFault(f"a worker failed: {result}")
                left -= 1
                yield number, result

    def close(self) -> None:
        """End all workers: those that wait by themselves, those that work at once."""
        workers, self._workers = self._workers, []
        for worker in workers:
            with suppress(OSError):
                worker.pipe.close()
            if worker.part is not None:
                worker.process.terminate()
        for worker in workers:
            worker.process.join(PATIENCE)
            if worker.process.is_alive():
                worker.process.kill()
                worker.process.join(PATIENCE)

    def _start(self, wanted: int) -> None:
        """As many workers as are wanted."""
        while len(self._workers) < wanted:
            ours, theirs = self._context.Pipe()
            process = self._context.Process(target=serve, args=(theirs,), daemon=True)
            with _one_thread_each():
                process.start()
            theirs.close()
            self._workers.append(_Worker(process, ours))

    def _send(self, worker: _Worker, number: int, shared: Sequence[bytes], parts: Sequence[Part]) -> bool:
        """Give a worker a part; False where it died while it had none."""
        part = parts[number]
        try:
            if part.shared not in worker.has:
                worker.pipe.send((None, part.shared, shared[part.shared]))
                worker.has.add(part.shared)
            worker.pipe.send((part.function, part.shared, part.own))
        except OSError:
            self._bury(worker)
            return False
        worker.part = number
        return True

    def _heard(self, worker: _Worker) -> tuple[bool, Any] | None:
        """What a worker has answered; None where it died before all of it was said."""
        try:
            answer: tuple[bool, Any] = worker.pipe.recv()
        except (EOFError, OSError):
            return None
        return answer

    def _bury(self, worker: _Worker) -> None:
        self._workers.remove(worker)
        with suppress(OSError):
            worker.pipe.close()
        worker.process.kill()
        worker.process.join(PATIENCE)


def _count(deaths: dict[int, int], number: int) -> None:
    """One death more over a part.

    Raises:
        EngineFault: it is one too many.
    """
    deaths[number] = deaths.get(number, 0) + 1
    if deaths[number] >= MOST_DEATHS:
        raise EngineFault(f"{MOST_DEATHS} workers died over one and the same part of the work")


@contextmanager
def _one_thread_each() -> Iterator[None]:
    """While this lasts, processes that are started use one thread for sums of arrays, and always the same digits."""
    before = {name: os.environ.get(name) for name in THREADS}
    os.environ.update(dict.fromkeys(THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _end_with(parent: int) -> None:
    """Ends this worker, whatever it is at, when whoever asked has died: nobody is left to tell."""
    wait([parent])
    os._exit(1)


def serve(pipe: Connection) -> None:
    """A worker: do what comes through the pipe, until nothing can come any more."""
    with suppress(ValueError):
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # an interrupt is for whoever asked
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()
    shared: dict[int, bytes] = {}
    while True:
        try:
            function, number, own = pipe.recv()
        except (EOFError, OSError):
            return
        if function is None:
            shared[number] = own
            continue
        try:
            answer = (True, call(function, shared[number], own))
        except Exception as fault:  # noqa: BLE001  # told to whoever asked
            answer = (False, f"{type(fault).__name__}: {fault}")
        try:
            pipe.send(answer)
        except OSError:
            return
