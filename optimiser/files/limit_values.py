"""One figure or word on one side of a wish: what it is about, its unit, and what may be asked of it at all."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from optimiser.files.amounts import read_amount
from optimiser.maths.units import MASS
from optimiser.measures.measures import Band
from optimiser.measures.scales import Scale
from optimiser.measures.sides import Side, SubjectKind
from optimiser.measures.vocabulary import example_by, example_for
from optimiser.problem.limits import AT_LEAST, AT_MOST, EXACTLY
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.durations import read_weeks
from optimiser.text.names import fold, offer, shown
from optimiser.text.quantities import (
    Misread,
    Number,
    in_kg,
    is_measured,
    read_count,
    read_money,
    read_number,
    read_plain,
    read_share,
    refuse_long,
    write_number,
)

OF_FATS = frozenset(SubjectKind) - {SubjectKind.QUANTITY}
"""Kinds of subject whose per cent are of the mass of all fats."""


WEIGHED = (SubjectKind.ADDITIVE, SubjectKind.LIQUID)
"""What may be told by its mass as well as by its share."""
JUG = "what stands for the water"


def _not_told() -> float | None:
    return None


class OwnScales(NamedTuple):
    """The maker's own scales as their file has them, by measure: where it is, if anywhere, and what is wrong with it."""

    by_measure: Mapping[str, Scale] = MappingProxyType({})
    path: Path | None = None
    faults: tuple[Diagnostic, ...] = ()


NO_SCALES = OwnScales()


class Subject(NamedTuple):
    """What a limit may be set on: how it is called, its unit and words, and what may be asked of it at all.

    `whole_kg` is what all the fats weigh of which it is a part, where that is told: asked only to say what a mass would be.
    `scales` are those of the maker's own bench, for figures in units of their own. `only_at_least`: no limit from above. `from_recipe`: there
    is a recipe in hand, so that a sign before a figure tells a difference from it.
    """

    key: str
    kind: SubjectKind
    words: str
    unit: str
    bands: tuple[Band, ...] = ()
    lowest: float = 0.0
    highest: float = 100.0
    whole_kg: Callable[[], float | None] = _not_told
    scales: OwnScales = NO_SCALES
    only_at_least: bool = False
    from_recipe: bool = False


class Bound(NamedTuple):
    """A figure for one side. `word` is the band word it came from, if it did.

    Written in the maker's own unit, `value` is an index, `own` says so in words, and `side` is the side of the index,
    which is the other one where the readings fall as the index rises. `unit` is that of `value` where it is another one
    than the subject's: grams of an additive or a liquid.
    """

    value: float
    told: str
    per: str = ""
    currency: str = ""
    word: str = ""
    side: Side | None = None
    own: str = ""
    unit: str = ""


OLD_WORDS = {"short": "turns early"}
"""Words that bands went by before; they are taken, and every answer tells the new one."""


def find_band(subject: Subject, text: str) -> Band | None:
    """The band that a text names, if it names one."""
    folded = fold(text)
    folded = OLD_WORDS.get(folded, folded)
    return next((band for band in subject.bands if fold(band.word) == folded), None)


_SIGNS: tuple[tuple[re.Pattern[str], Side], ...] = (
    (re.compile(r"\s*(?:>=|=>|≥=?|>|at[ _]least\b)\s*", re.IGNORECASE), AT_LEAST),
    (re.compile(r"\s*(?:<=|=<|≤=?|<|at[ _]most\b)\s*", re.IGNORECASE), AT_MOST),
    (re.compile(r"\s*(?:==?|exactly\b)\s*", re.IGNORECASE), EXACTLY),
)


def compared(text: str) -> tuple[Side | None, str]:
    """The side that a sign or a word in front of the figure means, and the rest."""
    for pattern, side in _SIGNS:
        found = pattern.match(text)
        if found:
            return side, text[found.end() :]
    return None, text


