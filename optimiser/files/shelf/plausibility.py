"""What a maker says of a fat on the shelf, held against what the reference table knows of it.

A saponification value that is a slip ends as free alkali in the soap, so a figure that the fat cannot have is refused.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from optimiser.files.keys import needs_certificate, unknown_fat
from optimiser.files.shelf.lots import all_have, beside_lots, lot_tables
from optimiser.files.taken_names import stands_for
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.materials.loose_names import find_loose
from optimiser.materials.lye import KOH, NAOH
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Gathering
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Table, Text
from optimiser.text.quantities import Misread, read_number, write_number
from optimiser.text.spans import Span

ROOM = 0.15  # how far outside the reference range a figure may lie, as a part of it: our judgement
OWN_FIGURES = ("kind", "saponification_value", "tolerance", "iodine_value")
LEAST, MOST = 160.0, 360.0
"""mg KOH/g of a fat of which nothing else is known: oils rich in erucic acid lie near 170 (Codex Alimentarius, CXS 210),
fractionated coconut oil reaches 345 (European Pharmacopoeia, from memory); what lies beyond is no fat, or a slip."""
NOT_ALL_FAT = "less than any fat takes: part of it makes no soap, as paraffin does not; it is none to make soap with"
THREE_WAYS = (
    "For a fat of your own, add 'like:' and the fat that comes nearest to it, or 'saponification_value:' from its "
    "certificate."
)
THREE_COLUMNS = (
    "For a fat of your own, fill the column like with the fat that comes nearest to it, or saponification_value from "
    "its certificate."
)


def check_entry(entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
    """Checks an entry of a shelf as far as it can be read, whatever else is wrong with it.

    Raises:
        Faults: a name that stands for nothing, figures out of place, or ones that the fat cannot have; no price.
    """
    faults = Gathering()
    name, model = _text(entries.get("fat")), _text(entries.get("like"))
    known = None if name is None else fat_meant(name, model)
    if model is not None and reference().find(model) is None:
        faults.add(unknown_fat(model, "'like' wants a fat of the reference table; 'barwright fats' lists them"))
    if name is not None:
        is_measured = "saponification_value" in keys or "lot" in keys or all_have(entries, "saponification_value")
        faults.add(*_name_faults(name, model, keys, is_measured=is_measured))
        if not {"price", "packs"} & keys.keys() and not all_have(entries, "price"):
            help_ = "write price: 3.10 / kg, or packs: [{size: 5 kg, price: 14.90}]"
            help_ = "fill the column price, as in 3.10, or packs, as in 5 kg=14.90" if in_sheet(name.span) else help_
            faults.add(Diagnostic(Code.MISSING_KEY, f"no price is given for {shown(name)}", help_, name.span))
    faults.add(*beside_lots(keys))
    if "tolerance" in keys and "saponification_value" not in keys and (name is None or reference().find(name) is None):
        message = "a tolerance says nothing without the saponification_value that it is of"
        help_ = "write that beside it; a certificate's own tolerance stands in 'lot'"
        help_ = "fill that column too, from the certificate" if in_sheet(keys["tolerance"].span) else help_
        faults.add(Diagnostic(Code.MISSING_KEY, message, help_, keys["tolerance"].span))
    if known is not None:
        faults.add(*_figure_faults(known, entries, own=name is None or reference().find(name) is None))
    elif name is not None and model is None:
        faults.add(*_faults_alone(name, entries))
    faults.settle()


def fat_meant(name: str, model: str | None) -> Fat | None:
    """The reference fat whose figures serve: the one it is like, the one it is, or the one that a loose name is like."""
    if model is not None:
        return reference().find(model)
    known, loose = reference().find(name), find_loose(name)
    return reference().get(loose.like) if known is None and loose is not None and loose.like else known


def _name_faults(
    name: Text, model: Text | None, keys: Mapping[str, Text], *, is_measured: bool
) -> Iterator[Diagnostic]:
    known = reference().find(name)
    if known is None:
        loose = find_loose(name)
        if loose is not None and not is_measured:
            help_ = "add the certificate of the lot, lot: {saponification_value: ..., tolerance: ...}"
            help_ = "fill the column saponification_value from the certificate" if in_sheet(name.span) else help_
            yield needs_certificate(name, loose, help_)
        elif model is None and not is_measured:
            yield unknown_fat(name, THREE_COLUMNS if in_sheet(name.span) else THREE_WAYS)
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


def _faults_alone(name: Text, entries: Mapping[str, Node]) -> Iterator[Diagnostic]:
    """What cannot be of a fat that is known by its saponification value alone."""
    kind, figures = _text(entries.get("kind")), list(_values(entries, own=True))
    if not figures:
        return
    called_wax = kind is None and find_loose(name) is None and {"wax", "waxes"} & set(fold(name).split())
    if called_wax or (kind is not None and fold(kind) in ("wax", "waxes")):
        message = "of a wax only the acid value counts towards alkali, and a saponification value does not tell it"
        help_ = "write 'like' and the wax that it is like, or 'kind: hard oil' if it is a hydrogenated oil"
        yield Diagnostic(Code.CONTRADICTION, message, help_, (kind or name).span)
        return
    for node, value in figures:
        if not LEAST <= value <= MOST:
            about = f"from {LEAST:.0f} to {MOST:.0f} for any fat"
            help_ = _slip_in(value, LEAST, MOST) or f"it is in mg potassium hydroxide per g, {about}"
            help_ = NOT_ALL_FAT if value < LEAST and find_loose(name) is not None else help_
            message = f"{write_number(value)} cannot be the saponification value of a fat"
            yield Diagnostic(Code.IMPLAUSIBLE_SAPONIFICATION, message, help_, node.span)


def _values(entries: Mapping[str, Node], *, own: bool) -> Iterator[tuple[Node, float]]:
    """The saponification values that can be read: of the fat itself, if it is the maker's own, and of the certificate."""
    lot = entries.get("lot")
    given = [entries.get("saponification_value") if own else None]
    if isinstance(lot, Table):
        given.append(next((value for key, value in lot.items() if fold(key) == "saponification value"), None))
    given += [item.get("saponification value") for item in lot_tables(entries)]
    for node in given:
        value = figure_in(node)
        if node is not None and value is not None and value >= 0:
            yield node, value


