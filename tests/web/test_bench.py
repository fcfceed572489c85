"""Limits that are moved: the latest of a window counts, each window by itself, and only so many texts are kept in hand."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pages
import pytest

from optimiser.web.bench import MOST_BENCHES, Benches
from optimiser.web.crew import Overtaken
from optimiser.web.desk import Desk, desk_of

MOVE = {"section": "goals", "key": "hardness", "side": "at_least", "value": 61}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A workspace with a goal file and a shelf."""
    return desk_of(pages.workshop(tmp_path), "")


def moved(benches: Benches, desk: Desk, number: int, window: str = "one", **asked: Any) -> Any:
    """One move."""
    text = desk.start()["text"]
    held = desk.held({"text": asked.pop("text", text)})
    return json.loads(benches.moved(window, number, desk.goal_file, held, {**MOVE, **asked}))


def test_a_move_that_was_overtaken_is_not_begun(desk: Desk) -> None:
    """Of two moves of a window only the later is worked out; another window's moves overtake neither."""
    benches = Benches()
    first, other, second = benches.announce("one"), benches.announce("two"), benches.announce("one")
    with pytest.raises(Overtaken):
        moved(benches, desk, first)
    assert not benches._benches
    assert moved(benches, desk, second)["now"]["hardness"] == pytest.approx(61, abs=1e-6)
    assert moved(benches, desk, other, "two", value=62)["now"]["hardness"] == pytest.approx(62, abs=1e-6)


def test_room_ends_where_another_move_came(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """While room is worked out the next move ends it: what is told then is no room at all."""
    benches = Benches()
    moved(benches, desk, benches.announce("one"))
    number = benches.announce("one")
    (bench,) = benches._benches.values()
    asked = bench.room

    def overtaken(go_on: Any) -> Any:
        benches.announce("one")
        return asked(go_on)

    monkeypatch.setattr(bench, "room", overtaken)
    assert moved(benches, desk, number, rooms=True) == {"rooms": {}}
    monkeypatch.setattr(bench, "room", asked)
    assert moved(benches, desk, benches.announce("one"), rooms=True)["rooms"]["mildness"]


def test_few_texts_are_kept_in_hand(desk: Desk) -> None:
    """A text that was not asked of for long is let go."""
    benches = Benches()
    text = desk.start()["text"]
    for number in range(MOST_BENCHES + 2):
        moved(benches, desk, benches.announce("one"), text=f"{text}# {number}\n")
    assert len(benches._benches) == MOST_BENCHES
