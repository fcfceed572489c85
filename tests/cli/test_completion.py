"""The completions of the shells: fresh, printed as shipped, and at work in the shells that are here."""

from __future__ import annotations

import os
import runpy
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from optimiser.cli.completion import FOLDER
from optimiser.cli.main import SHELLS, main

ROOT = Path(__file__).parents[2]
TOOL = ROOT / "tests" / "tools" / "completions.py"
HERE = [shell for shell in SHELLS if shutil.which(shell)]
ASK = {
    "bash": """
        source "$1"; shift
        COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
        _shtab_barwright && printf '%s\\n' "${COMPREPLY[@]}"
    """,
    "fish": 'source $argv[1]; complete -C "$argv[2..]"',
}


@pytest.mark.parametrize("shell", SHELLS)
def test_what_is_shipped_is_what_the_parser_says(shell: str) -> None:
    """Every command, option and choice of today is in the shipped file; `python tests/tools/completions.py` writes it."""
    assert (FOLDER / f"barwright.{shell}").read_text(encoding="utf-8") == runpy.run_path(str(TOOL))["written"](shell)


def test_a_new_option_makes_the_shipped_files_stale(monkeypatch: pytest.MonkeyPatch) -> None:
    """An option that the shipped files do not have is in what would be written, for every shell."""
    tool = runpy.run_path(str(TOOL))
    build = tool["build_parser"]

    def with_option() -> object:
        parser = build()
        parser.add_argument("--brand-new", help="an option of tomorrow")
        return parser

    monkeypatch.setitem(tool["written"].__globals__, "build_parser", with_option)
    for shell in SHELLS:
        assert "brand-new" in tool["written"](shell)
        assert "brand-new" not in (FOLDER / f"barwright.{shell}").read_text(encoding="utf-8")


@pytest.mark.parametrize("shell", SHELLS)
def test_the_command_prints_the_shipped_file(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    """To the byte, in plain letters."""
    assert main(["completion", shell]) == 0
    told = capsys.readouterr()
    assert told.out == (FOLDER / f"barwright.{shell}").read_text(encoding="utf-8")
    assert told.out.isascii()
    assert told.err == ""


def test_printing_needs_no_library() -> None:
    """What writes the files is a tool of the tests and is never loaded; nor is anything that answers."""
    code = (
        "import sys\nfrom optimiser.cli.main import main\nmain(['completion', 'bash'])\n"
        "heavy = ('shtab', 'rapidfuzz', 'yaml', 'pydantic', 'numpy', 'rich')\n"
        "print([name for name in heavy if name in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stderr.strip() == "[]"


def test_an_unknown_shell_is_a_fault_of_usage(capsys: pytest.CaptureFixture[str]) -> None:
    """The shells that are known are named."""
    with pytest.raises(SystemExit) as stopped:
        main(["completion", "sh"])
    assert stopped.value.code == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "there is no shell 'sh'" in told


@pytest.mark.parametrize("shell", HERE)
def test_the_shells_can_read_them(shell: str) -> None:
    """Every shell that is installed takes its file without a word."""
    done = subprocess.run(
        [shell, "-n", str(FOLDER / f"barwright.{shell}")], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with files and a folder in it."""
    for name in ("guest.yaml", "guest-house.yaml", "other.yaml"):
        (tmp_path / name).touch()
    (tmp_path / "goals").mkdir()
    return tmp_path


TYPED = [
    (["bl"], ["blend"]),
    (["f"], ["feasible", "fats"]),
    (["blend", "--wa"], ["--watch"]),
    (["blend", "gues"], ["guest-house.yaml", "guest.yaml"]),
    (["blend", "guest.yaml", "--shelf", "oth"], ["other.yaml"]),
    (["weigh", "oth"], ["other.yaml"]),
    (["new", "g"], ["goals"]),
    (["explain", "unknown-f"], ["unknown-fat"]),
    (["trial", "a"], ["add"]),
    (["trial", "add", "--ash", "y"], ["yes"]),
    (["schema", ""], ["designs", "goals", "plan", "prices", "recipe", "shelf"]),
    (["completion", "b"], ["bash"]),
]


@pytest.mark.parametrize(("typed", "offered"), TYPED, ids=" ".join)
@pytest.mark.parametrize("shell", [shell for shell in HERE if shell in ASK])
def test_a_real_shell_completes(folder: Path, shell: str, typed: list[str], offered: list[str]) -> None:
    """Bash, and fish where it is installed, offer commands, options, choices, codes and paths as at a press of the tab key."""
    start = [shell, "--norc" if shell == "bash" else "--no-config", "-c", ASK[shell]]
    words = ["bash", str(FOLDER / "barwright.bash")] if shell == "bash" else [str(FOLDER / "barwright.fish")]
    env = {**os.environ, "HOME": str(folder)}
    done = subprocess.run(
        [*start, *words, "barwright", *typed], capture_output=True, text=True, check=False, cwd=folder, env=env
    )
    assert done.stderr == ""
    assert sorted(row.split("\t")[0].rstrip("/") for row in done.stdout.splitlines()) == sorted(offered)
