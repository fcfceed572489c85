"""What a shelf states for a label: names of its own, and the allergens of a scent as its supplier's paper has them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from optimiser.files.fields import FIGURE, OFF
from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat, LabelNames
from optimiser.materials.label_names import STATED, find_allergen
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Gathering, Schema, table, told
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Table, Text
from optimiser.text.quantities import Misread, read_share

COLUMNS = ("inci", "inci_sodium_soap", "inci_potassium_soap", "allergens")
"""Of a spreadsheet."""
EXAMPLE = "allergens: {linalool: 30 %, limonene: 2 %}"
ALLERGENS: Schema = {
    "anyOf": [{"type": "object", "additionalProperties": FIGURE}, {"type": "string"}],
}
ROOM = 0.05  # per cent beyond a hundred, for figures that were rounded on paper
_PART = re.compile(r"(?P<name>.*[^\s:=])\s*[:=\s]\s*(?P<share>[+\-]?\d[\d.,]*\s*%?)")

Stated = tuple[tuple[str, float], ...]


def read_allergens(node: Node, what: str, _: Any) -> Stated:
    """Allergens by name, each in per cent of the scent; `none` where the paper says that there is none.

    A mapping, or as a cell of a spreadsheet has them: "linalool 30 %; limonene 2 %".

    Raises:
        Faults: a share that cannot be, a name twice, or more than the whole.
    """
    if isinstance(node, Text):
        if fold(node) in OFF:
            return ()
        node = parted(node)
    faults, out, keys = Gathering(), [], dict[str, Text]()
    for key, value in table(node, f"'{what}'", EXAMPLE).items():
        with faults:
            known = find_allergen(key) or " ".join(key.split())
            first = keys.setdefault(fold(known), key)
            if first is not key:
                raise Faults(repeated(key, first))
            out.append((known, _share(key, value)))
    whole = sum(share for _, share in out)
    if whole > 100.0 + ROOM:
        message = f"these allergens are {whole:g} % of it together, and nothing holds more than 100 %"
        faults.add(Diagnostic(Code.OUT_OF_RANGE, message, "look at the supplier's paper again", node.span))
    faults.settle()
    return tuple(out)


def _share(key: Text, value: Node) -> float:
    """How much of a scent an allergen is, in per cent."""
    if not isinstance(value, Text):
        message = f"how much of {shown(key)} there is is one figure"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"write it like {EXAMPLE}", value.span))

    def read() -> float:
        share = read_share(value, key)
        if not 0.0 <= share.value <= 100.0:
            raise Misread(Code.OUT_OF_RANGE, f"{share.digits} % of a scent cannot be", "it lies between 0 % and 100 %")
        return share.value

    return told(value, read)


def parted(cell: Text) -> Table:
    """A text that holds several allergens, parted by semicolons, as a mapping.

    Raises:
        Faults: a part of it is no name with a share.
    """
    made = Table(cell.span)
    for part in _parts(cell):
        found = _PART.fullmatch(part)
        if found is None:
            message = f"{shown(part)} is no allergen with its share"
            help_ = f"write {EXAMPLE}, or in a spreadsheet: linalool 30 %; limonene 2 %"
            raise Faults(Diagnostic(Code.WRONG_SHAPE, message, help_, cell.span))
        made[Text(found["name"], cell.span)] = Text(found["share"], cell.span)
    return made


def _parts(cell: Text) -> Iterator[str]:
    return (part.strip() for part in cell.split(";") if part.strip())


def named_fat(fat: Fat, inci: Text | None, sodium_soap: Text | None, potassium_soap: Text | None) -> Fat:
    """The fat with the names that the shelf states, in place of the table's."""
    if inci is None and sodium_soap is None and potassium_soap is None:
        return fat
    was = fat.label or LabelNames("", "", "", "", "", "the shelf", STATED, verified=True)
    return fat._replace(
        label=was._replace(
            oil=inci or was.oil,
            in_eu="" if inci else was.in_eu,
            sodium_soap=sodium_soap or was.sodium_soap,
            potassium_soap=potassium_soap or was.potassium_soap,
            source="the shelf",
            how=STATED,
            verified=True,
        )
    )


def named_extra(item: Additive, inci: Text | None, allergens: Stated | None = None) -> Additive:
    """The additive or liquid with what the shelf states of it."""
    return item._replace(inci=inci or "", allergens=allergens)
