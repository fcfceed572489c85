"""`barwright plan`: read, answer, write the recipes if asked, show."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.cli.exits import FOUND, NONE
from optimiser.cli.in_hand_options import day_asked, units_asked
from optimiser.cli.showing import how, remark, typed
from optimiser.cli.streams import say, tell
from optimiser.text.opening import kind_of_file

if TYPE_CHECKING:
    from optimiser.answers.plan_results import NoPlan, Plan


def run_plan(asked: argparse.Namespace) -> int:
    """Several bars over one shelf; nothing is written before the answer stands.

    Raises:
        BadInput: with every fault of the files, or a recipe must not be written.
    """
    from optimiser.answers.plan import answer_plan
    from optimiser.answers.plan_results import Plan

    found = answer_plan(asked.plan, asked.shelf, units=units_asked(asked.units), on=day_asked(asked.on))
    text = told(asked, found)
    if asked.save is not None and isinstance(found, Plan):
        for path in kept(asked, found):
            tell("Written: {path}", path=path)
    say(text)
    remark(found)
    return FOUND if isinstance(found, Plan) else NONE


def kept(asked: argparse.Namespace, found: Plan) -> list[Path]:
    """Write a recipe for each bar into a folder; all of them are fit to be written before the first is.

    Raises:
        BadInput: one must not be written, or cannot be.
    """
    from optimiser.files import writing
    from optimiser.report.recipe_yaml import recipe_yaml

    folder: Path = asked.save
    texts = [(folder / f"{bar.name}.yaml", bar) for bar in found.bars]
    keep = [asked.plan, *([asked.shelf] if asked.shelf is not None else [])]
    keep += [Path(bar.blend.goal_file) for bar in found.bars]
    for path, _ in texts if kind_of_file(folder) == "folder" else ():
        writing.refuse(path, force=asked.force, keep=keep)
    written = []
    with writing.in_folder(folder):
        for path, bar in texts:
            writing.write(path, recipe_yaml(bar.blend, path), force=asked.force, keep=keep)
            written.append(path)
    return written


def told(asked: argparse.Namespace, found: Plan | NoPlan) -> str:
    """The answer as text or as JSON."""
    from optimiser.answers.plan_results import Plan

    if asked.json:
        from optimiser.report.json.plan import plan_document
        from optimiser.report.json.writing import to_json

        return to_json(plan_document(found))
    from optimiser.report.terminal.page import Paper, printed

    options = how(asked)
    paper = Paper(options["width"], options["colour"], options["ascii"], typed=typed(asked))
    if isinstance(found, Plan):
        from optimiser.report.terminal.plan import parts

        saved = "" if asked.save is None else str(asked.save)
        return printed(paper, parts(found, paper, steps=asked.steps, full=asked.full, saved=saved))
    from optimiser.report.terminal.no_plan import parts as why

    return printed(paper, why(found, full=asked.full))
