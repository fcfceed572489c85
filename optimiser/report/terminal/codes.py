"""Codes of faults and warnings in words: what each means and what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.text.catalogue import Meaning

FILES = {"goals": "a goal file", "shelf": "a shelf", "recipe": "a recipe", "csv": "a shelf saved from a spreadsheet"}
GRAVE = {"error": "a fault: no answer until it is mended", "warning": "a warning: told beside an answer"}
CODES = (Column(), Column(wraps=True))


def listing(known: Sequence[Meaning]) -> Iterator[Part]:
    """Every code under what it is about, warnings last, and how to ask for one."""
    groups = dict.fromkeys(item.group for item in sorted(known, key=lambda item: item.code.severity))
    for group in groups:
        chosen = [item for item in known if item.group == group]
        yield Heading(group.capitalize(), words.counted(len(chosen), "code"))
        yield Table(CODES, [(item.code, item.meaning) for item in chosen])
        yield Gap()
    yield Line("What to do about one of them: barwright explain CODE", style="bold", indent=0)
    yield Line("Handling alkali, and first aid: barwright explain lye", style="bold", indent=0)


def card(item: Meaning) -> Iterator[Part]:
    """One code with what to do, and an example where there is one."""
    yield Heading(item.code, GRAVE[item.code.severity])
    yield Line(item.meaning)
    yield Line(item.remedy)
    for says, example in ((f"Wrong, in {FILES.get(item.file, '')}:", item.wrong), ("Right:", item.right)):
        if example:
            yield Gap()
            yield Line(says)
            for line in example.split("\n"):
                yield Line(line.replace("\t", "<tab>").replace(" ", words.GLUE), indent=4, whole=True)
