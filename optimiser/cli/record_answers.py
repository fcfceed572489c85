"""The commands that only ask the batch record, in a room of their own so that a recall loads nothing of recipes."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from optimiser.cli.exits import FOUND, NONE
from optimiser.report.json import records as data
from optimiser.report.terminal import records as text
from optimiser.report.terminal.page import Paper
from optimiser.store import asking, recalling
from optimiser.store.place import other_records, record_there
from optimiser.store.told import number_told
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic


class Done(NamedTuple):
    """What a command has to say, its exit code, and what to warn of."""

    text: str
    code: int = FOUND
    warnings: tuple[Diagnostic, ...] = ()


def list_batches(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Every batch."""
    path = record_there(asked.store)
    found = asking.list_batches(path)
    told = to_json(data.listing(path, found)) if how["as_json"] else text.listing(path, found, paper(how))
    return Done(told, FOUND, others(path, asked))


def show_batch(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """One batch."""
    path = record_there(asked.store)
    found = asking.show_batch(path, number_told(asked.id))
    if how["as_json"]:
        return Done(to_json(data.shown(found)))
    return Done(text.recipe(found) if asked.recipe else text.shown(found, paper(how)))


def recall(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Which batches hold a lot, or which lots are in a batch; exit code 1 where no batch holds it or may."""
    path = record_there(asked.store)
    warnings = others(path, asked)
    try:
        if asked.batch is not None:
            traced = recalling.recall_batch(path, number_told(asked.batch))
            told = to_json(data.traced(path, traced)) if how["as_json"] else text.traced(path, traced, paper(how))
            return Done(told, FOUND, warnings)
        found = recalling.recall_lot(path, number_told(asked.lot))
    except BadInput as bad:
        raise BadInput([*(in_record(item, path) for item in bad.diagnostics), *warnings]) from None
    code = FOUND if found.batches or found.may_hold else NONE
    told = to_json(data.recalled(path, found)) if how["as_json"] else text.recalled(path, found, paper(how))
    return Done(told, code, warnings)


def stock(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """What is left of every lot."""
    path = record_there(asked.store)
    found = asking.stock(path)
    told = to_json(data.stock(path, found)) if how["as_json"] else text.stock(path, found, paper(how))
    return Done(told, FOUND, others(path, asked))


def others(path: Path, asked: argparse.Namespace) -> tuple[Diagnostic, ...]:
    """A warning of further records, where the record was not named."""
    return other_records(path) if asked.store is None else ()


def in_record(fault: Diagnostic, path: Path) -> Diagnostic:
    """A fault that tells which record was read, where something is not in it."""
    if fault.code not in (Code.UNKNOWN_LOT, Code.UNKNOWN_BATCH):
        return fault
    return fault._replace(message=f"{fault.message} {path}")


def paper(how: Mapping[str, Any]) -> Paper:
    """What the text is set on."""
    return Paper(how["width"], how["colour"], how["ascii"])


def to_json(found: Mapping[str, Any]) -> str:
    """The document of an answer."""
    from optimiser.report.json.writing import to_json as document

    return document(found)


COMMANDS: Mapping[str, Callable[[argparse.Namespace, Mapping[str, Any]], Done]] = {
    "list": list_batches,
    "show": show_batch,
    "recall": recall,
    "stock": stock,
}
