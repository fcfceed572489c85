"""Trials: what happened when a recipe was made, one YAML file each in a folder beside the maker's goals."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar, NamedTuple

from optimiser.files.fields import SWITCH, TEXT, as_path, read_date, read_switch
from optimiser.files.recipe_file import RecipeForm, as_sheet, known_at, read_recipe
from optimiser.files.workspace import FILE
from optimiser.problem.recipe import RecipeSheet
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.durations import read_duration
from optimiser.text.forms import Faults, Form, Read, Schema, SchemaOf, field, read_form, read_part, scalar
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.opening import beside, kind_of_file, reason, slashes
from optimiser.text.quantities import Misread, read_number
from optimiser.text.source import Source, read_yaml

MOST_TRACE = 86_400.0  # s
MOST_UNMOULD = 60 * 24.0  # h
MOST_HARDNESS = 1e6
READINGS = ("trace", "unmould", "hardness", "ash", "notes")


class Reading(NamedTuple):
    """A figure off the maker's own instrument, with the unit as they write it."""

    value: float
    unit: str


class Trial(NamedTuple):
    """One batch as it was made: `trace` in seconds, `unmould` in hours; None for what nobody noted.

    `name` is the file's name without its suffix; `date` is ISO 8601 or empty. `linked` says that the recipe stands in a
    file of its own, which somebody may have changed since.
    """

    name: str
    path: str
    recipe: RecipeSheet
    linked: bool
    date: str = ""
    trace: float | None = None
    unmould: float | None = None
    hardness: Reading | None = None
    ash: bool | None = None
    notes: tuple[str, ...] = ()


class LeftOut(NamedTuple):
    """A file among the trials that cannot be used, and why."""

    path: str
    faults: tuple[Diagnostic, ...]

    def told(self) -> tuple[Diagnostic, ...]:
        """Its faults, the last with a note on what comes of them."""
        *others, last = self.faults
        note = (f"{self.path} is left out until this is mended", None)
        return (*others, last._replace(notes=(*last.notes, note)))


def read_trial(path: Path) -> Trial:
    """The trial that a file holds.

    Raises:
        BadInput: with every fault of the file, in file order.
    """
    return trial_of(read_yaml(path), path)


def trial_of(source: Source, path: Path) -> Trial:
    """The trial that a text holds, with paths in it seen from the folder of `path`.

    Raises:
        BadInput: with every fault of the text, in file order.
    """
    form = read_form(TrialForm, source, path)
    sheet, linked = form.recipe
    return Trial(
        name=path.stem,
        path=str(path),
        recipe=sheet,
        linked=linked,
        date=form.date,
        trace=form.trace,
        unmould=form.unmould,
        hardness=form.hardness,
        ash=form.ash,
        notes=form.notes,
    )


def trial_files(folder: Path) -> tuple[Path, ...]:
    """The trial files of a folder by name; the file of scales is none.

    Raises:
        BadInput: there is no such folder, or it cannot be looked into.
    """
    help_ = "write the first trial with 'barwright trial add RECIPE', or name the folder with --folder"
    try:
        listed = sorted(folder.iterdir())
    except FileNotFoundError:
        raise BadInput([Diagnostic(Code.NO_TRIALS, f"there is no folder {folder} with trials", help_)]) from None
    except NotADirectoryError:
        raise BadInput([Diagnostic(Code.NO_TRIALS, f"{folder} is no folder with trials", help_)]) from None
    except (OSError, ValueError) as error:
        message = f"{folder} cannot be looked into for trials: {reason(error)}"
        raise BadInput([Diagnostic(Code.NO_TRIALS, message, help_)]) from None
    return tuple(
        path
        for path in listed
        if path.suffix.lower() in (".yaml", ".yml") and path.name != FILE and not path.name.startswith(".")
    )


def read_trials(folder: Path) -> tuple[tuple[Trial, ...], tuple[LeftOut, ...]]:
    """Every trial of a folder, by name, and the files that are left out since they cannot be read.

    Raises:
        BadInput: there is no such folder, or it cannot be looked into.
    """
    found, left = [], list[LeftOut]()
    for path in trial_files(folder):
        try:
            found.append(read_trial(path))
        except BadInput as bad:
            left.append(LeftOut(str(path), bad.diagnostics))
    return tuple(found), tuple(left)


# -- reading ---------------------------------------------------------------------------------------------------


def as_trace(text: str, what: str) -> float:
    """Seconds to trace.

    Raises:
        Misread: no length of time, or one that no batch takes.
    """
    seconds = read_duration(text, what)
    if seconds > MOST_TRACE:
        raise Misread(
            Code.OUT_OF_RANGE, f"{shown(text)} to trace is longer than any batch is stirred", "a day is the most"
        )
    return seconds


