"""What may be bought and what is to be least, as a goal file says it; minimum orders and price breaks, as a shelf does."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.files.doubts import shelf_warnings
from optimiser.files.goals import read_goals
from optimiser.files.shelf.shelf import read_shelf
from optimiser.problem.buying import Break, Buy, Buying
from optimiser.text.diagnostics import BadInput

GOALS = "goals: {hardness: {at_least: 40}}\n"


def goals(folder: Path, text: str) -> Buying | None:
    """What a goal file with these lines says of buying."""
    path = folder / "bar.yaml"
    path.write_text(text + GOALS, encoding="utf-8")
    return read_goals(path).buying


@pytest.mark.parametrize(
    ("text", "buy", "left"),
    [
        ("buy: packs\n", Buy.PACKS, 1.0),
        ("buy: none\n", Buy.NONE, 1.0),
        ("buy: no\n", Buy.NONE, 1.0),
        ("Buy: Any\n", Buy.ANY, 1.0),
        ("aim: least cash\n", Buy.ANY, 0.0),
        ("buy: packs\naim: least_cash\n", Buy.PACKS, 0.0),
        ("buy: packs\naim: cheapest to make\n", Buy.PACKS, 1.0),
        ("aim: {least cash: {left counts: 80 %}}\n", Buy.ANY, 0.8),
    ],
)
def test_both_are_read(text: str, buy: Buy, left: float, tmp_path: Path) -> None:
    """Without `buy` anything may be bought, without `aim` what is used counts."""
    found = goals(tmp_path, text)
    assert found is not None
    assert found.buy == buy
    assert found.left_counts == pytest.approx(left)


def test_a_file_that_says_nothing_asks_nothing(tmp_path: Path) -> None:
    """Without either, stocks are what they always were."""
    assert goals(tmp_path, "") is None


@pytest.mark.parametrize(
    ("text", "code", "help_"),
    [
        ("buy: pakcs\n", "unknown-word", "packs"),
        ("buy: [packs]\n", "wrong-shape", ""),
        ("aim: cheapest\n", "unknown-word", "cheapest to make"),
        ("aim: {least cash: {left counts: 0.8}}\n", "share-or-fraction", "80 %"),
        ("aim: {least cash: {left counts: 120 %}}\n", "out-of-range", "from 0 %"),
        ("aim: {least cash: 80 %}\n", "wrong-shape", "left counts: 80 %"),
        ("aim: {most cash: {left counts: 80 %}}\n", "wrong-shape", "aim: least cash"),
        ("aim: {least cash: {left: 80 %}}\n", "wrong-shape", "left counts: 80 %"),
    ],
)
def test_faults_are_told_in_words(text: str, code: str, help_: str, tmp_path: Path) -> None:
    """What is wrong, and what to write instead."""
    with pytest.raises(BadInput) as fault:
        goals(tmp_path, text)
    (found,) = fault.value.diagnostics
    assert found.code == code
    assert help_ in found.help
    assert found.span is not None
    assert found.span.line in (1, 2)


ENTRY = "fats: [{{fat: lard, price: 3.00 / kg, {}}}]\n"


def shelf(folder: Path, text: str, name: str = "shelf.yaml") -> Path:
    """A file with this text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_minimum_orders_and_breaks_are_the_same_from_both_kinds_of_file(tmp_path: Path) -> None:
    """YAML and a spreadsheet, in kilos and pounds, breaks in order of weight."""
    yaml = ENTRY.format(
        "minimum_order: 5 kg, breaks: [{from: 100 kg, price: 2.00 / kg}, {from: 50 kg, price: 2.40 / kg}]"
    )
    (one,) = read_shelf(shelf(tmp_path, yaml)).fats
    csv = "fat,price,minimum order,breaks\nlard,3.00,5 kg,50 kg=2.40; 100 kg=2.00\n"
    (other,) = read_shelf(shelf(tmp_path, csv, "shelf.csv")).fats
    assert one.minimum_order_kg == other.minimum_order_kg == 5.0
    assert one.breaks == other.breaks == (Break(50.0, 2.40), Break(100.0, 2.00))
    pounds = ENTRY.format("minimum_order: 10 lb, breaks: [{from: 100 lb, price: 1.00 / lb}]")
    (third,) = read_shelf(shelf(tmp_path, pounds)).fats
    assert third.minimum_order_kg == pytest.approx(4.5359237)
    assert third.breaks[0].from_kg == pytest.approx(45.359237)
    assert third.breaks[0].price == pytest.approx(1.0 / 0.45359237)


@pytest.mark.parametrize(
    ("text", "code", "help_"),
    [
        ("minimum_order: -1 kg", "out-of-range", "as in 5 kg"),
        ("minimum_order: 5", "no-unit", "kg"),
        ("breaks: {from: 50 kg, price: 2.40 / kg}", "wrong-shape", "breaks: [{from: 50 kg"),
        ("breaks: [{from: 0 kg, price: 2.40 / kg}]", "out-of-range", "weighs 1 g or more"),
        ("breaks: [{from: 50 kg, price: 2.40}]", "no-unit", "2.40 / kg"),
        ("breaks: [{from: 50 kg}]", "missing-key", ""),
        ("breaks: [{from: 50 kg, price: 2 / kg}, {from: 50 kg, price: 1 / kg}]", "repeated-key", "keep one"),
    ],
)
def test_faults_of_orders(text: str, code: str, help_: str, tmp_path: Path) -> None:
    """A break needs a weight and a price for a mass, each once."""
    with pytest.raises(BadInput) as fault:
        read_shelf(shelf(tmp_path, ENTRY.format(text)))
    (found,) = fault.value.diagnostics
    assert found.code == code
    assert help_ in found.help


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("breaks: [{from: 50 kg, price: 3.40 / kg}]", "a smaller order 3.00"),
        ("breaks: [{from: 50 kg, price: 2.40 / kg}, {from: 80 kg, price: 2.50 / kg}]", "from 50 kg on 2.40"),
        ("minimum_order: 60 kg, breaks: [{from: 50 kg, price: 2.40 / kg}]", "no order is below 60 kg"),
        ("packs: [{size: 5 kg, price: 14}, {size: 25 kg, price: 75}]", "that of 5 kg 2.80"),
    ],
)
def test_odd_orders_are_warned_of(text: str, told: str, tmp_path: Path) -> None:
    """Breaks that are none, and a larger pack that does not pay."""
    (odd,) = shelf_warnings(read_shelf(shelf(tmp_path, ENTRY.format(text))))
    assert odd.code == "odd-order"
    assert told in odd.message


def test_ordinary_orders_are_not(tmp_path: Path) -> None:
    """Falling prices are what breaks and larger packs are for."""
    text = "minimum_order: 5 kg, packs: [{size: 5 kg, price: 16}, {size: 25 kg, price: 70}], breaks: [{from: 50 kg, price: 2.40 / kg}]"
    assert not list(shelf_warnings(read_shelf(shelf(tmp_path, ENTRY.format(text)))))
