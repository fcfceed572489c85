"""A whole plan read at once: the plan, its goal files and the shelf, with every fault of all of them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path, PurePath

from optimiser.files.plan_file import read_plan
from optimiser.files.question import Begin, currency_faults, read_question
from optimiser.files.shelf.shelf import check_shelf, read_shelf
from optimiser.files.workspace import nearest_shelf
from optimiser.problem.goals import told_in
from optimiser.problem.new_tins import with_new_tins
from optimiser.problem.plan import PlannedBar, PlanQuestion, in_plan
from optimiser.problem.question import Question
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.problem.untold import in_play
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic, Together


def read_plan_question(
    plan_file: Path,
    shelf_file: Path | None = None,
    begin: Begin | None = None,
    *,
    units: Units | None = None,
    on: str = "",
) -> PlanQuestion:
    """A plan, the shelf that all its bars draw from, and the goals of each.

    Args:
        plan_file: the maker's YAML.
        shelf_file: used in place of the plan's own shelf.
        begin: makes goals that begin from a recipe in hand.
        units: what weights are told in, in place of what the shelf says.
        on: the day by which lots are in date (ISO 8601), in place of what the goal files tell; today where neither does.

    Raises:
        BadInput: with every fault of the files.
    """
    plan_file = Path(plan_file)
    faults = Together()
    sheet = shelf = path = None
    with faults:
        sheet = read_plan(plan_file)
    with faults:
        if sheet is None:
            check_shelf(plan_file, shelf_file, "plan")
        else:
            path = shelf_file or sheet.shelf or nearest_shelf(plan_file)
            shelf = read_shelf(path, None if shelf_file is not None else sheet.shelf_span)
    bars: list[Question] = []
    for bar in () if sheet is None or shelf is None else sheet.bars:
        with faults:
            bars.append(read_bar(bar, path, shelf, begin, units, on))
    if sheet is not None and shelf is None:  # their own faults can be told whatever the shelf is
        for bar in sheet.bars:
            with faults:
                read_bar(bar, None, None, begin, units, on)
    faults.settle()
    assert sheet is not None
    assert shelf is not None
    warnings = once(bars)
    shelf = with_new_tins(shelf, sheet.buying)
    bars = [bar._replace(shelf=in_play(bar.goals, with_new_tins(bar.shelf, sheet.buying))) for bar in bars]
    return PlanQuestion(sheet, shelf, names_of(sheet.bars), tuple(bars), warnings)


def once(bars: Iterable[Question]) -> tuple[Diagnostic, ...]:
    """The warnings of all bars, each once; of a lot past its day the first, whatever day another bar is made on."""
    found = dict.fromkeys(item for bar in bars for item in bar.warnings)
    lots = {item.span: item for item in reversed(found) if item.code == Code.EXPIRED_LOT}
    return tuple(item for item in found if lots.get(item.span, item) is item)


def read_bar(
    bar: PlannedBar, shelf_file: Path | None, shelf: Shelf | None, begin: Begin | None, units: Units | None, on: str
) -> Question:
    """The question of one bar, as the plan has its batch and its cost.

    Raises:
        BadInput: with every fault of its files, each told where the plan names the goal file too.
    """
    try:
        found = read_question(bar.goals, shelf_file, None, begin, units=units, on=on)
    except BadInput as bad:
        note = ("the plan names this file here", bar.span)
        raise BadInput(
            item._replace(span=bar.span)
            if item.span is None
            else item._replace(notes=(*item.notes, note))
            if item.span.file == str(bar.goals)
            else item
            for item in bad.diagnostics
        ) from None
    goals = in_plan(found.goals, bar)
    goals = goals._replace(batch=goals.batch._replace(units=found.goals.batch.units))
    goals = goals if units is not None else told_in(goals, found.goals.batch.units)
    if shelf is not None and (later := currency_faults(goals, shelf)):
        raise BadInput(later)
    return found._replace(goals=goals)


def names_of(bars: tuple[PlannedBar, ...]) -> tuple[str, ...]:
    """What each bar is called in the plan: its goal file's name, with a number where that comes more than once."""
    stems = [PurePath(bar.written).stem for bar in bars]
    out: list[str] = []
    for place, stem in enumerate(stems):
        number = stems[: place + 1].count(stem)
        out.append(stem if stems.count(stem) == 1 else f"{stem} ({number})")
    return tuple(out)
