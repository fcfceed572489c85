"""The file that `choices --save N FILE` writes: one of the blends as a recipe."""

from __future__ import annotations

import argparse
from pathlib import Path

from optimiser.answers.choice_results import Choices
from optimiser.files import writing
from optimiser.files.in_use import files_in_use
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import shown


def wanted(asked: argparse.Namespace) -> int | None:
    """Which blend is to be written, from 1 on; None where none is. Refused before any work is done.

    Raises:
        BadInput: it is no number of a blend, or the file must not be written.
    """
    if asked.save is None:
        return None
    number, path = asked.save
    if not (number.isascii() and number.isdigit() and 1 <= int(number) <= asked.count):
        message = f"--save: {shown(number)} is no number of a blend: they go from 1 to {asked.count}"
        raise BadInput([Diagnostic(Code.USAGE, message, f"write it so: --save 2 {path}")])
    keep = [one for one in (asked.goals, asked.shelf) if one is not None]
    writing.refuse(Path(path), force=asked.force, keep=keep)
    return int(number)


def kept(asked: argparse.Namespace, found: Choices, number: int) -> Path:
    """Write one of the blends and say where.

    Raises:
        BadInput: there are not so many, or the file cannot be written.
    """
    from optimiser.report.recipe_yaml import recipe_yaml

    path = Path(asked.save[1])
    there = len(found.choices)
    if number > there:
        one = "but one blend" if there == 1 else f"only {there} blends"
        message = f"--save {number}: there are {one}" if there > 1 else f"--save {number}: there is {one}"
        raise BadInput([Diagnostic(Code.USAGE, message, "leave --save out to see them")])
    text = recipe_yaml(found.choices[number - 1].blend, path)
    writing.write(path, text, force=asked.force, keep=files_in_use(asked.goals, asked.shelf))
    return path
