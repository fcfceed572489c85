"""The shelf, from YAML and from CSV."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from optimiser.files.question import read_in_hand, read_question
from optimiser.files.shelf.shelf import own_names, read_shelf
from optimiser.files.workspace import nearest_shelf
from optimiser.materials.fat_table import reference
from optimiser.problem.shelf import Pack, Shelf
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from pathlib import Path

FULL = """\
title: Kittiwake Soapworks, autumn shelf
currency: EUR
fats:
  - fat: coconut oil
    price: 3.10 / kg
    stock: 18 kg
    packs: [{size: 5 kg, price: 14.90}]
    lot: {number: CO-2291, saponification_value: 256.4, tolerance: 1.5, iodine_value: 9.1}
  - fat: house infused olive
    like: olive oil
    price: 9.80 / kg
alkalis:
  sodium hydroxide: {price: 2.40 / kg, purity: 98 %}
  potassium hydroxide: {price: 4.10 / kg, purity: 90 %}
additives:
  - {additive: sodium lactate, price: 9.00 / kg}
"""

SHEET = """\
item,name,like,price,stock,packs,lot_number,saponification_value,tolerance,iodine_value,purity,currency
fat,coconut oil,,3.10 / kg,18 kg,5 kg=14.90,CO-2291,256.4,1.5,9.1,,EUR
fat,house infused olive,olive oil,9.80 / kg,,,,,,,,
alkali,sodium hydroxide,,2.40 / kg,,,,,,,98 %,
alkali,potassium hydroxide,,4.10 / kg,,,,,,,90 %,
additive,sodium lactate,,9.00 / kg,,,,,,,,
"""


def read(folder: Path, text: str | bytes, name: str = "shelf.yaml") -> Shelf:
    """The shelf in a text."""
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_shelf(path)


def faults(folder: Path, text: str | bytes, name: str = "shelf.yaml") -> tuple[Diagnostic, ...]:
    """What is wrong with a text."""
    with pytest.raises(BadInput) as caught:
        read(folder, text, name)
    return caught.value.diagnostics


def one(folder: Path, entry: str) -> tuple[Diagnostic, ...]:
    """What is wrong with one fat."""
    return faults(folder, f"fats:\n  - {{{entry}}}\n")


@pytest.mark.parametrize(("text", "name"), [(FULL, "kittiwake.yaml"), (SHEET, "kittiwake.csv")])
def test_a_full_shelf_is_read_alike_from_both_formats(tmp_path: Path, text: str, name: str) -> None:
    """Prices, stock, packs, lots, own fats, alkalis and additives come out the same from YAML and CSV."""
    shelf = read(tmp_path, text, name)
    coconut, infused = shelf.fats
    assert shelf.currency == "EUR"
    assert (coconut.fat.name, coconut.price, coconut.stock_kg, coconut.packs) == (
        "coconut oil",
        3.10,
        18.0,
        (Pack(5.0, 14.90, "5 kg"),),
    )
    assert coconut.lot is not None
    assert (coconut.lot.number, coconut.lot.tolerance, coconut.lot.iodine_value) == ("CO-2291", 1.5, 9.1)
    figure = coconut.fat.saponification
    assert (figure.value, figure.low, figure.high) == pytest.approx((256.4, 254.9, 257.9))
    assert (infused.fat.name, infused.fat.kind, infused.stock_kg) == ("house infused olive", "liquid oil", None)
    assert infused.fat.acids == reference().get("olive oil").acids
    assert {name: (item.price, item.purity, item.assumed) for name, item in shelf.alkalis.items()} == {
        "sodium hydroxide": (2.40, 0.98, False),
        "potassium hydroxide": (4.10, 0.90, False),
    }
    assert shelf.additives["sodium lactate"].price == 9.0


def test_a_spreadsheet_saved_with_semicolons_and_commas_is_read(tmp_path: Path) -> None:
    """Semicolons, decimal commas, a byte order mark, CRLF, quotes and units in the header are a spreadsheet's habits."""
    text = (
        b"\xef\xbb\xbfFat;Price / kg;Stock (kg);Packs;Tags\r\n"
        b'"Coconut oil";3,10;18,5;"5 kg=14,90; 25 kg=60";\r\n'
        b"# a note\r\n;;;;\r\n"
        b"stearic acid;4;;;-\r\n"
    )
    coconut, stearic = read(tmp_path, text, "a.csv").fats
    assert (coconut.price, coconut.stock_kg, coconut.packs) == (
        3.10,
        18.5,
        (Pack(5.0, 14.90, "5 kg"), Pack(25.0, 60.0, "25 kg")),
    )
    assert stearic.fat.tags == frozenset()


@pytest.mark.parametrize("price", ["6.40", "6.40 EUR", "EUR 6.40", "€6.40", "6.40 / kg", "32 / 5 kg"])
def test_a_plain_price_list_is_a_shelf(tmp_path: Path, price: str) -> None:
    """Names and bare prices are enough for a spreadsheet: such a price is for a kilogram."""
    shelf = read(tmp_path, f"name,price\nolive oil,{price}\ncoconut oil,{price}\n", "a.csv")
    assert [item.price for item in shelf.fats] == [6.4, 6.4]
    shelf = read(tmp_path, "name;price\nolive oil;6,40\n", "b.csv")
    assert [item.price for item in shelf.fats] == [6.4]
    shelf = read(tmp_path, "name,price (lb)\nolive oil,1\n", "c.csv")
    assert shelf.fats[0].price == pytest.approx(1 / 0.45359237)  # the pound by definition


