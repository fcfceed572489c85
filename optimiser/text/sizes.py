"""The size of a batch as makers say it: "24 bars of 110 g", "2.5 kg fats", "4 kg batter", "mould 30 x 9 x 7 cm"."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from optimiser.text.codes import Code
from optimiser.text.names import shown
from optimiser.text.quantities import Misread, read_mass, read_number, refuse_long

EXAMPLES = "'24 bars of 110 g', '2.5 kg fats', '4 kg batter', 'mould 30 x 9 x 7 cm', 'mould 8 x 20 cm round' or '12 cavities of 100 ml'"
_BARS = re.compile(r"(\S.*?)\s*\b(?:bars?)\b\s*(?:(?:of|at|a|,)?\s*(.*))", re.IGNORECASE)
_OF_WHAT = re.compile(
    r"(.*?)\s*\b(?:of\s+)?(?:all\s+)?(?:the\s+)?(fats?|oils?|batter|in the pot|pot)\b\s*", re.IGNORECASE
)
_MOULD = re.compile(r"(?:a\s+)?(?:(round)\s+)?(?:mou?ld|loaf|tray)\b\s*(?:of\s+)?(.*)", re.IGNORECASE)
_CAVITIES = re.compile(r"(\S.*?)\s*\bcavit(?:y|ies)\b\s*(?:of|x|\u00d7|,)?\s*(.*)", re.IGNORECASE)
_HEADROOM = re.compile(r"[,;]?\s*\b(?:headroom|less)\b\s*(.*)", re.IGNORECASE)
_ROUND = re.compile(r"[,;]?\s*\b(?:round|cylinder|diameter)\b\s*", re.IGNORECASE)
_BY = re.compile(r"\s*(?:x|\u00d7|\*|\bby\b)\s*", re.IGNORECASE)
MOST = 200_000.0  # kg: more than anybody makes
_NO_SIZE = "nothing says how large the batch is to be"


class Size(NamedTuple):
    """What is to be made, in the parts of the maker's words: what it is told by, and the figures with their units.

    "bars": a number and what one weighs; "fats", "batter": a mass; "block": length, width and depth; "round": diameter
    and depth; "cavities": a number and a volume. `headroom` is what is left empty of a mould, "" for nothing.
    """

    by: Literal["bars", "fats", "batter", "block", "round", "cavities"]
    figures: tuple[str, ...]
    headroom: str = ""


def read_size(text: str) -> Size:
    """The size that a text says.

    Raises:
        Misread: it says none, or not all of it.
    """
    refuse_long(text)
    said = " ".join(text.split())
    if not said:
        raise Misread(Code.NO_FIGURE, _NO_SIZE, f"write {EXAMPLES}")
    if found := _CAVITIES.fullmatch(said):
        return _cavities(found)
    if found := _MOULD.fullmatch(said):
        return _mould(found.group(2), is_round=found.group(1) is not None)
    if found := _BARS.fullmatch(said):
        return _bars(found)
    if found := _OF_WHAT.fullmatch(said):
        mass, of = found.groups()
        read_mass(mass, f"the {of}")
        return Size("fats" if of.casefold()[0] in "fo" else "batter", (mass,))
    raise _untold(said)


def _untold(said: str) -> Misread:
    """A text that says a mass, and not of what, or nothing that is known."""
    try:
        kilograms = read_mass(said)
    except Misread:
        return Misread(Code.NOT_A_FIGURE, f"{shown(said)} is no size of a batch", f"write {EXAMPLES}")
    if not 0.0 < kilograms <= MOST:
        return Misread(Code.OUT_OF_RANGE, f"a batch of {said} cannot be made", f"write {EXAMPLES}")
    message = f"{shown(said)} may be of fats, of batter or of bars"
    return Misread(
        Code.WRONG_SHAPE, message, f"write '{said} fats' or '{said} batter', or the bars, as in '24 bars of 110 g'"
    )


def _bars(found: re.Match[str]) -> Size:
    count, each = found.groups()
    if not each:
        message = f"{shown(found.group())} does not say what a bar is to weigh"
        raise Misread(Code.NO_VALUE, message, f"write what one weighs once cured, as in '{count} bars of 110 g'")
    return Size("bars", (count, each.strip()))


def _cavities(found: re.Match[str]) -> Size:
    count, each = found.groups()
    if not each:
        message = f"{shown(found.group())} does not say what a cavity holds"
        raise Misread(Code.NO_VALUE, message, f"write it, as in '{count} cavities of 100 ml'")
    return Size("cavities", (count, each))


def _mould(said: str, *, is_round: bool) -> Size:
    """The inside measures of a mould, each with the unit that the last one has where it has none of its own."""
    parted = _HEADROOM.search(said)
    headroom = parted.group(1) if parted else ""
    inside = said[: parted.start()] if parted else said
    is_round = is_round or _ROUND.search(inside) is not None
    parts = [part for part in _BY.split(_ROUND.sub(" ", inside).strip(" ,")) if part]
    wanted = 2 if is_round else 3
    if len(parts) != wanted:
        told = "diameter and depth" if is_round else "length, width and depth"
        example = "'mould 8 x 20 cm round'" if is_round else "'mould 30 x 9 x 7 cm'"
        raise Misread(Code.NO_VALUE, f"{shown(f'mould {said}')} does not say {told}", f"write them as in {example}")
    numbers = [read_number(part) for part in parts]
    unit = numbers[-1].rest
    whole = tuple(part if number.rest else f"{part} {unit}" for part, number in zip(parts, numbers, strict=True))
    return Size("round" if is_round else "block", whole, headroom)
