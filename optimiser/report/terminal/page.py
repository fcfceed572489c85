"""What text is set on: a width, with or without colour, with or without letters beyond ASCII.

A renderer hands over parts; each becomes runs of text in one style. Plain text is the runs one after another; where
colour is wanted rich paints them, and only then is it loaded.
"""

from __future__ import annotations

import io
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from optimiser.report.degrees import in_both_degrees
from optimiser.report.terminal.gauges import BOX, PLAIN, Marks
from optimiser.report.words import GLUE, glued
from optimiser.text.signs import PICTURE, visible
from optimiser.text.signs import columns as columns_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

NARROWEST = (
    40  # below this a figure and its unit would not fit beside an indent: a long line is better than a wrong weight
)
INDENT = 2
BETWEEN_COLUMNS = 2
LEAST_RULE = 3
LONG_WORD = 20  # columns beyond which a word may be parted after a hyphen
SHORT_WORD = 12  # columns that a cell which wraps is left before its table is told row by row instead
STANDS_FOR = {
    "\u2018": "'",
    "\u2019": "'",
    "\u201c": '"',
    "\u201d": '"',
    "\u2013": "-",
    "\u2014": "-",
    "\u00b1": "+/-",
    "\u00b0": " deg ",
    "\u00b7": "-",
    "\u2026": "...",
    "\u2192": "->",
    "\u00d7": "x",
    "\u2264": "<=",
    "\u2265": ">=",
    "\u00df": "ss",
    "\u00e6": "ae",
    "\u0153": "oe",
    "\u00f8": "o",
}


class Paper(NamedTuple):
    """How an answer is set. `width` in columns; `ascii` for a pipe or terminal that has no UTF-8."""

    width: int = 80
    colour: bool = False
    ascii: bool = False
    fahrenheit: bool = False  # temperatures in both degrees
    typed: str = ""  # options that a command to be copied repeats, each after a blank

    @property
    def columns(self) -> int:
        """The width in use."""
        return max(self.width, NARROWEST)

    @property
    def marks(self) -> Marks:
        """What gauges are drawn with."""
        return PLAIN if self.ascii else BOX

    @property
    def is_wide(self) -> bool:
        """Whether there is room for a second thought beside the first."""
        return self.columns >= 110

    def typeset(self, text: str) -> str:
        """The same of words of our own, in which degrees have their sign where this paper can carry it.

        What is quoted from a file or is to be copied goes by `say`: there the letters stand as they are written.
        """
        said = self.say(in_both_degrees(text) if self.fahrenheit else text)
        return said if self.ascii else said.replace("degC", "\u00b0C").replace("degF", "\u00b0F")

    def say(self, text: str) -> str:
        """Text as this paper can carry it: nothing passes that acts on a terminal or hides; glue stays until printed."""
        clean = GLUE.join(map(visible, text.split(GLUE)))
        return to_ascii(clean) if self.ascii else clean


def to_ascii(text: str) -> str:
    """The nearest ASCII: signs spelt out, accents dropped, a question mark for the rest; glue stays until printed."""
    if text.isascii():
        return text
    return GLUE.join(_to_ascii(part) for part in text.split(GLUE))


def _to_ascii(text: str) -> str:
    spelt = "".join(STANDS_FOR.get(letter, letter) for letter in text)
    apart = unicodedata.normalize("NFKD", spelt)
    kept = "".join(letter for letter in apart if not unicodedata.combining(letter))
    return kept.encode("ascii", "replace").decode("ascii")


class Column(NamedTuple):
    """One column of a table: its head, perhaps of several lines, which side it keeps to, whether it may break, its least width."""

    head: str = ""
    justify: Literal["left", "right"] = "left"
    wraps: bool = False
    least: int = 0


class Heading(NamedTuple):
    """A line that parts the answer: a title, a rule, and perhaps a remark at its right end."""

    title: str
    remark: str = ""


class Line(NamedTuple):
    """A paragraph, wrapped; following lines hang under the first by `hang` more columns.

    `whole` is for what is copied, such as a command: it is never broken, even if it runs over the page. `quoted` is for
    what stands so in a file: it keeps its letters.
    """

    text: str
    style: str = ""
    indent: int = INDENT
    hang: int = 0
    whole: bool = False
    quoted: bool = False


class Table(NamedTuple):
    """Rows of cells under `columns`; a mark such as "binds" takes its style from `STYLES`."""

    columns: tuple[Column, ...]
    rows: Sequence[tuple[str, ...]]
    last_is_total: bool = False
    indent: int = INDENT


