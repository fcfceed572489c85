"""What `barwright trial` can be asked; light, since every command builds it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from optimiser.cli.action_options import actions_of

DEFAULT_FOLDER = Path("trials")


def add_actions(parser: argparse.ArgumentParser, add_output: Callable[[argparse.ArgumentParser], None]) -> None:
    """The options of `trial add`, `trial list` and `trial fit`.

    Args:
        parser: of `trial`.
        add_output: adds the options that say how an answer is to look.
    """
    action = actions_of(parser, add_folder, add_output)
    add = action("add", "record what happened when a recipe was made")
    add.add_argument("recipe", metavar="RECIPE", type=Path, help="the recipe file that was made")
    add.add_argument(
        "--trace",
        metavar="TIME",
        default="",
        help='time to trace, of the blender or by the clock but always the same, as in "1 min 30 s"',
    )
    add.add_argument("--unmould", metavar="TIME", default="", help='time from pouring to a clean cut, as in "20 h"')
    add.add_argument("--hardness", metavar="READING", default="", help="a reading off your own instrument, as in 41")
    add.add_argument("--hardness-unit", metavar="UNIT", default="", help='its scale, as in "Shore D"')
    add.add_argument("--ash", choices=("yes", "no"), help="whether soda ash was seen")
    add.add_argument("--note", metavar="TEXT", action="append", default=[], help="anything else; may be given again")
    add.add_argument("--date", metavar="DAY", default="", help="the day it was made, as in 2026-11-25")
    add.add_argument("--link", action="store_true", help="name the recipe's file in place of copying the recipe")
    action("list", "the trials of a folder, readings beside indices")
    fit = action("fit", "fit your own scales, so that goals can be written in minutes, hours or readings")
    fit.add_argument(
        "measure", metavar="MEASURE", nargs="?", help="trace_speed, set_up or hardness; all of them without it"
    )
    fit.add_argument(
        "--save", action="store_true", help="write the scales that can be used to scales.yaml in the folder"
    )


def add_folder(parser: argparse.ArgumentParser) -> None:
    """Where the trials lie."""
    parser.add_argument("--folder", metavar="FOLDER", type=Path, default=DEFAULT_FOLDER, help="where the trials lie")
