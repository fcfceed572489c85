"""`barwright sweep` as typed: exit codes, streams, files, and what is said when it ends early."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from sweeping import ROOT

from optimiser.answers import sweep as answering
from optimiser.cli import sweep as command
from optimiser.cli.main import main
from optimiser.cli.sweep import Hired, cores
from optimiser.engines.processes import Processes
from optimiser.engines.work import EngineFault, Here
from optimiser.files import writing
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

BUDGET = str(ROOT / "goals" / "budget.yaml")
PRICES = str(ROOT / "examples" / "shocks.yaml")


def run(capsys: pytest.CaptureFixture[str], *typed: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr."""
    code = main(["sweep", *typed])
    out = capsys.readouterr()
    return code, out.out, out.err


def test_a_page_of_80_columns(capsys: pytest.CaptureFixture[str]) -> None:
    """A line for each bar, what to do, break-even prices, and the caution on the alkali."""
    code, out, err = run(capsys, BUDGET, str(ROOT / "goals" / "cannot-be.yaml"), "--prices", PRICES)
    assert code == 0
    assert max(map(len, out.splitlines())) <= 80
    for words in (
        "Re-formulate first",
        "At worst (palm ban) a kilo",
        "today's blend stays",
        "Not swept",
        "Another blend takes another",
    ):
        assert words in out
    assert err == ""


def test_json_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """One document, with the keys that programs go by."""
    code, out, _ = run(capsys, BUDGET, "--prices", PRICES, "--json")
    data = json.loads(out)
    assert code == 0
    assert (data["format"], data["status"], data["scenarios"]) == ("barwright/1", "swept", 4)
    goal = data["goals"][0]
    assert {"file", "kept", "reoptimised", "saving", "used"} <= set(goal)
    assert {"mean", "p95"} <= set(goal["kept"]) & set(goal["reoptimised"])
    assert goal["saving"]["most"] > goal["saving"]["mean"] > 0.0
    assert all(0.0 < share <= 1.0 for share in goal["used"].values())


def test_the_same_bytes_twice(capsys: pytest.CaptureFixture[str]) -> None:
    """Output is the same for the same input, whoever works."""
    first = run(capsys, BUDGET, "--prices", PRICES)
    assert run(capsys, BUDGET, "--prices", PRICES, "--workers", "1") == first


