"""A file of designs as a form: which keys it has, and how each is read. The same form serves our own and the maker's.

A row is a limit as a goal file writes it, with its reason beside it. Nothing of what a design asks is known here: it is
all data.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, ClassVar

from optimiser.files.batch import BatchForm
from optimiser.files.design_steps import (
    NAMES,
    NEEDS,
    STEPS,
    TRACE,
    WORDS,
    read_names,
    read_need,
    read_rule_names,
    read_sentence,
    read_steps,
    read_trace,
)
from optimiser.files.fields import SWITCH, read_switch
from optimiser.files.keys import Known, quantity_subject, share_subject
from optimiser.files.limit_values import Subject
from optimiser.files.limits import read_limits
from optimiser.measures.sides import SubjectKind
from optimiser.problem.batch import DEFAULT_BATTER
from optimiser.problem.designs import Choice, Design, DesignRow, Family, Need, Step
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.durations import read_duration, read_weeks
from optimiser.text.forms import Faults, Form, Gathering, Read, Schema, SchemaOf, field, read_part, scalar, table, told
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Table, Text, kind_of
from optimiser.text.quantities import Misread, write_number

OWN_STATUS = "the maker's own"
MOST_WORKABLE = 240.0  # min

_REASONED: Schema = {"type": "object", "required": ["why"]}
_ROWS: Schema = {"type": "object", "additionalProperties": _REASONED}
_CHOICES: Schema = {
    "type": "object",
    "properties": dict.fromkeys(("batter_temperature", "gel", "cure"), _REASONED | {"required": ["use", "why"]}),
    "additionalProperties": False,
}


def _minutes(node: Node, what: str, _: Any) -> float:
    minutes = read_duration(scalar(node, what), what) / 60.0
    if minutes > MOST_WORKABLE:
        message = f"no batter stays workable for {minutes:g} min"
        raise Misread(Code.OUT_OF_RANGE, message, f"{MOST_WORKABLE:g} min is the most")
    return minutes


class ReasonForm(Form):
    """What stands beside a limit of a design."""

    what: ClassVar[str] = "a row of a design"
    example: ClassVar[str] = "trace_speed: {at_most: 30, why: A thin line needs a thin batter.}"

    why: Text = field(Read("why", read_sentence, WORDS), description="The reason, in one sentence.")
    status: Text | None = field(
        Read("status", read_sentence, WORDS),
        default=None,
        description="Where it comes from, as in prior or common practice.",
    )
    gives_way: bool = field(
        Read("gives_way", read_switch, WORDS),
        default=False,
        description="Whether whom the bar is for may decide instead: yes or no.",
    )


def _parted(node: Node, key: Text) -> tuple[ReasonForm, Table]:
    """The reason beside a limit, and the limit without it.

    Raises:
        Faults: there is no reason, or something is wrong with it.
    """
    if not isinstance(node, Table):
        message = f"a row of a design says why, and {shown(key)} does not"
        raise Faults(Diagnostic(Code.MISSING_KEY, message, f"write {ReasonForm.example}", node.span))
    known = {fold(name) for name in ReasonForm.fields}
    reason, rest = Table(node.span), Table(node.span)
    for name, value in node.items():
        (reason if fold(name) in known else rest)[name] = value
    return read_part(ReasonForm, reason), rest


def _rows(find: Callable[[Text, Node, Known], Subject]) -> Callable[[Node, str, Known], tuple[DesignRow, ...]]:
    def read(node: Node, what: str, known: Known) -> tuple[DesignRow, ...]:
        faults, out, seen = Gathering(), list[DesignRow](), dict[tuple[SubjectKind, str], Text]()
        for key, value in table(node, f"'{what}'", ReasonForm.example).items():
            with faults:
                subject = find(key, value, known)
                place = (subject.kind, subject.key)
                if place in seen:
                    raise Faults(repeated(key, seen[place]))
                seen[place] = key
                reason, rest = _parted(value, key)
                status = reason.status or OWN_STATUS
                out += [DesignRow(limit, reason.why, status, reason.gives_way) for limit in read_limits(subject, rest)]
        faults.settle()
        return tuple(out)

    return read


class ChoiceForm(Form):
    """A choice of the batch with its reason."""

    what: ClassVar[str] = "a choice of the batch"
    example: ClassVar[str] = "batter_temperature: {use: 30 degC, why: A cool batter thickens slowly.}"

    use: Text = field(Read("use", lambda node, what, _: scalar(node, what), WORDS))
    why: Text = field(Read("why", read_sentence, WORDS))
    status: Text | None = field(Read("status", read_sentence, WORDS), default=None)


CHOICES = ("batter_temperature", "gel", "cure")


def _choices(node: Node, what: str, _: Any) -> tuple[Choice, ...]:
    faults, out = Gathering(), dict[str, Choice]()
    by_folded = {fold(name): name for name in CHOICES}
    for key, value in table(node, f"'{what}'", ChoiceForm.example).items():
        name = by_folded.get(fold(key))
        with faults:
            if name is None:
                message = f"{shown(key)} is no choice that a design makes for the batch"
                raise Faults(Diagnostic(Code.UNKNOWN_KEY, message, offer(key, CHOICES), key.span))
            out[name] = _choice(name, key, value)
    faults.settle()
    return tuple(out.values())


def _choice(name: str, key: Text, value: Node) -> Choice:
    """One choice, its value read as the batch of a goal file would.

    Raises:
        Faults: it is not as a batch has it.
    """
    form = read_part(ChoiceForm, value)
    alone = Table(value.span)
    alone[Text(name, key.span)] = form.use
    if name == "cure":
        weeks = told(form.use, lambda: read_weeks(form.use))
        said = f"cured for {' '.join(form.use.split())}"
        return Choice("cure_weeks", weeks, said, form.why, form.status or OWN_STATUS)
    batch = read_part(BatchForm, alone)
    chosen: float | bool
    if name == "gel":
        chosen = bool(batch.gel)
        said = "covered to gel" if chosen else "kept from gel"
    else:
        chosen = DEFAULT_BATTER if batch.batter_temperature is None else batch.batter_temperature
        said = f"batter at {write_number(round(chosen, 1))} degC"
    return Choice(name, chosen, said, form.why, form.status or OWN_STATUS)


class DesignForm(Form):
    """One design, or one whom a bar is for."""

    what: ClassVar[str] = "a design"
    example: ClassVar[str] = (
        "{name: our swirl, about: Thin lines., goals: {trace_speed: {at_most: 30, why: It must stay thin.}}}"
    )
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("design", "for", "title"), "name"),
        **dict.fromkeys(("synonyms", "alias", "aliases"), "also"),
        **dict.fromkeys(("what", "description"), "about"),
        **dict.fromkeys(("rows", "limits", "measures"), "goals"),
        **dict.fromkeys(("fats", "oils"), "shares"),
        **dict.fromkeys(("step", "method", "working steps", "how"), "steps"),
        **dict.fromkeys(("pour at", "trace"), "pour_to"),
    }
    blank_is_absent: ClassVar[bool] = True

    name: Text = field(Read("name", read_sentence, WORDS), description="What it is called in goal files and recipes.")
    also: tuple[str, ...] = field(Read("also", read_names, NAMES), default=(), description="Other names for it.")
    about: Text = field(Read("about", read_sentence, WORDS), description="What it is, in one sentence.")
    batter: Text | None = field(
        Read("batter", read_sentence, WORDS), default=None, description="What the batter must do, in one sentence."
    )
    pour_to: str = field(
        Read("pour_to", read_trace, TRACE), default="", description="The trace at which the mould is filled."
    )
    workable: float = field(
        Read("workable", _minutes, WORDS),
        default=0.0,
        description="How long the batter must stay workable once it is at that trace, as in 15 min.",
    )
    cover: Text | None = field(
        Read("cover", read_sentence, WORDS),
        default=None,
        description="How the mould is covered, where it is not to gel.",
    )
    cure: Text | None = field(Read("cure", read_sentence, WORDS), default=None, description="How long it cures.")
    steps: tuple[Step, ...] = field(
        Read("steps", read_steps, STEPS),
        default=(),
        description="Its working steps in order: a sentence fills the mould; ready, apart, top and after say when else.",
    )
    blend_to: str = field(
        Read("blend_to", read_trace, TRACE),
        default="",
        description="The trace to which all of the batter is taken before its own steps, where that is less.",
    )
    parts: bool = field(
        Read("parts", read_switch, SWITCH),
        default=False,
        description="Whether the batter is split, so that colours go into the parts.",
    )
    knock: bool = field(
        Read("knock", read_switch, SWITCH),
        default=True,
        description="Whether the mould may be knocked on the table; no where that would move the pattern.",
    )
    touch_top: bool = field(
        Read("touch_top", read_switch, SWITCH), default=True, description="Whether film may lie on the top."
    )
    sets_aside: tuple[str, ...] = field(
        Read("sets_aside", read_rule_names, NAMES),
        default=(),
        description="Rules of the house that are not for such a bar.",
    )
    needs: Need | None = field(
        Read("needs", read_need, NEEDS),
        default=None,
        description="The additive that such a bar is not made without, and how much of it is usual, as in {salt: 60 %}.",
    )
    batch: tuple[Choice, ...] = field(
        Read("batch", _choices, _CHOICES),
        default=(),
        description="What it chooses for the batch: batter_temperature, gel, cure.",
    )
    goals: tuple[DesignRow, ...] = field(
        Read("goals", _rows(quantity_subject), _ROWS),
        default=(),
        description="Limits as in a goal file, each with its reason.",
    )
    shares: tuple[DesignRow, ...] = field(
        Read("shares", _rows(share_subject), _ROWS),
        default=(),
        description="Shares as in a goal file, each with its reason.",
    )

    def as_design(self, family: Family) -> Design:
        """The design as a plain value."""
        return Design(
            name=str(self.name),
            family=family,
            about=str(self.about),
            batter=str(self.batter or ""),
            pour_to=self.pour_to,
            cover=str(self.cover or ""),
            cure=str(self.cure or ""),
            rows=(*self.goals, *self.shares),
            choices=self.batch,
            names=(str(self.name), *self.also),
            span=self.name.span,
            workable=self.workable,
            steps=self.steps,
            blend_to=self.blend_to,
            parts=self.parts,
            knock=self.knock,
            touch_top=self.touch_top,
            sets_aside=self.sets_aside,
            needs=self.needs,
        )


def _entries(family: Family) -> Callable[[Node, str, Any], tuple[Design, ...]]:
    def read(node: Node, what: str, known: Any) -> tuple[Design, ...]:
        if not isinstance(node, Row):
            message = f"'{what}' is a list, and this is {kind_of(node)}"
            raise Faults(Diagnostic(Code.WRONG_SHAPE, message, "start each entry with '- name: ...'", node.span))
        faults, out, seen = Gathering(), list[Design](), dict[str, Text]()
        for item in node:
            with faults:
                form = read_part(DesignForm, item, known)
                for name in (form.name, *(Text(other, form.name.span) for other in form.also)):
                    if fold(name) in seen:
                        raise Faults(repeated(name, seen[fold(name)]))
                    seen[fold(name)] = name
                out.append(form.as_design(family))
        faults.settle()
        return tuple(out)

    return read


def _listed(schema_of: SchemaOf) -> Schema:
    return {"type": "array", "items": schema_of(DesignForm)}


class DesignFileForm(Form):
    """A file of designs, of people, or of both."""

    what: ClassVar[str] = "a file of designs"
    example: ClassVar[str] = f"designs: [{DesignForm.example}]"
    usual: ClassVar[Mapping[str, str]] = dict.fromkeys(("design",), "designs") | dict.fromkeys(("for",), "people")
    blank_is_absent: ClassVar[bool] = True

    designs: tuple[Design, ...] = field(
        Read("designs", _entries("design"), _listed),
        default=(),
        description="Techniques of your own, each with its name.",
    )
    people: tuple[Design, ...] = field(
        Read("people", _entries("for"), _listed),
        default=(),
        description="Whom bars of yours are for, each with a name.",
    )
