"""Tests run against a copy of the tree: in a fork of a process that has loaded what is heavy, or in a process of its own.

A run can be killed with all that it started when its time is up. The copy is all that is ever changed.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

LEFT_OUT = shutil.ignore_patterns(".*", "__pycache__", "*.egg-info", "build", "dist", "node_modules")
NOT_AHEAD = ("pytest", "_pytest", "py", "pluggy", "conftest", "coverage", "__main__", "__mp_main__", "sitecustomize")
"""What is not loaded ahead for a fork: the runner of tests itself, and what belongs to one process."""


@dataclass(frozen=True, slots=True)
class Job:
    """What one run of tests is asked: files, which tests of them in which order (all where empty), and how."""

    root: str
    package: str
    files: list[str]
    order: list[str] = field(default_factory=list)
    stops: bool = True
    covers: bool = False
    keeps_bytecode: bool = False


@dataclass(frozen=True, slots=True)
class Ran:
    """What came of it: pytest's exit code (None where it was killed), the tests that failed, seconds and lines of each."""

    code: int | None
    failed: list[str] = field(default_factory=list)
    seconds: dict[str, float] = field(default_factory=dict)
    lines: dict[str, dict[str, list[int]]] = field(default_factory=dict)
    loaded: list[str] = field(default_factory=list)
    said: str = ""


class Watch:
    """A plug-in of pytest: puts tests in order, times them, and tells coverage which one runs."""

    def __init__(self, job: Job, cover: Any = None) -> None:
        self.place = {name: place for place, name in enumerate(job.order)}
        self.cover = cover
        self.failed: list[str] = []
        self.seconds: dict[str, float] = {}

    def pytest_sessionstart(self) -> None:
        """A property that fails has done its work: no smaller example is looked for."""
        hypothesis = sys.modules.get("hypothesis")
        if hypothesis is not None:
            phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
            now = hypothesis.settings()
            hypothesis.settings.register_profile("mutants", parent=now, phases=phases, database=None)
            hypothesis.settings.load_profile("mutants")

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Only the tests asked for, in the order asked for."""
        if self.place:
            items[:] = sorted(
                (item for item in items if item.nodeid in self.place), key=lambda item: self.place[item.nodeid]
            )

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """The name of the test over every line that it runs."""
        if self.cover is not None:
            self.cover.switch_context(item.nodeid)
        result = yield
        if self.cover is not None:
            self.cover.switch_context("")
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Seconds and faults."""
        self.seconds[report.nodeid] = self.seconds.get(report.nodeid, 0.0) + report.duration
        if report.failed:
            self.failed.append(report.nodeid)


def can_fork() -> bool:
    """Whether a process can be split in two here, without harm."""
    return hasattr(os, "fork") and sys.platform != "darwin"


def copy_tree(root: Path, to: Path) -> Path:
    """The tree, without what is hidden or made from it."""
    shutil.copytree(root, to, ignore=LEFT_OUT)
    return to


def run(job: Job, seconds: float, *, forked: bool, out: Path) -> Ran:
    """Run tests in a process of their own, and end it and all that it started when its time is up."""
    out.unlink(missing_ok=True)
    is_done = in_fork(job, seconds, out) if forked else in_process(job, seconds, out)
    if not is_done:
        return Ran(None)
    return Ran(**json.loads(out.read_text(encoding="utf-8"))) if out.exists() else Ran(-1, said=tail_of(out))


def in_process(job: Job, seconds: float, out: Path) -> bool:
    """Run tests in a new process; whether it ended by itself in time."""
    ask = out.with_suffix(".job")
    ask.write_text(json.dumps(asdict(job)), encoding="utf-8")
    command = [sys.executable, str(Path(__file__).resolve()), str(ask), str(out)]
    with subprocess.Popen(command, start_new_session=True, stdin=subprocess.DEVNULL) as process:
        try:
            process.wait(seconds)
        except subprocess.TimeoutExpired:
            return False
        finally:
            end(process.pid)
            process.kill()
    return True


def in_fork(job: Job, seconds: float, out: Path) -> bool:
    """Run tests in a copy of this process; whether it ended by itself in time.

    An interrupt waits until the fork is made: in the middle of one Python would drop it, or leave the copy behind.
    """
    held = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT, signal.SIGTERM})
    process = os.fork()
    if not process:
        signal.pthread_sigmask(signal.SIG_SETMASK, held)
        child(job, out)
    until, pause = time.monotonic() + seconds, 0.005
    try:
        signal.pthread_sigmask(signal.SIG_SETMASK, held)
        while time.monotonic() < until:
            if os.waitpid(process, os.WNOHANG)[0]:
                return True
            time.sleep(pause)
            pause = min(0.1, 1.2 * pause)
        return False
    finally:
        end(process)
        with contextlib.suppress(ProcessLookupError, ChildProcessError):
            os.kill(process, signal.SIGKILL)
            os.waitpid(process, 0)


def end(process: int) -> None:
    """End all that a process started, which is in a group of its own."""
    if hasattr(os, "killpg"):
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(process, signal.SIGKILL)


