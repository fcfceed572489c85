"""The commands that only ask the batch record, in a room of their own so that a recall loads nothing of recipes."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from optimiser.cli.exits import FOUND, NONE
from optimiser.report.json import records as data
from optimiser.report.terminal import records as text
from optimiser.report.terminal.page import Paper
from optimiser.store import asking, recalling
from optimiser.store.place import record_there
from optimiser.store.told import number_told
from optimiser.text.diagnostics import Diagnostic


class Done(NamedTuple):
    """What a command has to say, its exit code, and what to warn of."""

    text: str
    code: int = FOUND
    warnings: tuple[Diagnostic, ...] = ()


def list_batches(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """Every batch."""
    path = record_there(asked.store)
    found = asking.list_batches(path)
    return Done(to_json(data.listing(path, found)) if how["as_json"] else text.listing(path, found, paper(how)))


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
    if asked.batch is not None:
        traced = recalling.recall_batch(path, number_told(asked.batch))
        return Done(to_json(data.traced(traced)) if how["as_json"] else text.traced(traced, paper(how)))
    found = recalling.recall_lot(path, number_told(asked.lot))
    code = FOUND if found.batches or found.may_hold else NONE
    return Done(to_json(data.recalled(found)) if how["as_json"] else text.recalled(found, paper(how)), code)


def stock(asked: argparse.Namespace, how: Mapping[str, Any]) -> Done:
    """What is left of every lot."""
    path = record_there(asked.store)
    found = asking.stock(path)
    return Done(to_json(data.stock(path, found)) if how["as_json"] else text.stock(path, found, paper(how)))


def paper(how: Mapping[str, Any]) -> Paper:
    """What the text is set on."""
    return Paper(how["width"], how["colour"], how["ascii"])


def to_json(found: Mapping[str, Any]) -> str:
    """The document of an answer."""
    from optimiser.report.json.documents import to_json as document

    return document(found)


COMMANDS: Mapping[str, Callable[[argparse.Namespace, Mapping[str, Any]], Done]] = {
    "list": list_batches,
    "show": show_batch,
    "recall": recall,
    "stock": stock,
}
