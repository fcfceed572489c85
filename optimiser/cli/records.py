"""The commands that change the batch record, or need what recipes and trials are read by: add, lot, note, ship, export, import."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from optimiser.answers.batch_record import Made, Prepared, Unfit, of_trial, prepare
from optimiser.answers.lots_told import material_meant, namesakes, read_told
from optimiser.cli.exits import FOUND, NONE
from optimiser.cli.record_answers import Done, paper
from optimiser.cli.trials import entry_of
from optimiser.files.fields import as_date
from optimiser.files.trial_file import Trial, as_hardness, as_trace, as_unmould, read_trials
from optimiser.files.trial_writing import Entry, record
from optimiser.materials.fat_table import reference
from optimiser.report.json import records as data
from optimiser.report.json.writing import to_json
from optimiser.report.terminal import record_changes as changes
from optimiser.report.terminal import records as text
from optimiser.store import asking, json_lines, writing
from optimiser.store.frozen import thawed
from optimiser.store.place import not_of_this_machine, other_records, record_for, record_there
from optimiser.store.told import number_told
from optimiser.store.values import Lot, Observation, Shipment, Source
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, shown
from optimiser.text.opening import kind_of_file, typed
from optimiser.text.quantities import Misread, read_mass, write_number
from optimiser.text.source import one_line

MOST_BARS = 1_000_000


def add_batch(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Record one batch.

    Raises:
        BadInput: a file or an option cannot be read, or the record cannot be written.
    """
    made = Made(
        on=day(asked.made, "--made"),
        id=number_told(asked.id),
        bars=whole(asked.bars, "--bars") if asked.bars else None,
        lots=tuple(map(read_told, asked.lot)),
        lots_of_shelf=asked.lots_of_shelf,
    )
    path = record_for(asked.recipe, asked.store)
    is_new = kind_of_file(path) == "missing"
    found = prepare(asked.recipe, path, made, shelf_file=asked.shelf, kept=asking.known_lots(path))
    if isinstance(found, Unfit):
        return Done(to_json(data.unfit(found)) if how["as_json"] else text.unfit(found, paper(how)), NONE)
    added = writing.add_batch(path, found.batch, draw_down=asked.draw_down, stock=found.stock)
    warnings = (*doubts_of(path, asked), *found.warnings)
    if how["as_json"]:
        return Done(to_json(data.added(path, added, warnings)), FOUND, warnings)
    return Done(text.added(path, added, paper(how), is_new=is_new), FOUND, warnings)


def doubts_of(path: Path, asked: argparse.Namespace) -> tuple[Diagnostic, ...]:
    """What is to be warned of where a record lies, once it is written."""
    return (*not_of_this_machine(path), *(other_records(path) if asked.store is None else ()))


