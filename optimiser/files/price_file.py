"""Price scenarios from a file: a history in a spreadsheet, or shocks or a spread in YAML."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from optimiser.files.price_history import Others, read_history
from optimiser.files.price_shocks import MOST_SCENARIOS, read_scenarios
from optimiser.files.price_subjects import priced_on
from optimiser.problem.price_scenarios import Scenarios
from optimiser.problem.shelf import Shelf
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

SPREADSHEETS, YAML = (".csv", ".tsv", ".txt"), (".yaml", ".yml")


class Typed(NamedTuple):
    """What was typed beside the file: None where it was not."""

    others: Others | None = None
    today: str | None = None
    drawn: int | None = None
    seed: int | None = None


NOTHING_TYPED = Typed()


def read_prices(path: Path, shelves: Iterable[Shelf], typed: Typed = NOTHING_TYPED) -> Scenarios:
    """The price scenarios of a file, over some shelves.

    Raises:
        BadInput: with every fault of it, or of what was typed beside it.
    """
    priced = priced_on(shelves)
    suffix = path.suffix.casefold()
    if suffix in SPREADSHEETS:
        if typed.drawn is not None or typed.seed is not None:
            message = f"{path} is a history, whose every row is a scenario: none are drawn"
            raise BadInput([Diagnostic(Code.USAGE, message, "leave --scenarios and --seed out")])
        return read_history(path, priced, typed.others or "follow", typed.today)
    if suffix not in YAML:
        message = f"{path} is neither a spreadsheet (.csv) nor YAML (.yaml)"
        raise BadInput([Diagnostic(Code.WRONG_SUFFIX, message, "a history is .csv; shocks and a spread are .yaml")])
    if typed.others is not None or typed.today is not None:
        message = "--others and --today are for a history of prices (CSV)"
        raise BadInput([Diagnostic(Code.USAGE, message, "leave them out")])
    for name, value, low in (("--scenarios", typed.drawn, 1), ("--seed", typed.seed, 0)):
        if value is not None and not low <= value <= MOST_SCENARIOS:
            raise BadInput([Diagnostic(Code.USAGE, f"{name} is from {low} to {MOST_SCENARIOS}, not {value}")])
    return read_scenarios(path, priced, typed.drawn, typed.seed)
