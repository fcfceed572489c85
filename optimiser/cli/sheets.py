"""What `barwright sheet` takes and does: read, answer, make every page, and only then write."""

from __future__ import annotations

import argparse
import os
import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.cli.exits import FOUND, NONE
from optimiser.cli.in_hand_options import add_units, units_asked
from optimiser.cli.showing import remark, show, show_no_blend, told
from optimiser.cli.streams import say, tell
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from optimiser.answers.sheet import MakingSheet

PAPERS = ("a4", "letter")
LONGEST_NUMBER = 40  # letters of a batch's number, which stands on every page
DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


def add_sheet(parser: argparse.ArgumentParser) -> None:
    """What `sheet` takes beside the options of every answer."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a goal file or a recipe (YAML)")
    parser.add_argument("-o", "--out", metavar="FILE", type=Path, help="the page to write (HTML): open it and print it")
    parser.add_argument("--pdf", metavar="FILE", type=Path, help="also, or instead, a PDF; needs the extra 'pdf'")
    parser.add_argument("--paper", choices=PAPERS, help="of the PDF; else A4, or Letter where weights are in ounces")
    parser.add_argument(
        "--made",
        metavar="DATE",
        help="the day it is made, as in 2026-11-28, by which lots are in date; for the cure calendar too",
    )
    parser.add_argument("--number", metavar="TEXT", default="", help="the batch's number, for every page")
    parser.add_argument("--both", action="store_true", help="tell grams and ounces side by side")
    parser.add_argument("--force", action="store_true", help="let -o and --pdf write over a file")
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the file's own")
    add_units(parser)


def run_sheet(asked: argparse.Namespace) -> int:
    """The making sheet; nothing is written where there is no blend, or where the recipe must not be made."""
    from optimiser.answers.results import Blend, NoBlend
    from optimiser.answers.sheet import making_sheet

    refuse(asked)
    made, number = day_told(asked.made), number_told(asked.number)
    found = making_sheet(
        asked.file, asked.shelf, units=units_asked(asked.units), both=asked.both, made=made, number=number
    )
    if isinstance(found, NoBlend):
        show_no_blend(found, asked)
        return NONE
    kind = "blend" if isinstance(found.story, Blend) else "weighed"
    if found.is_unfit:
        asked.save = None
        show(asked, kind, found.story)
        tell("No sheet is written: this must not be made.")
        return NONE
    data = told(asked, kind, found.story) if asked.json else ""
    for path in written(asked, found):
        tell("Written: {path}", path=path)
    if asked.json:
        say(data)
    else:
        say(NEXT if asked.out else NEXT_PDF, title=found.story.title or "Untitled", file=asked.out or asked.pdf)
    remark(found.story)
    return FOUND


NEXT = "{title}: open {file} and print it, on A4 or Letter, without the browser's own headers.\n"
NEXT_PDF = "{title}: open {file} and print it.\n"


def refuse(asked: argparse.Namespace) -> None:
    """Refuse, before any work is done, files that must not be written.

    Raises:
        BadInput: no file is named, one is in the way, or both are one.
    """
    from optimiser.files import writing

    if asked.out is not None and asked.out.suffix.lower() == ".pdf":
        if asked.pdf is not None:
            raise BadInput(
                [Diagnostic(Code.USAGE, "-o and --pdf both name a PDF", "give -o a name that ends in .html")]
            )
        asked.out, asked.pdf = None, asked.out
    wanted = [path for path in (asked.out, asked.pdf) if path is not None]
    if not wanted:
        raise BadInput(
            [Diagnostic(Code.USAGE, "sheet needs a file to write", "as in -o sheet.html, or --pdf sheet.pdf")]
        )
    if asked.paper and asked.pdf is None:
        message = "--paper is of the PDF alone: a page in the browser prints on whatever paper there is"
        raise BadInput([Diagnostic(Code.USAGE, message, "leave out --paper, or add --pdf sheet.pdf")])
    keep = [path for path in (asked.file, asked.shelf) if path is not None]
    for path in wanted:
        writing.refuse(path, force=asked.force, keep=keep)
    if len(wanted) == 2 and len({os.path.realpath(path) for path in wanted}) == 1:
        raise BadInput([Diagnostic(Code.USAGE, f"-o and --pdf both name {wanted[0]}", "give each a file of its own")])
    if asked.pdf is not None:
        from optimiser.report.page.pdf import refuse_without_extra

        refuse_without_extra()


def day_told(text: str | None) -> date | None:
    """The day that `--made` names.

    Raises:
        BadInput: it is none.
    """
    from optimiser.answers.cure_calendar import LAST_YEAR

    if text is None:
        return None
    try:
        day = date.fromisoformat(text.strip()) if DAY.fullmatch(text.strip()) else None
    except ValueError:
        day = None
    if day is None or day.year > LAST_YEAR:
        message = f"--made takes a day, and {text[:40]!r} is none"
        raise BadInput([Diagnostic(Code.USAGE, message, "write year, month and day, as in 2026-11-28")])
    return day


def number_told(text: str) -> str:
    """The batch's number, which must fit at the head of every page.

    Raises:
        BadInput: it is too long for that.
    """
    if len(text.strip()) > LONGEST_NUMBER:
        message = f"--number takes at most {LONGEST_NUMBER} letters, and these are {len(text.strip())}"
        raise BadInput([Diagnostic(Code.USAGE, message, "shorten it, as in 2026-118")])
    return text.strip()


def written(asked: argparse.Namespace, found: MakingSheet) -> list[Path]:
    """Write the pages asked for, all or none, and give those written.

    Raises:
        BadInput: one cannot be written.
    """
    from optimiser.cli.kept_files import write_all
    from optimiser.files.in_use import files_in_use

    pages: list[tuple[Path, str | bytes]] = []
    if asked.out is not None:
        from optimiser.report.page.html import sheet_html

        pages.append((asked.out, sheet_html(found)))
    if asked.pdf is not None:
        from optimiser.report.page.pdf import sheet_pdf

        metric = found.recipe.units.is_metric
        pages.append((asked.pdf, sheet_pdf(found, asked.paper or ("a4" if metric else "letter"))))
    return list(write_all(pages, force=asked.force, keep=files_in_use(asked.file, asked.shelf)))
