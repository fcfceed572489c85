"""The commands on trials: record one, list them, fit the maker's own scales."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from optimiser.files.fields import as_date
from optimiser.files.question import shelf_for
from optimiser.files.recipe_file import read_recipe
from optimiser.files.scale_file import read_scales, scales_yaml
from optimiser.files.trial_file import (
    LeftOut,
    Trial,
    as_hardness,
    as_trace,
    as_unmould,
    read_trial,
    read_trials,
)
from optimiser.files.trial_writing import Entry, record
from optimiser.files.workspace import FILE
from optimiser.files.writing import write
from optimiser.measures.quantities import find_quantity
from optimiser.measures.scales import MEASURES, Scale
from optimiser.recipe.completion import in_grams
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, shown
from optimiser.text.opening import kind_of_file, typed
from optimiser.text.quantities import Misread, read_number
from optimiser.text.source import one_line
from optimiser.trials.calibration import MeasureFit, fit_measure
from optimiser.trials.observations import Made, made, observations

T = TypeVar("T")


class Done(NamedTuple):
    """What a command has to say, its exit code, and what it went on without."""

    text: str
    code: int
    warnings: tuple[Diagnostic, ...] = ()


# -- add -------------------------------------------------------------------------------------------------------


def add_trial(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Record one trial; once it is written, a fault of a file beside it is a warning and no more.

    Raises:
        BadInput: the recipe or an option cannot be read, or nothing was noted.
    """
    from optimiser.report.json.trials import listing
    from optimiser.report.json.writing import to_json
    from optimiser.report.terminal.trials import added

    entry = entry_of(asked)
    sheet = read_recipe(asked.recipe)
    if sheet.to_make is not None:  # what is kept of it are the grams that were made
        sheet = in_grams(sheet, shelf_for(sheet))
    made(Trial("", str(asked.recipe), sheet, linked=True))  # a recipe that cannot be judged is told before it is kept
    path = record(asked.folder, sheet, entry, linked=asked.link)
    batch = made(read_trial(path))
    batches, left = batches_in(asked.folder)
    warnings = warnings_of(left)
    if how["as_json"]:
        return Done(to_json(listing(asked.folder, [batch], left)), 0, warnings)
    counts = {name: len(observations(name, batches).readings) for name in MEASURES}
    return Done(added(path, batch, counts, paper(how)), 0, warnings)


def entry_of(asked: argparse.Namespace) -> Entry:
    """What the options say, each checked.

    Raises:
        BadInput: with every option that cannot be read, or none that says anything.
    """
    faults: list[Diagnostic] = []
    hardness = with_unit(flat(asked.hardness), flat(asked.hardness_unit), faults)
    for option, text, reader in (
        ("--trace", asked.trace, as_trace),
        ("--unmould", asked.unmould, as_unmould),
        ("--hardness", hardness, as_hardness),
        ("--date", asked.date, as_day_gone),
    ):
        if text:
            check(option, text, reader, faults)
    notes = tuple(flat(note) for note in asked.note if note.strip())
    if not any((asked.trace, asked.unmould, hardness, asked.ash, notes, faults)):
        help_ = (
            'add --trace "4 min 30 s", --unmould "20 h", --hardness 41 --hardness-unit "Shore D", --ash no or --note'
        )
        faults.append(Diagnostic(Code.USAGE, "the trial says nothing of how the batch went", help_))
    if faults:
        raise BadInput(faults)
    ash = None if asked.ash is None else asked.ash == "yes"
    return Entry(asked.date.strip(), flat(asked.trace), flat(asked.unmould), flat(hardness), ash, notes)


def as_day_gone(text: str, what: str) -> str:
    """A day on which a batch can have been made: none after tomorrow, which somewhere may be today.

    Raises:
        Misread: no such day, or one to come.
    """
    day = as_date(text, what)
    if date.fromisoformat(day) > datetime.now().astimezone().date() + timedelta(days=1):
        raise Misread(Code.NO_DATE, f"{what}: {day} is still to come", "write the day on which the batch was made")
    return day


def with_unit(reading: str, unit: str, faults: list[Diagnostic]) -> str:
    """A hardness reading with its unit, from one option or two."""
    if unit and not reading:
        faults.append(
            Diagnostic(Code.USAGE, "--hardness-unit is given, and no reading", "add --hardness 41, or leave it out")
        )
        return ""
    if not unit:
        return reading
    try:
        own = read_number(reading).rest
    except Misread:
        return reading  # told when the reading itself is checked
    if own and fold(own) != fold(unit):
        message = f"--hardness says {shown(own)} and --hardness-unit says {shown(unit)}"
        faults.append(Diagnostic(Code.USAGE, message, "keep one of the two"))
    return reading if own else f"{reading} {unit}"


def check(option: str, text: str, reader: Callable[[str, str], T], faults: list[Diagnostic]) -> None:
    """Keeps the fault of an option that cannot be read."""
    try:
        reader(text, option)
    except Misread as error:
        message = error.message if option in error.message else f"{option}: {error.message}"
        faults.append(Diagnostic(error.code, message, error.help))


def flat(text: str) -> str:
    """Text on one line, whatever the locale makes of it."""
    return one_line(typed(text))


# -- list and fit ----------------------------------------------------------------------------------------------


