"""Several lots of one fat on the shelf: each with its number, its stock, its certificate and its day, as a form and as values."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar, NamedTuple

from optimiser.files.fields import FIGURE, TEXT, as_name, read_date
from optimiser.files.shelf.money import read_price
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.problem.money import Price
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, read_part, scalar
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Row, Table, Text, kind_of
from optimiser.text.quantities import Misread, read_mass, read_number
from optimiser.text.spans import Span

EXAMPLE = "lots: [{number: CO-2291, stock: 4 kg, saponification_value: 256.4, tolerance: 1.5, best_before: 2027-03-01}]"
IN_EACH_LOT = ("stock", "lot")
"""Keys of a fat that cannot stand beside its lots: each lot has its own."""


def read_stock(node: Node, what: str, _: Any) -> float:
    """How much there is, kg.

    Raises:
        Misread: there cannot be so much.
    """
    text = scalar(node, what)
    kilograms = read_mass(text, what)
    if not 0 <= kilograms <= 1e6:
        raise Misread(
            Code.OUT_OF_RANGE,
            f"a stock of {text.strip()} cannot be",
            "write 0 kg for none, or leave it out for what can be bought",
        )
    return kilograms


def figure(low: float, high: float, unit: str) -> Any:
    """A reader of a figure between two ends, in a unit that may stand behind it or not."""

    def read(node: Node, what: str, _: Any) -> float:
        text = scalar(node, what)
        number = read_number(text)
        if number.rest and fold(number.rest) != fold(unit):
            raise Misread(
                Code.WRONG_UNIT,
                f"{what.replace('_', ' ')} is given in {unit}, not in {shown(number.rest)}",
                f"write {number.digits}",
            )
        if not low <= number.value <= high:
            raise Misread(
                Code.OUT_OF_RANGE,
                f"{what.replace('_', ' ')} cannot be {number.digits}",
                f"it lies between {low:g} and {high:g} {unit}",
            )
        return number.value

    return read


SAPONIFICATION = figure(0.0, 1000.0, "mg KOH/g")
IODINE = figure(0.0, 300.0, "g I2/100 g")
TOLERANCE = figure(0.0, 20.0, "mg KOH/g")


class OneLot(NamedTuple):
    """One of several lots as it is told; what is None is not told, and then the fat's own figure serves."""

    number: Text
    stock: float | None
    price: Price | None
    saponification_value: float | None
    tolerance: float | None
    iodine_value: float | None
    best_before: str
    span: Span


class LotForm(Form):
    """A supplier's certificate for one lot."""

    what: ClassVar[str] = "a lot"
    example: ClassVar[str] = "lot: {number: CO-2291, saponification_value: 256.4, tolerance: 1.5}"
    usual: ClassVar[Mapping[str, str]] = {
        "sv": "saponification_value",
        "iv": "iodine_value",
        "batch": "number",
        "id": "number",
        "no": "number",
        **dict.fromkeys(("use by", "expires", "expiry", "bbd"), "best_before"),
    }

    number: str = field(
        Read("number", as_name, {"type": ["string", "number"]}), default="", description="The lot's number."
    )
    saponification_value: float = field(
        Read("saponification_value", SAPONIFICATION, FIGURE),
        description="From the certificate, in mg potassium hydroxide per g, as in 256.4.",
    )
    tolerance: float | None = field(
        Read("tolerance", TOLERANCE, FIGURE),
        default=None,
        description="How far off that figure may be either way, in the same unit; 2 where nothing is told.",
    )
    iodine_value: float | None = field(
        Read("iodine_value", IODINE, FIGURE), default=None, description="From the certificate, in g iodine per 100 g."
    )
    best_before: str = field(
        Read("best_before", read_date, TEXT), default="", description="The day up to which it keeps, as in 2027-03-01."
    )


def read_lot(node: Node, _what: str, _: Any) -> tuple[LotForm, Span]:
    """A certificate, and where it stands."""
    return read_part(LotForm, node), node.span


