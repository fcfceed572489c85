"""A programme as a solver has it, and a programme with something of everything; shared by tests of both ways out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import highspy
from strategies import at_least, at_most, exactly, sheet_of, shelf_of

from optimiser.model.labels import column_labels, row_labels
from optimiser.model.programme import Programme, build

FATS = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "rapeseed oil": 2.1}


@dataclass(frozen=True)
class Said:
    """A programme as a solver has it: by the names of its columns and rows, the entries that are not zero alone."""

    sense: int
    offset: float
    columns: Mapping[str, tuple[float, float, float, bool]]  # cost, lower, upper, whole
    rows: Mapping[str, tuple[float, float]]
    entries: Mapping[tuple[str, str], float]


def by_highs(model: Any, programme: Programme) -> Said:
    """What HiGHS holds, under the labels of the programme in its order."""
    lp = model.getLp()
    columns, rows = column_labels(programme), row_labels(programme)
    assert (lp.num_col_, lp.num_row_) == (len(columns), len(rows))
    whole = [kind == highspy.HighsVarType.kInteger for kind in lp.integrality_] or [False] * lp.num_col_
    starts, index, values = lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_
    assert lp.a_matrix_.format_ == highspy.MatrixFormat.kColwise
    entries = {
        (rows[index[at]], name): values[at]
        for place, name in enumerate(columns)
        for at in range(starts[place], starts[place + 1])
    }
    return Said(
        1 if lp.sense_ == highspy.ObjSense.kMinimize else -1,
        lp.offset_,
        dict(zip(columns, zip(lp.col_cost_, lp.col_lower_, lp.col_upper_, whole, strict=True), strict=True)),
        dict(zip(rows, zip(lp.row_lower_, lp.row_upper_, strict=True), strict=True)),
        entries,
    )


def everything() -> Programme:
    """A programme with every kind of row and column: two kinds of switches, shortfalls, ratios, potassium, stock."""
    counts = (at_least("number of fats", 3.0, "count"), at_most("number of fats", 4.0, "count"))
    sheet = sheet_of(
        exactly("hardness", 45.0),
        exactly("potassium_share", 5.0),
        at_most("cost", 9.0),
        shares=(at_most("palm oil", 60.0, "fat"),),
        free_from=("animal",),
        fat_count=counts,
        prefer=((at_least("mildness", 70.0),), (exactly("superfat", 6.0),)),
        additives=(at_most("sodium lactate", 2.0, "additive"),),
    )
    return build(sheet, shelf_of(FATS, potassium=True, extra={"sodium lactate": 6.0}, stock={"palm oil": 0.5}))
