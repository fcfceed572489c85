"""The size of a batch as makers say it: "24 bars of 110 g", "2.5 kg fats", "4 kg batter", "2 moulds of 30 x 9 x 7 cm"."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from optimiser.text.codes import Code
from optimiser.text.names import shown
from optimiser.text.quantities import Misread, read_mass, read_number, read_volume, refuse_long

EXAMPLES = "'24 bars of 110 g', '2.5 kg fats', '4 kg batter', 'mould 30 x 9 x 7 cm', 'mould 8 x 20 cm round', '12 cavities of 100 ml' or '2 moulds of 30 x 9 x 7 cm'"
_BARS = re.compile(r"(\S.*?)\s*\b(?:bars?)\b\s*(?:(?:of|at|a|,)?\s*(.*))", re.IGNORECASE)
_OF_WHAT = re.compile(
    r"(.*?)\s*\b(?:of\s+)?(?:all\s+)?(?:the\s+)?(fats?|oils?|batter|in the pot|pot)\b\s*", re.IGNORECASE
)
_MOULD = re.compile(
    r"(?:(?:an?|the|(\S+?)(?:\s*(?:x|\u00d7|\*))?)\s+)??(?:(round)\s+)?(?:mou?lds?|loaf|loaves|trays?)\b\s*(?:of\s+)?(.*)",
    re.IGNORECASE,
)
_AND = re.compile(
    r"\s*(?:\band\b|\+|;|\bplus\b)\s*(?=(?:\S+\s+)?(?:round\s+)?(?:mou?ld|loaf|loaves|tray|cavit))", re.IGNORECASE
)
_CAVITIES = re.compile(r"(\S.*?)\s*\bcavit(?:y|ies)\b\s*(?:of|x|\u00d7|,)?\s*(.*)", re.IGNORECASE)
_HEADROOM = re.compile(r"[,;]?\s*\b(?:headroom|less)\b\s*(.*)", re.IGNORECASE)
_ROUND = re.compile(r"[,;]?\s*\b(?:round|cylinder|diameter)\b\s*", re.IGNORECASE)
_BY = re.compile(r"\s*(?:x|\u00d7|\*|\bby\b)\s*", re.IGNORECASE)
MOST = 200_000.0  # kg: more than anybody makes
_NO_SIZE = "nothing says how large the batch is to be"


class Size(NamedTuple):
    """What is to be made, in the parts of the maker's words: what it is told by, and the figures with their units.

    "bars": a number and what one weighs; "fats", "batter": a mass; "block": length, width and depth; "round": diameter
    and depth; "cavities": a number and a volume. `headroom` is what is left empty of a mould, "" for nothing; `how_many`
    there are of a block or a round one; `is_cavities` where they were called cavities; `beside` the moulds that are filled too.
    """

    by: Literal["bars", "fats", "batter", "block", "round", "cavities"]
    figures: tuple[str, ...]
    headroom: str = ""
    how_many: str = "1"
    beside: tuple[Size, ...] = ()
    is_cavities: bool = False


def read_size(text: str) -> Size:
    """The size that a text says.

    Raises:
        Misread: it says none, or not all of it.
    """
    refuse_long(text)
    said = " ".join(text.split())
    if not said:
        raise Misread(Code.NO_FIGURE, _NO_SIZE, f"write {EXAMPLES}")
    first, *others = _AND.split(said)
    if others:
        return read_size(first)._replace(beside=tuple(read_size(other) for other in others))
    if found := _CAVITIES.fullmatch(said):
        return _cavities(found)
    if found := _MOULD.fullmatch(said):
        count, round_, inside = found.groups()
        return _room(inside, said, count=count or "1", is_round=round_ is not None)
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
    """Cavities by what each holds, or by the inside measures of one."""
    count, each = found.groups()
    if not _without_headroom(each)[0]:
        message = f"{shown(found.group())} does not say what a cavity holds"
        help_ = f"write it, as in '{count} cavities of 100 ml' or '{count} cavities of 8 x 5.5 x 2.5 cm'"
        raise Misread(Code.NO_VALUE, message, help_)
    found_room = _room(each, f"{count} cavities of {each}", count=count, is_round=False, is_one=True)
    return found_room._replace(is_cavities=True)


def _without_headroom(said: str) -> tuple[str, str]:
    parted = _HEADROOM.search(said)
    return (said[: parted.start()], parted.group(1)) if parted else (said, "")


def _room(said: str, whole: str, *, count: str, is_round: bool, is_one: bool = False) -> Size:
    """What a mould holds: a volume, or its inside measures, each with the unit that the last one has where it has none of its own.

    Args:
        said: what stands after "mould" or "cavities of".
        whole: all of it, for a fault.
        count: how many.
        is_round: whether it was said to be round before.
        is_one: a single figure is a volume, whatever its unit.
    """
    inside, headroom = _without_headroom(said)
    is_round = is_round or _ROUND.search(inside) is not None
    parts = [part for part in _BY.split(_ROUND.sub(" ", inside).strip(" ,")) if part]
    if len(parts) == 1 and not is_round and (is_one or is_volume(parts[0])):
        return Size("cavities", (count, parts[0]), headroom)
    wanted = 2 if is_round else 3
    if len(parts) != wanted:
        told = "diameter and depth" if is_round else "length, width and depth"
        example = "'mould 8 x 20 cm round'" if is_round else "'mould 30 x 9 x 7 cm'"
        raise Misread(Code.NO_VALUE, f"{shown(whole)} does not say {told}", f"write them as in {example}")
    numbers = [read_number(part) for part in parts]
    unit = numbers[-1].rest
    figures = tuple(part if number.rest else f"{part} {unit}" for part, number in zip(parts, numbers, strict=True))
    return Size("round" if is_round else "block", figures, headroom, count)


def is_volume(text: str) -> bool:
    """Whether a text is a volume."""
    try:
        read_volume(text)
    except Misread:
        return False
    return True
