"""Weeks to cure: by the acids of the fats, free oil and water, the design and the maker."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import recipe_at

from optimiser.files.designs import designs
from optimiser.problem.designs import Choice
from optimiser.recipe.curing import cure_of
from optimiser.recipe.evaluation import judge
from optimiser.recipe.times import batch_times
from optimiser.reference import rows

SHARE = st.floats(0.0, 100.0)


def figures(share: float, superfat: float = 5.0, water: float = 28.0) -> dict[str, float]:
    """The figures that a cure is told by."""
    return {"monounsaturated": share, "superfat": superfat, "water_share_of_fats": water}


@pytest.mark.parametrize(
    ("shares", "superfat", "said"),
    [
        ({"olive oil": 45.0, "coconut oil": 25.0, "palm oil": 25.0, "castor oil": 5.0}, 5.0, "4 to 6 weeks"),
        ({"olive oil": 34.0, "coconut oil": 33.0, "palm oil": 33.0}, 5.0, "4 to 6 weeks"),
        ({"lard": 100.0}, 5.0, "4 to 6 weeks"),
        ({"coconut oil": 100.0}, 5.0, "4 weeks or more"),
        ({"coconut oil": 100.0}, 20.0, "4 to 5 weeks"),
        ({"olive oil": 100.0}, 5.0, "8 to 12 weeks, best after 6 to 12 months"),
        ({"high oleic sunflower oil": 100.0}, 5.0, "8 to 12 weeks, best after 6 to 12 months"),
    ],
)
def test_cures_are_what_makers_give(shares: dict[str, float], superfat: float, said: str) -> None:
    """Four to six weeks for most, four for coconut oil, months for olive oil and its like. Common practice, no source."""
    recipe = recipe_at(shares, superfat=superfat)
    cure = batch_times(recipe, judge(recipe), {}).cure
    assert cure is not None
    assert (cure.said(), cure.status) == (said, "prior")


@given(SHARE, SHARE, st.floats(-5.0, 25.0), st.floats(20.0, 60.0))
def test_more_oleate_free_oil_or_water_never_shortens_a_cure(
    one: float, other: float, superfat: float, water: float
) -> None:
    """The weeks rise with the share of monounsaturated acids, with free oil and with water; the ends never cross."""
    less, more = sorted((one, other))
    found = [cure_of(figures(share, superfat, water)) for share in (less, more)]
    found += [cure_of(figures(more, superfat + 1.0, water)), cure_of(figures(more, superfat, water + 1.0))]
    assert all(item is not None for item in found)
    ends = [(item.low, item.high) for item in found if item is not None]
    assert all(low <= high for low, high in ends)
    assert all(after >= before for before, after in zip(ends[0], ends[1], strict=True))
    for longer in ends[2:]:
        assert all(after >= before for before, after in zip(ends[1], longer, strict=True))


def test_between_two_knots_the_weeks_run_straight() -> None:
    """Half-way between two shares of the table lies half-way between their weeks; beyond the last they stay."""
    knots = [row for row in rows("cure_weeks") if row["what"] == "weeks"]
    assert len(knots) > 2
    for here, there in pairwise(knots):
        cure = cure_of(figures((float(here["at"]) + float(there["at"])) / 2.0))
        assert cure is not None
        assert cure.low == pytest.approx((float(here["low"]) + float(there["low"])) / 2.0)
        assert cure.high == pytest.approx((float(here["high"]) + float(there["high"])) / 2.0)
    assert cure_of(figures(float(knots[-1]["at"]))) == cure_of(figures(100.0))


def test_a_bar_is_at_its_best_later_from_the_share_that_the_table_names() -> None:
    """At that very share already, and not a hair below it."""
    first = min(float(row["at"]) for row in rows("cure_weeks") if row["best_low"])
    at, below = cure_of(figures(first)), cure_of(figures(first - 0.01))
    assert at is not None
    assert at.best == (26.0, 52.0)
    assert below is not None
    assert below.best is None


def test_without_acids_there_is_no_cure() -> None:
    """Where the acids of a fat are not known nobody can say."""
    assert cure_of(figures(math.nan)) is None


def test_what_is_asked_comes_first() -> None:
    """A maker who cures for twenty weeks is told twenty; one who asks for two is told two, and beside it what the bar needs."""
    recipe = recipe_at({"lard": 100.0})
    judged = judge(recipe)
    longer, shorter = (batch_times(recipe, judged, {}, (), weeks).cure for weeks in (20.0, 2.0))
    assert longer is not None
    assert (longer.low, longer.high, longer.status, longer.basis) == (20.0, 20.0, "asked", "as you ask")
    assert shorter is not None
    assert (shorter.low, shorter.high, shorter.status) == (2.0, 2.0, "asked")
    assert shorter.basis == "as you ask; this bar would take 4 to 6 weeks"


def test_a_design_is_believed_where_acids_are_not_known() -> None:
    """Without acids nothing is told of the cure, unless a design or the kind of soap tells it."""
    recipe = recipe_at({"lard": 100.0})
    judged = judge(recipe)
    unknown = judged._replace(values={**judged.values, "monounsaturated": math.nan})
    assert batch_times(recipe, unknown, {}).cure is None
    swirl = next(item for item in designs() if item.name == "fine swirl")
    cure = batch_times(recipe, unknown, {}, [swirl]).cure
    assert cure is not None
    assert (cure.said(), cure.basis) == ("5 weeks or more", "as fine swirl asks")
    chosen = swirl._replace(choices=(Choice("cure_weeks", 9.0, "cured for 9 weeks", "", ""),))
    cure = batch_times(recipe, unknown, {}, [chosen]).cure
    assert cure is not None
    assert cure.low == 9.0


def test_every_row_of_the_weeks_says_where_it_comes_from() -> None:
    """Each has a status and a source, and its ends in order."""
    for row in rows("cure_weeks"):
        assert float(row["low"]) <= float(row["high"]), row
        assert row["status"] == "prior"
        assert row["source"]
