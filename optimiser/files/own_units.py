"""Limits in the maker's own units, "at least 6 min" or "40 Shore D", turned into limits on the index by their scale."""

from __future__ import annotations

import math

from optimiser.files.limit_values import Bound, Subject
from optimiser.files.workspace import FOLDER
from optimiser.measures.general_times import LIGHT, general_times
from optimiser.measures.scales import FEW, MEASURES, TIME_UNITS, Scale, direction, least_trials
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import AT_LEAST, AT_MOST
from optimiser.text.codes import Code
from optimiser.text.durations import is_duration, read_duration
from optimiser.text.forms import Faults
from optimiser.text.names import fold, shown
from optimiser.text.quantities import Misread, read_number, write_number

_FLIPPED: dict[Side, Side] = {AT_LEAST: AT_MOST, AT_MOST: AT_LEAST}
_PER_UNIT = {"s": 1.0, "h": 3600.0}
_NOT_OWN = frozenset({"point", "points", "percent", "per cent", "pct", "index"})
ON_YOURS = "on your scale"
BEYOND = "beyond your trials"
NOTHING_BELOW, NOTHING_ABOVE = 5.0, 75.0  # no batter is as slow or as fast


def own_bound(subject: Subject, figure: str, side: Side) -> Bound | None:
    """The limit on the index that a figure in the maker's unit means; None where the figure is in no such unit.

    Args:
        subject: what the limit is on, with the maker's own scales.
        figure: the value without a sign or word in front.
        side: which side it was written under; a scale that falls turns it round (`Bound.side`).

    Raises:
        Misread: no scale yet, another unit than the scale's, or an index that nothing can have.
        Faults: the file of scales is faulty.
    """
    if subject.kind != SubjectKind.QUANTITY or subject.key not in MEASURES:
        return None
    if subject.key in TIME_UNITS:
        if not is_duration(figure):
            return None
        unit = TIME_UNITS[subject.key]
        reading, told = read_duration(figure, subject.words) / _PER_UNIT[unit], " ".join(figure.split())
    else:
        unit = _instrument(figure)
        if not unit:
            return None
        number = read_number(figure)
        reading, told = number.value, f"{number.digits} {unit}"
    scale = _scale(subject, reading, told)
    if fold(unit) != fold(scale.unit):
        message = f"your scale of {subject.words} is in {scale.unit}, not in {shown(unit)}"
        raise Misread(Code.WRONG_UNIT, message, f"write it in {scale.unit}, or as an index")
    return _bound(subject, scale, reading, told, side)


def _instrument(figure: str) -> str:
    """The unit of a hardness reading, if the figure has one that could be an instrument's."""
    try:
        rest = " ".join(read_number(figure).rest.split())
    except Misread:
        return ""
    return rest if any(mark.isalpha() for mark in rest) and rest.casefold() not in _NOT_OWN else ""


def _scale(subject: Subject, reading: float, told: str) -> Scale:
    if subject.scales.faults:
        raise Faults(*subject.scales.faults)
    path = subject.scales.path
    scale = subject.scales.by_measure.get(subject.key)
    if scale is not None:
        return scale
    words = subject.key.replace("_", " ")
    where = f"a folder '{FOLDER}' beside or above this file has none" if path is None else f"{path} has none"
    message = f"{told} needs a scale of your own for {subject.words}, and there is no scale yet: {where}"
    least = least_trials(subject.key)
    record, them = ("a trial", "it") if least == 1 else (f"{least} trials", "them")
    hint = f"record {record} with 'barwright trial add' and fit {them} with 'barwright trial fit {words.replace(' ', '_')} --save'"
    raise Misread(Code.NO_SCALE, message, f"{hint}; or write an index{_rough(subject, reading, told)}")


def _rough(subject: Subject, reading: float, told: str) -> str:
    """What index a time has by the general scales: of the blender if it can be that, else of a batter that stays workable."""
    tried = {
        "trace_speed": (("blend", "{} of blender to a light trace", 1.0), ("workable", "{} of workable batter", 60.0)),
        "set_up": (("unmould", "{}", 1.0),),
    }
    for time, words, size in tried.get(subject.key, ()):
        known = general_times()[time, "" if time == "unmould" else LIGHT]
        index = known.index_of(reading / size)
        if NOTHING_BELOW <= index <= NOTHING_ABOVE:
            return f" (by rule of thumb {words.format(told)} is {subject.words} {index:.0f})"
    return ""


def _bound(subject: Subject, scale: Scale, reading: float, told: str, side: Side) -> Bound:
    index = round(scale.index_of(reading), 1)
    if not subject.lowest <= index <= subject.highest:
        low, high = (write_number(end) for end in (subject.lowest, subject.highest))
        message = f"on your scale {told} is {subject.words} {index:g}, which nothing can be"
        raise Misread(Code.OUT_OF_RANGE, message, f"{subject.words} lies between {low} and {high}")
    turned = _FLIPPED.get(side, side) if direction(scale.measure, scale.unit) < 0 else side
    words = "" if turned not in _FLIPPED else f"{turned.words} "
    trust = f"{ON_YOURS}{_width(scale, index)}{'' if scale.reaches(index) else f', {BEYOND}'}"
    return Bound(index, told, side=turned, own=f"{words}{write_number(index)} {trust}")


def _width(scale: Scale, index: float) -> str:
    """How wide a scale of few trials is at an index; empty where there are enough of them, or where it is no time's."""
    if scale.measure not in TIME_UNITS or scale.trials >= FEW:
        return ""
    low, high = scale.range(index)
    trials = "1 trial" if scale.trials == 1 else f"{scale.trials} trials"
    return f" of {trials}, good to a factor of {math.sqrt(high / low):.1f}"
