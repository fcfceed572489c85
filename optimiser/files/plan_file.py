"""The plan file: several bars over one shelf, each with its goal file, its batch and perhaps what it may cost."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar

from optimiser.files.batch import BatchForm, read_batch
from optimiser.files.buying import AIM_SCHEMA, Aim, MayBuy, buying_of, read_aim, read_buy
from optimiser.files.fields import FIGURE, TEXT, as_path, as_title
from optimiser.files.keys import Known, quantity_subject
from optimiser.files.kinds import refuse_other
from optimiser.files.limits import read_limits
from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buy
from optimiser.problem.limits import AT_MOST, Limit
from optimiser.problem.plan import PlannedBar, PlanSheet
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, form_schema, read_form, read_part, scalar
from optimiser.text.nodes import Node, Row, Text, kind_of
from optimiser.text.opening import beside
from optimiser.text.source import read_yaml

MOST_BARS = 60
EXAMPLE = "bars: [{goals: everyday.yaml, batch: {bars: 200}}, {goals: fine-swirl.yaml, batch: {bars: 48}}]"


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
    buy: MayBuy | None = field(
        Read("buy", read_buy, {"enum": [str(one) for one in Buy]}),
        default=None,
        description="What may be bought beyond the stock: none, packs (whole ones), or any (any mass at the price per kilo).",
    )
    aim: Aim | None = field(
        Read("aim", read_aim, AIM_SCHEMA),
        default=None,
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
        buying=buying_of(form.buy, form.aim),
    )
