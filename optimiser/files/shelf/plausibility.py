"""What a maker says of a fat on the shelf, held against what the reference table knows of it.

A saponification value that is a slip ends as free alkali in the soap, so a figure that the fat cannot have is refused.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from optimiser.files.keys import unknown_fat
from optimiser.files.taken_names import stands_for
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.materials.lye import KOH, NAOH
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Gathering
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Table, Text
from optimiser.text.quantities import Misread, read_number, write_number
from optimiser.text.spans import Span

ROOM = 0.15  # how far outside the reference range a figure may lie, as a part of it: our judgement
OWN_FIGURES = ("kind", "saponification_value", "iodine_value")


def check_entry(entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
    """Checks an entry of a shelf as far as it can be read, whatever else is wrong with it.

    Raises:
        Faults: a name that stands for nothing, figures out of place, or ones that the fat cannot have; no price.
    """
    faults = Gathering()
    name, model = _text(entries.get("fat")), _text(entries.get("like"))
    known = reference().find(model or name or "")
    if model is not None and known is None:
        faults.add(unknown_fat(model, "'like' wants a fat of the reference table; 'barwright fats' lists them"))
    if name is not None:
        faults.add(*_name_faults(name, model, keys))
        if "price" not in keys and "packs" not in keys:
            help_ = "write price: 3.10 / kg, or packs: [{size: 5 kg, price: 14.90}]"
            faults.add(Diagnostic(Code.MISSING_KEY, f"no price is given for {shown(name)}", help_, name.span))
    if known is not None:
        faults.add(*_figure_faults(known, entries, own=model is not None))
    faults.settle()


def _name_faults(name: Text, model: Text | None, keys: Mapping[str, Text]) -> Iterator[Diagnostic]:
    known = reference().find(name)
    if known is None:
        if model is None:
            yield unknown_fat(name, "For a fat of your own, add 'like:' and the fat that comes nearest to it.")
        elif (other := stands_for(name)) is not None:
            help_ = f"give it a name of its own, as in 'house {' '.join(name.split())}'"
            yield Diagnostic(
                Code.TAKEN_NAME, f"{shown(name)} stands for {other}, so no fat can be called so", help_, name.span
            )
        return
    if model is not None:
        message = f"{shown(name)} is {known.name} of the reference table, so 'like' says nothing"
        help_ = "take 'like' out, or give the fat a name of its own"
        yield Diagnostic(Code.CONTRADICTION, message, help_, keys["like"].span)
        return
    for field in OWN_FIGURES:
        if field in keys:
            help_ = "take it out" if field == "kind" else "a certificate's figures stand in 'lot'"
            message = f"{known.name} has its {field.replace('_', ' ')} from the reference table"
            help_ = f"{help_}, or give the fat a name of its own with 'like'"
            yield Diagnostic(Code.CONTRADICTION, message, help_, keys[field].span)


def _figure_faults(known: Fat, entries: Mapping[str, Node], *, own: bool) -> Iterator[Diagnostic]:
    """Figures of a fat of the maker's own, or of a lot, that the fat it is cannot have."""
    given: list[Node | None] = [entries.get("saponification_value") if own else None]
    kind = _text(entries.get("kind"))
    if own and kind is not None and (fold(kind) in ("wax", "waxes")) != (known.kind == "wax"):
        message = f"{known.name} is {'a wax' if known.kind == 'wax' else 'no wax'}, and a fat that is like it is so too"
        yield Diagnostic(Code.CONTRADICTION, message, "choose another fat for 'like', or take the kind out", kind.span)
    lot = entries.get("lot")
    if isinstance(lot, Table) and known.kind != "wax":  # a wax keeps its acid value, whatever a certificate says
        given.append(next((value for key, value in lot.items() if fold(key) == "saponification value"), None))
    for node in given:
        value = figure_in(node)
        if node is not None and value is not None and value > 0:
            fault = implausible(value, known, node.span)
            if fault is not None:
                yield fault


def implausible(value: float, fat: Fat, span: Span) -> Diagnostic | None:
    """The fault of a saponification value that this fat cannot have, naming the slip that it most looks like.

    Factors: 1000 mg/g, and the molar masses of the two hydroxides.
    """
    low, high = (1 - ROOM) * fat.saponification.low, (1 + ROOM) * fat.saponification.high
    if low <= value <= high:
        return None
    slips = (
        (1000.0 * KOH / NAOH, "grams of sodium hydroxide per gram of fat"),
        (1000.0, "grams of potassium hydroxide per gram of fat"),
        (KOH / NAOH, "milligrams of sodium hydroxide per gram of fat"),
    )
    about = f"{fat.saponification.low:.0f} to {fat.saponification.high:.0f} for {fat.name}"
    help_ = f"it is in mg potassium hydroxide per g: {about}"
    if fat.kind == "wax":
        help_ = f"for a wax only the acid value counts towards alkali, in mg potassium hydroxide per g: {about}"
    for factor, words in slips:
        meant = value * factor
        if low <= meant <= high:
            help_ = f"this looks like {words}; in mg potassium hydroxide per g that is {meant:.1f}: if so, write {meant:.1f}"
            break
    message = f"{write_number(value)} cannot be the saponification value of {fat.name}"
    return Diagnostic(Code.IMPLAUSIBLE_SAPONIFICATION, message, help_, span)


def _text(node: Node | None) -> Text | None:
    return node if isinstance(node, Text) and not node.is_blank else None


def in_sheet(span: Span) -> bool:
    """Whether a place is in a spreadsheet, where columns are filled and no keys are written."""
    return span.file.lower().endswith(".csv")


def figure_in(node: Node | None) -> float | None:
    """The figure, if it can be read at all; what is wrong with one that cannot is told elsewhere."""
    try:
        return read_number(node).value if isinstance(node, Text) else None
    except Misread:
        return None