@pytest.mark.parametrize(("header", "meant"), [("fat,cost", "price"), ("oil,price", "name")])
def test_a_wrong_header_is_told_once(tmp_path: Path, header: str, meant: str) -> None:
    """One column under another name is one fault, and not one more for every row."""
    rows = "".join(f"{name},3.10\n" for name in ("olive oil", "coconut oil", "lard", "palm oil"))
    (found,) = faults(tmp_path, f"{header}\n{rows}", "a.csv")
    assert (found.code, found.help) == ("unknown-column", f"here it is written '{meant}'")


@pytest.mark.parametrize(
    ("alkalis", "words"),
    [
        ("", "holds no sodium hydroxide:"),
        ("alkalis: {KOH: {price: 4 / kg}}", "holds potassium hydroxide and no sodium hydroxide:"),
        ("alkalis: {NaOH: {price: 2 / kg}}", ""),
        ("alkalis: {NaOH: {price: 0 / kg}}", ""),
    ],
)
def test_alkali_that_costs_nothing_is_told_by_the_shelf(tmp_path: Path, alkalis: str, words: str) -> None:
    """Where sodium hydroxide is not on the shelf a sentence says that it is reckoned free; a price of 0 is a price."""
    note = read(tmp_path, f"fats:\n  - {{fat: lard, price: 2 / kg}}\n{alkalis}\n").unpriced_alkali_note
    assert words in note
    assert bool(note) == bool(words)


@pytest.mark.parametrize(
    ("text", "found"),
    [("goals: {hardness: 40}\n", "a goal file"), ("fats: {olive oil: 700 g}\nsuperfat: 5 %\n", "a recipe")],
)
def test_another_file_in_place_of_a_shelf_is_named(tmp_path: Path, text: str, found: str) -> None:
    """A goal file or a recipe given as a shelf is one fault that says what it is."""
    (fault,) = faults(tmp_path, text)
    assert (fault.code, fault.message) == ("wrong-file", f"this is {found}, not a shelf")


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ('fat,price\nolive oil,"3,10 / kg"\n', "comma", (2, 11)),
        ("fat,price\nolive oil,3,10 / kg\n", "too-many-cells", (2, 13)),
        ("fat,price,colour\nolive oil,3 / kg,\n", "unknown-column", (1, 11)),
        ("fat,price,price\nolive oil,3 / kg,\n", "repeated-key", (1, 11)),
        ("price,stock\n3 / kg,\n", "missing-column", (1, 1)),
        ("fat,price\n,3 / kg\nolive oil,3 / kg\n", "wrong-name", (2, 2)),
        ("item,fat,price\npan,olive oil,3 / kg\nfat,olive oil,3 / kg\n", "unknown-item", (2, 1)),
        ('fat,price\n"olive oil,3 / kg\n', "open-quote", (2, 1)),
        ("fat,price\nolve oil,3 / kg\n", "unknown-fat", (2, 1)),
        ("fat,price\nolive oil,3 / 5\n", "wrong-unit", (2, 11)),
        ("fat,stock\nolive oil,3 kg\nlard,3 kg\n", "missing-column", (1, 1)),
        ("fat,price,purity\nolive oil,3 / kg,98 %\n", "unknown-key", (2, 18)),
        ("fat,price\nolive oil,-3 / kg\n", "out-of-range", (2, 11)),
        ("fat,price\nolive oil,3 / kg\nOlive_Oil,4 / kg\n", "repeated-name", (3, 1)),
        ("fat,price,currency\nolive oil,3 / kg,EUR\nlard,3 / kg,USD\n", "other-currency", (3, 13)),
        ("", "empty-file", (1, 1)),
        ("item,name,price\nalkali,NaOH,2\nfat,lard,2\nalkali,NaOH,3\n", "repeated-key", (4, 8)),
        ("fat,price\nlard,2\n" + "lard,2\n" * 1000, "repeated-name", (3, 1)),
        ("fat,price\n" + "".join(f"x{n},2\n" for n in range(1001)), "unknown-fat", (2, 1)),
        ("fat,price\nlard,2\n" + "," * 300 + "\nolve oil,2\n", "unknown-fat", (4, 1)),
        ("fat,price\nlard,2\n" + "," * 300 + "x\n", "too-many-cells", (3, 3)),
    ],
)
def test_faults_of_a_spreadsheet_have_line_and_column(
    tmp_path: Path, text: str, code: str, place: tuple[int, int]
) -> None:
    """A CSV file's faults are placed as exactly as those of YAML."""
    found = faults(tmp_path, text, "a.csv")[0]
    assert found.span is not None
    assert (found.code, (found.span.line, found.span.column)) == (code, place)
    assert found.span.text == text.split("\n")[found.span.line - 1]


