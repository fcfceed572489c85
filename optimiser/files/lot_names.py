"""The name of a lot that the shelf has not: which lots it has, and what to do."""

from __future__ import annotations

import re
from collections.abc import Iterable

from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import listed, shown
from optimiser.text.nodes import Text

LOT = re.compile(r"(.+?) *\(lot .+\)", re.IGNORECASE)
"""The name of one of several lots: the fat, and its number."""


def no_such_lot(name: Text, also: Iterable[str]) -> Diagnostic | None:
    """The fault of a name that is that of a lot; None where it is no such name.

    Args:
        name: a name that nothing on the shelf has.
        also: the names that the shelf has beside those of the reference table.
    """
    said = LOT.fullmatch(name.strip())
    if said is None:
        return None
    fat = reference().find(said[1])
    called = fat.name if fat is not None else said[1]
    lots = [other for other in also if (found := LOT.fullmatch(other)) and fold_fat(found[1]) == fold_fat(called)]
    message = f"the shelf has no such lot: {shown(name, 60)}"
    back = "put it on the shelf again, with a stock of 0 kg if it is used up"
    help_ = f"its lots are {listed(lots)}; or {back}" if lots else back
    return Diagnostic(Code.UNKNOWN_LOT, message, help_, name.span)