def read_bound(subject: Subject, text: str, side: Side) -> Bound:
    """The figure or the word that a text gives for one side.

    Raises:
        Misread: neither, or outside of what may be asked.
    """
    refuse_long(text)
    band = find_band(subject, text)
    if band is not None:
        end = {AT_LEAST: band.low, AT_MOST: band.high, EXACTLY: None}[side]
        if end is None:
            words = side.words
            raise Misread(
                Code.OPEN_BAND,
                f"{subject.words} {band.word} has no end to be {words}",
                f"write {subject.words}: {band.word}",
            )
        return Bound(end, f"{band.word} ({write_number(end)})", word=band.word)
    if subject.bands and not re.search(r"\d|^\W*(nan|inf|infinity)\W*$", text.casefold()) and text.strip():
        words_ = [band.word for band in subject.bands]
        raise Misread(
            Code.UNKNOWN_WORD,
            f"{shown(text)} is no word for {subject.words}",
            _meant(subject, text) or offer(text, words_) or f"words: {', '.join(words_)}",
        )
    try:
        bound = _READERS.get(subject.unit, _of_plain)(subject, text)
    except Misread as error:
        raise Misread(error.code, error.message, error.help or _written(subject, text)) from None
    if not bound.unit:
        _check_range(subject, bound)
    return bound


def _meant(subject: Subject, text: str) -> str:
    """What a maker's word means of a subject that has words of its own, where it means that; else ""."""
    entry = example_by(text, subject.key) if subject.kind == SubjectKind.QUANTITY else ""
    words = ", ".join(band.word for band in subject.bands)
    return f"write {subject.words}: {entry}, or one of its words: {words}" if entry else ""


def _written(subject: Subject, text: str) -> str:
    """How a figure for this subject is written, for one who wrote none."""
    named = f"{subject.words} has no words: " if re.fullmatch(r"[^\W\d_]+", text.strip()) and not subject.bands else ""
    if subject.kind in WEIGHED:
        return (
            f"write a figure, as in {subject.words}: {'50 %' if subject.kind == SubjectKind.LIQUID else '2 %'}, or 30 g"
        )
    own = (example_by(text, subject.key) or example_for(subject.key)) if subject.kind == SubjectKind.QUANTITY else ""
    if own.startswith("{") and subject.unit == "index":
        return f"{named}write a figure, as in {subject.words}: {own}"
    least = _EXAMPLES.get(subject.key) or _EXAMPLES.get(subject.unit) or f"{_middle(subject)} {subject.unit}"
    side = AT_MOST if subject.unit in ("%", "money", "fats") else AT_LEAST
    return f"{named}write a figure, as in {subject.words}: {{{side}: {least}}}"


def _middle(subject: Subject) -> str:
    return write_number(round((subject.lowest + subject.highest) / 2.0))


_EXAMPLES: Mapping[str, str] = {
    "superfat": "5 %",
    "lye_concentration": "33 %",
    "saponification_value": "200 mg KOH/g",
    "iodine_value": "65 g I2/100 g",
    "index": "60",
    "%": "20 %",
    "money": "6.40 / kg",
    "ratio": "2",
    "fats": "6",
    "weeks": "8 weeks",
}


def _of_share(subject: Subject, text: str) -> Bound:
    if subject.kind in WEIGHED:
        amount = read_amount(text, subject.words, JUG if subject.kind == SubjectKind.LIQUID else "the fats")
        return Bound(amount.value, amount.told, unit="" if amount.unit == subject.unit else amount.unit)
    given = read_number(text)
    if subject.kind in OF_FATS and is_measured(given.rest):
        message = f"{subject.words} is given in per cent of the fats, not in {shown(given.rest)}"
        raise Misread(Code.WRONG_UNIT, message, _as_share(subject, given))
    number = read_share(text, subject.words)
    return Bound(number.value, f"{number.digits} %")


