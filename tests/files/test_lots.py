"""Several lots of one fat on a shelf, in YAML and as rows of a spreadsheet, and what is wrong with them told in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.files.shelf.shelf import own_names, read_shelf
from optimiser.problem.shelf import Shelf
from optimiser.text.diagnostics import BadInput, Diagnostic

LOTS = """fats:
  - fat: coconut
    price: 3.10 / kg
    lots:
      - {number: CO-1, stock: 200 g, saponification_value: 256.4, tolerance: 1.5, iodine_value: 9.1, best_before: 2027-03-01}
      - {number: CO-2, stock: 5 kg, price: 3.00 / kg, best_before: 2027-09-01}
  - {fat: olive oil, price: 6.90 / kg}
"""
ROWS = """fat,price,stock,lot,saponification_value,tolerance,iodine_value,best_before
coconut,3.10,200 g,CO-1,256.4,1.5,9.1,2027-03-01
olive oil,6.90,,,,,,
Coconut oil,3.00,5 kg,CO-2,,,,2027-09-01
"""


def read(folder: Path, text: str, name: str = "shelf.yaml") -> Shelf:
    """A shelf from its text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_shelf(path)


def faults(folder: Path, text: str, name: str = "shelf.yaml") -> tuple[Diagnostic, ...]:
    """What is wrong with a shelf."""
    with pytest.raises(BadInput) as raised:
        read(folder, text, name)
    return raised.value.diagnostics


@pytest.mark.parametrize(("text", "name"), [(LOTS, "shelf.yaml"), (ROWS, "shelf.csv")])
def test_each_lot_is_a_fat_with_its_own_figures(tmp_path: Path, text: str, name: str) -> None:
    """Stock, price, certificate and day are the lot's; without a certificate the table's figures serve."""
    shelf = read(tmp_path, text, name)
    first, second = shelf.of_fat("coconut oil")
    assert (first.fat.name, first.fat.known_as, first.number) == ("coconut oil (lot CO-1)", "coconut oil", "CO-1")
    assert (first.stock_kg, first.price, first.best_before) == (0.2, 3.1, "2027-03-01")
    assert first.fat.saponification == pytest.approx((256.4, 254.9, 257.9))
    assert (first.fat.spread, first.fat.iodine.value) == (1.5, 9.1)
    assert (second.stock_kg, second.price, second.best_before, second.lot) == (5.0, 3.0, "2027-09-01", None)
    assert second.fat.saponification.value != 256.4
    assert shelf.stock_of("coconut oil") == pytest.approx(5.2)
    assert shelf.stock_of("olive oil") is None
    assert shelf.fat_names == tuple(dict.fromkeys(item.fat.known_as for item in shelf.fats))
    assert shelf.of_fat("coconut oil (lot CO-2)") == (second,)


def test_a_certified_lot_strays_alone_and_others_with_their_base(tmp_path: Path) -> None:
    """What a certificate leaves is the lot's own; what none tells is the same of all lots of one base."""
    text = LOTS.replace("lots:", "lots:\n      - {number: CO-3, stock: 1 kg}")
    third, first, second = read(tmp_path, text).of_fat("coconut oil")
    assert first.fat.strays_with == "coconut oil (lot CO-1)"
    assert third.fat.strays_with == second.fat.strays_with == "coconut oil"


def test_an_infusion_strays_with_the_lot_that_it_is_reckoned_as(tmp_path: Path) -> None:
    """It is that very oil, and of several lots the one of the lowest value."""
    text = LOTS + "  - {fat: coconut infusion, like: coconut oil, price: 5 / kg}\n"
    made = read(tmp_path, text).of_fat("coconut infusion")[0]
    assert made.as_lot == "lot CO-1 of coconut oil"
    assert made.fat.strays_with == "coconut oil (lot CO-1)"


