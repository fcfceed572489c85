"""What `barwright batch` can be asked; light, since every command builds it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from optimiser.cli.action_options import actions_of

ID = "the batch's id, as 'batch list' has it"
TOLD_LOT = (
    'a lot that went in, as in "coconut oil=CO-2291"; where several share, each but one with its mass, as in '
    '"coconut oil=CO-2291=300 g"; may be given again'
)


def add_actions(parser: argparse.ArgumentParser, add_output: Callable[[argparse.ArgumentParser], None]) -> None:
    """The options of every action of `batch`.

    Args:
        parser: of `batch`.
        add_output: adds the options that say how an answer is to look.
    """
    action = actions_of(parser, add_store, add_output)
    add = action("add", "record a batch that was made: its recipe as weighed out, and its lots")
    add.add_argument("recipe", metavar="RECIPE", type=Path, help="the recipe file that was made")
    add.add_argument("--lot", metavar="FAT=LOT", action="append", default=[], help=TOLD_LOT)
    add.add_argument(
        "--lots-of-shelf", action="store_true", help="take the shelf's lot of every fat of which none is told"
    )
    add.add_argument("--made", metavar="DATE", default="", help="the day, as in 2026-11-03; today without it")
    add.add_argument("--id", metavar="ID", default="", help="what stands on the bars; the day and a number without it")
    add.add_argument("--bars", metavar="N", default="", help="how many bars came out")
    add.add_argument("--draw-down", action="store_true", help="take what went in from the stock of its lots")
    add.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the recipe's")
    action("list", "every batch, the oldest first")
    show = action("show", "one batch with all that is known of it")
    show.add_argument("id", metavar="ID", help=ID)
    show.add_argument("--recipe", action="store_true", help="print the recipe as it was weighed out, and nothing else")
    recall = action("recall", "which batches hold a lot; or which lots are in a batch")
    asked = recall.add_mutually_exclusive_group(required=True)
    asked.add_argument(
        "--lot", metavar="LOT", help="a lot's number: every batch with it, or with what was made from it"
    )
    asked.add_argument("--batch", metavar="ID", help="a batch: every lot in it, back to what infusions were made from")
    lot = action("lot", "tell of a lot: what it is, what it was made from, what came of it, what is left")
    lot.add_argument("number", metavar="LOT", help="the lot's number")
    lot.add_argument("--of", metavar="FAT", required=True, help="what it is, as recipes name it")
    lot.add_argument(
        "--from",
        dest="made_from",
        metavar="FAT=LOT",
        action="append",
        default=[],
        help='a lot that it was made from, as in "olive oil=OL-311" or "olive oil=OL-311=2 kg"; may be given again',
    )
    lot.add_argument("--received", metavar="MASS", default="", help="how much of it came, or was made, as in 18 kg")
    lot.add_argument("--counted", metavar="MASS", default="", help="how much of it there is now, by the scale")
    lot.add_argument("--best-before", metavar="DATE", default="", help="the day up to which it keeps")
    lot.add_argument("--on", metavar="DATE", default="", help="the day of it; today without it")
    tell = action("tell", "tell of a recorded batch which lots went in of what had none")
    tell.add_argument("id", metavar="ID", help=ID)
    tell.add_argument(
        "--lot", metavar="FAT=LOT", action="append", required=True, help="a lot that went in; may be given again"
    )
    tell.add_argument("--draw-down", action="store_true", help="take what went in from the stock of these lots")
    action("stock", "what is left of every lot")
    note = action("note", "record what was seen of a batch")
    note.add_argument("id", metavar="ID", help=ID)
    add_readings(note)
    ship = action("ship", "record bars that went to somebody")
    ship.add_argument("id", metavar="ID", help=ID)
    ship.add_argument("--bars", metavar="N", required=True, help="how many")
    ship.add_argument("--to", metavar="WHOM", required=True, help="to whom they went")
    ship.add_argument("--on", metavar="DATE", default="", help="the day of it; today without it")
    export = action("export", "the whole record as JSON lines, or what was seen of its batches as trials")
    export.add_argument("--trials", metavar="FOLDER", type=Path, help="write a trial file for each reading instead")
    brought = action("import", "bring trials, or what 'batch export' wrote, into the record")
    brought.add_argument("what", metavar="FILE", type=Path, help="a folder of trials, or a file of JSON lines")


def add_store(parser: argparse.ArgumentParser) -> None:
    """Where the record lies."""
    text = "the record; without it records/barwright.sqlite of this workspace"
    parser.add_argument("--store", metavar="FILE", type=Path, help=text)


def add_readings(parser: argparse.ArgumentParser) -> None:
    """What can be read off a batch, as `trial add` takes it."""
    parser.add_argument("--trace", metavar="TIME", default="", help='time to trace, as in "1 min 30 s"')
    parser.add_argument("--unmould", metavar="TIME", default="", help='time from pouring to a clean cut, as in "20 h"')
    parser.add_argument("--hardness", metavar="READING", default="", help="a reading off your own instrument, as in 41")
    parser.add_argument("--hardness-unit", metavar="UNIT", default="", help='its scale, as in "Shore D"')
    parser.add_argument("--ash", choices=("yes", "no"), help="whether soda ash was seen")
    parser.add_argument("--note", metavar="TEXT", action="append", default=[], help="anything else; may be given again")
    parser.add_argument("--date", metavar="DATE", default="", help="the day it was seen")