def _as_share(subject: Subject, given: Number) -> str:
    """What a mass is in per cent of the fats, or how to find it; never the bare figure with another sign."""
    mass, whole = in_kg(given), subject.whole_kg()
    told = f"{given.digits} {given.rest}"
    if mass is None:
        return "weigh it, and divide its grams by ten times the kilograms of all fats"
    if whole is not None:
        if mass > whole:
            return f"{told} is more than the {write_number(round(whole, 6))} kg of all fats"
        share = write_number(float(f"{100.0 * mass / whole:.4g}"))
        return f"{told} in {write_number(round(whole, 6))} kg of fats is {share} %: write {share} %"
    if mass >= 1.0:
        some = 10.0 ** (math.floor(math.log10(mass)) + 1)
        each, much = write_number(float(f"{100.0 * mass / some:.4g}")), write_number(round(some, 6))
        return f"a mass is a share of the batch it goes into: {told} in {much} kg of fats is {each} %, and of less it is more"
    each = write_number(float(f"{100.0 * mass:.4g}"))
    return f"divide the mass by that of all fats, and multiply by 100: {told} to 1 kg of fats is {each} %"


def _of_money(subject: Subject, text: str) -> Bound:
    money = read_money(text, subject.words)
    if not money.per:
        raise Misread(
            Code.NO_UNIT,
            f"{subject.words} is money for something, and {money.digits} does not say for what",
            f"write {money.digits} / kg, / lb or / bar",
        )
    value, digits, per = money.amount, money.digits, money.per
    if per not in ("kg", "lb", "bar"):
        value, per = value / MASS[per], "kg"
        digits = write_number(round(value, 6))
    told_ = f"{money.currency} {digits}" if money.currency else digits
    return Bound(value, f"{told_} / {per}", per, money.currency)


def _of_ratio(subject: Subject, text: str) -> Bound:
    plain = text.rstrip()
    plain = plain[:-1].rstrip().removesuffix(":") if re.search(r":\s*1$", plain) else plain
    number = read_plain(plain, subject.words)
    return Bound(number.value, number.digits)


def _of_count(subject: Subject, text: str) -> Bound:
    count = read_count(text.rstrip().removesuffix("fats").removesuffix("fat"), subject.words)
    return Bound(float(count), str(count))


def _of_plain(subject: Subject, text: str) -> Bound:
    if subject.unit == "index":
        number = read_number(text)
        if number.rest.casefold() not in ("", "point", "points"):
            raise Misread(
                Code.WRONG_UNIT,
                f"{subject.words} is a plain figure, not in {shown(number.rest)}",
                f"write {number.digits}",
            )
        return Bound(number.value, number.digits)
    number = read_plain(text, subject.words, (subject.unit,))
    return Bound(number.value, f"{number.digits} {subject.unit}".strip())


def _of_cure(subject: Subject, text: str) -> Bound:
    return Bound(read_weeks(text, subject.words), " ".join(text.split()), unit=subject.unit)


_READERS: Mapping[str, Callable[[Subject, str], Bound]] = {
    "%": _of_share,
    "money": _of_money,
    "ratio": _of_ratio,
    "fats": _of_count,
    "weeks": _of_cure,
}


def _check_range(subject: Subject, bound: Bound) -> None:
    if subject.lowest <= bound.value <= subject.highest:
        return
    low, high = write_number(subject.lowest), write_number(subject.highest)
    if subject.key == "superfat" and bound.value < 0:
        raise lye_heavy(bound.told)
    if subject.key == "lye_concentration" and bound.value > subject.highest:
        message = f"a lye of {bound.told} is more than water will safely dissolve"
        raise Misread(Code.OUT_OF_RANGE, message, f"28 % to 33 % is usual; {high} % is the most")
    if subject.key == "cost":
        raise Misread(Code.OUT_OF_RANGE, f"{bound.told} is no price for a bar", "a cost is above 0")
    unit = "" if subject.unit in ("index", "ratio", "money", "fats") else f" {subject.unit}"
    raise Misread(
        Code.OUT_OF_RANGE,
        f"{bound.told} is outside what {subject.words} can be",
        f"it lies between {low}{unit} and {high}{unit}",
    )


def lye_heavy(told: str) -> Misread:
    """The fault of a superfat below nothing, as it was written."""
    message = f"a superfat of {told} is lye-heavy: the soap would hold free alkali, and that burns skin"
    return Misread(Code.LYE_HEAVY, message, "5 % is usual; 0 % is the least")
