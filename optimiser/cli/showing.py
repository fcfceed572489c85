"""An answer, or faults, shown as text or as data, in which width and colours."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import Any

from optimiser.cli.exits import BAD, FAULT
from optimiser.cli.streams import finish, say, speaks_unicode, tell, wants_colour
from optimiser.cli.usage import width as terminal_width
from optimiser.text.diagnostics import BadInput, Diagnostic, as_data

FULL = (
    "blend",
    "no_blend",
    "weighed",
    "reach",
    "choices",
    "resized",
    "curve",
    "labelled",
    "swept",
)  # answers of which --full tells more


ASKED_AGAIN = ("blend", "choices", "curve", "grid")  # answers at whose end stands a command that asks the same again


def confess(fault: Exception) -> int:
    """Say what went wrong that is no fault of the files: the program's own, or a search that its work did not suffice for."""
    kind = type(fault).__name__
    if kind == "Undecided":
        tell("barwright: {fault}.", fault=fault)
        tell("Let more fats in, or leave the count or some limits out, and there is an answer.")
        return FAULT
    tell("barwright: a fault of the program, not of your files: {kind}: {fault}", kind=kind, fault=fault)
    tell("Set BARWRIGHT_TRACEBACK=1 and run it again to see where, and please report it.")
    return FAULT


def complain(bad: BadInput, *, as_json: bool = False) -> int:
    """Show every fault of what was written on stderr, and for programs as one JSON document on stdout too."""
    warn(bad.diagnostics)
    if as_json:
        from optimiser.report.json.parts import FORMAT
        from optimiser.report.json.writing import to_json

        say(to_json({"format": FORMAT, "status": "bad-input", "faults": as_data(bad.diagnostics)}))
    return BAD


def warn(faults: Sequence[Diagnostic]) -> None:
    """Show faults on stderr."""
    from optimiser.text.render import render

    tell(render(faults, width=terminal_width(), colour=wants_colour(sys.stderr)))


def remark(story: Any) -> None:
    """Show on stderr what looks odd in the files of a story, after the answer that it did not stop.

    Of fats of the shelf that nobody named and that are not in the blend there is one line; JSON has every warning.
    """
    in_pot = {"", *(line.fat for line in getattr(story, "fats", ()))}
    told = [item for item in story.warnings if item.about in in_pot]
    others = len({item.about for item in story.warnings} - in_pot)
    if story.warnings:
        finish()
    if told:
        warn(told)
    if others == 1:
        tell("1 more fat of the shelf has borrowed or odd figures: --json tells which.")
    elif others:
        tell("{others} more fats of the shelf have borrowed or odd figures: --json lists them all.", others=others)


# -- streams -------------------------------------------------------------------------------------------------------


def show(asked: argparse.Namespace, kind: str, story: Any) -> None:
    """Print a story as text or as JSON, and on stderr what looks odd in its files."""
    say(told(asked, kind, story))
    remark(story)


def told(asked: argparse.Namespace, kind: str, story: Any) -> str:
    """A story as text or as JSON."""
    if asked.json:
        from optimiser.report.json import documents as data
        from optimiser.report.json.writing import to_json

        document: str = to_json(getattr(data, kind)(story))
        return document
    from optimiser.report.terminal import text

    options = how(asked)
    wanted: dict[str, Any] = {"full": asked.full} if kind in FULL else {}
    if getattr(asked, "steps", False) and kind in ("blend", "weighed", "resized"):
        wanted["steps"] = True
    if kind in ("blend", "resized") and asked.save is not None:
        wanted["saved"] = str(asked.save)
    if kind == "choices" and asked.save is not None:
        wanted["saved"] = asked.save[1]
    if kind == "curve" and asked.svg is not None:
        wanted["saved"] = str(asked.svg)
    if kind in ASKED_AGAIN:
        wanted["typed"] = typed(asked)
    words: str = getattr(text, kind)(
        story, width=options["width"], colour=options["colour"], ascii=options["ascii"], **wanted
    )
    return words


def typed(asked: argparse.Namespace) -> str:
    """The options that change what is answered, for a command that asks the same again."""
    from optimiser.report import words

    given = [(f"--{name}", getattr(asked, name, None)) for name in ("near", "shelf", "on", "buy")]
    return "".join(f" {option} {words.quoted(str(path))}" for option, path in given if path is not None)


def show_no_blend(none: Any, asked: argparse.Namespace) -> None:
    """Print why there is no blend."""
    show(asked, "no_blend", none)


def how(asked: argparse.Namespace) -> dict[str, Any]:
    """Width, colour and character set of stdout, and whether JSON was asked for."""
    return {
        "width": terminal_width(),
        "colour": wants_colour(sys.stdout) and not asked.no_colour,
        "ascii": not speaks_unicode(sys.stdout),
        "as_json": asked.json,
    }
