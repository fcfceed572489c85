"""Answering anew at every save."""

from __future__ import annotations

import os
import threading
from pathlib import Path

from optimiser.watching import files_of, state, watch

ROOT = Path(__file__).parents[1]
PATIENCE = 20.0  # s: far longer than a save takes to be seen


class Bench:
    """A watch in a thread of its own that counts its answers."""

    def __init__(self, goals: Path) -> None:
        self.answers: list[str] = []
        self._seen = threading.Condition()
        self._stop = threading.Event()
        self._thread = threading.Thread(
            target=watch, args=(lambda: files_of(goals, None), lambda: self._answer(goals), self._stop), daemon=True
        )
        self._thread.start()

    def _answer(self, goals: Path) -> None:
        with self._seen:
            self.answers.append(goals.read_text(encoding="utf-8"))
            self._seen.notify_all()

    def wait_for(self, text: str) -> bool:
        """Whether an answer to this text comes."""
        with self._seen:
            return self._seen.wait_for(lambda: text in self.answers, PATIENCE)

    def count(self) -> int:
        """How many answers there were."""
        with self._seen:
            return len(self.answers)

    def wait_for_more_than(self, number: int) -> bool:
        """Whether one more answer comes, to whatever text."""
        with self._seen:
            return self._seen.wait_for(lambda: len(self.answers) > number, PATIENCE)

    def end(self) -> bool:
        """Stop, and whether it did."""
        self._stop.set()
        self._thread.join(PATIENCE)
        return not self._thread.is_alive()


def test_every_save_is_answered_also_by_renaming_and_of_the_shelf(tmp_path: Path) -> None:
    """A save in place, a half-written file, a new file put in the old one's place and a new shelf each get an answer."""
    goals, shelf = tmp_path / "goals" / "bar.yaml", tmp_path / "inventory" / "shelf.yaml"
    goals.parent.mkdir()
    shelf.parent.mkdir()
    shelf.write_bytes((ROOT / "inventory" / "kittiwake.yaml").read_bytes())
    first = "title: one\nshelf: ../inventory/shelf.yaml\n"
    goals.write_text(first, encoding="utf-8")
    bench = Bench(goals)
    assert bench.wait_for(first)
    half = "goals: {hard"
    goals.write_text(half, encoding="utf-8")
    assert bench.wait_for(half)
    second = "title: two\nshelf: ../inventory/shelf.yaml\n"
    (tmp_path / "goals" / "bar.new").write_text(second, encoding="utf-8")
    (tmp_path / "goals" / "bar.new").replace(goals)
    assert bench.wait_for(second)
    before = bench.count()
    shelf.write_bytes(shelf.read_bytes() + b"\n")
    assert bench.wait_for_more_than(before)
    assert bench.end()


def test_the_files_that_matter_are_the_goals_and_their_shelf(tmp_path: Path) -> None:
    """The shelf is the one that the goal file names; a file that cannot be read is watched by itself."""
    goals = ROOT / "goals" / "everyday.yaml"
    assert {path.resolve() for path in files_of(goals, None)} == {goals, ROOT / "inventory" / "kittiwake.yaml"}
    broken = tmp_path / "broken.yaml"
    broken.write_text("goals: {hard", encoding="utf-8")
    assert files_of(broken, None) == {broken}
    assert files_of(broken, goals) == {broken, goals}


def test_a_save_of_the_same_size_in_the_same_place_is_another_state(tmp_path: Path) -> None:
    """A figure changed for one of as many digits is a save: the time tells, to the nanosecond, if size and file do not."""
    path = tmp_path / "bar.yaml"
    path.write_text("goals: {hardness: 40}\n", encoding="utf-8")
    os.utime(path, ns=(1_000_000_000, 1_000_000_000))
    before = state({path})
    assert state({path}) == before
    os.utime(path, ns=(1_000_000_001, 1_000_000_001))
    assert state({path}) != before
    os.utime(path, ns=(1_000_000_000, 1_000_000_000))
    other = tmp_path / "new.yaml"
    other.write_text("goals: {hardness: 41}\n", encoding="utf-8")
    os.utime(other, ns=(1_000_000_000, 1_000_000_000))
    other.replace(path)
    assert state({path}) != before
    path.unlink()
    assert state({path}) == ((path, 0, 0, 0),)
