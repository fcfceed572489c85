"""How many fats there may be, and how little of each: the entry `fats` of a goal file."""

from __future__ import annotations

from collections.abc import Mapping

from optimiser.files.keys import Known
from optimiser.files.limit_values import Subject
from optimiser.files.limits import one_side, read_limits
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import AT_LEAST, Limit
from optimiser.problem.wishes import EACH_FAT, NUMBER_OF_FATS
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Gathering, scalar, table, unknown_key
from optimiser.text.names import fold
from optimiser.text.nodes import Node, Text

MOST_FATS = 1000.0
_NUMBER_OF_FATS = Subject(NUMBER_OF_FATS, SubjectKind.COUNT, NUMBER_OF_FATS, "fats", lowest=1.0, highest=MOST_FATS)
_EACH_FAT = Subject(EACH_FAT, SubjectKind.COUNT, EACH_FAT, "%")


def read_fat_count(node: Node, what: str, known: Known) -> tuple[Limit, ...]:
    """How many fats there may be, and the least of each that is used."""
    entries = table(node, f"'{what}'", "fats: {at_most: 6, each_at_least: 4 %}")
    names = ("at_most", "at_least", "exactly", "each_at_least")
    by_folded = {fold(name): name for name in names}
    usual = {"max": "at_most", "min": "at_least", "each": "each_at_least", "between": "at_least' and 'at_most"}
    faults, found, keys = Gathering(), {}, dict[str, Text]()
    for key, value in entries.items():
        name = by_folded.get(fold(key))
        if name is None or name in keys:
            faults.add(unknown_key(key, value, "fats", names, usual) if name is None else repeated(key, keys[name]))
            continue
        keys[name] = key
        with faults:
            if name == "each_at_least":
                found[name] = read_limits(_EACH_FAT._replace(whole_kg=known.fats_kg), scalar(value, what), AT_LEAST)[0]
            else:
                subject = _NUMBER_OF_FATS._replace(from_recipe=known.from_recipe)
                found[name] = one_side(subject, scalar(value, what), Side(name))
    with faults:
        _counts_agree(found)
    faults.settle()
    return tuple(found.values())


def _counts_agree(found: Mapping[str, Limit]) -> None:
    """Refuses counts that no number of fats can meet; those told from a recipe in hand are held together once that is read."""
    found = {name: limit for name, limit in found.items() if not limit.relative or name == "exactly"}
    least, most = found.get("at_least"), found.get("at_most")
    exactly, each = found.get("exactly"), found.get("each_at_least")
    other = least or most
    if exactly is not None and other is not None:
        note = ((str(other.said), other.span),)
        raise Faults(
            Diagnostic(
                Code.CONTRADICTION,
                "'exactly' says it all; it cannot stand beside another number",
                "keep one of the two",
                exactly.span,
                note,
            )
        )
    if least is not None and most is not None and least.value > most.value:
        raise Faults(
            Diagnostic(
                Code.CONTRADICTION,
                "at_least is above at_most",
                "turn them round, or drop one",
                least.span,
                ((str(most.said), most.span),),
            )
        )
    floor = exactly or least
    if floor is not None and each is not None and floor.value * each.value > 100 + 1e-9:
        message = f"{floor.value:g} fats of {each.value:g} % each are more than 100 %"
        raise Faults(
            Diagnostic(
                Code.CONTRADICTION,
                message,
                "ask for fewer fats, or for less of each",
                each.span,
                ((str(floor.said), floor.span),),
            )
        )
