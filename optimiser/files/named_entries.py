"""A mapping whose keys name things: every entry by the thing that its key names."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Gathering, table, told
from optimiser.text.nodes import Node, Text

T = TypeVar("T")


def named_entries(
    node: Node, what: str, example: str, name_of: Callable[[Text, Node], str], one: Callable[[str, Text, Node], T]
) -> tuple[T, ...]:
    """Every entry of a mapping, no thing under two names.

    Args:
        node: the mapping.
        what: the key that it stands under.
        example: how it is written.
        name_of: the thing that a key names, by the key and its value.
        one: an entry by that name, its key and its value.

    Raises:
        Faults: everything that is wrong with the entries, or that there is none.
    """
    faults, out, keys = Gathering(), list[T](), dict[str, Text]()
    for key, value in table(node, f"'{what}'", example).items():
        with faults:
            name = name_of(key, value)
            first = keys.setdefault(name, key)
            if first is not key:
                raise Faults(repeated(key, first))
            out.append(told(value, lambda: one(name, key, value)))  # noqa: B023  called at once
    faults.settle()
    if not out:
        raise Faults(Diagnostic(Code.NO_VALUE, f"there is nothing under '{what}'", f"write {example}", node.span))
    return tuple(out)
