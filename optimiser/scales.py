"""A maker's own scales: what an index means in minutes, hours or the readings of their own instrument.

A scale is a straight line: offset + slope x index is the logarithm to base 2 of a time, or the reading itself.
`trial fit --save` writes ``trials/scales.yaml``, and goal files written in the maker's units are read by it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Annotated, Any, ClassVar

from pydantic import Field

from optimiser.reference import rows
from optimiser.student import t_quantile
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, form_schema, read_form, read_part, scalar, table, told
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node
from optimiser.text.quantities import Misread, read_plain
from optimiser.text.source import read_yaml

FOLDER = "trials"
FILE = "scales.yaml"
MEASURES = ("trace", "set_up", "hardness")  # what a trial has a reading for
TIME_UNITS: Mapping[str, str] = {"trace": "s", "set_up": "h"}
LEAST_TRIALS = 5
LIKELY = 0.8  # four batches in five: what a range of expected readings covers
_DEPTHS = frozenset({"mm", "cm", "um", "in", "dmm"})


@dataclass(frozen=True, slots=True)
class OwnLever:
    """Points per unit of a lever by the maker's trials and by the book, and where the lever stood in them on average."""

    points: float
    book: float
    at: float


@dataclass(frozen=True, slots=True)
class Scale:
    """One measure in the maker's unit, fitted to `trials` trials between the indices `lowest` and `highest`.

    `slope`, `offset`, `error` (how far one batch strays from the line) and `left_out` (how far off a trial is that the
    fit has not seen) are in the reading's unit, or in its logarithm to base 2 for a time. `centre` and `spread` (root of
    the sum of squares about the centre) are of the trials' indices; `freedom` are degrees of freedom of `error`.
    """

    measure: str
    unit: str
    slope: float
    offset: float
    trials: int
    error: float
    freedom: float
    centre: float
    spread: float
    lowest: float
    highest: float
    left_out: float
    levers: Mapping[str, OwnLever] = field(default_factory=dict)

    def reading(self, index: float) -> float:
        """What the maker is likeliest to read at this index."""
        return unlined(self.measure, self.offset + self.slope * index)

    def index(self, reading: float) -> float:
        """The index at which this reading is the likeliest.

        Raises:
            ValueError: a time that is not above 0.
        """
        return (lined(self.measure, reading) - self.offset) / self.slope

    def range(self, index: float, chance: float = LIKELY) -> tuple[float, float]:
        """Between which readings a new batch of this index falls with this chance, the lower first.

        The prediction interval of a straight line (Draper & Smith, Applied Regression Analysis, ch. 1, from memory).
        """
        away = math.hypot(1.0, 1.0 / math.sqrt(self.trials), (index - self.centre) / self.spread)
        half = t_quantile((1.0 + chance) / 2.0, self.freedom) * self.error * away
        middle = self.offset + self.slope * index
        return unlined(self.measure, middle - half), unlined(self.measure, middle + half)

    def corrected(self, index: float, units: Mapping[str, float]) -> float:
        """The index with the maker's own levers in place of the book's.

        Args:
            index: by the book.
            units: how far each lever is pulled in this batch, in its units.
        """
        own = ((lever.points - lever.book) * (units.get(name, 0.0) - lever.at) for name, lever in self.levers.items())
        return index + math.fsum(own)


def lined(measure: str, reading: float) -> float:
    """A reading on the straight side of the scale: the logarithm to base 2 of a time, a hardness as it is.

    Raises:
        ValueError: a time that is not above 0.
    """
    return math.log2(reading) if measure in TIME_UNITS else reading


def unlined(measure: str, value: float) -> float:
    """The reading that stands at this height of the straight side; a time too long to count is infinite."""
    if measure not in TIME_UNITS:
        return value
    return 2.0**value if value < 1000.0 else math.inf


def direction(measure: str, unit: str) -> int:
    """Which way the readings go as the index rises: 1 up, -1 down.

    Times fall. Hardness readings rise, but where the unit is a depth (a cone's penetration in mm) a harder bar reads less.
    """
    if measure in TIME_UNITS:
        return -1
    words = set(fold(unit).replace("\u00b5m", "um").replace("\u03bcm", "um").split())
    return -1 if words & _DEPTHS or any(word.startswith(("penetration", "depth", "dent")) for word in words) else 1


