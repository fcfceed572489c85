"""YAML text into nodes: what is kept, what is refused, and where it is said to stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import yaml

from optimiser.text import source
from optimiser.text.diagnostics import BadInput
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.source import Source, parse_yaml, read_text, read_yaml

if TYPE_CHECKING:
    from pathlib import Path

LOADERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if hasattr(yaml, "CSafeLoader") else [])]


@pytest.fixture(params=LOADERS, ids=lambda loader: str(loader.__name__), autouse=True)
def _both_loaders(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test here holds for the reader in C and for the one in Python."""
    monkeypatch.setattr(source, "LOADER", request.param)


def codes(read: Source) -> list[str]:
    """The kinds of all faults."""
    return [item.code for item in read.faults]


def where(read: Source) -> list[tuple[int, int]]:
    """Line and column of all faults."""
    return [(item.span.line, item.span.column) for item in read.faults if item.span]


def at(node: Node | None, key: str) -> Node:
    """What stands under a key."""
    assert isinstance(node, Table)
    return {str(word): value for word, value in node.items()}[key]


def test_scalars_stay_the_text_that_was_written() -> None:
    """No word is taken for a truth, a date, a number or a time of YAML's own."""
    written = [
        "NO",
        "yes",
        "on",
        "12:30",
        "010",
        "1e3",
        "20%",
        "<= 20%",
        ".nan",
        "0x1F",
        "2024-05-01",
        "~",
        "null",
        "=",
    ]
    read = parse_yaml("\n".join(f"k{place}: {word}" for place, word in enumerate(written)), "f")
    assert read.faults == ()
    assert isinstance(read.root, Table)
    assert list(read.root.values()) == written


def test_every_key_and_value_knows_its_place() -> None:
    """Spans of keys, values, lists and mappings are those of the text."""
    read = parse_yaml("goals:\n  hardness: {at_least: 45}  # firm\n  trace: 'slow'\nfree: [a, b]\n", "f")
    assert isinstance(read.root, Table)
    goals = at(read.root, "goals")
    assert isinstance(goals, Table)
    key = next(iter(goals))
    assert (key.span.line, key.span.column, key.span.end_column) == (2, 3, 11)
    assert key.span.text == "  hardness: {at_least: 45}  # firm"
    limit = at(goals, "hardness")
    assert isinstance(limit, Table)
    assert (limit.span.column, limit.span.end_column) == (13, 27)
    trace = at(goals, "trace")
    assert isinstance(trace, Text)
    assert (trace, trace.quoted, str(trace.span)) == ("slow", True, "f:3:10")
    free = at(read.root, "free")
    assert isinstance(free, Row)
    assert [str(item.span) for item in free] == ["f:4:8", "f:4:11"]


def test_a_repeated_key_is_refused_with_both_lines() -> None:
    """The second of two equal keys is a fault, and a note shows the first."""
    read = parse_yaml("a: 1\nb: 2\na: 3\n", "f")
    assert codes(read) == ["repeated-key"]
    assert where(read) == [(3, 1)]
    (_, first), *_ = read.faults[0].notes
    assert first is not None
    assert first.line == 1


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("goals:\n  hardness: >=45\n", "greater-than", (2, 13)),
        ("goals:\n  hardness: > 45\n  b: 5\n", "greater-than", (2, 13)),
        ("goals: {hardness: >=45}\n", "greater-than", (1, 19)),
        ("goals:\n  hardness:\n    >= 45\n", "greater-than", (3, 5)),
        ("goals:\n\thardness: 45\n", "tab", (2, 1)),
        ("goals:\n  \thardness: 45\n", "tab", (2, 3)),
        ("shares:\n  olive oil: %5\n", "reserved-mark", (2, 14)),
        ("a: @x\n", "reserved-mark", (1, 4)),
        ("a: `x`\n", "reserved-mark", (1, 4)),
        ("a: & b\n", "reserved-mark", (1, 4)),
        ("a: *x\n", "unknown-alias", (1, 4)),
        ('title: "abc\ngoals:\n  a: 5\n', "open-quote", (1, 8)),
        ("b: 'abc\n", "open-quote", (1, 4)),
        ('a: "x" y\n', "after-quote", (1, 8)),
        ('a: "C:\\dir"\n', "backslash", (1, 7)),
        ("goals: {hardness: 45\nshares: {a: 5}\n", "open-bracket", (1, 8)),
        ("free_from: [palm, animal\nfats: {at_most: 6}\n", "open-bracket", (1, 12)),
        ("a: {b: 5}}\n", "stray-bracket", (1, 10)),
        ("a: {b: 5 c: 6}\n", "missing-comma", (1, 11)),
        ("goals:\n  hardness:45\n  trace_speed: slow\n", "glued-colon", (2, 11)),
        ("prefer:\n  -mildness: 60\n  - b: 5\n", "glued-dash", (2, 3)),
        ("title: Bar: best\n", "second-colon", (1, 11)),
        ("goals:\n  hardness\n  trace_speed: slow\n", "missing-colon", (2, 3)),
        ("goals:\n  a: 5\n   b: 6\n", "indent", (3, 4)),
        ("goals:\n    a: 5\n  b: 6\n", "indent", (3, 3)),
        ("a: !x 5\n", "tag", (1, 4)),
        ("a: !!python/object:os.system [x]\n", "tag", (1, 4)),
        ("{{ a }}: 5\n", "odd-key", (1, 1)),
        (": 5\n", "odd-key", (1, 1)),
        ("a: {<<: {b: 1}}\n", "merge-key", (1, 5)),
        ("a: 1\n---\nb: 2\n", "several-documents", (2, 1)),
        ("a: 1\n...\nb: 2\n", "not-yaml", (3, 1)),
        ("", "empty-file", (1, 1)),
        ("\n# nothing but this\n", "empty-file", (1, 1)),
    ],
)
def test_each_slip_is_told_by_its_own_name_and_place(text: str, code: str, place: tuple[int, int]) -> None:
    """A common slip of YAML gives one diagnostic of its own kind, where the slip stands."""
    read = parse_yaml(text, "f")
    assert codes(read)[0] == code
    assert where(read)[0] == place
    assert all(item.message and "scanning" not in item.message and "token" not in item.message for item in read.faults)


