"""What is to be used up, as a goal file says it."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.asked import read_question
from optimiser.files.goals import read_goals
from optimiser.text.diagnostics import BadInput, Diagnostic

SHELF = """fats:
  - {fat: lard, price: 2 / kg, lots: [{number: L-1, stock: 2 kg}, {number: L-2, stock: 1 kg}]}
  - {fat: olive oil, price: 6.90 / kg}
"""


def asked(folder: Path, use_up: str) -> Path:
    """A goal file beside a shelf."""
    (folder / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    path = folder / "bar.yaml"
    path.write_text(f"shelf: shelf.yaml\nuse_up: {use_up}\n", encoding="utf-8")
    return path


def test_a_mass_all_or_one_lot(tmp_path: Path) -> None:
    """By any name of the fat, in any unit of mass, in the order of the file."""
    found = read_goals(asked(tmp_path, "{pork lard: 500 g, olive: all, lard (lot L-2): 1 lb}")).use_up
    assert [(item.key, item.kilograms) for item in found] == [
        ("lard", 0.5),
        ("olive oil", None),
        ("lard (lot L-2)", pytest.approx(0.45359237)),
    ]
    assert next(str(item.wish) for item in found) == "use_up.lard"


def faults(path: Path) -> tuple[Diagnostic, ...]:
    """What is wrong with a question."""
    with pytest.raises(BadInput) as raised:
        read_question(path)
    return raised.value.diagnostics


@pytest.mark.parametrize(
    ("use_up", "code", "message"),
    [
        ("{lard: 20 %}", "wrong-unit", "a mass, not a share"),
        ("{lard: 0 kg}", "out-of-range", "cannot be used up"),
        ("{butters: 2 kg}", "unknown-fat", "no fat by itself"),
        ("{larrd: 2 kg}", "unknown-fat", "no fat, kind or tag"),
        ("{lard: 1 kg, pork lard: all}", "repeated-key", "lard"),
        ("{lard (lot L-9): all}", "unknown-lot", "no such lot"),
        ("{shea butter: 1 kg}", "not-on-the-shelf", "it is not on the shelf"),
        ("{olive oil: all}", "missing-key", "does not say how much there is"),
        ("lard", "wrong-shape", "'key: value' entries"),
    ],
)
def test_what_is_wrong_is_told(tmp_path: Path, use_up: str, code: str, message: str) -> None:
    """One fault on its line."""
    (found,) = faults(asked(tmp_path, use_up))
    assert (found.code, message in found.message) == (code, True)
    assert found.span is not None
    assert found.span.line == 2