@pytest.mark.parametrize(
    ("entry", "code", "help_"),
    [
        (
            "fat: olve oil, price: 3 / kg",
            "unknown-fat",
            "add 'like:' and the fat that comes nearest to it, or 'saponification_value:' from its certificate.",
        ),
        ("fat: mine, like: olve oil, price: 3 / kg", "unknown-fat", "did you mean 'olive oil'"),
        (
            "fat: olive oil, like: olive oil, price: 3 / kg",
            "contradiction",
            "take 'like' out, or give the fat a name of its own",
        ),
        ("fat: olive oil, price: 3", "no-unit", "write 3 / kg (or / lb, / 5 kg)"),
        ("fat: olive oil, price: 3 / bar", "wrong-unit", "write 3 / kg"),
        ("fat: olive oil, price: -3 / kg", "out-of-range", "write 0 for what costs nothing"),
        ("fat: olive oil", "missing-key", "write price: 3.10 / kg, or packs: [{size: 5 kg, price: 14.90}]"),
        ("fat: olive oil, price: 3 / kg, stock: -1 kg", "out-of-range", "write 0 kg for none"),
        ("fat: olive oil, price: 3 / kg, stok: 1 kg", "unknown-key", "did you mean 'stock'?"),
        ("fat: olive oil, price: 3 / kg, packs: 5 kg", "wrong-shape", "write 5 kg=14.90; 25 kg=60"),
        ("fat: olive oil, price: 3 / kg, packs: [{size: 0 kg, price: 3}]", "out-of-range", "a size is 1 g or more"),
        ("fat: olive oil, price: 3 / kg, packs: [{size: 1e-7 kg, price: 1}]", "out-of-range", "a size is 1 g or more"),
        ("fat: olive oil, price: 3 / kg, minimum_order: 0.9 g", "out-of-range", "at once, 1 g or more"),
        (
            "fat: olive oil, price: 3 / kg, breaks: [{from: 0.9 g, price: 2 / kg}]",
            "out-of-range",
            "an order that has it weighs 1 g or more",
        ),
        ("fat: olive oil, price: 3 / kg, tags: [vegn]", "unknown-tag", "tags: "),
        ("fat: olive oil, price: 3 / kg, tags: [vegan]", "unknown-tag", "tags say what a fat is of"),
        (
            "fat: olive oil, price: 3 / kg, kind: butter",
            "contradiction",
            "take it out, or give the fat a name of its own with 'like'",
        ),
        (
            "fat: olive oil, price: 3 / kg, saponification_value: 190",
            "contradiction",
            "a certificate's figures stand in 'lot'",
        ),
        ("fat: mine, like: olive oil, price: 3 / kg, kind: oil", "unknown-kind", "hard oil"),
        (
            "fat: mine, like: olive oil, price: 3 / kg, kind: wax",
            "contradiction",
            "choose another fat for 'like', or take the kind out",
        ),
        ("fat: olive oil, price: 3 / kg, lot: {number: 5}", "missing-key", "lot: {number: CO-2291"),
        (
            "fat: olive oil, price: 3 / kg, lot: {saponification_value: 190, tolerance: 50}",
            "out-of-range",
            "it lies between 0 and 20 mg KOH/g",
        ),
    ],
)
def test_each_fault_of_a_fat_is_told_with_a_way_out(tmp_path: Path, entry: str, code: str, help_: str) -> None:
    """One slip gives one diagnostic with what to write instead."""
    (found,) = one(tmp_path, entry)
    assert found.code == code
    assert help_ in found.help


# 56.106 / 39.997 = 1.4028: grams of potassium hydroxide for each of sodium hydroxide (molar masses)
@pytest.mark.parametrize(
    ("figure", "words"),
    [
        ("0.135", "grams of sodium hydroxide per gram of fat; in mg potassium hydroxide per g that is 189.4"),
        ("0.19", "grams of potassium hydroxide per gram of fat; in mg potassium hydroxide per g that is 190.0"),
        ("135", "milligrams of sodium hydroxide per gram of fat; in mg potassium hydroxide per g that is 189.4"),
        ("256", "it is in mg potassium hydroxide per g: 18"),
    ],
)
@pytest.mark.parametrize(
    "where",
    [
        "fat: olive oil, price: 3 / kg, lot: {{saponification_value: {}}}",
        "fat: mine, like: olive oil, price: 3 / kg, saponification_value: {}",
    ],
)
def test_a_saponification_value_that_cannot_be_is_refused(tmp_path: Path, where: str, figure: str, words: str) -> None:
    """A figure outside the fat's range is no typing matter: the likely slip is named, with the figure that was meant."""
    (found,) = one(tmp_path, where.format(figure))
    assert found.code == "implausible-saponification"
    assert words in found.help
    assert found.span is not None
    assert found.span.text[found.span.column - 1 :].startswith(figure)


def test_a_wax_keeps_its_acid_value(tmp_path: Path) -> None:
    """The ester value on a wax's certificate never counts towards the alkali, and cannot be smuggled in."""
    (wax,) = read(tmp_path, "fats:\n  - {fat: beeswax, price: 9 / kg, lot: {saponification_value: 95}}\n").fats
    assert wax.fat.saponification == reference().get("beeswax").saponification
    (found,) = one(tmp_path, "fat: our wax, like: beeswax, price: 9 / kg, saponification_value: 95")
    assert "only the acid value counts" in found.help


def test_own_tags_take_the_place_of_the_reference_ones(tmp_path: Path) -> None:
    """A declared origin is the maker's word: a stearic acid can be free from palm and animals."""
    (stearic,) = read(tmp_path, "fats:\n  - {fat: stearic acid, price: 4 / kg, tags: []}\n").fats
    assert stearic.fat.tags == frozenset()
    (linseed,) = read(tmp_path, "fats:\n  - {fat: linseed oil, price: 4 / kg, tags: [strong smelling]}\n").fats
    assert linseed.fat.tags == {"strong smelling", "strongly unsaturated", "half-drying"}


def test_without_a_price_the_cheapest_pack_sets_it(tmp_path: Path) -> None:
    """Packs alone are enough: the price is that of the best size, per kilo."""
    (fat,) = read(tmp_path, "fats:\n  - {fat: lard, packs: [{size: 5 kg, price: 20}, {size: 25 kg, price: 50}]}\n").fats
    assert fat.price == 2.0