@dataclass(frozen=True, slots=True)
class General:
    """The general scale of a time, a prior: `reading` in `unit` at `at_index`, halved every `halves_every` points."""

    measure: str
    words: str
    unit: str
    at_index: float
    reading: float
    halves_every: float
    about: str
    changed_by: str
    status: str
    source: str

    def expected(self, index: float) -> float:
        """The time at an index."""
        return float(self.reading * 2.0 ** ((self.at_index - index) / self.halves_every))

    def index(self, reading: float) -> float:
        """The index of a time above 0."""
        return self.at_index - self.halves_every * math.log2(reading / self.reading)


@cache
def general() -> Mapping[str, General]:
    """The general scales by measure."""
    return {
        row["measure"]: General(
            measure=row["measure"],
            words=row["words"],
            unit=row["unit"],
            at_index=float(row["at_index"]),
            reading=float(row["reading"]),
            halves_every=float(row["halves_every"]),
            about=row["about"],
            changed_by=row["changed_by"],
            status=row["status"],
            source=row["source"],
        )
        for row in rows("times")
    }


# -- the file --------------------------------------------------------------------------------------------------


def _figure(low: float, high: float) -> Callable[[Node, str, Any], float]:
    def read(node: Node, what: str, _: Any) -> float:
        value = read_plain(scalar(node, what), what).value
        if not low <= value <= high:
            raise Misread("out-of-range", f"{what} of {value:g} is none that a fit gives", "fit the trials again")
        return value

    return read


def _unit(node: Node, what: str, _: Any) -> str:
    return " ".join(scalar(node, what).split())


_NUMBER: dict[str, Any] = {"type": "number"}
_ANY = Read("figure", _figure(-1e9, 1e9), _NUMBER)
_NOT_LESS = Read("figure", _figure(0.0, 1e9), _NUMBER)
_ABOVE = Read("figure", _figure(1e-9, 1e9), _NUMBER)


class LeverForm(Form):
    """One lever of an own scale."""

    what: ClassVar[str] = "a lever"
    example: ClassVar[str] = "{points: -0.6, book: -0.8, at: 1.5}"

    points: Annotated[float, _ANY] = Field(description="Points per unit by the trials.")
    book: Annotated[float, _ANY] = Field(description="Points per unit by the book when the fit was made.")
    at: Annotated[float, _ANY] = Field(description="Where the lever stood in the trials on average, in its units.")


def _levers(node: Node, what: str, _: Any) -> Mapping[str, OwnLever]:
    faults, out = Gathering(), {}
    for key, value in table(node, what, f"levers: {{water: {LeverForm.example}}}").items():
        with faults:
            form = read_part(LeverForm, value)
            out[str(key)] = OwnLever(form.points, form.book, form.at)
    faults.settle()
    return out


class ScaleForm(Form):
    """One measure's own scale."""

    what: ClassVar[str] = "a scale"
    example: ClassVar[str] = "what 'barwright trial fit --save' writes"

    unit: Annotated[str, Read("unit", _unit, {"type": "string"})] = Field(description="What the readings are in.")
    slope: Annotated[float, _ANY] = Field(description="What the straight side changes by for one point of the index.")
    offset: Annotated[float, _ANY] = Field(description="Where the straight side stands at an index of 0.")
    trials: Annotated[float, Read("trials", _figure(LEAST_TRIALS, 1e6), _NUMBER)] = Field(
        description="How many trials."
    )
    error: Annotated[float, _NOT_LESS] = Field(description="How far one batch strays from the line.")
    freedom: Annotated[float, _ABOVE] = Field(description="Degrees of freedom of the error.")
    centre: Annotated[float, _ANY] = Field(description="Mean index of the trials.")
    spread: Annotated[float, _ABOVE] = Field(description="Root of the sum of squares of the indices about their mean.")
    lowest: Annotated[float, _ANY] = Field(description="Lowest index of the trials.")
    highest: Annotated[float, _ANY] = Field(description="Highest index of the trials.")
    left_out: Annotated[float, _NOT_LESS] = Field(description="How far off a trial is that the fit has not seen.")
    levers: Annotated[Mapping[str, OwnLever], Read("levers", _levers, {"type": "object"})] = Field(
        default_factory=dict, description="Levers by the trials, where there were enough of them."
    )


