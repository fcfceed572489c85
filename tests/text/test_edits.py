"""Small changes of a YAML text: one entry changes, every other line stays to the letter, and what cannot be done is refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.text.edits import CannotEdit, entry_in, plain_of, put, taken_out, with_item, without_item

TEXT = """\
# A firm bar.
title: Bär ☂ {odd}
goals:  # what it must be
  Hardness: {at_least: 60}   # firm
  wear_life:
    at_least: 26  # lasts
    at_most: 40
  superfat: {between: [4 %, 6 %]}

# shares
shares:
    olive oil: "15 %"
free_from:
- palm   # none of it
- animal
fats: {at_most: 6, each_at_least: 4 %}
prefer:
"""
ORDER = ("title", "shelf", "batch", "goals", "shares", "free_from", "fats", "additives")


def changed(after: str, before: str = TEXT) -> list[str]:
    """The lines that are new, and those that are gone with a dash before them."""
    was, now = before.splitlines(), after.splitlines()
    return [f"-{line}" for line in was if line not in now] + [line for line in now if line not in was]


@pytest.mark.parametrize(
    ("path", "value", "lines"),
    [
        (
            ("goals", "hardness", "at_least"),
            "62",
            ["-  Hardness: {at_least: 60}   # firm", "  Hardness: {at_least: 62}   # firm"],
        ),
        (
            ("goals", "hardness", "at_most"),
            "70",
            ["-  Hardness: {at_least: 60}   # firm", "  Hardness: {at_least: 60, at_most: 70}   # firm"],
        ),
        (("goals", "wear_life", "at_least"), "28", ["-    at_least: 26  # lasts", "    at_least: 28  # lasts"]),
        (
            ("goals", "wear life"),
            "30",
            ["-  wear_life:", "-    at_least: 26  # lasts", "-    at_most: 40", "  wear_life: 30"],
        ),
        (("goals", "scum"), "{at_most: 70}", ["  scum: {at_most: 70}"]),
        (("shares", "olive oil"), "20 %", ['-    olive oil: "15 %"', "    olive oil: 20 %"]),
        (("shares", "castor oil"), "5 %", ["    castor oil: 5 %"]),
        (("additives", "salt"), "1 %", ["additives:", "  salt: 1 %"]),
        (("batch",), "{bars: 10}", ["batch: {bars: 10}"]),
        (("prefer",), "[mildness: 60]", ["-prefer:", "prefer: [mildness: 60]"]),
    ],
)
def test_one_entry_changes(path: tuple[str, ...], value: str, lines: list[str]) -> None:
    """What is put lies at its path, its neighbours and every comment stay."""
    assert changed(put(TEXT, path, value, ORDER)) == lines


def test_a_new_section_goes_to_its_place() -> None:
    """An outermost key goes behind those that it usually follows, or to the front."""
    text = put("shares:\n  olive oil: 5 %\n", ("goals", "hardness"), "60", ORDER)
    assert text == "goals:\n  hardness: 60\nshares:\n  olive oil: 5 %\n"


@pytest.mark.parametrize("text", ["", "# only a remark\n", "goals:\n", "goals:   # mine\n", "goals: {}\n"])
def test_what_is_empty_can_be_begun(text: str) -> None:
    """A file without entries, and a section without any, take the first."""
    assert plain_of(put(text, ("goals", "hardness"), "60"))["goals"] == {"hardness": "60"}


@pytest.mark.parametrize(
    ("path", "lines"),
    [
        (("goals", "hardness"), ["-  Hardness: {at_least: 60}   # firm"]),
        (("goals", "wear_life", "at_most"), ["-    at_most: 40"]),
        (("fats", "at_most"), ["-fats: {at_most: 6, each_at_least: 4 %}", "fats: {each_at_least: 4 %}"]),
        (("fats", "each_at_least"), ["-fats: {at_most: 6, each_at_least: 4 %}", "fats: {at_most: 6}"]),
        (("shares", "olive oil"), ["-shares:", '-    olive oil: "15 %"']),
        (("shares", "castor oil"), []),
        (("nothing",), []),
    ],
)
def test_one_entry_goes(path: tuple[str, ...], lines: list[str]) -> None:
    """What is taken out goes with its line, and a section that is left empty with it; what is not there changes nothing."""
    assert changed(taken_out(TEXT, path)) == lines


def test_items_come_and_go() -> None:
    """Lists in brackets, with dashes and of one bare value take an item and lose one."""
    assert changed(with_item(TEXT, "free_from", "nut")) == ["- nut"]
    assert changed(without_item(TEXT, "free_from", "Palm")) == ["-- palm   # none of it"]
    assert with_item("design: fade\n", "design", "fine swirl") == "design: [fade, fine swirl]\n"
    assert without_item("design: [fade, fine swirl]  # both\n", "design", "fade") == "design: [fine swirl]  # both\n"
    assert without_item("a: 1\ndesign: [fade]\n", "design", "fade") == "a: 1\n"
    assert without_item("a: 1\ndesign: fade\n", "design", "fade") == "a: 1\n"
    assert with_item("a: 1\n", "design", "fade") == "a: 1\ndesign: [fade]\n"
    assert with_item("design: []\n", "design", "fade") == "design: [fade]\n"


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("goals: [\n", ("goals", "hardness")),
        ("- a\n- b\n", ("goals", "hardness")),
        ("goals: 3\n", ("goals", "hardness")),
        ("a: &x {b: 1}\nc: *x\n", ("c", "b")),
        ("a: {b: 1}\na: {b: 2}\n", ("a", "b")),
    ],
)
def test_what_cannot_be_done_is_refused(text: str, path: tuple[str, ...]) -> None:
    """Faulty text, a list for a file, an entry of a figure, and a part that stands for another are left alone."""
    with pytest.raises(CannotEdit):
        put(text, path, "2")


def test_an_entry_is_taken_apart() -> None:
    """A line of advice comes apart into its key and what is to be written."""
    assert entry_in("hardness: {at_least: 58}") == ("hardness", "{at_least: 58}")
    assert entry_in('"odd: key": 5 %') == ("odd: key", "5 %")


KEYS = st.sampled_from(["hardness", "mildness", "olive oil", "castor oil"])
FIGURES = st.integers(0, 99).map(str)
FLOW = st.dictionaries(KEYS, FIGURES, min_size=1).map(
    lambda found: "{" + ", ".join(f"{k}: {v}" for k, v in found.items()) + "}"
)


@given(
    sections=st.dictionaries(st.sampled_from(["goals", "shares", "fats"]), FLOW, min_size=1),
    key=KEYS,
    value=FIGURES,
    as_block=st.booleans(),
)
@settings(max_examples=examples(40))
def test_putting_and_taking_out_come_back(sections: dict[str, str], key: str, value: str, *, as_block: bool) -> None:
    """What was put is there, nothing else is other than before, and taking a new entry out again gives the text back."""
    lines = []
    for name, flow in sections.items():
        lines.append(f"{name}: {flow}  # {name}")
        if as_block:
            inner = [f"  {part.strip()}  # kept" for part in flow.strip("{}").split(",")]
            lines[-1:] = [f"{name}:", *inner]
    text = "\n".join(lines) + "\n"
    section = next(iter(sections))
    before = plain_of(text)
    after = put(text, (section, key), value)
    assert plain_of(after) == {**before, section: {**before[section], key: value}}
    assert after.count("#") == text.count("#")
    assert key in before[section] or taken_out(after, (section, key)) == text
