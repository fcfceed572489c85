"""What a curve is asked of is read as a goal file would read it, and a slip is told with what to write instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.files.curve_key import CurveKey, Typed, read_curve_key
from optimiser.files.question import read_question
from optimiser.measures.sides import Side, SubjectKind
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
GOALS, SHELF = read_question(ROOT / "goals" / "palm-free-vegetable.yaml")[:2]


def read(*typed: str | None) -> CurveKey:
    """What was typed for a bar with limits on hardness, superfat (both sides), coconut oil and castor oil."""
    of, side, start, stop = (*typed, None, None, None)[:4]
    assert of is not None
    return read_curve_key(Typed(of, side, start, stop), GOALS, SHELF)


@pytest.mark.parametrize(
    ("typed", "wish", "value"),
    [
        (("hardness",), "goals.hardness.at_least", 60.0),
        (("Coconut_Oil",), "shares.coconut oil.at_most", 30.0),
        (("superfat", "at_most"), "goals.superfat.at_most", 4.0),
        (("cost of nothing", "at_most"), "", None),
        (("olive", "at_most"), "shares.olive oil.at_most", 0.0),
        (("hard oils", "at_most"), "shares.hard oils.at_most", 0.0),
        (("C18:1", "at_least"), "goals.C18:1.at_least", 0.0),
        (("likely_superfat",), "goals.likely_superfat.at_least", 0.0),
    ],
)
def test_names_mean_what_a_goal_file_means(typed: tuple[str, ...], wish: str, value: float | None) -> None:
    """A name is a figure with a goal on it, else a share, else a figure; the side is the file's where it is plain."""
    if value is None:
        with pytest.raises(BadInput):
            read(*typed)
        return
    found = read(*typed)
    section = "goals" if found.limit.subject == SubjectKind.QUANTITY else "shares"
    assert f"{section}.{found.limit.key}.{found.limit.side}" == wish
    assert found.limit.value == value


@pytest.mark.parametrize(
    ("typed", "says", "help_"),
    [
        (("hardnes",), "is no measure", "hardness"),
        (("cocnut oil", "at_most"), "is no measure", "coconut oil"),
        (("superfat",), "on both sides", "--side at_least or --side at_most"),
        (("olive oil",), "has no limit in the file", "--side at_least"),
        (("cost",), "of what it costs", "name a measure"),
        (("sodium lactate", "at_least"), "is not drawn", "share"),
        (("likely superfat", "at_most"), "at least, and not at most", "leave the side out"),
        (("hardness", None, "70", "70"), "nothing to draw", "--from"),
        (("hardness", None, "70 kg"), "plain figure", "70"),
        (("hardness", None, "500"), "outside what hardness can be", "between"),
        (("superfat", "at_least", "-3 %"), "lye-heavy", "0 %"),
        (("coconut oil", None, "500 g"), "per cent of the fats", "50 %"),
        (("hardness", None, "nan"), "nan", ""),
    ],
)
def test_slips_are_told(typed: tuple[str, ...], says: str, help_: str) -> None:
    """What cannot be meant is one fault, with what to write in its place."""
    with pytest.raises(BadInput) as bad:
        read(*typed)
    (fault,) = bad.value.diagnostics
    assert says in fault.message
    assert help_ in fault.help


def test_an_unknown_name_has_its_code() -> None:
    """A name that is not known has the code of an unknown key, and no place in a file."""
    with pytest.raises(BadInput) as bad:
        read("sparkle")
    assert [(item.code, item.span) for item in bad.value.diagnostics] == [(Code.UNKNOWN_KEY, None)]


def test_ends_are_read_with_their_units() -> None:
    """Figures may have their units, a word its end, and the lower of two is the lower whatever their order."""
    found = read("coconut oil", None, "25 %", "10 %")
    assert (found.low, found.high, found.low_named, found.high_named) == (10.0, 25.0, True, True)
    open_ended = read("hardness", None, "50")
    assert (open_ended.low, open_ended.low_named, open_ended.high_named) == (50.0, True, False)


def test_one_side_takes_the_place_of_an_exact_figure() -> None:
    """Where the file has a bare figure, a side that is asked for replaces it; without a side the figure itself moves."""
    goals, shelf = read_question(ROOT / "goals" / "everyday.yaml")[:2]
    exact = read_curve_key(Typed("castor oil"), goals, shelf)
    assert exact.limit.side == Side.EXACTLY
    sided = read_curve_key(Typed("castor oil", "at_least"), goals, shelf)
    assert sided.limit.side == Side.AT_LEAST
    assert not [one for one in sided.goals.shares if one.key == "castor oil"]
