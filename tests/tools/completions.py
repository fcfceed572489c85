"""The completions of the shells, written anew from the command line's own parser into `optimiser/completions/`.

    python tests/tools/completions.py

The program ships the files and needs no shtab to print them. Run this whenever a command or an option changes.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import shtab

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))  # run as a script, this folder alone would be on the path

from optimiser.cli.main import SHELLS, build_parser  # noqa: E402
from optimiser.text.codes import Code  # noqa: E402

FOLDER = ROOT / "optimiser" / "completions"
PATHS = {"GOALS": shtab.FILE, "RECIPE": shtab.FILE, "FILE": shtab.FILE, "PATH": shtab.FILE, "FOLDER": shtab.DIRECTORY}
HEAD = """\
# Completions of barwright for {shell}, printed by: barwright completion {shell}
# Written by tests/tools/completions.py from the command line's own parser; do not edit.
# The functions below are from the templates of shtab (Apache License 2.0).
"""


def written(shell: str) -> str:
    """The completions for one shell, with paths completed as paths and codes as codes, lye among them."""
    parser = build_parser()
    for action in actions(parser):
        if action.metavar in PATHS:
            action.complete = PATHS[action.metavar]  # type: ignore[attr-defined]
        if action.metavar == "CODE":
            action.choices = [*Code, "lye"]
    first, rest = "", shtab.complete(parser, shell=shell)
    if rest.startswith("#compdef"):  # zsh wants it in the first line
        first, _, rest = rest.partition("\n")
    lines = [line.rstrip() for line in rest.split("\n") if not line.lstrip().startswith("#")]  # the templates' remarks
    text = "\n".join([*filter(None, [first]), HEAD.format(shell=shell).rstrip("\n"), "", *lines])
    return re.sub(r"\n{3,}", "\n\n", text).rstrip("\n") + "\n"


def actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """Every argument and option of the parser and of its commands."""
    for action in parser._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from actions(inner)


def main() -> None:
    """Write the file of each shell."""
    FOLDER.mkdir(exist_ok=True)
    for shell in SHELLS:
        (FOLDER / f"barwright.{shell}").write_text(written(shell), encoding="utf-8")


if __name__ == "__main__":
    main()
