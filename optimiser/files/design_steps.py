"""How the words of a design are read: sentences, names, a trace, what it needs, and its working steps with when each is done."""

from __future__ import annotations

from typing import Any

from optimiser.files.fields import listed
from optimiser.files.keys import Known, rule_named
from optimiser.materials import additives
from optimiser.problem.designs import STAGES, Need, Stage, Step
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Gathering, Schema, scalar, table
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.quantities import read_share

POUR_TO = ("light", "medium", "thick")
ALSO_LIGHT = "thin"
MOST_STEPS = 20
LONGEST = 400

STEPS_EXAMPLE = "steps: [Split the batter in two., Pour both at once., {top: Draw a stick through the top.}]"

WORDS: Schema = {"type": "string"}
NAMES: Schema = {"anyOf": [WORDS, {"type": "array", "items": WORDS}]}
TRACE: Schema = {"enum": [*POUR_TO, ALSO_LIGHT]}
_STEP: Schema = {"type": "string", "maxLength": LONGEST}
_STAGED: Schema = {"type": "object", "properties": dict.fromkeys(STAGES, _STEP), "additionalProperties": False}
NEEDS: Schema = {"type": "object", "minProperties": 1, "maxProperties": 1}
NEEDS_EXAMPLE = "needs: {salt: 60 %}"
STEPS: Schema = {"type": "array", "maxItems": MOST_STEPS, "items": {"anyOf": [_STEP, _STAGED]}}


def read_sentence(node: Node, what: str, _: Any) -> Text:
    """One sentence, blanks in it told once.

    Raises:
        Faults: it is no single text, or a page of it.
    """
    text = scalar(node, what)
    words = " ".join(text.split())
    if len(words) > LONGEST:
        help_ = f"{LONGEST} letters are the most"
        raise Faults(Diagnostic(Code.TOO_LONG, f"{what} is told in a sentence, and this is a page", help_, text.span))
    return Text(words, text.span)


def read_names(node: Node, what: str, _: Any) -> tuple[str, ...]:
    """One name, or a list of them.

    Raises:
        Faults: one of them is no single text.
    """
    faults, out = Gathering(), list[str]()
    for item in node if isinstance(node, Row) else [node]:
        with faults:
            out.append(" ".join(scalar(item, what).split()))
    faults.settle()
    return tuple(out)


def read_rule_names(node: Node, what: str, known: Known) -> tuple[str, ...]:
    """Rules of the house by name.

    Raises:
        Faults: the house has no such rule.
    """
    faults, out = Gathering(), list[str]()
    for item in listed(node, what, "sets_aside: [lauric oils]"):
        with faults:
            out.append(rule_named(scalar(item, what), known).name)
    faults.settle()
    return tuple(dict.fromkeys(out))


def read_trace(node: Node, what: str, _: Any) -> str:
    """A trace to stop at: light, medium or thick; thin is another word for light.

    Raises:
        Faults: it is none of them.
    """
    text = scalar(node, what)
    word = fold(text).removesuffix(" trace")
    if word == ALSO_LIGHT:
        return POUR_TO[0]
    if word not in POUR_TO:
        message = f"{shown(text)} is no trace to stop at"
        raise Faults(Diagnostic(Code.UNKNOWN_WORD, message, offer(text, POUR_TO), text.span))
    return word


def read_need(node: Node, what: str, _: Any) -> Need:
    """An additive of the table and how much of it is usual, per cent of the fats.

    Raises:
        Faults: it is not one additive, or none of the table.
        Misread: its amount is no share.
    """
    told = list(table(node, f"'{what}'", NEEDS_EXAMPLE).items())
    if len(told) != 1:
        message = f"'{what}' names the one additive that makes the bar what it is"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"write {NEEDS_EXAMPLE}", node.span))
    ((name, usual),) = told
    item = additives.find(name)
    if item is None:
        help_ = offer(name, list(additives.additives()))
        raise Faults(Diagnostic(Code.UNKNOWN_ADDITIVE, f"{shown(name)} is no additive of the table", help_, name.span))
    return Need(item.name, read_share(scalar(usual, str(name)), item.name).value)


def read_steps(node: Node, what: str, _: Any) -> tuple[Step, ...]:
    """Steps in their order: a sentence fills the mould, a stage before it says when else it is done."""
    faults, out = Gathering(), list[Step]()
    for item in listed(node, what, STEPS_EXAMPLE):
        with faults:
            out += _step(item, what)
    faults.settle()
    if len(out) > MOST_STEPS:
        raise Faults(Diagnostic(Code.TOO_LONG, f"these are {len(out)} steps", f"{MOST_STEPS} are the most", node.span))
    return tuple(out)


def _step(item: Node, what: str) -> list[Step]:
    """One entry of the list: a sentence, or sentences by stage."""
    if not isinstance(item, Table):
        return [Step("pour", _told_step(item, what))]
    stages: dict[str, Stage] = {fold(stage): stage for stage in STAGES}
    out = []
    for key, value in item.items():
        stage = stages.get(fold(key))
        if stage is None:
            message = f"{shown(key)} is no time of a step"
            help_ = offer(
                key, STAGES, f"write one of {', '.join(STAGES)}; a sentence with a colon in it stands in quotes"
            )
            raise Faults(Diagnostic(Code.UNKNOWN_KEY, message, help_, key.span))
        out.append(Step(stage, _told_step(value, what)))
    return out


def _told_step(node: Node, what: str) -> str:
    words = read_sentence(node, f"a step under '{what}'", None)
    if not words:
        raise Faults(Diagnostic(Code.NO_VALUE, "this step says nothing", f"write {STEPS_EXAMPLE}", words.span))
    return str(words)
