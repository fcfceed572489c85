"""What is to be used up in a batch: the section `use_up` of a goal file."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.files.keys import Known, share_subject
from optimiser.measures.sides import SubjectKind
from optimiser.problem.goals import GoalSheet, UseUp
from optimiser.problem.shelf import Shelf
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Gathering, scalar, table, told
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Text
from optimiser.text.quantities import Misread, read_mass

EXAMPLE = "use_up: {rice bran oil: 2 kg}"
ALL = "all"
MOST = 1e6  # kg


def read_use_up(node: Node, what: str, known: Known) -> tuple[UseUp, ...]:
    """Each fat, or lot of one, that is to be used up, with how much of it.

    Raises:
        Faults: everything that is wrong with them.
    """
    faults, out, keys = Gathering(), list[UseUp](), dict[str, Text]()
    for key, value in table(node, f"'{what}'", EXAMPLE).items():
        with faults:
            found = share_subject(key, value, known)
            if found.kind != SubjectKind.FAT:
                message = f"{shown(key)} is no fat by itself, and only a fat can be used up"
                raise Faults(Diagnostic(Code.UNKNOWN_FAT, message, f"name each fat, as in {EXAMPLE}", key.span))
            if found.key in keys:
                raise Faults(repeated(key, keys[found.key]))
            keys[found.key] = key
            text = scalar(value, found.key)
            much = None if fold(text) == ALL else _mass(text, found.key)
            out.append(UseUp(found.key, much, key.span))
    faults.settle()
    return tuple(out)


def _mass(text: Text, what: str) -> float:
    return told(text, lambda: _kilograms(text, what))


def _kilograms(text: Text, what: str) -> float:
    if text.strip().endswith("%"):
        help_ = "write a mass, as in 2 kg, or all; a share stands under 'shares'"
        raise Misread(Code.WRONG_UNIT, f"how much of {what} is to be used up is a mass, not a share", help_)
    kilograms = read_mass(text, what)
    if not 0.0 < kilograms <= MOST:
        message = f"{text.strip()} of {what} cannot be used up"
        raise Misread(Code.OUT_OF_RANGE, message, "a mass is above 0; take the line out for none")
    return kilograms


def use_up_faults(sheet: GoalSheet, shelf: Shelf) -> Iterator[Diagnostic]:
    """What is to be used up and is not on the shelf, or all of what has no end there."""
    for wish in sheet.use_up:
        if not shelf.of_fat(wish.key):
            message = f"'{wish.key}' is to be used up, and it is not on the shelf {shelf.path}"
            help_ = "put it there with its stock, or take it out here"
            yield Diagnostic(Code.NOT_ON_THE_SHELF, message, help_, wish.span)
        elif wish.kilograms is None and shelf.stock_of(wish.key) is None:
            message = f"all of {wish.key} is to be used up, and the shelf does not say how much there is"
            help_ = "write how much there is beside it on the shelf, as 2 kg under 'stock', or a mass here"
            yield Diagnostic(Code.MISSING_KEY, message, help_, wish.span)
