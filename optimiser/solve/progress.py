"""What a long search is doing, for whoever wants to hear it. It only tells: no answer ever depends on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

Words = Callable[[], str]

_listeners: list[Callable[[Words], None]] = []
_topics: list[Words] = []


@contextmanager
def heard_by(listener: Callable[[Words], None]) -> Iterator[None]:
    """While this lasts, a listener hears what is being done; words are put together only if it asks for them."""
    _listeners.append(listener)
    try:
        yield
    finally:
        _listeners.remove(listener)


def tell(words: Words) -> None:
    """What is being done just now, for whoever listens: what it is all about, if that was said, else these words."""
    if _listeners:
        _listeners[-1](_topics[0] if _topics else words)


@contextmanager
def about(words: Words) -> Iterator[None]:
    """While this lasts, what is told is these words: a search serves a purpose, and that is what a maker wants to know."""
    _topics.append(words)
    try:
        tell(words)
        yield
    finally:
        _topics.remove(words)