def _scale_of(measure: str) -> Callable[[Node, str, Any], Scale]:
    def read(node: Node, what: str, _: Any) -> Scale:
        form = read_part(ScaleForm, node)
        if form.slope * direction(measure, form.unit) <= 0:
            way = "falls" if direction(measure, form.unit) < 0 else "rises"
            message = f"a slope of {form.slope:g} runs the wrong way: the reading {way} as {what} goes up"
            raise Faults(Diagnostic("wrong-slope", message, "fit the trials again", node.span))
        if (unit := TIME_UNITS.get(measure)) and form.unit != unit:
            message = f"the scale of {what} is kept in {unit}, not in {shown(form.unit)}"
            raise Faults(Diagnostic("wrong-unit", message, "fit the trials again", node.span))
        return Scale(
            measure, **{name: getattr(form, name) for name in ScaleForm.model_fields} | {"trials": int(form.trials)}
        )

    return lambda node, what, context: told(node, lambda: read(node, what, context))


_SCALE = form_schema(ScaleForm)


class ScalesForm(Form):
    """A maker's own scales."""

    what: ClassVar[str] = "a file of scales"
    example: ClassVar[str] = "what 'barwright trial fit --save' writes"

    trace: Annotated[Scale | None, Read("trace", _scale_of("trace"), _SCALE)] = Field(
        default=None, description="Seconds to trace."
    )
    set_up: Annotated[Scale | None, Read("set_up", _scale_of("set_up"), _SCALE)] = Field(
        default=None, description="Hours to unmould."
    )
    hardness: Annotated[Scale | None, Read("hardness", _scale_of("hardness"), _SCALE)] = Field(
        default=None, description="Hardness in the unit of the maker's instrument."
    )


def read_scales(path: Path) -> Mapping[str, Scale]:
    """The scales of a file by measure.

    Raises:
        BadInput: with every fault of the file, in file order.
    """
    source = read_yaml(path)
    if not "".join(line.split("#")[0] for line in source.lines).strip():  # as a fit leaves it that can use none
        return {}
    form = read_form(ScalesForm, source)
    found = {name: getattr(form, name) for name in MEASURES}
    return {name: scale for name, scale in found.items() if scale is not None}


def nearest_scales(goal_file: Path) -> Path | None:
    """The scales of the nearest folder `trials` that has any, going up from the folder of a goal file."""
    start = goal_file.absolute().parent
    candidates = (folder / FOLDER / FILE for folder in (start, *start.parents))
    return next((path for path in candidates if path.is_file()), None)


HEADER = """\
# A maker's own scales, from the trials beside this file. `barwright trial fit --save` writes it; fit again, do not edit.
# offset + slope x index is the logarithm to base 2 of the seconds to trace or hours to unmould, or the hardness reading.
"""


def scales_yaml(scales: Mapping[str, Scale]) -> str:
    """Scales as the text of a file, in a fixed order."""
    return HEADER + "".join(_scale_yaml(scales[name]) for name in MEASURES if name in scales)


def _scale_yaml(scale: Scale) -> str:
    names = ("slope", "offset", "trials", "error", "freedom", "centre", "spread", "lowest", "highest", "left_out")
    lines = [f"{scale.measure}:", f"  unit: {json.dumps(scale.unit, ensure_ascii=False)}"]
    lines += [f"  {name}: {getattr(scale, name):.12g}" for name in names]
    if scale.levers:
        lines.append("  levers:")
        lines += [
            f"    {name}: {{points: {lever.points:.6g}, book: {lever.book:.6g}, at: {lever.at:.6g}}}"
            for name, lever in scale.levers.items()
        ]
    return "\n".join(lines) + "\n"
