"""`barwright tradeoff`: read, answer, write the chart, show."""

from __future__ import annotations

import argparse

from optimiser.cli.exits import FOUND, NONE
from optimiser.cli.in_hand_options import day_asked
from optimiser.cli.showing import remark, show_no_blend, told
from optimiser.cli.streams import say, tell
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic


def run(asked: argparse.Namespace) -> int:
    """The curve of one limit, or the grid of two; nothing is written before the answer stands.

    Raises:
        BadInput: with every fault of the files, or of what was typed.
    """
    from optimiser.answers.ask_tradeoff import grid, of_question
    from optimiser.answers.asked import read_question
    from optimiser.answers.results import NoBlend
    from optimiser.files import writing
    from optimiser.files.curve_key import Typed
    from optimiser.files.in_use import files_in_use

    if asked.also_side is not None and asked.also is None:
        raise BadInput([Diagnostic(Code.USAGE, "--and-side is the side of a second limit", "name it by --and")])
    kept = [path for path in (asked.goals, asked.shelf) if path is not None]
    if asked.svg is not None:
        writing.refuse(asked.svg, force=asked.force, keep=kept)
    question = read_question(asked.goals, asked.shelf, asked.near, on=day_asked(asked.on))
    first = Typed(asked.of, asked.side, asked.start, asked.stop)
    second = Typed(asked.also or "", asked.also_side, option="--and-side")
    found = of_question(question, first) if asked.also is None else grid(question, first, second)
    if isinstance(found, NoBlend):
        show_no_blend(found, asked)
        return NONE
    kind = "curve" if asked.also is None else "grid"
    text = told(asked, kind, found)
    if asked.svg is not None:
        from optimiser.report.svg import curve as drawn

        picture = getattr(drawn, f"{kind}_svg")(found)
        writing.write(asked.svg, picture, force=asked.force, keep=files_in_use(asked.goals, asked.shelf))
        tell("Written: {path}", path=asked.svg)
    say(text)
    remark(found)
    return FOUND