@dataclass(frozen=True, slots=True)
class Gap:
    """An empty line."""


Part = Heading | Line | Table | Gap
Run = tuple[str, str]
"""A stretch of text and its style, which is empty for plain."""
END: Run = ("\n", "")
STYLES = {"binds": "bold yellow", "short": "bold yellow", "missed": "bold red", "broken": "bold red"}


def printed(paper: Paper, parts: Iterable[Part]) -> str:
    """The parts as text that ends with a line break; no line ends in blanks."""
    runs = [run for part in parts for run in _runs(paper, part)]
    told = _painted(runs, paper.columns) if paper.colour else "".join(text for text, _ in runs)
    lines = (line.rstrip() for line in told.replace(GLUE, " ").split("\n"))
    return "\n".join(lines).strip("\n") + "\n"


def _painted(runs: Sequence[Run], width: int) -> str:
    """The runs with the codes that colour them on a terminal."""
    from rich.console import Console
    from rich.text import Text

    out = io.StringIO()
    console = Console(
        file=out,
        width=width,
        force_terminal=True,
        color_system="standard",
        legacy_windows=False,
        highlight=False,
        markup=False,
        emoji=False,
        _environ={},  # the same story gives the same bytes in every shell
    )
    console.print(Text.assemble(*runs), end="", soft_wrap=True)
    return out.getvalue()


def _runs(paper: Paper, part: Part) -> list[Run]:
    if isinstance(part, Heading):
        return [*_heading(paper, part), END]
    if isinstance(part, Line):
        return [_line(paper, part), END]
    return _table(paper, part) if isinstance(part, Table) else [END]


def _heading(paper: Paper, part: Heading) -> list[Run]:
    title, remark = paper.say(part.title), paper.typeset(part.remark)
    tail = f" {remark}" if remark else ""
    rule = paper.columns - width_of(title) - 1 - width_of(tail)
    if rule >= LEAST_RULE:
        return [(title, "bold"), (" ", ""), (paper.marks.line * rule, "dim"), (tail, "dim")]
    *above, last = wrapped(title, paper.columns - LEAST_RULE - 1)
    heads = "".join(f"{line}\n" for line in above) + last
    below = "".join(f"\n{' ' * INDENT}{line}" for line in wrapped(remark, paper.columns - INDENT)) if remark else ""
    line = paper.marks.line * (paper.columns - width_of(last) - 1)
    return [(heads, "bold"), (" ", ""), (line, "dim"), (below, "dim")]


def _line(paper: Paper, part: Line) -> Run:
    said = paper.say(part.text) if part.whole or part.quoted else paper.typeset(part.text)
    lines = [said] if part.whole else wrapped(glued(said), paper.columns - part.indent, part.hang)
    return "\n".join(" " * part.indent + line for line in lines), part.style


def width_of(text: str) -> int:
    """How many columns a text takes once it is printed, glue as the blank that it becomes."""
    return columns_of(text.replace(GLUE, " "))


def wrapped(text: str, width: int, hang: int = 0) -> list[str]:
    """The text in lines of at most `width` columns, all but the first set in by `hang`; a word too long is cut."""
    lines = [""]
    for word in text.split(" "):
        room = width - (hang if len(lines) > 1 else 0)
        if lines[-1] and width_of(lines[-1]) + 1 + width_of(word) <= room:
            lines[-1] += f" {word}"
            continue
        pieces = _pieces(word, width - hang)
        lines[-1:] = [lines[-1], pieces[0]] if lines[-1] else [pieces[0]]
        lines += pieces[1:]
    return [line if place == 0 else " " * hang + line for place, line in enumerate(lines)]


def _pieces(word: str, width: int) -> list[str]:
    """A word in pieces of at most `width` columns, parted after a hyphen where there is one far enough in."""
    pieces, start, place, used, hyphen = [], 0, 0, 0, 0
    while place < len(word):
        size = 1 if word[place] == PICTURE else width_of(word[place])
        if used + size > width and place > start:
            start, cut = hyphen if hyphen - start > (place - start) // 2 else place, start
            pieces.append(word[cut:start])
            place, used, hyphen = start, 0, 0
            continue
        used, place = used + size, place + 1
        hyphen = place if word[place - 1] == "-" else hyphen
    return [*pieces, word[start:]]


