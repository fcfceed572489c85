"""Each clash proved impossible once more, by a few lines of rational arithmetic that share nothing with the program.

Farkas: rows with multipliers y add up to one row that no point within the bounds of the columns can meet. The multipliers
come from a HiGHS built here by hand; whatever they are, what follows from them in fractions is true.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import highspy
import numpy as np
import pytest
from hypothesis import assume, given, settings
from reading import read
from strategies import Bar, at_most, bars, examples, sheet_of, shelf_of

from optimiser.analysis.conflicts import all_clashes
from optimiser.answers.blend import answer
from optimiser.answers.results import NoBlend
from optimiser.model.programme import Programme, build
from optimiser.problem.wishes import WishId

CANNOT = sorted((Path(__file__).parents[2] / "goals").glob("cannot-be*.yaml"))


def rows_of(made: Programme, members: tuple[WishId, ...]) -> list[int]:
    """The places of physics and of these wishes; preferences, which may be missed, are none of either."""
    out = [place for name in members for place in made.members[name]]
    return sorted(out + [place for place, row in enumerate(made.rows) if row.origin == "physics"])


def ray(made: Programme, places: list[int]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Multipliers of these rows, from a model of nothing else."""
    matrix = made.matrix[places]
    m, n = matrix.shape
    model = highspy.Highs()
    for option, value in {"output_flag": False, "presolve": "off"}.items():
        model.setOptionValue(option, value)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = n, m
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = np.zeros(n), made.column_low, made.column_high
    lp.row_lower_, lp.row_upper_ = made.row_low[places], made.row_high[places]
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.arange(0, m * n + 1, n, dtype=np.int32)
    lp.a_matrix_.index_ = np.tile(np.arange(n, dtype=np.int32), m)
    lp.a_matrix_.value_ = matrix.ravel()
    model.passModel(lp)
    model.run()
    assert model.getModelStatus() == highspy.HighsModelStatus.kInfeasible
    _, exists, found = model.getDualRay()
    assert exists
    return np.array(found)


def gap(made: Programme, places: list[int], multipliers: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Fraction:
    """What the rows ask for, added up with multipliers, less the most that any point can give; above zero it is a proof."""
    asked = Fraction(0)
    sums = [Fraction(0)] * made.matrix.shape[1]
    for place, weight in zip(places, multipliers.tolist(), strict=True):
        side = made.row_low[place] if weight > 0 else made.row_high[place]
        if not weight or not np.isfinite(side):
            continue
        y = Fraction(weight)
        asked += y * Fraction(float(side))
        for column, entry in enumerate(made.matrix[place].tolist()):
            sums[column] += y * Fraction(entry)
    ends = zip(sums, made.column_low.tolist(), made.column_high.tolist(), strict=True)
    return asked - sum((max(total * Fraction(low), total * Fraction(high)) for total, low, high in ends), Fraction(0))


def check(made: Programme) -> int:
    """Every clash that is said to be proved is proved here again, over physics and its own rows alone."""
    told = all_clashes(made)
    for clash in told.clashes:
        assert clash.exact
        places = rows_of(made, clash.members)
        assert gap(made, places, ray(made, places)) > 0
    return len(told.clashes)


@pytest.mark.parametrize("path", CANNOT, ids=lambda path: path.stem)
def test_the_goals_that_cannot_be_are_proved_so(path: Path) -> None:
    """Every clash of the goal files that cannot be met has its own exact proof, and the answer says so."""
    made = build(*read(path))
    assert check(made) > 0
    told = answer(path)
    assert isinstance(told, NoBlend)
    assert told.exact
    assert told.margin > 0.0


@settings(max_examples=examples(25))
@given(bars(least_slack=-3.0, most_fats=6, most_limits=6))
def test_every_clash_of_a_random_shelf_is_proved(bar: Bar) -> None:
    """On random shelves every clash is proved twice in rational numbers, here and by the program."""
    made = build(bar.sheet, bar.shelf)
    assume(check(made) > 0)


def test_counts_elsewhere_do_not_cost_a_proof() -> None:
    """A clash in which no count takes part is proved exactly, though fats are counted in the same file."""
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0})
    goals = (at_most("hardness", 5.0), at_most("saponification_value", 150.0))
    made = build(sheet_of(*goals, fat_count=(at_most("number of fats", 3.0, "count"),)), shelf)
    assert made.is_mixed_integer
    assert check(made) == 2


def test_a_proof_of_what_can_be_is_never_had() -> None:
    """Whatever the multipliers, rows that a blend meets never prove that there is none."""
    made = build(sheet_of(at_most("hardness", 60.0)), shelf_of({"palm oil": 2.0, "olive oil": 7.0}))
    places = list(range(len(made.rows)))
    rng = np.random.default_rng(3)
    for _ in range(50):
        assert gap(made, places, rng.normal(size=len(places))) <= 0
