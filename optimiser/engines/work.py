"""Work in parts: what a part is, and who does the parts.

A part is a function, something large that many parts share, and something small of its own. Parts know nothing of each other,
so that they may be done in any order, anywhere, and again; whoever asked puts the results together by their numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple, Protocol


class EngineFault(RuntimeError):
    """The work could not be done: workers that die whatever is done, or a cluster that is not there. No fault of the files."""


class NoCluster(EngineFault):
    """The cluster that was named cannot be used: it is not there, has no workers, or has other software."""


class Part(NamedTuple):
    """`function` is called by its module and name, with what is shared (pickled, by number) and with `own`."""

    function: str
    shared: int
    own: tuple[Any, ...] = ()


class Engine(Protocol):
    """Whoever does parts."""

    def run(self, shared: Sequence[bytes], parts: Sequence[Part]) -> Iterator[tuple[int, Any]]:
        """The number and the result of each part, as they are done.

        Raises:
            EngineFault: the work cannot be done.
        """

    def close(self) -> None:
        """Let go of all workers, at once."""


def call(function: str, shared: bytes, own: tuple[Any, ...]) -> Any:
    """Do one part: `function` is "package.module:name"."""
    from importlib import import_module

    module, _, name = function.partition(":")
    return getattr(import_module(module), name)(shared, *own)


class Here:
    """All parts one after another in this very process."""

    def run(self, shared: Sequence[bytes], parts: Sequence[Part]) -> Iterator[tuple[int, Any]]:
        """The number and the result of each part, in order."""
        for number, part in enumerate(parts):
            yield number, call(part.function, shared[part.shared], part.own)

    def close(self) -> None:
        """There is nobody to let go of."""
