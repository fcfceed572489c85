"""What the commands on recipes in hand take: the judge, another size, and several side by side."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from optimiser.problem.units import Units


def add_weigh(parser: argparse.ArgumentParser) -> None:
    """What `weigh` takes beside the options of every answer."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, help="the recipe file (YAML)")
    parser.add_argument("--steps", action="store_true", help="tell the making steps too")
    parser.add_argument("--against", metavar="GOALS", type=Path, help="judge it against a goal file")
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="a shelf for prices, lots and purities")
    add_day(parser)
    add_units(parser)


def add_resize(parser: argparse.ArgumentParser) -> None:
    """What `resize` takes beside the options of every answer."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, help="the recipe file (YAML)")
    parser.add_argument(
        "--to",
        metavar="BATCH",
        required=True,
        help="as in '24 bars of 110 g', '2.5 kg fats', '4 kg batter', 'mould 30 x 9 x 7 cm'",
    )
    parser.add_argument("--save", metavar="FILE", type=Path, help="also write the recipe, rounded for the balance")
    parser.add_argument("--force", action="store_true", help="let --save write over a file")
    parser.add_argument("--steps", action="store_true", help="tell the making steps too")
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="a shelf for prices, lots and purities")
    add_units(parser)


def add_compare(parser: argparse.ArgumentParser) -> None:
    """What `compare` takes beside the options of every answer."""
    parser.add_argument("files", metavar="FILE", nargs="+", type=Path, help="two to five recipes or goal files (YAML)")
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the files' own")
    add_units(parser)


def add_label(parser: argparse.ArgumentParser) -> None:
    """What `label` takes beside the options of every answer."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a recipe or a goal file (YAML)")
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the file's own")
    add_day(parser)
    add_units(parser)


def add_day(parser: argparse.ArgumentParser) -> None:
    """The day that lots are judged by."""
    parser.add_argument("--on", metavar="DATE", help="the day by which lots are in date, as in 2026-11-28; else today")


def add_units(parser: argparse.ArgumentParser) -> None:
    """What weights are told in."""
    parser.add_argument("--units", metavar="UNIT", help="tell weights in g, kg, oz, lb or 'lb oz'; data stay in grams")


def day_asked(text: str | None) -> str:
    """The day that an option names, "" where it is not given.

    Raises:
        BadInput: it is none.
    """
    if text is None:
        return ""
    from optimiser.files.fields import as_date
    from optimiser.text.quantities import Misread

    try:
        return as_date(text, "--on")
    except Misread as error:
        raise BadInput([Diagnostic(error.code, error.message, error.help)]) from None


def units_asked(text: str | None) -> Units | None:
    """The units that an option names.

    Raises:
        BadInput: there are no such units.
    """
    if text is None:
        return None
    from optimiser.files.fields import units_of
    from optimiser.text.quantities import Misread

    try:
        return units_of(text, "--units")
    except Misread as fault:
        raise BadInput([Diagnostic(fault.code, fault.message, fault.help)]) from None
