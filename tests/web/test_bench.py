"""Limits that are moved: the latest of a window counts, each window by itself, and only so many texts are kept in hand."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pages
import pytest

from optimiser.web.bench import MOST_BENCHES, Benches, GaveWay
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
    number = benches.announce("one", is_move=False)
    bench = next(iter(benches._benches.values())).bench
    asked, waiting = bench.room, []

    def overtaken(go_on: Any) -> Any:
        waiting.append(benches.announce("one"))
        return asked(go_on)

    monkeypatch.setattr(bench, "room", overtaken)
    assert moved(benches, desk, number, rooms=True) == {"rooms": {}}
    monkeypatch.setattr(bench, "room", asked)
    moved(benches, desk, waiting[0])
    assert moved(benches, desk, benches.announce("one", is_move=False), rooms=True)["rooms"]["mildness"]


def test_room_overtakes_no_move(desk: Desk) -> None:
    """Room that is asked for while a move is on its way leaves that move its turn, and is then told beside it."""
    benches = Benches()
    number = benches.announce("one")
    room = benches.announce("one", is_move=False)
    with pytest.raises(GaveWay):
        moved(benches, desk, room, rooms=True)
    assert moved(benches, desk, number)["blend"]
    assert moved(benches, desk, room, rooms=True)["rooms"]["mildness"]


def test_room_is_that_of_its_own_window(desk: Desk) -> None:
    """Two windows on one text move a limit to two figures: each is told the room beside its own."""
    benches = Benches()
    for window, value in (("one", 64.0), ("two", 40.0)):
        moved(benches, desk, benches.announce(window), window, value=value)
    ends = [
        moved(benches, desk, benches.announce(window, is_move=False), window, rooms=True)["rooms"]["mildness"]
        for window in ("one", "two")
    ]
    alone = Benches()
    moved(alone, desk, alone.announce("one"), value=64.0)
    assert ends[0] == moved(alone, desk, alone.announce("one", is_move=False), rooms=True)["rooms"]["mildness"]
    assert ends[0] != ends[1]


def test_room_gives_way_to_a_move_of_any_window(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Room of one window is left as soon as another window moves a limit, is not begun while that waits, and is told after it."""
    benches = Benches()
    moved(benches, desk, benches.announce("one"))
    bench = next(iter(benches._benches.values())).bench
    number, asked, waiting = benches.announce("one", is_move=False), bench.room, []

    def interrupted(go_on: Any) -> Any:
        waiting.append(benches.announce("two"))
        return asked(go_on)

    monkeypatch.setattr(bench, "room", interrupted)
    with pytest.raises(GaveWay):
        moved(benches, desk, number, rooms=True)
    monkeypatch.setattr(bench, "room", asked)
    with pytest.raises(GaveWay):
        moved(benches, desk, number, rooms=True)
    moved(benches, desk, waiting[0], "two", value=62)
    assert moved(benches, desk, number, rooms=True)["rooms"]["mildness"]


def test_a_move_is_answered_from_the_shelf_as_it_is(desk: Desk) -> None:
    """Where the shelf on the disk was saved with other prices the next move is answered by those."""
    benches = Benches()
    first = moved(benches, desk, benches.announce("one"))
    shelf = desk.workspace / "inventory" / "kittiwake.yaml"
    text = shelf.read_text(encoding="utf-8")
    shelf.write_text(re.sub(r"price: \d+\.", "price: 0.", text), encoding="utf-8")
    second = moved(benches, desk, benches.announce("one"))
    assert second["blend"]["cost"]["per_kg"] < first["blend"]["cost"]["per_kg"] - 1.0


def test_few_texts_are_kept_in_hand(desk: Desk) -> None:
    """A text that was not asked of for long is let go."""
    benches = Benches()
    text = desk.start()["text"]
    for number in range(MOST_BENCHES + 2):
        moved(benches, desk, benches.announce("one"), text=f"{text}# {number}\n")
    assert len(benches._benches) == MOST_BENCHES
