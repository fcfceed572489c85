"""How much is made, how it is poured, and what a cured bar weighs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, ClassVar

from optimiser.files.fields import FIGURE, SWITCH, TEXT, read_switch, within
from optimiser.files.moulds import mould_schema, read_mould
from optimiser.problem.batch import (
    DEFAULT_BAR,
    DEFAULT_BATTER,
    DEFAULT_CURED_WATER,
    DEFAULT_FATS,
    MOST_FATS,
    Batch,
    Mould,
)
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Read, field, read_part, scalar
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Table, Text
from optimiser.text.quantities import (
    Misread,
    read_count,
    read_mass,
    read_share,
    read_temperature,
    write_number,
)
from optimiser.text.spans import Span

MOST_BARS = 1_000_000
BARS_MADE = f"write a number from 1 to {MOST_BARS:,}"
MOST_CURED = 100.0  # kg
MOST_BATTER = 2.0 * MOST_FATS  # kg
SIZES = ("bars", "fats", "mould", "batter")  # keys that say how much is made


def _mass(most_kg: float) -> Callable[[Node, str, Any], float]:
    def read(node: Node, what: str, _: Any) -> float:
        return mass_within(scalar(node, what), what, most_kg)

    return read


def mass_within(text: str, what: str, most_kg: float) -> float:
    """A mass in kg, of what can be made.

    Raises:
        Misread: no mass, nothing, or more than anybody makes.
    """
    message = f"{what} of {text.strip()} cannot be made"
    return within(read_mass(text, what), 0.0, most_kg, message, f"it lies above 0 and up to {write_number(most_kg)} kg")


def _bars(node: Node, what: str, _: Any) -> int:
    text = scalar(node, what)
    count = read_count(text.casefold().removesuffix("bars"), what)
    return int(within(count, 0.0, MOST_BARS, f"{count:.12g} bars cannot be made", BARS_MADE))


def _temperature(node: Node, what: str, _: Any) -> float:
    text = scalar(node, what)
    help_ = "batter is poured between about 20 and 60 degC; 10 to 95 degC is taken"
    return within(read_temperature(text, what), 9.999, 95.0, f"{text.strip()} is no heat to pour a batter at", help_)


def _cured_water(node: Node, what: str, _: Any) -> float:
    share = read_share(scalar(node, what), what)
    return (
        within(share.value, -1e-9, 40.0, f"a cured bar cannot be {share.digits} % water", "0 % to 40 %; 10 % is usual")
        / 100.0
    )


CURED_WEIGHT: Read[float | None] = Read("cured_weight", _mass(MOST_CURED), TEXT)
TEMPERATURE: Read[float | None] = Read("batter_temperature", _temperature, TEXT)
GEL: Read[bool | None] = Read("gel", read_switch, SWITCH)
CURED_WATER: Read[float | None] = Read("cured_water", _cured_water, FIGURE)
BARS: Read[int | None] = Read("bars", _bars, {"type": ["integer", "string"]})


class BatchForm(Form):
    """How much is made: a number of bars, a mass of fats or of batter, or a mould; and how it is poured and cured."""

    what: ClassVar[str] = "the batch"
    example: ClassVar[str] = (
        "batch: {bars: 36, cured_weight: 110 g}, {fats: 2.5 kg}, {batter: 4 kg} or {mould: {length: 30 cm, width: 9 cm, depth: 7 cm}}"
    )
    usual: ClassVar[Mapping[str, str]] = {
        "oils": "fats",
        "oil": "fats",
        "mold": "mould",
        "weight": "cured_weight",
        "temperature": "batter_temperature",
        "pot": "batter",
        "cure": "it stands under goals, as in goals: {cure: 8 weeks}",
    }

    bars: int | None = field(BARS, default=None, description="How many bars.")
    fats: float | None = field(
        Read("fats", _mass(MOST_FATS), TEXT), default=None, description="The mass of all fats, as in 2.5 kg."
    )
    mould: Mould | None = field(
        Read("mould", read_mould, mould_schema),
        default=None,
        description="The mould to fill, by its inside measures, or by its cavities; or a list of moulds.",
    )
    batter: float | None = field(
        Read("batter", _mass(MOST_BATTER), TEXT),
        default=None,
        description="The mass of all that goes into the pot, as in 4 kg.",
    )
    cured_weight: float | None = field(
        CURED_WEIGHT, default=None, description="What one cured bar weighs, as in 110 g."
    )
    batter_temperature: float | None = field(
        TEMPERATURE, default=None, description="How warm the batter is poured, as in 35 degC or 95 degF."
    )
    gel: bool | None = field(
        GEL, default=None, description="Whether the bars are covered and go through gel: yes or no."
    )
    cured_water: float | None = field(
        CURED_WATER, default=None, description="Share of the cured bar that is water, as in 10 %."
    )
    scale: float | None = field(
        Read("scale", _mass(1.0), TEXT), default=None, description="The step of the balance, as in 1 g."
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:  # noqa: ARG003
        """Refuses a batch that is measured in two ways."""
        sizes = [name for name in keys if name in SIZES]
        if len(sizes) > 1:
            first, second = keys[sizes[0]], keys[sizes[1]]
            message = f"the batch is measured by '{first}' and by '{second}'"
            note = (f"'{first}' stands here", first.span)
            raise Faults(Diagnostic(Code.CONTRADICTION, message, "keep the one that counts", second.span, (note,)))

    def as_batch(self, span: Span | None) -> Batch:
        """The batch, with defaults for what was not told."""
        sized = self.bars is not None or self.mould is not None or self.batter is not None
        return Batch(
            fats_kg=self.fats if self.fats is not None or sized else DEFAULT_FATS,
            bars=self.bars,
            mould=self.mould,
            batter_kg=self.batter,
            cured_weight_kg=DEFAULT_BAR if self.cured_weight is None else self.cured_weight,
            batter_temperature=DEFAULT_BATTER if self.batter_temperature is None else self.batter_temperature,
            gel=bool(self.gel),
            cured_water=DEFAULT_CURED_WATER if self.cured_water is None else self.cured_water,
            scale_g=None if self.scale is None else self.scale * 1000.0,
            span=span,
            given=frozenset(name for name in self.given if getattr(self, name) is not None),
        )


def is_mass(text: str) -> bool:
    """Whether a text is a mass."""
    try:
        read_mass(text, "mass")
    except Misread:
        return False
    return True


def read_batch(node: Node, _what: str, _: Any = None) -> Batch:
    """A batch from its entries.

    Raises:
        Faults: everything that is wrong with it.
    """
    if isinstance(node, Text) and is_mass(node):
        message = f"{BatchForm.what} is {shown(node.strip())}, and that may be of fats, of batter or of bars"
        text = node.strip()
        help_ = f"for a mass of all fats write batch: {{fats: {text}}}, for one of all in the pot {{batter: {text}}}"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, help_, node.span))
    batch = read_part(BatchForm, node).as_batch(node.span)
    entries = node.items() if isinstance(node, Table) else ()
    return batch._replace(scale_span=next((value.span for key, value in entries if fold(key) == "scale"), None))
