"""The file of a maker's own scales, ``trials/scales.yaml``: read like every other file, and written by `trial fit --save`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, ClassVar

from optimiser.measures.scales import MEASURES, TIME_UNITS, OwnLever, Scale, direction, least_trials
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import (
    Faults,
    Form,
    Gathering,
    Read,
    field,
    form_schema,
    read_form,
    read_part,
    scalar,
    table,
    told,
)
from optimiser.text.names import shown
from optimiser.text.nodes import Node
from optimiser.text.quantities import Misread, read_plain
from optimiser.text.source import read_yaml
from optimiser.text.writing import scalar as written


def _figure(low: float, high: float) -> Callable[[Node, str, Any], float]:
    def read(node: Node, what: str, _: Any) -> float:
        value = read_plain(scalar(node, what), what).value
        if not low <= value <= high:
            raise Misread(Code.OUT_OF_RANGE, f"{what} of {value:g} is none that a fit gives", "fit the trials again")
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

    points: float = field(_ANY, description="Points per unit by the trials.")
    book: float = field(_ANY, description="Points per unit by the book when the fit was made.")
    at: float = field(_ANY, description="Where the lever stood in the trials on average, in its units.")


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

    unit: str = field(Read("unit", _unit, {"type": "string"}), description="What the readings are in.")
    slope: float = field(_ANY, description="What the straight side changes by for one point of the index.")
    offset: float = field(_ANY, description="Where the straight side stands at an index of 0.")
    trials: float = field(Read("trials", _figure(1, 1e6), _NUMBER), description="How many trials.")
    error: float = field(_NOT_LESS, description="How far one batch strays from the line.")
    freedom: float = field(_ABOVE, description="Degrees of freedom of the error.")
    centre: float = field(_ANY, description="Mean index of the trials.")
    spread: float = field(_ABOVE, description="Root of the sum of squares of the indices about their mean.")
    lowest: float = field(_ANY, description="Lowest index of the trials.")
    highest: float = field(_ANY, description="Highest index of the trials.")
    left_out: float = field(_NOT_LESS, description="How far off a trial is that the fit has not seen.")
    levers: Mapping[str, OwnLever] = field(
        Read("levers", _levers, {"type": "object"}),
        default=MappingProxyType({}),
        description="Levers by the trials, where there were enough of them.",
    )
    behind: float = field(
        _NOT_LESS,
        default=0.0,
        description="How many trials the height of the line rests on, the general scale counted in.",
    )
    own_slope: float = field(
        Read("figure", _figure(0.0, 1.0), _NUMBER),
        default=1.0,
        description="How much of the slope is the trials' own, 0 to 1.",
    )


def _scale_of(measure: str) -> Callable[[Node, str, Any], Scale]:
    def read(node: Node, what: str, _: Any) -> Scale:
        form = read_part(ScaleForm, node)
        if form.slope * direction(measure, form.unit) <= 0:
            way = "falls" if direction(measure, form.unit) < 0 else "rises"
            message = f"a slope of {form.slope:g} runs the wrong way: the reading {way} as {what} goes up"
            raise Faults(Diagnostic(Code.WRONG_SLOPE, message, "fit the trials again", node.span))
        if form.trials < least_trials(measure):
            message = f"{form.trials:g} trials are too few for a scale of {what}"
            raise Faults(Diagnostic(Code.OUT_OF_RANGE, message, f"fit at least {least_trials(measure)}", node.span))
        if (unit := TIME_UNITS.get(measure)) and form.unit != unit:
            message = f"the scale of {what} is kept in {unit}, not in {shown(form.unit)}"
            raise Faults(Diagnostic(Code.WRONG_UNIT, message, "fit the trials again", node.span))
        return Scale(measure, **{name: getattr(form, name) for name in ScaleForm.fields} | {"trials": int(form.trials)})

    return lambda node, what, context: told(node, lambda: read(node, what, context))


_SCALE = form_schema(ScaleForm)


class ScalesForm(Form):
    """A maker's own scales."""

    what: ClassVar[str] = "a file of scales"
    example: ClassVar[str] = "what 'barwright trial fit --save' writes"
    usual: ClassVar[Mapping[str, str]] = {"trace": "trace_speed"}

    trace_speed: Scale | None = field(
        Read("trace_speed", _scale_of("trace_speed"), _SCALE), default=None, description="Seconds to trace."
    )
    set_up: Scale | None = field(
        Read("set_up", _scale_of("set_up"), _SCALE), default=None, description="Hours to unmould."
    )
    hardness: Scale | None = field(
        Read("hardness", _scale_of("hardness"), _SCALE),
        default=None,
        description="Hardness in the unit of the maker's instrument.",
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


HEADER = """\
# A maker's own scales, from the trials beside this file. `barwright trial fit --save` writes it; fit again, do not edit.
# offset + slope x index is the logarithm to base 2 of the seconds to trace or hours to unmould, or the hardness reading.
"""


def scales_yaml(scales: Mapping[str, Scale]) -> str:
    """Scales as the text of a file, in a fixed order."""
    return HEADER + "".join(_scale_yaml(scales[name]) for name in MEASURES if name in scales)


def _scale_yaml(scale: Scale) -> str:
    names = ("slope", "offset", "trials", "error", "freedom", "centre", "spread", "lowest", "highest", "left_out")
    lines = [f"{scale.measure}:", f"  unit: {written(scale.unit)}"]
    lines += [f"  {name}: {getattr(scale, name):.12g}" for name in names]
    lines += [f"  {name}: {getattr(scale, name):.12g}" for name in ("behind", "own_slope") if scale.behind]
    if scale.levers:
        lines.append("  levers:")
        lines += [
            f"    {written(name)}: {{points: {lever.points:.6g}, book: {lever.book:.6g}, at: {lever.at:.6g}}}"
            for name, lever in scale.levers.items()
        ]
    return "\n".join(lines) + "\n"