def test_charts_and_tables_are_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """And never over a file without --force, nor over what they are worked out from."""
    svg, table = tmp_path / "a.svg", tmp_path / "a.csv"
    typed = (BUDGET, "--prices", PRICES, "--svg", str(svg), "--table", str(table))
    code, _, err = run(capsys, *typed)
    assert code == 0
    assert err.count("Written:") == 2
    assert svg.read_text(encoding="utf-8").startswith("<svg")
    assert len(table.read_text(encoding="utf-8").splitlines()) == 5
    code, out, err = run(capsys, *typed)
    assert (code, out) == (2, "")
    assert "file-exists" in err
    assert run(capsys, *typed, "--force")[0] == 0


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("--resume",), "--keep"),
        (("--on", "localhost:9", "--workers", "2"), "leave one out"),
        (("--workers", "0"), "from 1 to"),
        (("--table", "a.xlsx"), "neither .csv nor .parquet"),
        (("--svg", "a.yaml"), "name a .svg"),
        (("--svg", "a.csv", "--table", "./a.csv"), "one and the same file"),
        (("--others", "stay"), "for a history"),
        (("--scenarios", "5"), "none are drawn"),
    ],
)
def test_what_cannot_be_is_refused(typed: tuple[str, ...], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2 and nothing on stdout."""
    code, out, err = run(capsys, BUDGET, "--prices", PRICES, *typed)
    assert (code, out) == (2, "")
    assert words in err.replace("\n  ", " ")


def test_a_sweep_is_gone_on_with(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """--keep, then --resume tells the same; other prices are refused by name."""
    folder = str(tmp_path / "kept")
    first = run(capsys, BUDGET, "--prices", PRICES, "--keep", folder)
    assert first[0] == 0
    assert run(capsys, BUDGET, "--prices", PRICES, "--keep", folder, "--resume") == first
    code, _, err = run(capsys, BUDGET, "--prices", PRICES, "--keep", folder)
    assert code == 2
    assert "--resume" in err
    other = str(ROOT / "examples" / "prices.csv")
    code, _, err = run(capsys, BUDGET, "--prices", other, "--keep", folder, "--resume")
    assert code == 2
    assert "changed-sweep" in err


def test_an_interrupt_says_what_is_left(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Exit code 130; with --keep the way to go on, without it that nothing was kept. Handlers are as before."""

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(answering, "sweep", stop)
    before = signal.getsignal(signal.SIGINT)
    code, out, err = run(capsys, BUDGET, "--prices", PRICES, "--keep", str(tmp_path / "kept"))
    assert (code, out) == (130, "")
    assert "--resume goes on" in err
    assert "Nothing of it was kept" in run(capsys, BUDGET, "--prices", PRICES)[2]
    assert signal.getsignal(signal.SIGINT) is before


def test_workers_that_fail_are_a_fault_of_their_own(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit code 3, in words, without a traceback."""

    def fail(*_: object, **__: object) -> None:
        raise EngineFault("3 workers died over one and the same part of the work")

    monkeypatch.setattr(answering, "sweep", fail)
    code, out, err = run(capsys, BUDGET, "--prices", PRICES)
    assert (code, out) == (3, "")
    assert "3 workers died" in err


def test_who_is_hired(monkeypatch: pytest.MonkeyPatch) -> None:
    """Little work is done here, much by the cores there are, and as many as were asked for whatever there is to do."""
    monkeypatch.setattr(command, "cores", lambda: 5)
    few, many, two = Hired(None, None), Hired(None, None), Hired(2, None)
    assert isinstance(few.hire(0.1), Here)
    for hired, count in ((many, 5), (two, 2)):
        engine = hired.hire(100.0 if hired is many else 0.1)
        assert isinstance(engine, Processes)
        assert engine.count == count
        hired.close()
    assert cores() >= 1


def test_an_interrupt_leaves_what_is_done_and_no_worker(tmp_path: Path) -> None:
    """Interrupted in the midst, the program ends soon with 130, keeps its parts, and going on tells what a whole run does."""
    folder = tmp_path / "kept"
    typed = [sys.executable, "-m", "optimiser", "sweep", BUDGET, str(ROOT / "goals" / "everyday.yaml")]
    typed += ["--prices", str(ROOT / "examples" / "spread.yaml"), "--scenarios", "30000", "--workers", "2"]
    typed += ["--keep", str(folder), "--json"]
    process = subprocess.Popen(typed, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT, text=True)
    try:
        deadline = time.monotonic() + 120
        while not list(folder.glob("part-*")):
            assert process.poll() is None
            assert time.monotonic() < deadline
            time.sleep(0.05)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    finally:
        process.kill()
    assert process.returncode == 130
    assert out == ""
    assert "--resume goes on" in err
    assert list(folder.glob("part-*"))
    assert not list(folder.glob(".barwright-*"))


def test_no_file_that_was_read_is_written_over(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Neither the shelf that a goal file names nor designs beside it, be it through a link with a fit suffix and --force."""
    shelf = (ROOT / "inventory" / "kittiwake.yaml").read_bytes()
    (tmp_path / "shelf.yaml").write_bytes(shelf)
    goals = tmp_path / "bar.yaml"
    goals.write_text("shelf: shelf.yaml\ngoals: {hardness: {at_least: 30}}\n", encoding="utf-8")
    for name, option in (("a.svg", "--svg"), ("a.csv", "--table")):
        (tmp_path / name).symlink_to("shelf.yaml")
        code, out, err = run(capsys, str(goals), "--prices", PRICES, option, str(tmp_path / name), "--force")
        assert (code, out) == (2, "")
        assert "never written over" in err.replace("\n  ", " ")
    assert (tmp_path / "shelf.yaml").read_bytes() == shelf


def test_the_answer_is_told_even_if_a_file_cannot_be_written(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """One document on stdout, the fault on stderr, and exit code 2; what was written before is told."""

    def full(*_: object, **__: object) -> None:
        raise BadInput([Diagnostic(Code.CANNOT_WRITE, "cannot write a.csv: the disk is full")])

    monkeypatch.setattr(writing, "write_pieces", full)
    typed = ("--svg", str(tmp_path / "a.svg"), "--table", str(tmp_path / "a.csv"), "--json")
    code, out, err = run(capsys, BUDGET, "--prices", PRICES, *typed)
    assert code == 2
    assert json.loads(out)["status"] == "swept"
    assert "the disk is full" in err
    assert "a.svg" in err


def test_another_seed_is_told_once(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A spread gone on with by another seed has one fault."""
    prices = tmp_path / "spread.yaml"
    prices.write_text("spread: {each: 15 %, scenarios: 30}\n", encoding="utf-8")
    typed = (BUDGET, "--prices", str(prices), "--keep", str(tmp_path / "kept"))
    assert run(capsys, *typed)[0] == 0
    code, _, err = run(capsys, *typed, "--seed", "9", "--resume")
    assert code == 2
    assert "\n1 fault;" in err


def test_too_many_scenarios_of_all_bars_are_refused(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Before any work, with how many there may be."""
    prices = tmp_path / "spread.yaml"
    prices.write_text("spread: {each: 15 %}\n", encoding="utf-8")
    laundry = str(ROOT / "goals" / "laundry.yaml")
    code, out, err = run(capsys, BUDGET, laundry, "--prices", str(prices), "--scenarios", "12500001")
    assert (code, out) == (2, "")
    assert "take 12500000 scenarios" in err.replace("\n  ", " ").replace("\n        ", " ")


def test_a_long_sweep_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    """On stderr, before it begins; a short one says nothing."""
    Hired(1, None).hire(1800.0)
    assert "About 30 minutes" in capsys.readouterr().err
    Hired(1, None).hire(60.0)
    assert capsys.readouterr().err == ""