def test_help_says_what_to_write_for_a_sign() -> None:
    """A '>=' that YAML trips over is answered with the figure that stood there."""
    help_ = parse_yaml("hardness: >=45\n", "f").faults[0].help
    assert "{at_least: 45}" in help_
    assert '">= 45"' in help_
    assert parse_yaml("share: %5\n", "f").faults[0].help.endswith("5 %")


def test_reading_goes_on_after_a_slip() -> None:
    """One file's slips of writing are told together, and what could be read is there."""
    read = parse_yaml('a: >=45\nb: @x\nc: "open\nd: {e: 5\nf: 6\n', "f")
    assert codes(read) == ["greater-than", "reserved-mark", "open-quote", "open-bracket"]
    assert isinstance(read.root, Table)
    assert list(read.root) == ["a", "b", "c", "d", "f"]
    assert read.mended == {2, 3}


def test_blanks_of_other_kinds_are_read_as_blanks() -> None:
    """A no-break or thin blank and a tab inside a line part words as a plain blank does."""
    read = parse_yaml("a:\u00a05\n\u00a0\nb:\t6\nc:\u202f1\u2009000\n", "f")
    assert read.faults == ()
    assert read.root == {"a": "5", "b": "6", "c": "1 000"}


def test_invisible_marks_are_dropped_from_names() -> None:
    """A zero-width blank in a name does not make it another name."""
    assert parse_yaml("olive\u200b oil: 5\n", "f").root == {"olive oil": "5"}


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r", "\u2028"])
def test_any_line_break_and_a_byte_order_mark_are_taken(tmp_path: Path, ending: str) -> None:
    """Lines count the same whatever ends them, and a byte order mark is no part of the first key."""
    path = tmp_path / "a.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + f"a: 1{ending}b: @{ending}".encode())
    read = read_yaml(path)
    assert where(read) == [(2, 4)]
    assert at(read.root, "a") == "1"


def test_depth_and_aliases_are_bounded() -> None:
    """Deep nesting, a cycle and an alias bomb are refused quickly."""
    for deep in ("[" * 500, "goals: " + "[" * 5000 + "\n", "goals: " + "{" * 5000 + "\n", "- " * 5000 + "\n"):
        assert codes(parse_yaml(deep, "f")) == ["too-deep"]
    assert codes(parse_yaml("a: &x [*x]\n", "f")) == ["alias-cycle"]
    bomb = "a: &a [1,2,3,4,5,6,7,8,9,10]\n" + "".join(
        f"{to}: &{to} [{','.join([f'*{of}'] * 10)}]\n" for of, to in zip("abcdef", "bcdefg", strict=True)
    )
    assert codes(parse_yaml(bomb, "f")) == ["too-many-aliases"]
    assert codes(parse_yaml("a: [" + "1," * 1500 + "1]\n", "f")) == ["too-many-entries"]
    small = parse_yaml("a: &x {b: 5}\nc: *x\n", "f")
    assert small.faults == ()
    assert small.root == {"a": {"b": "5"}, "c": {"b": "5"}}


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"a" * (1 << 20) + b"b", "too-large"),
        (b"\xff\xfea\x00", "not-utf-8"),
        (b"title: Oliven\xf6l\n", "not-utf-8"),
        (b"a: \x00\n", "not-text"),
        (b"\x89PNG\r\n\x1a\n", "not-utf-8"),
    ],
)
def test_what_is_no_text_is_refused(tmp_path: Path, data: bytes, code: str) -> None:
    """Too much, other encodings and binary files are told apart in plain words."""
    path = tmp_path / "a.yaml"
    path.write_bytes(data)
    with pytest.raises(BadInput) as caught:
        read_text(path)
    assert [item.code for item in caught.value.diagnostics] == [code]


def test_bad_bytes_are_shown_where_they_stand(tmp_path: Path) -> None:
    """A byte that is no UTF-8 has a line and a column."""
    path = tmp_path / "a.yaml"
    path.write_bytes("a: é\nb: Oliven".encode() + b"\xf6l\n")
    with pytest.raises(BadInput) as caught:
        read_text(path)
    span = caught.value.diagnostics[0].span
    assert span is not None
    assert (span.line, span.column) == (2, 10)


def test_missing_files_and_folders_are_told(tmp_path: Path) -> None:
    """A path that leads nowhere, or to a folder, is a plain fault; near names are offered."""
    (tmp_path / "summer.yaml").write_text("a: 1\n", encoding="utf-8")
    for path, code in (
        (tmp_path / "sumer.yaml", "no-such-file"),
        (tmp_path, "folder"),
        (tmp_path / "\0", "unreadable"),
    ):
        with pytest.raises(BadInput) as caught:
            read_text(path)
        assert [item.code for item in caught.value.diagnostics] == [code]
        if code == "no-such-file":
            assert "summer.yaml" in caught.value.diagnostics[0].help
