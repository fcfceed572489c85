"""What goal files and recipes both say of the picture on the bar, whom it is for, and the water that it will meet."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from optimiser.files.fields import listed
from optimiser.files.keys import Known
from optimiser.problem.goals import Water
from optimiser.text.diagnostics import BadInput
from optimiser.text.forms import Faults, Gathering, scalar
from optimiser.text.hardness import read_hardness
from optimiser.text.names import fold
from optimiser.text.nodes import Node
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.problem.designs import Design, Family

Named = tuple[tuple[str, Span], ...]
"""Designs, or people, by their canonical names, with the places where a file names them."""


def named_by(family: Family, example: str) -> Callable[[Node, str, Known], Named]:
    """Reads one name, or a list of them; the rooms of designs are loaded only where there is any."""

    def read(node: Node, what: str, known: Known) -> Named:
        from optimiser.files.designs import named

        faults, out = Gathering(), dict[str, Span]()
        try:
            own = known.own_designs()
        except BadInput as bad:
            raise Faults(*bad.diagnostics) from None
        for item in listed(node, what, example):
            with faults:
                text = scalar(item, what)
                out.setdefault(named(text, family, own).name, text.span)
        faults.settle()
        return tuple(out.items())

    return read


def techniques(designs: Named, people: Named, own: Callable[[], Iterable[Design]]) -> list[tuple[Design, Span]]:
    """The designs and people that a file names, with their places; nothing is loaded where it names none."""
    if not designs and not people:
        return []
    from optimiser.files.designs import by_name

    mine = tuple(own())
    found = [(by_name("design", mine)[fold(name)], span) for name, span in designs]
    return found + [(by_name("for", mine)[fold(name)], span) for name, span in people]


def read_water(node: Node, what: str, _: Any) -> Water:
    """How hard the wash water is, with the maker's own words."""
    text = scalar(node, what)
    return Water(read_hardness(text, what), " ".join(text.split()), text.span)
