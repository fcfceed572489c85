"""Answering anew at every save."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from optimiser.cli.watch import place, state, watch
from optimiser.files.in_use import files_in_use

ROOT = Path(__file__).parents[2]
PATIENCE = 20.0  # s: far longer than a save takes to be seen
LOOKS = 400  # within the patience


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


class Count:
    """A watch in a thread of its own that counts its answers and reads nothing itself."""

    def __init__(self, goals: Path, shelf: Path | None = None) -> None:
        self.number = 0
        self._seen = threading.Condition()
        self._stop = threading.Event()
        self._thread = threading.Thread(
            target=watch, args=(place(goals, shelf).files, self._answer, self._stop), daemon=True
        )
        assert self.answered_after(self._thread.start)

    def _answer(self) -> None:
        with self._seen:
            self.number += 1
            self._seen.notify_all()

    def answered_after(self, change: Callable[[], object]) -> bool:
        """Whether a change brings another answer."""
        with self._seen:
            before = self.number
        change()
        with self._seen:
            return self._seen.wait_for(lambda: self.number > before, PATIENCE)

    def end(self) -> bool:
        """Stop, and whether it did."""
        self._stop.set()
        self._thread.join(PATIENCE)
        return not self._thread.is_alive()


def fresh(path: Path, text: str) -> None:
    """A new file put in the place of the old one, as many editors save."""
    beside = path.with_name(f".{path.name}.new")
    beside.write_text(text, encoding="utf-8")
    beside.replace(path)


def test_designs_and_scales_are_answered_too(tmp_path: Path) -> None:
    """A design or a scale that comes to be, changes or goes brings an answer, wherever its folder lies above the goals."""
    goals, designs, trials = tmp_path / "deep" / "goals" / "bar.yaml", tmp_path / "designs", tmp_path / "trials"
    goals.parent.mkdir(parents=True)
    goals.write_text("goals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    bench = Count(goals)
    designs.mkdir()
    assert bench.answered_after(lambda: (designs / "ours.yaml").write_text("designs: []\n", encoding="utf-8"))
    assert bench.answered_after(lambda: fresh(designs / "ours.yaml", "designs: []\n# changed\n"))
    assert bench.answered_after(lambda: fresh(designs / "ours.yaml", "designs: []\n# changed again\n"))
    trials.mkdir()
    assert bench.answered_after(lambda: (trials / "scales.yaml").write_text("# none\n", encoding="utf-8"))
    assert bench.answered_after(lambda: fresh(trials / "scales.yaml", "# still none\n"))
    assert bench.answered_after((designs / "ours.yaml").unlink)
    assert bench.answered_after(lambda: shutil.rmtree(trials))
    assert bench.end()


def test_folders_that_are_not_there_are_waited_for(tmp_path: Path) -> None:
    """A shelf in a folder to be made, and goals whose folder goes away and comes back, end no watch."""
    goals, shelf = tmp_path / "goals" / "bar.yaml", tmp_path / "stock" / "room" / "shelf.yaml"
    goals.parent.mkdir()
    text = "shelf: ../stock/room/shelf.yaml\ngoals: {hardness: {at_least: 40}}\n"
    goals.write_text(text, encoding="utf-8")
    bench = Count(goals)

    def stocked() -> None:
        shelf.parent.mkdir(parents=True)
        shutil.copy(ROOT / "inventory" / "kittiwake.yaml", shelf)

    def back() -> None:
        goals.parent.mkdir()
        goals.write_text(text, encoding="utf-8")

    for _ in range(2):
        assert bench.answered_after(stocked)
        assert bench.answered_after(lambda: shutil.rmtree(tmp_path / "goals"))
        assert bench.answered_after(back)
        assert bench.answered_after(lambda: shutil.rmtree(tmp_path / "stock"))
    assert bench.end()


def test_a_system_that_watches_no_more_folders_is_looked_at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system refuses to watch, looking now and then serves."""
    import watchfiles

    def refused(*_: object, **__: object) -> Iterator[object]:
        raise OSError(28, "OS file watch limit reached")

    monkeypatch.setattr(watchfiles, "watch", refused)
    goals = tmp_path / "bar.yaml"
    goals.write_text("goals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    bench = Count(goals)
    assert bench.answered_after(lambda: fresh(goals, "goals: {hardness: {at_least: 41}}\n"))
    assert bench.end()


def test_what_does_not_bear_on_the_answer_brings_none(tmp_path: Path) -> None:
    """Notes and hidden files beside the goals and on the way up are passed over."""
    goals, designs = tmp_path / "goals" / "bar.yaml", tmp_path / "designs"
    goals.parent.mkdir()
    designs.mkdir()
    goals.write_text("goals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    here = place(goals, None)
    before = state(here.files())
    for path in (goals.with_name("notes.txt"), goals.with_name("other.yaml"), designs / ".ours.yaml.swp"):
        path.write_text("x", encoding="utf-8")
    assert state(here.files()) == before


def test_a_watch_outlives_the_folder_it_was_started_in(tmp_path: Path) -> None:
    """The program itself: its folder deleted and made anew, a missing shelf, and an interrupt that ends it with 130."""
    folder = tmp_path / "goals"
    folder.mkdir()
    goals = folder / "bar.yaml"
    text = "shelf: ../stock/shelf.yaml\ngoals: {hardness: {at_least: 40}}\n"
    goals.write_text(text, encoding="utf-8")
    seen, errors = tmp_path / "out.txt", tmp_path / "err.txt"
    with seen.open("wb") as out, errors.open("wb") as err:
        running = subprocess.Popen(
            [sys.executable, "-m", "optimiser", "blend", "bar.yaml", "--watch"],
            stdout=out,
            stderr=err,
            cwd=folder,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )

    def told(words: str, path: Path = errors) -> bool:
        for _ in range(LOOKS):
            if words in " ".join(path.read_text(encoding="utf-8").split()):
                return True
            with suppress(subprocess.TimeoutExpired):
                running.wait(PATIENCE / LOOKS)
                return False
        return False

    try:
        assert told("there is no such file")
        assert told("watching bar.yaml")
        shutil.rmtree(folder)
        assert told("the folder that you are in is not there any more")
        folder.mkdir()
        (tmp_path / "stock").mkdir()
        shutil.copy(ROOT / "inventory" / "kittiwake.yaml", tmp_path / "stock" / "shelf.yaml")
        goals.write_text(text, encoding="utf-8")
        assert told("sodium hydroxide", seen)
        running.send_signal(signal.SIGINT)
        assert running.wait(PATIENCE) == 130
    finally:
        running.kill()
        running.wait()


def test_a_watch_tells_warnings_with_every_answer(tmp_path: Path) -> None:
    """What looks odd on the shelf follows the answer, and is gone once the shelf is mended and saved."""
    goals, shelf = tmp_path / "bar.yaml", tmp_path / "shelf.yaml"
    fats = "fats: [{fat: lard, price: 2 / kg}, {fat: coconut oil, price: 3 / kg}, {fat: olive oil, price: 700 / kg}]\n"
    goals.write_text("shelf: shelf.yaml\npractice: off\n", encoding="utf-8")
    shelf.write_text(fats, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, "-m", "optimiser", "blend", "bar.yaml", "--watch"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as running:
        assert running.stderr is not None

        def until_watching() -> str:
            said = []
            for line in running.stderr or ():
                if "-- watching" in line:
                    break
                said.append(line)
            return " ".join("".join(said).split())

        try:
            assert "warning: olive oil costs 700" in until_watching()
            shelf.write_text(fats.replace("700", "7.00"), encoding="utf-8")
            assert "warning" not in until_watching()
            assert running.poll() is None
        finally:
            running.kill()