def _table(paper: Paper, part: Table) -> list[Run]:
    """A table set by ourselves: every sign's width is counted in one way, and no library decides what is cut."""
    heads = _stacked([column.head.split("\n") for column in part.columns], paper)
    rows = [[glued(paper.typeset(cell)) for cell in row] for row in part.rows]
    widths = _widths(part.columns, [*heads, *rows], paper, part.indent)
    if widths is None:
        return _row_by_row(paper, part, rows)
    out: list[Run] = []
    last = len(rows) - 1 if part.last_is_total else None
    for place, row in enumerate([*heads, *rows], start=-len(heads)):
        style = "dim" if place < 0 else "bold" if place == last else ""
        for line in _set_row(row, part.columns, widths):
            out.append((" " * part.indent, ""))
            out += [(said, style or STYLES.get(cell, "")) for cell, said in zip(row, line, strict=True)]
            out.append(END)
    return out


def _stacked(heads: Sequence[Sequence[str]], paper: Paper) -> list[list[str]]:
    """The lines of the heads of a table, short ones at the foot; none where no column has a head."""
    deep = max(map(len, heads))
    lines = [
        [paper.typeset(head[place - deep]) if deep - place <= len(head) else "" for head in heads]
        for place in range(deep)
    ]
    return lines if any(map(any, lines)) else []


def _set_row(row: Sequence[str], columns: Sequence[Column], widths: Sequence[int]) -> Iterator[list[str]]:
    """The lines that a row takes: each cell's part of each, padded to its side, with the blanks between columns."""
    cells = [
        wrapped(cell, width) if one.wraps else [cell] for cell, one, width in zip(row, columns, widths, strict=True)
    ]
    for place in range(max(map(len, cells))):
        out = []
        for lines, one, width in zip(cells, columns, widths, strict=True):
            said = lines[place] if place < len(lines) else ""
            pad = " " * (width - width_of(said))
            out.append((pad + said if one.justify == "right" else said + pad) + " " * BETWEEN_COLUMNS)
        out[-1] = out[-1].rstrip(" ")
        yield out


def _widths(columns: Sequence[Column], rows: Sequence[Sequence[str]], paper: Paper, indent: int) -> list[int] | None:
    """The width of each column; None where they do not fit the page.

    Those that may wrap give way, the widest first: down to their longest word or least width, and only if that is not
    enough to less, where words must break.
    """
    cells = list(zip(*rows, strict=True))
    widths = [max(map(width_of, column)) for column in cells]
    words = [max(_least_room(word) for cell in column for word in cell.split(" ")) for column in cells]
    room = paper.columns - indent - BETWEEN_COLUMNS * (len(columns) - 1)
    if sum(widths) <= room:
        return widths
    least = [
        min(word, SHORT_WORD) if one.wraps else width for one, word, width in zip(columns, words, widths, strict=True)
    ]
    if sum(least) > room:
        return None
    roomy = [max(column.least, word) for column, word in zip(columns, words, strict=True)]
    for floors in (roomy, words, [1] * len(columns)):
        giving = [place for place, column in enumerate(columns) if column.wraps]
        while sum(widths) > room and (giving := [place for place in giving if widths[place] > floors[place]]):
            widths[max(giving, key=widths.__getitem__)] -= 1
    return widths


def _row_by_row(paper: Paper, part: Table, rows: Sequence[Sequence[str]]) -> list[Run]:
    """A table that is wider than the page: what a row is about, and below it every other cell with its head."""
    about = next((place for place, column in enumerate(part.columns) if column.wraps), 0)
    out: list[Run] = []
    for number, row in enumerate(rows):
        told = [
            f"{paper.typeset(' '.join(column.head.splitlines()))}{GLUE}{cell}".strip(GLUE)
            for place, (column, cell) in enumerate(zip(part.columns, row, strict=True))
            if cell.strip() and place != about
        ]
        style = "bold" if part.last_is_total and number == len(rows) - 1 else ""
        for text, indent in ((row[about], part.indent), (", ".join(told), part.indent + INDENT)):
            lines = wrapped(text.replace("\n", " "), paper.columns - indent, INDENT)
            out.append(("".join(f"{' ' * indent}{line}\n" for line in lines if line.strip()), style))
    return out


def _least_room(word: str) -> int:
    """The columns that a word asks for; a long one may be parted after its hyphens."""
    parts = word.split("-") if width_of(word) > LONG_WORD else [word]
    return max(width_of(part) + (len(parts) > 1) for part in parts)