def _figure_faults(known: Fat, entries: Mapping[str, Node], *, own: bool) -> Iterator[Diagnostic]:
    """Figures of a fat of the maker's own, or of a lot, that the fat it is cannot have."""
    kind = _text(entries.get("kind"))
    if own and kind is not None and (fold(kind) in ("wax", "waxes")) != (known.kind == "wax"):
        message = f"{known.name} is {'a wax' if known.kind == 'wax' else 'no wax'}, and a fat that is like it is so too"
        yield Diagnostic(Code.CONTRADICTION, message, "choose another fat for 'like', or take the kind out", kind.span)
    for node, value in _values(entries, own=own):
        if known.kind == "wax" and node is not entries.get("saponification_value"):
            continue  # a wax keeps its acid value, whatever a certificate says
        fault = implausible(value, known, node.span)
        if fault is not None:
            name = _text(entries.get("fat"))
            too_low = value < known.saponification.low and name is not None and find_loose(name) is not None
            yield fault._replace(help=NOT_ALL_FAT) if too_low else fault


def implausible(value: float, fat: Fat, span: Span) -> Diagnostic | None:
    """The fault of a saponification value that this fat cannot have, naming the slip that it most looks like."""
    low, high = (1 - ROOM) * fat.saponification.low, (1 + ROOM) * fat.saponification.high
    if low <= value <= high:
        return None
    about = f"{fat.saponification.low:.0f} to {fat.saponification.high:.0f} for {fat.name}"
    help_ = f"it is in mg potassium hydroxide per g: {about}"
    if fat.kind == "wax":
        help_ = f"for a wax only the acid value counts towards alkali, in mg potassium hydroxide per g: {about}"
    help_ = _slip_in(value, low, high) or help_
    message = f"{write_number(value)} cannot be the saponification value of {fat.name}"
    return Diagnostic(Code.IMPLAUSIBLE_SAPONIFICATION, message, help_, span)


def _slip_in(value: float, low: float, high: float) -> str:
    """What a figure was most likely meant as, if some unit brings it between two ends; else "".

    Factors: 1000 mg/g, and the molar masses of the two hydroxides.
    """
    slips = (
        (1000.0 * KOH / NAOH, "grams of sodium hydroxide per gram of fat"),
        (1000.0, "grams of potassium hydroxide per gram of fat"),
        (KOH / NAOH, "milligrams of sodium hydroxide per gram of fat"),
    )
    for factor, words in slips:
        meant = value * factor
        if low <= meant <= high:
            return f"this looks like {words}; in mg potassium hydroxide per g that is {meant:.1f}: if so, write {meant:.1f}"
    return ""


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
