"""Which of the maker's files a text is, so that one given in another's place is told once and by its name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal

from optimiser.materials.fat_table import reference
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.source import Source

Kind = Literal["goals", "recipe", "shelf", "trial", "plan"]

NAMED: dict[Kind, str] = {
    "goals": "a goal file",
    "recipe": "a recipe",
    "shelf": "a shelf",
    "trial": "a trial",
    "plan": "a plan",
}
INSTEAD: dict[Kind, str] = {
    "goals": "a blend that meets it is found with: barwright blend {}",
    "recipe": "it is judged with: barwright weigh {}",
    "shelf": "a goal file or a recipe names it with --shelf {}, or in a line 'shelf: PATH'",
    "plan": "what to make from what is told by: barwright plan {}",
    "trial": "give the recipe that it names; 'barwright trial list' shows the trials",
}
_WISHES = frozenset({"goals", "shares", "free from", "prefer", "may use", "use up", "practice", "batch"})
_CHARGED = frozenset({"alkali", "superfat"})
"""Keys of a recipe that no other file has at its head: its fats may be told in per cent of a batch."""
_MASS = re.compile(r"\d\s*(mg|g|kg|oz|lbs?|grams?|kilos?|ounces?|pounds?)\s*", re.IGNORECASE)


def file_kind(root: Node | None) -> Kind | None:
    """What a file's keys say it is; None where they say nothing, or several things."""
    if not isinstance(root, Table):
        return None
    entries = {fold(key): value for key, value in root.items()}
    fats = entries.get("fats")
    weighed = isinstance(fats, Table) and any(
        isinstance(item, Text) and (_is_mass(item) or _is_cut_short(key, item)) for key, item in fats.items()
    )
    if isinstance(fats, Table) and _CHARGED & set(entries) and not (_WISHES - {"batch"}) & set(entries):
        return "recipe"
    if _WISHES & set(entries):
        return None if weighed else "goals"
    if weighed:
        return "recipe"
    if isinstance(fats, Row) and any(isinstance(item, Table) for item in fats):
        return "shelf"
    return None if fats is not None else _without_fats(entries)


def _without_fats(entries: Mapping[str, Node]) -> Kind | None:
    bars = entries.get("bars")
    if isinstance(bars, Row) and any(isinstance(item, Table) for item in bars):
        return "plan"
    return "trial" if "recipe" in entries else None


def refuse_other(source: Source, wanted: Kind) -> None:
    """Refuses a file that is plainly another one than is wanted.

    Raises:
        BadInput: with that as its only fault beside those of the text itself.
    """
    found = file_kind(source.root)
    if found is None or found == wanted or not isinstance(source.root, Table):
        return
    span = next(iter(source.root)).span
    message = f"this is {NAMED[found]}, not {NAMED[wanted]}"
    fault = Diagnostic(Code.WRONG_FILE, message, INSTEAD[found].format(source.file), span)
    raise BadInput(source.all_faults([fault]))


def _is_mass(text: Text) -> bool:
    return bool(_MASS.search(text)) and _MASS.sub("", text).strip(" 0123456789.,") == ""


def _is_cut_short(key: Text, text: Text) -> bool:
    """Whether a fat has a bare figure, as a recipe does that ends before its unit."""
    return bool(re.fullmatch(r"\s*\d[\d.,]*\s*", text)) and reference().find(key) is not None
