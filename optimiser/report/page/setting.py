"""Words as a page is set in them: signs that act are spelt out, figures keep to their units, degrees have their sign."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from optimiser.report import words
from optimiser.report.terminal.page import Line, Paper

if TYPE_CHECKING:
    from collections.abc import Iterable

    from optimiser.report.terminal.page import Part

HELD = "\u00a0"  # keeps a figure and its unit on one line


class Setting(NamedTuple):
    """How words are set: `fahrenheit` for both degrees."""

    fahrenheit: bool = False

    def own(self, text: str) -> str:
        """Words of our own, in which degrees have their sign."""
        return self._held(Paper(fahrenheit=self.fahrenheit).typeset(words.glued(text)))

    def name(self, text: str) -> str:
        """What others named, letter by letter as far as it may be shown."""
        return self._held(Paper().say(text))

    def lines(self, parts: Iterable[Part]) -> tuple[str, ...]:
        """The paragraphs among parts of an answer; what parts them and tables are left out."""
        return tuple(
            self.name(part.text) if part.quoted or part.whole else self.own(part.text)
            for part in parts
            if isinstance(part, Line)
        )

    @staticmethod
    def _held(text: str) -> str:
        return text.replace(words.GLUE, HELD)
