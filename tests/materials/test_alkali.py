"""How much purer an alkali may be than its label tells."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.materials.alkali import usual_tolerance
from optimiser.reference import rows


# common practice, no source: labels tell the least that is warranted, certificates of fresh lots read more
@pytest.mark.parametrize(
    ("name", "told", "most"),
    [
        ("sodium hydroxide", 0.98, 0.995),
        ("sodium hydroxide", 0.99, 1.0),
        ("sodium hydroxide", 1.0, 1.0),
        ("sodium hydroxide", 0.80, 0.83),
        ("potassium hydroxide", 0.90, 0.92),
        ("potassium hydroxide", 0.85, 0.88),
        ("potassium hydroxide", 0.80, 0.83),
    ],
)
def test_a_label_tells_the_least(name: str, told: float, most: float) -> None:
    """Flakes and pearls may be a point or three purer than told, and nothing is purer than pure."""
    assert told + usual_tolerance(name, told) == pytest.approx(most)


@given(st.sampled_from(["sodium hydroxide", "potassium hydroxide"]), st.floats(0.8, 1.0))
def test_every_purity_has_a_grade_and_none_goes_beyond_pure(name: str, told: float) -> None:
    """From four fifths pure to pure there is a tolerance, more than none below pure, and with it the alkali is pure at most."""
    tolerance = usual_tolerance(name, told)
    assert 0.0 <= tolerance <= 1.0 - told
    assert tolerance > 0.0 or told == 1.0


def test_every_grade_says_why() -> None:
    """Each row of the grades has its reason, its source and how far that is to be trusted."""
    for row in rows("alkali_grades"):
        assert row["why"].endswith(".")
        assert row["source"]
        assert row["status"] in {"from memory", "our judgement", "read"}
        assert 0.0 < float(row["tolerance"]) <= 3.0
