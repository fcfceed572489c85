"""Limits that are moved, answered in this process: the questions in hand, one for each window and text, and its latest move.

A window's room is that beside its own last move, whatever another window does with the same text. A move never waits for room:
room that is being worked out gives way to a move of any window, and is begun again once none waits.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from optimiser.files.in_use import files_in_use, places_to_look
from optimiser.text.held import Held, holding
from optimiser.web.crew import Overtaken
from optimiser.web.desk import Refused, seen

if TYPE_CHECKING:
    from optimiser.answers.page_drag import Bench

MOST_BENCHES = 6


class GaveWay(Exception):
    """Room that was left for a move; it is to be asked again."""


class InHand(NamedTuple):
    """A question in hand, the files that it was read from or would be, and how those were then."""

    bench: Bench
    files: tuple[Path, ...]
    as_read: tuple[tuple[int, ...], ...]


class Benches:
    """The questions in hand."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._benches: OrderedDict[Any, InHand] = OrderedDict()
        self._latest: dict[str, int] = {}
        self._moves: set[tuple[str, int]] = set()

    def announce(self, window: str, *, is_move: bool = True) -> int:
        """The number of a new move of a window, which is then its latest; of room that of the latest, which it is beside."""
        number = self._latest.setdefault(window, 0)
        if is_move:
            number = self._latest[window] = number + 1
            self._moves.add((window, number))
        return number

    def moved(self, window: str, number: int, goal_file: Path, held: Held, asked: Mapping[str, Any]) -> str:
        """The blend with a limit at a figure, or the room beside the window's last one.

        Raises:
            Overtaken: a later move came before this one was begun.
            GaveWay: this is room, and a move waits.
            Refused: there is no such limit.
            BadInput: the text has faults, or nothing is known of such a bar.
        """
        try:
            with self._lock, holding(held):
                if self._latest[window] != number:
                    raise Overtaken
                if asked.get("rooms"):
                    return self._room(window, number, goal_file, held)
                return self._move(self._bench(window, goal_file, held), asked)
        finally:
            if not asked.get("rooms"):
                self._moves.discard((window, number))

    def _room(self, window: str, number: int, goal_file: Path, held: Held) -> str:
        from optimiser.report.json.page import room_part
        from optimiser.report.json.writing import to_json

        if self._moves:
            raise GaveWay
        bench = self._bench(window, goal_file, held)
        ends = bench.room(lambda: self._latest[window] == number and not self._moves)
        if ends is None and self._moves and self._latest[window] == number:
            raise GaveWay
        return to_json({"rooms": {} if ends is None else room_part(ends.rooms)})

    def _move(self, bench: Bench, asked: Mapping[str, Any]) -> str:
        from optimiser.measures.sides import Side
        from optimiser.problem.wishes import Section
        from optimiser.report.json.page import moved
        from optimiser.report.json.writing import to_json

        try:
            section, side = Section(asked["section"]), Side(asked["side"])
            value = float(asked["value"])
            limit = bench.limit(section, str(asked["key"]), side)
        except (KeyError, TypeError, ValueError):
            raise Refused("no limit was told") from None
        if limit is None or not abs(value) < 1e9:
            raise Refused("the text has no such limit")
        return to_json(moved(bench.at(section, limit, value)))

    def _bench(self, window: str, goal_file: Path, held: Held) -> Bench:
        from optimiser.answers.asked import read_question
        from optimiser.answers.page_drag import Bench

        key = (window, str(goal_file), tuple(sorted(held.texts.items())))
        found = self._benches.get(key)
        if found is None or tuple(map(seen, found.files)) != found.as_read:
            files = tuple(sorted(files_in_use(goal_file) | places_to_look(goal_file)))
            as_read = tuple(map(seen, files))  # looked at before they are read: what is saved meanwhile is read again
            found = self._benches[key] = InHand(Bench(read_question(goal_file)), files, as_read)
        self._benches.move_to_end(key)
        while len(self._benches) > MOST_BENCHES:
            self._benches.popitem(last=False)
        return found.bench