def test_alkali_that_is_not_on_the_shelf_is_assumed_pure(tmp_path: Path) -> None:
    """Assuming purity weighs too little alkali rather than too much, and it is marked as an assumption."""
    shelf = read(tmp_path, "fats:\n  - {fat: lard, price: 2 / kg}\n")
    sodium = shelf.alkalis["sodium hydroxide"]
    assert (sodium.purity, sodium.price, sodium.assumed, sodium.span) == (1.0, 0.0, True, None)
    assert "potassium hydroxide" not in shelf.alkalis
    shelf = read(tmp_path, "fats:\n  - {fat: lard, price: 2 / kg}\nalkalis: {NaOH: {price: 2 / kg}}\n")
    assert (shelf.alkalis["sodium hydroxide"].assumed, shelf.alkalis["sodium hydroxide"].price) == (True, 2.0)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("alkalis: {NaOH: {price: 2 / kg, purity: 0.98}}", "share-or-fraction"),
        ("alkalis: {NaOH: {price: 2 / kg, purity: 30 %}}", "out-of-range"),
        ("alkalis: {NaOH: {price: 2 / kg, purity: 101 %}}", "out-of-range"),
        ("alkalis: {lime: {price: 2 / kg}}", "unknown-alkali"),
        ("alkalis: {NaOH: {price: 2 / kg}, caustic soda: {price: 2 / kg}}", "repeated-key"),
        ("alkalis: {NaOH: 2 / kg}", "wrong-shape"),
        ("additives: [{additive: sugr, price: 2 / kg}]", "unknown-additive"),
        ("additives: [{additive: sugar}]", "missing-key"),
        ("additives: {sugar: 2 / kg}", "wrong-shape"),
        ("currency: 5", "bad-currency"),
    ],
)
def test_faults_of_alkalis_and_additives(tmp_path: Path, text: str, code: str) -> None:
    """What stands beside the fats is judged as strictly."""
    (found,) = faults(tmp_path, f"fats:\n  - {{fat: lard, price: 2 / kg}}\n{text}\n")
    assert found.code == code


@pytest.mark.parametrize(
    ("told", "most", "basis"),
    [
        ("purity: 98 %, purity_tolerance: 1 %", 0.99, "told"),
        ("purity: 98 %, purity_tolerance: 2", 1.0, "told"),
        ("purity: 98 %, purity_tolerance: 0 %", 0.98, "told"),
        ("purity: 98 %", 0.995, "grade"),
        ("purity: 100 %", 1.0, "grade"),
    ],
)
def test_an_alkali_may_be_purer_than_told(tmp_path: Path, told: str, most: float, basis: str) -> None:
    """By the tolerance on the shelf, in points of per cent, or by what its grade may be; never beyond pure."""
    fats = "fats: [{fat: lard, price: 2 / kg}]\nalkalis: "
    shelf = read(tmp_path, f"{fats}{{sodium hydroxide: {{price: 2 / kg, {told}}}}}\n")
    assert shelf.purest == pytest.approx((most, 1.0))
    assert shelf.purity_basis == (basis, "assumed")


def test_an_alkali_of_unknown_purity_cannot_be_purer(tmp_path: Path) -> None:
    """Taken as pure where the label is not told, it has no room above."""
    shelf = read(tmp_path, "fats: [{fat: lard, price: 2 / kg}]\nalkalis: {potassium hydroxide: {price: 4 / kg}}\n")
    assert (shelf.purities, shelf.purest) == ((1.0, 1.0), (1.0, 1.0))
    assert shelf.purity_basis == ("assumed", "assumed")


def test_a_spreadsheet_tells_a_purity_tolerance_too(tmp_path: Path) -> None:
    """The column is called as the key is, with its unit in the header or in the cell."""
    text = "item,name,price,purity (%),purity_tolerance (%)\nfat,lard,2,,\nalkali,NaOH,2.4,98,1\nalkali,KOH,4,90,\n"
    shelf = read(tmp_path, text, "a.csv")
    assert shelf.purest == pytest.approx((0.99, 0.92))
    assert shelf.purity_basis == ("told", "grade")


@pytest.mark.parametrize(
    ("told", "code", "help_"),
    [
        ("purity_tolerance: 1 %", "missing-key", "write the purity from the label beside it, as in purity: 98 %"),
        ("purity: 98 %, purity_tolerance: 3 %", "out-of-range", "write 2 % at the most"),
        ("purity: 98 %, purity_tolerance: -1 %", "out-of-range", "from 0 % to 10 %"),
        ("purity: 85 %, purity_tolerance: 12 %", "out-of-range", "from 0 % to 10 %"),
        ("purity: 98 %, purity_tolerance: fine", "not-a-figure", ""),
        ("purity: 98 %, tolerance: 1 %", "unknown-key", "here it is written 'purity_tolerance'"),
    ],
)
def test_a_purity_tolerance_that_cannot_be_is_refused(tmp_path: Path, told: str, code: str, help_: str) -> None:
    """Without a purity it is of nothing, and with it the alkali is pure at the most."""
    fats = "fats: [{fat: lard, price: 2 / kg}]\nalkalis: "
    (found,) = faults(tmp_path, f"{fats}{{sodium hydroxide: {{price: 2 / kg, {told}}}}}\n")
    assert found.code == code
    assert help_ in found.help


@pytest.mark.parametrize("alkali", ["sodium hydroxide", "potassium hydroxide"])
@pytest.mark.parametrize("purity", ["50 %", "33.5 %", "79.9 %"])
def test_a_lye_sold_ready_made_is_refused(tmp_path: Path, alkali: str, purity: str) -> None:
    """Its water would make the lye weaker than told, so only the solid will do."""
    fats = "fats: [{fat: lard, price: 2 / kg}]\nalkalis: "
    (found,) = faults(tmp_path, f"{fats}{{{alkali}: {{price: 2 / kg, purity: {purity}}}}}\n")
    assert found.code == "out-of-range"
    assert f"a purity of {purity}: that is a lye sold ready made" in found.message
    assert found.help == "work with the solid, whose label tells from 80 % to 100 %"
    shelf = read(tmp_path, f"{fats}{{{alkali}: {{price: 2 / kg, purity: 80 %}}}}\n")
    assert 0.8 in shelf.purities


@pytest.mark.parametrize("purity", ["0 %", "120 %"])
def test_a_purity_that_nothing_has_is_refused(tmp_path: Path, purity: str) -> None:
    """None at all and more than all is no lye either."""
    fats = "fats: [{fat: lard, price: 2 / kg}]\nalkalis: "
    (found,) = faults(tmp_path, f"{fats}{{sodium hydroxide: {{price: 2 / kg, purity: {purity}}}}}\n")
    assert "no alkali to make soap with" in found.message
    assert "from 80 % to 100 %" in found.help


def test_a_tolerance_without_purity_is_told_in_a_spreadsheets_words(tmp_path: Path) -> None:
    """There one fills a column and writes no key."""
    (found,) = faults(tmp_path, "item,name,price,purity_tolerance\nfat,lard,2,\nalkali,NaOH,2.4,1 %\n", "a.csv")
    assert found.help == "fill the column purity from the label, as in 98 %"


def test_one_currency_for_one_shelf(tmp_path: Path) -> None:
    """A currency may stand in every price, as long as it is one."""
    shelf = read(tmp_path, "fats:\n  - {fat: lard, price: EUR 2 / kg}\n  - {fat: olive oil, price: 5 EUR / kg}\n")
    assert shelf.currency == "EUR"
    (found,) = faults(tmp_path, "currency: EUR\nfats:\n  - {fat: lard, price: $2 / kg}\n")
    assert found.code == "other-currency"


def test_a_shelf_holds_no_fat_twice(tmp_path: Path) -> None:
    """A synonym is the same fat; the way to keep two lots is offered."""
    (found,) = faults(tmp_path, "fats:\n  - {fat: canola oil, price: 2 / kg}\n  - {fat: rapeseed oil, price: 3 / kg}\n")
    assert found.code == "repeated-name"
    assert found.help == (
        "give the second one a name of its own, with 'like: rapeseed oil', or tell both as 'lots' of one entry"
    )
    assert found.notes[0][1] is not None
    assert found.notes[0][1].line == 2


@pytest.mark.parametrize("text", ["title: x\n", "fats: []\n", "fats:\n", "fats: lard\n"])
def test_a_shelf_without_fats_is_refused(tmp_path: Path, text: str) -> None:
    """There is no soap without fat."""
    assert len(faults(tmp_path, text)) == 1


def test_other_suffixes_are_no_shelf(tmp_path: Path) -> None:
    """The format goes by the name's ending, and others are refused."""
    assert faults(tmp_path, FULL, "shelf.txt")[0].code == "wrong-suffix"
    with pytest.raises(BadInput, match="no such file"):
        read_shelf(tmp_path / "none.txt")


def test_the_nearest_inventory_is_found_going_up(tmp_path: Path) -> None:
    """The only shelf of the first inventory folder on the way up is taken; none or several are refused by name."""
    goal = tmp_path / "goals" / "deep" / "a.yaml"
    goal.parent.mkdir(parents=True)
    (tmp_path / "inventory").mkdir()
    with pytest.raises(BadInput, match="holds no shelf"):
        nearest_shelf(goal)
    ours = tmp_path / "inventory" / "ours.csv"
    ours.write_text("fat,price\nlard,2 / kg\n", encoding="utf-8")
    assert nearest_shelf(goal) == ours
    (tmp_path / "inventory" / "theirs.yaml").write_text(FULL, encoding="utf-8")
    with pytest.raises(BadInput, match=r"several shelves: ours\.csv, theirs\.yaml"):
        nearest_shelf(goal)
    near = tmp_path / "goals" / "inventory"
    near.mkdir()
    (near / "mine.yaml").write_text(FULL, encoding="utf-8")
    assert nearest_shelf(goal) == near / "mine.yaml"


def test_own_names_are_told_even_of_a_faulty_shelf(tmp_path: Path) -> None:
    """Names of own fats do not wait for the rest of the shelf to be right."""
    path = tmp_path / "shelf.yaml"
    path.write_text("fats:\n  - {fat: mine, like: olve oil}\n  - {fat: lard}\n", encoding="utf-8")
    assert own_names(path) == ("mine",)
    assert own_names(tmp_path / "none.yaml") == own_names(None) == ()


def test_a_shelf_that_is_not_there_is_told_where_it_was_named(tmp_path: Path) -> None:
    """The goal file's own line is shown, since that is what must be changed."""
    span = Span("goals/a.yaml", 2, 8, 17, "shelf: none.yaml")
    with pytest.raises(BadInput) as caught:
        read_shelf(tmp_path / "none.yaml", span)
    assert [(item.code, item.span) for item in caught.value.diagnostics] == [("no-such-file", span)]


HEADED = "item,name,price,purity\n"


def test_an_alkali_given_twice_is_told_with_the_first(tmp_path: Path) -> None:
    """One alkali on two rows of a spreadsheet is a fault at the second, with the first shown."""
    text = f"{HEADED}fat,olive oil,7 / kg,\nalkali,sodium hydroxide,2 / kg,98 %\nalkali,sodium hydroxide,3 / kg,99 %\n"
    (found,) = faults(tmp_path, text, "a.csv")
    assert found.code == "repeated-key"
    assert found.span is not None
    assert (found.span.line, found.span.column) == (4, 8)
    ((words, span),) = found.notes
    assert words == "first given here"
    assert span is not None
    assert span.line == 3


@pytest.mark.parametrize("rows", [1000, 1001])
def test_a_thousand_rows_are_a_shelf_and_one_more_is_not(tmp_path: Path, rows: int) -> None:
    """A file of more than a thousand rows is some other file; the row that is too much is shown."""
    text = "fat,price,like\n" + "".join(f"own {place},7 / kg,olive oil\n" for place in range(rows))
    if rows == 1000:
        assert len(read(tmp_path, text, "a.csv").fats) == 1000
    else:
        found = next(item for item in faults(tmp_path, text, "a.csv") if item.code == "too-many-entries")
        assert found.span is not None
        assert found.span.line == 1002


def test_notes_and_blank_rows_of_a_spreadsheet_are_passed_over(tmp_path: Path) -> None:
    """Lines that begin with # and rows without a word, before the header and among the rows, count for nothing."""
    text = "\n# prices of the autumn\nfat,price\n# dear\nolive oil,7 / kg\n,\n\nlard,2 / kg\n"
    assert [item.fat.name for item in read(tmp_path, text, "a.csv").fats] == ["olive oil", "lard"]


def test_a_mark_of_what_parts_the_cells_is_believed(tmp_path: Path) -> None:
    """A first line "sep=;" says what parts the cells, even where the next line has more commas; the header follows it."""
    text = 'sep=;\nfat;price;"tags"\nolive oil;3,10;"palm, nut, soya"\n'
    (item,) = read(tmp_path, text, "a.csv").fats
    assert item.price == pytest.approx(3.10)
    assert {"palm", "nut", "soya"} <= item.fat.tags


def test_what_stands_behind_a_quote_belongs_to_the_cell(tmp_path: Path) -> None:
    """Words behind a closing quote are of its cell, a doubled quote is one, and blanks before a quote are none."""
    text = 'fat,price,like\n "our ""best"" olive" oil,  "7 / kg",olive oil\n'
    (item,) = read(tmp_path, text, "a.csv").fats
    assert item.fat.name == 'our "best" olive oil'
    assert item.price == 7.0


def test_a_lot_tells_up_to_which_day_it_keeps(tmp_path: Path) -> None:
    """As `best_before` in its entry, and in a table in a column of that name; what is no day is told with its place."""
    text = "fats: [{{fat: lard, price: 2 / kg, lot: {{number: L, saponification_value: 196, best_before: {}}}}}]\n"
    (lard,) = read(tmp_path, text.format("2027-03-01")).fats
    assert lard.lot is not None
    assert lard.lot.best_before == "2027-03-01"
    table = (
        "fat,price,like,saponification_value,lot_number,best_before,lot_saponification_value\n"
        "lard,2,,196,L,2027-03-01,\n"
        "own olive,7,olive oil,191,O-1,2027-04-01,190\n"
        "palm oil,2,,199,P-1,,\n"
    )
    assert [item.lot and item.lot.best_before for item in read(tmp_path, table, "a.csv").fats] == [
        *("2027-03-01", "2027-04-01", ""),
    ]
    with pytest.raises(BadInput, match="'next spring' is no day") as bad:
        read(tmp_path, text.format("next spring"))
    assert bad.value.diagnostics[0].span is not None


def test_figures_of_an_own_fat_and_of_its_lot_are_two_things(tmp_path: Path) -> None:
    """With `like` a bare saponification value is the fat's own and `lot_` columns are the certificate's; without, all are."""
    text = (
        "fat,price,like,saponification_value,iodine_value,tolerance,lot_saponification_value,lot_number\n"
        "own olive,7 / kg,olive oil,191,82,,,\n"
        "own coconut,3 / kg,coconut oil,255,9,1.5,256.5,C-7\n"
        "palm oil,2 / kg,,199,50,2,,P-1\n"
    )
    olive, coconut, palm = read(tmp_path, text, "a.csv").fats
    assert (olive.fat.saponification.value, olive.fat.iodine.value, olive.lot) == (191.0, 82.0, None)
    assert coconut.lot is not None
    assert (coconut.lot.number, coconut.lot.saponification_value, coconut.lot.tolerance) == ("C-7", 256.5, 1.5)
    assert coconut.fat.saponification.low == pytest.approx(255.0)
    assert coconut.fat.iodine.value == 9.0
    assert palm.lot is not None
    assert (palm.lot.number, palm.lot.saponification_value, palm.lot.iodine_value) == ("P-1", 199.0, 50.0)
    assert palm.fat.saponification.high == pytest.approx(201.0)


@pytest.mark.parametrize(
    ("row", "own", "lot"),
    [
        ("calendula oil,olive oil,KW-1,190.5,1.0,", (190.5, 189.5), "KW-1"),
        ("calendula oil,olive oil,,190.5,1.0,", (190.5, 189.5), None),
        ("calendula oil,olive oil,KW-1,190.5,,189.0", (189.0, 187.0), "KW-1"),
        ("mystery butter,,,186,3,", (186.0, 183.0), None),
        ("mystery butter,,M-1,186,3,", (186.0, 183.0), "M-1"),
        ("mystery butter,,M-1,,3,187", (187.0, 184.0), "M-1"),
        ("palm oil,,,199,2,", (199.0, 197.0), ""),
    ],
)
def test_bare_figures_are_the_lots_where_a_lot_is_named(
    tmp_path: Path, row: str, own: tuple[float, float], lot: str | None
) -> None:
    """Beside a lot's number a bare figure is its certificate's, and of a fat of one's own without one it is the fat's."""
    header = "fat,like,lot_number,saponification_value,tolerance,lot_saponification_value,price"
    (item,) = read(tmp_path, f"{header}\n{row},4\n", "a.csv").fats
    assert (item.fat.saponification.value, item.fat.saponification.low) == own
    assert (None if item.lot is None else item.lot.number) == lot
    assert item.fat.borrowed == item.borrowed == ""


@pytest.mark.parametrize(
    ("text", "code", "help_"),
    [
        ("fat,price,lot_number\nolive oil,3,A-1\n", "missing-key", "fill the column saponification_value"),
        ("fat,price,like,tolerance\nours,3,olive oil,2\n", "missing-key", "fill that column too"),
        ("fat,price\nfjord butter,3\n", "unknown-fat", "fill the column like with the fat that comes nearest to it"),
        ("fat,price\nsoy wax,3\n", "needs-certificate", "fill the column saponification_value from the certificate"),
        ("fat,price,stock\nolive oil,,3 kg\n", "missing-key", "fill the column price, as in 3.10, or packs"),
        (
            "fat,price\nlard,3\nlard,4\n",
            "repeated-name",
            "give the second one a name of its own, with lard in the column like, or each its number in the column lot",
        ),
    ],
)
def test_the_way_out_of_a_spreadsheets_fault_is_a_column(tmp_path: Path, text: str, code: str, help_: str) -> None:
    """Nobody writes keys and braces into a spreadsheet."""
    (found,) = faults(tmp_path, text, "a.csv")
    assert found.code == code
    assert help_ in found.help
    assert "{" not in found.help
    assert "':" not in found.help


# -- fats that the reference table has not --------------------------------------------------------------------------


def test_a_saponification_value_alone_is_enough_for_alkali(tmp_path: Path) -> None:
    """Without a tolerance its ends are 3 % off, with one they are those; what is told of it is kept, the rest unknown."""
    text = (
        "fats:\n"
        "  - {fat: mystery butter, saponification_value: 186, price: 8 / kg}\n"
        "  - {fat: fjord oil, saponification_value: 190, tolerance: 2, kind: hard oil, tags: [palm], iodine_value: 60, price: 8 / kg}\n"
        "  - {fat: bay oil, lot: {number: B, saponification_value: 200}, price: 8 / kg}\n"
    )
    mystery, fjord, bay = (item.fat for item in read(tmp_path, text).fats)
    assert (mystery.saponification.low, mystery.saponification.high) == pytest.approx((0.97 * 186, 1.03 * 186))
    assert mystery.untold == {"acids", "certificate", "iodine", "tags", "kind"}
    assert (fjord.saponification.low, fjord.spread, fjord.iodine.value) == (188.0, 2.0, 60.0)
    assert fjord.untold == {"acids", "certificate"}
    assert fjord.tags == {"palm"}
    assert fjord.kind == "hard oil"
    assert (bay.saponification.low, bay.saponification.high) == (198.0, 202.0)


@pytest.mark.parametrize(("told", "low"), [("", 186.2), (", tolerance: 0.5", 189.5), (", tolerance: 8", 182.0)])
def test_a_value_of_its_own_has_a_tolerance_of_its_own(tmp_path: Path, told: str, low: float) -> None:
    """A told figure of a fat that is like another is 2 % off where nothing is said, or so much as is said."""
    (item,) = read(
        tmp_path, f"fats: [{{fat: market oil, like: hazelnut oil, saponification_value: 190{told}, price: 8 / kg}}]\n"
    ).fats
    assert item.fat.saponification.low == pytest.approx(low, abs=0.5)
    assert item.fat.borrowed == ""
    assert item.fat.spread == pytest.approx(190 - item.fat.saponification.low)


@pytest.mark.parametrize(
    ("entry", "code", "words"),
    [
        ("fat: mystery butter, saponification_value: 0.133", "implausible-saponification", "that is 186.6: if so"),
        (
            "fat: mystery butter, saponification_value: 133",
            "implausible-saponification",
            "milligrams of sodium hydroxide",
        ),
        ("fat: mystery butter, saponification_value: 420", "implausible-saponification", "from 160 to 360 for any fat"),
        ("fat: mystery butter, lot: {saponification_value: 95}", "implausible-saponification", "from 160 to 360"),
        ("fat: moon wax, saponification_value: 190", "contradiction", "write 'like' and the wax that it is like"),
        (
            "fat: moon, kind: wax, saponification_value: 190",
            "contradiction",
            "write 'like' and the wax that it is like",
        ),
        ("fat: moon, kind: butter", "unknown-fat", "or 'saponification_value:' from its certificate"),
        ("fat: hard oils, saponification_value: 199", "taken-name", "give it a name of its own"),
        ("fat: mystery butter, like: cocoa butter, tolerance: 2", "missing-key", "write that beside it"),
        ("fat: olive oil, tolerance: 2", "contradiction", "a certificate's figures stand in 'lot'"),
        (
            "fat: soy wax",
            "needs-certificate",
            "or write hydrogenated soybean oil, if its seller says that it is all that",
        ),
        ("fat: soy wax, like: hydrogenated soybean oil", "needs-certificate", "add the certificate of the lot"),
        ("fat: our wax, like: soy wax", "needs-certificate", "put it on the shelf with it"),
        ("fat: aloe butter, kind: butter", "needs-certificate", "add the certificate of the lot"),
        ("fat: soy wax, lot: {saponification_value: 120}", "implausible-saponification", "as paraffin does not"),
        ("fat: container wax, lot: {saponification_value: 120}", "implausible-saponification", "as paraffin does not"),
    ],
)
def test_what_cannot_stand_for_a_fat_is_refused(tmp_path: Path, entry: str, code: str, words: str) -> None:
    """One fault where the fat stands, with what to write; a name that says too little asks for a certificate."""
    (found,) = one(tmp_path, f"{entry}, price: 8 / kg")
    assert found.code == code
    assert words in found.help


@pytest.mark.parametrize(
    "told", ["lot: {saponification_value: 191, tolerance: 1}", "saponification_value: 191, tolerance: 1"]
)
def test_a_loose_name_with_its_figure_is_a_fat(tmp_path: Path, told: str) -> None:
    """Soy wax with a certificate has the acids of the oil that it then is; container wax has none, and says what it may hold."""
    soy, container = (
        item.fat
        for item in read(
            tmp_path,
            f"fats:\n  - {{fat: Soy wax, price: 4 / kg, {told}}}\n  - {{fat: candle wax, price: 4 / kg, {told}}}\n",
        ).fats
    )
    assert soy.acids == reference().get("hydrogenated soybean oil").acids
    assert (soy.saponification.low, soy.borrowed, soy.untold) == (190.0, "", frozenset())
    assert soy.tags >= {"soya", "hydrogenated"}
    assert container.untold - {"certificate"} == {"acids", "iodine"}
    assert container.saponification.low == 190.0
    assert container.tags >= {"soya", "palm"}


def test_an_unknown_fat_is_blamed_on_the_shelf_alone(tmp_path: Path) -> None:
    """A goal file and a recipe that name it too are not at fault: it is explained once, where it stands."""
    (tmp_path / "shelf.yaml").write_text("fats: [{fat: fjord butter, price: 3 / kg}, {fat: lard, price: 2 / kg}]\n")
    (tmp_path / "goals.yaml").write_text("shelf: shelf.yaml\nshares: {fjord butter: 10 %}\n")
    (tmp_path / "recipe.yaml").write_text("shelf: shelf.yaml\nsuperfat: 5 %\nfats: {fjord butter: 10 g, lard: 90 g}\n")
    for ask in (lambda: read_question(tmp_path / "goals.yaml"), lambda: read_in_hand(tmp_path / "recipe.yaml")):
        with pytest.raises(BadInput) as caught:
            ask()
        (found,) = caught.value.diagnostics
        assert found.code == "unknown-fat"
        assert found.span is not None
        assert found.span.file.endswith("shelf.yaml")


@pytest.mark.parametrize("name", ["shares: {soy wax: 10 %}", "prefer: [{soy wax: {at_least: 5 %}}]"])
def test_a_loose_name_that_is_on_no_shelf_is_explained(tmp_path: Path, name: str) -> None:
    """Goals and recipes that name one are told what to put on the shelf."""
    (tmp_path / "shelf.yaml").write_text("fats: [{fat: lard, price: 2 / kg}]\n")
    (tmp_path / "goals.yaml").write_text(f"shelf: shelf.yaml\n{name}\n")
    (tmp_path / "recipe.yaml").write_text("superfat: 5 %\nfats: {soy wax: 10 g, lard: 90 g}\n")
    for ask in (lambda: read_question(tmp_path / "goals.yaml"), lambda: read_in_hand(tmp_path / "recipe.yaml")):
        with pytest.raises(BadInput) as caught:
            ask()
        (found,) = caught.value.diagnostics
        assert found.code == "needs-certificate"
        assert "- {fat: soy wax, price: ..., lot: {saponification_value: ..." in found.help


@pytest.mark.parametrize("cell", ["nut; soya", '"nut, soya"', "nut|soya", "nut;-;soya;"])
def test_tags_are_parted_by_any_common_mark(tmp_path: Path, cell: str) -> None:
    """Semicolons, commas and bars part tags; a dash is none."""
    (item,) = read(tmp_path, f"fat,price,tags\nolive oil,7 / kg,{cell}\n", "a.csv").fats
    assert item.fat.tags >= {"nut", "soya"}
    assert "-" not in item.fat.tags


@pytest.mark.parametrize(
    ("header", "price"),
    [
        ("price / kg", 2.0),
        ("Price (/ lb)", 2.0 / 0.45359237),
        ("price per kg", 2.0),
        ("price [kg]", 2.0),
        ("price_kg", 2.0),
        ("price (per 100g)", None),
        ("price kgs", None),
    ],
)
def test_a_header_says_what_a_price_is_for(tmp_path: Path, header: str, price: float | None) -> None:
    """A unit after a column's name, in brackets or not, is that of its bare figures; what is no unit is no column."""
    text = f"fat,{header}\nlard,2\n"
    if price is None:
        assert faults(tmp_path, text, "a.csv")[0].code == "unknown-column"
    else:
        assert [item.price for item in read(tmp_path, text, "a.csv").fats] == [pytest.approx(price)]


@pytest.mark.parametrize("rows", [1000, 1001])
def test_a_sheet_has_a_thousand_rows_at_most(tmp_path: Path, rows: int) -> None:
    """The thousandth row is read, and one more is refused at its place."""
    text = "fat,like,price\n" + "".join(f"x{n},lard,2\n" for n in range(rows))
    if rows <= 1000:
        assert len(read(tmp_path, text, "a.csv").fats) == rows
    else:
        (fault,) = faults(tmp_path, text, "a.csv")
        assert fault.span is not None
        assert (fault.code, fault.span.line) == ("too-many-entries", 1002)
