"""Lines of a file of price scenarios that say one thing twice, or two things of one: refused, since neither is the one that counts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

import numpy as np

from optimiser.files.price_subjects import ALL, Named
from optimiser.maths.arrays import Matrix
from optimiser.problem.places import Span
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import Faults
from optimiser.text.names import fold, listed
from optimiser.text.nodes import Node, Table, Text


class Pair(NamedTuple):
    """A correlation of the logarithms of two prices."""

    names: tuple[Named, Named]
    value: float
    node: Node


def unrepeated(seen: dict[str, Text], word: str, key: Text) -> None:
    """Notes what a line is about.

    Raises:
        Faults: an earlier one is about the same.
    """
    first = seen.setdefault(fold(word), key)
    if first is not key:
        message = f"'{key}' stands here already" if fold(first) == fold(key) else f"'{key}' is what '{first}' is"
        notes = (("the first stands here", first.span),)
        raise Faults(Diagnostic(Code.REPEATED_NAME, message, "keep one of the two", key.span, notes))


def unpaired(before: Iterable[Pair], pair: Pair) -> None:
    """Passes a correlation of two things that no earlier one is of.

    Raises:
        Faults: it is of one thing and itself, or an earlier one is of the same two.
    """
    one, other = pair.names
    if one.word == other.word and one.is_one:
        message = f"{one.word} goes with itself whatever is written"
        raise Faults(Diagnostic(Code.CONTRADICTION, message, "name two things", pair.node.span))
    for first in before:
        if {item.word for item in first.names} == {one.word, other.word}:
            message = f"{listed([one.word, other.word], 'and')} have a correlation already"
            notes = (("the first stands here", first.node.span),)
            raise Faults(Diagnostic(Code.REPEATED_NAME, message, "keep one of the two", pair.node.span, notes))


def correlations(pairs: Iterable[Pair], groups: list[str], group_of: Callable[[str], str], together: float) -> Matrix:
    """The correlation (g, g) of the logarithms of g prices: lines on single things before those on kinds and tags.

    Args:
        pairs: the lines.
        groups: the prices that spread, by what they move with.
        group_of: what a thing on the shelves moves with.
        together: the correlation of any two that no line is about.

    Raises:
        BadInput: a line is about what does not spread or moves as one, or two that are as close say two things of one pair.
    """
    found = np.full((len(groups), len(groups)), together)
    np.fill_diagonal(found, 1.0)
    places = {name: place for place, name in enumerate(groups)}
    said: dict[tuple[int, int], tuple[int, Pair]] = {}
    faults: list[Diagnostic] = []
    for pair in sorted(pairs, key=_closeness):
        sides = [{group_of(name) for name in item.members} for item in pair.names]
        if odd := _without_effect(pair, sides, places):
            faults.append(odd)
            continue
        both = ((places[one], places[other]) for one in sides[0] for other in sides[1] if {one, other} <= places.keys())
        for here, there in both:
            if here == there:
                continue
            key = (min(here, there), max(here, there))
            before = said.get(key)
            if before is not None and before[0] == _closeness(pair) and before[1].value != pair.value:
                faults.append(_contradiction(before[1], pair, (groups[key[0]], groups[key[1]])))
                break
            said[key] = (_closeness(pair), pair)
            found[here, there] = found[there, here] = pair.value
    if faults:
        raise BadInput(faults)
    return found


def span_under(node: Node | None, *keys: str) -> Span | None:
    """Where the last of some keys stands, each within the one before it; None where one is not there."""
    span = None
    for key in keys:
        found = next((one for one in node if str(one) == key), None) if isinstance(node, Table) else None
        if found is None or not isinstance(node, Table):
            return None
        span, node = found.span, node[found]
    return span


def _closeness(pair: Pair) -> int:
    """How narrow a line is: things by name before kinds and tags, and those before all fats."""
    return sum(2 if item.is_one else int(item.word != ALL) for item in pair.names)


def _without_effect(pair: Pair, sides: list[set[str]], places: Mapping[str, Any]) -> Diagnostic | None:
    """Why a correlation of things on the shelves moves nothing; None where it does, or where one is on no shelf."""
    if not all(sides):
        return None
    for item, side in zip(pair.names, sides, strict=True):
        if not side & places.keys():
            message = f"{item.word} does not spread, so nothing goes with it"
            return Diagnostic(
                Code.CONTRADICTION, message, "tell its spread under 'prices', or take this line out", pair.node.span
            )
    if len(sides[0] | sides[1]) == 1:
        message = f"{listed([item.word for item in pair.names], 'and')} move as one: one is like the other"
        return Diagnostic(Code.CONTRADICTION, message, "take this line out", pair.node.span)
    return None


def _contradiction(first: Pair, second: Pair, of: tuple[str, str]) -> Diagnostic:
    message = f"another line says {first.value:g} of {listed(of, 'and')}, and this says {second.value:g}"
    notes = (("the first stands here", first.node.span),)
    return Diagnostic(Code.CONTRADICTION, message, "say it of the two by name", second.node.span, notes)
