"""The plan file: several bars over one shelf, each with its goal file, its batch and perhaps what it may cost."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar

from optimiser.files.batch import BatchForm, read_batch
from optimiser.files.fields import FIGURE, TEXT, as_path, as_title
from optimiser.files.keys import Known, quantity_subject
from optimiser.files.kinds import refuse_other
from optimiser.files.limits import read_limits
from optimiser.problem.batch import Batch
from optimiser.problem.buying import CHEAPEST_TO_MAKE, LEAST_CASH, NOTHING, Buy, Buying
from optimiser.problem.limits import AT_MOST, Limit
from optimiser.problem.plan import PlannedBar, PlanSheet
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, form_schema, read_form, read_part, scalar
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Text, kind_of
from optimiser.text.opening import beside
from optimiser.text.quantities import Misread
from optimiser.text.source import read_yaml

MOST_BARS = 60
EXAMPLE = "bars: [{goals: everyday.yaml, batch: {bars: 200}}, {goals: fine-swirl.yaml, batch: {bars: 48}}]"
AIMS = (CHEAPEST_TO_MAKE, LEAST_CASH)


def _cost(node: Node, _what: str, _: Any) -> tuple[Limit, ...]:
    key = Text("cost", node.span) if isinstance(node, Text) else Text("cost", scalar(node, "at_most_cost").span)
    subject = quantity_subject(key, node, Known())
    return read_limits(subject, scalar(node, "at_most_cost"), AT_MOST)


class PlannedBarForm(Form):
    """One bar of a plan."""

    what: ClassVar[str] = "a bar of the plan"
    example: ClassVar[str] = "{goals: everyday.yaml, batch: {bars: 200}, at_most_cost: 4.20 / kg}"
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("goal", "file", "goal file", "bar"), "goals"),
        **dict.fromkeys(("cost", "price", "most cost", "budget"), "at_most_cost"),
        **dict.fromkeys(
            ("bars", "count", "number", "how many"), "how many is told in its batch, as in batch: {bars: 200}"
        ),
        **dict.fromkeys(
            ("recipe",), "a plan is made of goal files; a recipe is weighed out by itself, with barwright resize"
        ),
    }

    goals: Text = field(
        Read("goals", as_path, TEXT), description="The goal file of the bar, as a path from this file's folder."
    )
    batch: Batch | None = field(
        Read("batch", read_batch, form_schema(BatchForm)),
        default=None,
        description="How much of it is made; without it, as much as its goal file says.",
    )
    at_most_cost: tuple[Limit, ...] = field(
        Read("at_most_cost", _cost, FIGURE), default=(), description="The most that it may cost, as in 4.20 / kg."
    )


def _bars(node: Node, what: str, _: Any) -> tuple[PlannedBarForm, ...]:
    if not isinstance(node, Row):
        message = f"'{what}' is a list, and this is {kind_of(node)}"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"write {EXAMPLE}", node.span))
    if not node:
        raise Faults(Diagnostic(Code.NO_VALUE, "the plan has no bar", f"write {EXAMPLE}", node.span))
    if len(node) > MOST_BARS:
        message = f"a plan of {len(node)} bars is more than is asked at once"
        raise Faults(Diagnostic(Code.TOO_MANY_ENTRIES, message, f"up to {MOST_BARS} bars", node.span))
    faults, out = Gathering(), list[PlannedBarForm]()
    for item in node:
        with faults:
            out.append(read_part(PlannedBarForm, item))
    faults.settle()
    return tuple(out)


def _one_of(node: Node, what: str, known: tuple[str, ...]) -> Text:
    text = scalar(node, what)
    if fold(text) not in map(fold, known):
        help_ = offer(text, known) or f"one of: {', '.join(known)}"
        raise Misread(Code.UNKNOWN_WORD, f"{what}: {shown(text)} is not known here", help_)
    return text


def _buy(node: Node, what: str, _: Any) -> tuple[Buy, Text]:
    text = _one_of(node, what, tuple(Buy))
    return Buy(fold(text)), text


def _aim(node: Node, what: str, _: Any) -> str:
    text = _one_of(node, what, AIMS)
    return next(aim for aim in AIMS if fold(aim) == fold(text))


class PlanForm(Form):
    """Several bars over one shelf."""

    what: ClassVar[str] = "a plan"
    example: ClassVar[str] = EXAMPLE
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("name",), "title"),
        **dict.fromkeys(("inventory", "stock"), "shelf"),
        **dict.fromkeys(("bar", "batches", "goals"), "bars"),
        **dict.fromkeys(("buying", "purchases"), "buy"),
    }

    title: str = field(Read("title", as_title, TEXT), default="", description="What the plan is called.")
    shelf: Text | None = field(
        Read("shelf", as_path, TEXT),
        default=None,
        description="The shelf that all bars draw from, as a path from this file's folder; without it, the nearest inventory/ folder's only shelf.",
    )
    buy: tuple[Buy, Text] | None = field(
        Read("buy", _buy, {"enum": [str(one) for one in Buy]}),
        default=None,
        description="What may be bought beyond the stock: none, packs (whole ones), or any (any mass at the price per kilo).",
    )
    aim: str = field(
        Read("aim", _aim, {"enum": list(AIMS)}),
        default="",
        description="What is to be least: what is used (cheapest to make), or what is paid for now (least cash).",
    )
    bars: tuple[PlannedBarForm, ...] = field(
        Read("bars", _bars, form_schema(PlannedBarForm, many=True)),
        description="The bars, each with its goal file and its batch.",
    )


def read_plan(path: Path) -> PlanSheet:
    """The plan that a file holds; the goal files that it names are not read.

    Raises:
        BadInput: with every fault of the file, in file order.
    """
    path = Path(path)
    source = read_yaml(path)
    refuse_other(source, "plan")
    form = read_form(PlanForm, source)
    return PlanSheet(
        path=str(path),
        title=form.title or path.stem,
        bars=tuple(
            PlannedBar(beside(path.parent, bar.goals), str(bar.goals), bar.goals.span, bar.batch, bar.at_most_cost)
            for bar in form.bars
        ),
        shelf=None if form.shelf is None else beside(path.parent, form.shelf),
        shelf_span=None if form.shelf is None else form.shelf.span,
        buying=_buying(form),
    )


def _buying(form: PlanForm) -> Buying | None:
    """What may be bought; None where the plan says nothing of it."""
    if form.buy is None and not form.aim:
        return None
    span = None if form.buy is None else form.buy[1].span
    buy = Buy.ANY if form.buy is None else form.buy[0]
    return Buying(buy, NOTHING if form.aim == LEAST_CASH else Buying().left_counts, span)
