"""How much dearer a blend may be, as it is typed."""

from __future__ import annotations

import pytest

from optimiser.files.within import read_within
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput


@pytest.mark.parametrize(
    ("text", "ceiling", "said"),
    [
        ("5 %", 2.1, "5 %"),
        ("5%", 2.1, "5 %"),
        ("2.5 per cent", 2.05, "2.5 %"),
        ("12", 2.24, "12 %"),
        ("100 %", 4.0, "100 %"),
        ("0.30 / kg", 2.3, "0.30 / kg"),
        ("EUR 0.30 / kg", 2.3, "0.30 EUR / kg"),
        ("0.05 / bar", 2.5, "0.05 / bar"),
        ("0.45359237 / lb", 3.0, "0.45359237 / lb"),
        ("0.30 per kg", 2.3, "0.30 / kg"),
    ],
)
def test_what_a_figure_comes_to(text: str, ceiling: float, said: str) -> None:
    """A part of the cost is of it, and money is by the kilo, the pound (0.45359237 kg) or the bar (100 g here)."""
    within = read_within(text)
    assert within.ceiling(2.0, 0.1) == pytest.approx(ceiling)
    assert within.said == said


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("0", Code.OUT_OF_RANGE),
        ("0 %", Code.OUT_OF_RANGE),
        ("0 / kg", Code.OUT_OF_RANGE),
        ("-3 %", Code.OUT_OF_RANGE),
        ("-0.30 / kg", Code.OUT_OF_RANGE),
        ("400 %", Code.OUT_OF_RANGE),
        ("100.1 %", Code.OUT_OF_RANGE),
        ("a little", Code.NOT_A_FIGURE),
        ("", Code.NO_FIGURE),
        ("0.05", Code.SHARE_OR_FRACTION),
        ("5 kg", Code.WRONG_UNIT),
        ("5 / jar", Code.WRONG_UNIT),
        ("0.30 / g", Code.WRONG_UNIT),
        ("nan %", Code.NOT_A_FIGURE),
    ],
)
def test_what_is_no_such_figure_is_told(text: str, code: Code) -> None:
    """Nothing, less than nothing, words and units of other things are faults, with the way to write it."""
    with pytest.raises(BadInput) as caught:
        read_within(text)
    (fault,) = caught.value.diagnostics
    assert fault.code == code
    assert "--within" in fault.message
    assert "--within 5%" in fault.help
