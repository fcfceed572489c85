"""Answering anew at every save."""

from __future__ import annotations

import threading
from pathlib import Path

from optimiser.in_use import files_in_use
from optimiser.watching import place, watch

ROOT = Path(__file__).parents[1]
PATIENCE = 20.0  # s: far longer than a save takes to be seen


class Bench:
    """A watch in a thread of its own that counts its answers."""

    def __init__(self, goals: Path) -> None:
        self.answers: list[str] = []
        self._seen = threading.Condition()
        self._stop = threading.Event()
        self._thread = threading.Thread(
            target=watch, args=(place(goals, None).files, lambda: self._answer(goals), self._stop), daemon=True
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
    before = len(bench.answers)
    third = f"{second}# priced anew\n"
    shelf.write_bytes(shelf.read_bytes() + b"\n")
    goals.write_text(third, encoding="utf-8")
    assert bench.wait_for(third)
    assert len(bench.answers) > before
    assert bench.end()


def test_the_files_that_matter_are_the_goals_and_their_shelf(tmp_path: Path) -> None:
    """The shelf is the one that the goal file names; a file that cannot be read is watched by itself."""
    goals = ROOT / "goals" / "everyday.yaml"
    assert {path.resolve() for path in files_in_use(goals, None)} == {goals, ROOT / "inventory" / "kittiwake.yaml"}
    broken = tmp_path / "broken.yaml"
    broken.write_text("goals: {hard", encoding="utf-8")
    assert files_in_use(broken, None) == {broken}
    assert files_in_use(broken, goals) == {broken, goals}
