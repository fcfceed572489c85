"""Put small faults into the rooms one at a time, and see whether a test notices: what none notices is not tested.

    python tests/tools/mutants.py                               # the default rooms, every fault
    python tests/tools/mutants.py proof --sample 60 --seed 1    # some of one room
    python tests/tools/mutants.py proof --list                  # what would be tried
    python tests/tools/mutants.py proof --only proof-1a2b3c4    # one fault, shown and tried

Tests run on a copy of the tree. Which of them run a line is measured once by coverage, where that is installed, and kept in
`.mutants_cache/`; else those that import the room are taken. A fault is survived only if all of them pass. Those that
change nothing that anybody could see are written into `equivalent_mutants.txt`, each with why, and do not count.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import gc
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tools.mutant_runs import Job, Known, Memory, Ran, can_fork, copy_tree, has_coverage, load_ahead, run
from tools.mutating import Mutant, mutants

ROOMS = (
    *("materials.fatty_acids", "materials.alkali", "solve.proof", "solve.optimum", "recipe.compliance"),
    *("recipe.rounding", "model.columns"),
)
"""Taken where no room is named: dotted names inside the package."""
ROOT = Path(__file__).parents[2]
PACKAGE = "optimiser"
LONG = 1800.0  # seconds that one file of tests may take while it is measured


@dataclass(frozen=True, slots=True)
class Room:
    """A module: its dotted name inside the package, its path inside the tree, its text."""

    name: str
    path: str
    source: str


@dataclass(frozen=True, slots=True)
class Equivalent:
    """A fault that a person found to change nothing: the room, the line, what it becomes, and why."""

    room: str
    line: str
    becomes: str
    why: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of a fault: killed, survived, timed out or not covered; by which test; of how many."""

    mutant: Mutant
    fate: str
    by: str = ""
    tests: int = 0


# -- what is asked ---------------------------------------------------------------------------------------------------


def find_room(root: Path, package: str, asked: str) -> Room:
    """The module that was named by its path or its dotted name.

    Raises:
        SystemExit: there is none.
    """
    dotted = asked.removeprefix(f"{package}.").replace(".", "/")
    for path in (root / asked, Path(asked).absolute(), root / package / f"{dotted}.py", root / package / dotted):
        module = path / "__init__.py" if path.is_dir() else path
        if module.is_file() and module.resolve().is_relative_to((root / package).resolve()):
            inside = module.resolve().relative_to((root / package).resolve())
            name = ".".join(inside.with_suffix("").parts).removesuffix(".__init__")
            return Room(name, f"{package}/{inside.as_posix()}", module.read_text(encoding="utf-8"))
    raise SystemExit(f"no module {asked!r} in {package}/: name it by path or as {ROOMS[0]!r}")


def read_equivalents(text: str) -> list[Equivalent]:
    """The file of faults that change nothing: four lines each (room, line, becomes, why), and an empty one between.

    Raises:
        ValueError: an entry that lacks one of them.
    """
    out = []
    for block in "\n".join(line for line in text.splitlines() if not line.startswith("#")).split("\n\n"):
        if block.strip():
            told = dict(line.partition(": ")[::2] for line in block.strip().splitlines())
            if set(told) != {"room", "line", "becomes", "why"} or not all(told.values()):
                raise ValueError(f"an entry has four lines, room: line: becomes: why:, not\n{block}")
            out.append(Equivalent(**told))
    return out


def files_of_tests(root: Path, asked: Sequence[str]) -> list[str]:
    """The files of tests under what was named, or all of them; never the test of this script."""
    places = [root / place for place in asked] or [root / "tests"]
    missing = [str(place) for place in places if not place.exists()]
    if missing:
        raise SystemExit(f"no such tests: {', '.join(missing)}")
    found = (path for place in places for path in ([place] if place.is_file() else sorted(place.rglob("test_*.py"))))
    return list(dict.fromkeys(path.relative_to(root).as_posix() for path in found if path.stem != "test_mutants"))


