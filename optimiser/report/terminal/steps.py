"""How long a batch is likely to take, and its making steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.recipe.times import SOONER
from optimiser.report import words
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal.page import Gap, Heading, Line, Part

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.recipe.times import BatchTimes, ExpectedTime


def expected(times: BatchTimes) -> Iterator[Part]:
    """The times of a batch in a sentence, with what they rest on."""
    told = [f"{brief(item)} {item.said()}{whose(item)}" for item in times.told()]
    if told:
        thumb = next((item.basis for item in times.told() if item.status == "prior" and item.time != "cure"), "")
        yield Line(words.sentence(f"{'; '.join(told)}{f' ({thumb})' if thumb else ''}"), hang=2)
    asides = (*filter(None, (times.at_once,)), *times.aside)
    for aside in asides:
        yield Line(words.sentence(aside), hang=2)
    if told or asides:
        yield Gap()


def whose(item: ExpectedTime) -> str:
    """Where a time comes from that is no rule of thumb: the maker's trials, or what the maker asks."""
    if item.own:
        return " (by your trials)"
    if item.basis.endswith(SOONER):
        return f" ({item.basis})"
    return f" ({item.basis})" if item.status == "asked" else ""


def brief(item: ExpectedTime) -> str:
    """What a time is of, in a word or two."""
    if item.time == "blend":
        return "time to trace" if item.own else f"stick blender to a {item.trace} trace (by hand alone far longer)"
    return {"workable": "then workable", "unmould": "unmould after"}.get(item.time, item.time)


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
