"""The fats, alkali and water of a recipe in hand, by their masses."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from optimiser.files.keys import Known, find_alkali, find_fat_name, unknown_fat
from optimiser.files.named_entries import named_entries
from optimiser.problem.recipe import Weighed
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, scalar, unknown_key
from optimiser.text.names import shown
from optimiser.text.nodes import Node, Text, kind_of
from optimiser.text.quantities import Misread, read_mass, read_number, read_share

MOST_GRAMS = 1e8
MOST_SHARE = 100.0
PER_CENT = ("%", "％", "percent", "per cent", "pct")
OUNCES = frozenset({"oz", "ounce", "ounces", "lb", "lbs", "pound", "pounds"})


def read_grams(node: Node, what: str, _: Any = None) -> float:
    """A mass in grams.

    Raises:
        Misread: it cannot be weighed.
    """
    text = scalar(node, what)
    grams = round(read_mass(text, what) * 1000.0, 9)  # so that 700 g is 700, not 700.0000000000001
    if not 0 < grams <= MOST_GRAMS:
        raise Misread(
            Code.OUT_OF_RANGE,
            f"{text.strip()} of {what} cannot be weighed",
            "a mass is above 0; take the line out for none",
        )
    return grams


def in_ounces(node: Node) -> str:
    """A mass as it is written, where that is in ounces or pounds; else nothing."""
    text = str(node).strip()
    rest = read_number(text).rest
    return text if re.split(r"[\s.,\d]", rest.casefold(), maxsplit=1)[0] in OUNCES else ""


def water_grams(node: Node, what: str, _: Any) -> float:
    """Water in grams; there may be none where liquids stand for all of it."""
    text = scalar(node, what)
    return 0.0 if read_mass(text, what) == 0.0 else read_grams(node, what)


def by_mass(name: str, key: Text, node: Node) -> Weighed:
    """A thing with its mass."""
    return Weighed(name, read_grams(node, name), key.span, in_ounces(node))


def by_share_or_mass(name: str, key: Text, node: Node) -> Weighed:
    """A fat with its mass, or its share of all fats: as grams in a hundred of them."""
    text = scalar(node, name)
    if not text.strip().endswith(PER_CENT):
        return by_mass(name, key, node)
    share = read_share(text, name)
    if not 0.0 < share.value <= MOST_SHARE:
        message = f"{share.digits} % of {name} cannot be weighed"
        raise Misread(Code.OUT_OF_RANGE, message, "a share is above 0 and up to 100 %; take the line out for none")
    return Weighed(name, share.value, key.span, by_share=True)


def _weighed(
    node: Node,
    what: str,
    example: str,
    name_of: Callable[[Text, Node], str],
    one: Callable[[str, Text, Node], Weighed] = by_mass,
) -> tuple[Weighed, ...]:
    """A mapping of names to masses, no thing under two names."""
    return named_entries(node, what, example, name_of, one)


def read_fats(node: Node, what: str, known: Known) -> tuple[Weighed, ...]:
    """Each fat with its mass, or its share of all fats.

    Raises:
        Faults: everything that is wrong with them.
    """

    def name_of(key: Text, _: Node) -> str:
        found = find_fat_name(key, known)
        if found is None:
            help_ = "A fat of your own must stand on the shelf, with 'like'."
            raise Faults(unknown_fat(key, help_, tuple(known.own_fats().values())))
        return found

    return _weighed(node, what, "fats: {olive oil: 700 g, coconut oil: 250 g}", name_of, by_share_or_mass)


def read_alkali(node: Node, what: str, _: Any) -> tuple[Weighed, ...]:
    """Each alkali with its mass as weighed.

    Raises:
        Faults: everything that is wrong with them.
    """

    def name_of(key: Text, value: Node) -> str:
        found = find_alkali(key)
        if found is None:
            fault = unknown_key(key, value, what, ("sodium hydroxide", "potassium hydroxide", "NaOH", "KOH"))
            raise Faults(
                Diagnostic(Code.UNKNOWN_ALKALI, f"{shown(key)} is no alkali that is known here", fault.help, key.span)
            )
        if not isinstance(value, Text):
            message = f"{found} is told by its mass, and this is {kind_of(value)}"
            help_ = f"write alkali: {{{found}: 135 g}}; or, to have it worked out, superfat: 5 % in place of 'alkali'"
            raise Faults(Diagnostic(Code.WRONG_SHAPE, message, help_, value.span))
        return found

    return _weighed(node, what, "alkali: {sodium hydroxide: 135 g}", name_of)
