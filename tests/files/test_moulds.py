"""Moulds as a batch tells them: measures, cavities, several, headroom; and what is wrong with one, in words."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from optimiser.files.goals import read_goals
from optimiser.problem.batch import Mould
from optimiser.text.diagnostics import BadInput


def mould_of(folder: Path, text: str) -> Mould:
    """The mould of a goal file with so much after `mould:`."""
    path = folder / "goals.yaml"
    path.write_text(f"batch: {{mould: {text}}}\n", encoding="utf-8")
    found = read_goals(path).batch.mould
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("{length: 30 cm, width: 90 mm, depth: 7 cm}", 1.89),
        ("{length: 12 in, width: 3.5 in, depth: 3 in}", 126.0 * 16.387064 / 1000.0),
        ("{length: 30 cm, width: 9 cm, depth: 7 cm, moulds: 2, headroom: 1 cm}", 3.24),
        ("{diameter: 8 cm, depth: 20 cm}", math.pi * 16.0 * 20.0 / 1000.0),
        ("{diameter: 3 in, depth: 10 in, headroom: 10 %}", math.pi * 2.25 * 10.0 * 16.387064 * 0.9 / 1000.0),
        ("{cavities: 12, volume: 100 ml}", 1.2),
        ("{cavities: 12, volume: 100 ml, moulds: 3, headroom: 5 %}", 3.42),
        ("{cavities: 12, length: 8 cm, width: 5.5 cm, depth: 2.5 cm, headroom: 5 mm}", 1.056),
        ("{cavities: 6, diameter: 7 cm, depth: 3 cm}", 6.0 * math.pi * 12.25 * 3.0 / 1000.0),
        ("{volume: 1.9 l}", 1.9),
        ("[{length: 30 cm, width: 9 cm, depth: 7 cm}, {cavities: 6, volume: 100 ml, headroom: 10 %}]", 2.43),
    ],
)
def test_what_moulds_hold(tmp_path: Path, text: str, litres: float) -> None:
    """Litres of a block, a cylinder and cavities, in centimetres, millimetres and inches, less headroom, times how many."""
    assert mould_of(tmp_path, text).litres == pytest.approx(litres, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "code", "message"),
    [
        ("{cavities: 12}", "missing-key", "has no 'volume'"),
        ("{cavities: 12, length: 8 cm, depth: 3 cm}", "missing-key", "has no 'width'"),
        ("{moulds: 2}", "no-value", "no measures"),
        ("{moulds: 0, volume: 1 l}", "out-of-range", "0 moulds"),
        ("{moulds: 1.5, volume: 1 l}", "not-whole", "moulds"),
        ("{diameter: 8 cm, depth: 9 cm, width: 3 cm}", "contradiction", "no mould has"),
        ("[]", "no-value", "list of moulds is empty"),
        ("[{volume: 1 l}, {volume: 1 cup}]", "wrong-unit", "volume"),
        ("{cavities: 6, volume: 100 ml, headroom: 1 cm}", "wrong-unit", "headroom"),
        ("{number: 2, volume: 1 l}", "unknown-key", "number"),
    ],
)
def test_what_is_wrong_with_a_mould_is_said(tmp_path: Path, text: str, code: str, message: str) -> None:
    """What is missing, too much or of another kind, each at its place."""
    with pytest.raises(BadInput) as caught:
        mould_of(tmp_path, text)
    (fault,) = caught.value.diagnostics
    assert (str(fault.code), message in fault.message) == (code, True), fault
    assert fault.span is not None


def test_every_fault_of_a_list_is_told_at_once(tmp_path: Path) -> None:
    """Two moulds that are none are two faults."""
    with pytest.raises(BadInput) as caught:
        mould_of(tmp_path, "[{volume: 1 cup}, {volume: 1 l}, {cavities: 3}]")
    assert len(caught.value.diagnostics) == 2
