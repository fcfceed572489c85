"""How long a batch is likely to take, and its making steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import words
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal.page import Gap, Heading, Line, Part

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.recipe.times import ExpectedTime


def expected(times: Sequence[ExpectedTime]) -> Iterator[Part]:
    """Both times in a sentence each, with what they rest on."""
    if not times:
        return
    told = "; ".join(f"{item.words} {item.said()}{' by your own trials' if item.own else ''}" for item in times)
    basis = "" if all(item.own for item in times) else f" ({next(item.basis for item in times if not item.own)})"
    yield Line(words.sentence(f"{told}{basis}"), hang=2)
    yield Gap()


def numbered(steps: Sequence[str], standing: Sequence[str] = ()) -> Iterator[Part]:
    """What the alkalis call for in full, first aid with it, and the making steps."""
    if standing:
        yield from text_lye.in_full(standing)
        yield Gap()
    if not steps:
        return
    yield Heading("Making it, step by step")
    width = len(str(len(steps)))
    for place, step in enumerate(steps, start=1):
        yield Line(f"{place:>{width}}. {step}".replace(" ", words.GLUE, width - len(str(place))), hang=width + 2)
    yield Gap()
