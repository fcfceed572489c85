"""One piece of work for the page, from the texts that it sent to one JSON document; done in a process of its own.

A process reads one line of JSON for each piece of work and writes one line for its answer, until nobody asks any more.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from optimiser.solve.outcomes import Undecided
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.edits import CannotEdit, plain_of
from optimiser.text.held import Held, full, holding

Json = dict[str, Any]
OTHER = "kept-blend.yaml"  # stands beside the goal file while a request is answered, and is never written
RECIPE = "this-blend.yaml"  # the same


def packed(kind: str, goal_file: Path, held: Held, more: Mapping[str, Any]) -> Json:
    """A piece of work as plain data."""
    told = {"texts": dict(held.texts), "within": str(held.within), "also": sorted(held.also)}
    return {"kind": kind, "goal_file": str(goal_file), **told, **more}


def done(job: Mapping[str, Any]) -> str:
    """The answer to a piece of work as one JSON document; faults of the files are an answer too."""
    from optimiser.report.json.page import faults
    from optimiser.report.json.writing import to_json

    goal_file = Path(job["goal_file"])
    texts = dict(job["texts"])
    if "other" in job:
        texts[full(goal_file.with_name(OTHER))] = job["other"]
    try:
        with holding(Held(texts, Path(job["within"]), frozenset(job["also"]))):
            return to_json(KINDS[job["kind"]](goal_file, job))
    except BadInput as bad:
        return to_json(faults(bad.diagnostics))
    except Undecided as fault:
        return to_json(faults([_too_long(fault)]))
    except Exception as fault:  # noqa: BLE001  the last net: whatever it is, whoever asked is told
        message = f"a fault of the program, not of your files: {type(fault).__name__}: {fault}"
        return to_json(faults([Diagnostic(Code.USAGE, message)]))


def _too_long(fault: Exception) -> Diagnostic:
    help_ = "let more fats in, or leave the count or some limits out, and there is an answer"
    return Diagnostic(Code.USAGE, str(fault), help_)


def _answer(goal_file: Path, job: Mapping[str, Any]) -> Json:
    from optimiser.answers.page_answer import page_of
    from optimiser.report.json.page import page

    return page(page_of(goal_file), written_in(job["texts"][full(goal_file)]))


def _rooms(goal_file: Path, _: Mapping[str, Any]) -> Json:
    from optimiser.answers.asked import read_question
    from optimiser.answers.page_answer import rooms_of
    from optimiser.report.json.page import rooms

    return rooms(rooms_of(read_question(goal_file)))


def _compared(goal_file: Path, _: Mapping[str, Any]) -> Json:
    from optimiser.answers.compare import compare
    from optimiser.report.json.documents import compared

    return compared(compare([goal_file.with_name(OTHER), goal_file]))


def _swapped(goal_file: Path, job: Mapping[str, Any]) -> Json:
    from optimiser.answers.swap import swap
    from optimiser.report.json.swap import swapped

    recipe = goal_file.with_name(RECIPE)
    texts = {**job["texts"], full(recipe): recipe_text(goal_file, recipe)}
    with holding(Held(texts, Path(job["within"]), frozenset(job["also"]))):
        return swapped(swap(recipe, [str(job["out"])]))


def _recipe(goal_file: Path, _: Mapping[str, Any]) -> Json:
    return {"text": recipe_text(goal_file, goal_file.with_name(RECIPE))}


def _sheet(goal_file: Path, _: Mapping[str, Any]) -> Json:
    from optimiser.answers.results import NoBlend
    from optimiser.answers.sheet import making_sheet
    from optimiser.report.page.html import sheet_html

    found = making_sheet(goal_file)
    if isinstance(found, NoBlend):
        raise BadInput([Diagnostic(Code.USAGE, "no blend meets these goals, so there is no sheet")])
    if found.is_unfit:
        raise BadInput([Diagnostic(Code.USAGE, "no sheet is made: this must not be made")])
    return {"html": sheet_html(found)}


def recipe_text(goal_file: Path, target: Path) -> str:
    """The blend that a goal file answers, as a recipe file that lies beside it.

    Raises:
        BadInput: the files have faults, or no blend meets the goals.
    """
    from optimiser.answers.asked import read_question
    from optimiser.answers.blend import answered
    from optimiser.answers.results import Blend
    from optimiser.report.recipe_yaml import recipe_yaml

    story = answered(read_question(goal_file)).story
    if not isinstance(story, Blend):
        raise BadInput([Diagnostic(Code.USAGE, "no blend meets these goals, so there is no recipe yet")])
    return recipe_yaml(story, target)


KINDS: Mapping[str, Callable[[Path, Mapping[str, Any]], Json]] = {
    "answer": _answer,
    "rooms": _rooms,
    "compare": _compared,
    "swap": _swapped,
    "recipe": _recipe,
    "sheet": _sheet,
}


def written_in(text: str) -> Json:
    """What a text says, key by key; nothing where it has faults."""
    try:
        return plain_of(text)
    except CannotEdit:
        return {}


def main() -> None:
    """Do what is asked, line by line, until nobody asks any more."""
    sys.stdout.reconfigure(encoding="utf-8", newline="\n")  # type: ignore[union-attr]
    print("{}", flush=True)  # noqa: T201  ready
    for line in sys.stdin:
        told = json.loads(done(json.loads(line)))
        print(json.dumps(told, separators=(",", ":")), flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