def importers(root: Path, package: str, room: Room, tests: Iterable[str]) -> set[str]:
    """The files of tests that import a room by name."""
    full = f"{package}.{room.name}"
    out = set()
    for test in tests:
        for node in ast.walk(ast.parse((root / test).read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names = {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                names = {str(node.module), *(f"{node.module}.{alias.name}" for alias in node.names)}
            else:
                continue
            if full in names:
                out.add(test)
    return out


# -- which tests ------------------------------------------------------------------------------------------------------


def measured(bench: Bench, tests: Sequence[str], memory: Memory) -> dict[str, Known]:
    """Seconds and lines of every test, from memory or by running its file once."""
    out = {}
    for test in tests:
        known = memory.get(test)
        if known is None:
            bench.say(f"measuring {test}")
            ran = bench.run([test], [], LONG, covers=has_coverage(), stops=False)
            if ran.code not in {0, 1, 5}:
                raise SystemExit(f"{test} cannot be run as it is:\n{ran.said}")
            known = memory.put(test, ran)
        if known.failing:
            bench.say(f"  left out, they fail without any fault: {', '.join(known.failing)}")
        out[test] = known
    return out


def ways(mutant: Mutant, room: Room, known: dict[str, Known], own: set[str]) -> list[list[str]]:
    """The tests for a fault in three rounds, each the quickest first: the file named after the room, importers, all others.

    Tests that run the line come before those that only run something in the room. These matter where the line runs once
    for all of them, or while loading; of the room's own files they are taken anyway.
    """
    rounds: list[list[tuple[bool, float, str]]] = [[], [], []]
    name = f"test_{room.name.rpartition('.')[2]}"
    is_broad = mutant.is_broad or any(
        runs(mutant, about.lines.get("", {}).get(room.path, ())) for about in known.values()
    )
    for file, about in known.items():
        for test, seconds in about.seconds.items():
            lines = about.lines.get(test, {}).get(room.path, ())
            touches = bool(lines) or not has_coverage()
            if test not in about.failing and (runs(mutant, lines) or (touches and (is_broad or file in own))):
                rounds[0 if Path(file).stem == name else 1 if file in own else 2].append(
                    (not runs(mutant, lines), seconds, test)
                )
    return [[test for *_, test in sorted(chosen)] for chosen in rounds]


def runs(mutant: Mutant, lines: Sequence[int]) -> bool:
    """Whether a line of the fault's statement is among these."""
    return any(mutant.lines[0] <= line <= mutant.lines[1] for line in lines)


def is_covered(mutant: Mutant, room: Room, known: dict[str, Known]) -> bool:
    """Whether anything runs a line of the fault; lines that run while loading are, where the room is used at all."""
    return not has_coverage() or any(
        mutant.is_broad or runs(mutant, lines[room.path])
        for about in known.values()
        for lines in about.lines.values()
        if room.path in lines
    )


def within(tests: list[str], known: dict[str, Known], budget: float) -> tuple[list[str], float]:
    """The first of these tests that take no longer together than the budget, and how long they take."""
    seconds = {test: taken for about in known.values() for test, taken in about.seconds.items()}
    spent = 0.0
    out: list[str] = []
    for test in tests:
        if not out or spent + seconds[test] <= budget:
            spent += seconds[test]
            out.append(test)
    return out, spent


# -- trying -----------------------------------------------------------------------------------------------------------


class Bench:
    """A copy of the tree, and runs of its tests."""

    def __init__(self, folder: Path, root: Path, package: str, *, forked: bool) -> None:
        self.package, self.folder, self.forked = package, folder, forked
        self.root = copy_tree(root, folder / "tree")

    @staticmethod
    def say(words: str) -> None:
        """A line for whoever waits."""
        sys.stderr.write(f"{words}\n")
        sys.stderr.flush()

    def run(
        self, files: list[str], order: list[str], seconds: float, *, covers: bool = False, stops: bool = True
    ) -> Ran:
        """Run tests of the copy as it stands."""
        job = Job(str(self.root), self.package, files, order, stops, covers, keeps_bytecode=covers or not stops)
        return run(job, seconds, forked=self.forked, out=self.folder / "ran.json")

    def try_one(self, mutant: Mutant, room: Room, rounds: list[tuple[list[str], float]]) -> Verdict:
        """Put a fault into the copy, run the tests until one fails, and take it out again."""
        path = self.root / room.path
        for stale in (path.parent / "__pycache__").glob(f"{path.stem}.*.pyc"):
            stale.unlink()
        tried = 0
        path.write_text(mutant.put_into(room.source), encoding="utf-8")
        try:
            for tests, seconds in rounds:
                files = list(dict.fromkeys(test.partition("::")[0] for test in tests))
                ran = self.run(files, tests, seconds)
                tried += len(tests)
                if ran.code is None:
                    return Verdict(mutant, "timed out", tests=tried)
                if ran.code not in {0, 5}:
                    return Verdict(mutant, "killed", ran.failed[0] if ran.failed else "it does not even load", tried)
        finally:
            path.write_text(room.source, encoding="utf-8")
        return Verdict(mutant, "survived", tests=tried)


def trial(
    bench: Bench, room: Room, chosen: list[Mutant], known: dict[str, Known], asked: argparse.Namespace
) -> Iterator[Verdict]:
    """Try every fault chosen."""
    own = importers(bench.root, bench.package, room, known)
    for mutant in chosen:
        rounds, left = [], asked.seconds
        for tests in ways(mutant, room, known, own):
            if tests and left > 0:
                kept, spent = within(tests, known, left)
                rounds.append((kept, asked.spare + asked.timeout * spent))
                left -= spent
        if not rounds or not is_covered(mutant, room, known):
            yield Verdict(mutant, "not covered")
        else:
            yield bench.try_one(mutant, room, rounds)


# -- telling ----------------------------------------------------------------------------------------------------------


def shown(mutant: Mutant, room: Room) -> str:
    """A fault as its place and the line before and after."""
    return f"{mutant.id}  {room.path}:{mutant.line}\n    - {mutant.before}\n    + {mutant.after}"


def difference(mutant: Mutant, room: Room) -> str:
    """A fault as a difference between two texts."""
    before, after = room.source.splitlines(), mutant.put_into(room.source).splitlines()
    return "\n".join(difflib.unified_diff(before, after, room.path, mutant.id, lineterm="", n=2))


def table(done: dict[str, list[Verdict]], aside: Counter[str]) -> str:
    """Per room how many were killed, survived, timed out, were not covered; a fault noticed by time counts as killed."""
    head = f"{'room':<24}{'faults':>8}{'killed':>8}{'survived':>10}{'timed out':>11}{'not covered':>13}{'noticed':>9}{'equivalent':>12}"
    lines = [head]
    rows = [*done.items(), ("all", [verdict for room in done.values() for verdict in room])]
    for name, room in rows if len(done) > 1 else rows[:1]:
        fates = Counter(verdict.fate for verdict in room)
        noticed = fates["killed"] + fates["timed out"]
        part = f"{100.0 * noticed / len(room):.1f} %" if room else "-"
        counts = f"{fates['killed']:>8}{fates['survived']:>10}{fates['timed out']:>11}{fates['not covered']:>13}"
        beside = aside[name] if name in done else aside.total()
        lines.append(f"{name:<24}{len(room):>8}{counts}{part:>9}{beside:>12}")
    return "\n".join(lines)


def arguments(given: Sequence[str] | None) -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("rooms", nargs="*", help=f"modules, by path or dotted name ({', '.join(ROOMS)})")
    parser.add_argument("--sample", type=int, help="so many faults of each room, drawn at random (all)")
    parser.add_argument("--seed", type=int, default=0, help="of the drawing (0)")
    parser.add_argument("--tests", nargs="+", default=[], help="files or folders of tests (all)")
    parser.add_argument("--list", action="store_true", help="show the faults without trying them")
    parser.add_argument("--only", nargs="+", metavar="ID", help="these faults alone, each shown as a difference")
    parser.add_argument("--timeout", type=float, default=4.0, help="times as long as without a fault (4)")
    parser.add_argument("--spare", type=float, default=5.0, help="seconds beside that, for loading and collecting (5)")
    parser.add_argument(
        "--seconds", type=float, default=60.0, help="of tests for one fault at most, quickest first (60)"
    )
    parser.add_argument("--no-fork", action="store_true", help="a process of its own for every run, which is slower")
    parser.add_argument("--root", type=Path, default=ROOT, help=argparse.SUPPRESS)
    parser.add_argument("--package", default=PACKAGE, help=argparse.SUPPRESS)
    return parser.parse_args(given)


def chosen_of(room: Room, asked: argparse.Namespace, equivalents: list[Equivalent]) -> tuple[list[Mutant], int]:
    """The faults of a room to try, and how many are left out as equivalent; entries that fit no fault are told."""
    made = mutants(room.source, room.name)
    same = {(one.line, one.becomes) for one in equivalents if one.room == room.name}
    for line, becomes in sorted(same - {(mutant.before, mutant.after) for mutant in made}):
        Bench.say(f"equivalent_mutants.txt: no fault of {room.name} is any more\n    - {line}\n    + {becomes}")
    if asked.only:
        return [mutant for mutant in made if mutant.id in asked.only], 0
    if asked.sample is not None and asked.sample < len(made):
        drawn = random.Random(asked.seed).sample(sorted(made, key=lambda one: one.id), asked.sample)  # noqa: S311  # no secret
        made = sorted(drawn, key=lambda one: one.start)
    kept = [mutant for mutant in made if (mutant.before, mutant.after) not in same]
    return kept, len(made) - len(kept)


def main(given: Sequence[str] | None = None) -> int:
    """Try the faults asked for; 0 where each was noticed, 1 where one was not, 130 where it was interrupted."""
    asked = arguments(given)
    root = asked.root.resolve()
    rooms = [find_room(root, asked.package, name) for name in asked.rooms or ROOMS]
    file = root / "tests" / "tools" / "equivalent_mutants.txt"
    equivalents = read_equivalents(file.read_text(encoding="utf-8")) if file.is_file() else []
    todo, aside = {}, Counter[str]()
    for room in rooms:
        todo[room.name], aside[room.name] = chosen_of(room, asked, equivalents)
    if asked.only and (unknown := set(asked.only) - {mutant.id for chosen in todo.values() for mutant in chosen}):
        raise SystemExit(f"no such fault in these rooms: {', '.join(sorted(unknown))}")
    if asked.list:
        for room in rooms:
            sys.stdout.write("".join(f"{shown(mutant, room)}\n" for mutant in todo[room.name]))
        return 0
    done: dict[str, list[Verdict]] = {room.name: [] for room in rooms if todo[room.name] or not asked.only}
    is_broken = False
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        try:
            try_all(Path(folder).resolve(), rooms, todo, done, asked)
        except KeyboardInterrupt:
            is_broken = True
            Bench.say("interrupted: what was tried so far")
    sys.stdout.write(table(done, aside) + "\n")
    missed = any(verdict.fate in {"survived", "not covered"} for room in done.values() for verdict in room)
    return 130 if is_broken else int(missed)


def try_all(
    folder: Path,
    rooms: list[Room],
    todo: dict[str, list[Mutant]],
    done: dict[str, list[Verdict]],
    asked: argparse.Namespace,
) -> None:
    """Try every fault of every room, and tell those that nothing noticed as they come."""
    root = asked.root.resolve()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # a fork has one thread
    bench = Bench(folder, root, asked.package, forked=can_fork() and not asked.no_fork)
    known = measured(
        bench, files_of_tests(root, asked.tests), Memory(root / ".mutants_cache", bench.root, asked.package)
    )
    if bench.forked:
        load_ahead(sorted({name for about in known.values() for name in about.loaded}), asked.package)
        gc.freeze()
    for room in rooms:
        begun = time.monotonic()
        for verdict in trial(bench, room, todo[room.name], known, asked):
            done[room.name].append(verdict)
            if asked.only:
                sys.stdout.write(f"{difference(verdict.mutant, room)}\n{verdict.fate} {verdict.by}".rstrip() + "\n")
            elif verdict.fate in {"survived", "not covered"}:
                sys.stdout.write(f"{verdict.fate}: {shown(verdict.mutant, room)}\n")
            sys.stdout.flush()
        bench.say(f"{room.name}: {len(done[room.name])} faults in {time.monotonic() - begun:.0f} s")


if __name__ == "__main__":
    for asked_to_end in (
        signal.SIGINT,
        signal.SIGTERM,
    ):  # also where a shell started it in the background, deaf to the first
        signal.signal(asked_to_end, signal.default_int_handler)
    raise SystemExit(main())
