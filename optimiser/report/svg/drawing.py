"""What a chart is put together from: text, lines and shapes as SVG, with nothing in them that acts."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from optimiser.report.words import GLUE
from optimiser.text.signs import visible

if TYPE_CHECKING:
    from collections.abc import Iterable

INK, SOFT, PALE, PAPER = "#1a1a1a", "#555555", "#d0d0d0", "#ffffff"
FONT = "system-ui, 'Segoe UI', 'DejaVu Sans', Verdana, sans-serif"
LETTER = 0.55  # of the size of a letter: about how wide it is
HATCH = (
    '<pattern id="no-blend" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    f'<rect width="6" height="6" fill="{PAPER}"/><rect width="2" height="6" fill="#999999"/></pattern>'
)


def clean(text: str) -> str:
    """Text as it may stand between tags."""
    return escape(visible(text.replace(GLUE, "\u00a0")))


def page(width: int, height: int, title: str, about: str, parts: Iterable[str]) -> str:
    """A whole file: its title and description are read aloud in place of the drawing."""
    body = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'role="img" aria-labelledby="title about" font-family={quoteattr(FONT)}>\n'
        f'<title id="title">{clean(title)}</title>\n<desc id="about">{clean(about)}</desc>\n'
        f'<defs>{HATCH}</defs>\n<rect width="{width}" height="{height}" fill="{PAPER}"/>\n{body}\n</svg>\n'
    )


def text(  # noqa: PLR0913  # one argument per way in which a text may be set
    x: float, y: float, said: str, *, size: int = 13, anchor: str = "start", fill: str = INK, bold: bool = False
) -> str:
    """A line of text."""
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}" fill="{fill}"{weight}>{clean(said)}</text>'


def line(x1: float, y1: float, x2: float, y2: float, *, stroke: str = INK, width: float = 1.0, dash: str = "") -> str:  # noqa: PLR0913
    """A straight line."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{stroke}" stroke-width="{width:g}"{dashes}/>'


def path(places: Iterable[tuple[float, float]], *, width: float = 2.5, dash: str = "") -> str:
    """A line through places."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    along = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
    return f'<polyline points="{along}" fill="none" stroke="{INK}" stroke-width="{width:g}" stroke-linejoin="round"{dashes}/>'


def box(x: float, y: float, width: float, height: float, fill: str, *, edge: str = "none") -> str:
    """A rectangle."""
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" fill="{fill}" stroke="{edge}"/>'


def dot(x: float, y: float, *, radius: float = 4.5) -> str:
    """A ring on a line."""
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:g}" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>'


def wrapped(said: str, width: float, size: int) -> list[str]:
    """The text in lines that are about so wide at most."""
    most = max(8, int(width / (LETTER * size)))
    lines = [""]
    for word in said.split(" "):  # a figure and its unit stay together
        if lines[-1] and len(lines[-1]) + 1 + len(word) > most:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines
