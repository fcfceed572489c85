"""Tins that are still to be bought, beside lots in hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.files.shelf.shelf import read_shelf
from optimiser.materials.fat_table import reference
from optimiser.problem.buying import Buy, Buying
from optimiser.problem.new_tins import is_kept_in_hand, with_new_tins
from optimiser.problem.shelf import Shelf

TEXT = """fats:
  - fat: coconut oil
    price: 3.10 / kg
    minimum_order: 2 kg
    packs: [{size: 5 kg, price: 14}]
    breaks: [{from: 20 kg, price: 2.50 / kg}]
    lots:
      - {number: A, stock: 1 kg, price: 4 / kg, saponification_value: 252, tolerance: 1}
      - {number: B, stock: 2 kg}
  - {fat: lard, price: 2 / kg, stock: 1 kg, lot: {saponification_value: 200, tolerance: 1, iodine_value: 70}}
  - {fat: palm oil, price: 2 / kg, lot: {number: P, saponification_value: 201, tolerance: 1}}
  - {fat: olive oil, price: 7 / kg, stock: 3 kg}
  - {fat: shea butter, lots: [{number: S, price: 8 / kg, stock: 1 kg}, {number: T, price: 9 / kg, stock: 0 kg}]}
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """A shelf with lots of every sort."""
    (tmp_path / "shelf.yaml").write_text(TEXT, encoding="utf-8")
    return read_shelf(tmp_path / "shelf.yaml")


def test_a_tin_stands_there_only_where_something_may_be_bought(shelf: Shelf) -> None:
    """Of fats whose lots all tell a stock, and of no others; taking them away again gives the shelf as it was."""
    bought = with_new_tins(shelf, Buying(Buy.ANY))
    tins = [item.fat.name for item in bought.fats if item.fat.to_buy]
    assert tins == ["coconut oil (to buy)", "lard (to buy)", "shea butter (to buy)"]
    assert with_new_tins(bought, Buying(Buy.PACKS)) is bought
    for nothing in (None, Buying(Buy.NONE)):
        assert with_new_tins(bought, nothing) == shelf
        assert with_new_tins(shelf, nothing) is shelf


def test_a_tin_is_the_fat_as_the_table_has_it(shelf: Shelf) -> None:
    """Figures and spread are the table's, whatever a certificate tells; packs, breaks and orders are those of the fat."""
    tins = {item.fat.known_as: item for item in with_new_tins(shelf, Buying()).fats if item.fat.to_buy}
    for name, item in tins.items():
        known = reference().get(name)
        assert (item.fat.saponification, item.fat.iodine, item.fat.spread) == (
            *(known.saponification, known.iodine),
            known.spread,
        )
        assert (item.fat.strays_with, item.fat.lot, item.lot, item.stock_kg) == (name, "", None, 0.0)
    coconut = tins["coconut oil"]
    assert (coconut.price, coconut.minimum_order_kg, len(coconut.packs), len(coconut.breaks)) == (3.1, 2.0, 1, 1)
    assert tins["shea butter"].price == 9.0  # it has no price of its own: that of the dearest lot


def test_stock_and_goals_are_of_the_fat(shelf: Shelf) -> None:
    """A tin adds nothing to what there is, and a goal on the fat counts it."""
    bought = with_new_tins(shelf, Buying())
    assert bought.stock_of("coconut oil") == shelf.stock_of("coconut oil") == 3.0
    assert [item.fat.name for item in bought.of_fat("lard")] == ["lard", "lard (to buy)"]


def test_lots_with_a_stock_are_all_there_is_of_them(shelf: Shelf) -> None:
    """Where a tin or a lot without an end is there to be bought; a fat without a lot, or its only lot without a stock, can be had."""
    bought = with_new_tins(shelf, Buying())
    kept = [item.fat.name for item in bought.fats if is_kept_in_hand(item, bought.fats)]
    assert kept == [
        *("coconut oil (lot A)", "coconut oil (lot B)", "lard"),
        *("shea butter (lot S)", "shea butter (lot T)"),
    ]


def test_a_lot_without_an_end_leaves_no_tin(tmp_path: Path) -> None:
    """More of one lot can be had: the others are what there is of them, and no other tin is bought."""
    path = tmp_path / "shelf.yaml"
    path.write_text(TEXT.replace("{number: B, stock: 2 kg}", "{number: B}"), encoding="utf-8")
    bought = with_new_tins(read_shelf(path), Buying())
    lots = bought.of_fat("coconut oil")
    assert [(item.number, is_kept_in_hand(item, bought.fats)) for item in lots] == [("A", True), ("B", False)]
