"""One bar beside another: what differs by more than both figures may lie off, and the words for it."""

from __future__ import annotations

import math

import pytest

from optimiser.measures.comparatives import Difference, comparatives, differences
from optimiser.measures.measures import measures

EVEN = dict.fromkeys(measures(), 50.0)


@pytest.mark.parametrize(("by", "felt"), [(9.8, False), (9.95, True), (-9.8, False), (-9.95, True)])
def test_a_difference_is_felt_beyond_both_uncertainties(by: float, felt: bool) -> None:  # noqa: FBT001
    """Hardness is sure to 7 points, so two of them to sqrt(2) 7 = 9.90 (root of the sum of squares, JCGM 100:2008, 5.1.2)."""
    found = differences(EVEN, EVEN | {"hardness": 50.0 + by})["hardness"]
    assert found.allowed == pytest.approx(math.sqrt(2.0) * 7.0)
    assert found.by == pytest.approx(by)
    assert found.is_felt == felt
    assert found.words == ("harder" if by > 0 else "softer")
    assert found.weight == pytest.approx(abs(by) / (math.sqrt(2.0) * 7.0))
    assert not Difference("hardness", 7.0, 7.0).is_felt


def test_what_nobody_is_sure_of_is_never_felt() -> None:
    """The risk of ash is advice: no difference of it is marked; and of a figure that is not known there is none."""
    found = differences(EVEN, EVEN | {"ash_risk": 100.0, "scum": math.nan})
    assert (found["ash_risk"].allowed, found["ash_risk"].is_felt, found["ash_risk"].weight) == (None, False, 0.0)
    assert "scum" not in found


def test_every_sure_measure_has_words_for_more_and_less() -> None:
    """Of harshness and mildness one has them, since they are one figure twice."""
    sure = {name for name, measure in measures().items() if measure.uncertainty}
    assert sure - set(comparatives()) == {"harshness"}
    assert set(comparatives()) <= sure
    assert all(more and less and more != less for more, less in comparatives().values())
