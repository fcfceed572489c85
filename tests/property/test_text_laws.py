"""Laws of reading: what is written reads back, and no text whatever brings the reader down."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.files.goals import read_goals
from optimiser.files.recipe_file import read_recipe
from optimiser.files.shelf.shelf import read_shelf
from optimiser.maths.units import MASS
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.quantities import Misread, read_mass, read_money, read_number, read_share, write_number
from optimiser.text.render import render
from optimiser.text.signs import columns

GOALS = """\
title: Estuary swirl
batch: {bars: 36, cured_weight: 110 g}
goals:
  hardness: {at_least: 45, at_most: 65}
  trace_speed: slow
  superfat: {between: [3 %, 6 %]}
  cost: {at_most: 6.40 / kg}
shares:
  hard oils: {at_most: 55 %}
  castor oil: 5 %
free_from: [palm, animal]
fats: {at_most: 6, each_at_least: 4 %}
prefer:
  - mildness: {at_least: 60}
practice: {castor oil: 20 %}
"""
SHELF = """\
currency: EUR
fats:
  - fat: coconut oil
    price: 3.10 / kg
    packs: [{size: 5 kg, price: 14.90}]
    lot: {number: CO-1, saponification_value: 256.4}
  - {fat: mine, like: olive oil, price: 9 / kg, tags: [nut]}
alkalis: {sodium hydroxide: {price: 2 / kg, purity: 98 %}}
additives: [{additive: sugar, price: 1 / kg}]
"""
SHEET = 'fat;price;stock;packs;tags\ncoconut oil;3,10 / kg;18 kg;"5 kg=14,90";\nmine;3 / kg;;;nut\n'
RECIPE = "fats: {olive oil: 700 g, lard: 300 g}\nalkali: {NaOH: 135 g}\nwater: 280 g\nadditives: {sugar: 5 g}\n"

FILES: list[tuple[Callable[[Path], Any], str, str]] = [
    (read_goals, "a.yaml", GOALS),
    (read_shelf, "a.yaml", SHELF),
    (read_shelf, "a.csv", SHEET),
    (read_recipe, "a.yaml", RECIPE),
]
SCRAPS = st.one_of(
    st.text(max_size=6),
    st.sampled_from(
        [":", ": ", "- ", "\t", "\n", "{", "}", "[", "]", "'", '"', "#", "&a ", "*a", "!!x ", ">=", "|", "%", "@", "`"]
    ),
    st.sampled_from(
        [
            ",",
            ";",
            "\r\n",
            "\ufeff",
            "\u00a0",
            "\u200b",
            "-",
            "1e999",
            ".nan",
            "0.05",
            "1,5",
            "12:30",
            "---\n",
            "...\n",
            "<<: ",
        ]
    ),
    st.sampled_from(
        ["superfat: ", "at_least: ", "like: ", "between: ", "hard", "oil", " / kg", " %", " g", "\\", "\x00", "\x85"]
    ),
)
SIZES = st.one_of(st.just(0.0), st.floats(min_value=1e-12, max_value=1e12))  # what anyone would write down


def judge(read: Callable[[Path], Any], name: str, data: bytes) -> None:
    """Reads the data, and holds whatever is said of it to the laws of diagnostics."""
    found = faults_of(read, name, data)
    lines = as_lines(data)
    for item in found:
        assert item.message
        assert item.code
        for span in (item.span, *(span for _, span in item.notes)):
            if span is not None:
                assert 1 <= span.line <= len(lines)
                assert 1 <= span.column <= span.end_column <= len(span.text) + 2
                assert lines[span.line - 1].startswith(span.text.split("\ufffd")[0])
                assert "\ufffd" in span.text or span.text == lines[span.line - 1]
    places = [(item.span.line, item.span.column) if item.span else (0, 0) for item in found]
    assert places == sorted(places)
    assert "\x1b" not in render(found)


def faults_of(read: Callable[[Path], Any], name: str, data: bytes) -> tuple[Diagnostic, ...]:
    """What is wrong with a file of these bytes; nothing but `BadInput` may come of reading it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        try:
            read(path)
        except BadInput as bad:
            return bad.diagnostics or (Diagnostic(Code.USAGE, ""),)  # a refusal without a reason breaks the laws above
    return ()


def as_lines(data: bytes) -> list[str]:
    """The lines of a file as a person counts them."""
    text = data.decode("utf-8-sig", errors="replace").replace("\r\n", "\n")
    for mark in ("\r", "\x85", "\u2028", "\u2029"):
        text = text.replace(mark, "\n")
    return text.split("\n")


@pytest.mark.parametrize(("read", "name", "text"), FILES)
@settings(max_examples=examples(100), deadline=None)
@given(data=st.data())
def test_random_edits_give_an_answer_or_plain_faults(
    read: Callable[[Path], Any], name: str, text: str, data: st.DataObject
) -> None:
    """However a good file is damaged, it reads or it is refused with every span inside the file."""
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = data.draw(st.integers(start, min(len(text), start + 8)))
        text = text[:start] + data.draw(SCRAPS) + text[end:]
    judge(read, name, text.encode("utf-8", errors="replace"))


@pytest.mark.parametrize(("read", "name"), [(read, name) for read, name, _ in FILES])
@settings(max_examples=examples(80), deadline=None)
@given(text=st.one_of(st.text(max_size=200), st.lists(SCRAPS, max_size=30).map("".join)))
def test_random_text_gives_plain_faults(read: Callable[[Path], Any], name: str, text: str) -> None:
    """No text brings the reader down."""
    judge(read, name, text.encode("utf-8", errors="replace"))


@settings(max_examples=examples(100), deadline=None)
@given(data=st.binary(max_size=200))
def test_random_bytes_give_plain_faults(data: bytes) -> None:
    """Nor do bytes that are no text."""
    judge(read_goals, "a.yaml", data)
    judge(read_shelf, "a.csv", data)


@given(SIZES)
def test_numbers_read_back(value: float) -> None:
    """A figure that was written reads back as itself, above and below nothing."""
    assert read_number(write_number(value)).value == value
    assert read_number(write_number(-value)).value == -value


@given(st.floats(min_value=1e-6, max_value=1e6), st.sampled_from(sorted(MASS)), st.sampled_from(["", " ", "\u202f"]))
def test_masses_read_back(value: float, unit: str, blank: str) -> None:
    """A mass in any unit reads as its kilograms, glued or not."""
    assert read_mass(f"{write_number(value)}{blank}{unit}") == value * MASS[unit]


@given(SIZES)
def test_shares_read_back_with_their_sign(value: float) -> None:
    """A share with its sign reads back as itself, however small."""
    assert read_share(f"{write_number(value)} %").value == value


@given(SIZES, st.sampled_from(["kg", "lb", "bar"]), st.sampled_from(["", "EUR ", "€"]))
def test_prices_read_back(value: float, per: str, currency: str) -> None:
    """A price reads back with what it is for."""
    money = read_money(f"{currency}{write_number(value)} / {per}")
    assert (money.amount, money.per, money.currency) == (value, per, currency.strip())


@given(st.text(max_size=30))
def test_any_text_is_a_figure_or_a_misreading(text: str) -> None:
    """The readers of figures give a figure, or raise their own fault with a code and a sentence."""
    for read in (read_number, read_mass, read_share, read_money):
        try:
            found: object = read(text)
        except Misread as fault:
            found = fault.code
        assert found is not None
        assert found != ""


@given(st.text(max_size=60))
def test_columns_of_a_text(text: str) -> None:
    """A text takes at most two columns for each letter, and never less than none."""
    assert 0 <= columns(text) <= 2 * len(text)
