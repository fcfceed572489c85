"""The mould that a batch is to fill, or several: a block, a cylinder, or cavities by their measures or by what they hold."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from optimiser.files.fields import TEXT, within
from optimiser.problem.batch import Mould
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, Schema, SchemaOf, field, form_schema, read_part, scalar
from optimiser.text.nodes import Node, Row, Text
from optimiser.text.quantities import Misread, read_count, read_length, read_share, read_volume
from optimiser.text.spans import Span

MOST_LENGTH = 500.0  # cm
MOST_CAVITIES = 10_000
MOST_CAVITY = 100_000.0  # mL
MOST_HEADROOM = 0.5  # of a mould: more is another mould
SHAPES = {
    ("length", "width", "depth"): "mould: {length: 30 cm, width: 9 cm, depth: 7 cm}",
    ("diameter", "depth"): "mould: {diameter: 8 cm, depth: 20 cm}",
    ("volume",): "mould: {cavities: 12, volume: 100 ml}",
}
"""What tells a mould, one of these and all of it, and how it is written."""

HOW_MANY = ("cavities", "moulds", "headroom")
"""What may stand beside any of them."""

MOST_MOULDS = 100  # of different shapes


def length_in_cm(text: str, what: str) -> float:
    """An inside measure in cm.

    Raises:
        Misread: no length, or none that a mould has.
    """
    told = f"a {what} of {text.strip()} is no mould"
    return within(read_length(text, what), 0.0, MOST_LENGTH, told, "it lies above 0 and up to 5 m")


def cavities_in(text: str) -> int:
    """How many cavities.

    Raises:
        Misread: no whole number, or none that a mould has.
    """
    count = read_count(text.casefold().replace("cavities", "").replace("cavity", ""), "cavities")
    return int(within(count, 0.0, MOST_CAVITIES, f"{count} cavities are no mould", "write a number from 1"))


def moulds_in(text: str) -> int:
    """How many moulds alike.

    Raises:
        Misread: no whole number, or none that anybody fills.
    """
    count = read_count(text.casefold().replace("moulds", "").replace("mould", ""), "moulds")
    return int(within(count, 0.0, MOST_CAVITIES, f"{count} moulds are none to fill", "write a number from 1"))


def cavity_in_ml(text: str) -> float:
    """What a cavity holds, in mL.

    Raises:
        Misread: no volume, or none that a cavity has.
    """
    told = f"a cavity of {text.strip()} is no mould"
    return within(read_volume(text, "volume"), 0.0, MOST_CAVITY, told, "it lies above 0 and up to 100 l")


def headroom_of(text: str, depth_cm: float) -> float:
    """The part of a mould that is left empty: told as a share of it, or as a length below its brim.

    Raises:
        Misread: neither, or more than half of it.
    """
    help_ = "write it as in 1 cm or 10 %, up to half of the mould"
    if "%" in text or not depth_cm:
        part = read_share(text, "headroom").value / 100.0
    else:
        part = read_length(text, "headroom") / depth_cm
    return within(part, -1e-12, MOST_HEADROOM, f"a headroom of {text.strip()} leaves no mouldful", help_)


def _length(node: Node, what: str, _: Any) -> float:
    return length_in_cm(scalar(node, what), what)


def _count(node: Node, what: str, _: Any) -> int:
    return cavities_in(scalar(node, what))


def _moulds(node: Node, what: str, _: Any) -> int:
    return moulds_in(scalar(node, what))


def _volume(node: Node, what: str, _: Any) -> float:
    return cavity_in_ml(scalar(node, what))


def _headroom(node: Node, what: str, _: Any) -> Text:
    text = scalar(node, what)
    headroom_of(text, 1e6)  # that it is a length or a share; against the depth it is held by the form
    return text


class MouldForm(Form):
    """The inside of the mould: length, width and depth; diameter and depth; or a volume. Of cavities, those of each."""

    what: ClassVar[str] = "the mould"
    example: ClassVar[str] = (
        "mould: {length: 30 cm, width: 9 cm, depth: 7 cm}, {diameter: 8 cm, depth: 20 cm} or {cavities: 12, volume: 100 ml}"
    )
    usual: ClassVar[Mapping[str, str]] = {
        "height": "depth",
        "long": "length",
        "wide": "width",
        "deep": "depth",
        "cavity": "volume",
        "each": "volume",
        "number": "moulds",
        "count": "moulds",
        "mould": "moulds",
        "holds": "volume",
        "radius": "write its diameter, twice the radius",
        "room": "headroom",
    }

    length: float | None = field(
        Read("length", _length, TEXT), default=None, description="Inside length, as in 30 cm or 12 in."
    )
    width: float | None = field(Read("width", _length, TEXT), default=None, description="Inside width, as in 9 cm.")
    depth: float | None = field(
        Read("depth", _length, TEXT), default=None, description="How high it is filled, as in 7 cm."
    )
    diameter: float | None = field(
        Read("diameter", _length, TEXT), default=None, description="Inside diameter of a round mould, as in 8 cm."
    )
    cavities: int | None = field(
        Read("cavities", _count, {"type": ["integer", "string"]}),
        default=None,
        description="How many cavities, as in 12; the measures, or the volume, are those of each. A bar comes out of each, unless cured_weight says what one weighs.",
    )
    moulds: int | None = field(
        Read("moulds", _moulds, {"type": ["integer", "string"]}),
        default=None,
        description="How many moulds alike are filled, as in 2.",
    )
    volume: float | None = field(
        Read("volume", _volume, TEXT),
        default=None,
        description="What it holds, or each of its cavities, as in 100 ml or 1.9 l.",
    )
    headroom: Text | None = field(
        Read("headroom", _headroom, TEXT),
        default=None,
        description="What is left empty below the brim, as in 1 cm or 10 %.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:  # noqa: ARG003
        """Refuses a mould of which a measure is missing, and one that is told in two ways."""
        told = [name for name in keys if name not in HOW_MANY]
        if not told:
            if "cavities" in keys:
                raise Faults(cls._lacks("volume", SHAPES["volume",], keys["cavities"].span))
            return
        fit = [shape for shape in SHAPES if set(told) <= set(shape)]
        if not fit:
            message = f"no mould has {', '.join(told[:-1])} and {told[-1]}"
            raise Faults(Diagnostic(Code.CONTRADICTION, message, f"write it like {cls.example}", keys[told[-1]].span))
        if any(set(shape) <= set(told) for shape in fit):
            return
        missing = next(name for name in fit[0] if name not in told)
        raise Faults(cls._lacks(missing, SHAPES[fit[0]], keys[told[0]].span))

    @classmethod
    def _lacks(cls, name: str, example: str, span: Span) -> Diagnostic:
        return Diagnostic(Code.MISSING_KEY, f"{cls.what} has no '{name}'", f"write it like {example}", span)

    def as_mould(self) -> Mould:
        """The mould as a value.

        Raises:
            Faults: it has no measures, or its headroom leaves too little of it.
        """
        mould = Mould(
            *(self.length or 0.0, self.width or 0.0, self.depth or 0.0, self.diameter or 0.0),
            cavities=(self.cavities or 1) * (self.moulds or 1),
            each_ml=self.volume or 0.0,
            is_cavities=self.cavities is not None,
        )
        if self.headroom is None:
            return mould
        try:
            return mould._replace(headroom=headroom_of(self.headroom, mould.depth_cm))
        except Misread as fault:
            raise Faults(Diagnostic(fault.code, fault.message, fault.help, self.headroom.span)) from None


def read_mould(node: Node, _what: str, context: Any) -> Mould:
    """A mould from its entries, or several from a list of them.

    Raises:
        Faults: everything that is wrong with it.
    """
    if not isinstance(node, Row):
        return _one(node, context)
    if not 0 < len(node) <= MOST_MOULDS:
        message = "the list of moulds is empty" if not len(node) else f"{len(node)} moulds are more than are listed"
        help_ = f"list up to {MOST_MOULDS} of different shapes; for moulds alike write moulds: 24"
        raise Faults(Diagnostic(Code.NO_VALUE if not len(node) else Code.TOO_MUCH, message, help_, node.span))
    faults = Gathering()
    found = []
    for item in node:
        with faults:
            found.append(_one(item, context))
    faults.settle()
    return found[0]._replace(beside=tuple(found[1:]))


def _one(node: Node, context: Any) -> Mould:
    form = read_part(MouldForm, node, context)
    if not form.given - set(HOW_MANY):
        message = f"{MouldForm.what} has no measures"
        raise Faults(Diagnostic(Code.NO_VALUE, message, f"write it like {MouldForm.example}", node.span))
    return form.as_mould()


def mould_told(mould: Mould) -> str:
    """A mould, or a list of them, as a file tells it inside braces; it is read back as it is."""
    every = [_told(one) for one in (mould, *mould.beside)]
    return every[0] if len(every) == 1 else f"[{', '.join(every)}]"


def _told(mould: Mould) -> str:
    sides = (
        *(("length", mould.length_cm, "cm"), ("width", mould.width_cm, "cm"), ("diameter", mould.diameter_cm, "cm")),
        *(("depth", mould.depth_cm, "cm"), ("volume", mould.each_ml, "ml"), ("headroom", 100.0 * mould.headroom, "%")),
    )
    parts = [f"{name}: {figure:.12g} {unit}" for name, figure, unit in sides if figure]
    if mould.is_cavities:
        parts.insert(0, f"cavities: {mould.cavities}")
    elif mould.cavities > 1:
        parts.insert(0, f"moulds: {mould.cavities}")
    return f"{{{', '.join(parts)}}}"


def mould_schema(schema_of: SchemaOf) -> Schema:
    """The JSON Schema of a mould, or of a list of moulds."""
    one = form_schema(MouldForm)(schema_of)
    return {"oneOf": [one, {"type": "array", "items": one, "minItems": 1, "maxItems": MOST_MOULDS}]}
