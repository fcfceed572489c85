"""Limits that are moved, answered in this process: the questions in hand, one for each text, and the latest move of a window."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from optimiser.text.held import Held, holding
from optimiser.web.crew import Overtaken
from optimiser.web.desk import Refused

if TYPE_CHECKING:
    from pathlib import Path

    from optimiser.answers.page_drag import Bench

MOST_BENCHES = 6


class Benches:
    """The questions in hand."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._benches: OrderedDict[Any, Bench] = OrderedDict()
        self._latest: dict[str, int] = {}

    def announce(self, window: str) -> int:
        """A number for a move of a window; the highest is the latest."""
        self._latest[window] = self._latest.get(window, 0) + 1
        return self._latest[window]

    def moved(self, window: str, number: int, goal_file: Path, held: Held, asked: Mapping[str, Any]) -> str:
        """The blend with a limit at a figure.

        Raises:
            Overtaken: a later move came before this one was begun.
            Refused: there is no such limit.
            BadInput: the text has faults, or nothing is known of such a bar.
        """
        from optimiser.measures.sides import Side
        from optimiser.problem.wishes import Section
        from optimiser.report.json.page import moved, room_part
        from optimiser.report.json.writing import to_json

        with self._lock, holding(held):
            if self._latest[window] != number:
                raise Overtaken
            bench = self._bench(goal_file, held)
            if asked.get("rooms"):
                ends = bench.room(lambda: self._latest[window] == number)
                return to_json({"rooms": {} if ends is None else room_part(ends.rooms)})
            try:
                section, side = Section(asked["section"]), Side(asked["side"])
                value = float(asked["value"])
                limit = bench.limit(section, str(asked["key"]), side)
            except (KeyError, TypeError, ValueError):
                raise Refused("no limit was told") from None
            if limit is None or not abs(value) < 1e9:
                raise Refused("the text has no such limit")
            return to_json(moved(bench.at(section, limit, value)))

    def _bench(self, goal_file: Path, held: Held) -> Bench:
        from optimiser.answers.asked import read_question
        from optimiser.answers.page_drag import Bench

        key = (str(goal_file), tuple(sorted(held.texts.items())))
        if key not in self._benches:
            self._benches[key] = Bench(read_question(goal_file))
        self._benches.move_to_end(key)
        while len(self._benches) > MOST_BENCHES:
            self._benches.popitem(last=False)
        return self._benches[key]