def tell_lot(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Record what is told of a lot.

    Raises:
        BadInput: an option cannot be read, or the record cannot be written.
    """
    best = as_told(as_date, asked.best_before, "--best-before") if asked.best_before else None
    number = number_told(asked.number)
    if not number:
        raise BadInput([Diagnostic(Code.USAGE, "the lot has no number", "write it as it stands on the tin")])
    lot = Lot(number, material(asked.of), best)
    sources = [read_told(item) for item in asked.made_from]
    on = day(asked.on, "--on")
    path = asked.store or record_for(Path.cwd() / "recipe", None)
    warnings = namesakes(lot, asking.known_lots(path))
    left = writing.add_lot(
        path,
        lot,
        [Source(Lot(item.number, material(item.material)), item.grams) for item in sources],
        received=grams(asked.received, "--received") if asked.received else 0.0,
        counted=grams(asked.counted, "--counted", none=True) if asked.counted else None,
        on=on,
    )
    warnings = (*doubts_of(path, asked), *warnings)
    if how["as_json"]:
        return Done(to_json(data.stock(path, [left])), FOUND, warnings)
    return Done(changes.told_lot(path, left, len(sources), paper(how)), FOUND, warnings)


def tell(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Record which lots went into a batch of what had none.

    Raises:
        BadInput: a lot cannot be read or does not fit, or the record cannot be written.
    """
    path = record_there(asked.store)
    uses = [use for use in asking.show_batch(path, number_told(asked.id)).batch.uses if use.kind != "water"]
    told = [read_told(item) for item in asked.lot]
    for item in told:
        if item.grams is not None:
            message = f"lot {shown(item.number)}: all of what has no lot is told to be of one, without a mass"
            raise BadInput([Diagnostic(Code.USAGE, message, 'write --lot "olive oil=OL-1"')])
    lots = [Lot(item.number, material_meant(item.material, [use.material for use in uses])) for item in told]
    known = asking.known_lots(path)
    id_, left = writing.tell_lots(path, number_told(asked.id), lots, draw_down=asked.draw_down)
    warnings = tuple(doubt for lot in lots for doubt in namesakes(lot, known))
    if how["as_json"]:
        return Done(to_json(data.told_lots(id_, lots, left, warnings)), FOUND, warnings)
    return Done(changes.told_lots(path, id_, lots, paper(how)), FOUND, warnings)


def note(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Record what was seen of a batch.

    Raises:
        BadInput: an option cannot be read, nothing was noted, or the record cannot be written.
    """
    entry = entry_of(asked)
    seen = observation(entry)
    path = record_there(asked.store)
    id_ = writing.note(path, number_told(asked.id), seen)
    return Done(to_json(data.noted(id_, seen)) if how["as_json"] else changes.noted(path, id_, paper(how)))


def ship(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Record bars that went to somebody.

    Raises:
        BadInput: an option cannot be read, more bars than there are, or the record cannot be written.
    """
    to = one_line(typed(asked.to)).strip()
    if not to:
        raise BadInput([Diagnostic(Code.USAGE, "--to names nobody", "write to whom the bars went")])
    sent = Shipment(whole(asked.bars, "--bars"), to, day(asked.on, "--on"))
    path = record_there(asked.store)
    id_, left = writing.ship(path, number_told(asked.id), sent)
    return Done(
        to_json(data.shipped(id_, sent, left)) if how["as_json"] else changes.shipped(id_, sent, left, paper(how))
    )


def export(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """The record as JSON lines, or its readings as trials.

    Raises:
        BadInput: the record cannot be read, or the trials cannot be written.
    """
    path = record_there(asked.store)
    if asked.trials is None:
        return Done("".join(json_lines.export(path)))
    written = []
    for line in asking.list_batches(path):
        if not line.observed:
            continue
        found = asking.show_batch(path, line.id)
        sheet = thawed(found.batch.recipe, path)
        written += [record(asked.trials, sheet, entry_from(seen, found.batch.made)) for seen in found.observations]
    if how["as_json"]:
        return Done(to_json(data.exported(written)))
    return Done(changes.exported(asked.trials, written, paper(how)))


def bring(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Trials, or JSON lines, into the record.

    Raises:
        BadInput: they cannot be read, or the record cannot be written.
    """
    path = record_for(asked.what, asked.store)
    if kind_of_file(asked.what) != "folder":
        counted = json_lines.import_lines(path, asked.what)
        return Done(
            to_json(data.imported(path, counted)) if how["as_json"] else changes.imported(path, counted, paper(how))
        )
    trials, left = read_trials(asked.what)
    warnings = [fault for item in left for fault in item.told()]
    came, there = [], []
    known = {fold(line.id) for line in asking.list_batches(path)} if kind_of_file(path) == "file" else set()
    for trial in trials:
        if fold(trial.name) in known:
            there.append(trial.name)
            continue
        try:
            came.append(bring_trial(path, trial))
        except BadInput as bad:
            if bad.diagnostics[0].code in STOPS:
                raise
            warnings += bad.diagnostics
    if how["as_json"]:
        return Done(to_json(data.brought(path, came, there)), FOUND, tuple(warnings))
    return Done(changes.brought(path, came, there, paper(how)), FOUND, tuple(warnings))


STOPS = frozenset({Code.CANNOT_WRITE, Code.BAD_RECORD, Code.BUSY_RECORD, Code.NEWER_RECORD})
"""Faults of the record itself: with the next trial it would be the same."""


def bring_trial(path: Path, trial: Trial) -> str:
    """One trial as a batch; its id.

    Raises:
        BadInput: it cannot be kept.
    """
    found, seen = of_trial(trial, path)
    if not isinstance(found, Prepared):
        raise BadInput([Diagnostic(Code.LYE_HEAVY, f"{trial.path} is not recorded: {found.urgent[0]}")])
    return writing.add_batch(path, found.batch, [seen]).batch.id


# -- options ---------------------------------------------------------------------------------------------------


def as_told(reader: Callable[[str, str], Any], told: str, option: str) -> Any:
    """What an option says.

    Raises:
        BadInput: it cannot be read.
    """
    try:
        return reader(typed(told), option)
    except Misread as error:
        message = error.message if option in error.message else f"{option}: {error.message}"
        raise BadInput([Diagnostic(error.code, message, error.help)]) from None


def day(told: str, option: str) -> str:
    """A day, today where none is told."""
    return str(as_told(as_date, told, option)) if told else date.today().isoformat()  # noqa: DTZ011  the maker's day


def whole(told: str, option: str) -> int:
    """A number of bars.

    Raises:
        BadInput: none.
    """
    number = told.strip()
    if not (number.isascii() and number.isdigit() and 0 < len(number) < 10 and 0 < int(number) <= MOST_BARS):
        message = f"{option}: {shown(told)} is no number of bars"
        raise BadInput([Diagnostic(Code.NOT_WHOLE, message, f"write a whole number, as in {option} 24")])
    return int(number)


def grams(told: str, option: str, *, none: bool = False) -> float:
    """A mass in grams; nothing only where `none` may be told.

    Raises:
        BadInput: no mass.
    """
    mass = round(float(as_told(read_mass, told, option)) * 1000.0, 6)
    if mass < 0.0 or (mass == 0.0 and not none) or mass >= 1e12:
        raise BadInput([Diagnostic(Code.OUT_OF_RANGE, f"{option}: {shown(told)} cannot be weighed", "write 18 kg")])
    return mass


def material(name: str) -> str:
    """What a lot is of: a fat of the reference table under its name there, anything else as it is written.

    Raises:
        BadInput: nothing, or longer than any name.
    """
    flat = number_told(name)
    if not flat:
        raise BadInput([Diagnostic(Code.USAGE, "it is not told what the lot is of", 'write --of "coconut oil"')])
    fat = reference().find(flat)
    return flat if fat is None else fat.name


def observation(entry: Entry) -> Observation:
    """An entry, its words checked by `entry_of`, as figures."""
    reading = as_hardness(entry.hardness, "--hardness") if entry.hardness else None
    return Observation(
        as_date(entry.date, "--date") if entry.date else None,
        as_trace(entry.trace, "--trace") if entry.trace else None,
        as_unmould(entry.unmould, "--unmould") if entry.unmould else None,
        None if reading is None else reading.value,
        None if reading is None else reading.unit,
        entry.ash,
        entry.notes,
    )


def entry_from(seen: Observation, made: str | None) -> Entry:
    """An observation as the entry of a trial file, whose date is the day it was made."""
    hardness = "" if seen.hardness is None else f"{write_number(seen.hardness)} {seen.hardness_unit}"
    return Entry(
        made or seen.noted_on or "",
        "" if seen.trace_s is None else f"{write_number(round(seen.trace_s, 6))} s",
        "" if seen.unmould_h is None else f"{write_number(round(seen.unmould_h, 6))} h",
        hardness,
        seen.ash,
        seen.notes,
    )


COMMANDS: Mapping[str, Callable[[argparse.Namespace, Mapping[str, Any]], Done]] = {
    "add": add_batch,
    "lot": tell_lot,
    "tell": tell,
    "note": note,
    "ship": ship,
    "export": export,
    "import": bring,
}