class LotOfSeveral(Form):
    """One of several lots of a fat: its stock and price, its certificate, the day up to which it keeps."""

    what: ClassVar[str] = "a lot"
    example: ClassVar[str] = EXAMPLE
    usual: ClassVar[Mapping[str, str]] = {
        "sv": "saponification_value",
        "iv": "iodine_value",
        "cost": "price",
        **dict.fromkeys(("batch", "id", "no", "lot"), "number"),
        **dict.fromkeys(("amount", "weight", "left"), "stock"),
        **dict.fromkeys(("use by", "expires", "expiry", "bbd"), "best_before"),
    }
    beside: ClassVar[dict[str, Any]] = {
        "dependencies": {"tolerance": ["saponification_value"]},
    }

    number: Text = field(
        Read("number", as_name, {"type": ["string", "number"]}), description="The lot's number, as on the tin."
    )
    stock: float | None = field(
        Read("stock", read_stock, TEXT),
        default=None,
        description="How much of it there is, as in 4 kg; left out, more of it can be bought.",
    )
    price: Price | None = field(
        Read("price", read_price, TEXT), default=None, description="Where it differs from the fat's, as in 3.10 / kg."
    )
    saponification_value: float | None = field(
        Read("saponification_value", SAPONIFICATION, FIGURE),
        default=None,
        description="From its certificate, in mg potassium hydroxide per g; without one the fat's own figures serve.",
    )
    tolerance: float | None = field(
        Read("tolerance", TOLERANCE, FIGURE),
        default=None,
        description="How far off that figure may be either way, in the same unit; 2 where nothing is told.",
    )
    iodine_value: float | None = field(
        Read("iodine_value", IODINE, FIGURE),
        default=None,
        description="From its certificate, in g iodine per 100 g.",
    )
    best_before: str = field(
        Read("best_before", read_date, TEXT),
        default="",
        description="The day up to which it keeps, as in 2027-03-01; older lots go first, and one past it is left out.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:  # noqa: ARG003
        """Refuses a tolerance of nothing."""
        if "tolerance" in keys and "saponification_value" not in keys:
            message = "a tolerance says nothing without the saponification_value that it is of"
            help_ = "write that beside it, from the certificate"
            raise Faults(Diagnostic(Code.MISSING_KEY, message, help_, keys["tolerance"].span))


def read_lots(node: Node, _what: str, _: Any) -> tuple[OneLot, ...]:
    """Every lot of a list, no two of one number.

    Raises:
        Faults: everything that is wrong with them.
    """
    if not isinstance(node, Row):
        message = f"'lots' is a list, and this is {kind_of(node)}"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"write {EXAMPLE}, or 'lot' for one alone", node.span))
    if not node:
        raise Faults(Diagnostic(Code.NO_VALUE, "there is no lot in this list", f"write {EXAMPLE}", node.span))
    faults, out, seen = Gathering(), [], dict[str, Text]()
    for item in node:
        with faults:
            told = read_part(LotOfSeveral, item)
            first = seen.setdefault(fold_fat(told.number), told.number)
            if first is not told.number:
                message = f"the lot {shown(told.number)} is told twice"
                help_ = "add up what there is of it, and tell it once"
                note = (("first given here", first.span),)
                raise Faults(Diagnostic(Code.REPEATED_NAME, message, help_, told.number.span, note))
            figures = (told.saponification_value, told.tolerance, told.iodine_value)
            out.append(OneLot(told.number, told.stock, told.price, *figures, told.best_before, told.number.span))
    faults.settle()
    return tuple(out)


def beside_lots(keys: Mapping[str, Text]) -> list[Diagnostic]:
    """The faults of keys of a fat that stand beside its lots, and that each of these has for itself."""
    if "lots" not in keys:
        return []
    out = []
    for name in IN_EACH_LOT:
        if name in keys:
            message = f"'{name}' stands beside 'lots', and nobody can say of which lot it is"
            help_ = "tell it in the lot that it belongs to"
            if name == "lot":
                help_ = "put it into the list of 'lots'"
            out.append(Diagnostic(Code.CONTRADICTION, message, help_, keys[name].span))
    return out


def lot_tables(entries: Mapping[str, Node]) -> list[Mapping[str, Node]]:
    """The lots of an entry as far as they can be read, each with its keys folded."""
    lots = entries.get("lots")
    tables = [item for item in lots if isinstance(item, Table)] if isinstance(lots, Row) else []
    return [{fold(key): value for key, value in item.items()} for item in tables]


def numbers_in(entries: Mapping[str, Node]) -> list[Text]:
    """The numbers of the lots of an entry, or of its one lot, as far as they can be read."""
    alone = entries.get("lot")
    one = [{fold(key): value for key, value in alone.items()}] if isinstance(alone, Table) else []
    found = [item.get("number") for item in (*one, *lot_tables(entries))]
    return [Text(" ".join(one.split()), one.span) for one in found if isinstance(one, Text) and one.strip()]


def all_have(entries: Mapping[str, Node], key: str) -> bool:
    """Whether there are lots, and each of them tells something by itself."""
    tables = lot_tables(entries)
    return bool(tables) and all(fold(key) in item for item in tables)
