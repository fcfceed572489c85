"""What a terminal may be shown of a text: signs that steer it, or that nobody can see, are spelt out in plain letters.

One rule for everything that is told: a sign of the Unicode categories Cc, Cf, Cs, Co, Zl and Zp is spelt out, and so are
tags, the variation selectors of plane 14 and letters that show nothing. Two things pass: a tab, as a blank, and the two
joiners (U+200C, U+200D) where they stand between visible signs beyond ASCII, as in Persian words and in joined emoji.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

ACTING = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})
JOINERS = "\u200c\u200d"
FILLERS = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0")
"""Letters and marks that show nothing by themselves."""
_PLANE_14 = "\U000e0000"
_SHORT = {"\n": "\\n", "\r": "\\r"}
PICTURE = "\ufe0f"  # asks for the sign before it as a picture, which takes two columns
_WIDE_LATER = (("\u2630", "\u2637"), ("\u268a", "\u268f"), ("\u4dc0", "\u4dff"), ("\U0001d300", "\U0001d376"))
"""Signs that Unicode 16 calls wide, which the tables of an older Python call narrow."""
_SKIN = ("\U0001f3fb", "\U0001f3ff")  # tones, which colour the sign before them


def visible(text: str) -> str:
    """The text as a terminal may be shown it: on one line, and nothing in it that acts or hides."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(spelt(text))


def spelt(text: str) -> list[str]:
    """The same sign by sign, so that a place in the text is known again in what is shown."""
    return [_joiner(text, place) if mark in JOINERS else _spelt(mark) for place, mark in enumerate(text)]


def filled(template: str, **fields: object) -> str:
    """A text of ours around names that others gave: `str.format` with every field as a terminal may be shown it."""
    return template.format(**{name: visible(str(value)) for name, value in fields.items()})


def for_shell(path: str) -> str:
    """A path as a shell takes it; one that cannot be shown as it is, in the notation $'...' (POSIX.1-2024, 2.2.4)."""
    import shlex

    if visible(path) == path:
        return shlex.quote(path)
    plain = (sign if visible(sign) == sign and sign not in "\\'" else _octal(sign) for sign in path)
    return f"$'{''.join(plain)}'"


def _octal(sign: str) -> str:
    """Each byte in three digits, which end by themselves; a surrogate stands for a byte that is no UTF-8 (PEP 383)."""
    escaped = "surrogateescape" if "\udc80" <= sign <= "\udcff" else "surrogatepass"
    return "".join(f"\\{byte:03o}" for byte in sign.encode("utf-8", escaped))


def holdable(text: str) -> str:
    """The text as UTF-8 can hold it: lone surrogates, which stand for bytes that are none, are spelt out."""
    return "".join(visible(mark) if "\ud800" <= mark <= "\udfff" else mark for mark in text)


def acts(mark: str) -> bool:
    """Whether a sign steers, hides or stands for nothing that is agreed upon."""
    return unicodedata.category(mark) in ACTING or mark in FILLERS or mark >= _PLANE_14


def _spelt(mark: str) -> str:
    if mark == "\t":
        return " "
    if not acts(mark):
        return mark
    if mark in _SHORT:
        return _SHORT[mark]
    return f"\\x{ord(mark):02x}" if ord(mark) < 0x100 and mark != "\xad" else f"<U+{ord(mark):04X}>"


def _joiner(text: str, place: int) -> str:
    beside = text[place - 1 : place] + text[place + 1 : place + 2] if place else ""
    joins = len(beside) == 2 and not any(mark.isascii() or mark.isspace() or acts(mark) for mark in beside)
    return text[place] if joins else f"<U+{ord(text[place]):04X}>"


def columns(text: str) -> int:
    """How many columns of a terminal a text takes.

    Wide letters and pictures take two, marks that sit on others none, and what is joined to a picture none of its own.
    """
    if text.isascii():
        return len(text)
    taken, before = 0, ""
    for mark in text:
        if mark == PICTURE:
            taken += before != "" and not _is_wide(before)
        elif (before == JOINERS[1] and not mark.isalpha()) or (_SKIN[0] <= mark <= _SKIN[1] and taken):
            pass  # one picture with what stands before it
        else:
            taken += _alone(mark)
        before = mark
    return taken


@lru_cache(1024)  # texts are of few signs, asked for over and over
def _alone(mark: str) -> int:
    """How many columns a sign takes where it is joined to nothing."""
    if unicodedata.combining(mark) or unicodedata.category(mark) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if _is_wide(mark) else 1


def _is_wide(mark: str) -> bool:
    later = any(first <= mark <= last for first, last in _WIDE_LATER)
    return later or unicodedata.east_asian_width(mark) in ("W", "F")


def wrapped(text: str, width: int, indent: str = "") -> list[str]:
    """Words on lines of at most `width` columns, all but the first set in; a longer word stays whole, as a path must."""
    lines = [""]
    for word in filter(None, text.split(" ")):
        if lines[-1] and columns(lines[-1]) + 1 + columns(word) > width:
            lines.append(indent + word)
        else:
            lines[-1] += f" {word}" if lines[-1] else word
    return lines


def excerpt(text: str, start: int, end: int, room: int) -> tuple[str, str, str]:
    """What can be shown of a line in so many columns around the stretch from `start` to `end` (from 0, end aside).

    Returns:
        What is shown, with an ellipsis where something was left out; the part of it before the stretch; the stretch.
    """
    last = len(text.rstrip(" \t"))
    near, far = max(0, start - room), min(len(text), start + room)
    told = spelt(text[near:far])
    sizes = [1 if one == PICTURE else columns(one) for one in told]
    first, stop = start - near, start - near
    if near or far < last or sum(sizes[: last - near]) > room:
        used = 0
        for limit, forward in ((room - 2 - room // 4, True), (room - 2, False), (room - 2, True)):
            while forward and stop < len(told) and used + sizes[stop] <= limit:
                used, stop = used + sizes[stop], stop + 1
            while not forward and first > 0 and used + sizes[first - 1] <= limit:
                used, first = used + sizes[first - 1], first - 1
    else:
        first, stop = 0, len(told)
    head, tail = "…" if near + first else "", "…" if near + stop < last else ""
    left = head + "".join(told[first : start - near])
    marked = "".join(told[start - near : min(end - near, stop)])
    return (head + "".join(told[first:stop])).rstrip() + tail, left, marked
