"""Parts that were kept: those that belong come back to the bit, and all others are done anew."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from sweeping import SPREAD, as_json

from optimiser.analysis.sweep_parts import PartAnswer
from optimiser.answers import sweep_layout
from optimiser.answers.sweep import Kept
from optimiser.answers.sweep_kept import Place, arrays_of, unpacked
from optimiser.files.price_file import Typed

PLACE = Place("abc", 10, 13, 2)
ANSWER = PartAnswer(
    np.array([0, -1, 1], dtype=np.intp),
    np.array([1.0, np.nan, 2.0]),
    np.array([1.5, 2.0, 2.5]),
    np.array([[1.0, 0.0], [0.5, 0.5]]),
    7,
    1,
)


def test_a_part_comes_back() -> None:
    """As it was, to the bit."""
    found = unpacked(arrays_of(ANSWER, PLACE), PLACE)
    assert found is not None
    for one, other in zip(found, ANSWER, strict=True):
        assert np.asarray(one).tobytes() == np.asarray(other).tobytes()


@pytest.mark.parametrize(
    "change",
    [
        {"numbers": np.array([0, 0], dtype=np.intp)},
        {"numbers": np.array([0, 0, 2], dtype=np.intp)},
        {"numbers": np.array([0.0, 0.0, 1.0])},
        {"costs": np.array([1.0, 2.0])},
        {"costs": np.array([np.nan, 2.0, 2.0])},
        {"kept": np.array(["a", "b", "c"])},
        {"points": np.ones((2, 3))},
        {"points": np.ones(2)},
        {"solved": np.array([1, 2])},
        {"first": np.array(0)},
        {"case": np.array("other")},
        {"more": np.array(1)},
    ],
)
def test_what_does_not_belong_is_none(change: dict[str, np.ndarray]) -> None:
    """Other lengths, kinds, scenarios, files or keys."""
    assert unpacked(arrays_of(ANSWER, PLACE) | change, PLACE) is None


def test_what_is_missing_is_none() -> None:
    """No part, or one without all that a part has."""
    assert unpacked(None, PLACE) is None
    arrays = arrays_of(ANSWER, PLACE)
    for name in arrays:
        assert unpacked({key: value for key, value in arrays.items() if key != name}, PLACE) is None


def swapped(parts: list[Path]) -> None:
    """Two parts of equal length in each other's place."""
    one, other = parts[0].read_bytes(), parts[1].read_bytes()
    parts[0].write_bytes(other)
    parts[1].write_bytes(one)


def long_over_short(parts: list[Path]) -> None:
    """A part copied over a shorter one."""
    shutil.copy(parts[0], parts[2])


def other_keys(parts: list[Path]) -> None:
    """A part with other things in it."""
    np.savez(parts[0], a=np.ones(3))


def no_archive(parts: list[Path]) -> None:
    """A part that is a single array, and one that is a text."""
    with parts[0].open("wb") as stream:
        np.save(stream, np.ones(3))
    parts[1].write_text("x", encoding="utf-8")


@pytest.mark.parametrize("damage", [swapped, long_over_short, other_keys, no_archive])
def test_a_damaged_folder_changes_no_answer(
    damage: Callable[[list[Path]], None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Gone on with, it tells what a whole run does."""
    monkeypatch.setattr(sweep_layout, "PART", 1000)
    path = tmp_path / "prices.yaml"
    path.write_text(SPREAD, encoding="utf-8")
    kept, typed = tmp_path / "kept", Typed(drawn=2500)
    plain = as_json(("laundry",), path, typed=typed, kept=Kept(kept, resume=False, version="1"))
    parts = sorted(kept.glob("part-*"))
    assert len(parts) == 3
    damage(parts)
    assert as_json(("laundry",), path, typed=typed, kept=Kept(kept, resume=True, version="1")) == plain
