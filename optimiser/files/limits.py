"""One wish on one figure: at least, at most, exactly, between, or a word; read into one `Limit` for each side."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, ClassVar

from optimiser.files.limit_values import Bound, Subject, compared, find_band, read_bound
from optimiser.files.relative import read_relative
from optimiser.measures.measures import Band
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import AT_LEAST, AT_MOST, EXACTLY, Limit
from optimiser.problem.wishes import Said
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, read_part, scalar, told
from optimiser.text.names import shown
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.quantities import write_number
from optimiser.text.spans import Span

_VALUE_SCHEMA: dict[str, Any] = {"type": ["number", "string"]}


class LimitForm(Form):
    """A wish with sides."""

    what: ClassVar[str] = "a limit"
    example: ClassVar[str] = "{at_least: 45}, {at_most: 55 %} or {between: [3 %, 6 %]}"
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("min", "minimum", "least", ">=", ">", "≥", "from", "above", "over", "lower"), "at_least"),
        **dict.fromkeys(("max", "maximum", "most", "<=", "<", "≤", "to", "below", "under", "upper"), "at_most"),
        **dict.fromkeys(("equals", "equal", "=", "==", "value", "is", "target"), "exactly"),
        **dict.fromkeys(("range", "in"), "between"),
    }

    at_least: Text | None = field(
        Read("at_least", lambda node, what, _: scalar(node, what), _VALUE_SCHEMA),
        default=None,
        description="The least that will do, as in 45, 28 % or hard.",
    )
    at_most: Text | None = field(
        Read("at_most", lambda node, what, _: scalar(node, what), _VALUE_SCHEMA),
        default=None,
        description="The most that will do, as in 65, 55 % or 6.40 / kg.",
    )
    exactly: Text | None = field(
        Read("exactly", lambda node, what, _: scalar(node, what), _VALUE_SCHEMA),
        default=None,
        description="The one figure that will do; for a bar measure, within half a point.",
    )
    between: tuple[Text, Text] | None = field(
        Read(
            "between",
            lambda node, what, _: _pair(node, what),
            {"type": "array", "items": _VALUE_SCHEMA, "minItems": 2, "maxItems": 2},
        ),
        default=None,
        description="The least and the most that will do, as in [3 %, 6 %].",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:  # noqa: ARG003
        """Refuses sides that leave open which of them counts."""
        alone = [name for name in ("exactly", "between") if name in keys]
        if alone and len(keys) > 1:
            others = [name for name in keys if name != alone[0]]
            message = f"'{alone[0]}' says it all; it cannot stand beside '{others[0]}'"
            notes = ((f"'{others[0]}' stands here", keys[others[0]].span),)
            raise Faults(Diagnostic(Code.CONTRADICTION, message, "keep one of the two", keys[alone[0]].span, notes))


def _pair(node: Node, what: str) -> tuple[Text, Text]:
    if not isinstance(node, Row) or len(node) != 2:
        comma = isinstance(node, Row) and len(node) in (3, 4) and all(isinstance(item, Text) for item in node)
        hint = "; a comma parts the two, so use a point in figures, as in 1.5" if comma else ""
        message = f"'{what}' takes two figures, the lower one first"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"write [3 %, 6 %]{hint}", node.span))
    return scalar(node[0], what), scalar(node[1], what)


# -- reading ---------------------------------------------------------------------------------------------------


def read_limits(subject: Subject, node: Node, bare: Side = EXACTLY) -> tuple[Limit, ...]:
    """The one or two sides of a wish.

    Args:
        subject: what the wish is about.
        node: what stands after the key.
        bare: which side a bare figure means.

    Raises:
        Faults: everything that is wrong with it.
    """
    if isinstance(node, Table):
        return _from_table(subject, node)
    if isinstance(node, Row):
        pair = ", ".join(str(item) for item in node if isinstance(item, Text))
        help_ = f"write {{between: [{pair}]}}" if len(node) == 2 and len(pair) <= 40 else f"write {LimitForm.example}"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, f"a list is no limit for {subject.words}", help_, node.span))
    text = scalar(node, subject.words)
    band = find_band(subject, text)
    if band is not None:
        return _of_band(subject, band, text.span)
    relative = read_relative(subject, text, None)
    if relative is not None:
        return (relative,)
    side, figure = compared(text)
    bound = told(text, lambda: _bound(subject, figure, side or bare))
    return (_limit(subject, side or bare, bound, text.span),)


def one_side(subject: Subject, text: Text, side: Side) -> Limit:
    """What a text sets on one side, which a figure with a sign has as well as a bare one."""
    return read_relative(subject, text, side) or read_limits(subject, text, side)[0]


def _from_table(subject: Subject, node: Table) -> tuple[Limit, ...]:
    form = read_part(LimitForm, node)
    if not form.given:
        raise Faults(
            Diagnostic(Code.NO_VALUE, f"no limit is given for {subject.words}", f"write {LimitForm.example}", node.span)
        )
    if form.between is not None:
        return _between(subject, *form.between)
    if form.exactly is not None:
        return read_limits(subject, form.exactly)
    faults, limits = Gathering(), []
    for side, text in ((AT_LEAST, form.at_least), (AT_MOST, form.at_most)):
        if text is not None:
            with faults:
                limits.append(_one_side(subject, text, side))
    faults.settle()
    if len(limits) == 2 and limits[0].relative == limits[1].relative:
        _in_order(limits[0], limits[1], "at_least is above at_most")
    return tuple(limits)


def _one_side(subject: Subject, text: Text, side: Side) -> Limit:
    """The limit on one side: a figure, a word, or what is told from a recipe in hand."""
    relative = read_relative(subject, text, side)
    return relative or _limit(subject, side, _bound_at(subject, text, side), text.span)


def _between(subject: Subject, first: Text, second: Text) -> tuple[Limit, ...]:
    faults = Gathering()
    if any(read_relative(subject, text, side) for text, side in ((first, AT_LEAST), (second, AT_MOST))):
        both = _one_side(subject, first, AT_LEAST), _one_side(subject, second, AT_MOST)
        if both[0].relative == both[1].relative:
            _in_order(*both, f"the first figure is above the second; write [{second}, {first}]")
        return both
    bounds: dict[Side, Bound] = {}
    for side, text in ((AT_LEAST, first), (AT_MOST, second)):
        with faults:
            bounds[side] = _bound_at(subject, text, side)
    faults.settle()
    low, high = bounds[AT_LEAST], bounds[AT_MOST]
    ends = (low.told, high.told)
    limits = (
        _limit(subject, AT_LEAST, low, first.span, ends),
        _limit(subject, AT_MOST, high, second.span, ends),
    )
    _in_order(*limits, f"the first figure is above the second; write [{second}, {first}]")
    return limits


def _in_order(low: Limit, high: Limit, message: str) -> None:
    if low.side == high.side:
        full = f"{low.key.replace('_', ' ')}: one side is an index and the other in a unit of your own"
        notes = (("and this is the other one", high.span),)
        raise Faults(Diagnostic(Code.CONTRADICTION, full, "write both in the same unit", low.span, notes))
    if low.side == AT_MOST:  # in a unit that falls as the index rises, the least reading is the greatest index
        low, high = high, low
    if low.per == high.per and low.unit == high.unit and low.value > high.value:
        terse, _, help_ = message.partition("; ")
        full = f"{low.key.replace('_', ' ')}: {terse}"
        notes = (("and this is the other one", high.span),)
        raise Faults(
            Diagnostic(
                Code.CONTRADICTION,
                full,
                help_ or "nothing lies between them: turn them round, or drop one",
                low.span,
                notes,
            )
        )


def _of_band(subject: Subject, band: Band, span: Span) -> tuple[Limit, ...]:
    ends = ((AT_LEAST, band.low), (AT_MOST, band.high))
    return tuple(
        Limit(
            *(subject.key, subject.kind, side, end, subject.unit),
            said=Said(subject.words, side, write_number(end), band=band.word),
            span=span,
        )
        for side, end in ends
        if end is not None
    )


def _bound_at(subject: Subject, text: Text, side: Side) -> Bound:
    """A figure or a word under a side; a sign that says the same again is let through."""
    said, figure = compared(text)
    if said not in (None, side):
        words = side.words
        raise Faults(
            Diagnostic(
                Code.CONTRADICTION,
                f"'{side}' and {shown(text)} do not say the same",
                f"write {words} and the bare figure",
                text.span,
            )
        )
    return told(text, lambda: _bound(subject, figure, side))


def _bound(subject: Subject, figure: str, side: Side) -> Bound:
    if subject.unit == "index" and _has_unit(figure):
        from optimiser.files.own_units import own_bound  # only where somebody writes in units of their own

        own = own_bound(subject, figure, side)
        if own is not None:
            return own
    return read_bound(subject, figure, side)


def _has_unit(figure: str) -> bool:
    """Whether letters stand anywhere after a figure."""
    found = re.search(r"\d", figure)
    return found is not None and any(mark.isalpha() for mark in figure[found.end() :])


def _limit(subject: Subject, side: Side, bound: Bound, span: Span, between: tuple[str, str] | None = None) -> Limit:
    if subject.only_at_least and side != AT_LEAST:
        message = f"{subject.words} can be asked for at least, and not {side.words}"
        help_ = f"write {{at_least: {bound.told}}}; an end from above can be put on the superfat itself"
        raise Faults(Diagnostic(Code.ONLY_AT_LEAST, message, help_, span))
    figure = write_number(bound.value) if bound.word else bound.told
    said = Said(subject.words, side, figure, word=bound.word, between=between, meaning=bound.own)
    side = bound.side or side
    unit = bound.unit or subject.unit
    return Limit(subject.key, subject.kind, side, bound.value, unit, said, span, bound.per, bound.currency)


def read_section(
    entries: Table,
    find: Callable[[Text, Node], Subject],
    from_recipe: bool = False,  # noqa: FBT001, FBT002
) -> tuple[Limit, ...]:
    """Every limit of a section, keys found by `find`, in file order; `from_recipe`: there is a recipe in hand to tell them from.

    Raises:
        Faults: of all entries together; a key given twice under two names is one.
    """
    faults = Gathering()
    limits: list[Limit] = []
    seen: dict[tuple[SubjectKind, str], Text] = {}
    for key, node in entries.items():
        with faults:
            subject = find(key, node)._replace(from_recipe=from_recipe)
            place = (subject.kind, subject.key)
            if place in seen:
                raise Faults(repeated(key, seen[place]))
            seen[place] = key
            limits.extend(read_limits(subject, node))
    faults.settle()
    return tuple(limits)