def tail_of(out: Path) -> str:
    """The last of what a run said."""
    log = out.with_suffix(".log")
    return log.read_text(encoding="utf-8", errors="replace")[-3000:] if log.exists() else ""


def child(job: Job, out: Path) -> None:
    """Run tests here, write down what came of it, and end this process."""
    code = 70
    try:
        if hasattr(os, "setsid") and os.getpgrp() != os.getpid():
            os.setsid()
        ran = run_here(job, out)
        part = out.with_suffix(".part")
        part.write_text(json.dumps(asdict(ran)), encoding="utf-8")
        part.replace(out)
        code = 0
    finally:
        os._exit(code)


def run_here(job: Job, out: Path) -> Ran:
    """Run tests in this process, from the copy."""
    with out.with_suffix(".log").open("wb") as sink:
        os.dup2(sink.fileno(), 1)
        os.dup2(sink.fileno(), 2)
    os.chdir(job.root)
    sys.path[:] = [job.root, *(place for place in sys.path if place not in {"", str(Path(__file__).parent)})]
    os.environ |= {"PYTHONPATH": job.root, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", "PYTHONDONTWRITEBYTECODE": "1"}
    sys.dont_write_bytecode = not job.keeps_bytecode
    found = find_spec(job.package)
    if job.package in sys.modules or found is None or not str(found.origin).startswith(job.root):
        raise RuntimeError(f"{job.package} would not be loaded from the copy, but from {found and found.origin}")
    cover = None
    if job.covers:
        import coverage

        os.environ["COVERAGE_CORE"] = "ctrace"
        cover = coverage.Coverage(data_file=None, source=[str(Path(job.root) / job.package)], config_file=False)
        cover.start()
    watch = Watch(job, cover)
    arguments = ["-p", "no:cacheprovider", "--rootdir", job.root, *(["--maxfail=1"] if job.stops else [])]
    code = int(pytest.main([*arguments, *job.files], plugins=[watch]))
    lines: dict[str, dict[str, list[int]]] = {}
    if cover is not None:
        cover.stop()
        data = cover.get_data()
        for path in data.measured_files():
            name = Path(path).relative_to(job.root).as_posix()
            for line, tests in data.contexts_by_lineno(path).items():
                for test in tests:  # the empty name: while loading, or collecting tests
                    lines.setdefault(test, {}).setdefault(name, []).append(line)
    return Ran(code, watch.failed, watch.seconds, lines, loaded(job.root), tail_of(out) if code else "")


def loaded(root: str) -> list[str]:
    """What the tests loaded that is no part of the tree."""
    names = []
    for name, module in list(sys.modules.items()):
        place = getattr(module, "__file__", None)
        if place and not place.startswith(root) and name.partition(".")[0] not in NOT_AHEAD:
            names.append(name)
    return names


def load_ahead(names: Sequence[str], package: str) -> None:
    """Load what the tests will load, so that a fork has it; what cannot be loaded here is left to them."""
    for name in names:
        if name.partition(".")[0] not in {package, "tests", "tools"}:
            try:
                importlib.import_module(name)
            except Exception:  # noqa: BLE001, S112  # whatever it is, the tests will meet it themselves
                continue


# -- which tests run which line --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one file of tests: seconds and lines of each test, those that fail as it is, what it loads."""

    seconds: Mapping[str, float]
    lines: Mapping[str, Mapping[str, Sequence[int]]]
    failing: Sequence[str]
    loaded: Sequence[str]


def state_of(root: Path, package: str, test: str) -> str:
    """A digest of all that a file of tests may hang on: itself, the package, and what tests share."""
    digest = hashlib.sha256(sys.version.encode())
    shared = [path for path in sorted((root / "tests").rglob("*.py")) if not path.name.startswith("test_")]
    own = [path for path in shared if "tools" not in path.relative_to(root).parts]
    for path in (root / test, *own, *sorted((root / package).rglob("*.*"))):
        if path.suffix not in {".pyc", ""} and path.is_file():
            digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


class Memory:
    """What was measured once, in a folder that git does not keep."""

    def __init__(self, folder: Path, root: Path, package: str) -> None:
        self.path, self.root, self.package = folder / "measured.json", root, package
        self.held: dict[str, Any] = {}
        if self.path.exists():
            self.held = json.loads(self.path.read_text(encoding="utf-8"))

    def get(self, test: str) -> Known | None:
        """What is known of a file of tests as it now stands."""
        held = self.held.get(test)
        if held is None or held["state"] != state_of(self.root, self.package, test):
            return None
        return Known(held["seconds"], held["lines"], held["failing"], held["loaded"])

    def put(self, test: str, ran: Ran) -> Known:
        """Keep what a run found."""
        known = Known(ran.seconds, ran.lines, sorted(set(ran.failed)), ran.loaded)
        self.held[test] = {"state": state_of(self.root, self.package, test), **asdict(known)}
        self.path.parent.mkdir(exist_ok=True)
        part = self.path.with_suffix(".part")
        part.write_text(json.dumps(self.held), encoding="utf-8")
        part.replace(self.path)
        return known


def has_coverage() -> bool:
    """Whether lines can be measured."""
    return find_spec("coverage") is not None


if __name__ == "__main__":
    child(Job(**json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))), Path(sys.argv[2]))
