"""Measures as an answer has them, with the words of their bands."""

from __future__ import annotations

import pytest
from strategies import at_least, sheet_of, shelf_of

from optimiser.answers.measure_lines import band_told
from optimiser.measures.measures import measures
from optimiser.model.programme import build

EDGE = next(band.low for band in measures()["hardness"].bands if band.word == "very hard")


@pytest.mark.parametrize(
    ("above", "asked", "word"),
    [
        (-0.03, "", "very hard"),
        (-0.07, "", "hard"),
        (-0.0001, "very hard", "very hard"),
        (0.0001, "hard", "hard"),
        (0.04, "hard", "hard"),
        (0.3, "hard", "very hard"),
    ],
)
def test_the_band_is_that_of_the_figure_printed(above: float, asked: str, word: str) -> None:
    """A value a hair off an edge is printed as the edge: it has the band of that, or the one that was asked for and is met."""
    assert EDGE is not None
    programme = build(sheet_of(at_least("hardness", EDGE)), shelf_of({"palm oil": 2.0}))
    rows = [row._replace(said=row.said._replace(band=asked)) for row in programme.rows if row.figure == "hardness"]
    assert rows
    assert band_told(measures()["hardness"], EDGE + above, rows) == word
