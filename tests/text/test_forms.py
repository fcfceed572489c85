"""Forms: keys declared once, read each by its own reader, and their JSON Schemas."""

from __future__ import annotations

from typing import Any, ClassVar

import pytest

from optimiser.files.form_schema import json_schema
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput
from optimiser.text.forms import Form, Read, field, form_schema, read_form, read_part, scalar
from optimiser.text.nodes import Node
from optimiser.text.source import parse_yaml


def _word(node: Node, what: str, _: Any) -> str:
    return str(scalar(node, what))


class Lid(Form):
    """A lid."""

    what: ClassVar[str] = "a lid"

    made_of: str = field(Read("made_of", _word, {"type": "string"}), description="What it is made of.")


def _lid(node: Node, _what: str, context: Any) -> Lid:
    return read_part(Lid, node, context)


class Box(Form):
    """A box."""

    what: ClassVar[str] = "a box"
    beside: ClassVar[dict[str, Any]] = {"minProperties": 1}

    size: str = field(Read("size", _word, {"type": "string"}), description="How large it is.")
    for_: str = field(Read("for", _word, {"type": "string"}), default="all", description="Whom it is for.", alias="for")
    lid: Lid | None = field(Read("lid", _lid, form_schema(Lid)), default=None, description="Its lid.")


def _box(text: str) -> Box:
    return read_form(Box, parse_yaml(text, "box.yaml"))


def test_a_form_has_what_was_written_and_defaults_for_the_rest() -> None:
    """Keys fold, a key may have another name in Python, and what was written is known from what was not."""
    box = _box("Size: large\nlid: {made of: beech}\n")
    assert (box.size, box.for_) == ("large", "all")
    assert box.lid is not None
    assert box.lid.made_of == "beech"
    assert box.given == {"size", "lid"}
    assert _box("size: small\nfor: soap\n").given == {"size", "for_"}


def test_a_form_is_not_changed() -> None:
    """What was read stays as it was read, and one form takes nothing from another."""
    one, other = _box("size: large"), _box("size: small")
    with pytest.raises(AttributeError, match="size"):
        one.size = "middling"
    assert (one.size, other.size) == ("large", "small")


@pytest.mark.parametrize(
    ("text", "code"),
    [("for: soap", Code.MISSING_KEY), ("size: 1\nheight: 2", Code.UNKNOWN_KEY), ("size: 1\nlid: {}", Code.MISSING_KEY)],
)
def test_every_fault_of_a_form_is_told(text: str, code: Code) -> None:
    """A key that is needed, one that is not known, and one that a part lacks."""
    with pytest.raises(BadInput) as bad:
        _box(text)
    assert [item.code for item in bad.value.diagnostics] == [code]


def test_the_schema_says_what_the_form_takes() -> None:
    """Which keys there are, under the names people write, which are needed, and what stands beside them."""
    made = json_schema(Box)
    assert set(made["properties"]) == {"size", "for", "lid"}
    assert made["required"] == ["size"]
    assert made["additionalProperties"] is False
    assert made["minProperties"] == 1
    assert made["properties"]["size"] == {"description": "How large it is.", "title": "Size", "type": "string"}
    assert made["properties"]["lid"]["required"] == ["made_of"]
