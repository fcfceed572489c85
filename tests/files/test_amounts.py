"""How much of an additive or a liquid, in the ways in which makers say it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.files.amounts import read_amount
from optimiser.files.goals import read_goals
from optimiser.problem.goals import GoalSheet
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.quantities import Misread, write_number


def read(folder: Path, text: str) -> GoalSheet:
    """The goals in a text."""
    path = folder / "bar.yaml"
    path.write_text(text, encoding="utf-8")
    return read_goals(path)


def fault(folder: Path, text: str) -> Diagnostic:
    """The one thing wrong with a text."""
    with pytest.raises(BadInput) as caught:
        read(folder, text)
    (found,) = caught.value.diagnostics
    return found


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        *(("2 %", 2.0, "%"), ("2", 2.0, "%"), ("0.5 per cent", 0.5, "%")),
        *(("30 g", 30.0, "g"), ("1.2 kg", 1200.0, "g"), ("1 oz", 28.349523125, "g"), ("2 ounces", 56.69904625, "g")),
        *(("10 g / kg", 10.0, "g/kg"), ("10g/kg", 10.0, "g/kg"), ("10 g per kg of fats", 10.0, "g/kg")),
        *(
            ("0.5 oz / lb", 31.25, "g/kg"),
            ("5 g / 500 g", 10.0, "g/kg"),
            ("16 g per pound of oils", 35.2739619, "g/kg"),
        ),
    ],
)
def test_an_amount_is_read(text: str, value: float, unit: str) -> None:
    """A share, a mass in the batch, or a mass for a kilo of fats (1 oz = 28.349523125 g, 1 lb = 453.59237 g, by definition)."""
    amount = read_amount(text, "kaolin")
    assert amount.value == pytest.approx(value)
    assert amount.unit == unit


@given(st.floats(0.01, 60.0).map(lambda value: round(value, 3)), st.sampled_from(["g", "oz", "g / kg", "oz / lb", "%"]))
def test_what_is_told_reads_back(value: float, unit: str) -> None:
    """An amount is told back as it was written, and reads as the same."""
    amount = read_amount(f"{write_number(value)} {unit}", "kaolin")
    assert amount.told == f"{write_number(value)} {unit}"
    assert read_amount(amount.told, "kaolin") == amount


def test_what_is_told_keeps_the_mass_of_fats_that_it_is_for() -> None:
    """Where grams are told for more or less than a kilo of fats, they are told back so; 4 kg for a kilo is the most."""
    assert read_amount("5 g / 500 g", "kaolin").told == "5 g / 500 g"
    assert read_amount("4000 g / kg", "kaolin").value == 4000.0
    with pytest.raises(Misread):
        read_amount("4000.5 g / kg", "kaolin")
    assert read_amount("100000 kg", "kaolin").value == 1e8
    with pytest.raises(Misread):
        read_amount("100000.0005 kg", "kaolin")


@pytest.mark.parametrize(
    "text", ["1 tbsp", "2 tsp / kg", "3 drops", "1 teaspoon", "a", "5 ml", "1 cup", "2 heaped tablespoons"]
)
def test_spoons_are_to_be_weighed(text: str) -> None:
    """A spoon or a drop is no mass, and no figure for it is made up."""
    with pytest.raises(Misread) as caught:
        read_amount(text, "kaolin")
    assert text == "a" or "weigh" in caught.value.help
    assert not any(f"write {figure} " in caught.value.help for figure in (1, 2, 3, 5))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        *(
            ("0.05", "share-or-fraction"),
            ("20 ppm", "wrong-unit"),
            ("3 cm", "wrong-unit"),
            ("5000 g / kg", "out-of-range"),
        ),
        *(("-3 g", "out-of-range"), ("", "no-figure"), ("10 g / bar", "wrong-unit"), ("10 g / 0 kg", "wrong-unit")),
    ],
)
def test_what_is_no_amount_is_refused(text: str, code: str) -> None:
    """A share that may be a fraction, other units, and masses that cannot be."""
    with pytest.raises(Misread) as caught:
        read_amount(text, "kaolin")
    assert caught.value.code == code


def test_every_side_takes_every_unit(tmp_path: Path) -> None:
    """Exactly, at least, at most and between, each in its own unit."""
    sheet = read(
        tmp_path,
        "additives:\n  kaolin: 30 g\n  mica: {at_least: 5 g / kg, at_most: 30 g}\n  salt: {between: [10 g, 1 oz]}\n"
        "liquids: {goat milk: 50 %, beer: {at_most: 100 g}}\n",
    )
    told = [(limit.key, str(limit.side), limit.value, limit.unit) for limit in (*sheet.additives, *sheet.liquids)]
    assert told == [
        ("kaolin", "exactly", 30.0, "g"),
        ("mica", "at_least", 5.0, "g/kg"),
        ("mica", "at_most", 30.0, "g"),
        ("salt", "at_least", 10.0, "g"),
        ("salt", "at_most", pytest.approx(28.349523125), "g"),
        ("goat milk", "exactly", 50.0, "%"),
        ("beer", "at_most", 100.0, "g"),
    ]
    assert str(sheet.additives[1].said) == "mica at least 5 g / kg"


def test_sides_in_one_unit_are_in_order(tmp_path: Path) -> None:
    """Between 30 g and 10 g lies nothing."""
    assert fault(tmp_path, "additives: {kaolin: {at_least: 30 g, at_most: 10 g}}\n").code == "contradiction"


@pytest.mark.parametrize(
    ("least", "batch", "most"),
    [
        ("30 g", "fats: 500 g", 6.0),
        ("10 g / kg", "bars: 12", 5.0),
        ("80 g / kg", "bars: 12", 8.0),
        ("30 g", "bars: 12", 5.0),
    ],
)
def test_a_mass_without_an_end_goes_no_further_than_is_usual(
    tmp_path: Path, least: str, batch: str, most: float
) -> None:
    """The usual most in per cent stands beside it, or what was asked for where that is more and can be told in per cent."""
    sheet = read(tmp_path, f"batch: {{{batch}}}\nadditives: {{kaolin: {{at_least: {least}}}}}\n")
    (end,) = [limit for limit in sheet.additives if limit.side == "at_most"]
    assert end.unit == "%"
    assert end.value == pytest.approx(most)


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("liquids: {gaot milk: 50 %}", "unknown-liquid", "goat milk"),
        ("liquids: {kaolin: 5 %}", "unknown-liquid", "it stands under 'additives'"),
        ("liquids: {water: 50 %}", "unknown-liquid", "plain water"),
        ("liquids: {moon dew: 50 %}", "unknown-liquid", "barwright additives"),
        ("additives: {goat milk: 5 %}", "unknown-additive", "liquids"),
        ("additives: {moon dust: 5 %}", "unknown-additive", "barwright additives"),
        ("may_use: [goat milk]", "unknown-lever", "liquids"),
        ("liquids: {goat milk: 60 %, beer: 50 %}", "too-much", "100 %"),
    ],
)
def test_names_that_do_not_belong_are_told(tmp_path: Path, text: str, code: str, words: str) -> None:
    """A short help: the nearest names, the section where a name belongs, or the command that lists them."""
    found = fault(tmp_path, f"{text}\n")
    assert found.code == code
    assert words in found.help
    assert len(found.help) < 140
