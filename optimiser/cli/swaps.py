"""What `barwright swap` does: read, answer, keep one if asked, show."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.cli.exits import FOUND, NONE
from optimiser.cli.in_hand_options import units_asked
from optimiser.cli.showing import how, remark, typed
from optimiser.cli.streams import say, tell
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from optimiser.answers.swap_results import Swapped


def run_swap(asked: argparse.Namespace) -> int:
    """What to use in place of fats that ran out; nothing is written before the answer stands."""
    from optimiser.answers.swap import swap

    wanted = kept(asked)
    units = units_asked(asked.units)
    found = swap(
        *(asked.recipe, asked.out), keep=asked.keep, shelf_file=asked.shelf, goal_file=asked.against, units=units
    )
    text = told(asked, found)
    if wanted is not None:
        save(found, *wanted, asked)
    say(text)
    remark(found)
    return FOUND if found.fits else NONE


def kept(asked: argparse.Namespace) -> tuple[int, Path] | None:
    """Which answer is to be kept, and where.

    Raises:
        BadInput: the number is none, or the file must not be written.
    """
    from optimiser.files import writing

    if asked.save is None:
        return None
    number, path = asked.save
    if not number.isascii() or not number.isdigit() or not 0 < int(number) < 1000:
        message = f"--save takes the number of an answer and a file, and {number[:40]!r} is no number"
        raise BadInput([Diagnostic(Code.USAGE, message, "as in --save 1 recipe.yaml")])
    keep = [one for one in (asked.recipe, asked.shelf, asked.against) if one is not None]
    writing.refuse(Path(path), force=asked.force, keep=keep)
    return int(number), Path(path)


def save(found: Swapped, number: int, path: Path, asked: argparse.Namespace) -> None:
    """Write one answer as a recipe file.

    Raises:
        BadInput: there is no such answer, or the file cannot be written.
    """
    from optimiser.files import writing
    from optimiser.report.recipe_yaml import kept_swapped, kept_yaml

    if number > len(found.answers):
        last = len(found.answers)
        message = f"there is no answer {number} to save"
        help_ = f"they are numbered from 1 to {last}" if last else "there is none at all"
        raise BadInput([Diagnostic(Code.USAGE, message, help_)])
    keep = [one for one in (asked.recipe, asked.shelf, asked.against) if one is not None]
    writing.write(path, kept_yaml(kept_swapped(found, found.answers[number - 1]), path), force=asked.force, keep=keep)
    tell("Written: {path}", path=path)


def told(asked: argparse.Namespace, found: Swapped) -> str:
    """The answer as text or as JSON."""
    if asked.json:
        from optimiser.report.json.swap import swapped
        from optimiser.report.json.writing import to_json

        return to_json(swapped(found))
    from optimiser.report.terminal.page import Paper, printed
    from optimiser.report.terminal.swap import parts

    options = how(asked)
    paper = Paper(options["width"], options["colour"], options["ascii"])
    return printed(paper, parts(found, full=asked.full, typed=typed(asked)))
