"""A blend is shown only once the judge agrees: a warm answer that it does not agree with is asked again from cold."""

from __future__ import annotations

import numpy as np
import pytest

from optimiser.answers.blend_result import Disagreement
from optimiser.answers.swap_checks import agreed
from optimiser.maths.arrays import Vector
from optimiser.solve.moving import Near


class Forgetful:
    """Stands for a live model: counts how often it was told to begin from cold."""

    def __init__(self) -> None:
        self.times = 0

    def forget(self) -> None:
        """Count it."""
        self.times += 1


def refusing(most: float) -> object:
    """A judge that agrees with points up to a figure."""

    def check(point: Vector) -> None:
        if point[0] > most:
            raise Disagreement("the model says other than the judge")

    return check


def answers(*points: float) -> object:
    """One blend after the other."""
    left = iter(points)
    return lambda: Near(np.array([next(left)]), 0.0, 0.0)


@pytest.mark.parametrize(("points", "times", "shown"), [((1.0, 9.0), 0, 1.0), ((3.0, 1.0), 1, 1.0)])
def test_a_warm_answer_that_differs_is_asked_again(points: tuple[float, ...], times: int, shown: float) -> None:
    """Agreed at once it is not asked again; else the model begins from cold, once."""
    live = Forgetful()
    found = agreed(live, answers(*points), refusing(2.0))  # type: ignore[arg-type]
    assert found is not None
    assert found.point[0] == shown
    assert live.times == times


def test_what_differs_even_so_is_not_shown() -> None:
    """Two answers that the judge does not agree with are a fault of the program; none at all is none."""
    with pytest.raises(Disagreement):
        agreed(Forgetful(), answers(3.0, 4.0), refusing(2.0))  # type: ignore[arg-type]
    assert agreed(Forgetful(), lambda: None, refusing(2.0)) is None  # type: ignore[arg-type]