def test_lots_of_a_fat_of_ones_own(tmp_path: Path) -> None:
    """Without 'like' each needs its certificate, since nothing else tells of its alkali."""
    text = "fats:\n  - {fat: mystery butter, price: 9 / kg, lots: [{number: A, saponification_value: 190}, {number: B, saponification_value: 186}]}\n"
    one, other = read(tmp_path, text).fats
    assert (one.fat.saponification.value, other.fat.saponification.value) == (190.0, 186.0)
    (found,) = faults(tmp_path, text.replace(", saponification_value: 186", ""))
    assert found.code == "unknown-fat"


@pytest.mark.parametrize(
    ("lots", "code", "message"),
    [
        ("lots: []", "no-value", "no lot in this list"),
        ("lots: {number: A}", "wrong-shape", "'lots' is a list"),
        ("lots: [{stock: 2 kg}]", "missing-key", "has no 'number'"),
        ("lots: [{number: A-1}, {number: a 1}]", "repeated-name", "the lot 'a 1' is told twice"),
        ("lots: [{number: A, best_before: soon}]", "no-date", "'soon' is no day"),
        ("lots: [{number: A, tolerance: 2}]", "missing-key", "a tolerance says nothing"),
        ("lots: [{number: A, saponification_value: 0.19}]", "implausible-saponification", "0.19 cannot be"),
        ("stock: 3 kg, lots: [{number: A}]", "contradiction", "'stock' stands beside 'lots'"),
        ("lot: {number: B, saponification_value: 196}, lots: [{number: A}]", "contradiction", "'lot' stands beside"),
    ],
)
def test_what_is_wrong_with_lots_is_told(tmp_path: Path, lots: str, code: str, message: str) -> None:
    """One fault, where it stands, in words."""
    (found,) = faults(tmp_path, f"fats:\n  - {{fat: lard, price: 2 / kg, {lots}}}\n")
    assert (found.code, message in found.message) == (code, True)
    assert found.span is not None
    assert found.span.line == 2


def test_a_price_may_stand_in_each_lot(tmp_path: Path) -> None:
    """Where every lot has one the fat needs none; where one lacks it, that is told."""
    text = "fats: [{fat: lard, lots: [{number: A, price: 2 / kg}, {number: B, price: 3 / kg}]}]\n"
    assert [item.price for item in read(tmp_path, text).fats] == [2.0, 3.0]
    (found,) = faults(tmp_path, text.replace(", price: 3 / kg", ""))
    assert (found.code, found.message) == ("missing-key", "no price is given for 'lard'")


def test_rows_of_one_fat_that_differ_are_no_lots_of_it(tmp_path: Path) -> None:
    """One fat is like one other."""
    rows = "fat,like,price,lot\nours,olive oil,3,A\nours,lard,3,B\n"
    (found,) = faults(tmp_path, rows, "a.csv")
    assert (found.code, found.message) == (
        "contradiction",
        "'ours' is told twice as lots of one fat, and 'lard' is not 'olive oil'",
    )


def test_every_lot_can_be_named(tmp_path: Path) -> None:
    """The names that goals and recipes may use: of each of several lots, of one alone by its number, and of the tin to buy beside them."""
    text = LOTS + "  - {fat: lard, price: 2 / kg, lot: {number: L-7, saponification_value: 196}}\n"
    read(tmp_path, text)
    assert own_names(tmp_path / "shelf.yaml") == (
        *("coconut oil (lot CO-1)", "coconut oil (lot CO-2)", "coconut oil (to buy)"),
        *("lard (lot L-7)", "lard (to buy)"),
    )


def test_two_lots_in_one_list_are_no_fat_twice(tmp_path: Path) -> None:
    """Two entries of one fat are still a fault, with both ways out."""
    (found,) = faults(tmp_path, LOTS + "  - {fat: coconut oil, price: 3 / kg}\n")
    assert found.code == "repeated-name"
    assert "as 'lots' of one entry" in found.help
