"""A making sheet read back: the weights on a page, by what stands beside them, and all of its words."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import NamedTuple

VOID = {"meta", "input", "br"}


class Element(NamedTuple):
    """An element that is open: its name and attributes."""

    name: str
    attributes: dict[str, str | None]


class Page(HTMLParser):
    """The elements and words of a page; every weight with the name beside it."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[Element] = []
        self.elements: list[Element] = []
        self.weights: list[tuple[str, float, str]] = []
        self.words: list[str] = []
        self.name = ""
        self._heard = ""
        self._grams: float | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element begins."""
        element = Element(tag, dict(attrs))
        self.elements.append(element)
        if tag in VOID:
            return
        self.open.append(element)
        if tag in ("bdi", "data"):
            self._heard = ""
        if tag == "data":
            self._grams = float(element.attributes["value"] or "nan")

    def handle_endtag(self, tag: str) -> None:
        """It ends; a page in which elements are not closed in order is none of ours."""
        assert self.open.pop().name == tag
        if tag == "bdi":
            self.name = self._heard
        if tag == "data" and self._grams is not None:
            self.weights.append((self.name, self._grams, self._heard.strip()))
            self._grams = None

    def handle_data(self, data: str) -> None:
        """Words, those of the style aside."""
        if not self.open or self.open[-1].name != "style":
            self.words.append(data)
        self._heard += data

    @property
    def text(self) -> str:
        """All words, each run of blanks as one."""
        return " ".join("".join(self.words).split())


def read(html: str) -> Page:
    """A page read; it must close all that it opens."""
    page = Page()
    page.feed(html)
    page.close()
    assert page.open == []
    return page
