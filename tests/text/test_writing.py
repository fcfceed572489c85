"""YAML as we write it: whatever the text, it reads back as itself."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from optimiser.text.diagnostics import BadInput
from optimiser.text.nodes import Text
from optimiser.text.source import decode, parse_yaml
from optimiser.text.writing import lines, nameable, scalar

ODD = (
    *(
        "butter #2",
        "house: olive",
        "[x]",
        "@home",
        "'q'",
        '"q"',
        "- x",
        "-",
        "? x",
        "?",
        "! x",
        "&a",
        "*a",
        "%x",
        "`x`",
    ),
    *("no", "No", "y", "1e3", "1_000", "~", "null", "NULL", "a: b", "a:", ":a", "=", "<<", "0x1F", "12:30", ".5", "5."),
    *(
        "2026-11-25",
        "2026-11-25 10:00:00",
        ".nan",
        "-.inf",
        "+1",
        "010",
        "true",
        "{a}",
        "a, b",
        "a # b",
        "#",
        "---",
        "...",
    ),
    *(
        "| x",
        "> x",
        " x",
        "x ",
        "  ",
        "",
        "\t",
        "a\tb",
        "a\nb",
        "\n",
        "a\r\nb",
        "\x00",
        "\x07",
        "\x1b[31m",
        "\x7f",
        "\x85",
    ),
    *(
        "\xa0x",
        "\u2028",
        "\ufeffx",
        "a\u200bb",
        "\u202ex",
        "\ue000",
        "\uffff",
        "\U000e0041",
        "\U0010ffff",
        "🧼",
        "👩\u200d🔬",
    ),
    *(
        'it\'s "both"',
        "back\\slash",
        "\\n",
        "crème brûlée",
        "石鹸",
        "می\u200cخواهم",
        "C18:1",
        "5 %",
        "700 g",
        "3.10 / kg",
    ),
)
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)


@pytest.mark.parametrize("text", ODD)
@pytest.mark.parametrize(
    "frame", ["{}: 1\n", "k: {}\n", "k: {{a: {}, b: 1}}\n", "k: [{}]\n", "- {}\n", "  {}: {{x: 1}}\n"]
)
def test_odd_texts_read_back(frame: str, text: str) -> None:
    """Every text that YAML would take for something else is itself again, as a key and a value, to two readers."""
    written = frame.format(scalar(text))
    assert text in leaves(yaml.safe_load(written))
    assert text in ours(written)


@given(TEXTS, TEXTS)
@example("<<", "=")
def test_any_text_reads_back(key: str, value: str) -> None:
    """No text whatever is changed by being written and read."""
    written = "".join(f"{line}\n" for line in lines({"above": {key: value}, "below": value}))
    assert yaml.safe_load(written) == {"above": {key: value}, "below": value}
    if key.strip():  # a key of blanks is refused when a file is read
        source = parse_yaml(decode(written.encode(), "f.yaml"), "f.yaml")
        assert source.faults == ()
        assert source.root == {"above": {key: value}, "below": value}


@given(st.text(max_size=60))
def test_what_is_written_is_one_line_that_hides_nothing(text: str) -> None:
    """A line that is pasted is one line of signs that are seen, and can be saved."""
    written = scalar(text)
    assert written.encode()
    assert len(written.splitlines()) == 1
    assert not any(mark in written for mark in "\u202e\u2066\u200b\x1b\x07\ufeff\u2028\u200e")


@pytest.mark.parametrize(
    "text", ["olive oil", "hard oils", "C18:1", "worst_case_superfat", "crème", "5 %", "700 g", "3.10 / kg"]
)
def test_plain_names_stay_plain(text: str) -> None:
    """Where nothing can be mistaken there are no quotes."""
    assert scalar(text) == text


def test_what_a_file_cannot_hold_is_spelt_out_or_refused() -> None:
    """A byte that is no UTF-8 is told as such in a title, and as a path it is refused in words."""
    assert yaml.safe_load(scalar("a\udcffb")) == "a<U+DCFF>b"
    with pytest.raises(BadInput, match="not UTF-8"):
        nameable("a\udcff.yaml")


def leaves(tree: object) -> list[object]:
    """Every key and value of a tree."""
    if isinstance(tree, dict):
        return [leaf for key, value in tree.items() for leaf in (key, *leaves(value))]
    return [leaf for value in tree for leaf in leaves(value)] if isinstance(tree, list) else [tree]


def ours(written: str) -> list[str]:
    """The same of what our own reader finds; a key of blanks, which it refuses, counts as read."""
    source = parse_yaml(decode(written.encode(), "f.yaml"), "f.yaml")
    refused = [fault for fault in source.faults if fault.code == "odd-key"]
    assert len(refused) == len(source.faults), source.faults
    told = [str(leaf) for leaf in leaves(source.root) if isinstance(leaf, Text)]
    return told + [str(yaml.safe_load(fault.span.text).popitem()[0]) for fault in refused if fault.span]
