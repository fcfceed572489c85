"""What a terminal may be shown of a text."""

from __future__ import annotations

import re
import shlex
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from optimiser.text.signs import ACTING, columns, excerpt, filled, for_shell, spelt, visible, wrapped

ANY = st.text(st.characters(), max_size=60)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("olive oil, crème · 石鹸 ±", "olive oil, crème · 石鹸 ±"),
        ("a\tb", "a b"),
        ("a\nb\r", "a\\nb\\r"),
        ("\x1b[2J\x07\x7f\x9b", "\\x1b[2J\\x07\\x7f\\x9b"),
        ("a\u202eb\u2066c\u200ed\u061c", "a<U+202E>b<U+2066>c<U+200E>d<U+061C>"),
        ("a\u200bb\u2060c\ufeffd\xade", "a<U+200B>b<U+2060>c<U+FEFF>d<U+00AD>e"),
        ("\u2028\u2029\ufff9\ue000", "<U+2028><U+2029><U+FFF9><U+E000>"),
        ("tag \U000e0041\U000e0101", "tag <U+E0041><U+E0101>"),
        ("\udcff", "<U+DCFF>"),
        ("x\u3164y", "x<U+3164>y"),
        ("👩\u200d🔬 ❤\ufe0f\u200d🔥", "👩\u200d🔬 ❤\ufe0f\u200d🔥"),
        ("می\u200cخواهم", "می\u200cخواهم"),
        ("oli\u200dve \u200doil\u200d", "oli<U+200D>ve <U+200D>oil<U+200D>"),
    ],
)
def test_what_acts_or_hides_is_spelt_out(text: str, shown: str) -> None:
    """Controls, marks of direction, signs without width and the like are seen; joiners pass where they join."""
    assert visible(text) == shown
    assert "".join(spelt(text)) == shown
    assert len(spelt(text)) == len(text)


@given(ANY)
def test_nothing_shown_acts(text: str) -> None:
    """Whatever the text, what is shown of it is one line without a sign that acts, joiners aside."""
    shown = visible(text)
    assert not {unicodedata.category(mark) for mark in shown if mark not in "\u200c\u200d"} & ACTING
    assert len(shown.splitlines()) <= 1
    assert shown.encode().decode() == shown


@given(ANY, ANY)
def test_words_of_ours_keep_their_lines(one: str, other: str) -> None:
    """Around names of others a text of ours keeps its own line breaks and no more."""
    assert filled("a {one}\nb {other}\n", one=one, other=other) == f"a {visible(one)}\nb {visible(other)}\n"


@pytest.mark.parametrize(
    ("text", "width"),
    [
        *(("plain", 5), ("é", 1), ("e\u0301", 1), ("石鹸 oil", 8), ("한국", 4), ("ｶﾅ", 2), ("Ａ", 2), ("𠀀", 2)),
        *(
            ("☀", 1),
            ("☀\ufe0f", 2),
            ("❤\ufe0f", 2),
            ("👩\u200d🔬", 2),
            ("👍🏽", 2),
            ("🇩🇪", 2),
            ("1\ufe0f\u20e3", 2),
            ("☰", 2),
        ),
    ],
)
def test_columns_are_those_of_a_terminal(text: str, width: int) -> None:
    """Wide letters take two columns, marks none, and a joined picture two (Unicode 16: UAX #11 and UTS #51)."""
    assert columns(text) == width


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\u200d"), max_size=40))
def test_no_text_is_wider_than_counted(text: str) -> None:
    """What is shown is nowhere wider than a reference library counts it (rich)."""
    assert columns(visible(text)) >= cell_len(visible(text))


@given(ANY, st.integers(0, 70), st.integers(0, 12), st.integers(12, 60))
def test_an_excerpt_fits_and_keeps_the_place(text: str, start: int, length: int, room: int) -> None:
    """An excerpt is no wider than its room, and the stretch stands where the parts before it say."""
    start = min(start, len(text))
    shown, left, marked = excerpt(text, start, min(start + length, len(text)), room)
    assert columns(shown) <= room
    assert shown.startswith((left + marked).rstrip())


def test_signs_at_the_end_of_a_line_are_counted_too() -> None:
    """Signs that are spelt out are no blanks at the end of a line: what they take is counted, in a room that is just too small."""
    shown, _, _ = excerpt("\x1f\U000e0000\r", 0, 0, 13)
    assert columns(shown) <= 13


def test_an_excerpt_of_a_long_line_is_short() -> None:
    """Of a line of a hundred thousand letters only what surrounds the fault is looked at and shown."""
    text = "x" * 50_000 + "HERE" + "y" * 50_000
    shown, left, marked = excerpt(text, 50_000, 50_004, 60)
    assert shown == f"{left}HERE{shown[len(left) + 4 :]}"
    assert marked == "HERE"
    assert len(shown) <= 60
    assert shown[0] == shown[-1] == "…"


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=60), st.integers(20, 60))
def test_wrapped_lines_fit(text: str, width: int) -> None:
    """Lines are as wide as they may be, unless one word alone is wider, and hold every word."""
    lines = wrapped(text, width, "  ")
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(columns(line) <= width or " " not in line.strip(" ") for line in lines)


@pytest.mark.parametrize(
    "path", ["a b.yaml", "it's", "a\x1b[31m'\\ä", "\u202egoals", "two\nlines", "\udcff.yaml", "tab\t"]
)
def test_a_path_to_copy_is_that_path(path: str) -> None:
    """A shell reads a path as written for it back as the same bytes, and nothing of it acts on the terminal."""
    written = for_shell(path)
    assert visible(written) == written
    if written.startswith("$'"):  # POSIX.1-2024, 2.2.4: \ddd is the byte of that octal value
        bare = written.removeprefix("$'").removesuffix("'").encode()
        assert b"'" not in bare
        read = re.sub(rb"\\([0-7]{3})", lambda found: bytes([int(found[1], 8)]), bare)
    else:
        (word,) = shlex.split(written)
        read = word.encode()
    assert read.decode("utf-8", "surrogateescape") == path
