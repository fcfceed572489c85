"""The commands on trials: record one, list them, fit the maker's own scales."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeVar

from optimiser.observations import Made, made, observations
from optimiser.quantities import find_quantity
from optimiser.recipe_file import read_recipe
from optimiser.scale_file import read_scales, scales_yaml
from optimiser.scales import FILE, MEASURES, Scale
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, shown
from optimiser.text.quantities import Misread, read_number
from optimiser.trial_fit import MeasureFit, fit_measure
from optimiser.trial_writing import Entry, record
from optimiser.trials import Trial, as_date, as_hardness, as_trace, as_unmould, read_trial, read_trials

T = TypeVar("T")


# -- add -------------------------------------------------------------------------------------------------------


def add_trial(asked: argparse.Namespace, how: Mapping[str, Any]) -> tuple[str, int]:
    """Record one trial; returns what to say, and the exit code.

    Raises:
        BadInput: the recipe or an option cannot be read, or nothing was noted.
    """
    from optimiser.report.data import to_json
    from optimiser.report.data_trials import listing
    from optimiser.report.text_trials import added

    entry = entry_of(asked)
    sheet = read_recipe(asked.recipe)
    made(Trial("", str(asked.recipe), sheet, linked=True))  # a recipe that cannot be judged is told before it is kept
    path = record(asked.folder, sheet, entry, linked=asked.link)
    batch = made(read_trial(path))
    if how["as_json"]:
        return to_json(listing(asked.folder, [batch])), 0
    batches = [made(trial) for trial in read_trials(asked.folder)]
    counts = {name: len(observations(name, batches).readings) for name in MEASURES}
    return added(path, batch, counts, paper(how)), 0


def entry_of(asked: argparse.Namespace) -> Entry:
    """What the options say, each checked.

    Raises:
        BadInput: with every option that cannot be read, or none that says anything.
    """
    faults: list[Diagnostic] = []
    hardness = with_unit(asked.hardness, asked.hardness_unit, faults)
    for option, text, reader in (
        ("--trace", asked.trace, as_trace),
        ("--unmould", asked.unmould, as_unmould),
        ("--hardness", hardness, as_hardness),
        ("--date", asked.date, as_date),
    ):
        if text:
            check(option, text, reader, faults)
    notes = tuple(" ".join(note.split()) for note in asked.note if note.strip())
    if not any((asked.trace, asked.unmould, hardness, asked.ash, notes, faults)):
        help_ = (
            'add --trace "4 min 30 s", --unmould "20 h", --hardness 41 --hardness-unit "Shore D", --ash no or --note'
        )
        faults.append(Diagnostic("usage", "the trial says nothing of how the batch went", help_))
    if faults:
        raise BadInput(faults)
    ash = None if asked.ash is None else asked.ash == "yes"
    return Entry(asked.date.strip(), flat(asked.trace), flat(asked.unmould), flat(hardness), ash, notes)


def with_unit(reading: str, unit: str, faults: list[Diagnostic]) -> str:
    """A hardness reading with its unit, from one option or two."""
    if unit and not reading:
        faults.append(
            Diagnostic("usage", "--hardness-unit is given, and no reading", "add --hardness 41, or leave it out")
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
        faults.append(Diagnostic("usage", message, "keep one of the two"))
    return reading if own else f"{reading} {unit}"


def check(option: str, text: str, reader: Callable[[str, str], T], faults: list[Diagnostic]) -> None:
    """Keeps the fault of an option that cannot be read."""
    try:
        reader(text, option)
    except Misread as error:
        message = error.message if option in error.message else f"{option}: {error.message}"
        faults.append(Diagnostic(error.code, message, error.help))


def flat(text: str) -> str:
    """Text on one line."""
    return " ".join(text.split())


# -- list and fit ----------------------------------------------------------------------------------------------


def list_trials(asked: argparse.Namespace, how: Mapping[str, Any]) -> tuple[str, int]:
    """Every trial of the folder.

    Raises:
        BadInput: no such folder, no trials in it, or faults in their files.
    """
    from optimiser.report import data_trials, text_trials
    from optimiser.report.data import to_json

    batches = batches_of(asked.folder)
    if how["as_json"]:
        return to_json(data_trials.listing(asked.folder, batches)), 0
    return text_trials.listing(asked.folder, batches, paper(how)), 0


def fit_trials(asked: argparse.Namespace, how: Mapping[str, Any]) -> tuple[str, int]:
    """The maker's own scales; exit code 1 where none of those asked for can be used.

    Raises:
        BadInput: no such measure, no trials, faults in their files, or scales that cannot be written.
    """
    from optimiser.report import data_trials, text_trials
    from optimiser.report.data import to_json

    names = MEASURES if asked.measure is None else (measure_named(asked.measure),)
    batches = batches_of(asked.folder)
    fits = [fit_measure(name, batches) for name in names]
    path = asked.folder / FILE
    saved = save(path, fits) if asked.save else ""
    code = 0 if any(item.scale is not None for item in fits) else 1
    if how["as_json"]:
        return to_json(data_trials.fitted(asked.folder, fits, path if saved and path.is_file() else None)), code
    if not asked.save and code == 0:
        one = f" {asked.measure}" if asked.measure else ""
        saved = (
            f"Next: barwright trial fit{one} --folder {asked.folder} --save, and goals may be written in these units."
        )
    return text_trials.fitted(fits, saved, paper(how)), code


def batches_of(folder: Path) -> list[Made]:
    """Every trial of a folder with its batch worked out.

    Raises:
        BadInput: no such folder, no trials in it, or faults in their files.
    """
    found = [made(trial) for trial in read_trials(folder)]
    if not found:
        help_ = "record the first with 'barwright trial add RECIPE'"
        raise BadInput([Diagnostic("no-trials", f"there are no trials in {folder}", help_)])
    return found


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
            [Diagnostic("unknown-measure", f"{shown(name)} is no measure that is known here", f"fit one of {names}")]
        )
    why = "ash is seen or not, which makes no scale" if known.id == "ash_risk" else "trials have no reading for it"
    raise BadInput([Diagnostic("no-reading", f"{known.words} cannot be fitted: {why}", f"fit one of {names}")])


def save(path: Path, fits: Sequence[MeasureFit]) -> str:
    """Write the scales that can be used; a measure that was fitted and cannot be used loses its old scale.

    Returns:
        What to tell of it.

    Raises:
        BadInput: the file that is there cannot be read, or a new one cannot be written.
    """
    before: Mapping[str, Scale] = read_scales(path) if path.is_file() else {}
    tried = {item.measure for item in fits}
    kept = {name: scale for name, scale in before.items() if name not in tried}
    after = kept | {item.measure: item.scale for item in fits if item.scale is not None}
    dropped = sorted(set(before) - set(after))
    if not after and not before:
        return "Nothing to save: no scale can be used yet."
    try:
        path.write_text(scales_yaml(after), encoding="utf-8")
    except OSError as error:
        raise BadInput([Diagnostic("cannot-write", f"cannot write {path}: {error.strerror}")]) from error
    gone = (
        f" The scale of {', '.join(dropped)} that was there before can no longer be used, and is gone."
        if dropped
        else ""
    )
    held = ", ".join(name for name in MEASURES if name in after) or "nothing"
    return f"Saved: {path} holds {held}.{gone}"


def paper(how: Mapping[str, Any]) -> Any:
    """What the text is set on."""
    from optimiser.report.paper import Paper

    return Paper(how["width"], how["colour"], how["ascii"])


COMMANDS: Mapping[str, Callable[[argparse.Namespace, Mapping[str, Any]], tuple[str, int]]] = {
    "add": add_trial,
    "list": list_trials,
    "fit": fit_trials,
}
