"""Parts done by a Dask cluster: the same parts as on this machine, sent to whichever workers a scheduler has.

What parts share goes to the scheduler once, and from worker to worker as it is needed. Dask does the parts of a worker that was lost again elsewhere; no part changes
anything, so it does not matter how often it was done.
"""

from __future__ import annotations

import logging
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import CancelledError
from typing import TYPE_CHECKING, Any

from optimiser.engines.work import EngineFault, NoCluster, Part, call

if TYPE_CHECKING:
    from distributed import Client

AT_ONCE = 4  # parts handed over for each thread of the cluster: enough to keep it busy, and no more in its memory
PATIENCE = 10.0  # seconds for a scheduler to answer
RETRIES = 3


class Cluster:
    """A Dask cluster at an address such as localhost:8786, for which Dask takes TCP."""

    def __init__(self, address: str, version: str) -> None:
        """Find the cluster and its workers.

        Args:
            address: of the scheduler.
            version: of this program; the workers must have the same.

        Raises:
            NoCluster: Dask is not installed, there is no scheduler, or its workers are of another version.
        """
        try:
            from distributed import Client
        except ImportError:
            raise NoCluster("a cluster needs Dask: pip install 'barwright[cluster]'") from None
        logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what matters is told in our own words
        try:
            self._client: Client = Client(address, timeout=PATIENCE, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            raise NoCluster(f"no Dask scheduler answers at {address} ({type(error).__name__})") from None
        self._check(version)

    def run(self, shared: Sequence[bytes], parts: Sequence[Part]) -> Iterator[tuple[int, Any]]:
        """The number and the result of each part, as they are done.

        Raises:
            EngineFault: a part fails.
        """
        from distributed import as_completed

        client = self._client
        threads = max(1, sum(client.nthreads().values()))
        sent: dict[int, Any] = {}
        numbers: dict[str, int] = {}
        lost: dict[int, int] = {}
        waiting = deque(range(len(parts)))
        running = as_completed(loop=client.loop, with_results=False)

        def hand_over() -> None:
            if not waiting:
                return
            part = parts[waiting[0]]
            if part.shared not in sent:
                sent[part.shared] = client.submit(same, shared[part.shared], pure=False, retries=RETRIES)
            future = client.submit(call, part.function, sent[part.shared], part.own, pure=False, retries=RETRIES)
            numbers[future.key] = waiting.popleft()
            running.add(future)

        for _ in range(min(len(parts), AT_ONCE * threads)):
            hand_over()
        for future in running:
            number = numbers.pop(future.key)
            try:
                result = future.result()
            except CancelledError as fault:  # what it shared was lost with the workers that had it
                lost[number] = lost.get(number, 0) + 1
                if lost[number] > RETRIES or client.status != "running":
                    raise EngineFault(f"the cluster was lost ({type(fault).__name__})") from fault
                sent.pop(parts[number].shared, None)
                waiting.appendleft(number)
                hand_over()
                continue
            except Exception as fault:
                raise EngineFault(f"the cluster failed: {type(fault).__name__}: {fault}") from fault
            future.release()
            hand_over()
            yield number, result

    def close(self) -> None:
        """Let go of the cluster; what it was still at is dropped."""
        self._client.close()

    def _check(self, version: str) -> None:
        found: dict[str, str] = self._client.run(version_here)
        if not found:
            self.close()
            raise NoCluster("the scheduler has no workers: start some with 'dask worker'")
        others = sorted({one for one in found.values() if one != version})
        if others:
            self.close()
            raise NoCluster(f"the workers have barwright {', '.join(others)}, and this is {version}")


def same(shared: bytes) -> bytes:
    """What parts share, as a task of its own: the scheduler can have it made again where a worker that had it is lost."""
    return shared


def version_here() -> str:
    """The version of this program where this is asked."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("barwright")
    except PackageNotFoundError:
        return "not installed"