def as_unmould(text: str, what: str) -> float:
    """Hours to unmould.

    Raises:
        Misread: no length of time, or one that no batch takes.
    """
    hours = read_duration(text, what) / 3600.0
    if hours > MOST_UNMOULD:
        raise Misread(
            Code.OUT_OF_RANGE, f"{shown(text)} to unmould is longer than any batch takes", "60 days is the most"
        )
    return hours


def as_hardness(text: str, what: str) -> Reading:
    """A hardness reading with its unit.

    Raises:
        Misread: no figure, no unit, or a figure that no instrument shows.
    """
    number = read_number(text)
    unit = " ".join(number.rest.split())
    if not unit:
        message = f"{what} is read off an instrument of your own, and {number.digits} has no unit"
        raise Misread(Code.NO_UNIT, message, f"name its scale, as in {number.digits} Shore D")
    if not 0 <= number.value <= MOST_HARDNESS:
        raise Misread(Code.OUT_OF_RANGE, f"{what} of {shown(text)} is no reading", "it is 0 or above")
    return Reading(number.value, unit)


def _note(node: Node, what: str, _: Any) -> tuple[str, ...]:
    items = node if isinstance(node, Row) else [node]
    return tuple(" ".join(scalar(item, what).split()) for item in items)


def _recipe(node: Node, what: str, path: Path) -> tuple[RecipeSheet, bool]:
    """The recipe written here, or in the file that is named here."""
    if isinstance(node, Table):
        known = known_at(node, path)
        return as_sheet(read_part(RecipeForm, node, known), path, known), False
    text = as_path(node, what, None)
    target = beside(path.parent, text)
    if kind_of_file(target) == "missing":
        help_ = slashes(text) or (
            "name it as seen from this file's folder, or write the recipe here: recipe: {fats: {...}, superfat: 5 %}"
        )
        raise Faults(Diagnostic(Code.NO_SUCH_FILE, f"there is no recipe file {target}", help_, text.span))
    try:
        return read_recipe(target), True
    except BadInput as bad:
        raise Faults(*(item._replace(span=item.span or text.span) for item in bad.diagnostics)) from None


def _told(reader: Any) -> Any:
    return lambda node, what, _: reader(scalar(node, what), what)


def _recipe_schema(schema_of: SchemaOf) -> Schema:
    return {"anyOf": [TEXT, schema_of(RecipeForm)]}


class TrialForm(Form):
    """What happened when a recipe was made."""

    what: ClassVar[str] = "a trial"
    example: ClassVar[str] = "recipe: ../recipes/thirds.yaml, with trace: 4 min 30 s below it"
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("note", "remarks", "remark", "comment", "comments"), "notes"),
        **dict.fromkeys(("time to trace", "seconds to trace", "blender time", "blending time"), "trace"),
        **dict.fromkeys(("set up", "time to unmould", "unmold", "hours to unmould", "demould", "cut"), "unmould"),
        **dict.fromkeys(("soda ash", "ash seen"), "ash"),
        **dict.fromkeys(("day", "made", "made on"), "date"),
    }

    recipe: tuple[RecipeSheet, bool] = field(
        Read("recipe", _recipe, _recipe_schema),
        description="The recipe as made: its file, as a path from this file's folder, or the recipe itself.",
    )
    date: str = field(Read("date", read_date, TEXT), default="", description="The day it was made, as in 2026-11-25.")
    trace: float | None = field(
        Read("trace", _told(as_trace), TEXT),
        default=None,
        description="Time to trace, as in 4 min 30 s: always the same one, blender running or clock, and stirred in the same way.",
    )
    unmould: float | None = field(
        Read("unmould", _told(as_unmould), TEXT),
        default=None,
        description="Time from pouring to a clean cut, as in 20 h.",
    )
    hardness: Reading | None = field(
        Read("hardness", _told(as_hardness), TEXT),
        default=None,
        description="A hardness reading with its scale, as in 41 Shore D; always after the same cure.",
    )
    ash: bool | None = field(
        Read("ash", read_switch, SWITCH), default=None, description="Whether soda ash was seen: yes or no."
    )
    notes: tuple[str, ...] = field(
        Read("notes", _note, {"type": ["string", "array"]}), default=(), description="Anything else."
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:  # noqa: ARG003
        """Refuses a trial that says nothing of how it went."""
        if "recipe" in keys and not any(name in keys for name in READINGS):
            message = "the trial says nothing of how the batch went"
            help_ = "add trace: 4 min 30 s, unmould: 20 h, hardness: 41 Shore D, ash: no, or notes"
            raise Faults(Diagnostic(Code.MISSING_KEY, message, help_, keys["recipe"].span))


def same_unit(one: str, other: str) -> bool:
    """Whether two ways to write the unit of an instrument mean the same."""
    return fold(one) == fold(other)