def list_trials(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Every trial of the folder.

    Raises:
        BadInput: no such folder, or no trial in it that can be read.
    """
    from optimiser.report.json import trials as data_trials
    from optimiser.report.json.writing import to_json
    from optimiser.report.terminal import trials as text_trials

    batches, left = some_batches_in(asked.folder)
    if how["as_json"]:
        text = to_json(data_trials.listing(asked.folder, batches, left))
    else:
        text = text_trials.listing(asked.folder, batches, paper(how))
    return Done(text, 0, warnings_of(left))


def fit_trials(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """The maker's own scales; exit code 1 where none of those asked for can be used.

    Raises:
        BadInput: no such measure, no trial that can be read, or scales that cannot be written.
    """
    from optimiser.report.json import trials as data_trials
    from optimiser.report.json.writing import to_json
    from optimiser.report.terminal import trials as text_trials

    names = MEASURES if asked.measure is None else (measure_named(asked.measure),)
    batches, left = some_batches_in(asked.folder)
    fits = [fit_measure(name, batches) for name in names]
    path = asked.folder / FILE
    saved = save(path, fits, files_of(batches)) if asked.save else ""
    code = 0 if any(item.scale is not None for item in fits) else 1
    if how["as_json"]:
        there = path if saved and path.is_file() else None
        return Done(to_json(data_trials.fitted(asked.folder, fits, there, left)), code, warnings_of(left))
    if not asked.save and code == 0:
        one = f" {asked.measure}" if asked.measure else ""
        saved = (
            f"Next: barwright trial fit{one} --folder {asked.folder} --save, and goals may be written in these units."
        )
    return Done(text_trials.fitted(fits, saved, paper(how)), code, warnings_of(left))


def batches_in(folder: Path) -> tuple[list[Made], tuple[LeftOut, ...]]:
    """Every trial of a folder with its batch worked out, and the files of which none can be.

    Raises:
        BadInput: no such folder.
    """
    trials, unread = read_trials(folder)
    found, left = [], list(unread)
    for trial in trials:
        try:
            found.append(made(trial))
        except BadInput as bad:
            left.append(LeftOut(trial.path, bad.diagnostics))
    return found, tuple(sorted(left, key=lambda item: item.path))


def some_batches_in(folder: Path) -> tuple[list[Made], tuple[LeftOut, ...]]:
    """The same, where at least one is wanted.

    Raises:
        BadInput: no such folder, or no trial in it that can be used.
    """
    found, left = batches_in(folder)
    if found:
        return found, left
    if left:
        raise BadInput(warnings_of(left))
    help_ = "record the first with 'barwright trial add RECIPE'"
    raise BadInput([Diagnostic(Code.NO_TRIALS, f"there are no trials in {folder}", help_)])


def warnings_of(left: Sequence[LeftOut]) -> tuple[Diagnostic, ...]:
    """What to tell of files that were left out."""
    return tuple(fault for item in left for fault in item.told())


def files_of(batches: Sequence[Made]) -> set[Path]:
    """Every file that the batches are read from."""
    trials = [item.trial for item in batches]
    shelves = {trial.recipe.shelf for trial in trials if trial.recipe.shelf is not None}
    return shelves | {Path(path) for trial in trials for path in (trial.path, trial.recipe.path)}


def measure_named(name: str) -> str:
    """The measure that a maker means.

    Raises:
        BadInput: unknown, or one that trials have no reading for.
    """
    known = find_quantity(name)
    if known is not None and known.id in MEASURES:
        return known.id
    names = ", ".join(MEASURES)
    if known is None:
        raise BadInput(
            [Diagnostic(Code.UNKNOWN_MEASURE, f"{shown(name)} is no measure that is known here", f"fit one of {names}")]
        )
    why = "ash is seen or not, which makes no scale" if known.id == "ash_risk" else "trials have no reading for it"
    raise BadInput([Diagnostic(Code.NO_READING, f"{known.words} cannot be fitted: {why}", f"fit one of {names}")])


def save(path: Path, fits: Sequence[MeasureFit], keep: Iterable[Path] = ()) -> str:
    """Write the scales that can be used; a measure that was fitted and cannot be used loses its old scale.

    Returns:
        What to tell of it.

    Raises:
        BadInput: the file that is there cannot be read, or a new one cannot be written.
    """
    before = saved_before(path)
    tried = {item.measure for item in fits}
    kept = {name: scale for name, scale in before.items() if name not in tried}
    after = kept | {item.measure: item.scale for item in fits if item.scale is not None}
    dropped = sorted(set(before) - set(after))
    if not after and not before:
        return "Nothing to save: no scale can be used yet."
    write(path, scales_yaml(after), force=True, keep=keep)
    gone = (
        f" The scale of {', '.join(dropped)} that was there before can no longer be used, and is gone."
        if dropped
        else ""
    )
    held = ", ".join(name for name in MEASURES if name in after) or "nothing"
    return f"Saved: {path} holds {held}.{gone}"


def saved_before(path: Path) -> Mapping[str, Scale]:
    """The scales that are there already.

    Raises:
        BadInput: what is there cannot be read as scales; it is left alone, since it may be something else.
    """
    if kind_of_file(path) == "missing":
        return {}
    try:
        return read_scales(path)
    except BadInput as bad:
        *others, last = bad.diagnostics
        help_ = last.help or "move the file away and fit again"
        raise BadInput([*others, last._replace(help=help_)]) from None


def paper(how: Mapping[str, Any]) -> Any:
    """What the text is set on."""
    from optimiser.report.terminal.page import Paper

    return Paper(how["width"], how["colour"], how["ascii"])


COMMANDS: Mapping[str, Callable[[argparse.Namespace, Mapping[str, Any]], Done]] = {
    "add": add_trial,
    "list": list_trials,
    "fit": fit_trials,
}
