"""Files as makers write them, changed: only the named entry is other than before, and no remark of another entry is lost."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.text.edits import put, taken_out, with_item, without_item

BLANK = "\u00a0"
REMARK = re.compile(r"# (\w+)")


@pytest.mark.parametrize(
    ("text", "path", "value", "after"),
    [
        ("title: |\n  My bar\ngoals: {}\n", ("batch",), "3", "title: |\n  My bar\nbatch: 3\ngoals: {}\n"),
        ("title: >-\n  My\n  bar\n\ngoals: {}\n", ("title",), "New", "title: New\n\ngoals: {}\n"),
        ("a: 1\ntitle: |+\n  My\n\n", ("batch",), "3", "a: 1\ntitle: |+\n  My\n\nbatch: 3\n"),
        (f"goals:\n  hardness:{BLANK}60\n", ("goals", "hardness"), "62", f"goals:\n  hardness:{BLANK}62\n"),
        (f"goals:\n{BLANK * 2}hardness: 60\n", ("goals", "hardness"), "62", f"goals:\n{BLANK * 2}hardness: 62\n"),
    ],
)
def test_long_texts_and_odd_blanks_are_no_hindrance(text: str, path: tuple[str, ...], value: str, after: str) -> None:
    """A text over several lines is passed or exchanged whole, and a blank that no key of the keyboard gives is one."""
    assert put(text, path, value, ("title", "batch", "goals")) == after


def test_a_list_of_more_than_words_loses_none() -> None:
    """A list with something else than a word in it is looked through all the same."""
    assert without_item("free_from:\n  - {a: 1}\n  - palm\n", "free_from", "palm") == "free_from:\n  - {a: 1}\n"
    assert with_item("free_from:\n  - |\n    palm\na: 1\n", "free_from", "soy") == (
        "free_from:\n  - |\n    palm\n  - soy\na: 1\n"
    )


FLOW = "goals: {{\n  hardness: 60,  # firm\n  # about mildness\n  mildness: 50{}  # mild\n}}\n"


@pytest.mark.parametrize("comma", ["", ","])
def test_remarks_in_braces_stay(comma: str) -> None:
    """An entry in braces over several lines goes without the remarks of its neighbours."""
    text = FLOW.format(comma)
    assert (
        taken_out(text, ("goals", "hardness")) == f"goals: {{\n  # about mildness\n  mildness: 50{comma}  # mild\n}}\n"
    )
    assert "# firm\n" in taken_out(text, ("goals", "mildness"))


KEYS = ("hardness", "mildness", "olive oil", "Castor Oil", "Bär ☂", "😀")
VALUES = ("60", "'60'", '"60 %"', "{at_least: 5}", "[4 %, 6 %]", ">-\n      long\n      text", "|\n      kept\n")


@st.composite
def sections(draw: st.DrawFn) -> tuple[str, dict[str, list[str]]]:
    """A file of sections in blocks and braces, each entry with a remark of its own, and the keys of each section."""
    names = draw(st.lists(st.sampled_from(["goals", "shares", "fats"]), min_size=1, unique=True))
    lines, keys, number = ["# head", "title: A bar  # title"], {}, 0
    for name in names:
        inner = draw(st.lists(st.sampled_from(KEYS), min_size=1, unique=True))
        keys[name] = inner
        in_braces = draw(st.booleans())
        lines.append(f"{name}: {{" if in_braces else f"{name}:  # {name}")
        for place, key in enumerate(inner):
            value = draw(st.sampled_from(VALUES[:5] if in_braces else VALUES))
            comma = "," if in_braces and (place + 1 < len(inner) or draw(st.booleans())) else ""
            head, _, rest = value.partition("\n")
            lines.append(f"    {key}: {head}{comma}  # r{number}{chr(10) + rest if rest else ''}".rstrip("\n"))
            number += 1
        if in_braces:
            lines.append(f"}}  # end{name}")
        if draw(st.booleans()):
            lines.append("")
    return "\n".join(lines) + draw(st.sampled_from(["\n", "", "\n\n", "\n# foot\n"])), keys


@given(written=sections(), data=st.data())
@settings(max_examples=examples(60))
def test_no_remark_of_another_entry_is_lost(written: tuple[str, dict[str, list[str]]], data: st.DataObject) -> None:
    """An entry set, put in or taken out leaves every other remark in its order; `put` and `taken_out` read the rest back themselves."""
    text, keys = written
    section = data.draw(st.sampled_from(sorted(keys)))
    key = data.draw(st.sampled_from(keys[section]))
    order = REMARK.findall(text)
    own = re.search(rf"^ +{re.escape(key)}: .*# (r\d+)", text[text.index(f"\n{section}:") :], re.MULTILINE)
    assert own is not None
    new = put(text, (section, "wear life"), "{at_most: 3}")
    assert REMARK.findall(new) == order
    found = [one for one in REMARK.findall(put(text, (section, key), "7")) if one != own[1]]
    assert found == [one for one in order if one != own[1]]
    if len(keys[section]) > 1:
        left = [one for one in REMARK.findall(taken_out(text, (section, key))) if one != own[1]]
        assert left == [one for one in order if one != own[1]]
